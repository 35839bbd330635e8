/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/left-work.h"

#include "bench/settings.h"
#include "desk/instrument/profile-changes.h"
#include "file/document.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>

void
sl_left_work_free (gpointer data)
{
  SlLeftWork *left = data;

  g_clear_pointer (&left->journal, sl_journal_free);
  g_clear_pointer (&left->now, sl_profile_free);
  g_free (left->trouble);
  g_clear_pointer (&left->changes, g_ptr_array_unref);
  g_free (left);
}

static SlLeftWork *
read_left (const char *path)
{
  const SlTextStyle style = { sl_settings_get_lengths (), sl_decimal_sign () };
  g_autoptr (SlLeftWork) left = g_new0 (SlLeftWork, 1);
  g_autoptr (GError) broken = NULL, error = NULL;
  g_autofree char *stamp = NULL;

  left->journal = sl_journal_read (path, &broken);
  if (broken != NULL)
    g_debug ("%s", broken->message); /* it stays until its time is over */
  if (left->journal == NULL || left->journal->file == NULL)
    return left->journal == NULL ? NULL : g_steal_pointer (&left);
  left->now = sl_document_read (left->journal->file, &stamp, NULL, NULL, &error);
  left->trouble = error != NULL ? g_strdup (error->message) : NULL;
  left->replaced = stamp != NULL && g_strcmp0 (stamp, left->journal->stamp) != 0;
  if (left->now != NULL)
    left->changes = sl_profile_changes (left->now, left->journal->profile, &style);
  if (left->changes == NULL || left->changes->len > 0 || left->journal->typed != NULL)
    return g_steal_pointer (&left);
  sl_journal_put_aside (path, FALSE); /* it was saved, and the program killed just then */
  return NULL;
}

static void
load_in_thread (GTask *task, gpointer source, gpointer path, GCancellable *cancellable)
{
  g_task_return_pointer (task, read_left (path), sl_left_work_free);
}

void
sl_left_work_load (gpointer source, const char *path, GAsyncReadyCallback done)
{
  g_autoptr (GTask) task = g_task_new (source, NULL, done, NULL);

  g_task_set_task_data (task, g_strdup (path), g_free);
  g_task_run_in_thread (task, load_in_thread);
}

/* Each has a thread of its own: a share that hangs holds up no other. */
static void
list_in_thread (GTask *task, gpointer source, gpointer done, GCancellable *cancellable)
{
  g_autoptr (GPtrArray) paths = sl_journal_list ();

  for (guint i = 0; i < paths->len; i++)
    sl_left_work_load (source, paths->pdata[i], *(GAsyncReadyCallback *) done);
  g_task_return_boolean (task, TRUE);
}

void
sl_left_work_load_all (gpointer source, GAsyncReadyCallback done)
{
  g_autoptr (GTask) task = g_task_new (source, NULL, NULL, NULL);

  g_task_set_task_data (task, g_memdup2 (&done, sizeof done), g_free);
  g_task_run_in_thread (task, list_in_thread);
}

SlLeftWork *
sl_left_work_finish (GAsyncResult *result)
{
  return g_task_propagate_pointer (G_TASK (result), NULL);
}

/* ---- in words ---- */

char *
sl_left_work_title (const SlLeftWork *left)
{
  g_autofree char *when = sl_date_and_time (left->journal->written);

  /* Translators: name of an instrument, date and time. */
  return g_strdup_printf (_ ("“%s”, left unsaved %s"), left->journal->profile->identity.label, when);
}

char *
sl_left_work_text (const SlLeftWork *left, guint most_changes)
{
  GString *text = g_string_new (NULL);
  g_autofree char *name = left->journal->file != NULL ? g_file_get_parse_name (left->journal->file) : NULL;
  const guint n = left->changes != NULL && most_changes > 0 ? left->changes->len : 0, more = n - MIN (n, most_changes);

  if (name == NULL)
    g_string_append (text, _ ("Never saved: there is no file of it. "));
  if (left->trouble != NULL)
    g_string_append_printf (text, _ ("Its file “%s” can't be read now: %s. "), name, left->trouble);
  if (left->replaced)
    g_string_append (text, _ ("Somebody has saved the file since; both versions are whole. "));
  for (guint i = 0; i < n - more; i++)
    {
      g_autofree char *line = sl_profile_change_text (left->changes->pdata[i]);

      g_string_append_printf (text, "%s. ", line);
    }
  if (more > 0)
    g_string_append_printf (text, g_dngettext (GETTEXT_PACKAGE, "%u more difference. ", "%u more differences. ", more),
                            more);
  for (char **typed = left->journal->typed; typed != NULL && *typed != NULL; typed += 2)
    /* Translators: name of an entry, and the text that was left in it. */
    g_string_append_printf (text, _ ("Typed and not entered: %s “%s”. "), typed[0], typed[1]);
  return g_strchomp (g_string_free (text, FALSE));
}
