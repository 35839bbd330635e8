/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf: what a folder of profiles holds, one entry a file, read in threads and remembered in an index, so that
 * thousands of profiles are listed at once. The index is only a memory: it lies in the person's cache folder, is
 * deleted at any time without loss, and is not believed where it is damaged, of another version, or where a file is no
 * longer what it was. Files that are no profiles are entries too, with what is wrong with them. */
#pragma once

#include "file/shelf-entry.h"

/* Told of every lot of entries while they are read: the entries (of SlShelfEntry, borrowed), and how many of how many
 * files are done. */
typedef void (*SlShelfProgress) (const GPtrArray *lot, guint done, guint total, gpointer data);

/* Reads the profiles of a folder (what is in folders within it is not on this shelf): those the index knows at once,
 * the others in several threads. @index_folder is where indexes lie (NULL: none is used; one made for another shop is
 * not believed); sl_shelf_index_folder() is the usual place. Returns the entries, in order of name, or NULL with
 * G_IO_ERROR where the folder can't be read or reading was cancelled; what was read by then has been told of, and is
 * remembered. */
GPtrArray *sl_shelf_read (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                          gpointer data, GCancellable *cancellable, GError **error);

/* The same in a thread, which gets a copy of @shop; @progress is called in the caller's main context, never after
 * @done. */
void sl_shelf_read_async (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                          gpointer progress_data, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data);
GPtrArray *sl_shelf_read_finish (GAsyncResult *result, GError **error);

GFile *sl_shelf_index_folder (void);

/* The file that remembers a folder. */
GFile *sl_shelf_index_file (GFile *folder, GFile *index_folder);

/* Entries whose id another one has too: table from entry to the other's name (both borrowed). Copying a file in a file
 * manager makes such twins; each is a whole profile, but a baseline named by that id could be either. */
GHashTable *sl_shelf_twins (const GPtrArray *entries);
