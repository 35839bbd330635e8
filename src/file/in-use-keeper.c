/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/in-use-keeper.h"

#include "file/document.h"

#define LONGEST_END_US (2 * G_USEC_PER_SEC)

/* A thread that has it keeps it after it was freed: one at a time. */
struct _SlInUseKeeper
{
  GMutex one; /* held while the file system is asked */
  GFile *file;
  SlInUseNote *note; /* NULL before the first look, and where none can be left */
  int ended;         /* nobody is told any more; atomic */
  SlInUseTold told;
  gpointer data;
  guint source;
  gboolean looking, again; /* of the main loop */
};

static int under_way;      /* threads; atomic */
static GPtrArray *keepers; /* all there are; NULL before the first */

static void
keeper_clear (gpointer data)
{
  SlInUseKeeper *self = data;

  g_mutex_clear (&self->one);
  g_object_unref (self->file);
}

static void
keeper_unref (gpointer self)
{
  g_atomic_rc_box_release_full (self, keeper_clear);
}

static GPtrArray *
look (SlInUseKeeper *self)
{
  gint64 now_us = self->note != NULL ? sl_in_use_beat (self->note) : 0;

  /* never noted, or somebody took it for left: a machine that slept has said nothing meanwhile. But where the profile
   * itself is gone its note went with it, and comes back with it. */
  if (now_us == 0 && g_file_query_exists (self->file, NULL))
    {
      g_clear_pointer (&self->note, sl_in_use_drop);
      self->note = sl_in_use_take (self->file);
      now_us = self->note != NULL ? sl_in_use_beat (self->note) : 0;
    }
  return sl_in_use_look (self->file, now_us, TRUE);
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  SlInUseKeeper *self = data;
  GPtrArray *others = NULL;

  g_mutex_lock (&self->one);
  if (!g_atomic_int_get (&self->ended))
    others = look (self);
  if (g_atomic_int_get (&self->ended))
    g_clear_pointer (&self->note, sl_in_use_drop);
  g_mutex_unlock (&self->one);
  g_atomic_int_add (&under_way, -1);
  g_task_return_pointer (task, others, (GDestroyNotify) g_ptr_array_unref);
}

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GPtrArray) others = g_task_propagate_pointer (G_TASK (result), NULL);
  SlInUseKeeper *self = g_task_get_task_data (G_TASK (result));

  if (g_atomic_int_get (&self->ended))
    return;
  self->looking = FALSE;
  if (self->again)
    sl_in_use_keeper_look (self);
  if (others != NULL)
    self->told (others, self->data);
}

static void
run (SlInUseKeeper *self)
{
  g_atomic_int_inc (&under_way);
  sl_run_in_thread (NULL, NULL, look_in_thread, g_atomic_rc_box_acquire (self), keeper_unref, on_looked, NULL);
}

/* One thread at most: a share that doesn't answer is not asked again. */
void
sl_in_use_keeper_look (SlInUseKeeper *self)
{
  self->again = self->looking;
  if (self->looking)
    return;
  self->looking = TRUE;
  run (self);
}

static gboolean
on_beat (gpointer data)
{
  sl_in_use_keeper_look (data);
  return G_SOURCE_CONTINUE;
}

SlInUseKeeper *
sl_in_use_keeper_new (GFile *file, SlInUseTold told, gpointer data)
{
  SlInUseKeeper *self = g_atomic_rc_box_new0 (SlInUseKeeper);

  self->told = told;
  self->data = data;
  self->file = g_object_ref (file);
  g_mutex_init (&self->one);
  self->source = g_timeout_add_seconds (SL_IN_USE_BEAT_S, on_beat, self);
  if (keepers == NULL)
    keepers = g_ptr_array_new ();
  g_ptr_array_add (keepers, self);
  sl_in_use_keeper_look (self);
  return self;
}

/* Takes the note away, after whatever is under way. */
static void
end (SlInUseKeeper *self)
{
  g_atomic_int_set (&self->ended, TRUE);
  run (self);
}

void
sl_in_use_keeper_free (SlInUseKeeper *self)
{
  g_ptr_array_remove (keepers, self);
  g_source_remove (self->source);
  end (self);
  keeper_unref (self);
}

void
sl_in_use_finish (void)
{
  const gint64 latest = g_get_monotonic_time () + LONGEST_END_US;

  for (guint i = 0; keepers != NULL && i < keepers->len; i++)
    end (g_ptr_array_index (keepers, i));
  while (g_atomic_int_get (&under_way) > 0 && g_get_monotonic_time () < latest)
    g_usleep (1000);
}
