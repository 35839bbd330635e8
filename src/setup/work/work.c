/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/work/work.h"

#include "setup/physics/frets.h"
#include "setup/profile/bounds.h"

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

static gboolean
is_fretwork (const SlOperation *operation)
{
  return operation->kind == SL_OP_LEVEL_FRETS || operation->kind == SL_OP_REPLACE_FRETS;
}

static gboolean
moves_along (const SlOperation *operation)
{
  return operation->kind == SL_OP_MOVE_CREST || operation->kind == SL_OP_SHIFT_BRIDGE;
}

/* Why @first can't be done before @second. */
static SlObjection
order_objection (const SlOperation *first, const SlOperation *second)
{
  const gboolean takes_off = sl_operations[first->kind].cuts,
                 fits = takes_off || sl_operations[first->kind].makes || first->kind == SL_OP_MOVE_SADDLE,
                 angles = first->kind == SL_OP_SET_NECK_ANGLE,
                 saddle = first->kind == SL_OP_SHAPE_CREST || first->kind == SL_OP_CUT_SADDLE_BASE;

  if ((fits && is_fretwork (second)) || (first->kind == SL_OP_LEVEL_FRETS && second->kind == SL_OP_REPLACE_FRETS))
    return SL_OBJECTION_FRETS_FIRST;
  if ((fits || angles || first->kind == SL_OP_TURN_ROD) && second->kind == SL_OP_FIT_STRINGS)
    return SL_OBJECTION_STRINGS_FIRST;
  if ((fits || angles) && second->kind == SL_OP_TURN_ROD)
    return SL_OBJECTION_ROD_FIRST;
  if (fits && second->kind == SL_OP_SET_NECK_ANGLE)
    return SL_OBJECTION_NECK_FIRST;
  if ((saddle && second->kind == SL_OP_MAKE_SADDLE) ||
      (first->kind == SL_OP_LOWER_SLOT && second->kind == SL_OP_MAKE_NUT))
    return SL_OBJECTION_NEW_FIRST;
  if (first->kind == SL_OP_SHAPE_CREST && second->kind == SL_OP_CUT_SADDLE_BASE)
    return SL_OBJECTION_BASE_FIRST;
  if ((moves_along (first) && !moves_along (second) && second->kind != SL_OP_BENCH_STEP) ||
      (first->kind == SL_OP_MOVE_CREST && second->kind == SL_OP_SHIFT_BRIDGE))
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
