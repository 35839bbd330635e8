/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/work/work.h"

#include "setup/physics/frets.h"

SlWant
sl_want (const SlInstrument *instrument, const SlState *state, int string, int fret)
{
  SlWant want;
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (instrument, state, string, &s);
  sl_gap_gradient (&s, 0, fret, g);
  const double per_gap = 1 / g[fret == 1 ? SL_P_NUT : SL_P_CREST];

  want.target = sl_gap_target (instrument, string, fret, &want.tolerance);
  want.gap = sl_gap (&s, 0, fret);
  want.over = want.gap - want.target;
  want.by = want.over * per_gap;
  want.edge = want.by + want.tolerance * per_gap;
  want.u = sl_string_u (&s, g) * per_gap;
  return want;
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
  const SlWant want = sl_want (instrument, state, string, 1);

  return sl_first_pass (&hand, by, want.edge, hypot (want.u, sl_work_u (&shop->work, SL_OP_LOWER_SLOT, by)));
}

double
sl_crest_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by)
{
  const SlWant want = sl_want (instrument, state, string, SL_OCTAVE_FRET);

  return sl_first_pass (shop, by, want.edge, hypot (want.u, sl_work_u (&shop->work, SL_OP_SHAPE_CREST, by)));
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
      const SlWant want = sl_want (instrument, state, s, SL_OCTAVE_FRET);

      safe[s - 1] = MAX (
          0, MIN (sl_between_strings (treble, bass, s, n) * upright, want.edge - SL_COVERAGE * hypot (want.u, hand)));
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
    needs[s - 1] = sl_want (instrument, state, s, SL_OCTAVE_FRET).by;
  if (instrument->adjust == SL_ADJUST_SCREWS)
    return;
  sl_cut_line (needs, n, &out->treble, &out->bass);
  out->treble /= upright;
  out->bass /= upright;
  sl_base_pass (instrument, state, shop, out->bass, out->treble, &out->first_pass_bass, &out->first_pass_treble);
}

/* ---- the order of work ---- */

#define BIT(kind) (1u << (kind))
#define CUTS (BIT (SL_OP_LOWER_SLOT) | BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_SHAPE_CREST))
#define FITS (CUTS | BIT (SL_OP_MAKE_NUT) | BIT (SL_OP_MAKE_SADDLE) | BIT (SL_OP_MOVE_SADDLE)) /* nut or saddle */
#define ANGLE BIT (SL_OP_SET_NECK_ANGLE)
#define ROD BIT (SL_OP_TURN_ROD)

/* Why one of some kinds can't be done before one of others: the first row that fits. */
static const struct
{
  guint first, second;
  SlObjection objection;
} rules[] = {
  { FITS, SL_FRETWORK, SL_OBJECTION_FRETS_FIRST },
  { BIT (SL_OP_LEVEL_FRETS), BIT (SL_OP_REPLACE_FRETS), SL_OBJECTION_FRETS_FIRST },
  { FITS | ANGLE | ROD, BIT (SL_OP_FIT_STRINGS), SL_OBJECTION_STRINGS_FIRST },
  { FITS | ANGLE, ROD, SL_OBJECTION_ROD_FIRST },
  { FITS, ANGLE, SL_OBJECTION_NECK_FIRST },
  { BIT (SL_OP_SHAPE_CREST) | BIT (SL_OP_CUT_SADDLE_BASE), BIT (SL_OP_MAKE_SADDLE), SL_OBJECTION_NEW_FIRST },
  { BIT (SL_OP_LOWER_SLOT), BIT (SL_OP_MAKE_NUT), SL_OBJECTION_NEW_FIRST },
  { BIT (SL_OP_SHAPE_CREST), BIT (SL_OP_CUT_SADDLE_BASE), SL_OBJECTION_BASE_FIRST },
  { SL_ALONG, ~(SL_ALONG | BIT (SL_OP_BENCH_STEP)), SL_OBJECTION_CRESTS_LAST },
  { BIT (SL_OP_MOVE_CREST), BIT (SL_OP_SHIFT_BRIDGE), SL_OBJECTION_CRESTS_LAST },
};

static SlObjection
order_objection (const SlOperation *first, const SlOperation *second)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rules); i++)
    if ((rules[i].first >> first->kind & 1) != 0 && (rules[i].second >> second->kind & 1) != 0)
      return rules[i].objection;
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
