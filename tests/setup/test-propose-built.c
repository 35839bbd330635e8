/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Plans for instruments as they are built (model 6): what each construction gets, worked by hand; and that no plan and
 * no offer holds what a construction hasn't.
 *
 * By hand: a straight neck of 632 mm (or of each string's own scale S) with its nut z_0 and crest z_s over the crowns,
 * setback 0. Fret 12 lies at S/2, fret 1 at k S, k = 1 − 2^(−1/12) = 0.05612569. So action = (z_0 + z_s)/2, gap at fret
 * 1 = z_0 + k (z_s − z_0): a crest that is to bring the action up by a goes up by 2 a, and takes the gap with it by 2 k
 * a. */
#include <string.h>

#include "../rounds.h"
#include "proposal-case.h"
#include "setup/profile/bounds.h"
#include "setup/profile/construction.h"
#include "words/effect.h"
#include "words/proposal.h"

#define K 0.05612569
#define ACTION 1.6 /* targets of every string, and the gap at fret 1 */
#define GAP 0.4
#define STRAIGHT 0.0
#define ROUNDING 0.0011 /* amounts are in steps of 0.001 mm */
#define N 6

typedef struct
{
  Case c;
  SlProfile *profile;
  SlAnalysis *analysis;
} Built;

static void
built_clear (Built *b)
{
  case_clear (&b->c);
  g_clear_pointer (&b->profile, sl_profile_free);
  g_clear_pointer (&b->analysis, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Built, built_clear)

static void
targets_of (SlProfile *profile)
{
  SlTargets *t = &profile->targets;

  t->given = TRUE;
  t->relief = sl_number (STRAIGHT);
  t->relief_tolerance = sl_number (0.05);
  t->action_treble = t->action_bass = sl_number (ACTION);
  t->action_tolerance = sl_number (0.15);
  t->first_gap_treble = t->first_gap_bass = sl_number (GAP);
  t->first_gap_tolerance = sl_number (0.05);
}

/* Reads the actions, gaps at fret 1 and exposures (NULL: none), string 1 first, of a straight neck. */
static void
read_all (Built *b, const double *actions, const double *gaps, const double *exposures)
{
  const int n = b->profile->n_strings;
  SlReadingSet *set = &b->c.set;

  *set = test_set ();
  sl_instrument_from_profile (b->profile, &b->c.in);
  test_add (set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, STRAIGHT);
  test_add (set, SL_READ_RELIEF, n, 7, SL_HELD_DEFAULT, STRAIGHT);
  for (int s = 1; s <= n; s++)
    {
      test_add (set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN, gaps[s - 1]);
      test_add (set, SL_READ_ACTION, s, 12, SL_HELD_OPEN, actions[s - 1]);
      if (exposures != NULL)
        test_add (set, SL_READ_EXPOSURE, s, 0, SL_HELD_DEFAULT, exposures[s - 1]);
    }
}

static void
built_propose (Built *b)
{
  case_propose (&b->c);
  g_free (b->analysis);
  b->analysis = test_analysis (&b->c.in, &b->c.fit, &b->c.set, NULL, &SL_SHOP_DEFAULT);
  b->analysis->profile = b->profile;
}

/* Six strings on a saddle set so, least exposure 2 mm. */
static void
begin (Built *b, SlSaddleAdjust adjust)
{
  b->profile = test_plain_profile ();
  b->profile->saddle.adjust = adjust;
  b->profile->saddle.least_exposure = sl_number (2);
  targets_of (b->profile);
}

static const double even_gaps[SL_MAX_STRINGS] = { GAP, GAP, GAP, GAP, GAP, GAP, GAP, GAP, GAP, GAP, GAP, GAP };
static const double high[SL_MAX_STRINGS] = { 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5 }; /* exposures */

static guint
steps (const Built *b)
{
  return b->c.proposal.steps->len;
}

static guint
findings (const Built *b)
{
  return b->c.proposal.findings->len;
}

/* Whether a step stands in the plan when one more is planned, and whether the finding is still there. */
static void
propose_with (const Built *b, const SlOperation *offer, const SlFinding *finding, gboolean *there, gboolean *stays)
{
  g_autoptr (GArray) plan = sl_plan_new ();
  g_auto (SlProposal) proposal;
  SlOperation own = *offer;

  sl_operation_own (&own);
  g_array_append_val (plan, own);
  test_propose (&b->c.in, &b->c.fit, &b->c.set, plan, &SL_SHOP_DEFAULT, &proposal);
  *there = *stays = FALSE;
  for (guint i = 0; i < proposal.steps->len; i++)
    *there |= g_array_index (proposal.steps, SlStep, i).operation.kind == offer->kind;
  for (guint i = 0; i < proposal.findings->len; i++)
    {
      const SlFinding *other = &g_array_index (proposal.findings, SlFinding, i);

      *stays |= other->kind == finding->kind && other->string == finding->string;
    }
}

/* What is offered for a finding: planned, it is part of what is proposed, and the finding is gone. */
static SlOperation
offered (const Built *b, SlFindingKind kind, int string)
{
  const SlFinding *finding = case_find (&b->c, kind, string);
  SlOperation offer;
  gboolean there, stays;

  g_assert_nonnull (finding);
  g_assert_true (sl_finding_offer (b->analysis, finding, &offer));
  propose_with (b, &offer, finding, &there, &stays);
  g_assert_true (there);
  g_assert_false (stays);
  return offer;
}

static void
assert_two_ends (const SlStep *step, double bass, double treble)
{
  g_assert_nonnull (step);
  assert_near (step->operation.amount.v, bass, ROUNDING);
  assert_near (step->operation.amount_treble.v, treble, ROUNDING);
}

/* ---- two ends ---- */

/* Low by 0.4 mm at the treble, in range at the bass: the treble post alone goes up, by 2 · 0.4 mm, which is one turn of
 * 0.8 mm. It takes string 1's gap up by 0.8 k = 0.045 mm, within its 0.05. */
static void
test_posts (void)
{
  static const double actions[N] = { 1.2, 1.28, 1.36, 1.44, 1.52, 1.6 };
  static const SlTextStyle mm = { SL_LENGTHS_MM, "." };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_POSTS);
  b.profile->saddle.height_screw_pitch = sl_number (0.8);
  read_all (&b, actions, even_gaps, high);
  built_propose (&b);
  g_assert_cmpuint (steps (&b), ==, 1);
  g_assert_cmpuint (findings (&b), ==, 0);
  assert_two_ends (case_step (&b.c, SL_OP_MOVE_SADDLE, 0), 0, 0.8);
  g_assert_true (isnan (g_array_index (b.c.proposal.steps, SlStep, 0).pass.pass));
  g_autofree char *why = sl_step_reason (b.analysis, &g_array_index (b.c.proposal.steps, SlStep, 0), &mm);
  g_assert_cmpstr (why, ==, "action at 12: string 6 stays at 1.60 mm, string 1 from 1.20 mm to 1.60 mm");
  g_autofree char *amount = sl_operation_amount (&b.c.in, case_operation (&b.c, 0), &mm);
  g_assert_cmpstr (amount, ==, "treble end up 0.80 mm, 1.00 turns; the bass end stays");
  /* each end is for its own string: one in range stays where it is, whatever the other wants */
  for (int s = 1; s <= N; s++)
    assert_near (case_off (&b.c, &b.c.after, s, 12), 0, ROUNDING);
}

/* The same with string 3 too high by 0.3 mm for the line: that is the bridge's curve. */
static void
test_curve (void)
{
  static const double actions[N] = { 1.2, 1.28, 1.66, 1.44, 1.52, 1.6 };
  g_auto (Built) b = { 0 };
  SlOperation offer;

  begin (&b, SL_ADJUST_WHEELS);
  read_all (&b, actions, even_gaps, high);
  built_propose (&b);
  g_assert_cmpuint (steps (&b), ==, 1);
  assert_two_ends (case_step (&b.c, SL_OP_MOVE_SADDLE, 0), 0, 0.8);
  g_assert_cmpuint (findings (&b), ==, 1);
  const SlFinding *curve = case_find (&b.c, SL_FINDING_CURVE, 3);
  assert_near (curve->amount, 0.3, ROUNDING);
  assert_near (curve->values[0], 1.9, ROUNDING);
  g_assert_false (sl_finding_offer (b.analysis, curve, &offer));
}

/* 1 mm too high on both sides, so 2 mm down, and 1 mm of bridge to go: the rest is the neck's angle, or a shim. Gaps of
 * 0.5 mm come down by 2 k = 0.11 mm with it. */
static void
test_posts_at_the_end (void)
{
  static const double actions[N] = { 2.6, 2.6, 2.6, 2.6, 2.6, 2.6 }, gaps[N] = { 0.5, 0.5, 0.5, 0.5, 0.5, 0.5 },
                      exposures[N] = { 3, 3, 3, 3, 3, 3 };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_POSTS);
  read_all (&b, actions, gaps, exposures);
  built_propose (&b);
  assert_two_ends (case_step (&b.c, SL_OP_MOVE_SADDLE, 0), -1, -1);
  assert_near (case_find (&b.c, SL_FINDING_NECK_ANGLE, 0)->amount, 1, ROUNDING);
  const SlOperation offer = offered (&b, SL_FINDING_NECK_ANGLE, 0);
  g_assert_cmpint (offer.kind, ==, SL_OP_SET_NECK_ANGLE);
  assert_near (offer.amount.v, 1, 0.011); /* rounded up to a hundredth */
}

/* ---- no rod, one that only pulls back ---- */

/* 0.07 mm too much. The assumed 0.0004 mm/N make 175 N of it; medium strings (0.013 in) pull about 140 N more in all
 * than light ones (0.012 in; both from tables of published tensions as tests/setup/test-sets.c has them), which brings
 * relief to within 0.05 mm of its target. */
static void
test_no_rod (void)
{
  g_auto (Built) b = { 0 };
  SlOperation offer;

  begin (&b, SL_ADJUST_BASE);
  b.profile->neck.rod = SL_ROD_NONE;
  sl_profile_fit_strings (b.profile, sl_string_set_find ("acoustic-medium"), FALSE);
  read_all (&b, (double[N]){ 1.6, 1.6, 1.6, 1.6, 1.6, 1.6 }, even_gaps, high);
  b.c.in.target_relief = -0.07;
  built_propose (&b);
  g_assert_null (case_step (&b.c, SL_OP_TURN_ROD, 0));
  const SlFinding *relief = case_find (&b.c, SL_FINDING_RODLESS, 0);
  assert_near (relief->amount, 0.07, ROUNDING);
  assert_near (relief->values[2], -0.07 / 0.0004, 3);
  offer = offered (&b, SL_FINDING_RODLESS, 0);
  g_assert_cmpint (offer.kind, ==, SL_OP_FIT_STRINGS);
  g_assert_cmpstr (offer.set, ==, "acoustic-light");
  sl_operation_clear (&offer);
  /* what no set brings back is offered none */
  b.c.in.target_relief = -0.5;
  built_propose (&b);
  g_assert_false (sl_finding_offer (b.analysis, case_find (&b.c, SL_FINDING_RODLESS, 0), &offer));
}

/* Four nylon strings on a neck without a rod: the relief is told, the saddle set to it. 0.6 mm too high is 1.2 mm off
 * the underside, which takes 1.2 k = 0.067 mm off gaps of 0.44 mm. */
static void
test_ukulele (void)
{
  static const double actions[] = { 2.2, 2.2, 2.2, 2.2 }, gaps[] = { 0.44, 0.44, 0.44, 0.44 };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_BASE);
  b.profile->n_strings = 4;
  b.profile->neck.rod = SL_ROD_NONE;
  read_all (&b, actions, gaps, high);
  b.c.in.target_relief = 0.2;
  built_propose (&b);
  g_assert_cmpuint (steps (&b), ==, 1);
  assert_two_ends (case_step (&b.c, SL_OP_CUT_SADDLE_BASE, 0), 1.2, 1.2);
  g_assert_cmpuint (findings (&b), ==, 1);
  assert_near (case_find (&b.c, SL_FINDING_RODLESS, 0)->amount, -0.2, ROUNDING);
}

/* A rod that can't push says what to do when it has nothing left to give. */
static void
test_single_rod (void)
{
  static const SlTextStyle mm = { SL_LENGTHS_MM, "." };

  for (int rod = SL_ROD_SINGLE; rod <= SL_ROD_DOUBLE; rod++)
    for (int more = 0; more < 2; more++)
      {
        g_auto (Built) b = { 0 };

        begin (&b, SL_ADJUST_BASE);
        b.profile->neck.rod = (SlRod) rod;
        read_all (&b, (double[N]){ 1.6, 1.6, 1.6, 1.6, 1.6, 1.6 }, even_gaps, high);
        b.c.in.target_relief = more ? 0.2 : -0.2;
        b.c.in.relief_tolerance = 0.1;
        built_propose (&b);
        if (!more) /* neither side is to bow backward: nothing is tightened below 0 */
          continue;
        g_autofree char *why = sl_step_cause (b.analysis, case_step (&b.c, SL_OP_TURN_ROD, 0), &mm);
        g_assert_cmpint (strstr (why, "if its nut turns free and relief stays short, stop") != NULL, ==,
                         rod == SL_ROD_SINGLE);
      }
}

/* ---- the zero fret ---- */

/* A zero fret over the crowns by @z_0 mm, crests for an action of 1.6 mm, the gap at fret 1 to be 0.2 ± 0.05 mm. */
static void
zero_fret (Built *b, double z_0)
{
  const double z_s = 2 * ACTION - z_0, gap = z_0 + K * (z_s - z_0);
  const double actions[N] = { ACTION, ACTION, ACTION, ACTION, ACTION, ACTION },
               gaps[N] = { gap, gap, gap, gap, gap, gap };

  begin (b, SL_ADJUST_SCREWS);
  b->profile->nut.kind = SL_NUT_ZERO_FRET;
  b->profile->targets.first_gap_treble = b->profile->targets.first_gap_bass = sl_number (0.2);
  b->profile->targets.action_tolerance = sl_number (0.2);
  read_all (b, actions, gaps, high);
  built_propose (b);
}

/* 0.3 mm over the crowns is a gap of 0.446 mm; level with them it is 0.163 mm, and the action 1.45 mm, in its range. */
static void
test_zero_fret_high (void)
{
  g_auto (Built) b = { 0 };
  SlState levelled;

  zero_fret (&b, 0.3);
  g_assert_cmpuint (steps (&b), ==, 3);
  const SlStep *level = case_step (&b.c, SL_OP_LEVEL_FRETS, 0);
  g_assert_cmpuint (level->operation.frets, ==, 1);
  assert_near (level->values[0], 0.3, ROUNDING);
  assert_near (b.c.proposal.level_off[0], 0.3, ROUNDING);
  g_assert_cmpint (case_operation (&b.c, 1)->step, ==, SL_BENCH_RECROWN);
  g_assert_cmpint (case_operation (&b.c, 2)->step, ==, SL_BENCH_POLISH);
  levelled = b.c.after;
  assert_near (sl_state_nut_height (&levelled, 3), 0, ROUNDING);
  assert_near (case_off (&b.c, &levelled, 3, 1), 0.163 - 0.2, 0.001);
  g_assert_cmpuint (findings (&b), ==, 0);
}

/* 0.1 mm under the crowns is a gap of 0.091 mm. To be 0.2 it has to come up by 0.109/(1 − k) = 0.1156 mm, and a new
 * crown is that much less 0.1 mm higher than the others. */
static void
test_zero_fret_low (void)
{
  g_auto (Built) b = { 0 };

  zero_fret (&b, -0.1);
  g_assert_cmpuint (steps (&b), ==, 0);
  g_assert_cmpuint (findings (&b), ==, 1);
  const SlFinding *low = case_find (&b.c, SL_FINDING_ZERO_FRET, 0);
  assert_near (low->amount, 0.1156, 0.001);
  assert_near (low->values[2], b.c.in.crown_height + 0.0156, 0.001);
  const SlOperation offer = offered (&b, SL_FINDING_ZERO_FRET, 0);
  g_assert_cmpint (offer.kind, ==, SL_OP_REPLACE_FRETS);
  g_assert_cmpint (offer.from, ==, 0);
  g_assert_cmpint (offer.to, ==, 0);
  assert_near (offer.amount_treble.v, b.c.in.crown_height + 0.02, 0.006);
}

/* A zero fret 0.8 mm over the crowns and actions of 2.2 mm, z_s 3.6 mm, on a saddle that is cut from below; a gap of
 * 0.4 mm is wanted. The cut is 1.2 mm, which leaves z_s 2.4 and the gap at 0.8 + 1.6 k = 0.890 mm. For 0.4 the zero
 * fret comes down to (0.4 − 2.4 k)/(1 − k) = 0.281 mm over the crowns: by hand, as levelling would take it to 0. It
 * takes 0.26 mm of the action with it: nothing comes off the saddle before. Level with the crowns already there is
 * nothing to wait for. */
static void
test_zero_fret_by_hand (void)
{
  for (int level = 0; level < 2; level++)
    {
      const double z_0 = level ? 0 : 0.8, gap = z_0 + K * (4.4 - 2 * z_0);
      g_auto (Built) b = { 0 };

      begin (&b, SL_ADJUST_BASE);
      b.profile->nut.kind = SL_NUT_ZERO_FRET;
      b.profile->targets.first_gap_treble = b.profile->targets.first_gap_bass = sl_number (level ? 0.05 : 0.4);
      read_all (&b, (double[N]){ 2.2, 2.2, 2.2, 2.2, 2.2, 2.2 }, (double[N]){ gap, gap, gap, gap, gap, gap }, high);
      built_propose (&b);
      g_assert_cmpuint (steps (&b), ==, 1);
      const SlStep *cut = case_step (&b.c, SL_OP_CUT_SADDLE_BASE, 0);
      assert_near (cut->operation.amount.v, 1.2, ROUNDING);
      g_assert_cmpint (cut->pass.gate, ==, level ? SL_GATE_NONE : SL_GATE_FRETS);
      g_assert_true ((cut->pass.pass > 0) == level);
      const SlFinding *found = case_find (&b.c, SL_FINDING_ZERO_FRET, 0);
      assert_near (found->values[0], level ? 3.2 * K : 0.8 + 1.6 * K, 0.001);
      assert_near (found->values[3], level ? (0.05 - 3.2 * K) / (1 - K) : 0.281, 0.001);
    }
}

/* ---- floating bridge ---- */

/* What a tuner reads where the break point is to go back by @mm: c = −1200 log2 ((L + by)/(L + 2 by)) (model 9.1). */
static double
cents_for (double mm)
{
  const double l = hypot (632, 2.4);

  return -1200 * log2 ((l + mm) / (l + 2 * mm));
}

static void
float_on_wheels (Built *b, const double *moves)
{
  static const double actions[N] = { 1.6, 1.6, 1.6, 1.6, 1.6, 1.6 };

  begin (b, SL_ADJUST_WHEELS);
  read_all (b, actions, even_gaps, high);
  for (int s = 1; s <= N; s++)
    test_add (&b->c.set, SL_READ_PITCH, s, 12, SL_HELD_DEFAULT, cents_for (moves[s - 1]));
  built_propose (b);
}

/* From 1 mm at the treble to 2 mm at the bass on a line: the bridge is skewed, and nothing else is left to do. */
static void
test_shift (void)
{
  g_auto (Built) b = { 0 };

  float_on_wheels (&b, (double[N]){ 1, 1.2, 1.4, 1.6, 1.8, 2 });
  g_assert_cmpuint (steps (&b), ==, 1);
  assert_two_ends (case_step (&b.c, SL_OP_SHIFT_BRIDGE, 0), 2, 1);
}

/* String 3 wants 1.5 mm more. The line through 1, 1.2, 2.9, 1.6, 1.8, 2 by least squares, t from 0 (treble) to 1: mean
 * t 0.5, mean 1.75; sum (t − 0.5)² = 0.7, sum (t − 0.5) by = 0.7 − 0.15 = 0.55, so 1.75 ± 0.7857/2: 1.357 at the
 * treble, 2.143 at the bass. String 3, 0.1 from the middle, is left with 2.9 − 1.671 = 1.229 mm of its own, and string
 * 1 with −0.36 mm, 1.0 cent, in range. */
static void
test_shift_then_one (void)
{
  g_auto (Built) b = { 0 };

  float_on_wheels (&b, (double[N]){ 1, 1.2, 2.9, 1.6, 1.8, 2 });
  g_assert_cmpuint (steps (&b), ==, 2);
  const SlStep *shift = case_step (&b.c, SL_OP_SHIFT_BRIDGE, 0), *one = case_step (&b.c, SL_OP_MOVE_CREST, 3);
  g_assert_nonnull (one);
  g_assert_cmpint (case_operation (&b.c, 0)->kind, ==, SL_OP_SHIFT_BRIDGE);
  assert_near (shift->operation.amount.v, 2.143, 0.011);
  assert_near (shift->operation.amount_treble.v, 1.357, 0.011);
  assert_near (one->operation.amount.v, 1.229, 0.05);
}

/* One string out among others that are right: the bridge stays. */
static void
test_one_alone (void)
{
  g_auto (Built) b = { 0 };

  float_on_wheels (&b, (double[N]){ 0, 0, 1, 0, 0, 0 });
  g_assert_cmpuint (steps (&b), ==, 1);
  assert_near (case_step (&b.c, SL_OP_MOVE_CREST, 3)->operation.amount.v, 1, 0.02);
}

/* ---- tremolo ---- */

static void
tremolo (Built *b, SlBalance balance, double action, const double *gaps)
{
  const double actions[N] = { action, action, action, action, action, action };

  begin (b, SL_ADJUST_SCREWS);
  b->profile->bridge.kind = SL_BRIDGE_TREMOLO;
  b->profile->bridge.balance = balance;
  read_all (b, actions, gaps, high);
  built_propose (b);
}

static gboolean
rebalances (const Built *b)
{
  for (guint i = 0; i < steps (b); i++)
    if (case_operation (&b->c, i)->kind == SL_OP_BENCH_STEP && case_operation (&b->c, i)->step == SL_BENCH_REBALANCE)
      return TRUE;
  return FALSE;
}

/* 0.2 mm too low is 0.4 mm up on each screw; then the springs, behind all of them. */
static void
test_tremolo (void)
{
  for (int balance = SL_BALANCE_DEFAULT; balance <= SL_BALANCE_BLOCKED; balance++)
    {
      const gboolean held = balance == SL_BALANCE_BLOCKED;
      g_auto (Built) b = { 0 }, still = { 0 };

      tremolo (&b, (SlBalance) balance, 1.4, even_gaps);
      g_assert_cmpuint (steps (&b), ==, held ? N : N + 1);
      for (int s = 1; s <= N; s++)
        assert_near (case_step (&b.c, SL_OP_SHAPE_CREST, s)->operation.amount.v, -0.4, ROUNDING);
      g_assert_true (rebalances (&b) == !held);
      g_assert_cmpuint (findings (&b), ==, held ? 0 : 1);
      if (!held)
        g_assert_cmpuint (case_find (&b.c, SL_FINDING_BALANCE, 0)->before, ==, N);
      tremolo (&still, (SlBalance) balance, 1.6, even_gaps);
      g_assert_cmpuint (steps (&still) + findings (&still), ==, 0);
    }
}

static SlOperation
done (SlOperationKind kind, int string, double amount)
{
  SlOperation op = sl_operation_init (kind);

  op.string = string;
  op.amount = sl_number (amount);
  op.step = SL_BENCH_REBALANCE;
  op.done = (char *) "2026-03-02T12:00:00Z";
  return op;
}

/* Work done since the readings disturbs it, too, until the springs were set. */
static void
test_tremolo_owed (void)
{
  g_auto (Built) b = { 0 };
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation));
  const SlOperation up = done (SL_OP_SHAPE_CREST, 2, -0.1), springs = done (SL_OP_BENCH_STEP, 0, NAN);

  tremolo (&b, SL_BALANCE_FLOATING, 1.6, even_gaps);
  for (int i = 0; i < 2; i++)
    {
      g_auto (SlProposal) proposal;

      g_array_append_vals (plan, i == 0 ? &up : &springs, 1);
      test_propose (&b.c.in, &b.c.fit, &b.c.set, plan, &SL_SHOP_DEFAULT, &proposal);
      g_assert_cmpuint (proposal.steps->len, ==, i == 0 ? 1 : 0);
    }
}

/* Heavier strings come first and are balanced at once, for no height is sure before; then the rod, which their pull
 * wants, the heights on each screw, the springs again, and only then a file: string 2 lies 0.7 mm over fret 1. It is
 * told once what for. */
static void
test_tremolo_order (void)
{
  static const double gaps[N] = { 0.4, 0.7, 0.4, 0.4, 0.4, 0.4 };
  g_auto (Built) b = { 0 };
  g_auto (SlProposal) proposal;
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation));
  SlOperation fit = sl_operation_init (SL_OP_FIT_STRINGS);
  g_autoptr (GString) order = g_string_new (NULL);

  tremolo (&b, SL_BALANCE_FLOATING, 1.4, gaps);
  fit.set = (char *) "10 13 17 26w 36w 46w";
  g_array_append_val (plan, fit);
  test_propose (&b.c.in, &b.c.fit, &b.c.set, plan, &SL_SHOP_DEFAULT, &proposal);
  for (guint i = 0; i < proposal.steps->len; i++)
    {
      const SlOperation *op = &g_array_index (proposal.steps, SlStep, i).operation;

      g_string_append_c (order, op->kind == SL_OP_FIT_STRINGS   ? 'f'
                                : op->kind == SL_OP_SHAPE_CREST ? 's'
                                : op->kind == SL_OP_LOWER_SLOT  ? 'n'
                                : op->kind == SL_OP_TURN_ROD    ? 'r'
                                                                : 'b');
    }
  g_assert_cmpstr (order->str, ==, "fbrssssssbn");
  g_assert_cmpuint (proposal.findings->len, ==, 1);
  g_assert_cmpuint (g_array_index (proposal.findings, SlFinding, 0).before, ==, 1);
}

/* ---- top, fixed, base ---- */

/* Only from above: what is high comes down by itself, string by string; what is low wants material under it. String 2
 * is 0.2 mm too high: 0.4 mm; string 5 0.3 mm too low: 0.6 mm. */
static void
test_top (void)
{
  static const double actions[N] = { 1.6, 1.8, 1.6, 1.6, 1.3, 1.6 };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_TOP);
  read_all (&b, actions, even_gaps, high);
  built_propose (&b);
  g_assert_cmpuint (steps (&b), ==, 1);
  assert_near (case_step (&b.c, SL_OP_SHAPE_CREST, 2)->operation.amount.v, 0.4, ROUNDING);
  g_assert_cmpuint (findings (&b), ==, 1);
  assert_near (case_find (&b.c, SL_FINDING_CREST_LOW, 5)->amount, 0.6, ROUNDING);
  /* a saddle higher by 0.6 mm all along: the others are dressed down to theirs */
  const SlOperation offer = offered (&b, SL_FINDING_CREST_LOW, 5);
  g_assert_cmpint (offer.kind, ==, SL_OP_MAKE_SADDLE);
  assert_near (offer.amount.v, 5.6, 0.006);
  assert_near (offer.amount_treble.v, 5.6, 0.006);
}

/* Nothing at all can be set: 0.5 mm too high is 1 mm of neck angle; 0.5 mm too low is a higher bridge, or the heel's
 * shim taken back; and what is high on one side alone no neck cures without spoiling the other. */
static void
begin_fixed (Built *b, const double *actions)
{
  begin (b, SL_ADJUST_FIXED);
  b->profile->neck.heel_adjust = SL_HEEL_SHIM;
  read_all (b, actions, even_gaps, high);
  built_propose (b);
  g_assert_cmpuint (steps (b), ==, 0);
}

static void
test_fixed (void)
{
  g_auto (Built) up = { 0 }, down = { 0 }, aslant = { 0 };
  SlOperation offer;

  begin_fixed (&up, (double[N]){ 2.1, 2.1, 2.1, 2.1, 2.1, 2.1 });
  g_assert_cmpuint (findings (&up), ==, 1);
  offer = offered (&up, SL_FINDING_NECK_ANGLE, 0);
  assert_near (offer.amount.v, 1, 0.011);
  begin_fixed (&down, (double[N]){ 1.1, 1.1, 1.1, 1.1, 1.1, 1.1 });
  g_assert_cmpuint (findings (&down), ==, N);
  offer = offered (&down, SL_FINDING_CREST_LOW, 3);
  g_assert_cmpint (offer.kind, ==, SL_OP_SET_NECK_ANGLE);
  assert_near (offer.amount.v, -1, 0.006);
  begin_fixed (&aslant, (double[N]){ 1.6, 1.7, 1.8, 1.9, 2.0, 2.1 });
  g_assert_null (case_find (&aslant.c, SL_FINDING_NECK_ANGLE, 0));
  g_assert_nonnull (case_find (&aslant.c, SL_FINDING_CURVE, 6));
  g_assert_null (case_find (&aslant.c, SL_FINDING_CURVE, 1));
}

/* 0.5 mm too high at string 6 alone, with no saddle left to dress: 1 mm of neck angle would meet it, and leave the
 * others 0.5 mm low on a saddle that can't be put back. Where posts bring those up again, it is offered. */
static void
test_spoilt (void)
{
  static const double actions[N] = { 1.6, 1.6, 1.6, 1.6, 1.6, 2.1 }, along[N] = { 1.6, 1.7, 1.8, 1.9, 2.0, 2.1 },
                      gone[N] = { 2, 2, 2, 2, 2, 2 };
  g_auto (Built) top = { 0 }, posts = { 0 };
  SlOperation offer;

  begin (&top, SL_ADJUST_TOP);
  read_all (&top, actions, even_gaps, gone);
  built_propose (&top);
  assert_near (case_find (&top.c, SL_FINDING_NECK_ANGLE, 6)->amount, 1, ROUNDING);
  g_assert_false (sl_finding_offer (top.analysis, case_find (&top.c, SL_FINDING_NECK_ANGLE, 6), &offer));
  begin (&posts, SL_ADJUST_POSTS);
  read_all (&posts, along, even_gaps, gone);
  built_propose (&posts);
  offer = offered (&posts, SL_FINDING_NECK_ANGLE, 6);
  g_assert_cmpint (offer.kind, ==, SL_OP_SET_NECK_ANGLE);
}

/* A slot 0.2 mm too low: a nut for all strings at once. With every action at 1.6 mm the rest of string s stands at z_0
 * = (0.4 − 2 k · 1.6)/(1 − 2 k) = 0.2482 mm. */
static void
test_new_nut (void)
{
  static const double actions[N] = { 1.6, 1.6, 1.6, 1.6, 1.6, 1.6 }, gaps[N] = { 0.2, 0.4, 0.4, 0.6, 0.4, 0.4 };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_SCREWS);
  read_all (&b, actions, gaps, high);
  built_propose (&b);
  const SlOperation nut = offered (&b, SL_FINDING_SLOT_LOW, 1);
  g_assert_cmpint (nut.kind, ==, SL_OP_MAKE_NUT);
  g_assert_cmpint (nut.n_ends, ==, N);
  for (int s = 1; s <= N; s++)
    {
      g_assert_cmpint (nut.ends[s - 1].string, ==, s);
      assert_near (nut.ends[s - 1].value.v, 0.2482, 0.02); /* actions in range are left where they are */
    }
}

/* ---- screws, two scale lengths ---- */

/* Eight strings on 648 to 686 mm: fret 12 of each lies in the middle of its own scale, so each screw goes by twice what
 * its action is off, with no pitch given, too. */
static void
test_eight_strings (void)
{
  static const double actions[] = { 1.3, 1.6, 1.9, 1.6, 1.6, 1.2, 1.6, 2.0 };
  g_auto (Built) b = { 0 };

  begin (&b, SL_ADJUST_SCREWS);
  b.profile->n_strings = 8;
  for (int s = 6; s < 8; s++)
    {
      b.profile->strings[s] = b.profile->strings[5];
      b.profile->strings[s].note = g_strdup ("B1");
    }
  b.profile->neck.scale_length = sl_number (648);
  b.profile->neck.scale_length_bass = sl_number (686);
  read_all (&b, actions, even_gaps, high);
  built_propose (&b);
  g_assert_cmpuint (steps (&b), ==, 4);
  for (int s = 1; s <= 8; s++)
    {
      const SlStep *step = case_step (&b.c, SL_OP_SHAPE_CREST, s);

      if (fabs (actions[s - 1] - ACTION) <= 0.15)
        g_assert_null (step);
      else
        assert_near (step->operation.amount.v, 2 * (actions[s - 1] - ACTION), ROUNDING);
    }
}

/* ---- any instrument ---- */

static int
any_of (GRand *rand, int least, int most)
{
  return g_rand_int_range (rand, least, most + 1);
}

static SlProfile *
any_built (GRand *rand)
{
  const int frets = any_of (rand, 14, 24);
  SlProfile *profile = test_profile (rand, any_of (rand, 1, SL_MAX_STRINGS), frets, any_of (rand, 12, frets));

  profile->neck.rod = (SlRod) any_of (rand, SL_ROD_DEFAULT, SL_ROD_NONE);
  profile->neck.heel_adjust = (SlHeelAdjust) any_of (rand, SL_HEEL_DEFAULT, SL_HEEL_TILT_SCREW);
  profile->nut.kind = (SlNutKind) any_of (rand, SL_NUT_DEFAULT, SL_NUT_ZERO_FRET);
  profile->bridge.kind = (SlBridgeKind) any_of (rand, SL_BRIDGE_DEFAULT, SL_BRIDGE_CONE);
  if (profile->bridge.kind == SL_BRIDGE_TREMOLO)
    profile->bridge.balance = (SlBalance) any_of (rand, SL_BALANCE_DEFAULT, SL_BALANCE_BLOCKED);
  do
    profile->saddle.adjust = (SlSaddleAdjust) any_of (rand, SL_ADJUST_DEFAULT, SL_ADJUST_FIXED);
  while (profile->saddle.adjust == SL_ADJUST_WHEELS && sl_bridge_kind (profile) != SL_BRIDGE_FLOATING);
  profile->saddle.height_screw_pitch = g_rand_boolean (rand) ? sl_number (0.5) : SL_NUMBER_ABSENT;
  profile->saddle.least_exposure = sl_number (test_between (rand, 0, 3));
  if (g_rand_boolean (rand))
    profile->neck.scale_length_bass = sl_number (profile->neck.scale_length.v + test_between (rand, 5, 40));
  return profile;
}

/* What a step asks for is what the instrument has; and a finding that says so comes with one that meets it. */
static void
check_offers (const Built *b, int *offers)
{
  for (guint i = 0; i < b->c.proposal.findings->len; i++)
    {
      const SlFinding *finding = &g_array_index (b->c.proposal.findings, SlFinding, i);
      SlOperation offer;
      gboolean there, stays;

      if (!sl_finding_offer (b->analysis, finding, &offer))
        continue;
      offers[offer.kind]++;
      g_assert_true (sl_work_there_is (b->profile) >> offer.kind & 1);
      propose_with (b, &offer, finding, &there, &stays);
      g_assert_true (there && !stays);
      sl_operation_clear (&offer);
    }
}

static void
test_any (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int kinds[SL_N_OPS] = { 0 }, offers[SL_N_OPS] = { 0 };
  const int rounds = test_rounds (10000);

  for (int i = 0; i < rounds; i++)
    {
      g_auto (Built) b = { .profile = any_built (rand) };
      SlState truth;

      sl_instrument_from_profile (b.profile, &b.c.in);
      test_state (rand, &b.c.in, &truth);
      b.c.set = test_set ();
      test_read_all (rand, &b.c.in, &truth, &b.c.set);
      for (int s = 1; s <= b.profile->n_strings; s++)
        test_add (&b.c.set, SL_READ_PITCH, s, 12, SL_HELD_DEFAULT, test_between (rand, -8, 8));
      built_propose (&b);
      for (guint k = 0; k < steps (&b); k++)
        {
          const SlOperation *op = case_operation (&b.c, k);

          kinds[op->kind]++;
          g_assert_true (sl_work_there_is (b.profile) >> op->kind & 1);
          g_assert_true (op->kind != SL_OP_BENCH_STEP || op->step != SL_BENCH_REBALANCE ||
                         b.profile->bridge.kind == SL_BRIDGE_TREMOLO);
        }
      if (i % 10 == 0) /* each is tried by proposing anew */
        check_offers (&b, offers);
    }
  for (int kind = 0; kind < SL_N_OPS; kind++)
    g_test_message ("%s: proposed %d times, offered %d times", sl_operations[kind].bound.element, kinds[kind],
                    offers[kind]);
  if (rounds < 10000)
    return;
  g_assert_cmpint (kinds[SL_OP_MOVE_SADDLE], >, 0);
  g_assert_cmpint (kinds[SL_OP_SHIFT_BRIDGE], >, 0);
  g_assert_cmpint (offers[SL_OP_SET_NECK_ANGLE], >, 0);
  g_assert_cmpint (offers[SL_OP_MAKE_NUT], >, 0);
  g_assert_cmpint (offers[SL_OP_MAKE_SADDLE], >, 0);
  g_assert_cmpint (offers[SL_OP_REPLACE_FRETS], >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/propose-built/posts", test_posts);
  g_test_add_func ("/propose-built/curve", test_curve);
  g_test_add_func ("/propose-built/posts-at-the-end", test_posts_at_the_end);
  g_test_add_func ("/propose-built/no-rod", test_no_rod);
  g_test_add_func ("/propose-built/ukulele", test_ukulele);
  g_test_add_func ("/propose-built/single-rod", test_single_rod);
  g_test_add_func ("/propose-built/zero-fret-high", test_zero_fret_high);
  g_test_add_func ("/propose-built/zero-fret-low", test_zero_fret_low);
  g_test_add_func ("/propose-built/zero-fret-by-hand", test_zero_fret_by_hand);
  g_test_add_func ("/propose-built/shift", test_shift);
  g_test_add_func ("/propose-built/shift-then-one", test_shift_then_one);
  g_test_add_func ("/propose-built/one-alone", test_one_alone);
  g_test_add_func ("/propose-built/tremolo", test_tremolo);
  g_test_add_func ("/propose-built/tremolo-owed", test_tremolo_owed);
  g_test_add_func ("/propose-built/tremolo-order", test_tremolo_order);
  g_test_add_func ("/propose-built/top", test_top);
  g_test_add_func ("/propose-built/fixed", test_fixed);
  g_test_add_func ("/propose-built/spoilt", test_spoilt);
  g_test_add_func ("/propose-built/new-nut", test_new_nut);
  g_test_add_func ("/propose-built/eight-strings", test_eight_strings);
  g_test_add_func ("/propose-built/any", test_any);
  return g_test_run ();
}
