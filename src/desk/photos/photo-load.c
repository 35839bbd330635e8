/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photos.h"

#include "file/document.h"

#define AT_ONCE 2 /* pictures that are decoded at a time: each may take some hundred MB while it is */

typedef struct
{
  GFile *folder;
  char *file;
  int most_side;
  SlPhotoLoaded loaded;
} Load;

static void
load_free (Load *load)
{
  g_object_unref (load->folder);
  g_free (load->file);
  g_free (load);
}

static void
load_in_pool (gpointer data, gpointer pool_data)
{
  GTask *task = data;
  const Load *load = g_task_get_task_data (task);
  GError *error = NULL;
  g_autoptr (GBytes) bytes = sl_photo_bytes (load->folder, load->file, NULL, &error);
  GdkPixbuf *picture = bytes != NULL ? sl_image_decode (bytes, load->most_side, NULL, &error) : NULL;

  if (picture != NULL)
    g_task_return_pointer (task, picture, g_object_unref);
  else
    g_task_return_error (task, error);
  g_object_unref (task);
  sl_thread_end ();
}

static void
on_loaded (GObject *nobody, GAsyncResult *result, gpointer data)
{
  g_autofree GWeakRef *object = data;
  g_autoptr (GObject) there = g_weak_ref_get (object);
  g_autoptr (GError) error = NULL;
  const Load *load = g_task_get_task_data (G_TASK (result));
  g_autoptr (GdkPixbuf) picture = g_task_propagate_pointer (G_TASK (result), &error);

  g_weak_ref_clear (object);
  if (there != NULL)
    load->loaded (there, picture, error);
}

void
sl_photo_load (SlBench *bench, const char *file, int most_side, gpointer object, SlPhotoLoaded loaded)
{
  static GThreadPool *pool;
  const Load load = { sl_photos_folder (bench), g_strdup (file), most_side, loaded };
  GWeakRef *weak = g_new0 (GWeakRef, 1);
  GTask *task = g_task_new (NULL, NULL, on_loaded, weak);

  g_weak_ref_init (weak, object);
  g_task_set_task_data (task, g_memdup2 (&load, sizeof load), (GDestroyNotify) load_free);
  if (pool == NULL)
    pool = g_thread_pool_new (load_in_pool, NULL, AT_ONCE, FALSE, NULL);
  sl_thread_begin ();
  g_thread_pool_push (pool, task, NULL);
}
