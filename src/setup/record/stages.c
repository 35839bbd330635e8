/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/stages.h"

#include "setup/profile/moment.h"

#define NEAR 1.5 /* times U: our own choice */

/* What is asked again: of what is read below a string all that moves by at least this share of what moves furthest,
 * each in what it is usually uncertain by. Our own choice: a lower slot asks for its first gap alone. A turn of the rod
 * asks for all of it, the first gap too (a share of up to 0.3): that opens the gate behind it (model 4.4). */
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

  SL_EACH (Moved, old, moved)
    {
      if (!sl_reading_same_question (&old->question, &question))
        continue;
      old->seen = MAX (old->seen, seen);
      return;
    }
  g_array_append_val (moved, fresh);
}

/* Of what is read of one string, that which goes at least @share as far as the reading that goes furthest. Returns how
 * far that goes. */
static double
note_string (const SlInstrument *instrument, const SlState *before, const SlState *after, int string, double share,
             GArray *moved)
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
    if (seen[i] >= LEAST_SEEN && seen[i] >= share * most)
      note (moved, questions[i], seen[i]);
  return most;
}

/* Pitch is no row of the fit, and where a crest moves along its string nothing else goes by more than a hundredth of
 * this. */
static void
note_move (GArray *moved, int string, SlNumber by)
{
  if (sl_number_or (by, 0) != 0)
    note (moved, question_of (SL_READ_PITCH, string, SL_OCTAVE_FRET), fabs (by.v) / USUAL_MOVE_MM);
}

/* Between the outer strings nothing goes further than below them, but where slots are new. */
static void
note_moved (const SlAnalysis *analysis, const SlVisit *visit, const SlOperation *operation, GArray *moved)
{
  const SlInstrument *instrument = &analysis->instrument;
  const int n = instrument->n_strings;
  const double share = operation->kind == SL_OP_TURN_ROD || operation->kind == SL_OP_FIT_STRINGS ? 0 : ASKED_SHARE;
  SlState before = analysis->measured, after;
  double most;

  if (operation->kind == SL_OP_MOVE_CREST)
    {
      note_move (moved, operation->string, operation->amount);
      return;
    }
  if (operation->kind == SL_OP_SHIFT_BRIDGE)
    {
      note_move (moved, n, operation->amount);
      note_move (moved, 1, operation->amount_treble);
      return;
    }
  if (operation->kind == SL_OP_FIT_STRINGS)
    sl_strings_before (instrument, analysis->profile, visit, operation, &before);
  after = before;
  sl_operation_carry (instrument, operation, &analysis->shop.work, &after);
  for (int i = 0; i < operation->n_ends && operation->kind == SL_OP_MAKE_NUT; i++)
    note_string (instrument, &before, &after, operation->ends[i].string, share, moved);
  if (sl_operations[operation->kind].per_string)
    {
      note_string (instrument, &before, &after, CLAMP (operation->string, 1, n), share, moved);
      return;
    }
  most = note_string (instrument, &before, &after, n, share, moved);
  if (n > 1)
    most = MAX (most, note_string (instrument, &before, &after, 1, share, moved));
  if (instrument->frets > instrument->joint)
    {
      const SlReading tongue = question_of (SL_READ_TONGUE, 0, 0);
      const double seen = seen_change (instrument, &before, &after, &tongue);

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

  SL_EACH (const SlOperation, operation, visit != NULL ? visit->plan : NULL)
    if (operation->done != NULL && !sl_operation_is_past (operation, taken) &&
        (kind == SL_N_OPS || operation->kind == kind))
      note_moved (analysis, visit, operation, moved);
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
  /* Translators: what was read lies within the uncertainty of what was predicted; nearly; not */
  static const char *const texts[] = { [SL_WORD_IN_RANGE] = NC_ ("predicted and measured", "as predicted"),
                                       [SL_WORD_CLOSE] = NC_ ("predicted and measured", "near"),
                                       [SL_WORD_OUT] = NC_ ("predicted and measured", "off") };

  return word == SL_WORD_NONE ? "" : g_dpgettext2 (GETTEXT_PACKAGE, "predicted and measured", texts[word]);
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
  SL_EACH (const SlReading, reading, set->readings)
    {
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

/* ---- slips of a unit ---- */

#define FAR 3.0 /* standard uncertainties: as for readings that disagree (model 3.2) */
/* of what is expected: instruments differ by as much without anybody's slip; our own choice */
#define LEAST_SHARE 0.25
#define TEN 10.0        /* a lost decimal point */
#define POINT_SHARE 0.5 /* of what is expected, within which a lost one is looked for; our own choice */
#define BOWED_MM 1.0    /* necks bow and fall away by as much without anybody's slip: our own choice */

/* What the state would have a reading be, with its standard uncertainty; FALSE for kinds that are neither rows of the
 * fit nor an exposure where one was read. */
static gboolean
expected_reading (const SlAnalysis *analysis, const SlReading *question, double *expected_mm, double *u_mm)
{
  const SlState *state = &analysis->measured;

  if (question->kind == SL_READ_EXPOSURE && state->exposure_read && question->string >= 1 &&
      question->string <= state->n_strings)
    {
      *expected_mm = state->exposure[question->string - 1];
      *u_mm = state->exposure_u[question->string - 1];
      return TRUE;
    }
  if (question->kind >= SL_N_FIT_KINDS)
    return FALSE;
  *expected_mm = sl_predict_reading (&analysis->instrument, state, question, u_mm);
  return TRUE;
}

gboolean
sl_unit_slip (double value_mm, double expected_mm, double u_mm, SlLengths typed_as, double *meant_mm)
{
  const gboolean mm = typed_as == SL_LENGTHS_MM;
  const double room = FAR * MAX (u_mm, LEAST_SHARE * fabs (expected_mm));
  const double candidates[] = { value_mm / TEN, value_mm / (TEN * TEN),
                                mm ? value_mm * SL_MM_PER_INCH : value_mm / SL_MM_PER_INCH };
  double off = room;

  if (fabs (value_mm - expected_mm) <= (mm ? room : MAX (room, BOWED_MM)))
    return FALSE;
  *meant_mm = NAN;
  for (gsize i = value_mm == round (value_mm) ? 0 : 2; i < G_N_ELEMENTS (candidates); i++)
    if (fabs (candidates[i]) >= LEAST_SHARE * fabs (expected_mm) &&
        fabs (candidates[i] - expected_mm) <= (i < 2 ? MIN (off, POINT_SHARE * fabs (expected_mm)) : off))
      {
        *meant_mm = candidates[i];
        off = fabs (candidates[i] - expected_mm);
      }
  return !isnan (*meant_mm);
}

/* The answers to @question go, so that what is expected does not rest on what is to be judged. */
static void
remove_answers (SlReadingSet *set, const SlReading *question)
{
  for (guint i = set->readings->len; i-- > 0;)
    if (sl_reading_same_question (&g_array_index (set->readings, SlReading, i), question))
      g_array_remove_index (set->readings, i);
}

gboolean
sl_reading_slip (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                 const SlReading *question, double value_mm, SlLengths typed_as, double *meant_mm)
{
  g_autoptr (SlProfile) copy = sl_profile_copy (profile);
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  SlVisit *own_visit = NULL;
  SlReadingSet *own_set = NULL;
  double expected, u;

  if (visit != NULL)
    own_visit = &g_array_index (copy->visits, SlVisit, visit - (const SlVisit *) (const void *) profile->visits->data);
  if (set != NULL)
    {
      own_set =
          &g_array_index (own_visit->sets, SlReadingSet, set - (const SlReadingSet *) (const void *) visit->sets->data);
      remove_answers (own_set, question);
    }
  sl_analyse (copy, own_visit, own_set, shop, analysis);
  return expected_reading (analysis, question, &expected, &u) &&
         sl_unit_slip (value_mm, expected, u, typed_as, meant_mm);
}
