/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rows of the shelf's table as a list model: a list's items sorted and filtered, each in a row object that stays
 * while what it shows changes. A list of rows that last needs no new widgets when others are found, and so keeps up
 * with typing among ten thousand items: rows on the screen change at once, those outside it in small steps afterwards.
 * Meanwhile there may be fewer rows than items, or empty ones at the end. */
#pragma once

#include <gtk/gtk.h>

#include "bench/shelf-item.h"

#define SL_TYPE_SHELF_ROW (sl_shelf_row_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfRow, sl_shelf_row, SL, SHELF_ROW, GObject)

struct _SlShelfRow
{
  GObject parent_instance;

  SlShelfItem *item;                      /* owned; NULL: empty */
  GtkListItem *cells[SL_SHELF_N_COLUMNS]; /* those it is shown in, set while they are bound; NULL where it isn't */
  gboolean stale;                         /* the cells show what the row was before */
};

#define SL_TYPE_SHELF_ROWS (sl_shelf_rows_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfRows, sl_shelf_rows, SL, SHELF_ROWS, GObject)

/* Whom the rows are for; each function is given the same data. */
typedef struct
{
  /* whether @item is among those wanted */
  gboolean (*wants) (SlShelfItem *item, gpointer data);
  /* writes a row's item into its cells */
  void (*fill) (SlShelfRow *row, gpointer data);
  /* which rows are on the screen: the first, and how many there is room for */
  void (*screen) (guint *first, guint *n, gpointer data);
  /* which items are wanted, or their order, changed, and the rows on the screen show it already; or rows came or went
   */
  void (*arranged) (gpointer data);
} SlShelfRowsUser;

/* @items holds SlShelfItems, which @sorter compares. To be disposed of before @data goes. */
SlShelfRows *sl_shelf_rows_new (GListModel *items, GtkSorter *sorter, const SlShelfRowsUser *user, gpointer data);

/* Asks again which items are wanted; where @narrower only among those that were. */
void sl_shelf_rows_refilter (SlShelfRows *self, gboolean narrower);

/* Fills all cells again. */
void sl_shelf_rows_refill (SlShelfRows *self);

/* The items wanted, in their order; there may not be rows for all of them yet. Borrowed. */
const GPtrArray *sl_shelf_rows_get_wanted (SlShelfRows *self);
