/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf as a list that keeps itself up to date: read in the background, followed by a monitor, each file an
 * SlShelfItem. */
#pragma once

#include "bench/folder-watch.h"
#include "bench/shelf-item.h"

#define SL_TYPE_SHELF_MODEL (sl_shelf_model_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfModel, sl_shelf_model, SL, SHELF_MODEL, GObject)

struct _SlShelfModel
{
  GObject parent_instance;

  /* for all to read */
  GListStore *items;     /* in no order */
  GFile *folder;         /* NULL before the first sl_shelf_model_open() */
  GCancellable *reading; /* of the reading under way; NULL: none is */
  guint done, total;     /* how far it is */
  gboolean stopped;      /* before it came to its end */
  char *failure;         /* why the folder can't be listed; NULL: it can */
  gboolean silent;       /* it has not answered for some seconds */

  /* inside */
  GHashTable *by_name; /* file name → item, both borrowed from the items */
  GHashTable *by_id;   /* id → GPtrArray of its items, borrowed too: twins where there are several */
  GHashTable *touched; /* ids whose items came, went or changed since twins were marked */
  GHashTable *looks;   /* file name → the latest Look at it, only to be compared with */
  SlFolderWatch *watch;
  GCancellable *looking; /* of single files */
  GHashTable *in_use;    /* file name → SlInUse: who has it open elsewhere */
  gint64 clock_us;       /* the folder's clock ahead of the monotonic one; 0: not known */
  guint in_use_source;   /* looks from time to time who still has, while somebody has */
  gboolean following;    /* the folder's watch is on its way, the reading comes after it */
};

/* Signals: "progress" (how far reading is, or that it ended, changed), "changed" (a file came, went or changed, once
 * the shelf is read). */
SlShelfModel *sl_shelf_model_new (void);

/* Reads @folder, which is made first with @make, in place of what is listed; the same folder again: reads it again. */
void sl_shelf_model_open (SlShelfModel *self, GFile *folder, gboolean make);

/* Ends reading; what has been read stays listed. */
void sl_shelf_model_stop (SlShelfModel *self);

/* Looks at one file again now, without waiting for the monitor: shares often have none. */
void sl_shelf_model_look_at (SlShelfModel *self, GFile *file);
