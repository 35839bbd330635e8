/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of a visit: its stages on a time line with the work between them, what was read against what was predicted,
 * what is looked at besides, charges, a note, its end. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_visit_sheet_new (SlBench *bench);

/* ---- its lists ----
 *
 * The lists of a visit's sheet: what is looked at besides measuring; charges; and what is still to be done in its
 * order, with buttons that change the order where it makes sense and say why not where it does not. Each follows the
 * bench while it is seen. */

GtkWidget *sl_visit_checks_new (SlBench *bench);
GtkWidget *sl_visit_charges_new (SlBench *bench);
GtkWidget *sl_visit_plan_new (SlBench *bench);
