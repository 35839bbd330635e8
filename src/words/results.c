/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/results.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* Our own choice: two notes of a chord that differ by less are heard as in tune by most. */
#define PITCH_TOLERANCE_CENTS 3.0
#define BREAK_PLACES 1     /* of degrees and newtons */
#define LEAST_BREAK_U 0.05 /* the least that so many places show */
#define CENT_PLACES 1

typedef struct
{
  const SlAnalysis *analysis;
  const SlFigures *before, *after;
  const SlTextStyle *style;
  const SlNorms *norms; /* or NULL */
  GPtrArray *rows;
  int strings[3]; /* the strings to speak of, bass first */
  int n_strings;
} Table;

static void
result_free (gpointer data)
{
  SlResult *row = data;

  g_free (row->name);
  g_free (row->before);
  g_free (row->before_more);
  g_free (row->after);
  g_free (row->after_more);
  g_free (row->target);
  g_free (row->remark);
  g_free (row->usual);
  g_free (row->sentence);
  g_free (row);
}

static void
append_part (GString *sentence, const char *intro, const char *figure, const char *more)
{
  if (figure == NULL)
    return;
  g_string_append_printf (sentence, "%s %s", intro, figure);
  if (more != NULL)
    g_string_append_printf (sentence, " %s", more);
}

/* Takes a row whose texts are filled in and writes the sentence that says it whole, beginning with @spoken, its name at
 * length. */
static void
add_row (Table *table, SlResult row, char *spoken)
{
  GString *sentence = g_string_new (spoken);

  /* Translators: parts of a spoken row: "Action, string 6: before 3.20 ±0.16, after 2.30 ±0.16, target 2.30, in range"
   */
  append_part (sentence, _ (": before"), row.before, row.before_more);
  append_part (sentence, _ (", after"), row.after, row.after_more);
  append_part (sentence, _ (", target"), row.target, NULL);
  if (row.word != SL_WORD_NONE)
    g_string_append_printf (sentence, ", %s", sl_word_text (row.word));
  if (row.remark != NULL)
    g_string_append_printf (sentence, ", %s", row.remark);
  if (row.usual != NULL)
    g_string_append_printf (sentence, "; %s", row.usual);
  row.sentence = g_string_free (sentence, FALSE);
  g_free (spoken);
  g_ptr_array_add (table->rows, g_memdup2 (&row, sizeof row));
}

typedef char *(*LengthText) (const SlTextStyle *style, double mm);

/* ---- what is normal for the model ---- */

/* "1.90–2.05 (median 1.98)", or the one figure where all agree. */
static char *
spread_text (const SlNorm *norm, LengthText text, const SlTextStyle *style)
{
  g_autofree char *low = text (style, norm->low), *high = text (style, norm->high),
                  *median = text (style, norm->median);

  if (g_strcmp0 (low, high) == 0)
    return g_steal_pointer (&low);
  /* Translators: of a figure of several instruments the middle half, from %1$s to %2$s, and the median */
  return g_strdup_printf (_ ("%1$s–%2$s (median %3$s)"), low, high, median);
}

/* "0.21 above this model's usual 1.90–2.05 (median 1.98)": the distance as written, so that what shows as nothing is
 * said as nothing. */
static char *
usual_text (const SlNorm *norm, double value, LengthText text, const SlTextStyle *style)
{
  double distance = norm != NULL ? sl_norm_distance (norm, value) : NAN;
  g_autofree char *apart = NULL, *none = NULL, *usual = NULL;

  if (isnan (distance))
    return NULL;
  apart = text (style, fabs (distance));
  none = text (style, 0);
  usual = spread_text (norm, text, style);
  if (g_strcmp0 (apart, none) == 0)
    /* Translators: a figure by the baseline of the model; %s is one figure, "1.90", or a range, "1.90–2.05" */
    return g_strdup_printf (norm->n == 1 ? _ ("as its baseline, %s") : _ ("within this model's usual %s"), usual);
  if (distance > 0)
    /* Translators: %1$s a difference, %2$s a figure or range */
    return g_strdup_printf (
        norm->n == 1 ? _ ("%1$s above its baseline's %2$s") : _ ("%1$s above this model's usual %2$s"), apart, usual);
  return g_strdup_printf (
      norm->n == 1 ? _ ("%1$s below its baseline's %2$s") : _ ("%1$s below this model's usual %2$s"), apart, usual);
}

static const SlNorm *
norm_of (const Table *table, SlNormKind kind, int string)
{
  return table->norms != NULL && string <= table->norms->n_strings ? &table->norms->norm[kind][string - 1] : NULL;
}

/* A figure that rests on what was assumed says so, and says nothing of what is usual. */
static SlResult
mark_assumed (SlResult row, const SlFigure *before)
{
  if (before->basis != SL_BASIS_ASSUMED)
    return row;
  row.assumed = TRUE;
  g_free (row.remark);
  row.remark = g_strdup (_ ("assumed"));
  return row;
}

static char *
usual_of (const SlFigure *before, const SlNorm *norm, LengthText text, const SlTextStyle *style)
{
  return before->basis == SL_BASIS_ASSUMED ? NULL : usual_text (norm, before->value, text, style);
}

/* A row of two lengths; the word and the target are the caller's. */
static void
add_lengths (Table *table, char *name, char *spoken, LengthText text, const SlFigure *before, const SlFigure *after,
             char *target, SlWord word, const SlNorm *norm)
{
  SlResult row = {
    .name = name,
    .before = text (table->style, before->value),
    .before_more = sl_text_uncertainty (table->style, before->u),
    .after = text (table->style, after->value),
    .after_more = sl_text_uncertainty (table->style, after->u),
    .target = target,
    .word = word,
    .usual = usual_of (before, norm, text, table->style),
  };

  add_row (table, mark_assumed (row, before), spoken);
}

static void
add_action (Table *table, int string)
{
  const SlInstrument *instrument = &table->analysis->instrument;
  const SlFigure *after = &table->after->action[string - 1][SL_OCTAVE_FRET];
  double target = instrument->target_action[string - 1];

  add_lengths (table, g_strdup_printf (_ ("Action, %d"), string), g_strdup_printf (_ ("Action, string %d"), string),
               sl_text_length, &table->before->action[string - 1][SL_OCTAVE_FRET], after,
               sl_text_length (table->style, target), sl_word (after, target, instrument->action_tolerance),
               norm_of (table, SL_NORM_ACTION, string));
}

static void
add_first_gap (Table *table, int string)
{
  const SlInstrument *instrument = &table->analysis->instrument;
  const SlFigure *after = &table->after->first_gap[string - 1];
  double target = instrument->target_first_gap[string - 1];

  add_lengths (table, g_strdup_printf (_ ("Height at 1, %d"), string),
               g_strdup_printf (_ ("Height at fret 1, string %d"), string), sl_text_fine,
               &table->before->first_gap[string - 1], after, sl_text_fine (table->style, target),
               sl_word (after, target, instrument->first_gap_tolerance), norm_of (table, SL_NORM_FIRST_GAP, string));
}

static void
add_exposure (Table *table, int string)
{
  const SlFigure *after = &table->after->exposure[string - 1];
  double least = table->analysis->instrument.least_exposure;
  g_autofree char *least_text = sl_text_length (table->style, least);

  add_lengths (table, g_strdup_printf (_ ("Exposure, %d"), string), g_strdup_printf (_ ("Exposure, string %d"), string),
               sl_text_length, &table->before->exposure[string - 1], after, g_strconcat ("≥ ", least_text, NULL),
               sl_word_at_least (after, least), norm_of (table, SL_NORM_EXPOSURE, string));
}

/* Relief is judged by its mean: one rod turns both sides. */
static SlFigure
mean_relief (const SlAnalysis *analysis, const SlState *state)
{
  const int n = state->n_unknowns;
  SlFigure figure = { sl_state_mean_relief (state), 0, SL_BASIS_MEASURED };

  figure.u = sqrt (state->cov[SL_RELIEF_TREBLE * n + SL_RELIEF_TREBLE]);
  if (state->n_strings > 1)
    figure.u = sqrt (MAX (0, state->cov[SL_RELIEF_TREBLE * n + SL_RELIEF_TREBLE] +
                                 state->cov[SL_RELIEF_BASS * n + SL_RELIEF_BASS] +
                                 2 * state->cov[SL_RELIEF_TREBLE * n + SL_RELIEF_BASS])) /
               2;
  if (analysis->fit.relief_assumed_treble && (state->n_strings == 1 || analysis->fit.relief_assumed_bass))
    figure.basis = SL_BASIS_ASSUMED;
  return figure;
}

static void
add_relief (Table *table)
{
  const SlInstrument *instrument = &table->analysis->instrument;
  SlFigure before = mean_relief (table->analysis, &table->analysis->measured);
  SlFigure after = mean_relief (table->analysis, &table->analysis->planned);

  add_lengths (table, g_strdup (C_ ("row of results", "Relief")), g_strdup (_ ("Relief, mean of both sides")),
               sl_text_fine, &before, &after, sl_text_fine (table->style, instrument->target_relief),
               sl_word (&after, instrument->target_relief, instrument->relief_tolerance),
               table->norms != NULL ? &table->norms->mean_relief : NULL);
}

static char *
plus_minus (const SlTextStyle *style, double u)
{
  /* one place more where a small uncertainty would read as none */
  int places = SL_COVERAGE * u < LEAST_BREAK_U ? BREAK_PLACES + 1 : BREAK_PLACES;
  g_autofree char *text = sl_text_plain (style, SL_COVERAGE * u, places, FALSE);

  return isnan (u) ? NULL : g_strconcat ("±", text, NULL);
}

static char *
with_unit (const SlTextStyle *style, double value, const char *unit)
{
  g_autofree char *text = sl_text_plain (style, value, BREAK_PLACES, FALSE);

  return isnan (value) ? g_steal_pointer (&text) : g_strconcat (text, unit, NULL);
}

static char *
angle_text (const SlTextStyle *style, double degrees)
{
  return with_unit (style, degrees, "°");
}

/* A break angle or a force. Published least angles disagree, so there is no target, only before and after. */
static void
add_break (Table *table, const char *name, const char *spoken, int string, const char *unit, const SlFigure *before,
           const SlFigure *after, const SlNorm *norm)
{
  if (isnan (before->value) && isnan (after->value))
    return;
  SlResult row = {
    .name = g_strdup_printf (name, string),
    .before = with_unit (table->style, before->value, unit),
    .before_more = plus_minus (table->style, before->u),
    .after = with_unit (table->style, after->value, unit),
    .after_more = plus_minus (table->style, after->u),
    .usual = usual_of (before, norm, angle_text, table->style),
  };

  add_row (table, mark_assumed (row, before), g_strdup_printf (spoken, string));
}

static void
add_breaks (Table *table, int string)
{
  const SlFigures *b = table->before, *a = table->after;
  const int i = string - 1;

  /* Translators: rows of the break angle over the saddle and over the nut, in a narrow column; %d is the string. */
  add_break (table, _ ("Saddle ∠, %d"), _ ("Break at the saddle, string %d"), string, "°", &b->saddle_break[i],
             &a->saddle_break[i], norm_of (table, SL_NORM_SADDLE_BREAK, string));
  add_break (table, _ ("Nut ∠, %d"), _ ("Break at the nut, string %d"), string, "°", &b->nut_break[i], &a->nut_break[i],
             norm_of (table, SL_NORM_NUT_BREAK, string));
}

static void
add_forces (Table *table, int string)
{
  const SlFigures *b = table->before, *a = table->after;
  const int i = string - 1;

  /* Translators: rows of the force down on saddle and nut, in a narrow column; %d is the string. */
  add_break (table, _ ("Saddle ↓, %d"), _ ("Force on the saddle, string %d"), string, " N", &b->saddle_force[i],
             &a->saddle_force[i], NULL);
  add_break (table, _ ("Nut ↓, %d"), _ ("Force on the nut, string %d"), string, " N", &b->nut_force[i],
             &a->nut_force[i], NULL);
}

/* The tuner's word where it was read: what the work changes is added to it. Else what the model says. */
static void
add_pitch (Table *table, int string)
{
  double cents;
  SlFigure before = table->before->pitch_error[string - 1][SL_OCTAVE_FRET];
  SlFigure after = table->after->pitch_error[string - 1][SL_OCTAVE_FRET];
  SlResult row = { .name = g_strdup_printf (_ ("Pitch, %d"), string) };
  g_autofree char *u_before = sl_text_plain (table->style, SL_COVERAGE * before.u, CENT_PLACES, FALSE);
  g_autofree char *u_after = sl_text_plain (table->style, SL_COVERAGE * after.u, CENT_PLACES, FALSE);

  if (sl_tuner_cents (table->analysis->set, string, &cents))
    {
      double change = after.value - before.value;

      row.remark = g_strdup (_ ("tuner"));
      before.value = cents;
      before.basis = after.basis = SL_BASIS_MEASURED;
      after.value = before.value + change;
    }
  else
    {
      row.remark = g_strdup (_ ("computed"));
      row.before_more = isnan (before.u) ? NULL : g_strconcat ("±", u_before, NULL);
    }
  row.before = sl_text_plain (table->style, before.value, CENT_PLACES, TRUE);
  row.after = sl_text_plain (table->style, after.value, CENT_PLACES, TRUE);
  row.after_more = isnan (after.u) ? NULL : g_strconcat ("±", u_after, NULL);
  /* Translators: the target of a pitch error, cents */
  row.target = g_strdup (_ ("0 ¢"));
  row.word = sl_word (&after, 0, PITCH_TOLERANCE_CENTS);
  add_row (table, mark_assumed (row, &before), g_strdup_printf (_ ("Pitch at 12, string %d"), string));
}

static int
worst_string (const SlFigures *figures, int n_strings)
{
  int worst = 0;

  for (int i = 0; i < n_strings; i++)
    if (!isnan (figures->least_margin[i].value) &&
        (worst == 0 || figures->least_margin[i].value < figures->least_margin[worst - 1].value))
      worst = i + 1;
  return worst;
}

static void
add_margin (Table *table, int string)
{
  const int i = string - 1;
  const SlFigure *after = &table->after->least_margin[i];
  g_autofree char *zero = sl_text_plain (table->style, 0, 0, FALSE);

  add_lengths (table, g_strdup_printf (_ ("Margin, %d"), string),
               g_strdup_printf (_ ("Least margin, after the work on string %d held at %d over fret %d"), string,
                                table->after->least_margin_held[i], table->after->least_margin_fret[i]),
               sl_text_fine, &table->before->least_margin[i], after, g_strconcat ("≥ ", zero, NULL),
               sl_word_at_least (after, 0), NULL);
}

/* Of the string that is closest after the work, and of the one that was before it. */
static void
add_margins (Table *table)
{
  const int n = table->analysis->instrument.n_strings;
  int before = worst_string (table->before, n), after = worst_string (table->after, n);

  if (after != 0)
    add_margin (table, after);
  if (before != 0 && before != after)
    add_margin (table, before);
}

static void
choose_strings (Table *table, int string)
{
  const int n = table->analysis->instrument.n_strings;

  table->strings[table->n_strings++] = n;
  if (string > 1 && string < n)
    table->strings[table->n_strings++] = string;
  if (n > 1)
    table->strings[table->n_strings++] = 1;
}

static void
add_each (Table *table, void (*add) (Table *, int))
{
  for (int i = 0; i < table->n_strings; i++)
    add (table, table->strings[i]);
}

static gboolean
pitch_was_read (const SlAnalysis *analysis, int string)
{
  double cents;

  return sl_tuner_cents (analysis->set, string, &cents);
}

GPtrArray *
sl_results (const SlAnalysis *analysis, int string, const SlNorms *norms, const SlTextStyle *style)
{
  Table table = { .analysis = analysis,
                  .before = &analysis->measured_figures,
                  .after = &analysis->planned_figures,
                  .style = style,
                  .norms = norms };
  gboolean read_any = FALSE;

  table.rows = g_ptr_array_new_with_free_func (result_free);
  if (analysis->instrument.n_strings < 1)
    return table.rows;
  choose_strings (&table, string);
  add_each (&table, add_action);
  add_relief (&table);
  add_each (&table, add_first_gap);
  add_each (&table, add_exposure);
  add_margins (&table);
  add_each (&table, add_breaks);
  for (int s = analysis->instrument.n_strings; s >= 1; s--)
    if (pitch_was_read (analysis, s))
      {
        add_pitch (&table, s);
        read_any = TRUE;
      }
  if (!read_any || (string > 0 && !pitch_was_read (analysis, string)))
    add_pitch (&table, string > 0 ? string : analysis->instrument.n_strings);
  add_each (&table, add_forces);
  return table.rows;
}
