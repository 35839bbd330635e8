/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf's table: sorted, searched and filtered rows of a shelf's items, one of them chosen. */
#pragma once

#include <gtk/gtk.h>

#include "bench/shelf-item.h"

#define SL_TYPE_SHELF_TABLE (sl_shelf_table_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfTable, sl_shelf_table, SL, SHELF_TABLE, GObject)

typedef enum
{
  SL_SHELF_ALL,
  SL_SHELF_INSTRUMENTS,
  SL_SHELF_BASELINES,
  SL_SHELF_AT_FAULT
} SlShelfKinds;

typedef enum
{
  SL_SHELF_ANY_VISIT,
  SL_SHELF_OPEN_VISITS,
  SL_SHELF_CLOSED_VISITS,
  SL_SHELF_WITHOUT_VISIT
} SlShelfVisits;

/* Signals: "chosen" (another item is chosen, or none), "activated" (the chosen one is to be opened), "shown" (which
 * items are shown changed).
 * @list holds SlShelfItems. */
SlShelfTable *sl_shelf_table_new (GListModel *list);

GtkWidget *sl_shelf_table_get_view (SlShelfTable *self);

void sl_shelf_table_search (SlShelfTable *self, const char *typed);
void sl_shelf_table_filter (SlShelfTable *self, SlShelfKinds kinds, SlShelfVisits visits);
void sl_shelf_table_set_lengths (SlShelfTable *self, SlLengths lengths);

guint sl_shelf_table_get_n_shown (SlShelfTable *self);
gboolean sl_shelf_table_is_narrowed (SlShelfTable *self); /* a search or filter is on */
SlShelfItem *sl_shelf_table_get_chosen (SlShelfTable *self);
void sl_shelf_table_choose (SlShelfTable *self, const char *name);

/* The one whose row is at a place of the view; none where there is no row. */
void sl_shelf_table_choose_at (SlShelfTable *self, double x, double y);
