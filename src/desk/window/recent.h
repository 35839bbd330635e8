/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recently opened profiles, shared with the desktop's list of recent files. */
#pragma once

#include <gtk/gtk.h>

/* A menu of the latest profiles, each activating app.open-recent with its URI; it follows the list. Filled when the program is idle. */
GMenu *sl_recent_menu_new (void);

/* The latest profiles that are still there, @most of them, as an array of GtkRecentInfo. */
GPtrArray *sl_recent_profiles (guint most);

/* The name of one: its file's, without the extension. */
char *sl_recent_name (GtkRecentInfo *info);

void sl_recent_add (GFile *file);
