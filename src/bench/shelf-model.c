/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shelf-model.h"

#include "bench/settings.h"

#define QUIET_MS 150
#define MOST_LOOKS 200 /* more files than this at once: the whole folder is read again, mostly from its index */

G_DEFINE_FINAL_TYPE (SlShelfModel, sl_shelf_model, G_TYPE_OBJECT)

static guint progress_signal, changed_signal;

/* ---- items ---- */

static gboolean
position_of (SlShelfModel *self, SlShelfItem *item, guint *position)
{
  return item != NULL && g_list_store_find (self->items, item, position);
}

static void
add (SlShelfModel *self, SlShelfItem *item)
{
  const SlShelfEntry *entry = item->entry;
  GPtrArray *same;

  g_hash_table_insert (self->by_name, (gpointer) entry->name, item);
  if (*entry->id == '\0')
    return;
  same = g_hash_table_lookup (self->by_id, entry->id);
  if (same == NULL)
    {
      same = g_ptr_array_new ();
      g_hash_table_insert (self->by_id, g_strdup (entry->id), same);
    }
  g_ptr_array_add (same, item);
  g_hash_table_add (self->touched, g_strdup (entry->id));
}

/* Before the store lets go of it. */
static void
forget_item (SlShelfModel *self, SlShelfItem *item)
{
  const SlShelfEntry *entry = item->entry;
  GPtrArray *same = g_hash_table_lookup (self->by_id, entry->id);

  g_hash_table_remove (self->by_name, entry->name);
  if (same == NULL)
    return;
  g_hash_table_add (self->touched, g_strdup (entry->id));
  g_ptr_array_remove (same, item);
  if (same->len == 0)
    g_hash_table_remove (self->by_id, entry->id);
}

static void
replace (SlShelfModel *self, guint position, SlShelfItem *old, SlShelfItem *item)
{
  gpointer items[] = { item };

  forget_item (self, old);
  g_list_store_splice (self->items, position, 1, items, 1);
  add (self, item);
}

static void
forget (SlShelfModel *self, const char *name)
{
  SlShelfItem *item = g_hash_table_lookup (self->by_name, name);
  guint position;

  if (!position_of (self, item, &position))
    return;
  forget_item (self, item);
  g_list_store_remove (self->items, position);
}

static void
put (SlShelfModel *self, const SlShelfEntry *entry)
{
  g_autoptr (SlShelfItem) item = sl_shelf_item_new (entry, NULL);
  SlShelfItem *old = g_hash_table_lookup (self->by_name, entry->name);
  guint position;

  if (position_of (self, old, &position))
    replace (self, position, old, item);
  else
    {
      g_list_store_append (self->items, item);
      add (self, item);
    }
}

/* The rows of one id say whether they are twins. */
static void
mark_same (SlShelfModel *self, const GPtrArray *same)
{
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  g_autoptr (GHashTable) twins = NULL;

  SL_EACH_OF (SlShelfItem, item, same)
    {
      g_ptr_array_add (items, g_object_ref (item));
      g_ptr_array_add (entries, (gpointer) item->entry);
    }
  twins = sl_shelf_twins (entries);
  SL_EACH_OF (SlShelfItem, item, items)
    {
      const char *twin = g_hash_table_lookup (twins, item->entry);
      guint position;

      if (g_strcmp0 (twin, item->twin) != 0 && position_of (self, item, &position))
        {
          g_autoptr (SlShelfItem) marked = sl_shelf_item_new (item->entry, twin);

          replace (self, position, item, marked);
        }
    }
}

/* Twins are known only once all are: their rows say so. Only ids of which something changed are looked at. */
static void
mark_twins (SlShelfModel *self)
{
  g_autoptr (GHashTable) ids = g_steal_pointer (&self->touched);
  GHashTableIter iter;
  gpointer id;

  self->touched = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_hash_table_iter_init (&iter, ids);
  while (g_hash_table_iter_next (&iter, &id, NULL))
    {
      const GPtrArray *same = g_hash_table_lookup (self->by_id, id);

      if (same != NULL)
        mark_same (self, same);
    }
  g_hash_table_remove_all (self->touched); /* by marking */
}

static void
after_change (SlShelfModel *self)
{
  mark_twins (self);
  g_signal_emit (self, changed_signal, 0);
}

/* ---- the whole folder ---- */

static void
clear (SlShelfModel *self)
{
  g_hash_table_remove_all (self->by_name);
  g_hash_table_remove_all (self->by_id);
  g_hash_table_remove_all (self->touched);
  g_hash_table_remove_all (self->looks);
  g_list_store_remove_all (self->items);
}

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
  SL_EACH_OF (const SlShelfEntry, entry, lot)
    {
      if (g_hash_table_contains (self->looks, entry->name)) /* the monitor was quicker */
        continue;
      SlShelfItem *item = sl_shelf_item_new (entry, NULL);

      g_ptr_array_add (items, item);
      add (self, item);
    }
  g_list_store_splice (self->items, g_list_model_get_n_items (G_LIST_MODEL (self->items)), 0, items->pdata, items->len);
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
  clear (self);
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
  GPtrArray *names;   /* owned names */
  GPtrArray *entries; /* one for each name; NULL where the file is gone */
} Look;

static void
look_free (gpointer data)
{
  Look *look = data;

  g_object_unref (look->folder);
  g_ptr_array_unref (look->names);
  for (guint i = 0; i < look->entries->len; i++)
    g_clear_pointer ((SlShelfEntry **) &look->entries->pdata[i], sl_shelf_entry_unref);
  g_ptr_array_unref (look->entries);
  g_free (look);
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Look *look = data;

  for (guint i = 0; i < look->names->len; i++)
    {
      g_autoptr (GFile) file = g_file_get_child (look->folder, g_ptr_array_index (look->names, i));

      g_ptr_array_add (look->entries, sl_shelf_entry_read (file, &look->shop, cancellable));
    }
  g_task_return_boolean (task, TRUE);
}

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfModel *self = SL_SHELF_MODEL (source);
  Look *look = g_task_get_task_data (G_TASK (result));

  if (!g_task_propagate_boolean (G_TASK (result), NULL) ||
      g_cancellable_is_cancelled (g_task_get_cancellable (G_TASK (result))))
    return;
  for (guint i = 0; i < look->names->len; i++)
    if (g_hash_table_lookup (self->looks, g_ptr_array_index (look->names, i)) != look)
      continue; /* another began later and saw what is newer, whichever comes back first */
    else if (g_ptr_array_index (look->entries, i) != NULL)
      put (self, g_ptr_array_index (look->entries, i));
    else
      forget (self, g_ptr_array_index (look->names, i));
  after_change (self);
}

static void
open_again (SlShelfModel *self)
{
  g_autoptr (GFile) folder = self->folder != NULL ? g_object_ref (self->folder) : NULL;

  if (folder != NULL)
    sl_shelf_model_open (self, folder, FALSE);
}

static void
on_folder_changed (GHashTable *names, gpointer data)
{
  SlShelfModel *self = data;
  Look *look;
  GHashTableIter iter;
  gpointer name;

  if (names == NULL || g_hash_table_size (names) > MOST_LOOKS)
    {
      open_again (self);
      return;
    }
  look = g_new0 (Look, 1);
  *look = (Look){ g_object_ref (self->folder), sl_settings_get_shop (), g_ptr_array_new_with_free_func (g_free),
                  g_ptr_array_new () };
  g_hash_table_iter_init (&iter, names);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    {
      g_ptr_array_add (look->names, g_strdup (name));
      g_hash_table_insert (self->looks, g_strdup (name), look);
    }
  sl_run_in_thread (self, self->looking, look_in_thread, look, look_free, on_looked, NULL);
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
  g_clear_pointer (&self->by_id, g_hash_table_unref);
  g_clear_pointer (&self->touched, g_hash_table_unref);
  g_clear_pointer (&self->looks, g_hash_table_unref);
  g_clear_pointer (&self->failure, g_free);
  g_clear_object (&self->items);
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
  self->items = g_list_store_new (SL_TYPE_SHELF_ITEM);
  self->by_name = g_hash_table_new (g_str_hash, g_str_equal);
  self->by_id = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_ptr_array_unref);
  self->touched = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->looks = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->watch = sl_folder_watch_new (QUIET_MS, on_folder_changed, on_folder_followed, self);
  sl_settings_follow_shop (self, G_CALLBACK (open_again));
}

SlShelfModel *
sl_shelf_model_new (void)
{
  return g_object_new (SL_TYPE_SHELF_MODEL, NULL);
}
