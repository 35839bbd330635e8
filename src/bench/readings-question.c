/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/readings-question.h"

#include <glib/gi18n-lib.h>

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

/* Relief is read between the two crowns its chord rests on. */
int
sl_ask_least_fret (int ask, const SlProfile *profile)
{
  return ask == SL_READ_RELIEF ? FIRST_FRET + 1 : FIRST_FRET;
}

int
sl_ask_most_fret (int ask, const SlProfile *profile)
{
  return ask == SL_READ_RELIEF ? profile->neck.joint_fret - 1 : profile->neck.frets;
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

GArray *
sl_questions_usual (const SlProfile *profile)
{
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  int n = profile->n_strings;

  if (n > 1)
    ask (questions, SL_READ_RELIEF, n, sl_relief_fret (profile));
  ask (questions, SL_READ_RELIEF, 1, sl_relief_fret (profile));
  if (profile->neck.frets > profile->neck.joint_fret)
    ask (questions, SL_READ_TONGUE, 0, 0);
  for (int string = n; string >= 1; string--)
    {
      ask (questions, SL_READ_FIRST_GAP, string, 0);
      ask (questions, SL_READ_ACTION, string, SL_OCTAVE_FRET);
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

static SlQuestion
bare_question (const SlReading *reading)
{
  SlQuestion question = { reading->kind, 0, 0, SL_HELD_DEFAULT, 0 };
  if (sl_readings[reading->kind].has_string)
    question.string = reading->string;
  if (sl_readings[reading->kind].has_fret)
    question.fret = reading->fret;
  if (sl_readings[reading->kind].held != SL_HELD_DEFAULT)
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
sl_question_from_reading (const SlReading *reading)
{
  return bare_question (reading);
}

SlQuestion
sl_question_of_reading (const SlReadingSet *set, guint index)
{
  SlQuestion question = bare_question (&g_array_index (set->readings, SlReading, index));
  int nth = 0;
  for (guint i = 0; i < index; i++)
    {
      SlQuestion earlier = bare_question (&g_array_index (set->readings, SlReading, i));
      if (sl_question_equal (&earlier, &question))
        nth++;
    }
  question.nth = nth;
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
      SlQuestion other = bare_question (&g_array_index (set->readings, SlReading, i));
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

typedef struct
{
  const SlQuestion *question;
  SlReading reading;
  double value;
} Change;

static void
edit_air (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Change *change = data;
  SlNumber number = isnan (change->value) ? SL_NUMBER_ABSENT : sl_number (change->value);
  if (change->question->ask == SL_ASK_TEMPERATURE)
    set->temperature = number;
  else
    set->humidity = number;
}

/* A repeated reading is changed in its place; a new one joins behind the last of its kind. */
static void
edit_repeated (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Change *change = data;
  int index = sl_question_find (set, change->question);
  guint at = 0;

  if (index >= 0 && isnan (change->reading.value.v))
    g_array_remove_index (set->readings, (guint) index);
  else if (index >= 0)
    g_array_index (set->readings, SlReading, index) = change->reading;
  else if (!isnan (change->reading.value.v))
    {
      while (at < set->readings->len && g_array_index (set->readings, SlReading, at).kind <= change->reading.kind)
        at++;
      g_array_insert_val (set->readings, at, change->reading);
    }
}

static gboolean
is_repeated (const SlReadingSet *set, const SlQuestion *question)
{
  SlQuestion second = *question;
  second.nth = 1;
  return question->nth > 0 || sl_question_find (set, &second) >= 0;
}

static SlReading
reading_for (const SlReadingSet *set, const SlQuestion *question)
{
  int index = sl_question_find (set, question);
  SlReading reading;

  if (index >= 0)
    return g_array_index (set->readings, SlReading, index);
  reading = sl_reading_init ((SlReadingKind) question->ask);
  reading.string = question->string;
  reading.fret = question->ask == SL_READ_FIRST_GAP ? FIRST_FRET : question->fret;
  reading.held = question->held == SL_HELD_OPEN ? SL_HELD_DEFAULT : question->held;
  return reading;
}

void
sl_question_put (SlBench *bench, const SlQuestion *question, double value)
{
  g_autofree char *name = sl_question_step_name (question);
  const SlReadingSet *set = sl_bench_get_set (bench);
  Change change = { question, { 0 }, value };

  if (isnan (value) && isnan (sl_question_value (set, question)))
    return;
  if (question->ask >= SL_N_READINGS)
    {
      sl_bench_edit (bench, name, SL_CHANGED_READINGS, TRUE, edit_air, &change);
      return;
    }
  change.reading = reading_for (set, question);
  change.reading.value = isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  if (is_repeated (set, question))
    sl_bench_edit (bench, name, SL_CHANGED_READINGS, TRUE, edit_repeated, &change);
  else if (isnan (value))
    sl_bench_remove_reading (bench, name, change.reading.kind, change.reading.string, change.reading.fret,
                             change.reading.held);
  else
    sl_bench_put_reading (bench, name, change.reading);
}

void
sl_question_put_use (SlBench *bench, const SlQuestion *question, SlUse use)
{
  g_autofree char *name = sl_question_step_name (question);
  const SlReadingSet *set = sl_bench_get_set (bench);
  Change change = { question, { 0 }, NAN };

  if (sl_question_find (set, question) < 0)
    return;
  change.reading = reading_for (set, question);
  change.reading.use = use;
  if (is_repeated (set, question))
    sl_bench_edit (bench, name, SL_CHANGED_READINGS, TRUE, edit_repeated, &change);
  else
    sl_bench_put_reading (bench, name, change.reading);
}
