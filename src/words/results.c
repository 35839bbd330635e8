/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/results.h"

#define BREAK_PLACES 1     /* of degrees and newtons */
#define LEAST_BREAK_U 0.05 /* the least that so many places show */
#define CENT_PLACES 1
#define UNJUDGED 1e6 /* in place of a tolerance: any other change counts for more */

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

/* How a kind of figure is written. */
typedef struct
{
  gboolean length; /* as fine lengths are; the others as numbers */
  int places;
  gboolean sign;
  const char *unit; /* behind the figure, not behind its uncertainty */
} Manner;

static const Manner lengths = { TRUE }, degrees = { FALSE, BREAK_PLACES, FALSE, "°" },
                    newtons = { FALSE, BREAK_PLACES, FALSE, " N" }, pitch = { FALSE, CENT_PLACES, TRUE, "" };

static char *
figure_text (const Manner *manner, const SlTextStyle *style, double value)
{
  g_autofree char *number =
      manner->length ? sl_text_fine (style, value) : sl_text_plain (style, value, manner->places, manner->sign);

  return g_strconcat (number, manner->length || isnan (value) ? "" : manner->unit, NULL);
}

/* NULL where none applies. One place more where a small uncertainty would read as none. */
static char *
spread_text (const Manner *manner, const SlTextStyle *style, double u)
{
  const gboolean small = !manner->sign && SL_COVERAGE * u < LEAST_BREAK_U;
  g_autofree char *number = sl_text_plain (style, SL_COVERAGE * u, manner->places + small, FALSE);

  if (manner->length)
    return sl_text_uncertainty (style, u);
  return isnan (u) ? NULL : g_strconcat ("±", number, NULL);
}

/* "1.90–2.05 (median 1.98)", or the one figure where all agree. */
static char *
norm_text (const SlNorm *norm, const Manner *manner, const SlTextStyle *style)
{
  g_autofree char *low = figure_text (manner, style, norm->low), *high = figure_text (manner, style, norm->high),
                  *median = figure_text (manner, style, norm->median);

  if (g_strcmp0 (low, high) == 0)
    return g_steal_pointer (&low);
  /* Translators: of a figure of several instruments the middle half, from %1$s to %2$s, and the median */
  return g_strdup_printf (_ ("%1$s–%2$s (median %3$s)"), low, high, median);
}

/* "0.21 above this model's usual 1.90–2.05 (median 1.98)": the distance as written, so that what shows as nothing is
 * said as nothing. */
static char *
usual_text (const SlNorm *norm, double value, const Manner *manner, const SlTextStyle *style)
{
  double distance = norm != NULL ? sl_norm_distance (norm, value) : NAN;
  g_autofree char *apart = NULL, *none = NULL, *usual = NULL;

  if (isnan (distance))
    return NULL;
  apart = figure_text (manner, style, fabs (distance));
  none = figure_text (manner, style, 0);
  usual = norm_text (norm, manner, style);
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

/* A row of two figures with their spoken name: takes the texts that @row has already (name, target, remark) and this.
 * A figure that rests on what was assumed says so, and says nothing of what is usual. */
static void
add_row (Table *table, SlResult row, char *spoken, const Manner *manner, const SlFigure *before, const SlFigure *after,
         const SlNorm *norm)
{
  const SlTextStyle *style = table->style;
  GString *sentence = g_string_new (spoken);

  row.before = figure_text (manner, style, before->value);
  row.before_more = spread_text (manner, style, before->u);
  row.after = figure_text (manner, style, after->value);
  row.after_more = spread_text (manner, style, after->u);
  row.assumed = before->basis == SL_BASIS_ASSUMED;
  if (row.assumed)
    {
      g_free (row.remark);
      row.remark = g_strdup (_ ("assumed"));
    }
  else
    row.usual = usual_text (norm, before->value, manner, style);
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

/* A length to reach with its tolerance as a row's goal. */
static SlResult
goal (const Table *table, const SlFigure *after, double target, double tolerance)
{
  return (SlResult){ .target = sl_text_fine (table->style, target), .word = sl_word (after, target, tolerance) };
}

static SlResult
least (const SlFigure *after, double value, char *text)
{
  g_autofree char *number = text;

  return (SlResult){ .target = g_strconcat ("≥ ", number, NULL), .word = sl_word_at_least (after, value) };
}

/* The rows of a string, by figure. */
enum
{
  ACTION,
  FIRST_GAP,
  EXPOSURE,
  SADDLE_BREAK, /* published least angles disagree, so from here on there is no target, only before and after */
  NUT_BREAK,
  SADDLE_FORCE,
  NUT_FORCE
};

static const struct
{
  const char *name, *spoken; /* with the string's number */
  const Manner *manner;
  SlPlaceOfFigure place;
  int norm;                         /* SlNormKind, or −1 */
  const char *field, *field_treble; /* what sets the target; of the first string, where that is another */
} rows[] = {
  [ACTION] = { N_ ("Action, %d"), N_ ("Action, string %d"), &lengths, SL_BY_FRET (action, SL_OCTAVE_FRET),
               SL_NORM_ACTION, "action-bass", "action-treble" },
  [FIRST_GAP] = { N_ ("Fret 1, %d"), N_ ("Height at fret 1, string %d"), &lengths, SL_BY_STRING (first_gap),
                  SL_NORM_FIRST_GAP, "first-gap-bass", "first-gap-treble" },
  [EXPOSURE] = { N_ ("Exposure, %d"), N_ ("Exposure, string %d"), &lengths, SL_BY_STRING (exposure), SL_NORM_EXPOSURE,
                 "least-exposure", "least-exposure" },
  /* Translators: rows of the break angle over the saddle and over the nut, in a narrow column; %d is the string. */
  [SADDLE_BREAK] = { N_ ("Saddle ∠, %d"), N_ ("Break at the saddle, string %d"), &degrees, SL_BY_STRING (saddle_break),
                     SL_NORM_SADDLE_BREAK },
  [NUT_BREAK] = { N_ ("Nut ∠, %d"), N_ ("Break at the nut, string %d"), &degrees, SL_BY_STRING (nut_break),
                  SL_NORM_NUT_BREAK },
  /* Translators: rows of the force down on saddle and nut, in a narrow column; %d is the string. */
  [SADDLE_FORCE] = { N_ ("Saddle ↓, %d"), N_ ("Force on the saddle, string %d"), &newtons, SL_BY_STRING (saddle_force),
                     -1 },
  [NUT_FORCE] = { N_ ("Nut ↓, %d"), N_ ("Force on the nut, string %d"), &newtons, SL_BY_STRING (nut_force), -1 },
};

static SlResult
goal_of (const Table *table, int which, int string, const SlFigure *after)
{
  const SlInstrument *in = &table->analysis->instrument;

  switch (which)
    {
    case ACTION: return goal (table, after, in->target_action[string - 1], in->action_tolerance);
    case FIRST_GAP: return goal (table, after, in->target_first_gap[string - 1], in->first_gap_tolerance);
    case EXPOSURE:
      return least (after, in->least_exposure,
                    in->least_exposure > 0 ? sl_text_fine (table->style, in->least_exposure) : g_strdup ("0"));
    default: return (SlResult){ .word = SL_WORD_NONE };
    }
}

static void
add_figure (Table *table, int which, int string)
{
  const SlNorms *norms = table->norms;
  const int norm = rows[which].norm;
  const SlFigure *before = sl_figure_at (table->before, rows[which].place, string),
                 *after = sl_figure_at (table->after, rows[which].place, string);
  SlResult row;

  if (which >= SADDLE_BREAK && isnan (before->value) && isnan (after->value))
    return;
  row = goal_of (table, which, string, after);
  row.field = string == 1 ? rows[which].field_treble : rows[which].field;
  row.name = g_strdup_printf (_ (rows[which].name), string);
  add_row (table, row, g_strdup_printf (_ (rows[which].spoken), string), rows[which].manner, before, after,
           norms != NULL && norm >= 0 && string <= norms->n_strings ? &norms->norm[norm][string - 1] : NULL);
}

/* The rows @from to @to of each string spoken of. */
static void
add_figures (Table *table, int from, int to)
{
  for (int i = 0; i < table->n_strings; i++)
    for (int which = from; which <= to; which++)
      add_figure (table, which, table->strings[i]);
}

/* Relief is judged by its mean: one rod turns both sides. */
static SlFigure
mean_relief (const SlAnalysis *analysis, const SlState *state)
{
  const int n = state->n_unknowns;
  const double *cov = state->cov, treble = cov[SL_RELIEF_TREBLE * n + SL_RELIEF_TREBLE];
  SlFigure figure = { sl_state_mean_relief (state), sqrt (treble), SL_BASIS_MEASURED };

  if (state->n_strings > 1)
    figure.u = sqrt (MAX (0, treble + cov[SL_RELIEF_BASS * n + SL_RELIEF_BASS] +
                                 2 * cov[SL_RELIEF_TREBLE * n + SL_RELIEF_BASS])) /
               2;
  if (analysis->fit.relief_assumed_treble && (state->n_strings == 1 || analysis->fit.relief_assumed_bass))
    figure.basis = SL_BASIS_ASSUMED;
  return figure;
}

static void
add_relief (Table *table)
{
  const SlInstrument *in = &table->analysis->instrument;
  SlFigure before = mean_relief (table->analysis, &table->analysis->measured);
  SlFigure after = mean_relief (table->analysis, &table->analysis->planned);
  SlResult row = goal (table, &after, in->target_relief, in->relief_tolerance);

  row.field = "relief";
  row.name = g_strdup (C_ ("row of results", "Relief"));
  add_row (table, row, g_strdup (_ ("Relief, mean of both sides")), &lengths, &before, &after,
           table->norms != NULL ? &table->norms->mean_relief : NULL);
}

/* The tuner's word where it was read: what the work changes is added to it. Else what the model says. */
static void
add_pitch (Table *table, int string)
{
  double cents;
  SlFigure before = table->before->pitch_error[string - 1][SL_OCTAVE_FRET];
  SlFigure after = table->after->pitch_error[string - 1][SL_OCTAVE_FRET];
  gboolean tuner = sl_tuner_cents (table->analysis->set, string, &cents);

  if (tuner)
    {
      after.value = cents + (after.value - before.value);
      after.basis = SL_BASIS_MEASURED;
      before = (SlFigure){ cents, NAN, SL_BASIS_MEASURED };
    }
  add_row (table,
           (SlResult){ .name = g_strdup_printf (_ ("Pitch, %d"), string),
                       .remark = g_strdup (tuner ? _ ("tuner") : _ ("computed")),
                       /* Translators: the target of a pitch error, cents */
                       .target = g_strdup (_ ("0 ¢")),
                       .field = "pitch-tolerance",
                       .word = sl_word (&after, 0, table->analysis->instrument.pitch_tolerance) },
           g_strdup_printf (_ ("Pitch at 12, string %d"), string), &pitch, &before, &after, NULL);
}

static void
add_margin (Table *table, int string)
{
  const int i = string - 1;
  const SlFigure *after = &table->after->least_margin[i];
  SlResult row = least (after, 0, sl_text_plain (table->style, 0, 0, FALSE));

  row.name = g_strdup_printf (_ ("Margin, %d"), string);
  add_row (table, row,
           g_strdup_printf (_ ("Least margin, after the work on string %d held at %d over fret %d"), string,
                            table->after->least_margin_held[i], table->after->least_margin_fret[i]),
           &lengths, &table->before->least_margin[i], after, NULL);
}

/* Of the string that is closest after the work, and of the one that was before it. */
static void
add_margins (Table *table)
{
  const int n = table->analysis->instrument.n_strings;
  int before = sl_least_margin_string (table->before, n), after = sl_least_margin_string (table->after, n);

  if (after != 0)
    add_margin (table, after);
  if (before != 0 && before != after)
    add_margin (table, before);
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
  double cents;

  table.rows = g_ptr_array_new_with_free_func (result_free);
  if (analysis->instrument.n_strings < 1)
    return table.rows;
  table.n_strings = sl_told_strings (analysis->instrument.n_strings, string, table.strings);
  add_figures (&table, ACTION, ACTION);
  add_relief (&table);
  add_figures (&table, FIRST_GAP, FIRST_GAP);
  add_figures (&table, EXPOSURE, EXPOSURE);
  add_margins (&table);
  add_figures (&table, SADDLE_BREAK, NUT_BREAK);
  for (int s = analysis->instrument.n_strings; s >= 1; s--)
    if (sl_tuner_cents (analysis->set, s, &cents))
      {
        add_pitch (&table, s);
        read_any = TRUE;
      }
  if (!read_any || (string > 0 && !sl_tuner_cents (analysis->set, string, &cents)))
    add_pitch (&table, string > 0 ? string : analysis->instrument.n_strings);
  add_figures (&table, SADDLE_FORCE, NUT_FORCE);
  return table.rows;
}

/* A figure's name, freed here, the figure, and how it stands to its target. */
static char *
brief_text (char *name, char *figure, SlWord word)
{
  g_autofree char *own_name = name, *own_figure = figure;

  return word == SL_WORD_NONE ? g_strdup_printf ("%s: %s", name, figure)
                              : g_strdup_printf ("%s: %s, %s", name, figure, sl_word_text (word));
}

char *
sl_change_text (const SlAnalysis *now, const SlFigures *before, const SlTextStyle *style)
{
  const SlInstrument *in = &now->instrument;
  const SlFigures *after = &now->planned_figures;
  const Table table = { .analysis = now, .after = after, .style = style };
  const double tolerances[] = { in->action_tolerance, in->first_gap_tolerance, UNJUDGED, UNJUDGED, UNJUDGED };
  const int last = MAX (in->n_strings - 1, 0);
  const double relief =
      (after->relief[0].value - before->relief[0].value + after->relief[last].value - before->relief[last].value) / 2 /
      in->relief_tolerance;
  double most = 0;
  int which = -1, string = 0;

  for (int i = ACTION; i <= NUT_BREAK; i++)
    for (int s = 1; s <= in->n_strings; s++)
      {
        const double moved =
            fabs (sl_figure_at (after, rows[i].place, s)->value - sl_figure_at (before, rows[i].place, s)->value) /
            tolerances[i];

        which = moved > most ? i : which;
        string = moved > most ? s : string;
        most = fmax (most, moved); /* not a number where it is not known */
      }
  if (fabs (relief) > most)
    {
      const SlFigure mean = mean_relief (now, &now->planned);

      return brief_text (g_strdup (_ ("Relief, mean of both sides")), sl_text_length_unit (style, mean.value),
                         sl_word (&mean, in->target_relief, in->relief_tolerance));
    }
  if (which < 0)
    return NULL;
  const SlFigure *figure = sl_figure_at (after, rows[which].place, string);
  const SlResult row = goal_of (&table, which, string, figure);

  g_free (row.target);
  return brief_text (g_strdup_printf (_ (rows[which].spoken), string),
                     which <= EXPOSURE ? sl_text_length_unit (style, figure->value)
                                       : figure_text (rows[which].manner, style, figure->value),
                     row.word);
}
