/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The index of one folder. Private to the file layer. */
#pragma once

#include "file/shelf-entry.h"

/* The entries an index holds, by name; an empty table where there is none, or none to be believed. */
GHashTable *sl_shelf_index_load (GFile *index, GFile *folder, const SlShop *shop);

/* Remembers sound entries. That it can't is no error: the next time takes longer. */
void sl_shelf_index_save (GFile *index, GFile *folder, const SlShop *shop, const GPtrArray *entries);
