/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/visit.h"

#include <math.h>
#include <string.h>

#include "setup/fit/reading-row.h"

#define LEAST_RELIEF_CHANGE_MM 0.03 /* a smaller change is in the noise of the readings: our own choice */
#define LEAST_FACTOR 0.1            /* outside these a reading is wrong rather than a neck so odd: our own choice */
#define MOST_FACTOR 4.0
#define MOST_FACTOR_U 0.20 /* no more than even curvature itself is uncertain by: the default share of a rod turn */
/* how far a turn that was bracketed is left to the readings themselves, which are behind its factor already */
#define OBSERVED_FACTOR_U 1.0
#define DOUBT_LIMIT 3.0 /* as for readings that disagree (model 3.2) */

gboolean
sl_operation_between (const SlOperation *operation, const char *from, const char *to)
{
  return operation->done != NULL && !sl_operation_is_past (operation, from) && sl_operation_is_past (operation, to);
}

/* ---- carrying a state through work ---- */

/* Leaves what a rod turn did to nut and crests open: the readings around it decide, and must not count twice, in the
 * neck's factors and by themselves. */
static void
widen_turn (const SlInstrument *instrument, const SlOperation *turn, SlState *state)
{
  double crest[SL_MAX_UNKNOWNS], nut[SL_MAX_UNKNOWNS];

  sl_bending_effect (instrument, sl_number_or (turn->amount, 0), state, crest, nut);
  sl_state_widen (state, crest, OBSERVED_FACTOR_U);
  sl_state_widen (state, nut, OBSERVED_FACTOR_U);
}

#define TURNS (1u << SL_OP_TURN_ROD)
#define CREST_CUTS (1u << SL_OP_CUT_SADDLE_BASE | 1u << SL_OP_SHAPE_CREST)

static gboolean
is_of (const SlOperation *operation, guint kinds)
{
  return (kinds >> operation->kind & 1) != 0;
}

gboolean
sl_work_between (const SlVisit *visit, guint kinds, const SlReadingSet *from, const SlReadingSet *to)
{
  for (guint i = 0; visit->plan != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (is_of (operation, kinds) && sl_operation_between (operation, from->taken, to->taken))
        return TRUE;
    }
  return FALSE;
}

/* As far as a cut that is doubted goes, from not at all to twice as deep. */
static SlWorkUncertainty
doubted (const SlOperation *operation, SlWorkUncertainty uncertainty)
{
  double most = MAX (fabs (sl_number_or (operation->amount, 0)), fabs (sl_number_or (operation->amount_treble, 0)));

  uncertainty.base_mm = MAX (uncertainty.base_mm, most);
  uncertainty.shape_mm = MAX (uncertainty.shape_mm, most);
  return uncertainty;
}

typedef struct
{
  gboolean bracketed; /* a rod turn between the sets was read on both sides of it */
  gboolean doubted;   /* the crests did not come down as noted */
  gboolean no_turn;   /* only the work other than the rod is wanted */
} Gap;

static void
carry_between (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
               const SlWorkUncertainty *uncertainty, Gap gap, SlState *state)
{
  for (guint i = 0; visit->plan != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (!sl_operation_between (operation, from->taken, to->taken) || (gap.no_turn && is_of (operation, TURNS)))
        continue;
      const SlWorkUncertainty own =
          gap.doubted && is_of (operation, CREST_CUTS) ? doubted (operation, *uncertainty) : *uncertainty;

      if (gap.bracketed && is_of (operation, TURNS))
        widen_turn (instrument, operation, state);
      sl_operation_carry (instrument, operation, &own, state);
    }
}

/* ---- what a rod turn did ---- */

static double
mean_relief_variance (const SlState *state)
{
  const double share = state->n_strings < 2 ? 1 : 0.5;
  const double row[SL_MAX_UNKNOWNS] = { [SL_RELIEF_TREBLE] = share, [SL_RELIEF_BASS] = 1 - share };

  return sl_row_variance (state, row);
}

/* Change of the action at 12 for a unit of relief, with the crest's own share of it. */
static void
model_ratio (const SlInstrument *instrument, const SlState *state, const SlReading *action, double *rest, double *crest)
{
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  SlInstrument still = *instrument, moving = *instrument;
  SlState a = *state, b = *state;

  turn.amount = sl_number (1);
  still.neck.crest = 0;
  moving.neck.crest = 1;
  sl_operation_apply (&still, &turn, &a);
  sl_operation_apply (&moving, &turn, &b);
  const double before = sl_predict_reading (instrument, state, action, NULL);

  *rest = sl_predict_reading (instrument, &a, action, NULL) - before;
  *crest = sl_predict_reading (instrument, &b, action, NULL) - before - *rest;
}

/* Both sets each on their own, so that the model's guess of the turn does not enter. */
static gboolean
look_between (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
              const SlWorkUncertainty *uncertainty, SlRodBracket *out, double *weight)
{
  SlFit before, after;
  SlState worked;
  double action = 0, variance = 0, rest = 0, crest = 0;
  int n = 0;

  sl_fit (instrument, from, &before);
  sl_fit (instrument, to, &after);
  worked = before.state;
  carry_between (instrument, visit, from, to, uncertainty, (Gap){ .no_turn = TRUE }, &worked);

  double change = sl_state_mean_relief (&after.state) - sl_state_mean_relief (&worked);
  double change_u = sqrt (mean_relief_variance (&before.state) + mean_relief_variance (&after.state));
  gboolean relief_read = !before.relief_assumed_treble && !before.relief_assumed_bass && !after.relief_assumed_treble &&
                         !after.relief_assumed_bass;

  for (int s = 1; s <= instrument->n_strings; s++)
    {
      const SlReading at_12 = { .kind = SL_READ_ACTION, .string = s, .fret = SL_OCTAVE_FRET };
      double u_before, u_after, r, c;

      if (before.action_assumed[s - 1] || after.action_assumed[s - 1])
        continue;
      action += sl_predict_reading (instrument, &after.state, &at_12, &u_after) -
                sl_predict_reading (instrument, &worked, &at_12, &u_before);
      variance += u_before * u_before + u_after * u_after;
      model_ratio (instrument, &worked, &at_12, &r, &c);
      rest += r;
      crest += c;
      n++;
    }
  sl_fit_clear (&before);
  sl_fit_clear (&after);
  if (!relief_read || n == 0 || fabs (change) < LEAST_RELIEF_CHANGE_MM || fabs (change) < SL_COVERAGE * change_u)
    return FALSE;
  action /= n;
  rest /= n;
  crest /= n;
  double ratio = action / change, factor = (ratio - rest) / crest;

  double ratio_u = hypot (sqrt (variance) / n / change, ratio * change_u / change), factor_u = ratio_u / fabs (crest);

  if (!(factor >= LEAST_FACTOR && factor <= MOST_FACTOR && factor_u <= MOST_FACTOR_U * MAX (1, factor)))
    return FALSE;
  out->ratio = ratio;
  out->ratio_u = ratio_u;
  out->model_ratio = rest + crest;
  out->factor = factor;
  *weight = 1 / (factor_u * factor_u);
  return TRUE;
}

void
sl_find_rod_bracket (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set,
                     const SlWorkUncertainty *uncertainty, SlRodBracket *out)
{
  double weights = 0, factors = 0;

  memset (out, 0, sizeof *out);
  out->factor = 1;
  if (visit == NULL || set == NULL)
    return;
  for (guint k = 0; k + 1 < visit->sets->len; k++)
    {
      const SlReadingSet *from = &g_array_index (visit->sets, SlReadingSet, k);
      const SlReadingSet *to = &g_array_index (visit->sets, SlReadingSet, k + 1);
      double weight;

      if (from == set)
        break;
      if (!sl_work_between (visit, TURNS, from, to) ||
          !look_between (instrument, visit, from, to, uncertainty, out, &weight))
        continue;
      out->found = TRUE;
      out->turns++;
      weights += weight;
      factors += weight * out->factor;
    }
  /* larger turns say more: the factors weigh by what they are uncertain by */
  if (out->found)
    out->factor = factors / weights;
}

/* ---- what a cut did ---- */

/* Whether a reading was repeated in its set, or is always to be kept: who read it stands by it. */
static gboolean
stood_by (const SlReadingSet *set, const SlReading *reading)
{
  int times = 0;

  for (guint i = 0; i < set->readings->len; i++)
    {
      const SlReading *other = &g_array_index (set->readings, SlReading, i);

      times += other->use != SL_USE_NEVER && sl_reading_same_question (reading, other);
    }
  return reading->use == SL_USE_ALWAYS || times > 1;
}

/* Whether the crests came down as the base cuts and crest shaping noted between two sets say. @before is the state
 * after the set @from, @carried what that becomes by the work as noted; an action of @to that is read 3 standard
 * uncertainties or more from what is carried is told of. */
static void
find_work_doubt (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
                 const SlState *before, const SlState *carried, SlWorkDoubt *out)
{
  double worst = DOUBT_LIMIT;

  *out = (SlWorkDoubt){ .confirmed = TRUE };
  if (!sl_work_between (visit, CREST_CUTS, from, to))
    return;
  for (guint i = 0; i < to->readings->len; i++)
    {
      const SlReading *r = &g_array_index (to->readings, SlReading, i);
      double u;

      if (r->kind != SL_READ_ACTION || r->use == SL_USE_NEVER || r->string < 1 || r->string > instrument->n_strings ||
          r->fret < 2)
        continue;
      double past = sl_predict_reading (instrument, before, r, NULL),
             now = sl_predict_reading (instrument, carried, r, &u);
      double off_u = hypot (u, sl_reading_u (to, r->kind)), off = fabs (r->value.v - now) / off_u;

      if (off < DOUBT_LIMIT)
        continue;
      out->found = TRUE;
      out->confirmed = out->confirmed && stood_by (to, r);
      if (off <= worst && out->string > 0)
        continue;
      worst = off;
      out->string = r->string;
      out->fret = r->fret;
      out->moved = r->value.v - past;
      out->predicted = now - past;
      out->u = off_u;
    }
}

/* What the work as it was noted would have each reading be, however much of it is believed. */
static void
foresee (const SlInstrument *instrument, const SlReadingSet *to, const SlState *noted, SlFit *fit)
{
  for (guint i = 0; i < fit->n_readings; i++)
    if (fit->readings[i].in_fit)
      fit->readings[i].carried = sl_predict_reading (instrument, noted, &g_array_index (to->readings, SlReading, i),
                                                     &fit->readings[i].carried_u);
}

/* The fit of @to with what the set before it left, which it releases. */
static void
fit_next (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
          const SlWorkUncertainty *uncertainty, SlFit *carried, SlFit *out)
{
  const SlState before = carried->state;
  SlState noted;
  SlWorkDoubt doubt;
  SlRodBracket bracket;
  double weight;
  Gap gap = { 0 };

  gap.bracketed = sl_work_between (visit, TURNS, from, to) &&
                  look_between (instrument, visit, from, to, uncertainty, &bracket, &weight);
  carry_between (instrument, visit, from, to, uncertainty, gap, &carried->state);
  noted = carried->state;
  find_work_doubt (instrument, visit, from, to, &before, &noted, &doubt);
  if (doubt.found)
    {
      gap.doubted = TRUE;
      carried->state = before;
      carry_between (instrument, visit, from, to, uncertainty, gap, &carried->state);
    }
  sl_fit_carried (instrument, to, carried, out);
  out->doubt = doubt;
  if (doubt.found)
    foresee (instrument, to, &noted, out);
  sl_fit_clear (carried);
}

void
sl_fit_visit (SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set,
              const SlWorkUncertainty *uncertainty, SlRodBracket *bracket, GArray *earlier, SlFit *out)
{
  const SlReadingSet *from = NULL;
  SlRodBracket own;
  SlFit carried, next;

  bracket = bracket != NULL ? bracket : &own;
  instrument->neck = SL_NECK_BENDING_ASSUMED;
  sl_find_rod_bracket (instrument, visit, set, uncertainty, bracket);
  if (bracket->found)
    instrument->neck.crest = bracket->factor;

  for (guint k = 0; visit != NULL && set != NULL && k < visit->sets->len; k++)
    {
      const SlReadingSet *to = &g_array_index (visit->sets, SlReadingSet, k);

      if (from == NULL)
        sl_fit (instrument, to, &next);
      else
        fit_next (instrument, visit, from, to, uncertainty, &carried, &next);
      if (to == set)
        {
          *out = next;
          return;
        }
      if (earlier != NULL)
        g_array_append_vals (earlier, &(SlEarlier){ to, next.state }, 1);
      carried = next;
      from = to;
    }
  /* a set that is none of the visit's has nothing before it */
  if (from != NULL)
    sl_fit_clear (&carried);
  if (earlier != NULL)
    g_array_set_size (earlier, 0);
  sl_fit (instrument, set, out);
}
