/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the shelf's files share. Private to the file layer. */
#pragma once

#include "file/shelf.h"

#define SL_SHELF_ATTRIBUTES                                                                                            \
  G_FILE_ATTRIBUTE_STANDARD_NAME "," G_FILE_ATTRIBUTE_STANDARD_SIZE "," G_FILE_ATTRIBUTE_TIME_MODIFIED                 \
                                 "," G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC "," G_FILE_ATTRIBUTE_TIME_CHANGED             \
                                 "," G_FILE_ATTRIBUTE_TIME_CHANGED_USEC "," G_FILE_ATTRIBUTE_UNIX_INODE

/* An entry with nothing in it but a name. */
SlShelfEntry *sl_shelf_entry_new (const char *name);

/* Fills in what the file is, from SL_SHELF_ATTRIBUTES; and whether it is still that. */
void sl_shelf_entry_stamp (SlShelfEntry *entry, GFileInfo *info);
gboolean sl_shelf_entry_is_current (const SlShelfEntry *entry, GFileInfo *info);

/* Reads a file whose information is known. NULL where it is gone or reading was cancelled. */
SlShelfEntry *sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);

/* The entries an index holds, by name; an empty table where there is none, or none to be believed. */
GHashTable *sl_shelf_index_load (GFile *index, GFile *folder, const SlShop *shop);

/* Remembers sound entries. That it can't is no error: the next time takes longer. */
void sl_shelf_index_save (GFile *index, GFile *folder, const SlShop *shop, const GPtrArray *entries);
