/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recently opened profiles, shared with the desktop's list of recent files. */
#pragma once

#include <gtk/gtk.h>

/* A menu of the latest profiles, each activating app.open-recent with its URI; it follows the list. Filled when the
 * program is idle. */
GMenu *sl_recent_menu_new (void);

/* Looks for the latest profiles that are still there (or, with @missing_too, were once), @most of them, in a thread, as
 * some may lie on a share; @done is called with @source, an object that is kept until then. The result is an array of
 * GtkRecentInfo; NULL where @source has begun to look again since. */
void sl_recent_profiles_async (gpointer source, guint most, gboolean missing_too, GAsyncReadyCallback done);
GPtrArray *sl_recent_profiles_finish (GAsyncResult *result);

/* The name of one: its file's, without the extension. */
char *sl_recent_name (GtkRecentInfo *info);

void sl_recent_add (GFile *file);
