/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The journal of what is on the bench, and work that was left unsaved before: offered, kept, compared, discarded. */
#include "bench/photo-edit.h"
#include "desk/window/window-private.h"

/* Keys of messages. */
#define MESSAGE_JOURNAL "journal"
#define MESSAGE_LEFT "left" /* what came of it; an offer has the path of its journal */

#define MOST_TOLD 3 /* differences */

static void
on_failed (gpointer data, const char *reason)
{
  SlWindow *self = data;

  sl_message_show (self->messages, MESSAGE_JOURNAL, SL_MESSAGE_WARNING, NULL,
                   _ ("What is not saved yet can't be kept for after a crash or a power cut; save often. %s"), reason);
}

void
sl_window_begin_journal (SlWindow *self)
{
  sl_journal_keep (self->bench, !self->is_example, on_failed, self);
  sl_photos_set_file (self->bench, self->file);
  if (self->file != NULL)
    sl_journal_set_file (self->bench, self->file, self->stamp);
}

void
sl_window_say_not_kept (SlWindow *self, const GError *error)
{
  if (error != NULL)
    sl_message_show (self->messages, MESSAGE_JOURNAL, SL_MESSAGE_WARNING, NULL,
                     _ ("Saved, but the version before could not be kept beside it: %s"), error->message);
}

void
sl_window_inhibit_end (SlWindow *self, gboolean unsaved)
{
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));

  if (app == NULL || unsaved == (self->inhibited != 0))
    return;
  if (!unsaved)
    gtk_application_uninhibit (app, self->inhibited);
  self->inhibited = !unsaved ? 0
                             : gtk_application_inhibit (app, GTK_WINDOW (self), GTK_APPLICATION_INHIBIT_LOGOUT,
                                                        _ ("An instrument has changes that are not saved."));
}

/* ---- what was left ---- */

/* Says what it holds, and what can be done, where @offer. */
static void
say_left (SlWindow *self, const SlLeftWork *left, gboolean offer)
{
  const char *path = left->journal->path;
  g_autofree char *title = sl_left_work_title (left), *text = sl_left_work_text (left, offer ? MOST_TOLD : 0),
                  *keep = g_strconcat ("win.keep-left::", path, NULL),
                  *compare = g_strconcat ("win.compare-left::", path, NULL),
                  *discard = g_strconcat ("win.discard-left::", path, NULL);
  const SlMessageButton buttons[] = {
    { _ ("Keep"), keep }, { _ ("Compare…"), compare }, { _ ("Discard"), discard }, { NULL }
  };

  sl_message_show (self->messages, path, SL_MESSAGE_WARNING, offer ? buttons : NULL, "%s. %s", title, text);
}

static void
on_left_found (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  g_autoptr (SlLeftWork) left = sl_left_work_finish (result);

  if (left != NULL && (self->bench == NULL || (left->journal->file != NULL && self->file != NULL &&
                                               g_file_equal (left->journal->file, self->file))))
    say_left (self, left, TRUE);
}

/* Puts the work on the bench of this window, which has its file: a step of its own, so that undo shows the file. */
static void
take_left (SlWindow *self, SlJournal *journal)
{
  SlEdit edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "keep what was left unsaved"), SL_CHANGED_PROFILE, FALSE);
  SlProfile file = *edit.profile;

  *edit.profile = *journal->profile;
  *journal->profile = file;
  sl_bench_end_edit (&edit);
  if (g_strcmp0 (self->stamp, journal->stamp) != 0)
    sl_window_set_base (self, NULL); /* it was begun from another version than the file's */
  g_free (self->stamp);
  self->stamp = g_strdup (journal->stamp); /* saving notices who saved since */
  sl_journal_set_file (self->bench, self->file, self->stamp);
  sl_journal_take_over (self->bench, journal->path);
  sl_window_look_at_file (self);
}

void
sl_window_offer_left (SlWindow *self)
{
  /* another file may have come first, and this one may no longer be readable */
  if (self->left != NULL && self->file != NULL && g_file_equal (self->left->file, self->file))
    take_left (self, self->left);
  else
    sl_left_work_load_all (self, on_left_found);
  g_clear_pointer (&self->left, sl_journal_free);
}

static gboolean
is_there (SlWindow *self, gconstpointer left)
{
  if (left == NULL)
    sl_message_show (self->messages, MESSAGE_LEFT, SL_MESSAGE_NOTICE, NULL,
                     _ ("That work is no longer there: it was kept, discarded or saved meanwhile."));
  return left != NULL;
}

static void
on_keep_loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source), *showing;
  g_autoptr (SlLeftWork) left = sl_left_work_finish (result);
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));

  if (app == NULL || !is_there (self, left))
    return;
  showing = left->journal->file != NULL ? sl_window_showing (app, left->journal->file, NULL) : NULL;
  if (showing != NULL || self->bench != NULL)
    self = showing != NULL ? showing : sl_window_new (app);
  if (left->journal->typed != NULL || left->trouble != NULL)
    say_left (self, left, FALSE);
  if (showing != NULL)
    take_left (self, left->journal);
  else if (left->now != NULL)
    {
      self->left = g_steal_pointer (&left->journal);
      sl_window_show_file (app, self->left->file, GTK_WINDOW (self));
    }
  else
    {
      sl_window_put_on_bench (self, g_steal_pointer (&left->journal->profile));
      sl_journal_take_over (self->bench, left->journal->path);
      if (left->journal->file != NULL) /* which is gone, but perhaps not its pictures */
        {
          g_autoptr (GFile) photos = sl_document_photos (left->journal->file);

          sl_window_fetch_photos (self, photos);
        }
    }
  gtk_window_present (GTK_WINDOW (self));
}

void
sl_window_keep_left (GSimpleAction *action, GVariant *path, gpointer data)
{
  sl_journal_put_aside (g_variant_get_string (path, NULL), TRUE); /* where it was discarded just now */
  sl_left_work_load (data, g_variant_get_string (path, NULL), on_keep_loaded);
}

static void
on_compare_loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  g_autoptr (SlLeftWork) left = sl_left_work_finish (result);

  if (g_cancellable_is_cancelled (self->cancellable) || !is_there (self, left))
    return;
  say_left (self, left, TRUE); /* it went with the click */
  gtk_window_present (GTK_WINDOW (sl_left_window_new (GTK_WINDOW (self), left)));
}

void
sl_window_compare_left (GSimpleAction *action, GVariant *path, gpointer data)
{
  sl_left_work_load (data, g_variant_get_string (path, NULL), on_compare_loaded);
}

void
sl_window_discard_left (GSimpleAction *action, GVariant *path, gpointer data)
{
  SlWindow *self = data;
  g_autofree char *keep = g_strconcat ("win.keep-left::", g_variant_get_string (path, NULL), NULL);

  if (is_there (self, sl_journal_put_aside (g_variant_get_string (path, NULL), FALSE) ? path : NULL))
    sl_message_show (self->messages, MESSAGE_LEFT, SL_MESSAGE_NOTICE,
                     (const SlMessageButton[]){ { _ ("Keep it after all"), keep }, { NULL } },
                     _ ("Discarded. It is put aside until the program starts again."));
}
