/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a proposed plan promises (model 6), held against random instruments. */
#include <string.h>

#include "../rounds.h"
#include "proposal-case.h"
#include "setup/profile/bounds.h"
#include "words/proposal.h"

#define ROUNDS test_rounds (400)
#define LEAST_MOVE_MM 0.02 /* of relief */

typedef enum
{
  NO_SCREWS,
  HEIGHT_SCREWS
} Screws;

/* A random instrument, read perfectly and proposed for. */
static void
any_case (GRand *rand, Screws screws, int n_strings, Case *c)
{
  g_autoptr (SlProfile) profile = n_strings > 0 ? test_profile (rand, n_strings, 22, 14) : test_any_profile (rand);
  SlState truth;

  if (screws == HEIGHT_SCREWS)
    profile->saddle.height_screw_pitch = sl_number (0.5);
  profile->saddle.least_exposure = sl_number (g_rand_boolean (rand) ? test_between (rand, 0, 3) : 0);
  sl_instrument_from_profile (profile, &c->in);
  test_state (rand, &c->in, &truth);
  if (g_rand_boolean (rand))
    memset (truth.crown, 0, sizeof truth.crown);
  c->set = test_set ();
  test_read_all (rand, &c->in, &truth, &c->set);
  sl_fit (&c->in, &c->set, &c->fit);
  g_assert_cmpint (c->fit.n_suspects, ==, 0);
  case_propose_fitted (c, &SL_SHOP_DEFAULT);
}

/* ---- promises ---- */

/* The finished job without what was done to one string's slot or crest, or without any cut of the saddle's underside.
 */
static SlState
without (const Case *c, SlOperationKind kind, int string)
{
  SlState state = c->fit.state;

  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlOperation *op = case_operation (c, i);
      const gboolean crest = kind == SL_OP_CUT_SADDLE_BASE && op->kind == SL_OP_SHAPE_CREST;

      if ((op->kind != kind && !crest) || (string > 0 && op->string != string))
        sl_operation_apply (&c->in, op, &state);
    }
  return state;
}

static gboolean
is_out (const Case *c, const SlState *state, int string, int fret, gboolean both_ways)
{
  const double by = case_off (c, state, string, fret);

  return (both_ways ? fabs (by) : by) > (fret == 1 ? c->in.first_gap_tolerance : c->in.action_tolerance) - 1e-9;
}

/* No step is for a figure that would be in range without it. */
static void
check_left_alone (const Case *c, Screws screws)
{
  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlOperation *op = case_operation (c, i);
      const SlState state = without (c, op->kind, op->string);
      const double mean = sl_state_mean_relief (&c->fit.state) - c->in.target_relief;
      const double low =
          MIN (c->fit.state.u[SL_RELIEF_TREBLE], c->in.n_strings > 1 ? c->fit.state.u[SL_RELIEF_BASS] : INFINITY);

      switch (op->kind)
        {
        case SL_OP_TURN_ROD:
          g_assert_true (fabs (mean) > c->in.relief_tolerance || low < -c->in.relief_tolerance);
          break;
        case SL_OP_LOWER_SLOT: g_assert_true (is_out (c, &state, op->string, 1, FALSE)); break;
        case SL_OP_CUT_SADDLE_BASE:
          g_assert_true (is_out (c, &state, 1, 12, FALSE) || is_out (c, &state, c->in.n_strings, 12, FALSE));
          break;
        case SL_OP_SHAPE_CREST: g_assert_true (is_out (c, &state, op->string, 12, screws == HEIGHT_SCREWS)); break;
        default: break;
        }
    }
}

/* What is cut ends at its target and no lower, and no saddle is lowered past its least exposure; what ends out of range
 * is too little for a hand, or a finding says it. */
static void
check_targets (const Case *c, Screws screws)
{
  for (int s = 1; s <= c->in.n_strings; s++)
    {
      const double x_s = c->in.scale[s - 1] + c->after.setback[s - 1], lever = x_s / c->in.x[s - 1][12];
      const double action = case_off (c, &c->after, s, 12);
      /* what the saddle has no room for is left to the neck's angle, and slots are cut for it */
      const double left = action * lever - MAX (0, c->after.exposure[s - 1] - c->in.least_exposure),
                   neck = left > c->in.action_tolerance * lever ? left : 0, now = case_off (c, &c->after, s, 1),
                   first = now - neck * c->in.x[s - 1][1] / x_s;
      const gboolean lowered = c->after.exposure[s - 1] < c->fit.state.exposure[s - 1] - 1e-9;

      if (lowered)
        g_assert_cmpfloat (action, >=, screws == NO_SCREWS ? -1e-6 : -ROUNDING_MM);
      if (lowered)
        g_assert_cmpfloat (c->after.exposure[s - 1], >=, c->in.least_exposure - 1e-9);
      if (case_step (c, SL_OP_LOWER_SLOT, s) != NULL)
        assert_near (first, 0, ROUNDING_MM);
      if (case_step (c, SL_OP_SHAPE_CREST, s) != NULL && case_find (c, SL_FINDING_NECK_ANGLE, 0) == NULL &&
          c->after.exposure[s - 1] > c->in.least_exposure + ROUNDING_MM)
        assert_near (action, 0, ROUNDING_MM);
      if (first > c->in.first_gap_tolerance + 1e-6)
        {
          g_assert_cmpfloat (first / (1 - c->in.x[s - 1][1] / x_s), <, LEAST_CUT_MM + ROUNDING_MM);
          g_assert_nonnull (case_find (c, SL_FINDING_LEFT, s));
        }
      if (now < -c->in.first_gap_tolerance - 1e-6)
        assert_near (case_find (c, SL_FINDING_SLOT_LOW, s)->amount, -now / (1 - c->in.x[s - 1][1] / x_s), 1e-6);
      if (action > c->in.action_tolerance && c->after.exposure[s - 1] > c->in.least_exposure + LEAST_CUT_MM)
        g_assert_cmpfloat (action * lever, <, LEAST_CUT_MM + ROUNDING_MM);
      else if (action > c->in.action_tolerance + ROUNDING_MM) /* a room too small to file is left as it is */
        g_assert_true (case_find (c, SL_FINDING_NECK_ANGLE, 0) != NULL || case_find (c, SL_FINDING_LEFT, s) != NULL);
      if (screws == NO_SCREWS && action < -c->in.action_tolerance - 1e-6)
        assert_near (case_find (c, SL_FINDING_CREST_LOW, s)->amount, -action * lever, 1e-6);
    }
}

/* The standard uncertainty of an open gap in @state, its slopes by trying each unknown. */
static double
gap_u (const Case *c, const SlState *state, int string, int fret)
{
  const double gap = test_ruler_gap (&c->in, state, string, 0, fret);
  double slope[SL_MAX_UNKNOWNS], variance = 0;

  for (int i = 0; i < state->n_unknowns; i++)
    {
      SlState tried = *state;

      tried.u[i] += 1;
      slope[i] = test_ruler_gap (&c->in, &tried, string, 0, fret) - gap;
    }
  for (int i = 0; i < state->n_unknowns; i++)
    for (int j = 0; j < state->n_unknowns; j++)
      variance += slope[i] * slope[j] * state->cov[i * state->n_unknowns + j];
  return sqrt (variance);
}

/* A first pass done at its place in the plan takes no gap below the lower edge of its tolerance, for all that is known
 * of it and of the hand; a slot's with the saddle done after it. */
static void
check_pass (const Case *c, guint at, const SlState *state)
{
  const SlStep *step = &g_array_index (c->proposal.steps, SlStep, at);
  const gboolean slot = step->operation.kind == SL_OP_LOWER_SLOT;
  SlOperation pass = step->operation;
  SlState done = *state;

  if (isnan (step->pass.pass))
    return;
  pass.amount = sl_number (step->pass.pass);
  pass.amount_treble = sl_number (step->pass.pass_treble);
  sl_operation_carry (&c->in, &pass, &SL_WORK_UNCERTAINTY_DEFAULT, &done);
  for (guint i = at + 1; slot && i < c->proposal.steps->len; i++)
    if (case_operation (c, i)->kind == SL_OP_CUT_SADDLE_BASE || case_operation (c, i)->kind == SL_OP_SHAPE_CREST)
      sl_operation_apply (&c->in, case_operation (c, i), &done);
  for (int s = 1; s <= c->in.n_strings; s++)
    {
      const double tolerance = slot ? c->in.first_gap_tolerance : c->in.action_tolerance;

      if (step->operation.string > 0 ? s != step->operation.string || step->pass.pass == 0
                                     : done.exposure[s - 1] >= state->exposure[s - 1] - 1e-9)
        continue;
      g_assert_cmpfloat (case_off (c, &done, s, slot ? 1 : 12) + tolerance, >=,
                         2 * gap_u (c, &done, s, slot ? 1 : 12) - 1e-6);
    }
}

static void
check_passes (const Case *c)
{
  SlState state = c->fit.state;

  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlStep *step = &g_array_index (c->proposal.steps, SlStep, i);

      check_pass (c, i, &state);
      if (!isnan (step->pass.pass))
        g_assert_cmpfloat (step->pass.pass, <=, step->operation.amount.v + 1e-9);
      sl_operation_carry (&c->in, case_operation (c, i), &SL_WORK_UNCERTAINTY_DEFAULT, &state);
    }
}

/* Operations stand in the order they are done, each with its reason, and findings among them. */
static void
check_order (const Case *c, Screws screws)
{
  static const int place[SL_N_OPS] = {
    [SL_OP_BENCH_STEP] = 0,      [SL_OP_LEVEL_FRETS] = 1, [SL_OP_TURN_ROD] = 2,  [SL_OP_LOWER_SLOT] = 4,
    [SL_OP_CUT_SADDLE_BASE] = 5, [SL_OP_SHAPE_CREST] = 6, [SL_OP_MOVE_CREST] = 7
  };
  const SlTextStyle style = { SL_LENGTHS_MM, "." };
  g_autofree SlAnalysis *analysis = test_analysis (&c->in, &c->fit, &c->set, NULL, &SL_SHOP_DEFAULT);
  int last = 0;
  guint before = 0;

  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlStep *step = &g_array_index (c->proposal.steps, SlStep, i);
      /* screws can be turned back, so they come before any file */
      const int here =
          step->operation.kind == SL_OP_SHAPE_CREST && screws == HEIGHT_SCREWS ? 3 : place[step->operation.kind];
      g_autofree char *reason = sl_step_reason (analysis, step, &style);

      g_assert_true (here >= last || step->operation.kind == SL_OP_BENCH_STEP);
      g_assert_cmpstr (reason, !=, "");
      g_assert_null (strstr (reason, "nan"));
      g_assert_null (step->operation.done);
      last = MAX (last, here);
    }
  for (guint i = 0; i < c->proposal.findings->len; i++)
    {
      const SlFinding *finding = &g_array_index (c->proposal.findings, SlFinding, i);
      g_autofree char *text = sl_finding_text (analysis, finding, &style);

      g_assert_true (g_str_has_suffix (text, "."));
      g_assert_null (strstr (text, "nan"));
      g_assert_cmpuint (finding->before, >=, before);
      g_assert_cmpuint (finding->before, <=, c->proposal.steps->len);
      before = finding->before;
    }
}

static void
check_relief (const Case *c)
{
  const SlStep *turn = case_step (c, SL_OP_TURN_ROD, 0);
  const double treble = c->after.u[SL_RELIEF_TREBLE], bass = c->in.n_strings > 1 ? c->after.u[SL_RELIEF_BASS] : treble;
  const double by = sl_state_mean_relief (&c->after) - c->in.target_relief;

  if (turn == NULL)
    return;
  g_assert_cmpfloat (fabs (turn->operation.amount.v), >=, LEAST_MOVE_MM);
  g_assert_cmpfloat (MIN (treble, bass), >=, -1e-9);
  /* at its target, or one side stands at 0 */
  if (MIN (treble, bass) > 0.001)
    assert_near (by, 0, 0.00051);
  g_assert_true (fabs (by) <= c->in.relief_tolerance + 1e-6 || case_find (c, SL_FINDING_RELIEF, 0) != NULL);
}

/* Whether the rod was let out and crowns beyond the joint are to be levelled for it: what it raises is not filed before
 * it is read. What is measured over them goes with it. */
static gboolean
raised_tongue (const Case *c, const Case *again)
{
  const SlStep *turn = case_step (c, SL_OP_TURN_ROD, 0), *level = case_step (again, SL_OP_LEVEL_FRETS, 0);

  return turn != NULL && turn->operation.amount.v > 0 && level != NULL && level->operation.frets != 0 &&
         (level->operation.frets & ((G_GUINT64_CONSTANT (2) << c->in.joint) - 1)) == 0;
}

/* Carried out to the letter, nothing is left to do. */
static void
check_idempotent (const Case *c)
{
  Case again = { .in = c->in, .set = c->set, .fit = c->fit };

  again.fit.state = c->after;
  case_propose_fitted (&again, &SL_SHOP_DEFAULT);
  if (!raised_tongue (c, &again))
    g_assert_cmpuint (again.proposal.steps->len, ==, 0);
  sl_proposal_clear (&again.proposal);
}

static void
check_all (const Case *c, Screws screws)
{
  check_left_alone (c, screws);
  check_targets (c, screws);
  check_passes (c);
  check_order (c, screws);
  check_relief (c);
  check_idempotent (c);
}

static void
test_any (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int kinds[SL_N_OPS] = { 0 }, passes = 0, angles = 0;

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 0, &c);
      check_all (&c, NO_SCREWS);
      angles += case_find (&c, SL_FINDING_NECK_ANGLE, 0) != NULL;
      for (guint k = 0; k < c.proposal.steps->len; k++)
        {
          kinds[case_operation (&c, k)->kind]++;
          passes += g_array_index (c.proposal.steps, SlStep, k).pass.pass > 0;
        }
    }
  g_test_message ("%d slots, %d undersides, %d tops, %d first passes, %d neck angles", kinds[SL_OP_LOWER_SLOT],
                  kinds[SL_OP_CUT_SADDLE_BASE], kinds[SL_OP_SHAPE_CREST], passes, angles);
  /* all that is checked does come up */
  g_assert_cmpint (kinds[SL_OP_LOWER_SLOT], >, ROUNDS / 10);
  g_assert_cmpint (kinds[SL_OP_CUT_SADDLE_BASE], >, ROUNDS / 10);
  g_assert_cmpint (kinds[SL_OP_SHAPE_CREST], >, ROUNDS / 10);
  g_assert_cmpint (passes, >, ROUNDS / 10);
  g_assert_cmpint (angles, >, 0);
}

static void
test_screws (void)
{
  g_autoptr (GRand) rand = test_rand ();
  gboolean up = FALSE, held_back = FALSE;

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, HEIGHT_SCREWS, 0, &c);
      check_all (&c, HEIGHT_SCREWS);
      g_assert_null (case_find (&c, SL_FINDING_CREST_LOW, 0));
      g_assert_null (case_step (&c, SL_OP_CUT_SADDLE_BASE, 0));
      held_back = held_back || case_find (&c, SL_FINDING_NECK_ANGLE, 0) != NULL;
      for (int s = 1; s <= c.in.n_strings; s++)
        {
          const SlStep *step = case_step (&c, SL_OP_SHAPE_CREST, s);

          up = up || (step != NULL && step->operation.amount.v < 0);
          /* a screw can be turned back: it has no first pass, and no gate of the saddle's keeps it */
          if (step != NULL)
            g_assert_true (isnan (step->pass.pass) && step->pass.gate == SL_GATE_NONE);
        }
    }
  g_assert_true (up && held_back);
}

static void
test_single_string (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS / 4; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 1, &c);
      check_all (&c, NO_SCREWS);
    }
}

static void
test_twelve_strings (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS / 4; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 12, &c);
      check_all (&c, NO_SCREWS);
    }
}

/* Readings as far astray as a document takes them, and kept: no amount is one that the document would refuse. */
static void
check_astray (Screws screws, double relief, double cents)
{
  g_autoptr (GRand) rand = test_rand ();
  g_autoptr (SlProfile) profile = test_profile (rand, 6, 20, 14);
  g_auto (Case) c = { 0 };

  profile->saddle.height_screw_pitch = screws == HEIGHT_SCREWS ? sl_number (0.5) : SL_NUMBER_ABSENT;
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  for (int s = 1; s <= 6; s++)
    {
      if (s == 1 || s == 6)
        test_add (&c.set, SL_READ_RELIEF, s, 7, SL_HELD_DEFAULT, relief);
      test_add (&c.set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN, 10);
      test_add (&c.set, SL_READ_ACTION, s, 12, SL_HELD_OPEN, 30);
      test_add (&c.set, SL_READ_PITCH, s, 12, SL_HELD_DEFAULT, cents);
    }
  for (guint i = 0; i < c.set.readings->len; i++)
    g_array_index (c.set.readings, SlReading, i).use = SL_USE_ALWAYS;
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, >, 8);
  for (guint i = 0; i < c.proposal.steps->len; i++)
    {
      const SlOperation *op = case_operation (&c, i);
      const SlOperationTraits *kind = &sl_operations[op->kind];

      if (op->kind == SL_OP_BENCH_STEP)
        continue;
      g_assert_null (sl_bound_complaint (&kind->bound, op->amount.v));
      if (op->kind == SL_OP_CUT_SADDLE_BASE)
        g_assert_null (sl_bound_complaint (&kind->treble, op->amount_treble.v));
    }
}

static void
test_astray (void)
{
  for (Screws screws = NO_SCREWS; screws <= HEIGHT_SCREWS; screws++)
    {
      check_astray (screws, 10, 100);
      check_astray (screws, -5, -100);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/propose/any", test_any);
  g_test_add_func ("/propose/screws", test_screws);
  g_test_add_func ("/propose/single-string", test_single_string);
  g_test_add_func ("/propose/twelve-strings", test_twelve_strings);
  g_test_add_func ("/propose/astray", test_astray);
  return g_test_run ();
}
