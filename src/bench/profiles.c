/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/profiles.h"

#include "bench-resources.h"

#include <glib/gi18n-lib.h>

#define STARTING "/org/sidelong/bench/starting/"
#define DEMO "/org/sidelong/bench/demo/"

const SlStarting sl_startings[] = {
#include "starting-rows.h"
  { NULL, NULL, NULL, NULL },
};

static SlProfile *
load (const char *folder, const char *name)
{
  g_autofree char *path = g_strconcat (folder, name, SL_DOCUMENT_EXTENSION, NULL);
  /* Named here, so that linking the static library keeps the resource. */
  g_autoptr (GBytes) bytes =
      g_resource_lookup_data (sl_bench_get_resource (), path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile;

  if (bytes == NULL)
    return NULL;
  profile = sl_document_parse (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), faults);
  g_return_val_if_fail (profile != NULL, NULL); /* tests read every one of them */
  g_free (profile->id);
  profile->id = g_uuid_string_random ();
  return profile;
}

SlProfile *
sl_starting_profile (const char *name)
{
  return load (STARTING, name);
}

SlProfile *
sl_demo_profile (const char *name)
{
  return load (DEMO, name);
}

char **
sl_demo_names (void)
{
  g_auto (GStrv) files =
      g_resource_enumerate_children (sl_bench_get_resource (), DEMO, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();

  for (guint i = 0; files != NULL && files[i] != NULL; i++)
    if (sl_document_has_name (files[i])) /* else it is a folder of photographs */
      {
        *g_strrstr (files[i], SL_DOCUMENT_EXTENSION) = '\0';
        g_strv_builder_add (names, files[i]);
      }
  return g_strv_builder_end (names);
}

GFile *
sl_demo_photos (const char *name)
{
  g_autofree char *uri = g_strconcat ("resource://" DEMO, name, SL_DOCUMENT_PHOTOS, NULL);

  return g_file_new_for_uri (uri);
}

/* ---- read from a file ---- */

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  SlProfile *profile = sl_document_read (data, NULL, NULL, cancellable, &error);

  if (profile != NULL)
    g_task_return_pointer (task, profile, (GDestroyNotify) sl_profile_free);
  else
    g_task_return_error (task, error);
}

void
sl_read_profile_async (gpointer source, GFile *file, GCancellable *cancellable, GAsyncReadyCallback done)
{
  sl_run_in_thread (source, cancellable, read_in_thread, g_object_ref (file), g_object_unref, done, NULL);
}

SlProfile *
sl_read_profile_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}
