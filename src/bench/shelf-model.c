/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shelf-model.h"

#include "bench/settings.h"

#define QUIET_MS 150
#define IN_USE_S 60    /* between looks for notes that nobody renews any more */
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

static SlShelfItem *
new_item (SlShelfModel *self, const SlShelfEntry *entry, const char *twin)
{
  return sl_shelf_item_new (entry, twin, g_hash_table_lookup (self->in_use, entry->name));
}

static void
put (SlShelfModel *self, const SlShelfEntry *entry)
{
  g_autoptr (SlShelfItem) item = new_item (self, entry, NULL);
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
          g_autoptr (SlShelfItem) marked = new_item (self, item->entry, twin);

          replace (self, position, item, marked);
        }
    }
}

static void
after_change (SlShelfModel *self)
{
  /* twins are known only once all are: their rows say so; only ids of which something changed are looked at */
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
  g_signal_emit (self, changed_signal, 0);
}

/* ---- who has them open ---- */

static void look_at (SlShelfModel *self, GHashTable *changed);

static void
look_at_all_use (SlShelfModel *self)
{
  self->in_use_source = 0;
  look_at (self, NULL);
}

/* What was @found (of SlInUse, taken out of it) by a look at profiles of these names, or of all; whether anything was.
 */
static gboolean
take_use (SlShelfModel *self, GHashTable *names, GPtrArray *found)
{
  g_autoptr (GHashTable) touched = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GHashTableIter iter;
  gpointer name;

  g_hash_table_iter_init (&iter, self->in_use);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    if (names == NULL || g_hash_table_contains (names, name))
      {
        g_hash_table_add (touched, g_strdup (name));
        g_hash_table_iter_remove (&iter);
      }
  g_ptr_array_set_free_func (found, NULL);
  SL_EACH_OF (SlInUse, other, found)
    {
      const SlInUse *known = g_hash_table_lookup (self->in_use, other->file);

      g_hash_table_add (touched, g_strdup (other->file));
      if (known == NULL || known->left) /* one is told: who works on it, sooner than who did */
        g_hash_table_replace (self->in_use, other->file, other);
      else
        sl_in_use_free (other);
    }
  g_ptr_array_set_size (found, 0);
  g_hash_table_iter_init (&iter, touched);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    {
      /* its row says who has it open, now another or nobody */
      SlShelfItem *old = g_hash_table_lookup (self->by_name, name);
      g_autoptr (SlShelfItem) item = old != NULL ? new_item (self, old->entry, old->twin) : NULL;
      guint position;

      if (item != NULL && g_strcmp0 (item->in_use, old->in_use) != 0 && position_of (self, old, &position))
        replace (self, position, old, item);
    }
  if (g_hash_table_size (self->in_use) > 0 && self->in_use_source == 0)
    self->in_use_source = g_timeout_add_once (IN_USE_S * 1000, (GSourceOnceFunc) look_at_all_use, self);
  return g_hash_table_size (touched) > 0;
}

/* ---- the whole folder ---- */

/* One reading of the folder; it keeps the model alive. */
typedef struct
{
  SlShelfModel *self;
  GCancellable *cancellable;
} Reading;

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
      SlShelfItem *item = new_item (self, entry, NULL);

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
      if (error == NULL)
        look_at (self, NULL);
    }
  g_object_unref (reading->self);
  g_object_unref (reading->cancellable);
  g_free (reading);
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
  self->stopped = self->silent = FALSE;
  self->clock_us = 0;
  self->done = self->total = 0;
  g_hash_table_remove_all (self->by_name);
  g_hash_table_remove_all (self->by_id);
  g_hash_table_remove_all (self->touched);
  g_hash_table_remove_all (self->looks);
  g_hash_table_remove_all (self->in_use);
  g_clear_handle_id (&self->in_use_source, g_source_remove);
  g_list_store_remove_all (self->items);
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

/* At profiles and the notes on them. */
typedef struct
{
  GFile *folder;
  SlShop shop;
  GHashTable *names; /* name → its entry, NULL where the file is gone; NULL: the notes on all there are */
  gint64 clock_us;   /* as the model's, perhaps found out here */
  GPtrArray *in_use; /* of SlInUse */
} Look;

static void
look_free (Look *look)
{
  g_object_unref (look->folder);
  g_clear_pointer (&look->names, g_hash_table_unref);
  g_clear_pointer (&look->in_use, g_ptr_array_unref);
  g_free (look);
}

static void
look_for_use (Look *look, GCancellable *cancellable)
{
  const gint64 now_us = look->clock_us != 0 ? g_get_monotonic_time () + look->clock_us : 0;
  GHashTableIter iter;
  gpointer name;

  g_clear_pointer (&look->in_use, g_ptr_array_unref);
  if (look->names == NULL)
    {
      look->in_use = sl_in_use_look_at_all (look->folder, now_us, cancellable);
      return;
    }
  look->in_use = g_ptr_array_new_with_free_func (sl_in_use_free);
  g_hash_table_iter_init (&iter, look->names);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    {
      g_autoptr (GFile) file = g_file_get_child (look->folder, name);

      g_ptr_array_extend_and_steal (look->in_use, sl_in_use_look (file, now_us, FALSE));
    }
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Look *look = data;
  GHashTableIter iter;
  gpointer name;

  if (look->names != NULL)
    g_hash_table_iter_init (&iter, look->names);
  while (look->names != NULL && g_hash_table_iter_next (&iter, &name, NULL))
    {
      g_autoptr (GFile) file = g_file_get_child (look->folder, name);

      g_hash_table_iter_replace (&iter, sl_shelf_entry_read (file, &look->shop, cancellable));
    }
  look_for_use (look, cancellable);
  if (look->in_use->len > 0 && look->clock_us == 0)
    {
      const gint64 now_us = sl_in_use_clock (look->folder);

      look->clock_us = now_us != 0 ? now_us - g_get_monotonic_time () : 0;
      look_for_use (look, cancellable);
    }
  g_task_return_boolean (task, TRUE);
}

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfModel *self = SL_SHELF_MODEL (source);
  Look *look = g_task_get_task_data (G_TASK (result));
  GHashTableIter iter;
  gpointer name, entry;

  if (!g_task_propagate_boolean (G_TASK (result), NULL) ||
      g_cancellable_is_cancelled (g_task_get_cancellable (G_TASK (result))))
    return;
  self->clock_us = look->clock_us;
  const gboolean used = take_use (self, look->names, look->in_use);
  if (look->names != NULL)
    g_hash_table_iter_init (&iter, look->names);
  while (look->names != NULL && g_hash_table_iter_next (&iter, &name, &entry))
    if (g_hash_table_lookup (self->looks, name) != look)
      continue; /* only its notes changed; or another began later and saw what is newer, whichever comes back first */
    else if (entry != NULL)
      put (self, entry);
    else
      forget (self, name);
  if (used || look->names != NULL)
    after_change (self);
}

/* @changed: names of profiles that came, went or changed, and of notes on them; NULL: of any, the notes. */
static void
look_at (SlShelfModel *self, GHashTable *changed)
{
  Look *look = g_new (Look, 1);
  GHashTableIter iter;
  gpointer name;

  *look = (Look){ g_object_ref (self->folder), sl_settings_get_shop (), NULL, self->clock_us, NULL };
  if (changed != NULL)
    {
      look->names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) sl_shelf_entry_unref);
      g_hash_table_iter_init (&iter, changed);
    }
  while (changed != NULL && g_hash_table_iter_next (&iter, &name, NULL))
    {
      char *profile = sl_in_use_profile (name);

      if (profile == NULL)
        g_hash_table_insert (self->looks, g_strdup (name), look);
      g_hash_table_insert (look->names, profile != NULL ? profile : g_strdup (name), NULL);
    }
  sl_run_in_thread (self, self->looking, look_in_thread, look, (GDestroyNotify) look_free, on_looked, NULL);
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
  if (names == NULL || g_hash_table_size (names) > MOST_LOOKS)
    open_again (data);
  else
    look_at (data, names);
}

static void
on_silent (gboolean silent, gpointer data)
{
  SlShelfModel *self = data;

  self->silent = silent;
  g_signal_emit (self, progress_signal, 0);
}

/* Profiles, and the notes of who has them open. */
static gboolean
is_wanted (const char *name)
{
  g_autofree char *profile = *name == '.' ? sl_in_use_profile (name) : NULL;

  return profile != NULL || sl_document_has_name (name);
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
  g_clear_handle_id (&self->in_use_source, g_source_remove);
  g_clear_pointer (&self->in_use, g_hash_table_unref);
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
  /* each by its own name */
  self->in_use = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, sl_in_use_free);
  self->watch = sl_folder_watch_new (
      &(SlFolderUser){ QUIET_MS, on_folder_changed, on_folder_followed, on_silent, is_wanted }, self);
  sl_settings_follow_shop (self, G_CALLBACK (open_again));
}

SlShelfModel *
sl_shelf_model_new (void)
{
  return g_object_new (SL_TYPE_SHELF_MODEL, NULL);
}
