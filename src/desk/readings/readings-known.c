/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "bench/visit-edit.h"
#include "words/dates.h"

/* One more decimal where a small uncertainty needs it. */
#define SMALL_PLACES 3
#define SMALL_MM 0.005
#define SMALL_INCH_MM (0.001 * SL_MM_PER_INCH)

char *
sl_reading_small_length (SlBench *bench, double mm)
{
  gboolean metric = sl_bench_get_lengths (bench) == SL_LENGTHS_MM;
  int places = fabs (mm) < (metric ? SMALL_MM : SMALL_INCH_MM) ? SMALL_PLACES : SL_READING_PLACES;
  return sl_length_format (mm, metric ? SL_LENGTHS_MM : SL_LENGTHS_INCH, places, sl_decimal_sign (), TRUE);
}

const char *
sl_ask_plain_unit (int ask)
{
  switch (ask)
    {
    case SL_ASK_TEMPERATURE: return "°C";
    case SL_ASK_HUMIDITY: return "%";
    default: return _ ("cents");
    }
}

/* ---- what was read before ---- */

/* The mean of what a set reads of a question, NAN where it does not. */
static double
answer_of (const SlReadingSet *set, const SlQuestion *question)
{
  SlQuestion each = *question;
  double sum = 0;
  int n = 0, index;

  if (question->ask >= SL_N_READINGS)
    return sl_question_value (set, question);
  while ((index = sl_question_find (set, &each)) >= 0)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, index);

      each.nth++;
      if (reading->use == SL_USE_NEVER)
        continue;
      sum += reading->value.v;
      n++;
    }
  return n > 0 ? sum / n : NAN;
}

/* How many sets of the visit stand before the one that is shown. */
static guint
n_before (SlBench *bench)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  const SlReadingSet *shown = sl_bench_get_set (bench);

  for (guint i = 0; visit != NULL && i < visit->sets->len; i++)
    if (&g_array_index (visit->sets, SlReadingSet, i) == shown)
      return i;
  return 0;
}

GArray *
sl_answers_before (SlBench *bench, const SlQuestion *question)
{
  GArray *before = g_array_new (FALSE, FALSE, sizeof (SlAnswerBefore));
  guint n = question->nth > 0 ? 0 : n_before (bench);

  for (guint i = 0; i < n; i++)
    {
      const SlReadingSet *set = &g_array_index (sl_bench_get_visit (bench)->sets, SlReadingSet, i);
      SlAnswerBefore one = { set, answer_of (set, question) };

      if (!isnan (one.value))
        g_array_append_val (before, one);
    }
  return before;
}

GArray *
sl_questions_before (SlBench *bench, const GArray *usual)
{
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  guint n = n_before (bench);

  for (guint i = 0; i < n; i++)
    {
      const SlReadingSet *set = &g_array_index (sl_bench_get_visit (bench)->sets, SlReadingSet, i);

      for (guint r = 0; r < set->readings->len; r++)
        {
          SlQuestion question = sl_question_of_reading (set, r);

          if (question.nth == 0 && !sl_questions_hold (usual, &question) && !sl_questions_hold (questions, &question))
            g_array_append_val (questions, question);
        }
    }
  return questions;
}

/* ---- what is to be expected ---- */

static gboolean
is_assumed (const SlReading *reading, const SlFit *fit)
{
  int i = reading->string - 1;
  switch (reading->kind)
    {
    case SL_READ_RELIEF: return fit->relief_assumed_treble || fit->relief_assumed_bass;
    case SL_READ_TONGUE: return fit->tongue_assumed;
    case SL_READ_FIRST_GAP: return fit->first_gap_assumed[i];
    default: return fit->action_assumed[i] || (reading->held != SL_HELD_1 && fit->first_gap_assumed[i]);
    }
}

static void
expect_known (const SlAnalysis *analysis, const SlQuestion *q, SlReadingKnown *known)
{
  const SlState *state = &analysis->measured;

  switch (q->ask)
    {
    case SL_READ_EXPOSURE:
      if (!state->exposure_read)
        break;
      known->expected = state->exposure[q->string - 1];
      known->expected_u = state->exposure_u[q->string - 1] > 0 ? state->exposure_u[q->string - 1] : NAN;
      break;
    case SL_READ_SETBACK:
      if (state->setback_read)
        known->expected = state->setback[q->string - 1];
      break;
    case SL_READ_CROWN_GAP:
      /* between crowns that were read, others are interpolated: not worth a figure */
      if (known->carried != NULL)
        known->expected = -state->crown[q->fret];
      break;
    default: break;
    }
}

static void
expect (const SlAnalysis *analysis, const SlQuestion *q, SlReadingKnown *known)
{
  if (q->string > analysis->instrument.n_strings || q->fret > analysis->instrument.frets)
    return;
  if (q->ask <= SL_READ_ACTION)
    {
      const SlReading reading = sl_question_reading (q);

      /* from the same row a reading of it would be (model 3.2) */
      known->expected = sl_predict_reading (&analysis->instrument, &analysis->measured, &reading, &known->expected_u);
      known->assumed = is_assumed (&reading, &analysis->fit);
    }
  else
    expect_known (analysis, q, known);
}

SlReadingKnown
sl_reading_known (SlBench *bench, const SlQuestion *question)
{
  const SlReadingSet *set = sl_bench_get_set (bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (bench);
  int index = sl_question_find (set, question);
  SlReadingKnown known = { NULL, NULL, sl_question_value (set, question), NAN, NAN, FALSE, NULL };
  g_autoptr (GArray) before = NULL;

  if (index >= 0)
    {
      known.reading = &g_array_index (set->readings, SlReading, index);
      if ((guint) index < analysis->fit.n_readings && analysis->fit.readings[index].in_fit)
        known.fit = &analysis->fit.readings[index];
      return known;
    }
  before = sl_answers_before (bench, question);
  if (before->len > 0)
    known.carried = g_array_index (before, SlAnswerBefore, before->len - 1).set;
  expect (analysis, question, &known);
  /* where the readings stand by themselves, only what is not fitted is carried */
  if (isnan (known.expected) || (analysis->fit.apart && question->ask <= SL_READ_ACTION))
    known.carried = NULL;
  return known;
}

/* ---- in words ---- */

static char *
age_text (const SlReadingSet *set)
{
  return sl_date_age (set->taken, g_get_real_time () / G_USEC_PER_SEC);
}

char *
sl_carried_text (SlBench *bench, const SlReadingKnown *known)
{
  const char *stage = sl_stage_title (known->carried->stage);
  g_autofree char *age = age_text (known->carried), *range = NULL;

  if (isnan (known->expected_u))
    /* Translators: a stage of the visit and how long ago: "carried from Received, 2 h ago" */
    return g_strdup_printf (_ ("carried from %s, %s"), stage, age);
  range = sl_reading_small_length (bench, SL_COVERAGE * known->expected_u);
  /* Translators: the same with the uncertainty: "carried from Received, 2 h ago, ± 0.12 mm" */
  return g_strdup_printf (_ ("carried from %s, %s, ± %s"), stage, age, range);
}

/* As the question's entry would show it. */
static char *
value_text (SlBench *bench, const SlQuestion *question, double value, gboolean unit)
{
  SlLengths lengths = sl_bench_get_lengths (bench);

  if (!sl_ask_is_length (question->ask))
    {
      g_autofree char *number = sl_plain_format (value, sl_places_for (value, 0), sl_decimal_sign ());
      return unit ? g_strdup_printf ("%s %s", number, sl_ask_plain_unit (question->ask)) : g_steal_pointer (&number);
    }
  if (lengths == SL_LENGTHS_64THS && !sl_readings[question->ask].coarse)
    lengths = SL_LENGTHS_INCH;
  return sl_length_format (value, lengths, sl_places_for (value, sl_readings[question->ask].places), sl_decimal_sign (),
                           unit);
}

void
sl_before_texts (SlBench *bench, const SlQuestion *question, char **trace, char **words)
{
  g_autoptr (GArray) before = sl_answers_before (bench, question);
  g_autoptr (GString) values = g_string_new (NULL), list = g_string_new (NULL);

  *trace = *words = NULL;
  if (before->len == 0)
    return;
  for (guint i = 0; i < before->len; i++)
    {
      const SlAnswerBefore *one = &g_array_index (before, SlAnswerBefore, i);
      g_autofree char *bare = value_text (bench, question, one->value, FALSE),
                      *value = value_text (bench, question, one->value, TRUE), *age = age_text (one->set);

      g_string_append_printf (values, "%s%s", i > 0 ? " → " : "", bare);
      g_string_append_printf (list, "%s%s, %s, %s", i > 0 ? "; " : "", value, sl_stage_title (one->set->stage), age);
    }
  *trace = g_strdup (values->str);
  /* Translators: a list of values, each with the stage it was read at and how long ago */
  *words = g_strdup_printf (_ ("Read before: %s"), list->str);
}
