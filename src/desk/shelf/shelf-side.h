/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Beside the shelf's table: the chosen profile's side view, what is known of it, and the entries that rename
 * it. */
#pragma once

#include <gtk/gtk.h>

#include "bench/shelf-item.h"

#define SL_TYPE_SHELF_SIDE (sl_shelf_side_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfSide, sl_shelf_side, SL, SHELF_SIDE, GtkBox)

/* Signal: "rename" (label or NULL, file name without ending): what was typed is to be done. */
GtkWidget *sl_shelf_side_new (GMenuModel *menu);

/* Shows @item, whose file is @file; both NULL: nothing is chosen. */
void sl_shelf_side_show (SlShelfSide *self, SlShelfItem *item, GFile *file);
void sl_shelf_side_set_lengths (SlShelfSide *self, SlLengths lengths);

/* Opens the entries for another name. */
void sl_shelf_side_ask_name (SlShelfSide *self);
