/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/explanations.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>

#define BENCH_KEY "sl-explanations"
#define BASIS_SUFFIX "-basis"
#define FOLDER_MODE 0700 /* what is written about a customer's instrument is nobody else's */
#define FILE_MODE 0600

/* Of one profile. */
typedef struct
{
  char *profile_id, *path;
  GKeyFile *keys;
} Explanations;

static void
explanations_free (gpointer data)
{
  Explanations *e = data;

  g_free (e->profile_id);
  g_free (e->path);
  g_key_file_unref (e->keys);
  g_free (e);
}

/* An id as the name of a file or a group: whatever a document holds, it leads nowhere else. */
static char *
safe_name (const char *id)
{
  g_autofree char *escaped = g_uri_escape_string (id, NULL, FALSE);

  return *escaped == '.' ? g_strconcat ("_", escaped, NULL) : g_steal_pointer (&escaped);
}

static Explanations *
explanations_new (const char *profile_id)
{
  g_autofree char *name = safe_name (profile_id), *file = g_strconcat (name, ".ini", NULL);
  Explanations *e = g_new0 (Explanations, 1);

  e->profile_id = g_strdup (profile_id);
  e->path = g_build_filename (g_get_user_data_dir (), "sidelong", "explanations", file, NULL);
  e->keys = g_key_file_new ();
  g_key_file_load_from_file (e->keys, e->path, G_KEY_FILE_NONE, NULL); /* what can't be read is told of before it would be written over */
  return e;
}

/* NULL where there is nothing to keep anything for. */
static Explanations *
of_bench (SlBench *bench, char **group)
{
  const SlProfile *profile = sl_bench_get_profile (bench);
  const SlVisit *visit = sl_bench_get_visit (bench);
  Explanations *e = g_object_get_data (G_OBJECT (bench), BENCH_KEY);

  if (profile->id == NULL || visit == NULL || visit->id == NULL)
    return NULL;
  if (e == NULL || !g_str_equal (e->profile_id, profile->id))
    {
      e = explanations_new (profile->id);
      g_object_set_data_full (G_OBJECT (bench), BENCH_KEY, e, explanations_free);
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
  Explanations *e = of_bench (bench, &group);

  if (e != NULL)
    {
      text = g_key_file_get_string (e->keys, group, sentence->id, NULL);
      basis = g_key_file_get_string (e->keys, group, key, NULL);
    }
  if (state != NULL)
    *state = text == NULL ? SL_EXPLANATION_GENERATED : g_strcmp0 (basis, sentence->basis) == 0 ? SL_EXPLANATION_EDITED : SL_EXPLANATION_OUTDATED;
  return g_steal_pointer (&text);
}

static void
set_keys (GKeyFile *keys, const char *group, const SlSentence *sentence, const char *text)
{
  g_autofree char *key = basis_key (sentence->id);

  if (text != NULL)
    {
      g_key_file_set_string (keys, group, sentence->id, text);
      g_key_file_set_string (keys, group, key, sentence->basis);
      return;
    }
  g_key_file_remove_key (keys, group, sentence->id, NULL);
  g_key_file_remove_key (keys, group, key, NULL);
}

/* Into what the file holds now, which another window may have changed since it was read. */
static gboolean
write_keys (const Explanations *e, const char *group, const SlSentence *sentence, const char *text, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (e->path), *data = NULL;
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autoptr (GError) read_error = NULL;
  gsize length;

  if (!g_key_file_load_from_file (keys, e->path, G_KEY_FILE_KEEP_COMMENTS, &read_error) && !g_error_matches (read_error, G_FILE_ERROR, G_FILE_ERROR_NOENT))
    {
      g_propagate_prefixed_error (error, g_steal_pointer (&read_error), _ ("“%s” cannot be read, and is left as it is. "), e->path);
      return FALSE;
    }
  set_keys (keys, group, sentence, text);
  if (g_mkdir_with_parents (folder, FOLDER_MODE) != 0)
    {
      int code = errno;

      g_set_error (error, G_FILE_ERROR, (int) g_file_error_from_errno (code), _ ("The folder “%1$s” cannot be made: %2$s."), folder, g_strerror (code));
      return FALSE;
    }
  data = g_key_file_to_data (keys, &length, NULL);
  return g_file_set_contents_full (e->path, data, (gssize) length, G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, FILE_MODE, error);
}

gboolean
sl_explanation_put (SlBench *bench, const SlSentence *sentence, const char *text, GError **error)
{
  g_autofree char *group = NULL;
  Explanations *e = of_bench (bench, &group);

  g_return_val_if_fail (e != NULL, TRUE); /* no sentence is without its visit, and no open profile without its id */
  set_keys (e->keys, group, sentence, text);
  return write_keys (e, group, sentence, text, error);
}

GHashTable *
sl_explanations_table (SlBench *bench)
{
  g_autofree char *group = NULL;
  Explanations *e = of_bench (bench, &group);
  g_auto (GStrv) keys = e != NULL ? g_key_file_get_keys (e->keys, group, NULL, NULL) : NULL;
  GHashTable *table = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (int i = 0; keys != NULL && keys[i] != NULL; i++)
    {
      g_autofree char *text = g_str_has_suffix (keys[i], BASIS_SUFFIX) ? NULL : g_key_file_get_string (e->keys, group, keys[i], NULL);

      if (text != NULL)
        g_hash_table_insert (table, g_strdup (keys[i]), g_steal_pointer (&text));
    }
  return table;
}

gboolean
sl_explanations_outdated (SlBench *bench)
{
  const SlSpeech speech = { SL_LENGTHS_MM, "." }; /* only what the sentences rest on is looked at */
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
