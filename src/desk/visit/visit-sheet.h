/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of a visit: its stages on a time line with the work between them, what was read against what was predicted,
 * what is looked at besides, charges, a note, its end. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_visit_sheet_new (SlBench *bench);
