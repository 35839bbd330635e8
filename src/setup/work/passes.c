/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gates and first passes of a plan's operations (model 4.4, 6.1). */

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/profile/bounds.h"
#include "setup/work/propose-private.h"

#define MOVED_SHARE 0.5 /* of a tolerance: what a turn of the rod moves further is read before it is cut for */

/* The instrument on its way through the plan. */
typedef struct
{
  const SlAnalysis *a;
  const SlInstrument *in;
  SlState state;
  double gap_moved[SL_MAX_STRINGS], action_moved[SL_MAX_STRINGS]; /* by turns nobody has read since, mm */
  gboolean levelled;                                              /* crowns came down since the readings, or will */
  gboolean saddle_met;                                            /* a saddle's first operation was met */
  gboolean saddle_short;                                          /* the saddle can't come down as far as wanted */
} Walk;

/* ---- what gates there are ---- */

static gboolean
on_screws (const SlInstrument *in, const SlOperation *op)
{
  return op->kind == SL_OP_SHAPE_CREST && in->adjust == SL_ADJUST_SCREWS;
}

static gboolean
relief_doubted (const SlAnalysis *a)
{
  for (guint i = 0; i < a->fit.n_readings; i++)
    if (a->fit.readings[i].suspect && g_array_index (a->set->readings, SlReading, i).kind == SL_READ_RELIEF)
      return TRUE;
  return FALSE;
}

static gboolean
relief_unread (const SlAnalysis *a)
{
  return a->fit.relief_assumed_treble && a->fit.relief_assumed_bass;
}

gboolean
sl_operation_unread (const SlAnalysis *a, const SlOperation *op)
{
  const int s = op->string - 1, last = a->instrument.n_strings - 1;
  const SlFit *fit = &a->fit;

  switch (op->kind)
    {
    case SL_OP_TURN_ROD: return relief_unread (a);
    case SL_OP_LOWER_SLOT: return fit->first_gap_assumed[s];
    case SL_OP_SHAPE_CREST: return fit->action_assumed[s];
    case SL_OP_CUT_SADDLE_BASE: return fit->action_assumed[0] || fit->action_assumed[last];
    default: return FALSE;
    }
}

static gboolean
reading_gate (const SlAnalysis *a, const SlOperation *op)
{
  const gboolean takes_off = (sl_operations[op->kind].cuts && !on_screws (&a->instrument, op)) ||
                             op->kind == SL_OP_LEVEL_FRETS || op->kind == SL_OP_REPLACE_FRETS;

  /* pitch is set last of all, and read anew for it */
  if (op->kind == SL_OP_MOVE_CREST)
    return FALSE;
  if (takes_off ? sl_cutting_block (&a->fit) != SL_BLOCK_NONE : relief_doubted (a))
    return TRUE;
  /* nobody files before the rod was looked at */
  return sl_operation_unread (a, op) || (takes_off && sl_operations[op->kind].cuts && relief_unread (a));
}

static gboolean
rod_gate (const Walk *w, const SlOperation *op)
{
  const double gap_most = MOVED_SHARE * w->in->first_gap_tolerance, most = MOVED_SHARE * w->in->action_tolerance;

  if (op->kind == SL_OP_LOWER_SLOT)
    return w->gap_moved[op->string - 1] > gap_most;
  if (op->kind == SL_OP_SHAPE_CREST)
    return w->action_moved[op->string - 1] > most;
  for (int s = 1; s <= w->in->n_strings; s++)
    if (w->action_moved[s - 1] > most)
      return TRUE;
  return FALSE;
}

/* The first thing to be dealt with that keeps an operation from being done. */
static SlGate
gate_of (const Walk *w, const SlOperation *op)
{
  const guint64 passed = w->a->visit != NULL ? w->a->visit->passed : 0;
  const gboolean saddle = op->kind == SL_OP_CUT_SADDLE_BASE || op->kind == SL_OP_SHAPE_CREST,
                 cuts = sl_operations[op->kind].cuts && !on_screws (w->in, op);
  const gboolean raised[SL_N_GATES] = {
    [SL_GATE_READING] = reading_gate (w->a, op),
    [SL_GATE_AIR] = w->a->air.state != SL_AIR_SETTLED,
    [SL_GATE_NECK_ANGLE] = saddle && cuts && w->saddle_short,
    [SL_GATE_FRETS] = cuts && w->levelled,
    [SL_GATE_ROD] = cuts && rod_gate (w, op),
  };
  static const SlGate order[] = { SL_GATE_READING, SL_GATE_AIR, SL_GATE_NECK_ANGLE, SL_GATE_FRETS, SL_GATE_ROD };

  if (op->kind == SL_OP_BENCH_STEP)
    return SL_GATE_NONE;
  for (gsize i = 0; i < G_N_ELEMENTS (order); i++)
    if (raised[order[i]] && !(passed >> order[i] & 1))
      return order[i];
  return SL_GATE_NONE;
}

/* ---- first passes ---- */

static double
pitch_u (const Walk *w, int string)
{
  SlStringState s;

  sl_state_string (w->in, &w->state, string, &s);
  return sl_crest_move_u (sl_open_length (&s), w->a->set);
}

static void
base_pass (const Walk *w, const SlOperation *op, SlPass *out)
{
  const int n = w->in->n_strings;
  const double upright = cos (w->in->saddle_lean_rad);
  const double bass = sl_number_or (op->amount, 0), treble = sl_number_or (op->amount_treble, 0);
  const SlWorkUncertainty *work = &w->a->shop.work;
  double u;

  sl_base_pass (w->in, &w->state, &w->a->shop, bass, treble, &out->pass, &out->pass_treble);
  sl_need (w->in, &w->state, n, &u);
  out->u = hypot (u / upright, sl_work_u (work, op->kind, bass));
  sl_need (w->in, &w->state, 1, &u);
  out->u_treble = hypot (u / upright, sl_work_u (work, op->kind, treble));
}

/* The instrument as it is now with the saddle done as planned behind the operation at @at: a crest that comes down
 * takes some of the gap that a slot is cut for. */
static SlState
saddle_done (const Walk *w, const GArray *plan, guint at)
{
  const char *taken = w->a->set != NULL ? w->a->set->taken : NULL;
  SlState state = w->state;

  for (guint i = at + 1; i < plan->len; i++)
    {
      const SlOperation *op = &g_array_index (plan, SlOperation, i);

      if ((op->kind == SL_OP_CUT_SADDLE_BASE || op->kind == SL_OP_SHAPE_CREST) && !sl_operation_is_past (op, taken))
        sl_operation_apply (w->in, op, &state);
    }
  return state;
}

static void
slot_pass (const Walk *w, const GArray *plan, guint at, SlPass *out)
{
  const SlOperation *op = &g_array_index (plan, SlOperation, at);
  const SlState finished = saddle_done (w, plan, at);
  const double by = sl_number_or (op->amount, 0);
  double u;

  sl_slot_need (w->in, &w->state, op->string, &u, NULL);
  out->u = hypot (u, sl_work_u (&w->a->shop.work, op->kind, by));
  out->pass = sl_slot_pass (w->in, &finished, &w->a->shop, op->string, by);
}

static void
pass_of (const Walk *w, const GArray *plan, guint at, SlPass *out)
{
  const SlOperation *op = &g_array_index (plan, SlOperation, at);
  const double by = sl_number_or (op->amount, 0), hand = sl_work_u (&w->a->shop.work, op->kind, by);
  double u;

  switch (op->kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_TURN_ROD: out->u = hand; break;
    case SL_OP_LOWER_SLOT: slot_pass (w, plan, at, out); break;
    case SL_OP_CUT_SADDLE_BASE: base_pass (w, op, out); break;
    case SL_OP_SHAPE_CREST:
      sl_need (w->in, &w->state, op->string, &u);
      out->u = hypot (u, hand);
      if (!on_screws (w->in, op))
        out->pass = sl_crest_pass (w->in, &w->state, &w->a->shop, op->string, by);
      break;
    case SL_OP_MOVE_CREST: out->u = pitch_u (w, op->string); break;
    default: break;
    }
}

/* ---- the walk ---- */

static void
note_turn (Walk *w, const SlOperation *turn, gboolean gaps, gboolean actions)
{
  SlState after = w->state;

  sl_operation_apply (w->in, turn, &after);
  for (int s = 1; s <= w->in->n_strings; s++)
    {
      if (gaps)
        w->gap_moved[s - 1] += fabs (sl_state_gap (w->in, &after, s, 1) - sl_state_gap (w->in, &w->state, s, 1));
      if (actions)
        w->action_moved[s - 1] +=
            fabs (sl_state_gap (w->in, &after, s, SL_OCTAVE_FRET) - sl_state_gap (w->in, &w->state, s, SL_OCTAVE_FRET));
    }
}

/* Whether the sets since an operation was done, up to the last, read something of a kind at pitch: below both outer
 * strings, or @anywhere. */
static gboolean
read_since (const Walk *w, const SlOperation *op, SlReadingKind kind, gboolean anywhere)
{
  gboolean treble = FALSE, bass = FALSE;

  SL_EACH (const SlReadingSet, set, w->a->visit->sets)
    {
      if (sl_operation_is_past (op, set->taken))
        {
          treble = treble || sl_read_at_pitch (set, kind, anywhere ? 0 : 1);
          bass = bass || sl_read_at_pitch (set, kind, anywhere ? 0 : w->in->n_strings);
        }
      if (set == w->a->set)
        break;
    }
  return treble && bass;
}

/* Whether crowns come down that slots and saddle are cut for, rather than only some further up. */
static gboolean
moves_crowns (const Walk *w, const SlOperation *op)
{
  const int last = MAX (w->in->joint, SL_OCTAVE_FRET);

  if (op->kind == SL_OP_REPLACE_FRETS)
    return op->from <= last;
  return op->kind == SL_OP_LEVEL_FRETS && (op->frets == 0 || (op->frets & sl_fret_bits (1, last)) != 0);
}

/* Turns and levelled crowns that the last readings come after, but of which nobody has read since what they move. */
static void
note_unread_work (Walk *w)
{
  const SlVisit *visit = w->a->visit;

  SL_EACH (const SlOperation, op, visit != NULL && w->a->set != NULL ? visit->plan : NULL)
    {
      if (op->done == NULL || !sl_operation_is_past (op, w->a->set->taken))
        continue;
      const gboolean relief = op->kind == SL_OP_TURN_ROD && read_since (w, op, SL_READ_RELIEF, FALSE);

      if (op->kind == SL_OP_TURN_ROD)
        note_turn (w, op, !relief || !read_since (w, op, SL_READ_FIRST_GAP, FALSE),
                   !relief || !read_since (w, op, SL_READ_ACTION, FALSE));
      if (moves_crowns (w, op) && !read_since (w, op, SL_READ_FIRST_GAP, TRUE) &&
          !read_since (w, op, SL_READ_ACTION, TRUE))
        w->levelled = TRUE;
    }
}

static void
walk_on (Walk *w, const SlOperation *op)
{
  if (op->kind == SL_OP_TURN_ROD)
    note_turn (w, op, TRUE, TRUE);
  w->levelled = w->levelled || moves_crowns (w, op);
  sl_operation_carry (w->in, op, &w->a->shop.work, &w->state);
}

/* Behind a gate nothing comes off; what takes nothing off has no first pass. */
static void
close (const Walk *w, const SlOperation *op, SlPass *out)
{
  if (out->gate == SL_GATE_NONE)
    return;
  if ((sl_operations[op->kind].cuts && !on_screws (w->in, op)) || op->kind == SL_OP_LEVEL_FRETS)
    out->pass = 0;
  if (op->kind == SL_OP_CUT_SADDLE_BASE)
    out->pass_treble = 0;
}

void
sl_plan_passes (const SlAnalysis *analysis, const GArray *plan, SlPass *passes)
{
  Walk w = { .a = analysis, .in = &analysis->instrument, .state = analysis->measured };
  const char *taken = analysis->set != NULL ? analysis->set->taken : NULL;

  note_unread_work (&w);
  for (guint i = 0; i < plan->len; i++)
    {
      const SlOperation *op = &g_array_index (plan, SlOperation, i);
      SlPass *out = &passes[i];

      *out = (SlPass){ .pass = NAN, .pass_treble = NAN, .u = NAN, .u_treble = NAN };
      if (sl_operation_is_past (op, taken))
        continue;
      if (op->done == NULL)
        {
          if (!w.saddle_met && (op->kind == SL_OP_CUT_SADDLE_BASE || op->kind == SL_OP_SHAPE_CREST))
            {
              w.saddle_met = TRUE;
              w.saddle_short = sl_saddle_short (analysis, &w.state, NULL) > 0;
            }
          pass_of (&w, plan, i, out);
          out->gate = gate_of (&w, op);
          close (&w, op, out);
        }
      walk_on (&w, op);
    }
}
