/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/folder-watch.h"

#include "file/folder-poll.h"
#include "bench/settings.h"
#include "file/document.h"
#include "file/in-use.h"

#define LOOK_US G_USEC_PER_SEC /* between looks at what no monitor tells of: what others do is seen within two */
#define SILENT_S 5             /* a folder that hasn't answered for so long is silent */

/* What follows the folder in a thread; outlives the watch where the thread is held up. */
typedef struct
{
  GFile *folder;
  gboolean make;
  SlFolderPoll *poll;
  GMutex lock;
  GCond wake;
  gboolean ended;       /* under the lock */
  int over;             /* nothing is looked at any more; atomic */
  SlFolderWatch *watch; /* NULL then; of the main loop */
} Follow;

struct _SlFolderWatch
{
  GFile *folder;
  char *only;            /* the one file of it that is followed; NULL: all that are wanted */
  GFileMonitor *monitor; /* NULL where the share can't tell, and until it can */
  Follow *follow;
  GHashTable *names; /* changed, and not reported yet */
  gboolean whole;    /* the folder itself changed */
  gboolean is_silent;

  SlFolderUser user;
  gpointer data;
  guint source, listening;
};

SlFolderWatch *
sl_folder_watch_new (const SlFolderUser *user, gpointer data)
{
  SlFolderWatch *self = g_new (SlFolderWatch, 1);

  *self = (SlFolderWatch){ .user = *user, .data = data };
  if (user->wanted == NULL)
    self->user.wanted = sl_document_has_name;
  return self;
}

static void
forget (SlFolderWatch *self)
{
  g_clear_handle_id (&self->source, g_source_remove);
  g_clear_pointer (&self->names, g_hash_table_unref);
  self->whole = FALSE;
}

static void
follow_clear (gpointer data)
{
  Follow *follow = data;

  g_mutex_clear (&follow->lock);
  g_cond_clear (&follow->wake);
  sl_folder_poll_free (follow->poll);
  g_object_unref (follow->folder);
}

static void
follow_unref (gpointer follow)
{
  g_atomic_rc_box_release_full (follow, follow_clear);
}

static void
stop (SlFolderWatch *self)
{
  if (self->monitor != NULL)
    g_signal_handlers_disconnect_by_data (self->monitor, self);
  if (self->follow != NULL)
    {
      g_mutex_lock (&self->follow->lock);
      self->follow->ended = TRUE;
      self->follow->watch = NULL;
      g_cond_signal (&self->follow->wake);
      g_mutex_unlock (&self->follow->lock);
    }
  g_clear_pointer (&self->follow, follow_unref);
  g_clear_handle_id (&self->listening, g_source_remove);
  g_clear_object (&self->monitor);
  g_clear_object (&self->folder);
  g_clear_pointer (&self->only, g_free);
  self->is_silent = FALSE;
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
    self->user.changed (whole ? NULL : names, self->data);
}

static gboolean
is_wanted (SlFolderWatch *self, const char *name)
{
  g_autofree char *profile = self->only != NULL ? sl_in_use_profile (name) : NULL;

  return self->only != NULL ? g_str_equal (profile != NULL ? profile : name, self->only) : self->user.wanted (name);
}

static void
add_name (SlFolderWatch *self, const char *name)
{
  if (self->names == NULL)
    self->names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_hash_table_add (self->names, g_strdup (name));
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
  if (parent != NULL && g_file_equal (parent, self->folder) && is_wanted (self, name))
    add_name (self, name);
}

static void
report_soon (SlFolderWatch *self)
{
  if (self->source == 0 && (self->names != NULL || self->whole))
    self->source = g_timeout_add_once (self->user.quiet_ms, (GSourceOnceFunc) report, self);
}

static void
on_event (GFileMonitor *monitor, GFile *file, GFile *other, GFileMonitorEvent event, gpointer data)
{
  SlFolderWatch *self = data;

  collect (self, file);
  collect (self, other);
  report_soon (self);
}

/* ---- in the thread ---- */

/* What the thread hands to the main loop. */
typedef struct
{
  Follow *follow;
  GFileMonitor *monitor;
  GHashTable *names;
  gboolean whole, first;
} News;

static void
news_free (gpointer data)
{
  News *news = data;

  follow_unref (news->follow);
  g_clear_object (&news->monitor);
  g_hash_table_unref (news->names);
  g_free (news);
}

static gboolean
on_news (gpointer data)
{
  News *news = data;
  SlFolderWatch *self = news->follow->watch;
  GHashTableIter iter;
  gpointer name;

  if (self == NULL)
    return G_SOURCE_REMOVE;
  if (news->monitor != NULL)
    {
      self->monitor = g_steal_pointer (&news->monitor);
      g_signal_connect (self->monitor, "changed", G_CALLBACK (on_event), self);
    }
  g_hash_table_iter_init (&iter, news->names);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    add_name (self, name);
  self->whole |= news->whole;
  report_soon (self);
  if (news->first)
    self->user.followed (self->data);
  return G_SOURCE_REMOVE;
}

static gboolean
wait_for_next (Follow *follow)
{
  const gint64 end = g_get_monotonic_time () + LOOK_US;
  gboolean ended;

  g_mutex_lock (&follow->lock);
  while (!follow->ended && g_cond_wait_until (&follow->wake, &follow->lock, end))
    ;
  ended = follow->ended;
  g_mutex_unlock (&follow->lock);
  return !ended;
}

/* A monitor made in a thread that has no main loop of its own tells that of the program. */
static gpointer
follow_in_thread (gpointer data)
{
  Follow *follow = data;
  GFileMonitor *monitor;
  gboolean poll, first = TRUE;

  if (follow->make) /* mostly there; what is wrong is reported by whoever reads it */
    {
      sl_make_own_shelf (follow->folder);
      g_file_make_directory_with_parents (follow->folder, NULL, NULL);
    }
  monitor = g_file_monitor_directory (follow->folder, G_FILE_MONITOR_WATCH_MOVES, NULL, NULL);
  poll = monitor == NULL || sl_folder_is_shared (follow->folder);
  do
    {
      News *news = g_new (News, 1);

      *news = (News){ g_atomic_rc_box_acquire (follow), g_steal_pointer (&monitor),
                      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL), FALSE, first };
      news->whole = poll && sl_folder_poll_look (follow->poll, news->names);
      if (first || news->whole || g_hash_table_size (news->names) > 0)
        g_idle_add_full (G_PRIORITY_DEFAULT, on_news, news, news_free);
      else
        news_free (news);
      first = FALSE;
    }
  while (poll && wait_for_next (follow));
  g_atomic_int_set (&follow->over, TRUE);
  follow_unref (follow);
  return NULL;
}

/* ---- in the main loop ---- */

static gboolean
listen (gpointer data)
{
  SlFolderWatch *self = data;
  const gint64 now_s = g_get_monotonic_time () / G_USEC_PER_SEC;
  const gboolean over = g_atomic_int_get (&self->follow->over),
                 silent = !over && now_s - sl_folder_poll_alive (self->follow->poll) > SILENT_S;

  if (silent != self->is_silent && self->user.silent != NULL)
    self->user.silent (silent, self->data);
  self->is_silent = silent;
  self->listening = over ? 0 : self->listening;
  return !over;
}

static void
follow (SlFolderWatch *self, GFile *folder, const char *only, gboolean make)
{
  g_object_ref (folder); /* perhaps the one that is given up */
  stop (self);
  self->folder = folder;
  self->only = g_strdup (only);
  self->follow = g_atomic_rc_box_new0 (Follow);
  self->follow->folder = g_object_ref (folder);
  self->follow->make = make;
  self->follow->watch = self;
  self->follow->poll = sl_folder_poll_new (folder, self->user.wanted, only);
  g_mutex_init (&self->follow->lock);
  g_cond_init (&self->follow->wake);
  self->listening = g_timeout_add_seconds (1, listen, self);
  g_thread_unref (g_thread_new ("folder", follow_in_thread, g_atomic_rc_box_acquire (self->follow)));
}

void
sl_folder_watch_follow (SlFolderWatch *self, GFile *folder, gboolean make)
{
  follow (self, folder, NULL, make);
}

void
sl_folder_watch_follow_file (SlFolderWatch *self, GFile *file)
{
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autofree char *name = g_file_get_basename (file);

  follow (self, folder, name, FALSE);
}

void
sl_folder_watch_tell (SlFolderWatch *self, GFile *file)
{
  collect (self, file);
  report (self);
}
