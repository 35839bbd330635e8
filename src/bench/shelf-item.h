/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One row of the shelf: an entry as a list model holds it. Never changes; what changes is replaced. */
#pragma once

#include "file/in-use.h"
#include "file/shelf.h"
#include "setup/profile/units.h"

#define SL_TYPE_SHELF_ITEM (sl_shelf_item_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfItem, sl_shelf_item, SL, SHELF_ITEM, GObject)

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

struct _SlShelfItem
{
  GObject parent_instance;

  const SlShelfEntry *entry;
  char *twin;                            /* another file with the same id; NULL: there is none */
  char *title;                           /* heads its row: the label, or the file's name where there is none */
  char *note;                            /* beneath it: what is wrong, or worth knowing; NULL: nothing */
  char *in_use;                          /* beneath that: who has it open elsewhere; NULL: nobody */
  gboolean left_open;                    /* whose program was cut off */
  char *keys[SL_SHELF_COLUMN_MODEL + 1]; /* of texts, made when first sorted by */
};

/* @twin is the name of another file with the same id, or NULL; @in_use who has it open elsewhere, or NULL. */
SlShelfItem *sl_shelf_item_new (const SlShelfEntry *entry, const char *twin, const SlInUse *in_use);

/* What of it a search for @words (sl_shelf_words()) found that its row does not show: "Contact: Tide Lane 4". NULL for
 * nothing. Free with g_free(). */
char *sl_shelf_item_find (SlShelfItem *self, char **words);

int sl_shelf_item_compare (SlShelfItem *a, SlShelfItem *b, SlShelfColumn column);

/* The text of a cell, lengths without their unit; free with g_free(). */
char *sl_shelf_item_text (SlShelfItem *self, SlShelfColumn column, SlLengths lengths);
