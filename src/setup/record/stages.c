/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/stages.h"

#include "setup/profile/moment.h"
#include "setup/profile/bounds.h"
#include "setup/fit/reading-row.h"
#include "setup/record/visit.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define NEAR 1.5 /* times U: our own choice */

/* What is asked again: of what is read below a string all that moves by at least this share of what moves furthest,
 * each in what it is usually uncertain by. Our own choice: a rod turn asks for relief and action (a share of 0.45 to
 * 0.5) and not for the first gap (up to 0.3), a lower slot for its first gap alone. */
#define ASKED_SHARE 0.35
#define LEAST_SEEN 0.5     /* of that uncertainty: less would not be seen */
#define SAME_SEEN 1e-6     /* rounding */
#define USUAL_MOVE_MM 0.37 /* of a crest that sounds as one cent at 645 mm (model 9.1) */

/* ---- what is to be read again ---- */

/* A question and how far its answer goes, as a multiple of what it is usually uncertain by. */
typedef struct
{
  SlReading question;
  double seen;
} Moved;

static SlReading
question_of (SlReadingKind kind, int string, int fret)
{
  SlReading question = sl_reading_init (kind);

  question.string = string;
  question.fret = fret;
  question.held = sl_readings[kind].held == SL_HELD_DEFAULT ? SL_HELD_DEFAULT : SL_HELD_OPEN;
  return question;
}

/* How far work moves a reading: what it is known to do and what it is uncertain by, together, in what such a reading is
 * usually read to. Different tools must not decide what is asked: with a fine gauge for the action, only the action
 * would be. */
static double
seen_change (const SlInstrument *instrument, const SlState *before, const SlState *after, const SlReading *question)
{
  double was_u, u;
  const double was = sl_predict_reading (instrument, before, question, &was_u),
               is = sl_predict_reading (instrument, after, question, &u);

  return sqrt ((is - was) * (is - was) + MAX (0, u * u - was_u * was_u)) / sl_reading_u (NULL, question->kind);
}

static void
note (GArray *moved, SlReading question, double seen)
{
  const Moved fresh = { question, seen };

  for (guint i = 0; i < moved->len; i++)
    {
      Moved *old = &g_array_index (moved, Moved, i);

      if (!sl_reading_same_question (&old->question, &question))
        continue;
      old->seen = MAX (old->seen, seen);
      return;
    }
  g_array_append_val (moved, fresh);
}

/* Of what is read of one string, that which goes nearly as far as the reading that goes furthest. Returns how far that
 * goes. */
static double
note_string (const SlInstrument *instrument, const SlState *before, const SlState *after, int string, GArray *moved)
{
  const SlReading questions[] = {
    question_of (SL_READ_RELIEF, string, CLAMP ((1 + instrument->joint) / 2, 2, instrument->joint - 1)),
    question_of (SL_READ_FIRST_GAP, string, 1), question_of (SL_READ_ACTION, string, SL_OCTAVE_FRET)
  };
  double seen[G_N_ELEMENTS (questions)], most = 0;

  for (guint i = 0; i < G_N_ELEMENTS (questions); i++)
    {
      seen[i] = seen_change (instrument, before, after, &questions[i]);
      most = MAX (most, seen[i]);
    }
  for (guint i = 0; i < G_N_ELEMENTS (questions); i++)
    if (seen[i] >= LEAST_SEEN && seen[i] >= ASKED_SHARE * most)
      note (moved, questions[i], seen[i]);
  return most;
}

/* Between the outer strings nothing goes further than below them. */
static void
note_moved (const SlInstrument *instrument, const SlState *state, const SlOperation *operation,
            const SlWorkUncertainty *uncertainty, GArray *moved)
{
  const int n = instrument->n_strings;
  SlState after = *state;
  double most;

  if (operation->kind == SL_OP_MOVE_CREST)
    {
      /* pitch is no row of the fit, and nothing else moves by more than a hundredth of this */
      note (moved, question_of (SL_READ_PITCH, operation->string, SL_OCTAVE_FRET),
            fabs (sl_number_or (operation->amount, 0)) / USUAL_MOVE_MM);
      return;
    }
  sl_operation_carry (instrument, operation, uncertainty, &after);
  if (sl_operations[operation->kind].per_string)
    {
      note_string (instrument, state, &after, CLAMP (operation->string, 1, n), moved);
      return;
    }
  most = note_string (instrument, state, &after, n, moved);
  if (n > 1)
    most = MAX (most, note_string (instrument, state, &after, 1, moved));
  if (instrument->frets > instrument->joint)
    {
      const SlReading tongue = question_of (SL_READ_TONGUE, 0, 0);
      const double seen = seen_change (instrument, state, &after, &tongue);

      if (seen >= LEAST_SEEN && seen >= ASKED_SHARE * most)
        note (moved, tongue, seen);
    }
}

/* What goes furthest first; what goes as far, in the order of measuring, the bass side first. */
static int
by_change (gconstpointer pa, gconstpointer pb)
{
  const Moved *a = pa, *b = pb;

  if (fabs (a->seen - b->seen) > SAME_SEEN * MAX (a->seen, b->seen))
    return a->seen > b->seen ? -1 : 1;
  return a->question.kind != b->question.kind ? (int) a->question.kind - (int) b->question.kind
                                              : b->question.string - a->question.string;
}

GArray *
sl_questions_since (const SlAnalysis *analysis, const SlVisit *visit, SlOperationKind kind, const char *taken)
{
  g_autoptr (GArray) moved = g_array_new (FALSE, FALSE, sizeof (Moved));
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlReading));

  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->done != NULL && !sl_operation_is_past (operation, taken) &&
          (kind == SL_N_OPS || operation->kind == kind))
        note_moved (&analysis->instrument, &analysis->measured, operation, &analysis->shop.work, moved);
    }
  g_array_sort (moved, by_change);
  for (guint i = 0; i < moved->len; i++)
    g_array_append_val (questions, g_array_index (moved, Moved, i).question);
  return questions;
}

/* ---- predicted against read ---- */

static SlWord
predicted_word (double off, double u)
{
  if (fabs (off) <= SL_COVERAGE * u)
    return SL_WORD_IN_RANGE;
  return fabs (off) <= NEAR * SL_COVERAGE * u ? SL_WORD_CLOSE : SL_WORD_OUT;
}

GArray *
sl_predictions (const SlAnalysis *analysis)
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
      row.word = predicted_word (row.read - row.predicted, row.u);
      g_array_append_val (rows, row);
    }
  return rows;
}

const char *
sl_predicted_text (SlWord word)
{
  switch (word)
    {
    case SL_WORD_IN_RANGE:
      /* Translators: what was read lies within the uncertainty of what was predicted */
      return C_ ("predicted and measured", "as predicted");
    case SL_WORD_CLOSE: return C_ ("predicted and measured", "near");
    case SL_WORD_OUT: return C_ ("predicted and measured", "off");
    case SL_WORD_NONE:
    default: return "";
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
    case SL_READ_RELIEF: return g_strdup_printf (C_ ("not read", "relief of string %d"), question->string);
    case SL_READ_FIRST_GAP: return g_strdup_printf (C_ ("not read", "height at fret 1 of string %d"), question->string);
    case SL_READ_ACTION: return g_strdup_printf (C_ ("not read", "action of string %d"), question->string);
    default: return g_strdup_printf (C_ ("not read", "pitch of string %d"), question->string);
    }
}

static void
remark_lacking (const SlAnalysis *analysis, const SlVisit *visit, const SlReadingSet *set, GPtrArray *remarks)
{
  const char *begin = visit->sets->len > 0 ? g_array_index (visit->sets, SlReadingSet, 0).taken : NULL;
  g_autoptr (GArray) questions = sl_questions_since (analysis, visit, SL_N_OPS, begin);
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
    g_ptr_array_add (remarks, g_strdup_printf (_ ("These final readings lack what was worked on: %s. Those figures are "
                                                  "carried over from earlier readings, not measured."),
                                               lacking->str));
}

GPtrArray *
sl_set_remarks (const SlAnalysis *analysis, const SlVisit *visit, const SlReadingSet *set)
{
  GPtrArray *remarks = g_ptr_array_new_with_free_func (g_free);
  const SlReadingSet *before;
  int order;

  if (visit == NULL || set == NULL)
    return remarks;
  before = set_before (visit, set);
  if (before != NULL && sl_moment_compare (set->taken, before->taken, &order) && order < 0)
    g_ptr_array_add (remarks,
                     g_strdup (_ ("These readings are dated earlier than the ones before them: a clock may have been "
                                  "set back. Work done between the two can't be told from later work.")));
  if (analysis->fit.apart && analysis->set == set)
    g_ptr_array_add (
        remarks,
        g_strdup (
            _ ("These readings agree with each other, but not with those before and the work noted since: they stand "
               "by themselves, and what was not read again is assumed. Note the work that was done, or read again.")));
  else if (set->stage == SL_STAGE_FINAL)
    remark_lacking (analysis, visit, set, remarks);
  return remarks;
}
