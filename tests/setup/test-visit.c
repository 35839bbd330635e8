/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several reading sets of one visit: what was read before and the work since stand beside what is read now. */
#include <string.h>

#include "../rounds.h"
#include "setup/physics/figures.h"
#include "setup/record/stages.h"
#include "support.h"

#define DRAWS test_rounds (4000)
#define SIGMAS 5

typedef struct
{
  SlProfile *profile;
  SlInstrument in;
  SlState before, after; /* true states at the two sets */
  SlVisit visit;
} Case;

static SlReadingSet *
nth_set (const Case *c, guint i)
{
  return &g_array_index (c->visit.sets, SlReadingSet, i);
}

static void
case_clear (Case *c)
{
  g_array_unref (c->visit.sets);
  g_array_unref (c->visit.plan);
  g_array_unref (c->visit.checks);
  g_array_unref (c->visit.charges);
  g_array_unref (c->visit.photos);
  sl_profile_free (c->profile);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

static void
add_set (Case *c, const char *taken)
{
  SlReadingSet set = sl_reading_set_init ();

  set.taken = g_strdup (taken);
  g_array_append_val (c->visit.sets, set);
}

static void
case_begin (GRand *rand, Case *c)
{
  c->profile = test_profile (rand, 4, 20, 14);
  c->visit = sl_visit_init ();
  sl_instrument_from_profile (c->profile, &c->in);
  test_state (rand, &c->in, &c->before);
  c->after = c->before;
  add_set (c, "2026-03-02T10:00:00Z");
  add_set (c, "2026-03-02T15:00:00Z");
  test_read_all (rand, &c->in, &c->before, nth_set (c, 0));
}

static void
add_done (Case *c, SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation op = sl_operation_init (kind);

  op.string = string;
  op.amount = sl_number (amount);
  op.amount_treble = sl_number (treble);
  op.done = g_strdup ("2026-03-02T12:00:00Z");
  g_array_append_val (c->visit.plan, op);
}

static void
test_done_between (void)
{
  SlOperation op = sl_operation_init (SL_OP_TURN_ROD);

  g_assert_false (sl_operation_between (&op, "2026-03-02T10:00:00Z", "2026-03-02T15:00:00Z"));
  op.done = (char *) "2026-03-02T12:00:00Z";
  g_assert_true (sl_operation_between (&op, "2026-03-02T10:00:00Z", "2026-03-02T15:00:00Z"));
  g_assert_true (sl_operation_between (&op, "2026-03-02T10:00:00Z", "2026-03-02T12:00:00Z"));
  g_assert_false (sl_operation_between (&op, "2026-03-02T12:00:00Z", "2026-03-02T15:00:00Z"));
  g_assert_false (sl_operation_between (&op, "2026-03-02T10:00:00Z", "2026-03-02T11:00:00Z"));
}

static void
test_one_set (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_auto (Case) c = { 0 };
  SlFit alone, visit;

  /* a visit with one set is that set */
  case_begin (rand, &c);
  g_array_set_size (c.visit.sets, 1);
  sl_fit (&c.in, nth_set (&c, 0), &alone);
  sl_fit_visit (&c.in, NULL, &c.visit, nth_set (&c, 0), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &visit);
  g_assert_cmpmem (&alone.state, sizeof alone.state, &visit.state, sizeof visit.state);
  for (guint i = 0; i < visit.n_readings; i++)
    g_assert_true (isnan (visit.readings[i].carried));
  sl_fit_clear (&alone);
  sl_fit_clear (&visit);
}

static void
test_carried (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_auto (Case) c = { 0 };
  SlFit fit;

  /* perfect readings, work as noted, then one action read again: the rest of the neck is where the work left it */
  case_begin (rand, &c);
  add_done (&c, SL_OP_LOWER_SLOT, 2, 0.1, NAN);
  add_done (&c, SL_OP_CUT_SADDLE_BASE, 0, 0.6, 0.4);
  add_done (&c, SL_OP_SHAPE_CREST, 3, 0.1, NAN);
  add_done (&c, SL_OP_MOVE_CREST, 1, 0.7, NAN);
  for (guint i = 0; i < c.visit.plan->len; i++)
    sl_operation_apply (&c.in, &g_array_index (c.visit.plan, SlOperation, i), &c.after);
  test_read (&c.in, &c.after, nth_set (&c, 1), SL_READ_ACTION, 1, 12, SL_HELD_OPEN);
  sl_fit_visit (&c.in, NULL, &c.visit, nth_set (&c, 1), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
  for (int i = 0; i < fit.state.n_unknowns; i++)
    assert_near (fit.state.u[i], c.after.u[i], 1e-8);
  for (int s = 0; s < 4; s++)
    {
      assert_near (fit.state.setback[s], c.after.setback[s], 1e-12);
      assert_near (fit.state.exposure[s], c.after.exposure[s], 1e-12);
      g_assert_false (fit.action_assumed[s] || fit.first_gap_assumed[s]);
    }
  g_assert_cmpint (fit.n_suspects, ==, 0);
  assert_near (fit.readings[0].carried, test_ruler (&c.in, &c.after, SL_READ_ACTION, 1, 12, SL_HELD_OPEN), 1e-8);
  g_assert_cmpfloat (fit.readings[0].carried_u, >, 0);
  sl_fit_clear (&fit);
}

/* ---- the carried covariance, by Monte Carlo ---- */

static void
add_noise (GRand *rand, SlReadingSet *set)
{
  for (guint i = 0; i < set->readings->len; i++)
    {
      SlReading *r = &g_array_index (set->readings, SlReading, i);

      if (r->kind > SL_READ_ACTION)
        continue;
      r->use = SL_USE_ALWAYS;
      r->value.v += sl_reading_u (set, r->kind) * test_normal (rand);
    }
}

/* Does the work of the plan as hands and necks do it: each amount off by what it is uncertain by, and the neck's
 * factors by theirs. */
static void
work_by_hand (GRand *rand, Case *c)
{
  const SlWorkUncertainty w = SL_WORK_UNCERTAINTY_DEFAULT;
  SlInstrument real = c->in;

  real.neck.crest += real.neck.crest_u * test_normal (rand);
  real.neck.nut += real.neck.nut_u * test_normal (rand);
  for (guint i = 0; i < c->visit.plan->len; i++)
    {
      SlOperation op = g_array_index (c->visit.plan, SlOperation, i);

      op.amount.v += sl_work_u (&w, op.kind, op.amount.v) * test_normal (rand);
      op.amount_treble.v += sl_work_u (&w, op.kind, op.amount_treble.v) * test_normal (rand);
      sl_operation_apply (&real, &op, &c->after);
    }
}

static void
test_carried_covariance (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_auto (Case) c = { 0 };
  double first[SL_MAX_UNKNOWNS] = { 0 }, second[SL_MAX_UNKNOWNS][SL_MAX_UNKNOWNS] = { { 0 } };
  SlState stated = { 0 };

  case_begin (rand, &c);
  /* a turn too small to be seen in the readings, so that it is left to what is assumed of it */
  add_done (&c, SL_OP_TURN_ROD, 0, -0.02, NAN);
  add_done (&c, SL_OP_LOWER_SLOT, 2, 0.1, NAN);
  add_done (&c, SL_OP_CUT_SADDLE_BASE, 0, 0.6, 0.4);
  add_done (&c, SL_OP_SHAPE_CREST, 3, 0.1, NAN);
  g_autoptr (GArray) readings = g_array_copy (nth_set (&c, 0)->readings);
  for (int draw = 0; draw < DRAWS; draw++)
    {
      double error[SL_MAX_UNKNOWNS];
      SlFit fit;

      c.after = c.before;
      work_by_hand (rand, &c);
      g_array_set_size (nth_set (&c, 0)->readings, 0);
      g_array_append_vals (nth_set (&c, 0)->readings, readings->data, readings->len);
      g_array_set_size (nth_set (&c, 1)->readings, 0);
      test_read (&c.in, &c.after, nth_set (&c, 1), SL_READ_ACTION, 1, 12, SL_HELD_OPEN);
      test_read (&c.in, &c.after, nth_set (&c, 1), SL_READ_FIRST_GAP, 2, 1, SL_HELD_OPEN);
      add_noise (rand, nth_set (&c, 0));
      add_noise (rand, nth_set (&c, 1));
      sl_fit_visit (&c.in, NULL, &c.visit, nth_set (&c, 1), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
      for (int i = 0; i < fit.state.n_unknowns; i++)
        error[i] = fit.state.u[i] - c.after.u[i];
      for (int i = 0; i < fit.state.n_unknowns; i++)
        {
          first[i] += error[i];
          for (int j = 0; j <= i; j++)
            second[i][j] += error[i] * error[j];
        }
      stated = fit.state;
      sl_fit_clear (&fit);
    }
  const int p = stated.n_unknowns;
  for (int i = 0; i < p; i++)
    for (int j = 0; j <= i; j++)
      {
        double cov = (second[i][j] - first[i] * first[j] / DRAWS) / (DRAWS - 1);
        double c_ij = stated.cov[i * p + j],
               sampling = sqrt ((stated.cov[i * p + i] * stated.cov[j * p + j] + c_ij * c_ij) / DRAWS);

        assert_near (cov, c_ij, SIGMAS * sampling + 1e-15);
      }
}

static void
test_widening (void)
{
  g_autoptr (GRand) rand = test_rand ();
  const SlWorkUncertainty w = { 0.3, 0.07, 0.04, 0.06, 0.02 };
  g_auto (Case) c = { 0 };
  SlStringState s;
  double g[SL_N_P], before, after;
  SlFit fit;

  /* each piece of work adds its own variance to the action it moves */
  case_begin (rand, &c);
  sl_fit (&c.in, nth_set (&c, 0), &fit);
  SlState state = fit.state;
  sl_state_string (&c.in, &state, 3, &s);
  sl_gap_gradient (&s, 0, 12, g);
  before = sl_string_u (&s, g);
  SlOperation shape = sl_operation_init (SL_OP_SHAPE_CREST);
  shape.string = 3;
  shape.amount = sl_number (0.3);
  sl_operation_carry (&c.in, &shape, &w, &state);
  sl_state_string (&c.in, &state, 3, &s);
  after = sl_string_u (&s, g);
  assert_near (after * after - before * before, pow (g[SL_P_CREST] * 0.06, 2), 1e-12);
  assert_near (sl_state_crest_height (&fit.state, 3) - sl_state_crest_height (&state, 3), 0.3, 1e-12);
  /* moving a crest along the string is measured, not guessed */
  SlOperation move = sl_operation_init (SL_OP_MOVE_CREST);
  move.string = 3;
  move.amount = sl_number (0.5);
  SlState moved = state;
  sl_operation_carry (&c.in, &move, &w, &moved);
  g_assert_cmpmem (moved.cov, sizeof moved.cov, state.cov, sizeof state.cov);
  sl_fit_clear (&fit);
}

/* ---- what a rod turn did ---- */

/* A neck that bends otherwise than was believed, its turn read on both sides: the readings say where it is, not the
 * factors, which have moved only part of the way there. */
static void
test_turn_left_open (void)
{
  g_autoptr (GRand) rand = test_rand ();
  static const double factors[] = { 0.6, 1, 1.7 };

  for (gsize i = 0; i < G_N_ELEMENTS (factors); i++)
    {
      g_auto (Case) c = { 0 };
      SlInstrument real;
      SlFit fit;

      case_begin (rand, &c);
      real = c.in;
      real.neck.crest = factors[i];
      add_done (&c, SL_OP_TURN_ROD, 0, -0.12, NAN);
      sl_operation_apply (&real, &g_array_index (c.visit.plan, SlOperation, 0), &c.after);
      test_read_all (rand, &c.in, &c.after, nth_set (&c, 1));
      sl_fit_visit (&c.in, NULL, &c.visit, nth_set (&c, 1), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
      g_assert_cmpint (fit.n_suspects, ==, 0);
      g_assert_cmpint (c.in.neck.turns, ==, 1);
      for (int k = 0; k < fit.state.n_unknowns; k++)
        assert_near (fit.state.u[k], c.after.u[k], 1e-3);
      sl_fit_clear (&fit);
    }
}

/* A turn read on both sides at one string, with other tools than before, so that nothing is forgotten: what it says of
 * this neck holds for the strings that were not read again. Counted twice, in the factors and by what they foretell,
 * the belief would hold them back. */
static void
test_turn_counts_once (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_auto (Case) c = { 0 };
  SlInstrument real;
  SlFit fit;

  case_begin (rand, &c);
  real = c.in;
  real.neck.crest = 0.6;
  add_done (&c, SL_OP_TURN_ROD, 0, -0.25, NAN);
  sl_operation_apply (&real, &g_array_index (c.visit.plan, SlOperation, 0), &c.after);
  SlReadingSet *set = nth_set (&c, 1);
  test_add_tool (set, SL_TOOL_RELIEF, 0.01, NAN);
  test_add_tool (set, SL_TOOL_FIRST_GAP, 0.02, NAN);
  test_add_tool (set, SL_TOOL_ACTION, 0.02, NAN);
  test_read (&c.in, &c.after, set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT);
  test_read (&c.in, &c.after, set, SL_READ_RELIEF, 4, 7, SL_HELD_DEFAULT);
  test_read (&c.in, &c.after, set, SL_READ_FIRST_GAP, 1, 1, SL_HELD_OPEN);
  test_read (&c.in, &c.after, set, SL_READ_ACTION, 1, 12, SL_HELD_OPEN);
  sl_fit_visit (&c.in, NULL, &c.visit, set, &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
  g_assert_cmpint (c.in.neck.turns, ==, 1);
  for (int s = 1; s <= 4; s++)
    assert_near (sl_state_crest_height (&fit.state, s), sl_state_crest_height (&c.after, s), 0.01);
  sl_fit_clear (&fit);
}

static int
suspects_of (const SlFit *fit)
{
  int n = 0;

  for (guint i = 0; i < fit->n_readings; i++)
    n += fit->readings[i].suspect;
  return n;
}

/* That the visit's second set stands by itself is a finding of the plan and a remark on the set. */
static void
check_said (Case *c)
{
  g_autofree SlAnalysis *analysis = g_new (SlAnalysis, 1);
  SlProposal proposal;
  int said = 0;

  sl_analyse (c->profile, &c->visit, nth_set (c, 1), &SL_SHOP_DEFAULT, analysis);
  g_autoptr (GPtrArray) remarks = sl_set_remarks (analysis, &c->visit, nth_set (c, 1));
  sl_propose (analysis, &proposal);
  for (guint i = 0; i < proposal.findings->len; i++)
    said += g_array_index (proposal.findings, SlFinding, i).kind == SL_FINDING_APART;
  g_assert_cmpint (said, ==, 1);
  g_assert_cmpuint (remarks->len, ==, 1);
  sl_proposal_clear (&proposal);
  sl_analysis_clear (analysis);
}

/* A cut nobody noted: perfect readings of actions and relief after it give the neck as it is (common practice: the neck
 * in hand is right, the notes are not), while one reading alone that is off is a slip. */
static void
test_not_noted (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int round = 0; round < test_rounds (50); round++)
    {
      g_auto (Case) c = { 0 }, slip = { 0 };
      SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
      SlFit alone, fit;

      case_begin (rand, &c);
      cut.amount = sl_number (0.9);
      cut.amount_treble = sl_number (0.7);
      sl_operation_apply (&c.in, &cut, &c.after);
      for (int s = 1; s <= 4; s++)
        test_read (&c.in, &c.after, nth_set (&c, 1), SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN);
      for (int s = 1; s <= 4; s++)
        test_read (&c.in, &c.after, nth_set (&c, 1), SL_READ_ACTION, s, 12, SL_HELD_OPEN);
      sl_fit_visit (&c.in, NULL, &c.visit, nth_set (&c, 1), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
      sl_fit (&c.in, nth_set (&c, 1), &alone);
      g_assert_true (fit.apart);
      g_assert_cmpint (fit.n_suspects, ==, 0);
      g_assert_cmpint (suspects_of (&fit), ==, 0);
      for (int s = 1; s <= 4; s++)
        {
          SlStringState string;

          sl_state_string (&c.in, &fit.state, s, &string);
          assert_near (sl_gap (&string, 0, 12), test_ruler_gap (&c.in, &c.after, s, 0, 12), 1e-6);
        }
      /* relief was not read again and is assumed, as in a set without another before it; crowns are data and stay */
      g_assert_true (fit.relief_assumed_treble && alone.relief_assumed_treble);
      assert_near (fit.state.cov[0], alone.state.cov[0], 1e-9);
      for (int n = 1; n <= c.in.frets; n++)
        assert_near (fit.state.crown[n], c.before.crown[n], 1e-12);
      sl_fit_clear (&fit);
      sl_fit_clear (&alone);
      check_said (&c);

      case_begin (rand, &slip);
      for (int s = 1; s <= 4; s++)
        test_read (&slip.in, &slip.after, nth_set (&slip, 1), SL_READ_ACTION, s, 12, SL_HELD_OPEN);
      g_array_index (nth_set (&slip, 1)->readings, SlReading, 2).value.v += 1;
      sl_fit_visit (&slip.in, NULL, &slip.visit, nth_set (&slip, 1), &SL_WORK_UNCERTAINTY_DEFAULT, NULL, NULL, &fit);
      g_assert_false (fit.apart);
      g_assert_true (fit.readings[2].suspect && fit.n_suspects == 1);
      sl_fit_clear (&fit);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/visit/between", test_done_between);
  g_test_add_func ("/visit/one-set", test_one_set);
  g_test_add_func ("/visit/carried", test_carried);
  g_test_add_func ("/visit/carried-covariance", test_carried_covariance);
  g_test_add_func ("/visit/widening", test_widening);
  g_test_add_func ("/visit/turn-left-open", test_turn_left_open);
  g_test_add_func ("/visit/turn-counts-once", test_turn_counts_once);
  g_test_add_func ("/visit/not-noted", test_not_noted);
  return g_test_run ();
}
