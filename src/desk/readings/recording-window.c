/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "bench/recording.h"
#include "desk/readings/parts.h"

typedef struct
{
  GtkWidget *window, *box, *note, *accept; /* bound in this order */
  GtkWidget *list;
  SlBench *bench; /* kept */
  SlRecording *recording;
} Recording;

typedef struct
{
  GtkWidget *line, *wanted, *string, *fret, *cents, *word; /* bound in this order */
} NoteRow;

/* ---- a note ---- */

static SlRecordingRow *
note_of (SlRow *row)
{
  const Recording *self = row->owner;

  return &g_array_index (self->recording->rows, SlRecordingRow, sl_row_get_place (row));
}

static void
update (Recording *self)
{
  const GArray *rows = self->recording->rows;
  gboolean any = FALSE;

  SL_EACH (const SlRecordingRow, row, rows)
    any = any || row->wanted;
  gtk_widget_set_sensitive (self->accept, any);
  sl_row_list_update (SL_ROW_LIST (self->list), rows->len);
}

/* What the cents of the other notes count from may be another now, too. */
static void
on_changed (SlRow *row)
{
  const NoteRow *controls = row->controls;

  if (!sl_row_listens (row))
    return;
  SlRecordingRow *note = note_of (row);

  note->wanted = sl_is_on (controls->wanted);
  note->string = (int) sl_chosen (controls->string);
  note->fret = (int) sl_chosen (controls->fret);
  update (row->owner);
}

static void
make_row (SlRow *row)
{
  const Recording *self = row->owner;
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  NoteRow *controls = row->controls;
  g_autoptr (GtkStringList) strings = gtk_string_list_new ((const char *[]){ "–", NULL }),
                            frets = gtk_string_list_new ((const char *[]){ C_ ("fret", "open"), NULL });

  for (int s = 1; s <= profile->n_strings; s++)
    gtk_string_list_take (strings, sl_text_string (profile, s));
  for (int n = 1; n <= profile->neck.frets; n++)
    gtk_string_list_take (frets, g_strdup_printf (C_ ("tuner", "fret %d"), n));
  sl_row_build (row, "note-row", SL_MEMBERS (NoteRow, line, word), "line wanted string fret cents word",
                SL_CALL (on_changed), NULL);
  gtk_drop_down_set_model (GTK_DROP_DOWN (controls->string), G_LIST_MODEL (strings));
  gtk_drop_down_set_model (GTK_DROP_DOWN (controls->fret), G_LIST_MODEL (frets));
  sl_guard_wheel (controls->string);
  sl_guard_wheel (controls->fret);
  sl_list_late (controls->string);
  sl_list_late (controls->fret);
}

static void
fill_row (SlRow *row)
{
  static const char *const words[SL_N_HEARD_WORDS] = {
    [SL_HEARD_SETTLED] = NC_ ("heard", "settled"),     [SL_HEARD_GLIDING] = NC_ ("heard", "still falls"),
    [SL_HEARD_SOFT] = NC_ ("heard", "too soft"),       [SL_HEARD_CLIPPED] = NC_ ("heard", "too loud"),
    [SL_HEARD_TWO_NOTES] = NC_ ("heard", "two notes"),
  };
  Recording *self = row->owner;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const NoteRow *controls = row->controls;
  const SlRecordingRow *note = note_of (row);
  const double cents = sl_recording_cents (self->recording, note);
  const guint number = sl_row_get_place (row) + 1;
  g_autofree char *onset = sl_text_plain (&style, note->note.onset, 1, FALSE),
                  *when = g_strdup_printf (_ ("at %s s"), onset), *spread = NULL,
                  *heard = sl_text_heard (&style, cents, SL_COVERAGE * note->note.cents_u, &spread);

  gtk_check_button_set_label (GTK_CHECK_BUTTON (controls->wanted), when);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (controls->wanted), note->wanted);
  gtk_widget_set_sensitive (controls->wanted, note->string > 0 && isfinite (cents));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (controls->string), (guint) note->string);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (controls->fret), (guint) note->fret);
  if (isfinite (cents) && spread != NULL)
    sl_label_say (controls->cents, _ ("%s ± %s cents"), heard, spread);
  else
    sl_label_set (controls->cents, "–");
  sl_label_set (controls->word, g_dpgettext2 (GETTEXT_PACKAGE, "heard", words[note->note.word]));
  sl_name_as (GTK_WIDGET (row), _ ("Note %u, %s"), number, when);
  sl_name_as (controls->wanted, _ ("Note %u, %s: accept"), number, when);
  sl_name_as (controls->string, _ ("Note %u: string"), number);
  sl_name_as (controls->fret, _ ("Note %u: fret"), number);
}

/* ---- the window ---- */

static void
on_done (gpointer owner, const char *trouble)
{
  Recording *self = owner;
  const guint n = self->recording->rows->len;

  if (trouble != NULL)
    sl_label_set (self->note, trouble);
  else if (n == 0)
    sl_label_set (self->note, _ ("No plucked string is heard in it."));
  else
    sl_label_say (self->note,
                  g_dngettext (GETTEXT_PACKAGE, "%u note. Tick what is to become a reading.",
                               "%u notes. Tick what is to become readings.", (gulong) n),
                  n);
  update (self);
}

static void
on_accept (GtkWidget *window)
{
  Recording *self = g_object_get_data (G_OBJECT (window), "recording");
  g_autofree char *trouble = NULL;

  if (!sl_bench_settle (self->bench))
    return;
  trouble = sl_recording_accept (self->recording);
  sl_label_set (self->note, trouble != NULL ? trouble : _ ("✓ The readings are taken; undo takes them back."));
  update (self);
}

static void
free_recording (Recording *self)
{
  g_clear_pointer (&self->recording, sl_recording_free);
  g_free (self);
}

void
sl_recording_window_present (GtkWindow *parent, SlBench *bench, GFile *file)
{
  Recording *self = g_new0 (Recording, 1);
  GtkWidget *window = sl_build ("recording", self, SL_MEMBERS (Recording, window, accept), "window box note accept",
                                SL_CALL (on_accept), SL_CALL (gtk_window_close), NULL);
  g_autofree char *name = g_file_get_basename (file);
  g_autoptr (GError) error = NULL;

  g_object_set_data_full (G_OBJECT (window), "recording", self, (GDestroyNotify) free_recording);
  self->bench = sl_keep (window, bench);
  g_object_set (window, "title", name, "transient-for", parent, "application", gtk_window_get_application (parent),
                NULL);
  self->list =
      sl_row_list_new (_ ("Notes of the recording"), SL_SPACE_WIDE, sizeof (NoteRow), make_row, fill_row, self);
  gtk_box_insert_child_after (GTK_BOX (self->box), sl_scrolled_new (self->list, _ ("Notes of the recording")),
                              self->note);
  sl_label_set (self->note, _ ("It is listened to…"));
  self->recording = sl_recording_new (bench, file, on_done, self, &error);
  if (self->recording == NULL)
    sl_label_set (self->note, error->message);
  sl_colour_scheme_mark (window);
  gtk_window_present (GTK_WINDOW (window));
}
