/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/window-private.h"
#include "words/dates.h"

/* Several changes to a file in one go are looked at once. */
#define WATCH_DELAY_MS 400

/* Keys of messages. */
#define MESSAGE_IN_USE "in use"
#define MESSAGE_SILENT "silent"

/* Who has the file open besides, a sentence or two for each; empty: nobody. */
static char *
say_others (const GPtrArray *others)
{
  GString *text = g_string_new (NULL);

  SL_EACH_OF (const SlInUse, other, others)
    {
      g_autofree char *since = sl_date_and_time (other->since);

      if (text->len > 0)
        g_string_append_c (text, '\n');
      g_string_append_printf (
          text,
          other->left
              /* Translators: %1$s a person, %2$s the name of a machine, %3$s date and time */
              ? _ ("%1$s left this open on %2$s on %3$s without closing it: the program there was cut off, perhaps. "
                   "What was not saved is offered there at its next start.")
              /* Translators: %1$s a person, %2$s the name of a machine, %3$s date and time */
              : _ ("%1$s has had this open on %2$s since %3$s, too. Both can work on it: whoever saves second is told "
                   "before anything is written."),
          other->person, other->machine, since);
    }
  return g_string_free (text, FALSE);
}

/* Told once: a message that was closed comes back only with other news. */
static void
on_in_use (const GPtrArray *others, gpointer data)
{
  SlWindow *self = data;
  g_autofree char *text = say_others (others);

  if (g_strcmp0 (text, self->in_use_said) == 0)
    return;
  /* what was left is told once, and gone at the next look */
  if (*text != '\0')
    sl_message_show (self->messages, MESSAGE_IN_USE, SL_MESSAGE_NOTICE, NULL, "%s", text);
  else if (!self->in_use_left)
    sl_message_withdraw (self->messages, MESSAGE_IN_USE);
  self->in_use_left = FALSE;
  SL_EACH_OF (const SlInUse, other, others)
    self->in_use_left |= other->left;
  g_free (self->in_use_said);
  self->in_use_said = g_steal_pointer (&text);
}

static void
on_file_changed (GHashTable *names, gpointer data)
{
  SlWindow *self = data;
  g_autofree char *name = g_file_get_basename (self->file);
  const gboolean itself = names == NULL || g_hash_table_contains (names, name);

  if (itself)
    sl_window_look_at_file (self);
  if (names == NULL || g_hash_table_size (names) > (itself ? 1 : 0)) /* notes */
    sl_in_use_keeper_look (self->in_use);
}

static void
on_silent (gboolean silent, gpointer data)
{
  SlWindow *self = data;

  if (silent)
    sl_message_show (self->messages, MESSAGE_SILENT, SL_MESSAGE_WARNING, NULL,
                     _ ("The folder this file lies in does not answer. Everything is still on the bench; saving has to "
                        "wait until it does."));
  else
    sl_message_withdraw (self->messages, MESSAGE_SILENT);
}

void
sl_window_follow_file (SlWindow *self)
{
  sl_window_leave_file (self);
  /* once it is followed it is looked at, too: it may have changed since it was read */
  self->watch =
      sl_folder_watch_new (&(SlFolderUser){ WATCH_DELAY_MS, on_file_changed, sl_window_look_at_file, on_silent }, self);
  sl_folder_watch_follow_file (self->watch, self->file);
  self->in_use = sl_in_use_keeper_new (self->file, on_in_use, self);
}

void
sl_window_leave_file (SlWindow *self)
{
  if (self->watch == NULL)
    return;
  g_clear_pointer (&self->watch, sl_folder_watch_free);
  g_clear_pointer (&self->in_use, sl_in_use_keeper_free);
  g_clear_pointer (&self->in_use_said, g_free);
  self->in_use_left = FALSE;
  sl_message_withdraw (self->messages, MESSAGE_IN_USE);
  sl_message_withdraw (self->messages, MESSAGE_SILENT);
}
