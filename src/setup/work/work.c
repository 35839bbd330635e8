/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/work/work.h"

#include "setup/physics/frets.h"
#include "setup/profile/bounds.h"

/* What settling in other air may move, standard uncertainties: our own choice, wide enough for five points of moisture
 * content. */
#define SETTLED_CREST_MM 0.4
#define SETTLED_RELIEF_MM 0.06

static double *
nut_of (SlState *state, int string)
{
  return &state->u[SL_NUT_HEIGHT + string - 1];
}

static double *
crest_of (SlState *state, int string)
{
  return &state->u[SL_NUT_HEIGHT + state->n_strings + string - 1];
}

/* The body, and so the tangent at the joint, stays: the chord turns under the nut and over the bridge (model 5). */
static void
turn_rod (const SlInstrument *instrument, double change, SlState *state)
{
  const double nut = change * instrument->neck.nut * sl_bow_shape (instrument, 1, 0);

  state->u[SL_RELIEF_TREBLE] += change;
  if (state->n_strings > 1)
    state->u[SL_RELIEF_BASS] += change;
  for (int s = 1; s <= state->n_strings; s++)
    {
      double x_s = instrument->scale[s - 1] + state->setback[s - 1];

      *nut_of (state, s) -= nut;
      *crest_of (state, s) += sl_rod_lift (instrument, s, change, x_s);
    }
  if (instrument->frets > instrument->joint)
    state->u[SL_FALL_AWAY] -= sl_rod_lift (instrument, 1, change, instrument->x[0][instrument->frets]);
}

static void
lower_crest (SlState *state, int string, double by)
{
  *crest_of (state, string) -= by;
  /* also where none was read: what is assumed comes down with the crest, so that before and after compare as they
   * should */
  state->exposure[string - 1] -= by;
}

void
sl_operation_apply (const SlInstrument *instrument, const SlOperation *operation, SlState *state)
{
  const double amount = sl_number_or (operation->amount, 0);

  switch (operation->kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_REPLACE_FRETS: sl_work_crowns (instrument, operation, state); break;
    case SL_OP_TURN_ROD: turn_rod (instrument, amount, state); break;
    case SL_OP_LOWER_SLOT: *nut_of (state, operation->string) -= amount; break;
    case SL_OP_CUT_SADDLE_BASE:
      for (int s = 1; s <= state->n_strings; s++)
        {
          double cut = sl_between_strings (sl_number_or (operation->amount_treble, 0), amount, s, state->n_strings);

          lower_crest (state, s, cut * cos (instrument->saddle_lean_rad));
        }
      break;
    case SL_OP_SHAPE_CREST: lower_crest (state, operation->string, amount); break;
    case SL_OP_MOVE_CREST: state->setback[operation->string - 1] += amount; break;
    default: break;
    }
}

gboolean
sl_operation_between (const SlOperation *operation, const char *from, const char *to)
{
  return operation->done != NULL && !sl_operation_is_past (operation, from) && sl_operation_is_past (operation, to);
}

gboolean
sl_work_between (const SlVisit *visit, guint kinds, const SlReadingSet *from, const SlReadingSet *to)
{
  SL_EACH (const SlOperation, operation, visit->plan)
    if ((kinds >> operation->kind & 1) != 0 && sl_operation_between (operation, from->taken, to->taken))
      return TRUE;
  return FALSE;
}

/* ---- what the work itself is uncertain by ---- */

void
sl_state_widen (SlState *state, const double *v, double u)
{
  const int p = state->n_unknowns;

  for (int i = 0; i < p && u > 0; i++)
    for (int j = 0; j < p; j++)
      state->cov[i * p + j] += u * u * v[i] * v[j];
}

/* A further turn bends the neck by @v a unit of one of its factors, which is the same factor in the turns before:
 * C += u² ((b + v)(b + v)ᵀ − b bᵀ), b being what they have bent. */
static void
widen_bent (SlState *state, const double *v, double u, double *bent)
{
  const int p = state->n_unknowns;

  for (int i = 0; i < p; i++)
    for (int j = 0; j < p; j++)
      state->cov[i * p + j] += u * u * (v[i] * v[j] + v[i] * bent[j] + bent[i] * v[j]);
  for (int i = 0; i < p; i++)
    bent[i] += v[i];
}

void
sl_operation_effect (const SlInstrument *instrument, SlOperation operation, gboolean treble, const SlState *state,
                     double *v)
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
sl_bending_effect (const SlInstrument *instrument, double change, const SlState *state, double *v_crest, double *v_nut)
{
  SlInstrument stiff = *instrument, crest = *instrument, nut = *instrument;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  double rest[SL_MAX_UNKNOWNS];

  stiff.neck.crest = stiff.neck.nut = crest.neck.nut = nut.neck.crest = 0;
  crest.neck.crest = nut.neck.nut = 1;
  sl_operation_effect (&stiff, turn, FALSE, state, rest);
  sl_operation_effect (&crest, turn, FALSE, state, v_crest);
  sl_operation_effect (&nut, turn, FALSE, state, v_nut);
  for (int i = 0; i < state->n_unknowns; i++)
    {
      v_crest[i] = change * (v_crest[i] - rest[i]);
      v_nut[i] = change * (v_nut[i] - rest[i]);
    }
}

double
sl_work_u (const SlWorkUncertainty *uncertainty, SlOperationKind kind, double by_mm)
{
  const double by = fabs (by_mm);

  switch (kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_REPLACE_FRETS: return uncertainty->level_mm;
    case SL_OP_TURN_ROD: return uncertainty->rod_share * by;
    case SL_OP_LOWER_SLOT: return uncertainty->slot_mm + uncertainty->slot_share * by;
    case SL_OP_CUT_SADDLE_BASE: return uncertainty->base_mm + uncertainty->base_share * by;
    case SL_OP_SHAPE_CREST: return uncertainty->shape_mm + uncertainty->shape_share * by;
    default: return 0;
    }
}

/* What the air did comes back as it settles, and how far is not known before it is read: the top and with it all
 * crests, and the neck, which bends as by a turn. */
static void
widen_settled (const SlInstrument *instrument, SlState *state)
{
  double v[SL_MAX_UNKNOWNS] = { 0 };

  for (int s = 0; s < state->n_strings; s++)
    v[SL_NUT_HEIGHT + state->n_strings + s] = 1;
  sl_state_widen (state, v, SETTLED_CREST_MM);
  sl_operation_effect (instrument, sl_operation_init (SL_OP_TURN_ROD), FALSE, state, v);
  sl_state_widen (state, v, SETTLED_RELIEF_MM);
}

static gboolean
is_fretwork (const SlOperation *operation)
{
  return operation->kind == SL_OP_LEVEL_FRETS || operation->kind == SL_OP_REPLACE_FRETS;
}

/* Whether work moves the crowns up to the joint as a whole, rather than some of them to where the rest is. */
static gboolean
moves_board (const SlInstrument *instrument, const SlOperation *operation)
{
  return (operation->kind == SL_OP_LEVEL_FRETS && sl_levels_board (instrument, operation)) ||
         (operation->kind == SL_OP_REPLACE_FRETS && operation->from <= 1 && operation->to >= instrument->joint);
}

/* How far the crowns as a whole came down: nut and crests stand higher or lower over them together. */
static void
whole_board (const SlState *state, double *v)
{
  for (int i = 0; i < state->n_unknowns; i++)
    v[i] = i >= SL_NUT_HEIGHT;
}

void
sl_operation_carry (const SlInstrument *instrument, const SlOperation *operation, const SlWorkUncertainty *uncertainty,
                    SlState *state)
{
  const gboolean two_ends = operation->kind == SL_OP_CUT_SADDLE_BASE;
  double v[SL_MAX_UNKNOWNS], v_nut[SL_MAX_UNKNOWNS];

  /* the two ends of a saddle's base are cut apart from each other */
  for (int end = 0; end <= two_ends; end++)
    {
      const double by = sl_number_or (end == 1 ? operation->amount_treble : operation->amount, 0);
      const double u = sl_work_u (uncertainty, operation->kind, by);

      /* what only some crowns come down by is read off the rest, and no unknown moves */
      if (u == 0 || (is_fretwork (operation) && !moves_board (instrument, operation)))
        continue;
      if (moves_board (instrument, operation))
        whole_board (state, v);
      else
        sl_operation_effect (instrument, *operation, end == 1, state, v);
      sl_state_widen (state, v, u);
    }
  if (operation->kind == SL_OP_TURN_ROD)
    {
      sl_bending_effect (instrument, sl_number_or (operation->amount, 0), state, v, v_nut);
      widen_bent (state, v, instrument->neck.crest_u, state->bent_crest);
      widen_bent (state, v_nut, instrument->neck.nut_u, state->bent_nut);
    }
  if (operation->kind == SL_OP_BENCH_STEP && operation->step == SL_BENCH_SETTLE)
    widen_settled (instrument, state);
  sl_operation_apply (instrument, operation, state);
}

void
sl_plan_apply (const SlInstrument *instrument, const GArray *plan, const char *taken, gboolean done_only,
               const SlWorkUncertainty *uncertainty, SlState *state)
{
  SL_EACH (const SlOperation, operation, plan)
    if (!sl_operation_is_past (operation, taken) && (operation->done != NULL || !done_only))
      sl_operation_carry (instrument, operation, uncertainty, state);
}

/* How far nut or crest comes down for an open gap, at fret 1 or 12, to meet its target with the other as it is;
 * @per_gap: for one mm of gap. */
static double
gap_need (const SlInstrument *instrument, const SlState *state, int string, int fret, double *u, double *per_gap)
{
  SlStringState s;
  double g[SL_N_P], tolerance, target = sl_gap_target (instrument, string, fret, &tolerance);

  sl_state_string (instrument, state, string, &s);
  sl_gap_gradient (&s, 0, fret, g);
  const double per = 1 / g[fret == 1 ? SL_P_NUT : SL_P_CREST];

  if (u != NULL)
    *u = sl_string_u (&s, g) * per;
  if (per_gap != NULL)
    *per_gap = per;
  return (sl_gap (&s, 0, fret) - target) * per;
}

double
sl_need (const SlInstrument *instrument, const SlState *state, int string, double *u)
{
  return gap_need (instrument, state, string, SL_OCTAVE_FRET, u, NULL);
}

double
sl_slot_need (const SlInstrument *instrument, const SlState *state, int string, double *u, double *per_gap)
{
  return gap_need (instrument, state, string, 1, u, per_gap);
}

double
sl_round_cut (const SlShop *shop, double mm)
{
  const double step = MAX (SL_LEAST_STEP_MM, shop->cut_step_mm);

  /* the small addend keeps 0.15 from becoming 0.10 because 0.15/0.05 is 2.999… */
  return round (floor (mm / step + 1e-6) * step * 1e6) / 1e6;
}

double
sl_first_pass (const SlShop *shop, double cut_mm, double edge_mm, double u_mm)
{
  return sl_round_cut (shop, MAX (0, MIN (cut_mm, edge_mm - SL_COVERAGE * u_mm)));
}

double
sl_slot_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by)
{
  const SlShop hand = { .cut_step_mm = shop->cut_step_mm > 0 ? MIN (shop->cut_step_mm, SL_HAND_MM) : SL_HAND_MM };
  double u, per_gap, need = sl_slot_need (instrument, state, string, &u, &per_gap);

  return sl_first_pass (&hand, by, need + instrument->first_gap_tolerance * per_gap,
                        hypot (u, sl_work_u (&shop->work, SL_OP_LOWER_SLOT, by)));
}

/* The cut that brings a string's action to the lower edge of its tolerance, at the crest. */
static double
crest_edge (const SlInstrument *instrument, const SlState *state, int string, double *u)
{
  double per_action, need = gap_need (instrument, state, string, SL_OCTAVE_FRET, u, &per_action);

  return need + instrument->action_tolerance * per_action;
}

double
sl_crest_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by)
{
  double u, edge = crest_edge (instrument, state, string, &u);

  return sl_first_pass (shop, by, edge, hypot (u, sl_work_u (&shop->work, SL_OP_SHAPE_CREST, by)));
}

void
sl_base_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, double bass, double treble,
              double *pass_bass, double *pass_treble)
{
  const int n = instrument->n_strings;
  const double upright = cos (instrument->saddle_lean_rad);
  const double bass_u = sl_work_u (&shop->work, SL_OP_CUT_SADDLE_BASE, bass),
               treble_u = sl_work_u (&shop->work, SL_OP_CUT_SADDLE_BASE, treble);
  double safe[SL_MAX_STRINGS];

  for (int s = 1; s <= n; s++)
    {
      const double t = sl_bass_share (s, n), hand = hypot ((1 - t) * treble_u, t * bass_u) * upright;
      double u, edge = crest_edge (instrument, state, s, &u);

      safe[s - 1] =
          MAX (0, MIN (sl_between_strings (treble, bass, s, n) * upright, edge - SL_COVERAGE * hypot (u, hand)));
    }
  sl_cut_line (safe, n, pass_treble, pass_bass);
  *pass_treble = sl_round_cut (shop, MIN (treble, *pass_treble / upright));
  *pass_bass = sl_round_cut (shop, MIN (bass, *pass_bass / upright));
}

SlBlock
sl_cutting_block (const SlFit *fit)
{
  return fit->n_suspects > 0                         ? SL_BLOCK_READING
         : fit->doubt.found && !fit->doubt.confirmed ? SL_BLOCK_WORK
                                                     : SL_BLOCK_NONE;
}

double
sl_heel_wedge (const SlInstrument *instrument, const SlState *state, int string, double drop_mm, double heel_mm)
{
  return drop_mm * heel_mm /
         (instrument->scale[string - 1] + state->setback[string - 1] - instrument->x[string - 1][instrument->joint]);
}

void
sl_cut_line (const double *room, int n_strings, double *treble, double *bass)
{
  double over = 0;

  *treble = room[0];
  *bass = room[n_strings - 1];
  for (int s = 1; s <= n_strings; s++)
    over = MAX (over, sl_between_strings (*treble, *bass, s, n_strings) - room[s - 1]);
  *treble = MAX (0, *treble - over);
  *bass = MAX (0, *bass - over);
  /* Where an end was raised to 0 the line is above what it was: turn it about that end until no string is cut below
   * its target. */
  for (int s = 1; s <= n_strings; s++)
    {
      const double t = sl_bass_share (s, n_strings), spare = MAX (0, room[s - 1]);

      if (sl_between_strings (*treble, *bass, s, n_strings) <= spare + 1e-12)
        continue;
      if (*treble == 0)
        *bass = MIN (*bass, spare / t);
      else
        *treble = MIN (*treble, MAX (0, spare - t * *bass) / (1 - t));
    }
}

void
sl_base_cut (const SlInstrument *instrument, const SlState *state, const SlShop *shop, SlBaseCut *out)
{
  const int n = instrument->n_strings;
  const double upright = cos (instrument->saddle_lean_rad);
  double needs[SL_MAX_STRINGS];

  *out = (SlBaseCut){ 0 };
  for (int s = 1; s <= n; s++)
    needs[s - 1] = sl_need (instrument, state, s, NULL);
  if (instrument->adjust == SL_ADJUST_SCREWS)
    return;
  sl_cut_line (needs, n, &out->treble, &out->bass);
  out->treble /= upright;
  out->bass /= upright;
  sl_base_pass (instrument, state, shop, out->bass, out->treble, &out->first_pass_bass, &out->first_pass_treble);
}

/* ---- the order of work ---- */

/* Why @first can't be done before @second. */
static SlObjection
order_objection (const SlOperation *first, const SlOperation *second)
{
  if ((sl_operations[first->kind].cuts && is_fretwork (second)) ||
      (first->kind == SL_OP_LEVEL_FRETS && second->kind == SL_OP_REPLACE_FRETS))
    return SL_OBJECTION_FRETS_FIRST;
  if (sl_operations[first->kind].cuts && second->kind == SL_OP_TURN_ROD)
    return SL_OBJECTION_ROD_FIRST;
  if (first->kind == SL_OP_SHAPE_CREST && second->kind == SL_OP_CUT_SADDLE_BASE)
    return SL_OBJECTION_BASE_FIRST;
  if (first->kind == SL_OP_MOVE_CREST && second->kind != SL_OP_MOVE_CREST && second->kind != SL_OP_BENCH_STEP)
    return SL_OBJECTION_CRESTS_LAST;
  return SL_OBJECTION_NONE;
}

SlObjection
sl_plan_move_objection (const GArray *plan, guint from, guint to)
{
  const SlOperation *moved = &g_array_index (plan, SlOperation, from);

  g_return_val_if_fail (from < plan->len && to < plan->len, SL_OBJECTION_NONE);
  if (from == to)
    return SL_OBJECTION_NONE;
  if (moved->done != NULL)
    return SL_OBJECTION_DONE;
  for (guint i = MIN (from, to); i <= MAX (from, to); i++)
    {
      const SlOperation *other = &g_array_index (plan, SlOperation, i);
      SlObjection objection;

      if (i == from)
        continue;
      if (to < from && other->done != NULL)
        return SL_OBJECTION_BEFORE_DONE;
      objection = to < from ? order_objection (moved, other) : order_objection (other, moved);
      if (objection != SL_OBJECTION_NONE)
        return objection;
    }
  return SL_OBJECTION_NONE;
}

SlObjection
sl_plan_move (GArray *plan, guint from, guint to)
{
  const SlObjection objection = sl_plan_move_objection (plan, from, to);
  SlOperation moved;

  if (objection != SL_OBJECTION_NONE || from == to)
    return objection;
  moved = g_array_index (plan, SlOperation, from);
  /* taken out without freeing what it holds: the array's own removal would */
  for (guint i = from; i < to; i++)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i + 1);
  for (guint i = from; i > to; i--)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i - 1);
  g_array_index (plan, SlOperation, to) = moved;
  return SL_OBJECTION_NONE;
}
