/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/journal.h"

#include "bench/photo-edit.h"
#include "file/document.h"

#include <glib/gstdio.h>

#define KEEPER "sl-journal-keeper"
#define RETRY_MS 5000 /* where it could not be written */

typedef struct
{
  SlBench *bench;   /* whose data this is */
  SlJournal place;  /* path, file and stamp */
  gboolean fresh;   /* unsaved without a file */
  guint due;        /* source that will write it */
  gboolean writing; /* handed to the thread */
  gboolean failed;  /* and was told */
  SlJournalFailed tell;
  gpointer data;
} Keeper;

static GList *due; /* of Keeper */

static void
forget_due (Keeper *k)
{
  due = g_list_remove (due, k);
  g_clear_handle_id (&k->due, g_source_remove);
}

static void
keeper_free (Keeper *k)
{
  forget_due (k);
  g_free (k->place.path);
  g_clear_object (&k->place.file);
  g_free (k->place.stamp);
  g_free (k);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const SlJournal *journal = data;
  GError *error = NULL;

  if (journal->profile == NULL)
    g_unlink (journal->path);
  else
    sl_journal_write (journal, &error);
  sl_thread_return (task, error);
}

static void on_written (GObject *source, GAsyncResult *result, gpointer data);

/* Hands the journal as it is to be now to the thread: without a profile where there is to be none. */
static void
push (Keeper *k, gboolean unsaved)
{
  SlJournal *journal = g_new0 (SlJournal, 1);

  journal->path = g_strdup (k->place.path);
  journal->profile = unsaved ? sl_profile_copy (sl_bench_get_profile (k->bench)) : NULL;
  journal->file = k->place.file != NULL ? g_object_ref (k->place.file) : NULL;
  journal->stamp = g_strdup (k->place.stamp);
  journal->typed = g_strdupv ((char **) sl_bench_get_typed (k->bench));
  k->writing = TRUE;
  sl_run_in_turn (k->bench, write_in_thread, journal, sl_journal_free, on_written, NULL);
}

static void
write_now (Keeper *k)
{
  forget_due (k);
  push (k, (k->fresh && k->place.file == NULL) || sl_bench_is_modified (k->bench) ||
               sl_bench_get_typed (k->bench) != NULL);
}

static void
on_due (Keeper *k)
{
  k->due = 0;
  if (k->writing) /* to a slow disk: what came meanwhile goes in one */
    k->due = g_timeout_add_once (SL_JOURNAL_DELAY_MS, (GSourceOnceFunc) on_due, k);
  else
    write_now (k);
}

/* A change is written with those of the next moments. */
static void
write_later (Keeper *k, guint ms)
{
  if (k->due != 0)
    return;
  due = g_list_prepend (due, k);
  k->due = g_timeout_add_once (ms, (GSourceOnceFunc) on_due, k);
}

static Keeper *
keeper_of (SlBench *bench)
{
  return g_object_get_data (G_OBJECT (bench), KEEPER);
}

static void
on_changed (SlBench *bench)
{
  if (keeper_of (bench) != NULL)
    write_later (keeper_of (bench), SL_JOURNAL_DELAY_MS);
}

static void
on_written (GObject *source, GAsyncResult *result, gpointer data)
{
  Keeper *k = keeper_of (SL_BENCH (source));
  g_autoptr (GError) error = NULL;
  const gboolean failed = !g_task_propagate_boolean (G_TASK (result), &error);

  if (k == NULL)
    return;
  if (failed && !k->failed)
    k->tell (k->data, error->message);
  k->failed = failed;
  k->writing = FALSE;
  if (failed)
    write_later (k, RETRY_MS);
}

void
sl_journal_keep (SlBench *bench, gboolean fresh, SlJournalFailed failed, gpointer data)
{
  Keeper *k = g_new0 (Keeper, 1);

  *k = (Keeper){ .bench = bench, .place.path = sl_journal_new_path (), .fresh = fresh, .tell = failed, .data = data };
  g_object_set_data_full (G_OBJECT (bench), KEEPER, k, (GDestroyNotify) keeper_free);
  sl_bench_follow (bench, SL_CHANGED_PROFILE | SL_CHANGED_HISTORY | SL_CHANGED_TYPED, G_CALLBACK (on_changed), bench);
  on_changed (bench);
}

void
sl_journal_set_file (SlBench *bench, GFile *file, const char *stamp)
{
  Keeper *k = keeper_of (bench);

  g_set_object (&k->place.file, file);
  g_free (k->place.stamp);
  k->place.stamp = g_strdup (stamp);
  on_changed (bench);
}

void
sl_journal_take_over (SlBench *bench, const char *path)
{
  Keeper *k = keeper_of (bench);

  push (k, FALSE);
  g_free (k->place.path);
  k->place.path = g_strdup (path);
  on_changed (bench);
}

static void
remove_photos_in_thread (GTask *task, gpointer source, gpointer folder, GCancellable *cancellable)
{
  sl_photos_clear_folder (folder, NULL);
  g_task_return_boolean (task, TRUE);
}

void
sl_journal_stop (SlBench *bench, gboolean done)
{
  const Keeper *k = keeper_of (bench);

  if (done && k != NULL)
    push (keeper_of (bench), FALSE);
  if (done && k != NULL && k->place.file == NULL)
    sl_run_in_turn (bench, remove_photos_in_thread, sl_photos_state_folder (sl_bench_get_profile (bench)->id),
                    g_object_unref, NULL, NULL);
  g_object_set_data (G_OBJECT (bench), KEEPER, NULL);
}

void
sl_journal_finish (void)
{
  while (due != NULL)
    write_now (due->data);
  sl_finish_turns ();
}
