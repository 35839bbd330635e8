/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/profiles.h"

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
  g_autoptr (GTask) task = g_task_new (source, cancellable, done, NULL);

  g_task_set_task_data (task, g_object_ref (file), g_object_unref);
  g_task_run_in_thread (task, read_in_thread);
}

SlProfile *
sl_read_profile_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}
