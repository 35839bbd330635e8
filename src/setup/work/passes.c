/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gates and first passes of a plan's operations (model 4.4, 6.1). */

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/profile/construction.h"
#include "setup/work/propose-private.h"

#define MOVED_SHARE 0.5 /* of a tolerance: what a turn of the rod moves further is read before it is cut for */

/* The instrument on its way through the plan. */
typedef struct
{
  const SlAnalysis *a;
  const SlInstrument *in;
  SlState state;
  double gap_moved[SL_MAX_STRINGS], action_moved[SL_MAX_STRINGS]; /* by turns nobody has read since, mm */
  gboolean levelled;                                              /* crowns came down since the readings, or are to */
  gboolean saddle_met;                                            /* a saddle's first operation was met */
  gboolean saddle_short;                                          /* the saddle can't come down as far as wanted */
  gboolean rod_awaited;                                           /* a rod that did nothing is to be seen to */
} Walk;

/* ---- what gates there are ---- */

#define BIT(kind) (1u << (kind))
#define SADDLE                                                                                                         \
  (BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_SHAPE_CREST) | BIT (SL_OP_MOVE_SADDLE) | BIT (SL_OP_MAKE_SADDLE))
#define BENDS (BIT (SL_OP_TURN_ROD) | BIT (SL_OP_FIT_STRINGS)) /* the neck, by how much is read */

static gboolean
is_one_of (const SlOperation *op, guint kinds)
{
  return (BIT (op->kind) & kinds) != 0;
}

/* Whether it takes something off that can't be put back. */
static gboolean
takes_off (const SlInstrument *in, const SlOperation *op)
{
  const SlSaddleTraits *saddle = &sl_saddles[in->adjust];

  return sl_operations[op->kind].cuts && !(saddle->goes_up && saddle->work == op->kind);
}

/* Whether nut or saddle are spent or made for what was read, or the neck is set for it. */
static gboolean
commits (const SlInstrument *in, const SlOperation *op)
{
  return takes_off (in, op) || sl_operations[op->kind].makes || op->kind == SL_OP_SET_NECK_ANGLE;
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
    case SL_OP_MAKE_SADDLE:
      if (!fit->state.exposure_read) /* it stands higher by as much as it stands out further */
        return TRUE;
      G_GNUC_FALLTHROUGH;
    case SL_OP_CUT_SADDLE_BASE:
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SET_NECK_ANGLE: return fit->action_assumed[0] || fit->action_assumed[last];
    default: return FALSE;
    }
}

static gboolean
reading_gate (const SlAnalysis *a, const SlOperation *op)
{
  const gboolean spent = commits (&a->instrument, op);

  /* pitch is set last of all, and read anew for it; strings go by no reading */
  if (is_one_of (op, SL_ALONG | BIT (SL_OP_FIT_STRINGS)))
    return FALSE;
  if (spent || is_one_of (op, SL_FRETWORK) ? sl_cutting_block (&a->fit) != SL_BLOCK_NONE : relief_doubted (a))
    return TRUE;
  /* nobody files before the rod was looked at */
  return sl_operation_unread (a, op) || (spent && sl_has_work (&a->instrument, SL_OP_TURN_ROD) && relief_unread (a));
}

static gboolean
rod_gate (const Walk *w, const SlOperation *op)
{
  const double gap_most = MOVED_SHARE * w->in->first_gap_tolerance, most = MOVED_SHARE * w->in->action_tolerance;

  if (op->kind == SL_OP_LOWER_SLOT)
    return w->gap_moved[op->string - 1] > gap_most;
  if (op->kind == SL_OP_SHAPE_CREST)
    return w->action_moved[op->string - 1] > most;
  for (int i = 0; i < op->n_ends && op->kind == SL_OP_MAKE_NUT; i++)
    if (w->gap_moved[op->ends[i].string - 1] > gap_most)
      return TRUE;
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
  const gboolean spent = commits (w->in, op), fitted = spent && op->kind != SL_OP_SET_NECK_ANGLE;
  const gboolean rod = op->kind == SL_OP_TURN_ROD ? w->rod_awaited : spent && rod_gate (w, op);
  const gboolean raised[SL_N_GATES] = {
    [SL_GATE_READING] = reading_gate (w->a, op),
    [SL_GATE_AIR] = w->a->air.state != SL_AIR_SETTLED,
    [SL_GATE_NECK_ANGLE] = fitted && is_one_of (op, SADDLE) && w->saddle_short && !(rod && w->rod_awaited),
    [SL_GATE_FRETS] = fitted && w->levelled,
    [SL_GATE_ROD] = rod,
  };
  static const SlGate order[] = { SL_GATE_READING, SL_GATE_AIR, SL_GATE_NECK_ANGLE, SL_GATE_FRETS, SL_GATE_ROD };

  if (is_one_of (op, BIT (SL_OP_BENCH_STEP) | BIT (SL_OP_FIT_STRINGS)))
    return SL_GATE_NONE;
  for (gsize i = 0; i < G_N_ELEMENTS (order); i++)
    if (raised[order[i]] && !(passed >> order[i] & 1))
      return order[i];
  return SL_GATE_NONE;
}

/* ---- first passes ---- */

/* Of what stands at the crest of a string for its action, or at the nut for its first gap, the hand's @hand_mm
 * included. */
static double
height_u (const Walk *w, int string, int fret, double hand_mm)
{
  return hypot (sl_want (w->in, &w->state, string, fret).u, hand_mm);
}

static double
crest_u (const Walk *w, int string, double hand_mm)
{
  return height_u (w, string, SL_OCTAVE_FRET, hand_mm);
}

static double
pitch_u (const Walk *w, int string)
{
  SlStringState s;

  sl_state_string (w->in, &w->state, string, &s);
  return sl_crest_move_u (sl_open_length (&s), w->a->set, string);
}

static void
base_pass (const Walk *w, const SlOperation *op, SlPass *out)
{
  const int n = w->in->n_strings;
  const double upright = cos (w->in->saddle_lean_rad);
  const double bass = sl_number_or (op->amount, 0), treble = sl_number_or (op->amount_treble, 0);
  const SlWorkUncertainty *work = &w->a->shop.work;

  sl_base_pass (w->in, &w->state, &w->a->shop, bass, treble, &out->pass, &out->pass_treble);
  out->u = hypot (crest_u (w, n, 0) / upright, sl_work_u (work, op->kind, bass));
  out->u_treble = hypot (crest_u (w, 1, 0) / upright, sl_work_u (work, op->kind, treble));
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

      if (is_one_of (op, SADDLE | BIT (SL_OP_SET_NECK_ANGLE)) && !sl_operation_is_past (op, taken))
        sl_operation_apply (w->in, op, &state);
    }
  return state;
}

static void
pass_of (const Walk *w, const GArray *plan, guint at, SlPass *out)
{
  const SlOperation *op = &g_array_index (plan, SlOperation, at);
  const SlWorkUncertainty *work = &w->a->shop.work;
  const double by = sl_number_or (op->amount, 0), hand = sl_work_u (work, op->kind, by),
               treble_hand = sl_work_u (work, op->kind, sl_number_or (op->amount_treble, 0));
  const int n = w->in->n_strings;
  SlState finished;

  switch (op->kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_TURN_ROD: out->u = hand; break;
    case SL_OP_LOWER_SLOT:
      finished = saddle_done (w, plan, at);
      out->u = height_u (w, op->string, 1, hand);
      out->pass = sl_slot_pass (w->in, &finished, &w->a->shop, op->string, by);
      break;
    case SL_OP_CUT_SADDLE_BASE: base_pass (w, op, out); break;
    case SL_OP_SHAPE_CREST:
      out->u = crest_u (w, op->string, hand);
      if (takes_off (w->in, op))
        out->pass = sl_crest_pass (w->in, &w->state, &w->a->shop, op->string, by);
      break;
    case SL_OP_MOVE_CREST: out->u = pitch_u (w, op->string); break;
    case SL_OP_SHIFT_BRIDGE:
      out->u = pitch_u (w, n);
      out->u_treble = pitch_u (w, 1);
      break;
    case SL_OP_SET_NECK_ANGLE: out->u = MAX (crest_u (w, 1, hand), crest_u (w, n, hand)); break;
    case SL_OP_MOVE_SADDLE:
      out->u = crest_u (w, n, hand);
      out->u_treble = crest_u (w, 1, treble_hand);
      break;
    case SL_OP_MAKE_SADDLE: /* the exposure that is set, to go by what it is now */
      out->u = hypot (crest_u (w, n, work->base_mm), w->state.exposure_u[n - 1]);
      out->u_treble = hypot (crest_u (w, 1, work->base_mm), w->state.exposure_u[0]);
      break;
    case SL_OP_MAKE_NUT:
      for (int i = 0; i < op->n_ends; i++) /* fmax() takes the number where the other is NAN */
        out->u = fmax (out->u, height_u (w, op->ends[i].string, 1, work->slot_mm));
      break;
    default: break;
    }
}

/* ---- the walk ---- */

/* Whether a zero fret is to be dressed, for a string that still lies too high over fret 1 with the saddle done: it is
 * a crown to come down, whoever does it, and no plan may hold the step (sl_find_limits()). */
static gboolean
zero_fret_high (const Walk *w, const GArray *plan, guint at)
{
  const SlState finished = saddle_done (w, plan, at - 1);

  for (int s = 1; s <= w->in->n_strings && w->in->nut_kind == SL_NUT_ZERO_FRET; s++)
    {
      const SlWant want = sl_want (w->in, &finished, s, 1);

      if (!sl_fit_assumes (&w->a->fit, s, 1) && want.over > want.tolerance + SL_EDGE_MM &&
          sl_zero_fret_over (w->in, &finished, s) - want.by >= -SL_CROWN_TOLERANCE_MM)
        return TRUE;
    }
  return FALSE;
}

static void
note_bent (Walk *w, const SlOperation *turn, gboolean gaps, gboolean actions)
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
  return op->kind == SL_OP_LEVEL_FRETS &&
         (op->frets == 0 || (op->frets & sl_fret_bits (1, last)) != 0 || sl_moves_zero_fret (op));
}

/* Turns, other strings and levelled crowns that the last readings come after, but of which nobody has read since what
 * they move. */
static void
note_unread_work (Walk *w)
{
  const SlVisit *visit = w->a->visit;

  SL_EACH (const SlOperation, op, visit != NULL && w->a->set != NULL ? visit->plan : NULL)
    {
      if (op->done == NULL || !sl_operation_is_past (op, w->a->set->taken))
        continue;
      const gboolean bends = is_one_of (op, BENDS), relief = bends && read_since (w, op, SL_READ_RELIEF, FALSE);

      if (op->kind == SL_OP_FIT_STRINGS)
        sl_strings_before (w->in, w->a->profile, visit, op, &w->state);
      if (bends)
        note_bent (w, op, !relief || !read_since (w, op, SL_READ_FIRST_GAP, FALSE),
                   !relief || !read_since (w, op, SL_READ_ACTION, FALSE));
      if (moves_crowns (w, op) && !read_since (w, op, SL_READ_FIRST_GAP, TRUE) &&
          !read_since (w, op, SL_READ_ACTION, TRUE))
        w->levelled = TRUE;
    }
  memcpy (w->state.unit_mass, w->a->measured.unit_mass, sizeof w->state.unit_mass);
}

/* What a rod would have to do that doesn't: until it is seen to, that may still move everything, as a turn does. */
static void
note_still_rod (Walk *w)
{
  const SlOperation turn =
      sl_operation_of (SL_OP_TURN_ROD, 0, w->in->target_relief - sl_state_mean_relief (&w->state), NAN);

  w->rod_awaited = sl_rod_is_awaited (w->a, &w->state);
  if (w->rod_awaited)
    note_bent (w, &turn, TRUE, TRUE);
}

static void
walk_on (Walk *w, const SlOperation *op)
{
  if (is_one_of (op, BENDS))
    note_bent (w, op, TRUE, TRUE);
  w->levelled = w->levelled || moves_crowns (w, op);
  sl_operation_carry (w->in, op, &w->a->shop.work, &w->state);
}

/* Behind a gate nothing comes off; what takes nothing off has no first pass. */
static void
close (const Walk *w, const SlOperation *op, SlPass *out)
{
  if (out->gate == SL_GATE_NONE)
    return;
  if (takes_off (w->in, op) || op->kind == SL_OP_LEVEL_FRETS)
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
  note_still_rod (&w);
  for (guint i = 0; i < plan->len; i++)
    {
      const SlOperation *op = &g_array_index (plan, SlOperation, i);
      SlPass *out = &passes[i];

      *out = (SlPass){ .pass = NAN, .pass_treble = NAN, .u = NAN, .u_treble = NAN };
      if (sl_operation_is_past (op, taken))
        continue;
      if (op->done == NULL)
        {
          if (!w.saddle_met && is_one_of (op, SADDLE))
            {
              w.saddle_met = TRUE;
              w.saddle_short = sl_saddle_short (analysis, &w.state, NULL) > 0;
              w.levelled = w.levelled || zero_fret_high (&w, plan, i);
            }
          pass_of (&w, plan, i, out);
          out->gate = gate_of (&w, op);
          close (&w, op, out);
        }
      walk_on (&w, op);
    }
}
