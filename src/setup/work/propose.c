/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan proposal (model 6). Steps are worked out in the order they are done, each from the state the ones before
 * leave, and only for what is out of range. Slots and crests depend on each other (a crest that comes down takes some
 * of the first gap with it), so both are found together and the slots are cut only as deep as the finished job wants
 * them. */

#include "setup/physics/forces.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/bounds.h"
#include "setup/work/propose-private.h"

#define LEAST_ROD_TURN_MM 0.02 /* a smaller change of relief is no more than a feeler's step: our own choice */
#define LEAST_CREST_MOVE_MM 0.05
#define PITCH_STEP_MM 0.01
#define COUPLING_ROUNDS 8 /* slots and crests feed back by about x_1/x_s each round: 8 rounds are below 1e-9 mm */

/* An amount that a document takes: readings gone astray may ask for more than any work does. */
static double
within (SlOperationKind kind, double amount)
{
  const SlBound *bound = &sl_operations[kind].bound;

  return CLAMP (amount, bound->least, bound->most);
}

/* Says so where an amount was held back by within(). */
static void
find_limit (SlProposing *p, const SlOperation *op, SlNumber amount)
{
  const SlBound *bound = &sl_operations[op->kind].bound;

  if (op->kind != SL_OP_LEVEL_FRETS && amount.v != 0 && (amount.v <= bound->least || amount.v >= bound->most))
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_LIMIT,
                                    .string = op->string,
                                    .amount = amount.v,
                                    .work = op->kind,
                                    .values = { fabs (amount.v) } });
}

void
sl_add_step (SlProposing *p, SlOperation operation, const double because[4])
{
  SlStep step = { .operation = operation };

  find_limit (p, &operation,
              fabs (operation.amount_treble.v) > fabs (operation.amount.v) ? operation.amount_treble
                                                                           : operation.amount);

  memcpy (step.values, because, sizeof step.values);
  /* without the binary dust that 0.1 · 3 leaves */
  step.operation.amount.v = round (operation.amount.v * 1e6) / 1e6;
  step.operation.amount_treble.v = round (operation.amount_treble.v * 1e6) / 1e6;
  g_array_append_val (p->out->steps, step);
  sl_operation_carry (p->in, &step.operation, &p->a->shop.work, &p->state);
}

void
sl_insert_finding (SlProposing *p, SlFinding finding, guint before)
{
  guint at = p->out->findings->len;

  while (at > p->n_first && g_array_index (p->out->findings, SlFinding, at - 1).before > before)
    at--;
  finding.before = before;
  g_array_insert_val (p->out->findings, at, finding);
}

void
sl_add_finding (SlProposing *p, SlFinding finding)
{
  sl_insert_finding (p, finding, p->out->steps->len);
}

static SlOperation
operation_of (SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation operation = sl_operation_init (kind);

  operation.string = string;
  operation.amount = sl_number (amount);
  operation.amount_treble = sl_number (treble);
  return operation;
}

/* ---- what is out of range ---- */

/* How far a figure may be off before a step is proposed for it: its tolerance; with the shop's wish, nothing. */
static double
slack (const SlProposing *p, double tolerance)
{
  return p->a->shop.to_target > 0 ? 0 : tolerance + SL_EDGE_MM;
}

/* The least a cut of the saddle is proposed of. */
static double
least_cut (const SlProposing *p)
{
  return p->a->shop.cut_step_mm > 0 ? p->a->shop.cut_step_mm : SL_HAND_MM;
}

static gboolean
is_high (const SlProposing *p, const SlState *state, int string, int fret)
{
  double tolerance, target = sl_gap_target (p->in, string, fret, &tolerance);

  return sl_state_gap (p->in, state, string, fret) - target > slack (p, tolerance);
}

/* ---- the rod ---- */

static void
propose_rod (SlProposing *p)
{
  const double before = sl_state_mean_relief (&p->state), tolerance = p->in->relief_tolerance;
  const double least = p->in->n_strings < 2 ? p->state.u[SL_RELIEF_TREBLE]
                                            : MIN (p->state.u[SL_RELIEF_TREBLE], p->state.u[SL_RELIEF_BASS]);
  const double wanted = p->in->target_relief - before;
  /* with a side already below 0 the rod is let out until it is at 0 */
  const gboolean held_back = wanted < -least;
  const double change = within (SL_OP_TURN_ROD, held_back ? -sl_round_cut (&SL_SHOP_DEFAULT, least)
                                                          : round (wanted / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM);
  const double off = before + change - p->in->target_relief;
  const int bass = p->in->n_strings;

  if (fabs (wanted) <= slack (p, tolerance) && least >= -slack (p, tolerance))
    return;
  if (held_back && off > tolerance + SL_EDGE_MM)
    sl_add_finding (
        p,
        (SlFinding){ .kind = SL_FINDING_RELIEF, .amount = off, .values = { p->in->target_relief, before + change } });
  if (fabs (change) < LEAST_ROD_TURN_MM)
    return;

  const SlOperation turn = operation_of (SL_OP_TURN_ROD, 0, change, NAN);
  SlState turned = p->state;

  sl_operation_apply (p->in, &turn, &turned);
  sl_add_step (p, turn,
               (double[4]){ before, before + change,
                            sl_state_gap (p->in, &turned, bass, SL_OCTAVE_FRET) -
                                sl_state_gap (p->in, &p->state, bass, SL_OCTAVE_FRET) });
}

/* ---- slots and saddle ---- */

/* What the finished job wants of each string: how far slot and crest come down, in all and of the crest by dressing. */
typedef struct
{
  double slot[SL_MAX_STRINGS], crest[SL_MAX_STRINGS], dressed[SL_MAX_STRINGS];
  double treble, bass; /* base cut, along the saddle */
} Target;

static void
find_slots (const SlProposing *p, Target *t)
{
  const int n = p->in->n_strings;
  SlState state = p->state;

  for (int s = 1; s <= n; s++)
    {
      state.u[SL_NUT_HEIGHT + n + s - 1] -= t->crest[s - 1];
      double cut = is_high (p, &state, s, 1) ? sl_slot_need (p->in, &state, s, NULL, NULL) : 0;

      cut = within (SL_OP_LOWER_SLOT, sl_round_cut (&SL_SHOP_DEFAULT, MAX (0, cut)));
      /* a shop's step is one of its saddles, and only a finer one tells what its hands can do */
      t->slot[s - 1] = cut >= MIN (SL_HAND_MM, least_cut (p)) ? cut : 0;
    }
}

/* An end of the base cut as it is made. */
static double
end_cut (const SlProposing *p, double line)
{
  const double cut = within (SL_OP_CUT_SADDLE_BASE, sl_round_cut (&p->a->shop, line / cos (p->in->saddle_lean_rad)));

  return cut >= least_cut (p) ? cut : 0;
}

/* The straight cut for the outer strings that are out of range; what is in range is left alone, so far as a straight
 * cut can. */
static void
find_base (const SlProposing *p, const SlState *state, Target *t)
{
  const int n = p->in->n_strings;
  const gboolean high[2] = { is_high (p, state, 1, SL_OCTAVE_FRET), is_high (p, state, n, SL_OCTAVE_FRET) };
  double room[SL_MAX_STRINGS];

  t->treble = t->bass = 0;
  if (!high[0] && !high[1])
    return;
  for (int s = 1; s <= n; s++)
    room[s - 1] = MIN (sl_need (p->in, state, s, NULL), sl_crest_room (p->in, state, s));
  if (!high[0])
    room[0] = MIN (room[0], 0);
  if (!high[1])
    room[n - 1] = MIN (room[n - 1], 0);
  sl_cut_line (room, n, &t->treble, &t->bass);
  t->treble = end_cut (p, t->treble);
  t->bass = end_cut (p, t->bass);
}

/* What one string's crest wants beside a straight cut: down to its target, as far as the saddle allows; a screw goes
 * up, too. */
static double
find_dressing (const SlProposing *p, const SlState *state, int string)
{
  const gboolean screws = p->in->adjust == SL_ADJUST_SCREWS;
  const double off = sl_state_gap (p->in, state, string, SL_OCTAVE_FRET) - p->in->target_action[string - 1];
  const double need = sl_need (p->in, state, string, NULL);
  double by;

  if (screws ? fabs (off) <= slack (p, p->in->action_tolerance) : !is_high (p, state, string, SL_OCTAVE_FRET))
    return 0;
  by = need > 0 ? MAX (0, MIN (need, sl_crest_room (p->in, state, string))) : need;
  by = screws ? round (by / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM : sl_round_cut (&p->a->shop, by);
  /* by screws never lower than the saddle allows */
  if (screws && by > sl_crest_room (p->in, state, string))
    by -= SL_LEAST_STEP_MM;
  by = within (SL_OP_SHAPE_CREST, by);
  return fabs (by) >= least_cut (p) ? by : 0;
}

static void
find_crests (const SlProposing *p, Target *t)
{
  const int n = p->in->n_strings;
  SlState state = p->state;

  for (int s = 1; s <= n; s++)
    state.u[SL_NUT_HEIGHT + s - 1] -= t->slot[s - 1];
  t->treble = t->bass = 0;
  if (p->in->adjust != SL_ADJUST_SCREWS)
    {
      find_base (p, &state, t);
      const SlOperation cut = operation_of (SL_OP_CUT_SADDLE_BASE, 0, t->bass, t->treble);

      sl_operation_apply (p->in, &cut, &state);
    }
  for (int s = 1; s <= n; s++)
    {
      t->dressed[s - 1] = find_dressing (p, &state, s);
      t->crest[s - 1] =
          t->dressed[s - 1] + sl_between_strings (t->treble, t->bass, s, n) * cos (p->in->saddle_lean_rad);
    }
}

static void
find_target (const SlProposing *p, Target *t)
{
  *t = (Target){ 0 };
  /* screws come before any slot: what they bring into range is not filed */
  if (p->in->adjust == SL_ADJUST_SCREWS)
    find_crests (p, t);
  for (int round = 0; round < COUPLING_ROUNDS; round++)
    {
      find_slots (p, t);
      find_crests (p, t);
    }
}

static void
propose_slots (SlProposing *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    if (t->slot[s - 1] > 0)
      sl_add_step (
          p, operation_of (SL_OP_LOWER_SLOT, s, t->slot[s - 1], NAN),
          (double[4]){ sl_state_gap (p->in, &p->state, s, 1), p->in->target_first_gap[s - 1], t->crest[s - 1] > 0 });
}

static void
propose_base (SlProposing *p, const Target *t)
{
  const int n = p->in->n_strings;
  const SlOperation cut = operation_of (SL_OP_CUT_SADDLE_BASE, 0, t->bass, t->treble);
  SlState after = p->state;

  if (t->bass <= 0 && t->treble <= 0)
    return;
  sl_operation_apply (p->in, &cut, &after);
  sl_add_step (p, cut,
               (double[4]){ sl_state_gap (p->in, &p->state, n, SL_OCTAVE_FRET),
                            sl_state_gap (p->in, &after, n, SL_OCTAVE_FRET),
                            sl_state_gap (p->in, &p->state, 1, SL_OCTAVE_FRET),
                            sl_state_gap (p->in, &after, 1, SL_OCTAVE_FRET) });
}

static void
propose_dressing (SlProposing *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    if (t->dressed[s - 1] != 0)
      sl_add_step (p, operation_of (SL_OP_SHAPE_CREST, s, t->dressed[s - 1], NAN),
                   (double[4]){ sl_state_gap (p->in, &p->state, s, SL_OCTAVE_FRET), p->in->target_action[s - 1],
                                fabs (t->dressed[s - 1]) / p->in->height_screw_pitch, t->bass > 0 || t->treble > 0 });
}

/* Screws, which can be turned back, come before any file. */
static void
propose_heights (SlProposing *p)
{
  const gboolean screws = p->in->adjust == SL_ADJUST_SCREWS;
  SlState before = p->state;
  Target t;

  find_target (p, &t);
  for (int s = 1; s <= p->in->n_strings; s++)
    before.u[SL_NUT_HEIGHT + s - 1] -= t.slot[s - 1];
  sl_find_neck_angle (p, &before, t.crest[p->in->n_strings - 1], t.crest[0]);
  if (screws)
    propose_dressing (p, &t);
  propose_slots (p, &t);
  propose_base (p, &t);
  if (!screws)
    propose_dressing (p, &t);
}

/* ---- pitch ---- */

static void
propose_crest_moves (SlProposing *p)
{
  const double cents_u = sl_reading_u (p->a->set, SL_READ_PITCH);
  gboolean moved = FALSE;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      SlStringState before, after;
      double cents;

      if (!sl_tuner_cents (p->a->set, s, &cents))
        continue;
      /* the tuner read the instrument as it was; the work since and the work above change the pitch by what the model
       * says of it */
      sl_state_string (p->in, &p->a->measured, s, &before);
      sl_state_string (p->in, &p->state, s, &after);
      double expected =
          cents + sl_pitch_error (&after, SL_OCTAVE_FRET, NULL) - sl_pitch_error (&before, SL_OCTAVE_FRET, NULL);
      double by = within (SL_OP_MOVE_CREST,
                          round (sl_crest_move (sl_open_length (&after), expected) / PITCH_STEP_MM) * PITCH_STEP_MM);

      if (fabs (expected) <= slack (p, p->in->pitch_tolerance) || fabs (expected) < SL_COVERAGE * cents_u ||
          fabs (by) < LEAST_CREST_MOVE_MM)
        continue;
      sl_add_step (p, operation_of (SL_OP_MOVE_CREST, s, by, NAN),
                   (double[4]){ cents, expected, fabs (by) / p->in->length_screw_pitch });
      moved = TRUE;
    }
  if (!moved || !p->state.setback_read || !isnan (p->in->length_screw_pitch))
    return;
  double apart;

  if (sl_crests_fit (p->in, p->state.setback, &apart))
    return;
  sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_CREST_MOVE,
                                  .amount = apart - p->in->saddle_thickness,
                                  .values = { apart, p->in->saddle_thickness } });
}

/* ---- the whole ---- */

gboolean
sl_air_is_awaited (const SlAnalysis *analysis)
{
  return analysis->air.state != SL_AIR_SETTLED &&
         !(analysis->visit != NULL && analysis->visit->passed >> SL_GATE_AIR & 1);
}

/* Air comes before all work, if there is any, and before anything is made good. */
static void
settle_first (SlProposing *p)
{
  SlStep settle = { .operation = sl_operation_init (SL_OP_BENCH_STEP) };

  settle.operation.step = SL_BENCH_SETTLE;
  if (!sl_air_is_awaited (p->a) || (p->out->steps->len == 0 && p->out->findings->len == p->n_first) ||
      p->a->air.settling)
    return;
  g_array_prepend_val (p->out->steps, settle);
  for (guint i = p->n_first; i < p->out->findings->len; i++)
    g_array_index (p->out->findings, SlFinding, i).before++;
}

/* Gates and first passes, as the steps follow what was done since the readings. */
static void
fill_passes (SlProposing *p, const char *taken)
{
  const GArray *plan = p->a->plan;
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (SlOperation)); /* what they hold stays the steps' own */
  g_autofree SlPass *passes = NULL;
  guint first;

  SL_EACH (const SlOperation, op, plan)
    if (op->done != NULL && !sl_operation_is_past (op, taken))
      g_array_append_vals (all, op, 1);
  first = all->len;
  for (guint i = 0; i < p->out->steps->len; i++)
    g_array_append_vals (all, &g_array_index (p->out->steps, SlStep, i).operation, 1);
  passes = g_new (SlPass, MAX (1, all->len));
  sl_plan_passes (p->a, all, passes);
  for (guint i = 0; i < p->out->steps->len; i++)
    g_array_index (p->out->steps, SlStep, i).pass = passes[first + i];
}

void
sl_propose (const SlAnalysis *analysis, SlProposal *out)
{
  const char *taken = analysis->set != NULL ? analysis->set->taken : NULL;
  SlProposing p = { .a = analysis, .in = &analysis->instrument, .state = analysis->measured, .out = out };
  SlState before;

  *out = (SlProposal){ .steps = g_array_new (FALSE, TRUE, sizeof (SlStep)),
                       .findings = g_array_new (FALSE, TRUE, sizeof (SlFinding)) };
  sl_plan_apply (p.in, analysis->plan, taken, TRUE, &analysis->shop.work, &p.state);
  before = p.state;
  sl_find_doubt (&p);
  if (analysis->air.state != SL_AIR_SETTLED)
    sl_add_finding (&p, (SlFinding){ .kind = SL_FINDING_AIR });
  p.n_first = out->findings->len;
  sl_find_rod (&p);
  sl_propose_frets (&p);
  propose_rod (&p);
  propose_heights (&p);
  sl_find_limits (&p);
  sl_find_touching (&p, &before);
  propose_crest_moves (&p);
  settle_first (&p);
  fill_passes (&p, taken);
}

void
sl_proposal_clear (SlProposal *proposal)
{
  g_clear_pointer (&proposal->steps, g_array_unref);
  g_clear_pointer (&proposal->findings, g_array_unref);
}

void
sl_proposal_enter (const SlProposal *proposal, GArray *plan)
{
  for (guint i = plan->len; i-- > 0;)
    if (g_array_index (plan, SlOperation, i).done == NULL)
      g_array_remove_index (plan, i);
  for (guint i = 0; i < proposal->steps->len; i++)
    g_array_append_vals (plan, &g_array_index (proposal->steps, SlStep, i).operation, 1);
}
