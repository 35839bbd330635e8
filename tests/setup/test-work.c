/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The six operations, the straight cut, and which operations a set of readings already shows. */
#include <string.h>

#include "../rounds.h"
#include "setup/work/work.h"
#include "support.h"

#define ROUNDS test_rounds (200)

typedef struct
{
  SlInstrument in;
  SlState state;
} Case;

static void
any_case (GRand *rand, Case *c)
{
  g_autoptr (SlProfile) profile = test_any_profile (rand);

  sl_instrument_from_profile (profile, &c->in);
  test_state (rand, &c->in, &c->state);
}

static SlOperation
operation (SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation op = sl_operation_init (kind);

  op.string = string;
  op.amount = sl_number (amount);
  op.amount_treble = sl_number (treble);
  return op;
}

static SlOperation
any_operation (GRand *rand, const Case *c)
{
  SlOperationKind kind = (SlOperationKind) g_rand_int_range (rand, SL_OP_TURN_ROD, SL_OP_MOVE_CREST + 1);

  return operation (kind, g_rand_int_range (rand, 1, c->in.n_strings + 1), test_between (rand, 0.05, 0.5),
                    test_between (rand, 0.05, 0.5));
}

static void
assert_same (const SlState *a, const SlState *b, const SlInstrument *in, double tolerance)
{
  for (int i = 0; i < a->n_unknowns; i++)
    assert_near (a->u[i], b->u[i], tolerance);
  for (int n = 1; n <= in->frets; n++)
    assert_near (a->crown[n], b->crown[n], tolerance);
  for (int s = 0; s < a->n_strings; s++)
    {
      assert_near (a->setback[s], b->setback[s], tolerance);
      assert_near (a->exposure[s], b->exposure[s], tolerance);
    }
}

static void
test_opposites (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      SlOperation op = any_operation (rand, &c);
      SlOperation back = operation (op.kind, op.string, -op.amount.v, -op.amount_treble.v);
      SlState state = c.state;

      sl_operation_apply (&c.in, &op, &state);
      g_assert_cmpint (memcmp (&state, &c.state, sizeof state), !=, 0);
      sl_operation_apply (&c.in, &back, &state);
      assert_same (&state, &c.state, &c.in, 1e-12);
    }
}

static void
test_order (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int differ = 0;

  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      SlOperation a = any_operation (rand, &c), b = any_operation (rand, &c);
      SlState ab = c.state, ba = c.state;

      sl_operation_apply (&c.in, &a, &ab);
      sl_operation_apply (&c.in, &b, &ab);
      sl_operation_apply (&c.in, &b, &ba);
      sl_operation_apply (&c.in, &a, &ba);
      /* all shift by amounts that don't depend on each other, but for the rod, whose lever is the crest's place */
      if ((a.kind == SL_OP_TURN_ROD) != (b.kind == SL_OP_TURN_ROD) &&
          (a.kind == SL_OP_MOVE_CREST || b.kind == SL_OP_MOVE_CREST))
        differ += memcmp (&ab, &ba, sizeof ab) != 0;
      else
        assert_same (&ab, &ba, &c.in, 1e-12);
    }
  g_assert_cmpint (differ, >, 0);
}

static void
test_rod_leaves_the_body (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      SlState after = c.state;
      SlOperation turn = operation (SL_OP_TURN_ROD, 0, test_between (rand, -0.2, 0.2), NAN);
      double x1, xj, xn;

      c.in.neck.crest = test_between (rand, 0.5, 1.5);
      c.in.neck.nut = test_between (rand, 0.5, 1.5);
      sl_operation_apply (&c.in, &turn, &after);
      /* The body and the board's tangent at the joint don't move: seen from that tangent (slope 4kR/(x_J − x_1) over
       * the crown chord) the crest and the tongue's end keep their heights; seen from the board's own curve, so does
       * the nut. */
      for (int s = 1; s <= c.in.n_strings; s++)
        {
          double x_s = c.in.scale[s - 1] + c.state.setback[s - 1];
          double slope[2], crest[2], nut[2];
          const SlState *states[2] = { &c.state, &after };

          x1 = c.in.x[s - 1][1];
          xj = c.in.x[s - 1][c.in.joint];
          xn = c.in.x[s - 1][c.in.frets];
          for (int k = 0; k < 2; k++)
            {
              double relief = sl_state_relief (states[k], s);

              slope[k] = 4 * c.in.neck.crest * relief / (xj - x1);
              crest[k] = sl_state_crest_height (states[k], s) - slope[k] * (x_s - xj);
              nut[k] = sl_state_nut_height (states[k], s) +
                       c.in.neck.nut * relief * 4 * (0 - x1) * (xj - 0) / ((xj - x1) * (xj - x1));
            }
          assert_near (crest[1], crest[0], 1e-12);
          assert_near (nut[1], nut[0], 1e-12);
          if (c.in.frets > c.in.joint)
            assert_near (-after.u[SL_FALL_AWAY] - slope[1] * (xn - xj), -c.state.u[SL_FALL_AWAY] - slope[0] * (xn - xj),
                         1e-12);
          assert_near (sl_state_relief (&after, s) - sl_state_relief (&c.state, s), turn.amount.v, 1e-12);
        }
    }
}

static void
test_rod_and_action (void)
{
  /* on a 645 mm neck joined at 14, 0.10 mm less relief takes 0.24 mm off the 12th-fret action before the saddle is
   * touched if the neck bends evenly, 0.21 mm as necks do (derived: half of 3.575 k_c + 0.501 k_n, and 0.390) */
  static const struct
  {
    double crest, nut, action;
  } rows[] = { { 1, 1, 0.2428 }, { 0.83, 0.98, 0.2119 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile ();
      SlInstrument in;
      SlState state;
      SlStringState s;

      profile->neck.scale_length = sl_number (645);
      sl_instrument_from_profile (profile, &in);
      if (i == 0)
        in.neck.crest = in.neck.nut = 1;
      g_assert_cmpfloat (in.neck.crest, ==, rows[i].crest);
      g_assert_cmpfloat (in.neck.nut, ==, rows[i].nut);
      test_straight_state (&in, &state);
      state.u[SL_RELIEF_TREBLE] = state.u[SL_RELIEF_BASS] = 0.25;
      test_set_string (&state, 1, 0.4, 5);
      sl_state_string (&in, &state, 1, &s);
      double before = sl_gap (&s, 0, 12);
      SlOperation turn = operation (SL_OP_TURN_ROD, 0, -0.10, NAN);
      sl_operation_apply (&in, &turn, &state);
      sl_state_string (&in, &state, 1, &s);
      assert_near (before - sl_gap (&s, 0, 12), rows[i].action, 2e-4);
    }
}

/* Heights over the chord, without the code under test: up to the joint every crown ends at the lowest, beyond it none
 * higher than the fall-away below that, and none is raised. */
static void
test_levelling (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      double lowest = INFINITY, fall = test_between (rand, 0, 0.2), tongue = c.state.u[SL_FALL_AWAY];
      SlOperation level = operation (SL_OP_LEVEL_FRETS, 0, fall, NAN);
      SlState after = c.state;

      /* the rod has nothing to bring down */
      c.in.target_relief = 1;
      for (int n = 1; n <= c.in.joint; n++)
        lowest = MIN (lowest, c.state.crown[n]);
      sl_operation_apply (&c.in, &level, &after);
      for (int n = 1; n <= c.in.frets; n++)
        {
          double share = n > c.in.joint
                             ? (c.in.x[0][n] - c.in.x[0][c.in.joint]) / (c.in.x[0][c.in.frets] - c.in.x[0][c.in.joint])
                             : 0;

          assert_near (after.crown[n] - tongue * share, MIN (c.state.crown[n] - tongue * share, lowest - fall * share),
                       1e-12);
        }
      /* level is level: once more changes nothing */
      SlState twice = after;
      sl_operation_apply (&c.in, &level, &twice);
      assert_same (&twice, &after, &c.in, 0 + 1e-15);
    }
}

static void
test_base_cut_lean (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      SlOperation cut = operation (SL_OP_CUT_SADDLE_BASE, 0, 0.8, 0.4);
      SlState after = c.state;

      sl_operation_apply (&c.in, &cut, &after);
      for (int s = 1; s <= c.in.n_strings; s++)
        {
          double share = c.in.n_strings > 1 ? (s - 1.0) / (c.in.n_strings - 1) : 0;
          double down = (0.4 + share * 0.4) * cos (c.in.saddle_lean_rad);

          assert_near (sl_state_crest_height (&c.state, s) - sl_state_crest_height (&after, s), down, 1e-12);
          assert_near (c.state.exposure[s - 1] - after.exposure[s - 1], down, 1e-12);
        }
      /* where no exposure was read what stands in for it comes down with the crest: the board line, exposure less crest
       * height, belongs to neck and bridge, and no cut of the saddle moves it (geometry) */
      SlState unread = c.state;
      unread.exposure_read = FALSE;
      for (int s = 0; s < c.in.n_strings; s++)
        unread.exposure[s] = 3;
      after = unread;
      sl_operation_apply (&c.in, &cut, &after);
      for (int s = 1; s <= c.in.n_strings; s++)
        assert_near (after.exposure[s - 1] - sl_state_crest_height (&after, s), 3 - sl_state_crest_height (&unread, s),
                     1e-12);
    }
}

static void
test_need (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autoptr (GRand) rand = test_rand ();
  SlInstrument in;
  SlState state;

  /* "two to one" (common practice). Exact: 0.6 mm less action on a 648 mm scale with 2.5 mm setback takes 1.2046 mm at
   * the crest (derived) */
  profile->neck.scale_length = sl_number (648);
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  state.setback[0] = 2.5;
  test_set_string (&state, 1, 0.5, 0.5 + 2 * 650.5 / 324 * 1);
  SlStringState s;
  sl_state_string (&in, &state, 1, &s);
  in.target_action[0] = sl_gap (&s, 0, 12) - 0.6;
  assert_near (sl_want (&in, &state, 1, 12).by, 1.2046, 5e-5);

  /* and taken, it brings the action to its target */
  for (int i = 0; i < ROUNDS; i++)
    {
      Case c;
      any_case (rand, &c);
      int string = g_rand_int_range (rand, 1, c.in.n_strings + 1);
      SlOperation shape = operation (SL_OP_SHAPE_CREST, string, sl_want (&c.in, &c.state, string, 12).by, NAN);
      sl_operation_apply (&c.in, &shape, &c.state);
      sl_state_string (&c.in, &c.state, string, &s);
      assert_near (sl_gap (&s, 0, 12), c.in.target_action[string - 1], 1e-12);
      assert_near (test_ruler_gap (&c.in, &c.state, string, 0, 12), c.in.target_action[string - 1], 1e-12);
    }
}

static void
test_slot_and_action (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state;

  /* the nut-side rule is the complement of the saddle's (common practice): of what the slot loses, the 12th fret sees
   * the other half */
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  test_set_string (&state, 1, 0.6, 5);
  double before = test_ruler_gap (&in, &state, 1, 0, 12);
  SlOperation slot = operation (SL_OP_LOWER_SLOT, 1, 0.2, NAN);
  sl_operation_apply (&in, &slot, &state);
  assert_near (before - test_ruler_gap (&in, &state, 1, 0, 12), 0.1, 1e-12);
}

/* ---- the straight cut ---- */

static double
line (double treble, double bass, int s, int n)
{
  return n > 1 ? treble + (bass - treble) * s / (n - 1.0) : treble;
}

static gboolean
line_fits (const double *room, int n, double treble, double bass)
{
  for (int s = 0; s < n; s++)
    if (line (treble, bass, s, n) > MAX (0, room[s]) + 1e-9)
      return FALSE;
  return treble >= 0 && bass >= 0;
}

static void
test_cut_line (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int parallel = 0, turned = 0;

  for (int i = 0; i < 3000; i++)
    {
      const double step = 1e-3;
      double room[SL_MAX_STRINGS], treble, bass;
      int n = g_rand_int_range (rand, 1, SL_MAX_STRINGS + 1);

      for (int s = 0; s < n; s++)
        room[s] = test_between (rand, i % 3 == 0 ? -1 : 0, 2);
      sl_cut_line (room, n, &treble, &bass);
      g_assert_true (line_fits (room, n, treble, bass));
      /* never above the line through the outer strings' needs, moved down parallel; the deepest such line, found by
       * trying them all */
      double deepest = NAN;
      for (double down = 0; down < 6; down += step)
        if (room[0] - down >= 0 && room[n - 1] - down >= 0 && line_fits (room, n, room[0] - down, room[n - 1] - down))
          {
            deepest = down;
            break;
          }
      if (!isnan (deepest))
        {
          parallel++;
          assert_near (treble, room[0] - deepest, step + 1e-9);
          assert_near (bass, room[n - 1] - deepest, step + 1e-9);
          continue;
        }
      /* no parallel one fits: an outer end stays at 0, and the other goes as far as that allows or as far as the
       * parallel line had it */
      g_assert_true (treble <= step || bass <= step);
      if (n == 1)
        continue;
      turned++;
      double over = 0;
      for (int s = 0; s < n; s++)
        over = MAX (over, line (room[0], room[n - 1], s, n) - room[s]);
      if (treble == 0 && bass < room[n - 1] - over - 1e-9)
        g_assert_false (line_fits (room, n, 0, bass + 1e-6));
      if (bass == 0 && treble < room[0] - over - 1e-9)
        g_assert_false (line_fits (room, n, treble + 1e-6, 0));
    }
  g_assert_cmpint (parallel, >, 100);
  g_assert_cmpint (turned, >, 100);
}

static void
test_first_pass (void)
{
  /* min(cut, max(0, edge − U)), rounded down to the shop's step (model 6.1), by hand: cut, edge, u, step, pass */
  static const double rows[][5] = { { 1, 1.3, 0.1, 0.05, 1 },      { 1, 1.3, 0.2, 0.05, 0.9 },
                                    { 0.15, 0.15, 0, 0.05, 0.15 }, { 0.149, 1, 0, 0.05, 0.10 },
                                    { 0.3, 0.3, 0.2, 0, 0 },       { 0.3, 0.5, 0.2, 0, 0.1 },
                                    { 0, 0.3, 0, 0.05, 0 },        { 1.5719, 1.6, 0.08215, 0, 1.435 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      SlShop shop = SL_SHOP_DEFAULT;

      shop.cut_step_mm = rows[i][3];
      assert_near (sl_first_pass (&shop, rows[i][0], rows[i][1], rows[i][2]), rows[i][4], 1e-12);
    }
}

static void
test_base_cut (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      SlBaseCut cut;
      Case c;
      any_case (rand, &c);
      sl_base_cut (&c.in, &c.state, &SL_SHOP_DEFAULT, &cut);
      /* made, it leaves no string below its target that was not below it before */
      SlOperation op = operation (SL_OP_CUT_SADDLE_BASE, 0, cut.bass, cut.treble);
      SlState after = c.state;
      sl_operation_apply (&c.in, &op, &after);
      for (int s = 1; s <= c.in.n_strings; s++)
        {
          double least = MIN (0, sl_want (&c.in, &c.state, s, 12).by);

          g_assert_cmpfloat (sl_want (&c.in, &after, s, 12).by, >=, least - 1e-9);
        }
      g_assert_cmpfloat (cut.first_pass_bass, <=, cut.bass + 1e-12);
      g_assert_cmpfloat (cut.first_pass_treble, <=, cut.treble + 1e-12);
      /* saddles on screws take none */
      c.in.height_screw_pitch = 0.5;
      c.in.adjust = SL_ADJUST_SCREWS;
      sl_base_cut (&c.in, &c.state, &SL_SHOP_DEFAULT, &cut);
      g_assert_true (cut.bass == 0 && cut.treble == 0 && cut.first_pass_bass == 0 && cut.first_pass_treble == 0);
    }
}

/* ---- what readings already show ---- */

static void
test_is_past (void)
{
  static const struct
  {
    const char *done, *taken;
    gboolean past;
  } rows[] = {
    { NULL, "2026-03-02T10:00:00Z", FALSE },
    { "2026-03-02T09:59:59Z", "2026-03-02T10:00:00Z", TRUE },
    { "2026-03-02T10:00:00Z", "2026-03-02T10:00:00Z", TRUE },
    { "2026-03-02T10:00:01Z", "2026-03-02T10:00:00Z", FALSE },
    { "2026-03-02T11:30:00+02:00", "2026-03-02T10:00:00Z", TRUE }, /* 09:30 UTC */
    { "2026-03-02T11:30:00+01:00", "2026-03-02T10:00:00Z", FALSE },
    { "2026-03-01", "2026-03-02T10:00:00Z", TRUE },
    { "2026-03-03", "2026-03-02T10:00:00Z", FALSE },
    { "2026-03-02T09:00:00Z", NULL, FALSE },
    { "yesterday", "2026-03-02T10:00:00Z", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      SlOperation op = operation (SL_OP_TURN_ROD, 0, -0.1, NAN);

      op.done = (char *) rows[i].done;
      g_assert_cmpint (sl_operation_is_past (&op, rows[i].taken), ==, rows[i].past);
    }
}

static void
test_plan_skips_the_past (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_autoptr (GArray) plan = sl_plan_new ();
  Case c;

  any_case (rand, &c);
  SlOperation done = operation (SL_OP_SHAPE_CREST, 1, 0.3, NAN), later = operation (SL_OP_SHAPE_CREST, 1, 0.2, NAN),
              open = operation (SL_OP_LOWER_SLOT, 1, 0.1, NAN);
  done.done = g_strdup ("2026-03-02T09:00:00Z");
  later.done = g_strdup ("2026-03-02T11:00:00Z");
  g_array_append_val (plan, done);
  g_array_append_val (plan, later);
  g_array_append_val (plan, open);
  SlState after = c.state;
  sl_plan_apply (&c.in, plan, "2026-03-02T10:00:00Z", FALSE, &SL_WORK_UNCERTAINTY_DEFAULT, &after);
  assert_near (sl_state_crest_height (&c.state, 1) - sl_state_crest_height (&after, 1), 0.2, 1e-12);
  assert_near (sl_state_nut_height (&c.state, 1) - sl_state_nut_height (&after, 1), 0.1, 1e-12);
  after = c.state;
  sl_plan_apply (&c.in, NULL, NULL, FALSE, &SL_WORK_UNCERTAINTY_DEFAULT, &after);
  g_assert_cmpint (memcmp (&after, &c.state, sizeof after), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/operations/opposites", test_opposites);
  g_test_add_func ("/operations/order", test_order);
  g_test_add_func ("/operations/rod-leaves-the-body", test_rod_leaves_the_body);
  g_test_add_func ("/operations/rod-and-action", test_rod_and_action);
  g_test_add_func ("/operations/levelling", test_levelling);
  g_test_add_func ("/operations/base-cut-lean", test_base_cut_lean);
  g_test_add_func ("/operations/need", test_need);
  g_test_add_func ("/operations/slot-and-action", test_slot_and_action);
  g_test_add_func ("/operations/cut-line", test_cut_line);
  g_test_add_func ("/operations/first-pass", test_first_pass);
  g_test_add_func ("/operations/base-cut", test_base_cut);
  g_test_add_func ("/operations/is-past", test_is_past);
  g_test_add_func ("/operations/plan-skips-the-past", test_plan_skips_the_past);
  return g_test_run ();
}
