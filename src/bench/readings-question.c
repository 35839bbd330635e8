/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/readings-question.h"

#include "bench/shop-lists.h"
#include "setup/profile/construction.h"
#include "setup/record/stages.h"

/* The fret action and pitch are read at unless said otherwise. */
#define FIRST_FRET 1

gboolean
sl_question_equal (const SlQuestion *a, const SlQuestion *b)
{
  return a->ask == b->ask && a->string == b->string && a->fret == b->fret && a->held == b->held && a->nth == b->nth;
}

gboolean
sl_questions_hold (const GArray *questions, const SlQuestion *question)
{
  for (guint i = 0; i < questions->len; i++)
    if (sl_question_equal (&g_array_index (questions, SlQuestion, i), question))
      return TRUE;
  return FALSE;
}

SlQuestionGroup
sl_question_group (const SlQuestion *question)
{
  return sl_readings[question->ask].group;
}

/* Fret 12 comes first where strings are read: the usual question stands at the top. */
static int
fret_rank (const SlQuestion *question)
{
  return question->fret == SL_OCTAVE_FRET && sl_readings[question->ask].has_string ? 0 : question->fret;
}

int
sl_question_compare (gconstpointer pa, gconstpointer pb)
{
  const SlQuestion *a = pa, *b = pb;
  if (sl_readings[a->ask].group != sl_readings[b->ask].group)
    return (int) sl_readings[a->ask].group - (int) sl_readings[b->ask].group;
  if (a->ask != b->ask)
    return a->ask - b->ask;
  if (a->ask != SL_READ_RELIEF && fret_rank (a) != fret_rank (b))
    return fret_rank (a) - fret_rank (b);
  if (a->string != b->string)
    return b->string - a->string; /* from the bass side, as a right-hander sees the strings */
  if (a->fret != b->fret)
    return a->fret - b->fret;
  if (a->held != b->held)
    return (int) a->held - (int) b->held;
  return a->nth - b->nth;
}

int
sl_relief_fret (const SlProfile *profile)
{
  return CLAMP ((FIRST_FRET + profile->neck.joint_fret) / 2, FIRST_FRET + 1, profile->neck.joint_fret - 1);
}

static void
ask (GArray *questions, int what, int string, int fret)
{
  SlQuestion question = { what, string, fret,
                          sl_readings[what].held == SL_HELD_DEFAULT ? SL_HELD_DEFAULT : SL_HELD_OPEN, 0 };
  g_array_append_val (questions, question);
}

gboolean
sl_question_is_asked (const SlReadingSet *set, const SlQuestion *question)
{
  return sl_set_at_pitch (set) ||
         (question->ask != SL_READ_FIRST_GAP && question->ask != SL_READ_ACTION && question->ask != SL_READ_PITCH);
}

GArray *
sl_questions_usual (const SlProfile *profile)
{
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  int n = profile->n_strings;
  const SlSaddleAdjust adjust = sl_saddle_adjust (profile);
  /* on posts and wheels it says something of a least one alone, and of what can't be moved nothing */
  const gboolean exposed =
      sl_saddles[adjust].single || (sl_saddles[adjust].goes_up && sl_number_or (profile->saddle.least_exposure, 0) > 0);

  if (n > 1)
    ask (questions, SL_READ_RELIEF, n, sl_relief_fret (profile));
  ask (questions, SL_READ_RELIEF, 1, sl_relief_fret (profile));
  if (profile->neck.frets > profile->neck.joint_fret)
    ask (questions, SL_READ_TONGUE, 0, 0);
  for (int string = n; string >= 1; string--)
    {
      ask (questions, SL_READ_FIRST_GAP, string, 0);
      ask (questions, SL_READ_ACTION, string, SL_OCTAVE_FRET);
      if (exposed)
        ask (questions, SL_READ_EXPOSURE, string, 0);
      ask (questions, SL_READ_SETBACK, string, 0);
      ask (questions, SL_READ_PITCH, string, SL_OCTAVE_FRET);
    }
  for (int fret = FIRST_FRET; fret <= profile->neck.frets; fret++)
    ask (questions, SL_READ_CROWN_GAP, 0, fret);
  ask (questions, SL_ASK_TEMPERATURE, 0, 0);
  ask (questions, SL_ASK_HUMIDITY, 0, 0);
  g_array_sort (questions, sl_question_compare);
  return questions;
}

SlQuestion
sl_pitch_question (int string, int fret)
{
  return (SlQuestion){ .ask = SL_READ_PITCH, .string = string, .fret = fret, .held = SL_HELD_DEFAULT };
}

SlQuestion
sl_question_from_reading (const SlReading *reading)
{
  const SlReadingTraits *traits = &sl_readings[reading->kind];
  SlQuestion question = { .ask = reading->kind, .held = SL_HELD_DEFAULT };

  if (traits->has_string)
    question.string = reading->string;
  if (traits->has_fret)
    question.fret = reading->fret;
  if (traits->held != SL_HELD_DEFAULT)
    question.held = reading->held == SL_HELD_DEFAULT ? SL_HELD_OPEN : reading->held;
  return question;
}

SlReading
sl_question_reading (const SlQuestion *question)
{
  SlReading reading = sl_reading_init ((SlReadingKind) question->ask);

  g_return_val_if_fail (question->ask < SL_N_READINGS, reading);
  reading.string = question->string;
  reading.fret = question->ask == SL_READ_FIRST_GAP ? FIRST_FRET : question->fret;
  reading.held = question->held;
  return reading;
}

SlQuestion
sl_question_of_reading (const SlReadingSet *set, guint index)
{
  const SlQuestion first = sl_question_from_reading (&g_array_index (set->readings, SlReading, index));
  SlQuestion question = first;

  for (guint i = 0; i < index; i++)
    {
      const SlQuestion earlier = sl_question_from_reading (&g_array_index (set->readings, SlReading, i));

      question.nth += sl_question_equal (&earlier, &first) ? 1 : 0;
    }
  return question;
}

int
sl_question_find (const SlReadingSet *set, const SlQuestion *question)
{
  int seen = 0;
  SlQuestion first = *question;

  if (set == NULL || question->ask >= SL_N_READINGS)
    return -1;
  first.nth = 0;
  for (guint i = 0; i < set->readings->len; i++)
    {
      SlQuestion other = sl_question_from_reading (&g_array_index (set->readings, SlReading, i));
      if (sl_question_equal (&other, &first) && seen++ == question->nth)
        return (int) i;
    }
  return -1;
}

double
sl_question_value (const SlReadingSet *set, const SlQuestion *question)
{
  int index;

  if (set == NULL)
    return NAN;
  if (question->ask == SL_ASK_TEMPERATURE)
    return set->temperature.v;
  if (question->ask == SL_ASK_HUMIDITY)
    return set->humidity.v;
  index = sl_question_find (set, question);
  return index < 0 ? NAN : g_array_index (set->readings, SlReading, index).value.v;
}

gboolean
sl_question_stands_for (const SlQuestion *question, const SlQuestion *usual)
{
  if (question->ask != usual->ask || question->string != usual->string)
    return FALSE;
  return question->ask == SL_READ_RELIEF || question->fret == usual->fret;
}

/* What answers @question becomes @reading: in its place, or behind the last of its kind; taken away where it has no
 * value. */
static void
put_reading (SlBench *bench, const char *step, const SlQuestion *question, SlReading reading)
{
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, step, SL_CHANGED_READINGS, TRUE);
  GArray *readings = edit.set->readings;
  const int index = sl_question_find (edit.set, question);
  guint place = index >= 0 ? (guint) index : readings->len;

  if (index >= 0)
    g_array_remove_index (readings, place);
  else
    while (place > 0 && g_array_index (readings, SlReading, place - 1).kind > reading.kind)
      place--;
  if (sl_number_is_set (reading.value))
    g_array_insert_val (readings, place, reading);
}

static void
put_air (SlBench *bench, const char *step, int ask, SlNumber number)
{
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, step, SL_CHANGED_READINGS, TRUE);

  *(ask == SL_ASK_TEMPERATURE ? &edit.set->temperature : &edit.set->humidity) = number;
}

void
sl_question_put (SlBench *bench, const SlQuestion *question, double value)
{
  sl_question_put_heard (bench, question, value, NAN);
}

void
sl_question_put_heard (SlBench *bench, const SlQuestion *question, double value, double uncertainty)
{
  g_autofree char *step = sl_question_step_name (question);
  const SlReadingSet *set = sl_bench_get_set (bench);
  const SlNumber number = isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  const int index = sl_question_find (set, question);
  SlReading reading;

  if (isnan (value) && isnan (sl_question_value (set, question)))
    return;
  if (question->ask >= SL_N_READINGS)
    {
      put_air (bench, step, question->ask, number);
      return;
    }
  reading = index >= 0 ? g_array_index (set->readings, SlReading, index) : sl_question_reading (question);
  if (index < 0 && reading.held == SL_HELD_OPEN)
    reading.held = SL_HELD_DEFAULT;
  reading.value = number;
  reading.uncertainty = isnan (uncertainty) ? SL_NUMBER_ABSENT : sl_number (uncertainty);
  put_reading (bench, step, question, reading);
}

void
sl_question_put_use (SlBench *bench, const SlQuestion *question, SlUse use)
{
  g_autofree char *step = sl_question_step_name (question);
  const SlReadingSet *set = sl_bench_get_set (bench);
  const int index = sl_question_find (set, question);
  SlReading reading;

  if (index < 0)
    return;
  reading = g_array_index (set->readings, SlReading, index);
  reading.use = use;
  put_reading (bench, step, question, reading);
}

GArray *
sl_questions_after_work (SlBench *bench)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  const SlReadingSet *last = visit == NULL ? NULL : sl_visit_last_set (visit);

  return last == NULL ? NULL : sl_questions_since (sl_bench_get_analysis (bench), visit, SL_N_OPS, last->taken);
}

/* ---- what a run asks ---- */

const int sl_run_asks[SL_N_RUN_ASKS] = {
  SL_READ_RELIEF,   SL_READ_TONGUE,  SL_READ_CROWN_GAP,  SL_READ_FIRST_GAP, SL_READ_ACTION,
  SL_READ_EXPOSURE, SL_READ_SETBACK, SL_ASK_TEMPERATURE, SL_ASK_HUMIDITY,   SL_READ_PITCH,
};

/* As the order is kept: elements and attributes of the document. */
static const char *
ask_name (int ask)
{
  const SlBound *bound = &sl_readings[ask].bound;

  return bound->element != NULL ? bound->element : bound->attribute;
}

static GArray *
usual_order (SlFamily family)
{
  GArray *order = g_array_new (FALSE, FALSE, sizeof (int));

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    /* what is read seldom is left out until the shop asks for it (common practice) */
    if (sl_run_asks[i] != SL_READ_SETBACK && sl_run_asks[i] != SL_READ_CROWN_GAP &&
        (sl_run_asks[i] != SL_READ_PITCH || sl_families[family].placed_by_pitch))
      g_array_append_val (order, sl_run_asks[i]);
  return order;
}

GArray *
sl_run_order (SlFamily family)
{
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_RUN_ORDERS, family);
  GArray *order = g_array_new (FALSE, FALSE, sizeof (int));
  guint held = 0; /* bits, by their place in sl_run_asks */

  for (guint k = 0; kept != NULL && kept[k] != NULL; k++)
    for (int i = 0; i < SL_N_RUN_ASKS; i++)
      if (g_str_equal (kept[k], ask_name (sl_run_asks[i])) && (held & 1u << i) == 0)
        {
          g_array_append_val (order, sl_run_asks[i]);
          held |= 1u << i;
        }
  if (order->len > 0)
    return order;
  g_array_unref (order);
  return usual_order (family);
}

void
sl_run_order_keep (SlFamily family, const GArray *order)
{
  g_autoptr (GArray) usual = usual_order (family);
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();
  gboolean same = order == NULL || order->len == usual->len;

  for (guint i = 0; order != NULL && i < order->len; i++)
    {
      same = same && g_array_index (order, int, i) == g_array_index (usual, int, i);
      g_strv_builder_add (names, ask_name (g_array_index (order, int, i)));
    }
  g_auto (GStrv) list = g_strv_builder_end (names);

  sl_kind_list_keep (SL_SETTING_RUN_ORDERS, family, same ? NULL : (const char *const *) list);
}

/* Those of @usual that ask for @wanted, or all of them (SL_N_ASKS), and that @set can answer. */
static void
take_asked (GArray *questions, const GArray *usual, int wanted, const SlReadingSet *set)
{
  SL_EACH (const SlQuestion, question, usual)
    if ((wanted == SL_N_ASKS || question->ask == wanted) && sl_question_is_asked (set, question))
      g_array_append_vals (questions, question, 1);
}

GArray *
sl_run_questions (const SlProfile *profile, const SlReadingSet *set)
{
  g_autoptr (GArray) usual = sl_questions_usual (profile), order = sl_run_order (sl_family_of (profile));
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));

  for (guint k = 0; k < order->len; k++)
    take_asked (questions, usual, g_array_index (order, int, k), set);
  /* an instrument that has nothing of what is asked for, such as a tongue, is asked what is usual */
  if (questions->len == 0)
    take_asked (questions, usual, SL_N_ASKS, set);
  return questions;
}
