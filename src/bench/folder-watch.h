/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Follows a folder of profiles: collects which of its files changed until it has been quiet for a moment, since a save
 * makes several events in a row. Where the file system can't tell of changes, nothing is reported. */
#pragma once

#include <gio/gio.h>

typedef struct _SlFolderWatch SlFolderWatch;

/* @names: names of profiles that came, went or changed, to keep with g_hash_table_ref() if need be; NULL: the folder
 * itself did, and nothing known of it holds. */
typedef void (*SlFolderChanged) (GHashTable *names, gpointer data);

/* The folder is watched from now on: whatever is read of it from here on, changes to it will be reported. */
typedef void (*SlFolderFollowed) (gpointer data);

SlFolderWatch *sl_folder_watch_new (guint quiet_ms, SlFolderChanged changed, SlFolderFollowed followed, gpointer data);
void sl_folder_watch_free (SlFolderWatch *self);

/* Follows @folder, which is made first with @make, instead of what was followed before; changes not reported yet are
 * forgotten. Begun in a thread, as a share may be slow: then `followed` is called. */
void sl_folder_watch_follow (SlFolderWatch *self, GFile *folder, gboolean make);

/* Files by names that are @wanted are followed from now on, in place of profiles. */
void sl_folder_watch_want (SlFolderWatch *self, gboolean (*wanted) (const char *name));

/* Reports now whatever waits, and of @file if it is a profile in the folder. */
void sl_folder_watch_tell (SlFolderWatch *self, GFile *file);
