/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/stages.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define ACTION_FRET 12
#define COVERAGE 2
#define NEAR 1.5 /* times U: our own choice */

/* ---- what is to be read again ---- */

static void
ask (GArray *questions, SlReadingKind kind, int string, int fret)
{
  SlReading question = sl_reading_init (kind);

  question.string = string;
  question.fret = fret;
  if (kind == SL_READ_FIRST_GAP || kind == SL_READ_ACTION)
    question.held = SL_HELD_OPEN;
  for (guint i = 0; i < questions->len; i++)
    if (sl_reading_same_question (&g_array_index (questions, SlReading, i), &question))
      return;
  g_array_append_val (questions, question);
}

static int
relief_fret (const SlProfile *profile)
{
  return CLAMP ((1 + profile->neck.joint_fret) / 2, 2, profile->neck.joint_fret - 1);
}

static void
ask_outer (GArray *questions, const SlProfile *profile, SlReadingKind kind, int fret)
{
  if (profile->n_strings > 1)
    ask (questions, kind, profile->n_strings, fret);
  ask (questions, kind, 1, fret);
}

static void
ask_after (GArray *questions, const SlProfile *profile, const SlOperation *operation)
{
  switch (operation->kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_TURN_ROD:
      ask_outer (questions, profile, SL_READ_RELIEF, relief_fret (profile));
      ask_outer (questions, profile, SL_READ_ACTION, ACTION_FRET);
      break;
    case SL_OP_LOWER_SLOT:
      ask (questions, SL_READ_FIRST_GAP, operation->string, 1);
      break;
    case SL_OP_CUT_SADDLE_BASE:
      ask_outer (questions, profile, SL_READ_ACTION, ACTION_FRET);
      break;
    case SL_OP_SHAPE_CREST:
      ask (questions, SL_READ_ACTION, operation->string, ACTION_FRET);
      break;
    case SL_OP_MOVE_CREST:
      ask (questions, SL_READ_PITCH, operation->string, ACTION_FRET);
      break;
    case SL_N_OPS:
    default:
      break;
    }
}

static int
by_measuring (gconstpointer pa, gconstpointer pb)
{
  const SlReading *a = pa, *b = pb;

  return a->kind != b->kind ? (int) a->kind - (int) b->kind : b->string - a->string;
}

GArray *
sl_operation_questions (const SlProfile *profile, const SlOperation *operation)
{
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlReading));

  ask_after (questions, profile, operation);
  g_array_sort (questions, by_measuring);
  return questions;
}

GArray *
sl_questions_since (const SlProfile *profile, const SlVisit *visit, const char *taken)
{
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlReading));

  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->done != NULL && !sl_operation_is_past (operation, taken))
        ask_after (questions, profile, operation);
    }
  g_array_sort (questions, by_measuring);
  return questions;
}

/* ---- foreseen against read ---- */

static SlWord
foreseen_word (double off, double u)
{
  if (fabs (off) <= COVERAGE * u)
    return SL_WORD_IN_RANGE;
  return fabs (off) <= NEAR * COVERAGE * u ? SL_WORD_CLOSE : SL_WORD_OUT;
}

GArray *
sl_foreseen (const SlAnalysis *analysis)
{
  GArray *rows = g_array_new (FALSE, FALSE, sizeof (SlForeseen));

  for (guint i = 0; i < analysis->fit.n_readings; i++)
    {
      const SlReadingFit *fit = &analysis->fit.readings[i];
      SlForeseen row = { i, fit->carried, 0, 0, SL_WORD_NONE };

      if (!fit->in_fit || isnan (fit->carried))
        continue;
      row.read = g_array_index (analysis->set->readings, SlReading, i).value.v;
      row.u = hypot (fit->u, fit->carried_u);
      row.word = foreseen_word (row.read - row.foreseen, row.u);
      g_array_append_val (rows, row);
    }
  return rows;
}

const char *
sl_foreseen_text (SlWord word)
{
  switch (word)
    {
    case SL_WORD_IN_RANGE:
      /* Translators: what was read lies within the uncertainty of what was foreseen */
      return C_ ("read against foreseen", "as foreseen");
    case SL_WORD_CLOSE:
      return C_ ("read against foreseen", "near");
    case SL_WORD_OUT:
      return C_ ("read against foreseen", "off");
    case SL_WORD_NONE:
    default:
      return "";
    }
}

/* ---- what is amiss ---- */

static const SlReadingSet *
set_before (const SlVisit *visit, const SlReadingSet *set)
{
  for (guint i = 1; i < visit->sets->len; i++)
    if (&g_array_index (visit->sets, SlReadingSet, i) == set)
      return &g_array_index (visit->sets, SlReadingSet, i - 1);
  return NULL;
}

static gboolean
answers (const SlReadingSet *set, const SlReading *question)
{
  for (guint i = 0; i < set->readings->len; i++)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, i);

      /* relief at another fret, an action at another or held, tell the same */
      if (reading->kind == question->kind && reading->string == question->string && reading->use != SL_USE_NEVER)
        return TRUE;
    }
  return FALSE;
}

static char *
lacking_text (const SlReading *question)
{
  switch (question->kind)
    {
    case SL_READ_RELIEF:
      return g_strdup_printf (C_ ("not read", "relief of string %d"), question->string);
    case SL_READ_FIRST_GAP:
      return g_strdup_printf (C_ ("not read", "first gap of string %d"), question->string);
    case SL_READ_ACTION:
      return g_strdup_printf (C_ ("not read", "action of string %d"), question->string);
    default:
      return g_strdup_printf (C_ ("not read", "pitch of string %d"), question->string);
    }
}

static void
remark_lacking (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, GPtrArray *remarks)
{
  const char *begin = visit->sets->len > 0 ? g_array_index (visit->sets, SlReadingSet, 0).taken : NULL;
  g_autoptr (GArray) questions = sl_questions_since (profile, visit, begin);
  g_autoptr (GString) lacking = g_string_new (NULL);

  for (guint i = 0; i < questions->len; i++)
    {
      g_autofree char *what = NULL;

      if (answers (set, &g_array_index (questions, SlReading, i)))
        continue;
      what = lacking_text (&g_array_index (questions, SlReading, i));
      g_string_append_printf (lacking, "%s%s", lacking->len > 0 ? ", " : "", what);
    }
  if (lacking->len > 0)
    g_ptr_array_add (remarks, g_strdup_printf (_ ("These final readings lack what was worked on: %s. There, what goes home is carried over from what was read before, not read."), lacking->str));
}

GPtrArray *
sl_set_remarks (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set)
{
  GPtrArray *remarks = g_ptr_array_new_with_free_func (g_free);
  const SlReadingSet *before;

  if (visit == NULL || set == NULL)
    return remarks;
  before = set_before (visit, set);
  if (before != NULL && before->taken != NULL && set->taken != NULL && sl_time_of (set->taken) < sl_time_of (before->taken))
    g_ptr_array_add (remarks, g_strdup (_ ("These readings are dated earlier than the ones before them: a clock may have gone back. Work done between the two is not told apart from later work.")));
  if (set->stage == SL_STAGE_FINAL)
    remark_lacking (profile, visit, set, remarks);
  return remarks;
}
