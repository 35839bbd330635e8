/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One row of the shelf: an entry as a list model holds it. Never changes; what changes is replaced. */
#pragma once

#include <gio/gio.h>

#include "file/shelf.h"
#include "setup/profile/units.h"

#define SL_TYPE_SHELF_ITEM (sl_shelf_item_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfItem, sl_shelf_item, SL, SHELF_ITEM, GObject)

/* @twin is the name of another file with the same id, or NULL. */
SlShelfItem *sl_shelf_item_new (const SlShelfEntry *entry, const char *twin);

const SlShelfEntry *sl_shelf_item_get_entry (SlShelfItem *self);
const char *sl_shelf_item_get_twin (SlShelfItem *self);

/* What heads its row: the label, or the file's name where there is none. */
const char *sl_shelf_item_get_title (SlShelfItem *self);

/* Beneath it: what is wrong, or worth knowing; NULL for nothing. */
const char *sl_shelf_item_get_note (SlShelfItem *self);

/* What of it a search for @words (sl_shelf_words()) found that its row does not show: "Contact: Tide Lane 4". NULL for
 * nothing. Free with g_free(). */
char *sl_shelf_item_find (SlShelfItem *self, char **words);

/* The columns, and how each sorts its items (ties by title). */
typedef enum
{
  SL_SHELF_COLUMN_LABEL,
  SL_SHELF_COLUMN_OWNER,
  SL_SHELF_COLUMN_MODEL,
  SL_SHELF_COLUMN_ACTION,
  SL_SHELF_COLUMN_RELIEF,
  SL_SHELF_COLUMN_LAST_VISIT,
  SL_SHELF_COLUMN_STATE,
  SL_SHELF_N_COLUMNS
} SlShelfColumn;
int sl_shelf_item_compare (SlShelfItem *a, SlShelfItem *b, SlShelfColumn column);

/* The text of a cell, lengths without their unit; free with g_free(). */
char *sl_shelf_item_text (SlShelfItem *self, SlShelfColumn column, SlLengths lengths);
