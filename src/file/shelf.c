/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf.h"

#include <string.h>

#include "file/shelf-index.h"

#define MOST_THREADS 4      /* reading is parsing; more of them only wait for each other's memory */
#define LOT_US (100 * 1000) /* a lot is told of so often */
#define LOT_ENTRIES 20000   /* a listing sorts again for each lot: few large ones cost it less than many small ones */
#define WAIT_US (50 * 1000)

GFile *
sl_shelf_index_folder (void)
{
  return g_file_new_build_filename (g_get_user_cache_dir (), "sidelong", NULL);
}

GFile *
sl_shelf_index_file (GFile *folder, GFile *index_folder)
{
  g_autofree char *uri = g_file_get_uri (folder);
  g_autofree char *digest = g_compute_checksum_for_string (G_CHECKSUM_SHA1, uri, -1);
  g_autofree char *name = g_strconcat ("shelf-", digest, ".index", NULL);

  return g_file_get_child (index_folder, name);
}

/* One reading of a folder. */
typedef struct
{
  GFile *folder;
  const SlShop *shop;
  GCancellable *cancellable;
  SlShelfProgress progress;
  gpointer progress_data;
  GHashTable *known;  /* the index; borrowed */
  GPtrArray *entries; /* done */
  GPtrArray *lot;     /* done, and not reported yet */
  GQueue waiting;     /* of GFileInfo: files to be read */
  GAsyncQueue *read;  /* of SlShelfEntry, &gone or &unread: what the threads hand back */
  guint total, done;
  gint64 lot_since;
} Reading;

/* What a thread hands back for a file that is no longer there, and for one that it didn't come to before reading was
 * stopped. */
static char gone, unread;

static void
report (Reading *r)
{
  if (r->progress != NULL)
    r->progress (r->lot, r->done, r->total, r->progress_data);
  g_ptr_array_set_size (r->lot, 0);
  r->lot_since = g_get_monotonic_time ();
}

/* Takes @entry; NULL where the file is gone. */
static void
collect (Reading *r, SlShelfEntry *entry)
{
  r->done++;
  if (entry != NULL)
    {
      g_ptr_array_add (r->entries, entry);
      g_ptr_array_add (r->lot, entry);
    }
  if (r->lot->len >= LOT_ENTRIES || g_get_monotonic_time () - r->lot_since > LOT_US)
    report (r);
}

/* Sorts the folder's files into those the index knows and those that must be read. */
static gboolean
look_through (Reading *r, GError **error)
{
  g_autoptr (GFileEnumerator) files =
      g_file_enumerate_children (r->folder, SL_SHELF_ATTRIBUTES, G_FILE_QUERY_INFO_NONE, r->cancellable, error);
  g_autoptr (GPtrArray) current = g_ptr_array_new ();
  GError *inner = NULL;

  if (files == NULL)
    return FALSE;
  for (;;)
    {
      GFileInfo *info = g_file_enumerator_next_file (files, r->cancellable, &inner);

      if (info == NULL)
        break;
      if (!g_str_has_suffix (g_file_info_get_name (info), SL_DOCUMENT_EXTENSION))
        {
          g_object_unref (info);
          continue;
        }
      r->total++;
      SlShelfEntry *entry = g_hash_table_lookup (r->known, g_file_info_get_name (info));

      if (entry != NULL && sl_shelf_entry_is_current (entry, info))
        {
          g_ptr_array_add (current, entry);
          g_object_unref (info);
        }
      else
        g_queue_push_tail (&r->waiting, info);
    }
  if (inner != NULL)
    {
      g_propagate_error (error, inner);
      return FALSE;
    }
  for (guint i = 0; i < current->len; i++)
    collect (r, sl_shelf_entry_ref (g_ptr_array_index (current, i)));
  return TRUE;
}

static void
read_in_pool (gpointer data, gpointer pool_data)
{
  g_autoptr (GFileInfo) info = data;
  Reading *r = pool_data;
  SlShelfEntry *entry = NULL;

  if (!g_cancellable_is_cancelled (r->cancellable))
    {
      g_autoptr (GFile) file = g_file_get_child (r->folder, g_file_info_get_name (info));

      entry = sl_shelf_entry_load (file, info, r->shop, r->cancellable);
    }
  if (entry != NULL)
    g_async_queue_push (r->read, entry);
  else
    g_async_queue_push (r->read, g_cancellable_is_cancelled (r->cancellable) ? &unread : &gone);
}

static void
read_waiting (Reading *r)
{
  guint n = g_queue_get_length (&r->waiting);
  int threads = (int) CLAMP (g_get_num_processors (), 1, MOST_THREADS);
  GThreadPool *pool = g_thread_pool_new (read_in_pool, r, threads, FALSE, NULL);
  GFileInfo *info;

  while ((info = g_queue_pop_head (&r->waiting)) != NULL)
    g_thread_pool_push (pool, info, NULL);
  while (n > 0)
    {
      gpointer entry = g_async_queue_timeout_pop (r->read, WAIT_US);

      if (entry != NULL)
        {
          n--;
          if (entry != &unread)
            collect (r, entry != &gone ? entry : NULL);
        }
      else if (r->lot->len > 0)
        report (r);
    }
  g_thread_pool_free (pool, FALSE, TRUE);
}

static int
by_name (gconstpointer a, gconstpointer b)
{
  const SlShelfEntry *const *first = a, *const *second = b;

  return strcmp ((*first)->name, (*second)->name);
}

/* A folder that was read to its end may have an index written where something in it was new, or is gone. */
static gboolean
index_is_stale (const Reading *r, guint n_read)
{
  return n_read > 0 || g_hash_table_size (r->known) != r->entries->len;
}

GPtrArray *
sl_shelf_read (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress, gpointer data,
               GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) index = index_folder != NULL ? sl_shelf_index_file (folder, index_folder) : NULL;
  g_autoptr (GHashTable) known =
      index != NULL ? sl_shelf_index_load (index, folder, shop) : g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) sl_shelf_entry_unref);
  Reading r = { folder,
                shop,
                cancellable,
                progress,
                data,
                known,
                entries,
                g_ptr_array_new (),
                G_QUEUE_INIT,
                g_async_queue_new (),
                0,
                0,
                g_get_monotonic_time () };
  gboolean listed = look_through (&r, error);
  guint n_waiting = g_queue_get_length (&r.waiting);

  if (listed)
    {
      report (&r);
      read_waiting (&r);
      report (&r);
    }
  g_queue_clear_full (&r.waiting, g_object_unref);
  g_ptr_array_unref (r.lot);
  g_async_queue_unref (r.read);
  if (!listed)
    return NULL;
  g_ptr_array_sort (entries, by_name);
  if (index != NULL && index_is_stale (&r, n_waiting))
    sl_shelf_index_save (index, folder, shop, entries);
  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  return g_steal_pointer (&entries);
}

/* ---- in a thread ---- */

typedef struct
{
  GFile *index_folder;
  SlShop shop;
  SlShelfProgress progress;
  gpointer progress_data;
  GMainContext *context;
} Job;

static void
job_free (gpointer data)
{
  Job *job = data;

  g_clear_object (&job->index_folder);
  g_main_context_unref (job->context);
  g_free (job);
}

typedef struct
{
  Job *job; /* lives until the task's callback, which comes after this */
  GPtrArray *lot;
  guint done, total;
} News;

static gboolean
hand_over (gpointer data)
{
  News *news = data;

  news->job->progress (news->lot, news->done, news->total, news->job->progress_data);
  return G_SOURCE_REMOVE;
}

static void
news_free (gpointer data)
{
  News *news = data;

  g_ptr_array_unref (news->lot);
  g_free (news);
}

static void
on_lot (const GPtrArray *lot, guint done, guint total, gpointer data)
{
  News *news = g_new (News, 1);

  *news = (News){ data, g_ptr_array_new_full (lot->len, (GDestroyNotify) sl_shelf_entry_unref), done, total };
  for (guint i = 0; i < lot->len; i++)
    g_ptr_array_add (news->lot, sl_shelf_entry_ref (g_ptr_array_index (lot, i)));
  g_main_context_invoke_full (news->job->context, G_PRIORITY_DEFAULT, hand_over, news, news_free);
}

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Job *job = data;
  GError *error = NULL;
  GPtrArray *entries = sl_shelf_read (source, job->index_folder, &job->shop, job->progress != NULL ? on_lot : NULL, job,
                                      cancellable, &error);

  if (entries != NULL)
    g_task_return_pointer (task, entries, (GDestroyNotify) g_ptr_array_unref);
  else
    g_task_return_error (task, error);
}

void
sl_shelf_read_async (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                     gpointer progress_data, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (folder, cancellable, done, data);
  Job *job = g_new0 (Job, 1);

  *job = (Job){ index_folder != NULL ? g_object_ref (index_folder) : NULL, *shop, progress, progress_data,
                g_main_context_ref_thread_default () };
  g_task_set_task_data (task, job, job_free);
  g_task_run_in_thread (task, read_in_thread);
}

GPtrArray *
sl_shelf_read_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

/* ---- twins ---- */

GHashTable *
sl_shelf_twins (const GPtrArray *entries)
{
  GHashTable *twins = g_hash_table_new (NULL, NULL);
  g_autoptr (GHashTable) first = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < entries->len; i++)
    {
      SlShelfEntry *entry = g_ptr_array_index (entries, i), *other;

      if (*entry->id == '\0')
        continue;
      other = g_hash_table_lookup (first, entry->id);
      if (other == NULL)
        {
          g_hash_table_insert (first, entry->id, entry);
          continue;
        }
      g_hash_table_insert (twins, entry, other->name);
      if (!g_hash_table_contains (twins, other))
        g_hash_table_insert (twins, other, entry->name);
    }
  return twins;
}
