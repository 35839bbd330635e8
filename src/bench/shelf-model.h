/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf as a list that keeps itself up to date: read in the background, followed by a monitor, each file an
 * SlShelfItem. */
#pragma once

#include "bench/shelf-item.h"

#define SL_TYPE_SHELF_MODEL (sl_shelf_model_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfModel, sl_shelf_model, SL, SHELF_MODEL, GObject)

/* Signals: "progress" (how far reading is, or that it ended, changed), "changed" (a file came, went or changed, once
 * the shelf is read). */
SlShelfModel *sl_shelf_model_new (void);

/* The items, in no order. */
GListModel *sl_shelf_model_get_list (SlShelfModel *self);

GFile *sl_shelf_model_get_folder (SlShelfModel *self); /* NULL before the first sl_shelf_model_open() */

/* Reads @folder, which is made first with @make, in place of what is listed; the same folder again: reads it again. */
void sl_shelf_model_open (SlShelfModel *self, GFile *folder, gboolean make);

/* Ends reading; what has been read stays listed. */
void sl_shelf_model_stop (SlShelfModel *self);

/* Looks at one file again now, without waiting for the monitor: shares often have none. */
void sl_shelf_model_look_at (SlShelfModel *self, GFile *file);

gboolean sl_shelf_model_is_reading (SlShelfModel *self);
void sl_shelf_model_get_progress (SlShelfModel *self, guint *done, guint *total);
gboolean sl_shelf_model_was_stopped (SlShelfModel *self);

/* Why the folder can't be listed, or NULL. */
const char *sl_shelf_model_get_failure (SlShelfModel *self);
