/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan proposal (model 6). Steps are worked out in the order they are done, each from the state the ones before
 * leave, and only for what is out of range. */

#include "setup/work/propose-private.h"

#define LEAST_ROD_TURN_MM 0.02 /* a smaller change of relief is no more than a feeler's step: our own choice */

double
sl_within (SlOperationKind kind, double amount)
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

/* Adds a step, which owns what @operation holds, and does it to the state. */
static void
put_step (SlProposing *p, SlOperation operation, const double because[4])
{
  SlStep step = { .operation = operation };

  memcpy (step.values, because, sizeof step.values);
  g_array_append_val (p->out->steps, step);
  sl_operation_carry (p->in, &operation, &p->a->shop.work, &p->state);
}

void
sl_add_step (SlProposing *p, SlOperation operation, const double because[4])
{
  find_limit (p, &operation,
              fabs (operation.amount_treble.v) > fabs (operation.amount.v) ? operation.amount_treble
                                                                           : operation.amount);

  /* without the binary dust that 0.1 · 3 leaves */
  operation.amount.v = round (operation.amount.v * 1e6) / 1e6;
  operation.amount_treble.v = round (operation.amount_treble.v * 1e6) / 1e6;
  put_step (p, operation, because);
}

void
sl_add_bench_step (SlProposing *p, SlBenchStep step)
{
  SlOperation operation = sl_operation_init (SL_OP_BENCH_STEP);

  operation.step = step;
  sl_add_step (p, operation, (double[4]){ 0 });
}

/* Whether it is owed behind @op, as it was before it. */
static gboolean
owed_behind (const SlOperation *op, guint kinds, SlBenchStep step, gboolean before)
{
  return (kinds >> op->kind & 1) != 0 || (before && !(op->kind == SL_OP_BENCH_STEP && op->step == step));
}

gboolean
sl_is_owed (const SlProposing *p, guint kinds, SlBenchStep step, gboolean proposed)
{
  const char *taken = p->a->set != NULL ? p->a->set->taken : NULL;
  gboolean owed = FALSE;

  SL_EACH (const SlOperation, op, p->a->plan)
    if (op->done != NULL && !sl_operation_is_past (op, taken))
      owed = owed_behind (op, kinds, step, owed);
  SL_EACH (const SlStep, added, proposed ? p->out->steps : NULL)
    owed = owed_behind (&added->operation, kinds, step, owed);
  return owed;
}

#define BIT(kind) (1u << (kind))
/* What nobody is asked to do by a proposal: a technician has decided for it (sl_finding_offer()). A zero fret is
 * replaced only so, too. */
#define CHOSEN (BIT (SL_OP_SET_NECK_ANGLE) | BIT (SL_OP_FIT_STRINGS) | BIT (SL_OP_MAKE_NUT) | BIT (SL_OP_MAKE_SADDLE))

/* What of some kinds was decided for and is still to do. */
static void
keep_chosen (SlProposing *p, guint kinds)
{
  SL_EACH (const SlOperation, op, p->a->plan)
    {
      const gboolean zero = op->kind == SL_OP_REPLACE_FRETS && op->to == 0;
      SlOperation own = *op;

      if (op->done != NULL || !(kinds >> op->kind & 1) || !(zero || (CHOSEN >> op->kind & 1)))
        continue;
      sl_operation_own (&own);
      put_step (p, own, (double[4]){ 0 });
    }
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

SlOperation
sl_operation_of (SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation operation = sl_operation_init (kind);

  operation.string = string;
  operation.amount = sl_number (amount);
  operation.amount_treble = sl_number (treble);
  return operation;
}

double
sl_slack (const SlProposing *p, double tolerance)
{
  return p->a->shop.to_target > 0 ? 0 : tolerance + SL_EDGE_MM;
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
  const double change = sl_within (SL_OP_TURN_ROD, held_back ? -sl_round_cut (&SL_SHOP_DEFAULT, least)
                                                             : round (wanted / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM);
  const double off = before + change - p->in->target_relief;
  double tried, moved;
  const int bass = p->in->n_strings;

  if (fabs (wanted) <= sl_slack (p, tolerance) && least >= -sl_slack (p, tolerance))
    return;
  if (!sl_has_work (p->in, SL_OP_TURN_ROD))
    {
      sl_find_rodless (p);
      return;
    }
  if (sl_rod_still (p->a, NULL, &tried, &moved)) /* it is not forced: what else may be done is a finding */
    return;
  if (held_back && off > tolerance + SL_EDGE_MM)
    sl_add_finding (
        p,
        (SlFinding){ .kind = SL_FINDING_RELIEF, .amount = off, .values = { p->in->target_relief, before + change } });
  if (fabs (change) < LEAST_ROD_TURN_MM)
    return;

  const SlOperation turn = sl_operation_of (SL_OP_TURN_ROD, 0, change, NAN);
  SlState turned = p->state;

  sl_operation_apply (p->in, &turn, &turned);
  sl_add_step (p, turn,
               (double[4]){ before, before + change,
                            sl_state_gap (p->in, &turned, bass, SL_OCTAVE_FRET) -
                                sl_state_gap (p->in, &p->state, bass, SL_OCTAVE_FRET) });
}

/* ---- a tremolo's balance ---- */

void
sl_propose_balance (SlProposing *p)
{
  gboolean told = FALSE;

  if (p->in->bridge != SL_BRIDGE_TREMOLO || p->in->balance == SL_BALANCE_BLOCKED ||
      !sl_is_owed (p, SL_UNBALANCES, SL_BENCH_REBALANCE, TRUE))
    return;
  SL_EACH (const SlFinding, finding, p->out->findings)
    told = told || finding->kind == SL_FINDING_BALANCE;
  if (!told)
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_BALANCE });
  sl_add_bench_step (p, SL_BENCH_REBALANCE);
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

static void
step_clear (gpointer step)
{
  sl_operation_clear (&((SlStep *) step)->operation);
}

void
sl_propose (const SlAnalysis *analysis, SlProposal *out)
{
  const char *taken = analysis->set != NULL ? analysis->set->taken : NULL;
  SlProposing p = { .a = analysis, .in = &analysis->instrument, .state = analysis->measured, .out = out };
  SlState before;

  *out = (SlProposal){ .steps = g_array_new (FALSE, TRUE, sizeof (SlStep)),
                       .findings = g_array_new (FALSE, TRUE, sizeof (SlFinding)) };
  g_array_set_clear_func (out->steps, step_clear);
  sl_plan_apply (p.in, analysis->plan, taken, TRUE, &analysis->shop.work, &p.state);
  before = p.state;
  sl_find_doubt (&p);
  if (analysis->air.state != SL_AIR_SETTLED)
    sl_add_finding (&p, (SlFinding){ .kind = SL_FINDING_AIR });
  p.n_first = out->findings->len;
  sl_find_rod (&p);
  keep_chosen (&p, BIT (SL_OP_FIT_STRINGS) | BIT (SL_OP_REPLACE_FRETS));
  sl_propose_balance (&p);
  sl_propose_frets (&p);
  propose_rod (&p);
  keep_chosen (&p, BIT (SL_OP_SET_NECK_ANGLE));
  keep_chosen (&p, BIT (SL_OP_MAKE_NUT) | BIT (SL_OP_MAKE_SADDLE));
  sl_propose_heights (&p);
  sl_propose_balance (&p);
  sl_find_limits (&p);
  sl_find_touching (&p, &before);
  sl_propose_pitch (&p);
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
  SL_EACH (const SlStep, step, proposal->steps)
    {
      SlOperation own = step->operation;

      sl_operation_own (&own);
      g_array_append_val (plan, own);
    }
}
