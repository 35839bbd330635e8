/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/parts.h"

#include "desk/readings/readings.h"
#include "setup/physics/intonation.h"

#define USUAL_OTHER_FRET 5 /* low enough for the nut to tell (common practice) */
#define CENT_PLACES 1
#define KEPT_PER_CENT 100.0 /* differences are rounded so that no rounding noise is written */

/* What is typed for each string, in columns beside each other. */
enum
{
  ASK_OPEN,
  ASK_OCTAVE,
  ASK_OTHER,
  N_ASKS
};

#define OPEN_COLUMN 1u /* and the others behind it */
#define OTHER_COLUMN 3

typedef struct
{
  SlBench *bench;   /* borrowed */
  SlListen *listen; /* NULL until it is first wanted; the page keeps it */
  /* bound in this order */
  GtkWidget *page, *tools, *messages, *hint, *ends_sentence, *fret_chooser, *ends_chooser, *take_better;
  SlFigureTable *table;
  GtkWidget *entry[SL_MAX_STRINGS][N_ASKS];
  int other_fret, n_frets;
  SlStiffEnds better;
} Tuner;

static const char *
reference_step (void)
{
  return C_ ("undo step", "open string’s reference");
}

/* ---- readings ---- */

static int
fret_of (const Tuner *self, int ask)
{
  return ask == ASK_OPEN ? 0 : ask == ASK_OCTAVE ? SL_OCTAVE_FRET : self->other_fret;
}

static SlQuestion
question_of (const Tuner *self, int string, int ask)
{
  return sl_pitch_question (string, fret_of (self, ask));
}

static double
kept_value (Tuner *self, int string, int ask)
{
  const SlQuestion question = question_of (self, string, ask);

  return sl_question_value (sl_bench_get_set (self->bench), &question);
}

/* What the tuner shows of the open string; where nothing is kept it was tuned to 0. */
static double
open_or_zero (Tuner *self, int string)
{
  const double open = kept_value (self, string, ASK_OPEN);

  return isnan (open) ? 0 : open;
}

static double
round_cents (double cents)
{
  return round (cents * KEPT_PER_CENT) / KEPT_PER_CENT;
}

/* A sentence where @cents can't be kept. */
static char *
complaint_of (int string, double cents)
{
  g_autofree char *range = sl_bound_complaint (&sl_readings[SL_READ_PITCH].bound, cents);

  /* Translators: string number; a sentence naming the value and the range */
  return range == NULL ? NULL : g_strdup_printf (_ ("String %d against its open string: %s."), string, range);
}

/* All that is kept of this string so far was against another open string: what the tuner showed stays, what is kept of
 * it moves. */
static void
on_open (Tuner *self, SlLengthEntry *entry, int string, double typed)
{
  const double moved = (isnan (typed) ? 0 : typed) - open_or_zero (self, string);
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlQuestion open = question_of (self, string, ASK_OPEN);
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (SlReading));
  g_autofree char *complaint = NULL;

  SL_EACH (const SlReading, r, set == NULL ? NULL : set->readings)
    {
      SlReading reading = *r;

      if (complaint != NULL || reading.kind != SL_READ_PITCH || reading.string != string || reading.fret == 0)
        continue;
      reading.value = sl_number (round_cents (reading.value.v - moved));
      complaint = complaint_of (string, reading.value.v);
      g_array_append_val (kept, reading);
    }
  if (complaint != NULL)
    {
      sl_length_entry_refuse (entry, complaint);
      return;
    }
  sl_bench_begin_gesture (self->bench, reference_step ());
  sl_question_put (self->bench, &open, isnan (typed) ? NAN : round_cents (typed));
  SL_EACH (const SlReading, moved_one, kept)
    sl_bench_put_reading (self->bench, reference_step (), *moved_one);
  sl_bench_end_gesture (self->bench);
  sl_update_seen (self->page);
}

static void
on_committed (SlLengthEntry *entry, double value, Tuner *self)
{
  int place = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (entry), "place"));
  int string = place / N_ASKS + 1, ask = place % N_ASKS;

  if (ask == ASK_OPEN)
    {
      on_open (self, entry, string, value);
      return;
    }
  const double cents = isnan (value) ? NAN : round_cents (value - open_or_zero (self, string));
  const SlQuestion question = question_of (self, string, ask);
  g_autofree char *complaint = isnan (cents) ? NULL : complaint_of (string, cents);

  if (complaint == NULL)
    sl_question_put (self->bench, &question, cents);
  else
    sl_length_entry_refuse (entry, complaint);
}

/* Enter goes to the next string at the same fret, after the last string to the next column. */
static void
on_step (GtkWidget *entry, int by)
{
  Tuner *self = sl_part_of (entry);
  const int n = sl_bench_get_profile (self->bench)->n_strings;
  const int place = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (entry), "place"));
  const int to = place % N_ASKS * n + place / N_ASKS + by;

  if (to < 0 || to >= n * N_ASKS)
    sl_length_entry_move_on (entry, to > 0 ? 1 : -1);
  else
    gtk_widget_grab_focus (self->entry[to % n][to / n]);
}

/* ---- the table ---- */

static void
name_entries (Tuner *self, int string)
{
  const char *const names[N_ASKS] = { _ ("Tuner, string %d, open"), _ ("Tuner, string %d, fret %d"),
                                      _ ("Tuner, string %d, other fret, %d") };

  for (int ask = 0; ask < N_ASKS; ask++)
    {
      const SlQuestion asked = question_of (self, string, ask);
      g_autofree char *step_name = ask == ASK_OPEN ? g_strdup (reference_step ()) : sl_question_step_name (&asked);

      sl_name_as (self->entry[string - 1][ask], names[ask], string, fret_of (self, ask));
      sl_length_entry_join_steps (SL_LENGTH_ENTRY (self->entry[string - 1][ask]), self->bench, step_name);
    }
}

static void
build_row (Tuner *self, int string)
{
  const SlLengthUse use = { &sl_readings[SL_READ_PITCH].bound, C_ ("unit", "cents"), CENT_PLACES, 1 };

  for (int ask = 0; ask < N_ASKS; ask++)
    {
      GtkWidget *entry = sl_length_entry_set_up (sl_length_entry_new (), use); /* named in name_entries() */
      SlLengthEntry *cell = SL_LENGTH_ENTRY (entry);

      if (ask == ASK_OPEN)
        sl_length_entry_set_assumed (cell, 0);
      gtk_widget_set_valign (entry, GTK_ALIGN_CENTER);
      g_object_set_data (G_OBJECT (entry), "place", GINT_TO_POINTER ((string - 1) * N_ASKS + ask));
      g_signal_connect (entry, "committed", G_CALLBACK (on_committed), self);
      g_signal_connect (entry, "step", G_CALLBACK (on_step), NULL);
      sl_figure_table_put (self->table, (guint) string - 1, OPEN_COLUMN + (guint) ask, entry);
      gtk_box_append (GTK_BOX (self->messages), sl_length_entry_new_message (cell));
      self->entry[string - 1][ask] = entry;
    }
  name_entries (self, string);
}

static char *
cents_text (const SlTextStyle *style, double cents)
{
  return sl_text_plain (style, cents, CENT_PLACES, TRUE);
}

static void
show_string (Tuner *self, const SlAnalysis *analysis, const SlTextStyle *style, int string)
{
  const SlFigure *model = analysis->measured_figures.pitch_error[string - 1];
  const SlFigures *ahead = analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures;
  const SlFigure octave = model[SL_OCTAVE_FRET];
  g_autofree char *expected = cents_text (style, octave.value),
                  *range = sl_text_plain (style, SL_COVERAGE * octave.u, CENT_PLACES, FALSE);
  double read = NAN;
  SlCrestPlace place;

  sl_crest_place (analysis, string, &place);
  sl_tuner_cents (analysis->set, string, &read);
  for (int ask = 0; ask < N_ASKS; ask++)
    {
      const double value = kept_value (self, string, ask) + (ask == ASK_OPEN ? 0 : open_or_zero (self, string));

      sl_length_entry_set_places (SL_LENGTH_ENTRY (self->entry[string - 1][ask]), sl_places_for (value, CENT_PLACES));
      sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry[string - 1][ask]), value);
    }
  sl_figure_table_fill (
      self->table, (guint) string - 1, sl_text_string (sl_bench_get_profile (self->bench), string), g_strdup (""),
      g_strdup (""), g_strdup (""), cents_text (style, read),
      g_strconcat (expected, isnan (octave.u) ? NULL : " ±", range, NULL), cents_text (style, read - octave.value),
      cents_text (style, model[self->other_fret].value),
      cents_text (style, isnan (read) ? ahead->pitch_error[string - 1][SL_OCTAVE_FRET].value : place.left), NULL);
}

/* ---- which ends ---- */

static void
show_ends (Tuner *self, const SlAnalysis *analysis, const SlTextStyle *style)
{
  const SlStiffEnds chosen = analysis->instrument.stiff_ends;
  g_autofree char *one = NULL, *both = NULL, *text = NULL;
  SlEndsFit fit;

  sl_fit_ends (&analysis->instrument, &analysis->measured, analysis->set, &fit);
  one = sl_text_plain (style, fit.rms_one, CENT_PLACES, FALSE);
  both = sl_text_plain (style, fit.rms_both, CENT_PLACES, FALSE);
  if (fit.n > 0)
    text = g_strdup_printf (fit.better == SL_STIFF_ENDS_ONE
                                ? g_dngettext (GETTEXT_PACKAGE,
                                               "%d reading lies %s cents (root mean square) from the model with one "
                                               "end of the string clamped, %s with both: "
                                               "one end fits better.",
                                               "%d readings lie %s cents (root mean square) from the model with one "
                                               "end of the string clamped, %s with both: "
                                               "one end fits better.",
                                               (gulong) fit.n)
                                : g_dngettext (GETTEXT_PACKAGE,
                                               "%d reading lies %s cents (root mean square) from the model with one "
                                               "end of the string clamped, %s with both: "
                                               "both ends fit better.",
                                               "%d readings lie %s cents (root mean square) from the model with one "
                                               "end of the string clamped, %s with both: "
                                               "both ends fit better.",
                                               (gulong) fit.n),
                            fit.n, one, both);
  sl_set_remark (self->ends_sentence, text);
  sl_set_remark (self->hint, fit.n > 0 ? NULL
                                       : _ ("Tune the open string to 0, stop it at the 12th fret, type what the tuner "
                                            "shows; Enter goes to the next string."));
  self->better = fit.better;
  sl_chooser_fill (self->ends_chooser, NULL, chosen == SL_STIFF_ENDS_BOTH ? 1 : 0);
  gtk_widget_set_sensitive (self->take_better, fit.n > 0 && fit.better != chosen);
}

static void
set_ends (Tuner *self, SlStiffEnds ends)
{
  if (ends == sl_bench_get_analysis (self->bench)->instrument.stiff_ends)
    return;
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "string ends"), SL_CHANGED_INSTRUMENT, FALSE);
  edit.profile->player.given = TRUE;
  edit.profile->player.stiff_ends = ends;
}

static void
on_ends (Tuner *self)
{
  set_ends (self, sl_chosen (self->ends_chooser) == 1 ? SL_STIFF_ENDS_BOTH : SL_STIFF_ENDS_ONE);
}

static void
on_take_better (Tuner *self)
{
  set_ends (self, self->better);
}

static void
on_listen (Tuner *self)
{
  if (self->listen == NULL)
    {
      g_autoptr (SlListen) made = sl_listen_new (self->bench);

      self->listen = sl_keep (self->page, made);
      sl_listen_set_programme (self->listen, SL_LISTEN_OCTAVES);
    }
  sl_listen_window_present (GTK_WINDOW (gtk_widget_get_root (self->page)), self->listen);
}

/* ---- following ---- */

/* Frets that can be the other one: all but the 12th. */
static int
fret_at (guint position)
{
  const int fret = (int) position + 1;

  return fret < SL_OCTAVE_FRET ? fret : fret + 1;
}

static void
list_frets (Tuner *self, int n_frets)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);

  for (guint i = 0; fret_at (i) <= n_frets; i++)
    gtk_string_list_take (list, g_strdup_printf (C_ ("tuner", "fret %d"), fret_at (i)));
  self->n_frets = n_frets;
  self->other_fret = MIN (self->other_fret, n_frets);
  sl_chooser_fill (self->fret_chooser, list,
                   (guint) (self->other_fret < SL_OCTAVE_FRET ? self->other_fret - 1 : self->other_fret - 2));
}

static void
on_fret (Tuner *self)
{
  self->other_fret = fret_at (sl_chosen (self->fret_chooser));
  for (int s = 1; s <= sl_bench_get_profile (self->bench)->n_strings; s++)
    if (self->entry[s - 1][ASK_OPEN] != NULL)
      name_entries (self, s);
  sl_update_seen (self->page);
}

static void
update (Tuner *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *other = NULL;

  if (self->n_frets != analysis->instrument.frets)
    list_frets (self, analysis->instrument.frets);
  if (sl_figure_table_set_rows (self->table, (guint) analysis->instrument.n_strings))
    {
      sl_empty_box (self->messages);
      for (int s = 1; s <= analysis->instrument.n_strings; s++)
        build_row (self, s);
    }
  for (int s = 1; s <= analysis->instrument.n_strings; s++)
    show_string (self, analysis, &style, s);
  show_ends (self, analysis, &style);
  other = g_strdup_printf (_ ("other, fret %d"), self->other_fret);
  sl_figure_table_set_title (self->table, OTHER_COLUMN, other);
}

GtkWidget *
sl_pitch_tuner_new (SlBench *bench)
{
  Tuner *self = sl_part_new (bench, SL_PART (Tuner, page, table), g_free, "pitch-tuner",
                             "page tools messages hint ends_sentence fret_chooser ends_chooser take_better table",
                             SL_CALL (on_take_better), SL_CALL (on_listen), NULL);

  self->other_fret = USUAL_OTHER_FRET;
  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_part_set_tools (self->page, self->tools);
  sl_chooser_init (self->fret_chooser, _ ("The other fret that is read"), G_CALLBACK (on_fret), self);
  sl_chooser_init (self->ends_chooser, _ ("How the model treats the string’s ends"), G_CALLBACK (on_ends), self);
  return self->page;
}
