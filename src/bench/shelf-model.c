/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shelf-model.h"

#include "bench/folder-watch.h"
#include "bench/settings.h"

#include <glib/gi18n-lib.h>

#define QUIET_MS 150
#define MOST_LOOKS 200 /* more files than this at once: the whole folder is read again, mostly from its index */

struct _SlShelfModel
{
  GObject parent_instance;

  /* owned */
  GListStore *store;
  GHashTable *by_name; /* file name → item, both borrowed from the store */
  GFile *folder;
  SlFolderWatch *watch;
  GCancellable *reading; /* of the reading under way */
  GCancellable *looking; /* of single files */
  char *failure;

  guint done, total;
  gboolean following; /* the folder's watch is on its way, the reading comes after it */
  gboolean stopped;
};

G_DEFINE_FINAL_TYPE (SlShelfModel, sl_shelf_model, G_TYPE_OBJECT)

static guint progress_signal, changed_signal;

/* ---- items ---- */

static gboolean
position_of (SlShelfModel *self, SlShelfItem *item, guint *position)
{
  return item != NULL && g_list_store_find (self->store, item, position);
}

/* Puts @n items in place of @n_old from @position on; what is replaced is found by its name no more. */
static void
splice (SlShelfModel *self, guint position, guint n_old, SlShelfItem **items, guint n)
{
  for (guint i = 0; i < n; i++)
    g_hash_table_replace (self->by_name, (gpointer) sl_shelf_item_get_entry (items[i])->name, items[i]);
  g_list_store_splice (self->store, position, n_old, (gpointer *) items, n);
}

static void
forget (SlShelfModel *self, const char *name)
{
  SlShelfItem *item = g_hash_table_lookup (self->by_name, name);
  guint position;

  if (!position_of (self, item, &position))
    return;
  g_hash_table_remove (self->by_name, name);
  g_list_store_remove (self->store, position);
}

static void
put (SlShelfModel *self, const SlShelfEntry *entry)
{
  g_autoptr (SlShelfItem) item = sl_shelf_item_new (entry, NULL);
  guint position = g_list_model_get_n_items (G_LIST_MODEL (self->store));
  const gboolean known = position_of (self, g_hash_table_lookup (self->by_name, entry->name), &position);

  splice (self, position, known ? 1 : 0, &item, 1);
}

/* Twins are known only once all are: their rows say so. */
static void
mark_twins (SlShelfModel *self)
{
  GListModel *list = G_LIST_MODEL (self->store);
  const guint n = g_list_model_get_n_items (list);
  g_autoptr (GPtrArray) entries = g_ptr_array_sized_new (n);
  g_autoptr (GHashTable) twins = NULL;

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);

      g_ptr_array_add (entries, (gpointer) sl_shelf_item_get_entry (item));
    }
  twins = sl_shelf_twins (entries);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i), marked = NULL;
      const char *twin = g_hash_table_lookup (twins, sl_shelf_item_get_entry (item));

      if (g_strcmp0 (twin, sl_shelf_item_get_twin (item)) == 0)
        continue;
      marked = sl_shelf_item_new (sl_shelf_item_get_entry (item), twin);
      splice (self, i, 1, &marked, 1);
    }
}

static void
after_change (SlShelfModel *self)
{
  mark_twins (self);
  g_signal_emit (self, changed_signal, 0);
}

/* ---- the whole folder ---- */

/* One reading of the folder; it keeps the model alive. */
typedef struct
{
  SlShelfModel *self;
  GCancellable *cancellable;
} Reading;

static void
reading_free (Reading *reading)
{
  g_object_unref (reading->self);
  g_object_unref (reading->cancellable);
  g_free (reading);
}

/* Not so where it was given up for another. */
static gboolean
is_latest (const Reading *reading)
{
  return reading->self->reading == reading->cancellable;
}

static void
on_lot (const GPtrArray *lot, guint done, guint total, gpointer data)
{
  SlShelfModel *self = ((Reading *) data)->self;
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);

  if (!is_latest (data))
    return;
  for (guint i = 0; i < lot->len; i++)
    {
      const SlShelfEntry *entry = g_ptr_array_index (lot, i);

      if (!g_hash_table_contains (self->by_name, entry->name)) /* the monitor was not quicker */
        g_ptr_array_add (items, sl_shelf_item_new (entry, NULL));
    }
  splice (self, g_list_model_get_n_items (G_LIST_MODEL (self->store)), 0, (SlShelfItem **) items->pdata, items->len);
  self->done = done;
  self->total = total;
  g_signal_emit (self, progress_signal, 0);
}

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  Reading *reading = data;
  SlShelfModel *self = reading->self;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = sl_shelf_read_finish (result, &error);

  if (is_latest (reading))
    {
      g_clear_object (&self->reading);
      self->stopped = g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
      self->failure = error != NULL && !self->stopped ? g_strdup (error->message) : NULL;
      g_signal_emit (self, progress_signal, 0);
      after_change (self);
    }
  reading_free (reading);
}

/* Read only now that it is watched, so that no change is missed. */
static void
on_folder_followed (gpointer data)
{
  SlShelfModel *self = data;
  g_autoptr (GFile) index_folder = sl_shelf_index_folder ();
  const SlShop shop = sl_settings_get_shop ();
  Reading *reading;

  if (!self->following) /* stopped before it began */
    return;
  self->following = FALSE;
  reading = g_new (Reading, 1);
  *reading = (Reading){ g_object_ref (self), g_object_ref (self->reading) };
  sl_shelf_read_async (self->folder, index_folder, &shop, on_lot, reading, self->reading, on_read, reading);
}

void
sl_shelf_model_open (SlShelfModel *self, GFile *folder, gboolean make)
{
  g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  g_cancellable_cancel (self->looking);
  g_clear_object (&self->looking);
  self->looking = g_cancellable_new ();
  g_set_object (&self->folder, folder);
  g_clear_pointer (&self->failure, g_free);
  self->stopped = FALSE;
  self->done = self->total = 0;
  g_hash_table_remove_all (self->by_name);
  g_list_store_remove_all (self->store);
  self->reading = g_cancellable_new ();
  self->following = TRUE;
  sl_folder_watch_follow (self->watch, folder, make);
  g_signal_emit (self, progress_signal, 0);
}

void
sl_shelf_model_stop (SlShelfModel *self)
{
  g_cancellable_cancel (self->reading);
  if (!self->following)
    return;
  self->following = FALSE;
  g_clear_object (&self->reading);
  self->stopped = TRUE;
  g_signal_emit (self, progress_signal, 0);
}

/* ---- single files ---- */

typedef struct
{
  GFile *folder;
  SlShop shop;
  GHashTable *names;
  GPtrArray *entries; /* of what is there */
  GPtrArray *gone;    /* the names of what is not, borrowed */
} Look;

static void
look_free (gpointer data)
{
  Look *look = data;

  g_object_unref (look->folder);
  g_ptr_array_unref (look->entries);
  g_ptr_array_unref (look->gone);
  g_hash_table_unref (look->names);
  g_free (look);
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Look *look = data;
  GHashTableIter iter;
  gpointer name;

  g_hash_table_iter_init (&iter, look->names);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    {
      g_autoptr (GFile) file = g_file_get_child (look->folder, name);
      SlShelfEntry *entry = sl_shelf_entry_read (file, &look->shop, cancellable);

      if (entry != NULL)
        g_ptr_array_add (look->entries, entry);
      else
        g_ptr_array_add (look->gone, name);
    }
  g_task_return_boolean (task, TRUE);
}

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfModel *self = SL_SHELF_MODEL (source);
  Look *look = g_task_get_task_data (G_TASK (result));

  if (!g_task_propagate_boolean (G_TASK (result), NULL))
    return;
  for (guint i = 0; i < look->entries->len; i++)
    put (self, g_ptr_array_index (look->entries, i));
  for (guint i = 0; i < look->gone->len; i++)
    forget (self, g_ptr_array_index (look->gone, i));
  after_change (self);
}

static void
read_again (SlShelfModel *self)
{
  if (self->folder != NULL)
    sl_shelf_model_open (self, self->folder, FALSE);
}

static void
on_folder_changed (GHashTable *names, gpointer data)
{
  SlShelfModel *self = data;
  g_autoptr (GTask) task = NULL;
  Look *look;

  if (names == NULL || g_hash_table_size (names) > MOST_LOOKS)
    {
      read_again (self);
      return;
    }
  look = g_new (Look, 1);
  *look = (Look){ g_object_ref (self->folder), sl_settings_get_shop (), g_hash_table_ref (names),
                  g_ptr_array_new_with_free_func ((GDestroyNotify) sl_shelf_entry_unref), g_ptr_array_new () };
  task = g_task_new (self, self->looking, on_looked, NULL);
  g_task_set_task_data (task, look, look_free);
  g_task_run_in_thread (task, look_in_thread);
}

void
sl_shelf_model_look_at (SlShelfModel *self, GFile *file)
{
  sl_folder_watch_tell (self->watch, file);
}

/* ---- the object ---- */

static void
sl_shelf_model_dispose (GObject *object)
{
  SlShelfModel *self = SL_SHELF_MODEL (object);

  g_cancellable_cancel (self->reading);
  g_cancellable_cancel (self->looking);
  g_clear_pointer (&self->watch, sl_folder_watch_free);
  g_clear_object (&self->reading);
  g_clear_object (&self->looking);
  g_clear_object (&self->folder);
  g_clear_pointer (&self->by_name, g_hash_table_unref);
  g_clear_pointer (&self->failure, g_free);
  g_clear_object (&self->store);
  G_OBJECT_CLASS (sl_shelf_model_parent_class)->dispose (object);
}

static void
sl_shelf_model_class_init (SlShelfModelClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_shelf_model_dispose;
  progress_signal =
      g_signal_new ("progress", SL_TYPE_SHELF_MODEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  changed_signal =
      g_signal_new ("changed", SL_TYPE_SHELF_MODEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_shelf_model_init (SlShelfModel *self)
{
  self->store = g_list_store_new (SL_TYPE_SHELF_ITEM);
  self->by_name = g_hash_table_new (g_str_hash, g_str_equal);
  self->watch = sl_folder_watch_new (QUIET_MS, on_folder_changed, on_folder_followed, self);
  sl_settings_follow_shop (self, G_CALLBACK (read_again)); /* whose figures entries show */
}

SlShelfModel *
sl_shelf_model_new (void)
{
  return g_object_new (SL_TYPE_SHELF_MODEL, NULL);
}

GListModel *
sl_shelf_model_get_list (SlShelfModel *self)
{
  return G_LIST_MODEL (self->store);
}

GFile *
sl_shelf_model_get_folder (SlShelfModel *self)
{
  return self->folder;
}

gboolean
sl_shelf_model_is_reading (SlShelfModel *self)
{
  return self->reading != NULL;
}

void
sl_shelf_model_get_progress (SlShelfModel *self, guint *done, guint *total)
{
  *done = self->done;
  *total = self->total;
}

gboolean
sl_shelf_model_was_stopped (SlShelfModel *self)
{
  return self->stopped;
}

const char *
sl_shelf_model_get_failure (SlShelfModel *self)
{
  return self->failure;
}
