/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/visit.h"

#include <math.h>
#include <string.h>

#define ACTION_FRET 12
#define LEAST_RELIEF_CHANGE_MM 0.03 /* a smaller change is in the noise of the readings: our own choice */
#define LEAST_FACTOR 0.1            /* outside these a reading is wrong rather than a neck so odd: our own choice */
#define MOST_FACTOR 4.0

gboolean
sl_operation_between (const SlOperation *operation, const char *from, const char *to)
{
  return operation->done != NULL && !sl_operation_is_past (operation, from) && sl_operation_is_past (operation, to);
}

/* ---- carrying a state through work ---- */

/* C += u² v vᵀ */
static void
widen (SlState *state, const double *v, double u)
{
  const int p = state->n_unknowns;

  for (int i = 0; i < p; i++)
    for (int j = 0; j < p; j++)
      state->cov[i * p + j] += u * u * v[i] * v[j];
}

/* What one unit of an operation's amount does to the unknowns: they are affine in it. */
static void
effect_per_unit (const SlInstrument *instrument, SlOperation operation, gboolean treble, const SlState *state, double *v)
{
  SlState unit = *state, none = *state;

  operation.amount = sl_number (treble ? 0 : 1);
  operation.amount_treble = sl_number (treble ? 1 : 0);
  sl_operation_apply (instrument, &operation, &unit);
  operation.amount = operation.amount_treble = sl_number (0);
  sl_operation_apply (instrument, &operation, &none);
  for (int i = 0; i < state->n_unknowns; i++)
    v[i] = unit.u[i] - none.u[i];
}

void
sl_operation_carry (const SlInstrument *instrument, const SlOperation *operation, const SlWorkUncertainty *uncertainty, SlState *state)
{
  double v[SL_MAX_UNKNOWNS] = { 0 };

  switch (operation->kind)
    {
    case SL_OP_LEVEL_FRETS:
      /* how far the crowns as a whole came down: nut and crests stand higher or lower over them together */
      for (int i = SL_NUT_HEIGHT; i < state->n_unknowns; i++)
        v[i] = 1;
      widen (state, v, uncertainty->level_mm);
      break;
    case SL_OP_TURN_ROD:
      effect_per_unit (instrument, *operation, FALSE, state, v);
      widen (state, v, uncertainty->rod_share * fabs (sl_number_or (operation->amount, 0)));
      break;
    case SL_OP_LOWER_SLOT:
      effect_per_unit (instrument, *operation, FALSE, state, v);
      widen (state, v, uncertainty->slot_mm);
      break;
    case SL_OP_CUT_SADDLE_BASE:
      /* the two ends are cut apart from each other */
      effect_per_unit (instrument, *operation, FALSE, state, v);
      widen (state, v, uncertainty->base_mm);
      effect_per_unit (instrument, *operation, TRUE, state, v);
      widen (state, v, uncertainty->base_mm);
      break;
    case SL_OP_SHAPE_CREST:
      effect_per_unit (instrument, *operation, FALSE, state, v);
      widen (state, v, uncertainty->shape_mm);
      break;
    default:
      break;
    }
  sl_operation_apply (instrument, operation, state);
}

static void
carry_between (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
               const SlWorkUncertainty *uncertainty, SlState *state)
{
  for (guint i = 0; visit->plan != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (sl_operation_between (operation, from->taken, to->taken))
        sl_operation_carry (instrument, operation, uncertainty, state);
    }
}

/* ---- what a rod turn did ---- */

static gboolean
rod_turned_between (const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to)
{
  for (guint i = 0; visit->plan != NULL && i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->kind == SL_OP_TURN_ROD && sl_operation_between (operation, from->taken, to->taken))
        return TRUE;
    }
  return FALSE;
}

/* The work between two sets other than the rod, on @state. */
static void
apply_other_work (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to, SlState *state)
{
  for (guint i = 0; i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->kind != SL_OP_TURN_ROD && sl_operation_between (operation, from->taken, to->taken))
        sl_operation_apply (instrument, operation, state);
    }
}

static double
mean_relief_variance (const SlState *state)
{
  const int p = state->n_unknowns;
  const double *c = state->cov;

  if (state->n_strings < 2)
    return c[0];
  return (c[SL_RELIEF_TREBLE * p + SL_RELIEF_TREBLE] + 2 * c[SL_RELIEF_TREBLE * p + SL_RELIEF_BASS] + c[SL_RELIEF_BASS * p + SL_RELIEF_BASS]) / 4;
}

static double
action_of (const SlInstrument *instrument, const SlState *state, int string, double *variance)
{
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (instrument, state, string, &s);
  sl_gap_gradient (instrument, &s, 0, ACTION_FRET, g);
  double u = sl_string_u (&s, g);

  *variance = u * u;
  return sl_gap (instrument, state, &s, 0, ACTION_FRET);
}

/* Change of the action at 12 of @string for a unit of relief, with the crest's own share of it. */
static void
model_ratio (const SlInstrument *instrument, const SlState *state, int string, double *rest, double *crest)
{
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  SlInstrument still = *instrument, moving = *instrument;
  SlState a = *state, b = *state;
  double ignored;

  turn.amount = sl_number (1);
  still.rod_factor = 0;
  moving.rod_factor = 1;
  sl_operation_apply (&still, &turn, &a);
  sl_operation_apply (&moving, &turn, &b);
  double before = action_of (instrument, state, string, &ignored);

  *rest = action_of (instrument, &a, string, &ignored) - before;
  *crest = action_of (instrument, &b, string, &ignored) - before - *rest;
}

/* Both sets each on their own, so that the model's guess of the turn does not enter. */
static gboolean
look_between (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to, SlRodBracket *out, double *weight)
{
  SlFit before, after;
  SlState worked;
  double action = 0, variance = 0, rest = 0, crest = 0;
  int n = 0;

  sl_fit (instrument, from, &before);
  sl_fit (instrument, to, &after);
  worked = before.state;
  apply_other_work (instrument, visit, from, to, &worked);

  double change = sl_state_mean_relief (&after.state) - sl_state_mean_relief (&worked);
  double change_u = sqrt (mean_relief_variance (&before.state) + mean_relief_variance (&after.state));
  gboolean relief_read = !before.relief_assumed_treble && !before.relief_assumed_bass && !after.relief_assumed_treble && !after.relief_assumed_bass;

  for (int s = 1; s <= instrument->n_strings; s++)
    {
      double v_before, v_after, r, c;

      if (before.action_assumed[s - 1] || after.action_assumed[s - 1])
        continue;
      action += action_of (instrument, &after.state, s, &v_after) - action_of (instrument, &worked, s, &v_before);
      variance += v_before + v_after;
      model_ratio (instrument, &worked, s, &r, &c);
      rest += r;
      crest += c;
      n++;
    }
  sl_fit_clear (&before);
  sl_fit_clear (&after);
  if (!relief_read || n == 0 || fabs (change) < LEAST_RELIEF_CHANGE_MM || fabs (change) < 2 * change_u)
    return FALSE;
  action /= n;
  rest /= n;
  crest /= n;
  double ratio = action / change, factor = (ratio - rest) / crest;

  if (!(factor >= LEAST_FACTOR && factor <= MOST_FACTOR))
    return FALSE;
  out->relief_change = change;
  out->ratio = ratio;
  out->ratio_u = hypot (sqrt (variance) / n / change, ratio * change_u / change);
  out->model_ratio = rest + crest;
  out->factor = factor;
  *weight = change * change;
  return TRUE;
}

void
sl_find_rod_bracket (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set, SlRodBracket *out)
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
      if (!rod_turned_between (visit, from, to) || !look_between (instrument, visit, from, to, out, &weight))
        continue;
      out->found = TRUE;
      out->turns++;
      weights += weight;
      factors += weight * out->factor;
    }
  /* larger turns say more: their factors weigh by the square of the relief they changed */
  if (out->found)
    out->factor = factors / weights;
}

void
sl_fit_visit (SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set, const SlWorkUncertainty *uncertainty, SlRodBracket *bracket, SlFit *out)
{
  const SlWorkUncertainty standard = SL_WORK_UNCERTAINTY_DEFAULT;
  const SlReadingSet *from = NULL;
  SlRodBracket own;
  SlFit carried, next;

  bracket = bracket != NULL ? bracket : &own;
  uncertainty = uncertainty != NULL ? uncertainty : &standard;
  instrument->rod_factor = 1;
  sl_find_rod_bracket (instrument, visit, set, bracket);
  instrument->rod_factor = bracket->factor;

  for (guint k = 0; visit != NULL && set != NULL && k < visit->sets->len; k++)
    {
      const SlReadingSet *to = &g_array_index (visit->sets, SlReadingSet, k);

      if (from == NULL)
        sl_fit (instrument, to, &next);
      else
        {
          carry_between (instrument, visit, from, to, uncertainty, &carried.state);
          sl_fit_carried (instrument, to, &carried, &next);
          sl_fit_clear (&carried);
        }
      if (to == set)
        {
          *out = next;
          return;
        }
      carried = next;
      from = to;
    }
  if (from != NULL)
    sl_fit_clear (&carried);
  sl_fit (instrument, set, out);
}
