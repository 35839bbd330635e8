/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf's window: the profiles of a folder, searched, opened, copied, renamed, moved to the trash, and made
 * baselines of. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_SHELF_WINDOW (sl_shelf_window_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfWindow, sl_shelf_window, SL, SHELF_WINDOW, GtkApplicationWindow)

/* The shelf's window of @app, made if there is none. */
GtkWidget *sl_shelf_window_get (GtkApplication *app);
