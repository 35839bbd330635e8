/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/explanations.h"

#include "file/document.h"

#include <glib/gstdio.h>

#define BENCH_KEY "sl-explanations"
#define BASIS_SUFFIX "-basis"
#define FOLDER_MODE 0700 /* what is written about a customer's instrument is private */
#define FILE_MODE 0600

struct _SlExplanations
{
  char *profile_id, *path;
  GKeyFile *keys;
  GHashTable *failures; /* group/id → why it could not be written */
};

void
sl_explanations_free (SlExplanations *e)
{
  g_free (e->profile_id);
  g_free (e->path);
  g_key_file_unref (e->keys);
  g_hash_table_unref (e->failures);
  g_free (e);
}

/* An id as the name of a file or a group: whatever a document holds, the path stays in its folder. */
static char *
safe_name (const char *id)
{
  g_autofree char *escaped = g_uri_escape_string (id, NULL, FALSE);

  return *escaped == '.' ? g_strconcat ("_", escaped, NULL) : g_steal_pointer (&escaped);
}

SlExplanations *
sl_explanations_new (const char *profile_id, gboolean read)
{
  g_autofree char *name = safe_name (profile_id), *file = g_strconcat (name, ".ini", NULL);
  SlExplanations *e = g_new0 (SlExplanations, 1);

  e->profile_id = g_strdup (profile_id);
  e->path = g_build_filename (g_get_user_data_dir (), "sidelong", "explanations", file, NULL);
  e->keys = g_key_file_new ();
  e->failures = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  if (read) /* what can't be read is reported before it would be overwritten */
    g_key_file_load_from_file (e->keys, e->path, G_KEY_FILE_NONE, NULL);
  return e;
}

void
sl_explanations_give (SlBench *bench, SlExplanations *explanations)
{
  g_object_set_data_full (G_OBJECT (bench), BENCH_KEY, explanations, (GDestroyNotify) sl_explanations_free);
}

/* NULL where there is nothing to keep anything for. */
static SlExplanations *
of_bench (SlBench *bench, char **group)
{
  const SlProfile *profile = sl_bench_get_profile (bench);
  const SlVisit *visit = sl_bench_get_visit (bench);
  SlExplanations *e = g_object_get_data (G_OBJECT (bench), BENCH_KEY);

  if (profile->id == NULL || visit == NULL || visit->id == NULL)
    return NULL;
  if (e == NULL || !g_str_equal (e->profile_id, profile->id)) /* only where undo brings back a profile of another id */
    {
      e = sl_explanations_new (profile->id, TRUE);
      sl_explanations_give (bench, e);
    }
  *group = safe_name (visit->id);
  return e;
}

static char *
basis_key (const char *id)
{
  return g_strconcat (id, BASIS_SUFFIX, NULL);
}

char *
sl_explanation_get (SlBench *bench, const SlSentence *sentence, SlExplanationState *state)
{
  g_autofree char *group = NULL, *key = basis_key (sentence->id), *text = NULL, *basis = NULL;
  SlExplanations *e = of_bench (bench, &group);

  if (e != NULL)
    {
      text = g_key_file_get_string (e->keys, group, sentence->id, NULL);
      basis = g_key_file_get_string (e->keys, group, key, NULL);
    }
  if (state != NULL)
    *state = text == NULL                              ? SL_EXPLANATION_GENERATED
             : g_strcmp0 (basis, sentence->basis) == 0 ? SL_EXPLANATION_EDITED
                                                       : SL_EXPLANATION_OUTDATED;
  return g_steal_pointer (&text);
}

/* One sentence on its way to the file. */
typedef struct
{
  char *path, *group, *id, *basis;
  char *text; /* NULL: the generated one */
} Edit;

static void
edit_free (Edit *edit)
{
  g_free (edit->path);
  g_free (edit->group);
  g_free (edit->id);
  g_free (edit->basis);
  g_free (edit->text);
  g_free (edit);
}

static void
set_keys (GKeyFile *keys, const Edit *edit)
{
  g_autofree char *key = basis_key (edit->id);

  if (edit->text != NULL)
    {
      g_key_file_set_string (keys, edit->group, edit->id, edit->text);
      g_key_file_set_string (keys, edit->group, key, edit->basis);
      return;
    }
  g_key_file_remove_key (keys, edit->group, edit->id, NULL);
  g_key_file_remove_key (keys, edit->group, key, NULL);
}

/* Into what the file holds now, which another window may have changed since it was read. */
static void
write_edit (const Edit *edit, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (edit->path), *data = NULL;
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autoptr (GError) read_error = NULL;
  gsize length;

  if (!g_key_file_load_from_file (keys, edit->path, G_KEY_FILE_KEEP_COMMENTS, &read_error) &&
      !g_error_matches (read_error, G_FILE_ERROR, G_FILE_ERROR_NOENT))
    {
      g_propagate_prefixed_error (error, g_steal_pointer (&read_error),
                                  _ ("“%s” cannot be read, and was not changed. "), edit->path);
      return;
    }
  set_keys (keys, edit);
  if (g_mkdir_with_parents (folder, FOLDER_MODE) != 0)
    {
      int code = errno;

      g_set_error (error, G_FILE_ERROR, (int) g_file_error_from_errno (code),
                   _ ("The folder “%1$s” cannot be made: %2$s."), folder, g_strerror (code));
      return;
    }
  data = g_key_file_to_data (keys, &length, NULL);
  g_file_set_contents_full (edit->path, data, (gssize) length,
                            G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, FILE_MODE, error);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;

  write_edit (data, &error);
  sl_thread_return (task, error);
}

void
sl_explanation_put (SlBench *bench, const SlSentence *sentence, const char *text, GAsyncReadyCallback done,
                    gpointer data)
{
  g_autofree char *group = NULL;
  SlExplanations *e = of_bench (bench, &group);
  Edit *edit = g_new (Edit, 1);

  g_assert (e != NULL); /* no sentence is without its visit, and no open profile without its id */
  *edit = (Edit){ g_strdup (e->path), g_steal_pointer (&group), g_strdup (sentence->id), g_strdup (sentence->basis),
                  g_strdup (text) };
  set_keys (e->keys, edit);
  sl_run_in_turn (bench, write_in_thread, edit, (GDestroyNotify) edit_free, done, data);
}

gboolean
sl_explanation_put_finish (GAsyncResult *result, GError **error)
{
  SlBench *bench = g_task_get_source_object (G_TASK (result));
  const Edit *edit = g_task_get_task_data (G_TASK (result));
  SlExplanations *e = g_object_get_data (G_OBJECT (bench), BENCH_KEY);
  g_autofree char *key = g_strconcat (edit->group, "/", edit->id, NULL);
  GError *failure = NULL;

  if (g_task_propagate_boolean (G_TASK (result), &failure))
    {
      g_hash_table_remove (e->failures, key);
      return TRUE;
    }
  g_hash_table_insert (e->failures, g_steal_pointer (&key), g_strdup (failure->message));
  g_propagate_error (error, failure);
  return FALSE;
}

const char *
sl_explanation_failure (SlBench *bench, const SlSentence *sentence)
{
  g_autofree char *group = NULL, *key = NULL;
  SlExplanations *e = of_bench (bench, &group);

  if (e == NULL)
    return NULL;
  key = g_strconcat (group, "/", sentence->id, NULL);
  return g_hash_table_lookup (e->failures, key);
}

GHashTable *
sl_explanations_table (SlBench *bench)
{
  g_autofree char *group = NULL;
  SlExplanations *e = of_bench (bench, &group);
  g_auto (GStrv) keys = e != NULL ? g_key_file_get_keys (e->keys, group, NULL, NULL) : NULL;
  GHashTable *table = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (int i = 0; keys != NULL && keys[i] != NULL; i++)
    {
      g_autofree char *text =
          g_str_has_suffix (keys[i], BASIS_SUFFIX) ? NULL : g_key_file_get_string (e->keys, group, keys[i], NULL);

      if (text != NULL)
        g_hash_table_insert (table, g_strdup (keys[i]), g_steal_pointer (&text));
    }
  return table;
}

gboolean
sl_explanations_outdated (SlBench *bench)
{
  const SlSpeech speech = { { SL_LENGTHS_MM, "." } }; /* only what the sentences rest on is looked at */
  gboolean outdated = FALSE;
  SlOutcome outcome;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &sl_bench_get_analysis (bench)->shop);
  for (int planned = 0; planned <= 1; planned++)
    {
      g_autoptr (GPtrArray) sentences = sl_explain_work (&outcome, &speech, planned);

      for (guint i = 0; i < sentences->len; i++)
        {
          SlExplanationState state;

          g_free (sl_explanation_get (bench, g_ptr_array_index (sentences, i), &state));
          outdated |= state == SL_EXPLANATION_OUTDATED;
        }
    }
  sl_outcome_clear (&outcome);
  return outdated;
}
