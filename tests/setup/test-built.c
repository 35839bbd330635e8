/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The work that instruments as they are built want (model 5): bridges and saddles set both ways, the neck's angle, new
 * nuts and saddles, zero frets, other strings, a tremolo's balance. Each unknown by hand. */
#include <string.h>

#include "../rounds.h"
#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "support.h"

#define ROUNDS test_rounds (100)
#define HAND SL_WORK_UNCERTAINTY_DEFAULT
#define N 6 /* strings of the plain instrument, 632 mm, joined at 14 */
#define NUT SL_NUT_HEIGHT
#define CREST (SL_NUT_HEIGHT + N)

static SlOperation
ends (SlOperationKind kind, double bass, double treble)
{
  SlOperation op = sl_operation_init (kind);

  op.amount = sl_number (bass);
  op.amount_treble = sl_number (treble);
  return op;
}

/* The plain instrument with every nut 0.5 and every crest 6 mm over the chord, 4 mm of saddle out of its bridge. */
static void
plain (SlInstrument *in, SlState *state)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, in);
  test_straight_state (in, state);
  for (int s = 1; s <= N; s++)
    {
      test_set_string (state, s, 0.5, 6);
      state->exposure[s - 1] = 4;
    }
  state->exposure_read = TRUE;
}

static double
variance (const SlState *state, int i)
{
  return state->cov[i * state->n_unknowns + i];
}

/* What is between the ends lies on the straight line: of string 3, two fifths of the way to the bass. */
static void
test_ends (void)
{
  const double third = 0.1 + 0.4 * (0.5 - 0.1);
  SlInstrument in;
  SlState state;

  plain (&in, &state);
  const SlOperation move = ends (SL_OP_MOVE_SADDLE, 0.5, 0.1), shift = ends (SL_OP_SHIFT_BRIDGE, 0.5, 0.1);
  in.saddle_lean_rad = 0.2; /* posts stand upright, whatever the saddle does */
  sl_operation_carry (&in, &move, &HAND, &state);
  sl_operation_carry (&in, &shift, &HAND, &state);
  assert_near (state.u[CREST + 5], 6.5, 1e-12);
  assert_near (state.u[CREST + 2], 6 + third, 1e-12);
  assert_near (state.u[CREST], 6.1, 1e-12);
  assert_near (state.exposure[5], 4.5, 1e-12);
  assert_near (state.exposure[2], 4 + third, 1e-12);
  assert_near (state.setback[0], 0.1, 1e-12);
  assert_near (state.setback[2], third, 1e-12);
  assert_near (state.u[NUT], 0.5, 1e-12);
  /* each end by its own screw: 0.03 mm (own choice) */
  assert_near (variance (&state, CREST), 0.03 * 0.03, 1e-12);
  assert_near (variance (&state, CREST + 2), 0.03 * 0.03 * (0.6 * 0.6 + 0.4 * 0.4), 1e-12);
  assert_near (state.cov[CREST * state.n_unknowns + CREST + 5], 0, 1e-12);
}

static void
test_opposites (void)
{
  static const SlOperationKind kinds[] = { SL_OP_MOVE_SADDLE, SL_OP_SHIFT_BRIDGE, SL_OP_SET_NECK_ANGLE };
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      const double bass = test_between (rand, -1, 1), treble = test_between (rand, 0.1, 1);
      const SlOperation op = ends (kinds[i % 3], bass, treble), back = ends (kinds[i % 3], -bass, -treble);
      SlInstrument in;
      SlState state, there;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      there = state;
      sl_operation_apply (&in, &op, &there);
      g_assert_cmpint (memcmp (&there, &state, sizeof state), !=, 0);
      sl_operation_apply (&in, &back, &there);
      for (int k = 0; k < state.n_unknowns; k++)
        assert_near (there.u[k], state.u[k], 1e-12);
      for (int s = 0; s < in.n_strings; s++)
        {
          assert_near (there.setback[s], state.setback[s], 1e-12);
          assert_near (there.exposure[s], state.exposure[s], 1e-12);
        }
    }
}

/* A wedge of one degree, by trigonometry: seen from the neck, the bridge turns about the joint, and a crest that lies d
 * behind it and z over the chord comes to z cos 1° − d sin 1°. */
static void
test_one_degree (void)
{
  const double degree = G_PI / 180, heel = 90;
  SlOperation set = sl_operation_init (SL_OP_SET_NECK_ANGLE);
  SlInstrument in;
  SlState state, after;

  plain (&in, &state);
  const double xj = 632 * (1 - exp2 (-14 / 12.0)), d = 632 - xj;
  set.amount = sl_number (d * tan (degree));
  after = state;
  sl_operation_carry (&in, &set, &HAND, &after);
  for (int s = 1; s <= N; s++)
    {
      /* z cos 1° differs from z by 0.001 mm, d sin 1° from d tan 1° by 0.0008 mm */
      assert_near (after.u[CREST + s - 1], 6 * cos (degree) - d * sin (degree), 0.002);
      assert_near (after.exposure[s - 1], 4, 1e-12);
      assert_near (after.exposure[s - 1] - after.u[CREST + s - 1],
                   state.exposure[s - 1] - state.u[CREST + s - 1] + set.amount.v, 1e-12);
    }
  /* and the wedge at its thick end is the heel's length by the tangent */
  assert_near (sl_heel_wedge (&in, &state, 1, set.amount.v, heel), heel * tan (degree), 1e-9);
  /* 10 % of it, of all strings together, and 5 % that the sides are twisted apart (own choice) */
  const double all = 0.1 * set.amount.v, apart = 0.05 * set.amount.v;
  assert_near (variance (&after, CREST), all * all + apart * apart, 1e-9);
  assert_near (after.cov[CREST * after.n_unknowns + CREST + 5], all * all - apart * apart, 1e-9);
}

/* A slot is where it was made, up or down, and as well known as a hand files. */
static void
test_make_nut (void)
{
  SlOperation new = sl_operation_init (SL_OP_MAKE_NUT);
  SlInstrument in;
  SlState state;

  plain (&in, &state);
  const int p = state.n_unknowns;
  for (int i = 0; i < p; i++)
    for (int k = 0; k < p; k++)
      state.cov[i * p + k] = i == k ? 0.04 : 0.01;
  new.n_ends = 2;
  new.ends[0] = (SlStringEnd){ 1, sl_number (0.8) };
  new.ends[1] = (SlStringEnd){ 6, sl_number (0.3) };
  sl_operation_carry (&in, &new, &HAND, &state);
  assert_near (state.u[NUT], 0.8, 1e-12);
  assert_near (state.u[NUT + 5], 0.3, 1e-12);
  assert_near (state.u[NUT + 1], 0.5, 1e-12);
  assert_near (state.u[CREST], 6, 1e-12);
  assert_near (variance (&state, NUT), pow (0.015 + 0.10 * 0.3, 2), 1e-12);
  assert_near (variance (&state, NUT + 5), pow (0.015 + 0.10 * 0.2, 2), 1e-12);
  assert_near (variance (&state, NUT + 1), 0.04, 1e-12);
  for (int k = 0; k < p; k++)
    assert_near (state.cov[NUT * p + k], k == NUT ? variance (&state, NUT) : 0, 1e-12);
  assert_near (state.cov[CREST * p + NUT + 1], 0.01, 1e-12);
}

static void
test_make_saddle (void)
{
  SlOperation new = ends (SL_OP_MAKE_SADDLE, 5, 3.5);
  SlInstrument in;
  SlState state, whole;

  plain (&in, &state);
  state.exposure_read = FALSE; /* assumed, 3 mm ± 1.5 mm say; here 4 */
  for (int s = 0; s < N; s++)
    state.exposure_u[s] = 1.5;
  state.exposure[2] += 0.5; /* the top is arched */
  new.n_ends = 1;
  new.ends[0] = (SlStringEnd){ 2, sl_number (2.2) };
  whole = state;
  sl_operation_carry (&in, &new, &HAND, &whole);
  assert_near (whole.exposure[5], 5, 1e-12);
  assert_near (whole.exposure[0], 3.5, 1e-12);
  assert_near (whole.exposure[2], 4.5 - 0.5 + 0.4 * 1.5, 1e-12);
  assert_near (whole.u[CREST + 5], 7, 1e-12);
  assert_near (whole.u[CREST], 5.5, 1e-12);
  assert_near (whole.u[CREST + 2], 6 - 0.5 + 0.4 * 1.5, 1e-12);
  assert_near (whole.setback[1], 2.2, 1e-12);
  assert_near (whole.setback[0], 0, 1e-12);
  g_assert_true (whole.exposure_read && !whole.setback_read);
  /* the exposure is as good as the hand, the crest no better than what the exposure was before */
  assert_near (whole.exposure_u[5], 0.03 + 0.03 * 1, 1e-12);
  assert_near (whole.exposure_u[0], 0.03 + 0.03 * 0.5, 1e-12);
  assert_near (variance (&whole, CREST + 5), 1.5 * 1.5 + 0.06 * 0.06, 1e-12);
  /* without ends only the setback changes */
  new.amount = new.amount_treble = SL_NUMBER_ABSENT;
  whole = state;
  sl_operation_apply (&in, &new, &whole);
  assert_near (whole.setback[1], 2.2, 1e-12);
  g_assert_cmpint (memcmp (whole.u, state.u, sizeof state.u), ==, 0);
  g_assert_false (whole.exposure_read);
}

/* ---- zero fret ---- */

/* Bit by bit, but for what no member fills between two figures. */
static void
assert_same_figures (const SlFigures *a, const SlFigures *b)
{
  const gsize figures = offsetof (SlFigures, core_stress_share);

  g_assert_cmpuint (figures % sizeof (SlFigure), ==, 0);
  for (gsize i = 0; i < figures; i += sizeof (SlFigure))
    {
      const SlFigure *x = (const void *) ((const char *) a + i), *y = (const void *) ((const char *) b + i);

      g_assert_cmpmem (x, offsetof (SlFigure, basis), y, offsetof (SlFigure, basis));
      g_assert_cmpint (x->basis, ==, y->basis);
    }
  g_assert_cmpmem ((const char *) a + figures, sizeof *a - figures, (const char *) b + figures, sizeof *b - figures);
}

/* A string on a crown and one in a slot of the same height are the same string. */
static void
test_zero_fret_is_a_nut (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 5; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_autofree SlFigures *slotted = g_new0 (SlFigures, 1), *zero = g_new0 (SlFigures, 1);
      const SlShop shop = SL_SHOP_DEFAULT;
      SlInstrument in;
      SlState state;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      sl_figures (&in, &state, NULL, NULL, &shop, slotted);
      profile->nut.kind = SL_NUT_ZERO_FRET;
      sl_instrument_from_profile (profile, &in);
      g_assert_cmpint (in.nut_kind, ==, SL_NUT_ZERO_FRET);
      sl_figures (&in, &state, NULL, NULL, &shop, zero);
      assert_same_figures (slotted, zero);
    }
}

/* φ(0) of the plain instrument, by hand from its fret places. */
static double
bow_at_nut (void)
{
  const double x1 = 632 * (1 - exp2 (-1 / 12.0)), xj = 632 * (1 - exp2 (-14 / 12.0));

  return -4 * x1 * xj / ((xj - x1) * (xj - x1));
}

static void
test_zero_fret_levelled (void)
{
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS);
  SlInstrument in;
  SlState state, before;

  plain (&in, &state);
  in.nut_kind = SL_NUT_ZERO_FRET;
  state.u[SL_RELIEF_TREBLE] = 0.2;
  state.u[SL_RELIEF_BASS] = 0.3;
  state.cov[0] = 0.04;
  state.crown[1] = 0.02;
  state.u[NUT + 5] = 0.01; /* lower already */
  before = state;
  level.frets = 1;
  sl_operation_carry (&in, &level, &HAND, &state);
  /* the neighbour's line: fret 1's crown, and below the string that the board has there */
  assert_near (state.u[NUT], 0.02 - 0.2 * bow_at_nut (), 1e-12);
  assert_near (state.u[NUT + 1], 0.02 - (0.2 + 0.1 / 5) * bow_at_nut (), 1e-12);
  assert_near (state.u[NUT + 5], 0.01, 1e-12);
  g_assert_cmpint (memcmp (state.crown, before.crown, sizeof state.crown), ==, 0);
  assert_near (variance (&state, NUT), pow (bow_at_nut () * 0.2, 2) + 0.02 * 0.02, 1e-12);
  assert_near (state.cov[NUT * state.n_unknowns], -bow_at_nut () * 0.04, 1e-12);
  /* with fret 1 it comes down to fret 2's line; without it in the list it stays */
  state = before;
  state.crown[2] = -0.01;
  level.frets = 3;
  sl_operation_apply (&in, &level, &state);
  assert_near (state.u[NUT], -0.01 - 0.2 * bow_at_nut (), 1e-12);
  assert_near (state.crown[1], -0.01, 1e-12);
  state = before;
  level.frets = 0;
  sl_operation_apply (&in, &level, &state);
  assert_near (state.u[NUT], 0.5, 1e-12);
}

/* A new zero fret stands level with the rest, also where the old one was lower. */
static void
test_zero_fret_replaced (void)
{
  SlOperation new = sl_operation_init (SL_OP_REPLACE_FRETS);
  SlInstrument in;
  SlState state;

  plain (&in, &state);
  in.nut_kind = SL_NUT_ZERO_FRET;
  state.u[SL_RELIEF_TREBLE] = 0.2;
  state.u[NUT + 1] = -0.3;
  state.crown[1] = -0.04;
  new.from = new.to = 0;
  sl_operation_carry (&in, &new, &HAND, &state);
  assert_near (state.u[NUT], -0.04 - 0.2 * bow_at_nut (), 1e-12);
  assert_near (state.u[NUT + 1], -0.04 - 0.2 * 0.8 * bow_at_nut (), 1e-12);
  assert_near (state.crown[1], -0.04, 1e-12);
  assert_near (variance (&state, NUT), 0.02 * 0.02, 1e-12);
}

/* ---- tremolo ---- */

/* One that floats stands nobody knows where once the strings' pull or arm is another: U 0.5 mm of every crest, once,
 * and until it is read. A turn of the rod leaves both as they are at pitch. */
static void
test_tremolo (void)
{
  const SlOperation move = ends (SL_OP_MOVE_SADDLE, 0.2, 0.2);
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD), rebalance = sl_operation_init (SL_OP_BENCH_STEP);
  SlInstrument in;
  SlState state, start;

  plain (&in, &start);
  in.bridge = SL_BRIDGE_TREMOLO;
  in.balance = SL_BALANCE_FLOATING;
  rebalance.step = SL_BENCH_REBALANCE;
  state = start;
  sl_operation_carry (&in, &move, &HAND, &state);
  assert_near (variance (&state, CREST), 0.25 * 0.25 + 0.03 * 0.03, 1e-12);
  assert_near (state.cov[CREST * state.n_unknowns + CREST + 5], 0.25 * 0.25, 1e-12);
  sl_operation_carry (&in, &rebalance, &HAND, &state);
  assert_near (variance (&state, CREST), 0.25 * 0.25 + 0.03 * 0.03, 1e-12);
  state = start;
  sl_operation_carry (&in, &rebalance, &HAND, &state);
  assert_near (variance (&state, CREST), 0.25 * 0.25, 1e-12);
  state = start;
  turn.amount = sl_number (0);
  sl_operation_carry (&in, &turn, &HAND, &state);
  assert_near (variance (&state, CREST), 0, 1e-12);
  in.balance = SL_BALANCE_DECKED;
  state = start;
  sl_operation_carry (&in, &move, &HAND, &state);
  assert_near (variance (&state, CREST), 0.03 * 0.03, 1e-12);
}

/* ---- the order ---- */

/* What of two can't be done before the other; every other pair of these may change places. */
static void
test_order (void)
{
  static const struct
  {
    SlOperationKind first, second;
    SlObjection objection;
  } rows[] = {
    { SL_OP_MAKE_NUT, SL_OP_SET_NECK_ANGLE, SL_OBJECTION_NECK_FIRST },
    { SL_OP_MAKE_SADDLE, SL_OP_SET_NECK_ANGLE, SL_OBJECTION_NECK_FIRST },
    { SL_OP_LOWER_SLOT, SL_OP_FIT_STRINGS, SL_OBJECTION_STRINGS_FIRST },
    { SL_OP_TURN_ROD, SL_OP_FIT_STRINGS, SL_OBJECTION_STRINGS_FIRST },
    { SL_OP_SET_NECK_ANGLE, SL_OP_TURN_ROD, SL_OBJECTION_ROD_FIRST },
    { SL_OP_MOVE_SADDLE, SL_OP_TURN_ROD, SL_OBJECTION_ROD_FIRST },
    { SL_OP_MAKE_NUT, SL_OP_LEVEL_FRETS, SL_OBJECTION_FRETS_FIRST },
    { SL_OP_LOWER_SLOT, SL_OP_MAKE_NUT, SL_OBJECTION_NEW_FIRST },
    { SL_OP_SHAPE_CREST, SL_OP_MAKE_SADDLE, SL_OBJECTION_NEW_FIRST },
    { SL_OP_MOVE_CREST, SL_OP_SHIFT_BRIDGE, SL_OBJECTION_CRESTS_LAST },
    { SL_OP_SHIFT_BRIDGE, SL_OP_MOVE_SADDLE, SL_OBJECTION_CRESTS_LAST },
    { SL_OP_MAKE_SADDLE, SL_OP_MAKE_NUT, SL_OBJECTION_NONE },
    { SL_OP_MOVE_SADDLE, SL_OP_LOWER_SLOT, SL_OBJECTION_NONE },
    { SL_OP_SET_NECK_ANGLE, SL_OP_LEVEL_FRETS, SL_OBJECTION_NONE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GArray) plan = sl_plan_new ();
      SlOperation second = sl_operation_init (rows[i].second), first = sl_operation_init (rows[i].first);

      g_array_append_val (plan, second);
      g_array_append_val (plan, first);
      g_assert_cmpint (sl_plan_move_objection (plan, 1, 0), ==, rows[i].objection);
      g_assert_cmpint (sl_plan_move_objection (plan, 0, 1), ==, rows[i].objection);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/built/ends", test_ends);
  g_test_add_func ("/built/opposites", test_opposites);
  g_test_add_func ("/built/one-degree", test_one_degree);
  g_test_add_func ("/built/make-nut", test_make_nut);
  g_test_add_func ("/built/make-saddle", test_make_saddle);
  g_test_add_func ("/built/zero-fret-is-a-nut", test_zero_fret_is_a_nut);
  g_test_add_func ("/built/zero-fret-levelled", test_zero_fret_levelled);
  g_test_add_func ("/built/zero-fret-replaced", test_zero_fret_replaced);
  g_test_add_func ("/built/tremolo", test_tremolo);
  g_test_add_func ("/built/order", test_order);
  return g_test_run ();
}
