/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Follows a folder of profiles: collects which of its files changed until it has been quiet for a moment, since a save makes several events in a row. Where the
 * file system can't tell of changes, nothing is told. */
#pragma once

#include <gio/gio.h>

typedef struct _SlFolderWatch SlFolderWatch;

/* @names: names of profiles that came, went or changed, to keep with g_hash_table_ref() if need be; NULL: the folder itself did, and nothing known of it holds. */
typedef void (*SlFolderChanged) (GHashTable *names, gpointer data);

SlFolderWatch *sl_folder_watch_new (guint quiet_ms, SlFolderChanged changed, gpointer data);
void sl_folder_watch_free (SlFolderWatch *self);

/* Follows @folder instead of what was followed before; changes not told of yet are forgotten. */
void sl_folder_watch_follow (SlFolderWatch *self, GFile *folder);

/* Tells now of whatever waits, and of @file if it is a profile in the folder. */
void sl_folder_watch_tell (SlFolderWatch *self, GFile *file);
