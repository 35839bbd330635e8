/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lists of a visit's sheet: what is looked at besides measuring, and charges. Each follows the bench while it is
 * seen. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_visit_checks_new (SlBench *bench);
GtkWidget *sl_visit_charges_new (SlBench *bench);
