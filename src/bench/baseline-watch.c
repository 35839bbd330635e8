/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/baseline-watch.h"

#include "bench/folder-watch.h"
#include "bench/settings.h"
#include "file/shelf.h"

#define QUIET_MS 400 /* nothing here is urgent */
#define MOST_GLANCES 100

struct _SlBaselineWatch
{
  GObject parent_instance;

  /* owned */
  GHashTable *asked; /* ids */
  GHashTable *norms; /* ids that were looked for → SlNorms, or NULL where none was found */
  GHashTable *files; /* names of those they were found in */
  GFile *folder;
  SlFolderWatch *watch;
  GCancellable *looking; /* while a look is under way */
  char *failure;         /* why the folder can't be read; NULL if it can */
};

G_DEFINE_FINAL_TYPE (SlBaselineWatch, sl_baseline_watch, G_TYPE_OBJECT)

static guint changed_signal;
static SlBaselineWatch *the_watch; /* weak */

/* ---- in a thread ---- */

typedef struct
{
  GFile *folder;
  SlShop shop;
  GHashTable *changed; /* names of files; NULL: all may have */
  GHashTable *norms;   /* id → SlNorms, NULL at first */
  GHashTable *files;   /* names */
  char *failure;
} Look;

static void
look_free (Look *look)
{
  g_object_unref (look->folder);
  g_clear_pointer (&look->changed, g_hash_table_unref);
  g_clear_pointer (&look->norms, g_hash_table_unref);
  g_clear_pointer (&look->files, g_hash_table_unref);
  g_free (look->failure);
  g_free (look);
}

/* Where two files have the id, the first by name counts; their rows on the shelf say so. */
static void
read_baseline (Look *look, const SlShelfEntry *entry, GCancellable *cancellable)
{
  g_autoptr (GFile) file = NULL;
  g_autoptr (SlProfile) baseline = NULL;
  gpointer found;
  SlNorms *norms;

  if (entry->fault != NULL || entry->kind != SL_KIND_BASELINE ||
      !g_hash_table_lookup_extended (look->norms, entry->id, NULL, &found) || found != NULL)
    return;
  file = g_file_get_child (look->folder, entry->name);
  baseline = sl_document_read (file, NULL, NULL, cancellable, NULL);
  if (baseline == NULL) /* gone since, or no longer valid: the shelf says so */
    return;
  norms = g_new0 (SlNorms, 1);
  sl_norms_of (baseline, &look->shop, norms);
  g_hash_table_insert (look->norms, g_strdup (entry->id), norms);
  g_hash_table_add (look->files, g_strdup (entry->name));
}

/* Whether a baseline is among what changed: a shelf of thousands is not read again for every save. */
static gboolean
matters (const Look *look)
{
  gboolean found = look->changed == NULL;
  GHashTableIter iter;
  gpointer name;

  if (!found)
    g_hash_table_iter_init (&iter, look->changed);
  while (!found && g_hash_table_iter_next (&iter, &name, NULL))
    {
      g_autoptr (GFile) file = g_file_get_child (look->folder, name);
      g_autoptr (SlShelfEntry) entry = sl_shelf_entry_read (file, &look->shop, NULL);

      found = entry != NULL && entry->kind == SL_KIND_BASELINE;
    }
  return found;
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Look *look = data;
  g_autoptr (GFile) index_folder = sl_shelf_index_folder ();
  g_autoptr (GError) error = NULL;
  const gboolean whole = matters (look);
  g_autoptr (GPtrArray) entries =
      whole ? sl_shelf_read (look->folder, index_folder, &look->shop, NULL, NULL, cancellable, &error) : NULL;

  if (error != NULL)
    look->failure = g_strdup (error->message);
  for (guint i = 0; entries != NULL && i < entries->len; i++)
    read_baseline (look, g_ptr_array_index (entries, i), cancellable);
  g_task_return_boolean (task, whole);
}

/* ---- looking ---- */

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlBaselineWatch *self = SL_BASELINE_WATCH (source);
  Look *look = g_task_get_task_data (G_TASK (result));

  if (self->looking != g_task_get_cancellable (G_TASK (result)))
    return; /* another look began meanwhile */
  g_clear_object (&self->looking);
  if (!g_task_propagate_boolean (G_TASK (result), NULL))
    return;
  g_hash_table_unref (self->norms);
  self->norms = g_steal_pointer (&look->norms);
  g_hash_table_unref (self->files);
  self->files = g_steal_pointer (&look->files);
  g_free (self->failure);
  self->failure = g_steal_pointer (&look->failure);
  g_signal_emit (self, changed_signal, 0);
}

static void
start_looking (SlBaselineWatch *self, GHashTable *changed)
{
  Look *look = g_new (Look, 1);
  GHashTableIter iter;
  gpointer id;

  g_cancellable_cancel (self->looking);
  g_clear_object (&self->looking);
  self->looking = g_cancellable_new ();
  *look = (Look){ g_object_ref (self->folder),
                  sl_settings_get_shop (),
                  changed != NULL ? g_hash_table_ref (changed) : NULL,
                  g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free),
                  g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL),
                  NULL };
  g_hash_table_iter_init (&iter, self->asked);
  while (g_hash_table_iter_next (&iter, &id, NULL))
    g_hash_table_insert (look->norms, g_strdup (id), NULL);
  sl_run_in_thread (self, self->looking, look_in_thread, look, (GDestroyNotify) look_free, on_looked, NULL);
}

static void
look_again (gpointer data)
{
  SlBaselineWatch *self = data;

  if (g_hash_table_size (self->asked) > 0)
    start_looking (self, NULL);
}

static void
on_folder_changed (GHashTable *names, gpointer data)
{
  SlBaselineWatch *self = data;
  /* a look that is given up for this one may have been at all of it */
  gboolean all = names == NULL || g_hash_table_size (names) > MOST_GLANCES || self->looking != NULL;
  GHashTableIter iter;
  gpointer name;

  g_hash_table_iter_init (&iter, self->files);
  while (!all && g_hash_table_iter_next (&iter, &name, NULL))
    all = g_hash_table_contains (names, name);
  if (g_hash_table_size (self->asked) > 0)
    start_looking (self, all ? NULL : names);
}

static void
follow_folder (SlBaselineWatch *self)
{
  g_clear_object (&self->folder);
  self->folder = sl_shelf_folder ();
  sl_folder_watch_follow (self->watch, self->folder, FALSE);
}

const SlNorms *
sl_baseline_watch_norms (SlBaselineWatch *self, const char *id)
{
  if (id == NULL || *id == '\0')
    return NULL;
  if (g_hash_table_add (self->asked, g_strdup (id)))
    start_looking (self, NULL);
  return g_hash_table_lookup (self->norms, id);
}

gboolean
sl_baseline_watch_is_missing (SlBaselineWatch *self, const char *id)
{
  gpointer norms;

  return id != NULL && g_hash_table_lookup_extended (self->norms, id, NULL, &norms) && norms == NULL;
}

const char *
sl_baseline_watch_get_failure (SlBaselineWatch *self)
{
  return self->failure;
}

/* ---- the object ---- */

static void
sl_baseline_watch_dispose (GObject *object)
{
  SlBaselineWatch *self = SL_BASELINE_WATCH (object);

  if (the_watch == self)
    the_watch = NULL;
  g_cancellable_cancel (self->looking);
  g_clear_object (&self->looking);
  g_clear_pointer (&self->watch, sl_folder_watch_free);
  g_clear_object (&self->folder);
  g_clear_pointer (&self->norms, g_hash_table_unref);
  g_clear_pointer (&self->files, g_hash_table_unref);
  g_clear_pointer (&self->asked, g_hash_table_unref);
  g_clear_pointer (&self->failure, g_free);
  G_OBJECT_CLASS (sl_baseline_watch_parent_class)->dispose (object);
}

static void
sl_baseline_watch_class_init (SlBaselineWatchClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_baseline_watch_dispose;
  changed_signal =
      g_signal_new ("changed", SL_TYPE_BASELINE_WATCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_baseline_watch_init (SlBaselineWatch *self)
{
  self->asked = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->norms = g_hash_table_new (g_str_hash, g_str_equal);
  self->files = g_hash_table_new (g_str_hash, g_str_equal);
  /* once it is followed, too: what was looked at before may have changed unseen */
  self->watch = sl_folder_watch_new (&(SlFolderUser){ QUIET_MS, on_folder_changed, look_again }, self);
  follow_folder (self);
  sl_settings_follow (SL_SETTING_SHELF_FOLDER, self, G_CALLBACK (follow_folder));
  sl_settings_follow_shop (self, G_CALLBACK (look_again));
}

SlBaselineWatch *
sl_baseline_watch_get (void)
{
  if (the_watch != NULL)
    return g_object_ref (the_watch);
  the_watch = g_object_new (SL_TYPE_BASELINE_WATCH, NULL);
  return the_watch;
}
