/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "bench/settings.h"
#include "desk/instrument/profile-changes.h"
#include "desk/sheets/parts.h"
#include "draw/draw.h"
#include "file/document.h"
#include "words/dates.h"

#define MOST_IN_WINDOW 500 /* differences */

void
sl_left_work_free (gpointer data)
{
  SlLeftWork *left = data;

  g_clear_pointer (&left->journal, sl_journal_free);
  g_clear_pointer (&left->now, sl_profile_free);
  g_free (left->trouble);
  g_clear_pointer (&left->changes, g_ptr_array_unref);
  g_free (left);
}

static SlLeftWork *
read_left (const char *path)
{
  const SlTextStyle style = { sl_settings_get_lengths (), sl_decimal_sign () };
  g_autoptr (SlLeftWork) left = g_new0 (SlLeftWork, 1);
  g_autoptr (GError) broken = NULL, error = NULL;
  g_autofree char *stamp = NULL;

  left->journal = sl_journal_read (path, &broken);
  if (broken != NULL)
    g_debug ("%s", broken->message); /* it stays until its time is over */
  if (left->journal == NULL || left->journal->file == NULL)
    return left->journal == NULL ? NULL : g_steal_pointer (&left);
  left->now = sl_document_read (left->journal->file, &stamp, NULL, NULL, &error);
  left->trouble = error != NULL ? g_strdup (error->message) : NULL;
  left->replaced = stamp != NULL && g_strcmp0 (stamp, left->journal->stamp) != 0;
  if (left->now != NULL)
    left->changes = sl_profile_changes (left->now, left->journal->profile, &style);
  if (left->changes == NULL || left->changes->len > 0 || left->journal->typed != NULL)
    return g_steal_pointer (&left);
  sl_journal_put_aside (path, FALSE); /* it was saved, and the program killed just then */
  return NULL;
}

static void
load_in_thread (GTask *task, gpointer source, gpointer path, GCancellable *cancellable)
{
  g_task_return_pointer (task, read_left (path), sl_left_work_free);
}

void
sl_left_work_load (gpointer source, const char *path, GAsyncReadyCallback done)
{
  sl_run_in_thread (source, NULL, load_in_thread, g_strdup (path), g_free, done, NULL);
}

/* Each has a thread of its own: a share that hangs holds up no other. */
static void
list_in_thread (GTask *task, gpointer source, gpointer done, GCancellable *cancellable)
{
  g_autoptr (GPtrArray) paths = sl_journal_list ();

  for (guint i = 0; i < paths->len; i++)
    sl_left_work_load (source, paths->pdata[i], *(GAsyncReadyCallback *) done);
  g_task_return_boolean (task, TRUE);
}

void
sl_left_work_load_all (gpointer source, GAsyncReadyCallback done)
{
  sl_run_in_thread (source, NULL, list_in_thread, g_memdup2 (&done, sizeof done), g_free, NULL, NULL);
}

SlLeftWork *
sl_left_work_finish (GAsyncResult *result)
{
  return g_task_propagate_pointer (G_TASK (result), NULL);
}

/* ---- in words ---- */

char *
sl_left_work_title (const SlLeftWork *left)
{
  g_autofree char *when = sl_date_and_time (left->journal->written);

  /* Translators: name of an instrument, date and time. */
  return g_strdup_printf (_ ("“%s”, left unsaved %s"), left->journal->profile->identity.label, when);
}

char *
sl_left_work_text (const SlLeftWork *left, guint most_changes)
{
  GString *text = g_string_new (NULL);
  g_autofree char *name = left->journal->file != NULL ? g_file_get_parse_name (left->journal->file) : NULL;
  const guint n = left->changes != NULL && most_changes > 0 ? left->changes->len : 0, more = n - MIN (n, most_changes);

  if (name == NULL)
    g_string_append (text, _ ("Never saved: there is no file of it. "));
  if (left->trouble != NULL)
    g_string_append_printf (text, _ ("Its file “%s” can't be read now: %s. "), name, left->trouble);
  if (left->replaced)
    g_string_append (text, _ ("Somebody has saved the file since; both versions are whole. "));
  for (guint i = 0; i < n - more; i++)
    {
      g_autofree char *line = sl_profile_change_text (left->changes->pdata[i]);

      g_string_append_printf (text, "%s. ", line);
    }
  if (more > 0)
    g_string_append_printf (text, g_dngettext (GETTEXT_PACKAGE, "%u more difference. ", "%u more differences. ", more),
                            more);
  for (char **typed = left->journal->typed; typed != NULL && *typed != NULL; typed += 2)
    {
      g_autofree char *words = sl_text_shortened (typed[1], NULL);

      /* Translators: name of an entry, and the text that was left in it. */
      g_string_append_printf (text, _ ("Typed and not entered: %s “%s”. "), typed[0], words);
    }
  return g_strchomp (g_string_free (text, FALSE));
}

/* ---- the side view, of what was left over what is in the file ---- */

typedef struct
{
  SlBench *bench;
  SlAnalysis *shown;                           /* of the bench, but for the state it starts from */
  GtkWidget *window, *area, *scrolled, *lines; /* bound in this order */
} Picture;

static void
picture_free (gpointer data)
{
  g_object_unref (((Picture *) data)->bench);
  g_free (((Picture *) data)->shown);
  g_free (data);
}

/* Puts how @from stands after its work into @state and @figures. */
static void
take_state (const SlAnalysis *from, SlState *state, SlFigures *figures)
{
  *state = *sl_state_ahead (from);
  *figures = from->has_plan ? from->planned_figures : from->measured_figures;
}

static Picture *
picture_new (const SlLeftWork *left)
{
  Picture *picture = g_new (Picture, 1);
  g_autoptr (SlBench) file = left->now != NULL ? sl_bench_new (sl_profile_copy (left->now)) : NULL;
  const SlAnalysis *was = file != NULL ? sl_bench_get_analysis (file) : NULL, *is;
  SlAnalysis *shown;

  picture->bench = sl_bench_new (sl_profile_copy (left->journal->profile));
  is = sl_bench_get_analysis (picture->bench);
  shown = picture->shown = g_memdup2 (is, sizeof *is);
  shown->earlier = NULL;
  shown->has_plan = was != NULL && was->instrument.n_strings == is->instrument.n_strings &&
                    was->instrument.frets == is->instrument.frets;
  take_state (shown->has_plan ? was : is, &shown->measured, &shown->measured_figures);
  take_state (is, &shown->planned, &shown->planned_figures);
  return picture;
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const Picture *picture = data;
  SlPictureOptions options = sl_picture_options_for (picture->bench, GTK_WIDGET (area), SL_PICTURE_SIDE, width, height);

  options.still = TRUE;
  options.legend = picture->shown->has_plan ? _ ("dashed: as in the file") : NULL;
  sl_picture_draw (cr, picture->shown, &options, NULL);
}

GtkWidget *
sl_left_window_new (GtkWindow *parent, const SlLeftWork *left)
{
  g_autofree char *title = sl_left_work_title (left), *text = sl_left_work_text (left, MOST_IN_WINDOW);
  Picture *picture = picture_new (left);
  GtkWidget *window =
      sl_build ("left-window", picture, SL_MEMBERS (Picture, window, lines), "window area scrolled lines", NULL);

  g_object_set (window, "title", title, "transient-for", parent, NULL);
  sl_label_set (picture->lines, text);
  sl_name_scrolled (picture->scrolled, _ ("Differences"));
  g_object_set_data_full (G_OBJECT (window), "picture", picture, picture_free);
  sl_colour_scheme_mark (window);
  sl_set_accessible_description (picture->area, text);
  sl_picture_area_init (picture->area, draw, picture);
  return window;
}
