/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/journal-keeper.h"

#include <glib/gstdio.h>

#define RETRY_MS 5000 /* where it could not be written */

struct _SlJournalKeeper
{
  GObject parent_instance;

  SlBench *bench;     /* owned; NULL once the work is given up */
  SlJournal *journal; /* all but the profile, which is the bench's */
  guint due;          /* source that will write it */
  gboolean writing;   /* handed to the thread */
  gboolean failed;    /* and was told */
};

G_DEFINE_FINAL_TYPE (SlJournalKeeper, sl_journal_keeper, G_TYPE_OBJECT)

static guint failed_signal;
static GThreadPool *writer; /* one thread for all, so that what is put later is written later; NULL until needed */
static GList *keepers;      /* those with something due, borrowed */

static void
write_in_thread (gpointer data, gpointer unused)
{
  g_autoptr (GTask) task = data;
  const SlJournal *journal = g_task_get_task_data (task);
  GError *error = NULL;

  if (journal->profile == NULL) /* nothing is unsaved any more */
    g_unlink (journal->path);
  else if (!sl_journal_write (journal, &error))
    {
      g_task_return_error (task, error);
      return;
    }
  g_task_return_boolean (task, TRUE);
}

static void on_written (GObject *source, GAsyncResult *result, gpointer data);

/* Hands the journal as it is to be now to the thread: without a profile where there is to be none. */
static void
push (SlJournalKeeper *self)
{
  const SlJournal *j = self->journal;
  SlJournal *copy = g_new (SlJournal, 1);
  const gboolean unsaved =
      self->bench != NULL && (j->file == NULL || j->typed != NULL || sl_bench_is_modified (self->bench));
  GTask *task = g_task_new (self, NULL, on_written, NULL);

  self->writing = TRUE;
  *copy = (SlJournal){ .path = g_strdup (j->path),
                       .profile = unsaved ? sl_profile_copy (sl_bench_get_profile (self->bench)) : NULL,
                       .file = j->file != NULL ? g_object_ref (j->file) : NULL,
                       .stamp = g_strdup (j->stamp),
                       .typed = g_strdupv (j->typed) };
  g_task_set_task_data (task, copy, sl_journal_free);
  if (writer == NULL)
    writer = g_thread_pool_new (write_in_thread, NULL, 1, FALSE, NULL);
  g_thread_pool_push (writer, task, NULL);
}

static void write_now (gpointer data);

static void
write_later (SlJournalKeeper *self, guint ms)
{
  if (self->due != 0 || self->bench == NULL)
    return;
  keepers = g_list_prepend (keepers, self);
  self->due = g_timeout_add_once (ms, write_now, self);
}

/* A change is written with those of the next moments. */
static void
on_changed (SlJournalKeeper *self)
{
  write_later (self, SL_JOURNAL_DELAY_MS);
}

static void
write_now (gpointer data)
{
  SlJournalKeeper *self = data;

  self->due = 0;
  keepers = g_list_remove (keepers, self);
  if (self->writing) /* to a slow disk: what came meanwhile goes in one */
    on_changed (self);
  else
    push (self);
}

static void
on_written (GObject *source, GAsyncResult *result, gpointer data)
{
  SlJournalKeeper *self = SL_JOURNAL_KEEPER (source);
  g_autoptr (GError) error = NULL;
  const gboolean failed = !g_task_propagate_boolean (G_TASK (result), &error);

  if (failed && !self->failed)
    g_signal_emit (self, failed_signal, 0, error->message);
  self->failed = failed;
  self->writing = FALSE;
  if (failed)
    write_later (self, RETRY_MS);
}

static void
forget_due (SlJournalKeeper *self)
{
  keepers = g_list_remove (keepers, self);
  g_clear_handle_id (&self->due, g_source_remove);
}

static void
sl_journal_keeper_dispose (GObject *object)
{
  SlJournalKeeper *self = SL_JOURNAL_KEEPER (object);

  forget_due (self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->journal, sl_journal_free);
  G_OBJECT_CLASS (sl_journal_keeper_parent_class)->dispose (object);
}

static void
sl_journal_keeper_class_init (SlJournalKeeperClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_journal_keeper_dispose;
  failed_signal = g_signal_new ("failed", SL_TYPE_JOURNAL_KEEPER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                1, G_TYPE_STRING);
}

static void
sl_journal_keeper_init (SlJournalKeeper *self)
{
  self->journal = g_new0 (SlJournal, 1);
}

SlJournalKeeper *
sl_journal_keeper_new (SlBench *bench)
{
  SlJournalKeeper *self = g_object_new (SL_TYPE_JOURNAL_KEEPER, NULL);

  self->bench = g_object_ref (bench);
  self->journal->path = sl_journal_new_path ();
  sl_bench_follow (bench, SL_CHANGED_PROFILE | SL_CHANGED_HISTORY, G_CALLBACK (on_changed), self);
  on_changed (self);
  return self;
}

void
sl_journal_keeper_set_file (SlJournalKeeper *self, GFile *file, const char *stamp)
{
  g_set_object (&self->journal->file, file);
  g_free (self->journal->stamp);
  self->journal->stamp = g_strdup (stamp);
  on_changed (self);
}

void
sl_journal_keeper_set_typed (SlJournalKeeper *self, const char *const *typed)
{
  g_strfreev (self->journal->typed);
  self->journal->typed = g_strdupv ((char **) typed);
  on_changed (self);
}

void
sl_journal_keeper_take_over (SlJournalKeeper *self, const char *path)
{
  SlBench *bench = g_steal_pointer (&self->bench);

  push (self);
  self->bench = bench;
  g_free (self->journal->path);
  self->journal->path = g_strdup (path);
  on_changed (self);
}

void
sl_journal_keeper_end (SlJournalKeeper *self)
{
  forget_due (self);
  g_clear_object (&self->bench);
  push (self);
}

void
sl_journal_keepers_finish (void)
{
  while (keepers != NULL)
    {
      SlJournalKeeper *self = keepers->data;

      forget_due (self);
      push (self);
    }
  if (writer != NULL)
    g_thread_pool_free (writer, FALSE, TRUE);
  writer = NULL;
}
