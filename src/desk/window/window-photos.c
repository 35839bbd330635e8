/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs that follow what is on the bench to where its file is. */
#include "bench/photo-edit.h"
#include "desk/window/window-private.h"
#include "words/one-line.h"

#define MESSAGE_PHOTOS "photos" /* its key */

void
sl_window_say_left_photos (SlWindow *self, const GPtrArray *names, const GError *error)
{
  g_autofree char *list = sl_shown_names (names);

  if (error != NULL || list != NULL)
    sl_message_show (self->messages, MESSAGE_PHOTOS, SL_MESSAGE_WARNING, NULL,
                     /* Translators: names of files, or why */
                     _ ("Some photographs were not copied: %s."), error != NULL ? error->message : list);
}

typedef struct
{
  SlProfile *profile;
  GFile *from, *to;
  GPtrArray *left;
} Fetch;

static void
fetch_free (Fetch *fetch)
{
  sl_profile_free (fetch->profile);
  g_object_unref (fetch->from);
  g_object_unref (fetch->to);
  g_ptr_array_unref (fetch->left);
  g_free (fetch);
}

static void
fetch_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Fetch *fetch = data;
  GError *error = NULL;

  sl_photos_carry (fetch->profile, fetch->from, fetch->to, fetch->left, NULL, cancellable, &error);
  sl_thread_return (task, error);
}

static void
on_fetched (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  const Fetch *fetch = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  g_task_propagate_boolean (G_TASK (result), &error);
  if (self->bench == NULL || self->cancellable == NULL) /* closed meanwhile */
    return;
  sl_window_say_left_photos (self, fetch->left, error);
  g_signal_emit_by_name (self->bench, "changed", (guint) SL_CHANGED_PHOTOS); /* tiles look for them again */
}

void
sl_window_fetch_photos (SlWindow *self, GFile *from)
{
  g_autoptr (GFile) to = sl_photos_folder (self->bench);
  Fetch *fetch;

  if (g_file_equal (from, to))
    return;
  fetch = g_new0 (Fetch, 1);
  *fetch = (Fetch){ sl_profile_copy (sl_bench_get_profile (self->bench)), g_object_ref (from), g_steal_pointer (&to),
                    g_ptr_array_new_with_free_func (g_free) };
  sl_run_in_thread (self, self->cancellable, fetch_in_thread, fetch, (GDestroyNotify) fetch_free, on_fetched, NULL);
}
