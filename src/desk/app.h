/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The application: its windows (one a profile), documents from the command line and the file manager, and what all
 * windows share. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_APP (sl_app_get_type ())
G_DECLARE_FINAL_TYPE (SlApp, sl_app, SL, APP, GtkApplication)

SlApp *sl_app_new (void);

/* Shows @file: raises its window where it is open already, else reads it into @window if nothing is on that window's
 * bench yet, else into a window of its own. Why it could not be read is said in @window (NULL: in an empty one). */
void sl_app_show_file (SlApp *self, GFile *file, GtkWindow *window);

/* The recently opened profiles, as a menu that keeps itself up to date. Filled after the first frame. */
GMenuModel *sl_app_get_recent_menu (SlApp *self);
