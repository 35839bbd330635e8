/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf.h"

#include <malloc.h>

#define READERS 16               /* files in flight: a share takes some 20 ms for each thing it is asked */
#define LARGE_BYTES (256 * 1024) /* of a file: one at a time, as each takes many times that while it is read */
#define MOST_TURNS 8             /* of a reader: of a large folder it takes many files at a turn */
#define LOT_US (100 * 1000)      /* a lot is told of so often */
#define LOT_ENTRIES 20000 /* a listing sorts again for each lot: few large ones cost it less than many small ones */
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

/* ---- the index of one folder ---- */

/* A checksum of 64 hexadecimal characters, then a GVariant of INDEX_TYPE in this machine's byte order. Format, program
 * version, byte order mark, folder, what the shop's work is uncertain by (the figures rest on it), entries: name, size,
 * inode, modified, changed, read; id, baseline, label, owner, contact, maker, model, serial, year, fitted, last visit,
 * search; kind, visit, number of visits; action treble, bass, relief. */
#define ENTRY_TYPE "(ayttxxxssssssssssssyyuddd)"
#define ENTRY_FORMAT "(^ayttxxxssssssssssssyyuddd)"
#define WORK_TYPE "ad" /* SlWorkUncertainty holds nothing else */
#define INDEX_TYPE "(usus" WORK_TYPE "a" ENTRY_TYPE ")"
#define INDEX_FORMAT 5
#define BYTE_ORDER_MARK 0x01020304
#define CHECKSUM_CHARS 64
#define MOST_INDEX_BYTES ((gsize) 512 * 1024 * 1024) /* what is larger was not written by us */

/* A file that was changed less than this before it was read could have been changed again within the same tick of its
 * file system's clock (2 s on FAT), so what was read of it is not remembered. */
#define SETTLED_US (3 * G_USEC_PER_SEC)

static GVariant *
entry_to_variant (const SlShelfEntry *e)
{
  return g_variant_new (ENTRY_FORMAT, e->name, e->size, e->inode, e->modified_us, e->changed_us, e->read_us, e->id,
                        e->baseline, e->label, e->owner, e->contact, e->maker, e->model, e->serial, e->year, e->fitted,
                        e->last_visit, e->search, (guchar) e->kind, (guchar) e->visit, e->n_visits, e->action_treble,
                        e->action_bass, e->relief);
}

static GVariant *
work_to_variant (const SlWorkUncertainty *work)
{
  return g_variant_new_fixed_array (G_VARIANT_TYPE_DOUBLE, work, sizeof *work / sizeof (double), sizeof (double));
}

/* Remembers sound entries. That it can't is no error: the next time takes longer. */
static void
save_index (GFile *index, GFile *folder, const SlShop *shop, const GPtrArray *entries)
{
  GVariantBuilder list;
  g_autoptr (GVariant) whole = NULL;
  g_autofree char *uri = g_file_get_uri (folder), *path = g_file_get_path (index), *checksum = NULL;
  g_autoptr (GFile) parent = g_file_get_parent (index);
  g_autofree char *parent_path = parent != NULL ? g_file_get_path (parent) : NULL;
  g_autoptr (GByteArray) bytes = g_byte_array_new ();

  if (path == NULL || parent_path == NULL || g_mkdir_with_parents (parent_path, 0700) != 0)
    return;
  g_variant_builder_init (&list, G_VARIANT_TYPE ("a" ENTRY_TYPE));
  SL_EACH_OF (const SlShelfEntry, entry, entries)
    {
      /* Faults are looked at again each time: a permission mends itself without the file changing, and their words are
       * of one language. */
      if (entry->fault == NULL && entry->read_us - entry->modified_us > SETTLED_US)
        g_variant_builder_add_value (&list, entry_to_variant (entry));
    }
  whole = g_variant_ref_sink (g_variant_new ("(usus@" WORK_TYPE "@a" ENTRY_TYPE ")", INDEX_FORMAT, SL_VERSION,
                                             BYTE_ORDER_MARK, uri, work_to_variant (&shop->work),
                                             g_variant_builder_end (&list)));
  checksum = g_compute_checksum_for_data (G_CHECKSUM_SHA256, g_variant_get_data (whole), g_variant_get_size (whole));
  g_byte_array_append (bytes, (const guint8 *) checksum, CHECKSUM_CHARS);
  g_byte_array_append (bytes, g_variant_get_data (whole), (guint) g_variant_get_size (whole));
  g_file_set_contents_full (path, (const char *) bytes->data, bytes->len, G_FILE_SET_CONTENTS_CONSISTENT, 0600, NULL);
}

/* The list in the file, or NULL. */
static GVariant *
read_list (GFile *index, GFile *folder, const SlShop *shop)
{
  g_autofree char *path = g_file_get_path (index), *uri = g_file_get_uri (folder), *checksum = NULL;
  g_autoptr (GMappedFile) mapped = path != NULL ? g_mapped_file_new (path, FALSE, NULL) : NULL;
  g_autoptr (GBytes) bytes = NULL, body = NULL;
  g_autoptr (GVariant) whole = NULL, list = NULL, work = NULL,
                       own_work = g_variant_ref_sink (work_to_variant (&shop->work));
  const char *version, *of;
  guint32 format, mark;

  if (mapped == NULL || g_mapped_file_get_length (mapped) <= CHECKSUM_CHARS ||
      g_mapped_file_get_length (mapped) > MOST_INDEX_BYTES)
    return NULL;
  bytes = g_mapped_file_get_bytes (mapped);
  body = g_bytes_new_from_bytes (bytes, CHECKSUM_CHARS, g_bytes_get_size (bytes) - CHECKSUM_CHARS);
  checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, body);
  if (memcmp (checksum, g_bytes_get_data (bytes, NULL), CHECKSUM_CHARS) != 0)
    return NULL;
  whole = g_variant_ref_sink (g_variant_new_from_bytes (G_VARIANT_TYPE (INDEX_TYPE), body, FALSE));
  g_variant_get (whole, "(u&su&s@" WORK_TYPE "@a" ENTRY_TYPE ")", &format, &version, &mark, &of, &work, &list);
  if (format != INDEX_FORMAT || mark != BYTE_ORDER_MARK || strcmp (version, SL_VERSION) != 0 || strcmp (of, uri) != 0 ||
      !g_variant_equal (work, own_work))
    return NULL;
  return g_steal_pointer (&list);
}

static SlShelfEntry *
entry_from_variant (GVariant *variant)
{
  SlShelfEntry *e = sl_shelf_entry_new (NULL);
  guchar kind, visit;

  g_variant_get (variant, ENTRY_FORMAT, &e->name, &e->size, &e->inode, &e->modified_us, &e->changed_us, &e->read_us,
                 &e->id, &e->baseline, &e->label, &e->owner, &e->contact, &e->maker, &e->model, &e->serial, &e->year,
                 &e->fitted, &e->last_visit, &e->search, &kind, &visit, &e->n_visits, &e->action_treble,
                 &e->action_bass, &e->relief);
  e->kind = kind;
  e->visit = visit;
  return e;
}

/* The entries an index holds, by name; an empty table where there is none, or none to be believed. */
static GHashTable *
load_index (GFile *index, GFile *folder, const SlShop *shop)
{
  GHashTable *known = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) sl_shelf_entry_unref);
  g_autoptr (GVariant) list = read_list (index, folder, shop);
  gsize n = list != NULL ? g_variant_n_children (list) : 0;

  for (gsize i = 0; i < n; i++)
    {
      g_autoptr (GVariant) child = g_variant_get_child_value (list, i);
      g_autoptr (SlShelfEntry) entry = entry_from_variant (child);

      if (entry->kind <= SL_KIND_BASELINE && entry->visit <= SL_SHELF_VISIT_CLOSED)
        g_hash_table_replace (known, entry->name, sl_shelf_entry_ref (entry));
    }
  return known;
}

/* ---- reading a folder ---- */

/* One reading of a folder. */
typedef struct
{
  GFile *folder;
  const SlShop *shop;
  GCancellable *cancellable;
  SlShelfProgress progress;
  gpointer progress_data;
  GHashTable *known;   /* the index; borrowed */
  GPtrArray *entries;  /* done */
  GPtrArray *lot;      /* done, and not reported yet */
  GPtrArray *files;    /* of GFileInfo */
  gboolean names_only; /* is what those hold */
  GAsyncQueue *looked; /* of GPtrArray: what the threads hand back */
  int next;            /* of the files, for the next thread to look at; atomic */
  int n_read;          /* files the index did not know; atomic */
  GMutex large;        /* held while a large file is read */
  guint done;
  gint64 lot_since;
} Reading;

static void
report (Reading *r)
{
  if (r->progress != NULL)
    r->progress (r->lot, r->done, r->files->len, r->progress_data);
  g_ptr_array_set_size (r->lot, 0);
  r->lot_since = g_get_monotonic_time ();
}

/* Takes @entry; NULL where the file is no longer there. Once reading is stopped, it is not told of any more. */
static void
collect (Reading *r, SlShelfEntry *entry)
{
  if (entry != NULL)
    g_ptr_array_add (r->entries, entry);
  if (g_cancellable_is_cancelled (r->cancellable))
    return;
  r->done++;
  if (entry != NULL)
    g_ptr_array_add (r->lot, entry);
  if (r->lot->len >= LOT_ENTRIES || g_get_monotonic_time () - r->lot_since > LOT_US)
    report (r);
}

/* Lists the folder's files. A share that GIO reaches itself tells what they are with their names; elsewhere each is a
 * question to the file system, which can wait for its turn. */
static gboolean
list_files (Reading *r, GError **error)
{
  r->names_only = g_file_is_native (r->folder);
  g_autoptr (GFileEnumerator) files =
      g_file_enumerate_children (r->folder, r->names_only ? G_FILE_ATTRIBUTE_STANDARD_NAME : SL_SHELF_ATTRIBUTES,
                                 G_FILE_QUERY_INFO_NONE, r->cancellable, error);

  if (files == NULL)
    return FALSE;
  for (;;)
    {
      GFileInfo *info;

      if (!g_file_enumerator_iterate (files, &info, NULL, r->cancellable, error))
        return FALSE;
      if (info == NULL)
        return TRUE;
      if (sl_document_has_name (g_file_info_get_name (info)))
        g_ptr_array_add (r->files, g_object_ref (info));
    }
}

/* A file as the index knows it; where it is not that any more, as it is read now. Once reading is stopped, what is
 * known is only kept, for the index. */
static SlShelfEntry *
look_at (Reading *r, GFileInfo *listed)
{
  const char *name = g_file_info_get_name (listed);
  SlShelfEntry *known = g_hash_table_lookup (r->known, name);
  g_autoptr (GFile) file = g_file_get_child (r->folder, name);
  g_autoptr (GFileInfo) info =
      r->names_only ? g_file_query_info (file, SL_SHELF_ATTRIBUTES, G_FILE_QUERY_INFO_NONE, r->cancellable, NULL)
                    : g_object_ref (listed);

  if (known != NULL &&
      (g_cancellable_is_cancelled (r->cancellable) || (info != NULL && sl_shelf_entry_is_current (known, info))))
    return sl_shelf_entry_ref (known);
  if (info == NULL)
    return NULL;
  g_atomic_int_inc (&r->n_read);
  if (g_file_info_get_size (info) <= LARGE_BYTES)
    return sl_shelf_entry_load (file, info, r->shop, r->cancellable);
  g_mutex_lock (&r->large);
  known = sl_shelf_entry_load (file, info, r->shop, r->cancellable);
  malloc_trim (0); /* each thread would keep what its file took */
  g_mutex_unlock (&r->large);
  return known;
}

static gpointer
look_in_thread (gpointer data)
{
  Reading *r = data;
  const int n = (int) r->files->len, step = MAX (1, n / (READERS * MOST_TURNS));

  for (int first; (first = g_atomic_int_add (&r->next, step)) < n;)
    {
      GPtrArray *looked = g_ptr_array_sized_new ((guint) step);

      for (int i = first; i < MIN (first + step, n); i++)
        g_ptr_array_add (looked, look_at (r, g_ptr_array_index (r->files, i)));
      g_async_queue_push (r->looked, looked);
    }
  return NULL;
}

static void
look_at_files (Reading *r)
{
  const int n_threads = (int) MIN (READERS, r->files->len);
  GThread *threads[READERS];

  for (int i = 0; i < n_threads; i++)
    threads[i] = g_thread_new ("shelf", look_in_thread, r);
  for (guint n = r->files->len; n > 0;)
    {
      g_autoptr (GPtrArray) looked = g_async_queue_timeout_pop (r->looked, WAIT_US);

      for (guint i = 0; looked != NULL && i < looked->len; i++, n--)
        collect (r, g_ptr_array_index (looked, i));
      if (looked == NULL && r->lot->len > 0)
        report (r);
    }
  for (int i = 0; i < n_threads; i++)
    g_thread_join (threads[i]);
}

static int
by_name (gconstpointer a, gconstpointer b)
{
  const SlShelfEntry *const *first = a, *const *second = b;

  return strcmp ((*first)->name, (*second)->name);
}

GPtrArray *
sl_shelf_read (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress, gpointer data,
               GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) index = index_folder != NULL ? sl_shelf_index_file (folder, index_folder) : NULL;
  g_autoptr (GHashTable) known =
      index != NULL ? load_index (index, folder, shop) : g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) sl_shelf_entry_unref),
                        lot = g_ptr_array_new (), files = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GAsyncQueue) looked = g_async_queue_new ();
  Reading r = { .folder = folder,
                .shop = shop,
                .cancellable = cancellable,
                .progress = progress,
                .progress_data = data,
                .known = known,
                .entries = entries,
                .lot = lot,
                .files = files,
                .looked = looked,
                .lot_since = g_get_monotonic_time () };

  if (!list_files (&r, error))
    return NULL;
  report (&r);
  look_at_files (&r);
  report (&r);
  g_ptr_array_sort (entries, by_name);
  /* where something in the folder was new, or is gone */
  if (index != NULL && (r.n_read > 0 || g_hash_table_size (known) != entries->len))
    save_index (index, folder, shop, entries);
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
} Job;

static void
job_free (gpointer data)
{
  Job *job = data;

  g_clear_object (&job->index_folder);
  g_free (job);
}

typedef struct
{
  GTask *task; /* lives until its callback, which comes after this */
  GPtrArray *lot;
  guint done, total;
} News;

static gboolean
hand_over (gpointer data)
{
  News *news = data;
  const Job *job = g_task_get_task_data (news->task);

  job->progress (news->lot, news->done, news->total, job->progress_data);
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
  g_main_context_invoke_full (g_task_get_context (news->task), G_PRIORITY_DEFAULT, hand_over, news, news_free);
}

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Job *job = data;
  GError *error = NULL;
  GPtrArray *entries = sl_shelf_read (source, job->index_folder, &job->shop, job->progress != NULL ? on_lot : NULL,
                                      task, cancellable, &error);

  if (entries != NULL)
    g_task_return_pointer (task, entries, (GDestroyNotify) g_ptr_array_unref);
  else
    g_task_return_error (task, error);
}

void
sl_shelf_read_async (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                     gpointer progress_data, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  Job *job = g_new0 (Job, 1);

  *job = (Job){ index_folder != NULL ? g_object_ref (index_folder) : NULL, *shop, progress, progress_data };
  sl_run_in_thread (folder, cancellable, read_in_thread, job, job_free, done, data);
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
