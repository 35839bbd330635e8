/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The middle of the window: the side view with the choice of what it shows, three close-ups below, and one sheet of
 * figures at a time. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

#define SL_TYPE_CENTRE (sl_centre_get_type ())
G_DECLARE_FINAL_TYPE (SlCentre, sl_centre, SL, CENTRE, GtkBox)

GtkWidget *sl_centre_new (SlBench *bench);

/* While it is pressed the sheet is shown larger, and wants the columns' room too. */
GtkToggleButton *sl_centre_get_larger (SlCentre *self);

/* Shows a sheet by its name ("gaps"), or the "side-view", and returns it; NULL where there is none of that name. */
GtkWidget *sl_centre_show_sheet (GtkWidget *centre, const char *name);
