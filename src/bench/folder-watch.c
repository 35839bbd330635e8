/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/folder-watch.h"

#include "bench/settings.h"
#include "file/document.h"

struct _SlFolderWatch
{
  GFile *folder;
  GFileMonitor *monitor;  /* NULL where the share can't tell, and until it can */
  GCancellable *starting; /* of the monitor on its way */
  GHashTable *names;      /* changed, and not reported yet */
  gboolean whole;         /* the folder itself changed */

  SlFolderChanged changed;
  SlFolderFollowed followed;
  gboolean (*wanted) (const char *name);
  gpointer data;
  guint quiet_ms, source;
};

SlFolderWatch *
sl_folder_watch_new (guint quiet_ms, SlFolderChanged changed, SlFolderFollowed followed, gpointer data)
{
  SlFolderWatch *self = g_new (SlFolderWatch, 1);

  *self = (SlFolderWatch){
    .changed = changed, .followed = followed, .data = data, .quiet_ms = quiet_ms, .wanted = sl_document_has_name
  };
  return self;
}

void
sl_folder_watch_want (SlFolderWatch *self, gboolean (*wanted) (const char *name))
{
  self->wanted = wanted;
}

static void
forget (SlFolderWatch *self)
{
  g_clear_handle_id (&self->source, g_source_remove);
  g_clear_pointer (&self->names, g_hash_table_unref);
  self->whole = FALSE;
}

static void
stop (SlFolderWatch *self)
{
  if (self->monitor != NULL)
    g_signal_handlers_disconnect_by_data (self->monitor, self);
  g_cancellable_cancel (self->starting);
  g_clear_object (&self->starting);
  g_clear_object (&self->monitor);
  g_clear_object (&self->folder);
  forget (self);
}

void
sl_folder_watch_free (SlFolderWatch *self)
{
  stop (self);
  g_free (self);
}

static void
report (SlFolderWatch *self)
{
  g_autoptr (GHashTable) names = g_steal_pointer (&self->names);
  const gboolean whole = self->whole;

  forget (self);
  if (whole || names != NULL)
    self->changed (whole ? NULL : names, self->data);
}

static void
collect (SlFolderWatch *self, GFile *file)
{
  g_autoptr (GFile) parent = file != NULL ? g_file_get_parent (file) : NULL;
  g_autofree char *name = file != NULL ? g_file_get_basename (file) : NULL;

  if (file == NULL || self->folder == NULL)
    return;
  if (g_file_equal (file, self->folder))
    self->whole = TRUE;
  if (parent == NULL || !g_file_equal (parent, self->folder) || !self->wanted (name))
    return;
  if (self->names == NULL)
    self->names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_hash_table_add (self->names, g_steal_pointer (&name));
}

static void
on_event (GFileMonitor *monitor, GFile *file, GFile *other, GFileMonitorEvent event, gpointer data)
{
  SlFolderWatch *self = data;

  collect (self, file);
  collect (self, other);
  if (self->source == 0 && (self->names != NULL || self->whole))
    self->source = g_timeout_add_once (self->quiet_ms, (GSourceOnceFunc) report, self);
}

/* A monitor made in a thread that has no main loop of its own tells that of the program. */
static void
start_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GFile *folder = source;

  if (GPOINTER_TO_INT (data)) /* mostly there; what is wrong is reported by whoever reads it */
    {
      sl_make_own_shelf (folder);
      g_file_make_directory_with_parents (folder, cancellable, NULL);
    }
  g_task_return_pointer (task, g_file_monitor_directory (folder, G_FILE_MONITOR_WATCH_MOVES, cancellable, NULL),
                         g_object_unref);
}

static void
on_started (GObject *source, GAsyncResult *result, gpointer data)
{
  SlFolderWatch *self = data; /* gone where this was cancelled */
  g_autoptr (GError) error = NULL;
  GFileMonitor *monitor = g_task_propagate_pointer (G_TASK (result), &error);

  if (error != NULL)
    return;
  g_clear_object (&self->starting);
  self->monitor = monitor;
  if (monitor != NULL)
    g_signal_connect (monitor, "changed", G_CALLBACK (on_event), self);
  self->followed (self->data);
}

void
sl_folder_watch_follow (SlFolderWatch *self, GFile *folder, gboolean make)
{
  g_object_ref (folder); /* perhaps the one that is given up */
  stop (self);
  self->folder = folder;
  self->starting = g_cancellable_new ();
  sl_run_in_thread (folder, self->starting, start_in_thread, GINT_TO_POINTER (make), NULL, on_started, self);
}

void
sl_folder_watch_tell (SlFolderWatch *self, GFile *file)
{
  collect (self, file);
  report (self);
}
