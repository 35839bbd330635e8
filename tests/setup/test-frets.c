/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levelling against cases worked by hand, the alternative against every choice of frets, and crowns against plain
 * geometry. */
#include "../rounds.h"
#include "setup/profile/bounds.h"
#include "setup/physics/frets.h"
#include "setup/work/work.h"
#include "setup/fit/fit-parts.h"
#include "support.h"

#define ROUNDS test_rounds (25)
#define FEW_FRETS 12 /* every choice of these can be tried */

typedef struct
{
  SlInstrument in;
  SlState state;
  SlReadingSet set;
} Case;

static void
case_clear (Case *c)
{
  test_set_clear (&c->set);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

/* The plain instrument: 20 frets joined at 14, wire 2.3 × 1.10 mm, least height 0.60 mm. */
static void
plain (Case *c)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &c->in);
  test_straight_state (&c->in, &c->state);
  c->state.crowns_read = TRUE;
  if (c->set.readings != NULL)
    test_set_clear (&c->set);
  c->set = test_set ();
}

/* Levelling as the table has it, of all frets or of @frets. */
static void
level (const Case *c, guint64 frets, double fall_away, SlLevelling *work)
{
  SlOperation operation = sl_operation_init (SL_OP_LEVEL_FRETS);

  operation.frets = frets;
  operation.amount = sl_number (fall_away);
  sl_level (&c->in, &c->state, &operation, work);
}

/* ---- crowns ---- */

static void
test_crown (void)
{
  /* a crown 2 wide and 1 high is half a circle of radius 1; 0.2 off its top leaves the chord of a 3-4-5 triangle's
   * double: 2 · 0.6; all of it off leaves 2 */
  assert_near (sl_crown_radius (2, 1), 1, 1e-12);
  assert_near (sl_crown_land (1, 0.2), 1.2, 1e-12);
  assert_near (sl_crown_land (1, 1), 2, 1e-12);
  g_assert_cmpfloat (sl_crown_land (1, 0), ==, 0);
  /* wire 2.3 × 1.10: (1.3225 + 1.21)/2.2 = 1.1511364; 0.10 off: 2 sqrt(2 · 1.1511364 · 0.1 − 0.01) = 0.9385676 (worked
   * by hand) */
  assert_near (sl_crown_radius (2.3, 1.1), 1.1511364, 1e-7);
  assert_near (sl_crown_land (sl_crown_radius (2.3, 1.1), 0.1), 0.9385676, 1e-6);
  /* the arc meets the wire's foot at its full width */
  assert_near (sl_crown_land (sl_crown_radius (2.3, 1.1), 1.1), 2.3, 1e-12);
}

/* ---- levelling ---- */

static void
test_lowest (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* fret 7 0.12 low, fret 3 0.05 low, the others touch the straightedge: all come down by what they stand above fret 7
   */
  plain (&c);
  c.state.crown[7] = -0.12;
  c.state.crown[3] = -0.05;
  level (&c, 0, 0, &work);
  g_assert_cmpint (work.n, ==, 20);
  assert_near (work.most_off, 0.12, 1e-12);
  assert_near (work.level, -0.12, 1e-12);
  for (int n = 1; n <= 20; n++)
    {
      const SlFretWork *f = &work.frets[n];

      assert_near (f->off, n == 7 ? 0 : n == 3 ? 0.07 : 0.12, 1e-12);
      assert_near (f->after, -0.12, 1e-12);
      /* a crown that lies low is taken to be worn: all of one level end at one height, 1.10 − 0.12 */
      assert_near (f->height, n == 7 ? 0.98 : n == 3 ? 1.05 : 1.10, 1e-12);
      assert_near (f->left, 0.98, 1e-12);
      g_assert_cmpint (f->lowest, ==, n == 7);
      g_assert_true (f->saved);
      g_assert_false (f->replaced);
    }
  /* land of fret 1: 2 sqrt(2 · 1.1511364 · 0.12 − 0.0144) = 1.0234700 (worked by hand) */
  assert_near (work.frets[1].land, 1.0234700, 1e-6);
  g_assert_cmpfloat (work.frets[7].land, ==, 0);
  g_assert_cmpint (work.n_lost, ==, 0);
}

static void
test_fall_away (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* 0.3 at fret 20, growing straight from nothing at the joint; level crowns lose nothing up to there */
  plain (&c);
  level (&c, 0, 0.3, &work);
  for (int n = 1; n <= 14; n++)
    g_assert_cmpfloat (work.frets[n].off, ==, 0);
  for (int n = 15; n <= 20; n++)
    assert_near (work.frets[n].off,
                 0.3 * (sl_fret_place (632, n) - sl_fret_place (632, 14)) /
                     (sl_fret_place (632, 20) - sl_fret_place (632, 14)),
                 1e-9);
  assert_near (work.most_off, 0.3, 1e-12);
}

static void
test_heights (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* read at 4 and 8: the board lies 0.90 and 0.80 + 0.10 below the smooth line there, so 0.90 everywhere, and what a
   * crown is high follows from how it lies */
  plain (&c);
  c.state.crown[8] = -0.10;
  c.state.crown[6] = -0.04;
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, 0.90);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 8, SL_HELD_DEFAULT, 0.80);
  sl_fill_known (&c.in, &c.set, NULL, &c.state);
  level (&c, 0, 0, &work);
  assert_near (work.frets[4].height, 0.90, 1e-12);
  assert_near (work.frets[8].height, 0.80, 1e-12);
  assert_near (work.frets[6].height, 0.86, 1e-12);
  assert_near (work.frets[1].height, 0.90, 1e-12);
  assert_near (work.frets[20].height, 0.90, 1e-12);
  /* the mean of repeated readings; one set aside does not count */
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, 0.94);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, 0.20)->use = SL_USE_NEVER;
  sl_fill_known (&c.in, &c.set, NULL, &c.state);
  level (&c, 0, 0, &work);
  assert_near (work.frets[4].height, 0.92, 1e-12);
}

static void
test_same_as_operation (void)
{
  g_autoptr (GRand) rand = test_rand ();

  /* what the table says and what the operation does to the state are one thing */
  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlOperation operation = sl_operation_init (SL_OP_LEVEL_FRETS);
      SlState by_table, by_work;
      SlLevelling work;
      SlInstrument in;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &by_table);
      by_work = by_table;
      operation.amount = sl_number (test_between (rand, 0, 0.4));
      sl_level (&in, &by_table, &operation, &work);
      for (int n = 1; n <= work.n; n++)
        by_table.crown[n] = work.frets[n].after;
      sl_operation_apply (&in, &operation, &by_work);
      for (int n = 1; n <= in.frets; n++)
        {
          assert_near (by_table.crown[n], by_work.crown[n], 1e-12);
          g_assert_cmpfloat (work.frets[n].off, >=, 0);
          assert_near (work.frets[n].before - work.frets[n].off, work.frets[n].after, 1e-12);
        }
    }
}

static void
test_rocking (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* fret 9 0.05 above a level board: high by 0.05 over its neighbours' line. A neighbour of it lies below the line
   * between 9 and the one beyond, by the share that its place has: at fret 10, (x11 − x10)/(x11 − x9) = 1/(1 +
   * 2^(1/12)) of 0.05 (equal temperament), 0.4855635 */
  plain (&c);
  c.state.crown[9] = 0.05;
  level (&c, 0, 0, &work);
  assert_near (work.frets[9].rocking, 0.05, 1e-12);
  assert_near (work.frets[10].rocking, -0.05 * 0.4855635, 1e-8);
  for (int n = 1; n <= 20; n++)
    g_assert_cmpint (work.frets[n].rocks, ==, n == 9);
  g_assert_true (isnan (work.frets[1].rocking));
  g_assert_true (isnan (work.frets[20].rocking));
  /* at the tolerance it does not rock yet */
  c.state.crown[9] = SL_ROCKING_TOLERANCE_MM;
  level (&c, 0, 0, &work);
  g_assert_false (work.frets[9].rocks);
}

/* ---- the alternative ---- */

static void
test_one_worn (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work, other;

  /* fret 2 worn by 0.55: levelling would leave every crown 0.55 high, below 0.60. One new fret, and nothing comes off
   * the others; of the new one 0 too: it stands as high as they do */
  plain (&c);
  c.state.crown[2] = -0.55;
  level (&c, 0, 0, &work);
  g_assert_cmpint (work.n_lost, ==, 20);
  sl_level_replacing (&c.in, &c.state, 0, &other);
  g_assert_cmpint (other.n_replaced, ==, 1);
  g_assert_true (other.frets[2].replaced);
  assert_near (other.frets[2].height, 1.10, 1e-12);
  assert_near (other.most_off, 0, 1e-12);
  g_assert_cmpint (other.n_lost, ==, 0);
}

static void
test_worn_and_thin (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work, other;

  /* all crowns are read 0.70 high but fret 5, 0.45, which lies 0.25 low, and fret 11, 0.62, which lies 0.08 low.
   * Levelling takes 0.25 off: all are lost. A new fret 5 stands on the same board as the others, 1.10 high, 0.40 above
   * them; the rest come down to fret 11: 0.08 off, 0.62 left. */
  plain (&c);
  for (int n = 1; n <= 20; n++)
    {
      c.state.crown[n] = n == 5 ? -0.25 : n == 11 ? -0.08 : 0;
      test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, n, SL_HELD_DEFAULT, 0.70 + c.state.crown[n]);
    }
  sl_fill_known (&c.in, &c.set, NULL, &c.state);
  level (&c, 0, 0, &work);
  g_assert_cmpint (work.n_lost, ==, 20);
  sl_level_replacing (&c.in, &c.state, 0, &other);
  g_assert_cmpint (other.n_replaced, ==, 1);
  g_assert_true (other.frets[5].replaced);
  assert_near (other.frets[5].before, 0.40, 1e-12);
  assert_near (other.frets[5].off, 0.48, 1e-12);
  assert_near (other.frets[1].left, 0.62, 1e-12);
  assert_near (other.frets[11].off, 0, 1e-12);
  g_assert_true (other.frets[11].lowest);
}

/* Whether new frets at @choice (a bit each) leave every other high enough; the level they come down to. Plain: written
 * without the code under test. */
static gboolean
choice_saves (const Case *c, const double *height, guint choice, double *level)
{
  *level = INFINITY;
  for (int n = 1; n <= FEW_FRETS; n++)
    *level = MIN (*level, choice >> n & 1 ? c->state.crown[n] + c->in.crown_height - height[n] : c->state.crown[n]);
  for (int n = 1; n <= FEW_FRETS; n++)
    {
      double before = choice >> n & 1 ? c->state.crown[n] + c->in.crown_height - height[n] : c->state.crown[n];
      double tall = choice >> n & 1 ? c->in.crown_height : height[n];

      if (tall - (before - *level) < c->in.crown_least - 1e-9)
        return FALSE;
    }
  return TRUE;
}

static int
count_bits (guint choice)
{
  int n = 0;

  for (; choice > 0; choice &= choice - 1)
    n++;
  return n;
}

static void
test_fewest (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_profile (rand, 6, FEW_FRETS, FEW_FRETS);
      double height[FEW_FRETS + 1], level, best_level = -INFINITY;
      g_auto (Case) c = { .set = test_set () };
      int fewest = G_MAXINT;
      SlLevelling other;

      sl_instrument_from_profile (profile, &c.in);
      test_straight_state (&c.in, &c.state);
      c.in.crown_height = 1.1;
      c.in.crown_least = 0.6;
      for (int n = 1; n <= FEW_FRETS; n++)
        {
          c.state.crown[n] = -test_between (rand, 0, 0.4);
          height[n] = 1.05 + c.state.crown[n] + test_between (rand, -0.15, 0.05);
          test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, n, SL_HELD_DEFAULT, height[n]);
        }
      for (guint choice = 0; choice < 2u << FEW_FRETS; choice += 2)
        if (choice_saves (&c, height, choice, &level) &&
            (count_bits (choice) < fewest || (count_bits (choice) == fewest && level > best_level)))
          {
            fewest = count_bits (choice);
            best_level = level;
          }
      /* where levelling loses none, see few-in-a-row */
      if (fewest == 0)
        continue;
      sl_fill_known (&c.in, &c.set, NULL, &c.state);
      sl_level_replacing (&c.in, &c.state, 0, &other);
      g_assert_cmpint (other.n_lost, ==, 0);
      g_assert_cmpint (other.n_replaced, ==, fewest);
      assert_near (other.level, best_level, 1e-9);
    }
}

static void
test_none_lost (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work, other;

  /* where levelling loses nothing and new frets would save the rest less than 0.05 mm, the alternative is levelling */
  plain (&c);
  c.state.crown[7] = -0.04;
  level (&c, 0, 0.1, &work);
  sl_level_replacing (&c.in, &c.state, 0.1, &other);
  g_assert_cmpint (other.n_replaced, ==, 0);
  for (int n = 1; n <= 20; n++)
    assert_near (work.frets[n].off, other.frets[n].off, 1e-12);
}

static void
test_few_in_a_row (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work, other;

  /* frets 1 to 3 worn by 0.20, fret 4 by 0.12, 9 by 0.03: levelling takes 0.20 off and leaves 0.90. With 1 to 4 new the
   * rest come down to fret 9: 0.03 off, 1.07 left; a fifth new fret next to them would save no more */
  plain (&c);
  for (int n = 1; n <= 4; n++)
    c.state.crown[n] = n < 4 ? -0.20 : -0.12;
  c.state.crown[9] = -0.03;
  level (&c, 0, 0, &work);
  assert_near (work.least_left, 0.90, 1e-12);
  sl_level_replacing (&c.in, &c.state, 0, &other);
  assert_near (other.least_left, 1.07, 1e-12);
  g_assert_cmpint (other.n_replaced, ==, 4);
  for (int n = 1; n <= 20; n++)
    g_assert_cmpint (other.frets[n].replaced, ==, n <= 4);
  g_assert_true (other.frets[9].lowest);
}

/* ---- the tongue ---- */

/* Of fret 17 along the tongue of the plain instrument: (2^(-14/12) − 2^(-17/12))/(2^(-14/12) − 2^(-20/12)) = (0.4454494
 * − 0.3745768)/(0.4454494 − 0.3149803) = 0.543213 (equal temperament, worked by hand) */
#define SHARE_17 0.543213

static void
test_tongue (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  plain (&c);
  assert_near (sl_tongue_share (&c.in, 17), SHARE_17, 1e-6);
  g_assert_cmpfloat (sl_tongue_share (&c.in, 14), ==, 0);
  g_assert_cmpfloat (sl_tongue_share (&c.in, 20), ==, 1);
  /* F and d_n say the same thing in two ways: a tongue that falls by 0.15 */
  for (int way = 0; way < 2; way++)
    {
      plain (&c);
      c.state.u[SL_FALL_AWAY] = way == 0 ? 0.15 : 0;
      for (int n = 15; n <= 20 && way == 1; n++)
        c.state.crown[n] = -0.15 * sl_tongue_share (&c.in, n);
      assert_near (sl_height_over_chord (&c.in, &c.state, 17), -0.15 * SHARE_17, 1e-6);
      assert_near (sl_tongue_fall (&c.in, &c.state), 0.15, 1e-12);
      g_assert_false (sl_tongue_rises (&c.in, &c.state, NULL));
      /* nothing comes off it down to 0.10, and down to 0.20 another 0.05 at the last fret */
      level (&c, 0, 0.10, &work);
      assert_near (work.most_off, 0, 1e-12);
      level (&c, 0, 0.20, &work);
      assert_near (work.frets[20].off, 0.05, 1e-12);
      assert_near (work.frets[17].off, 0.05 * SHARE_17, 1e-6);
      g_assert_cmpfloat (work.frets[14].off, ==, 0);
    }
  /* together they cancel: what stands 0.15 high on a tongue that falls 0.15 is on the chord */
  plain (&c);
  c.state.u[SL_FALL_AWAY] = 0.15;
  c.state.crown[20] = 0.15;
  assert_near (sl_height_over_chord (&c.in, &c.state, 20), 0, 1e-12);
  g_assert_false (sl_tongue_crown_high (&c.in, &c.state, 20));
  c.state.crown[20] = 0.19;
  g_assert_true (sl_tongue_crown_high (&c.in, &c.state, 20));
}

static void
test_rising (void)
{
  g_auto (Case) c = { 0 };
  const int f = SL_FALL_AWAY * 15 + SL_FALL_AWAY; /* six strings: 15 unknowns */
  double u;

  plain (&c);
  c.state.u[SL_FALL_AWAY] = -0.12;
  g_assert_true (sl_tongue_rises (&c.in, &c.state, &u));
  g_assert_cmpfloat (u, ==, 0);
  g_assert_true (sl_tongue_crown_high (&c.in, &c.state, 20));
  /* at U = 0.08 it may rise by 0.04 only: no rise, and no crown is high for it; one that stands out is */
  c.state.cov[f] = 0.04 * 0.04;
  g_assert_false (sl_tongue_rises (&c.in, &c.state, &u));
  assert_near (u, 0.04, 1e-12);
  g_assert_false (sl_tongue_crown_high (&c.in, &c.state, 20));
  c.state.crown[17] = 0.10;
  g_assert_true (sl_tongue_crown_high (&c.in, &c.state, 17));
  /* too much relief holds the tongue up: 0.40 where 0.15 ± 0.05 is wanted. Tightening by 0.25 takes it down by 0.83 ·
   * 0.25 · 4 (x_20 − x_14)/(x_14 − x_1) (model 5) */
  plain (&c);
  c.state.u[SL_FALL_AWAY] = -0.12;
  c.state.u[SL_RELIEF_TREBLE] = c.state.u[SL_RELIEF_BASS] = 0.40;
  assert_near (sl_played_fall (&c.in, &c.state),
               -0.12 + 0.83 * 0.25 * 4 * (c.in.x[0][20] - c.in.x[0][14]) / (c.in.x[0][14] - c.in.x[0][1]), 1e-12);
  g_assert_false (sl_tongue_rises (&c.in, &c.state, NULL));
  /* in range, or below it, the tongue is what it is */
  c.state.u[SL_RELIEF_TREBLE] = c.state.u[SL_RELIEF_BASS] = 0.20;
  assert_near (sl_played_fall (&c.in, &c.state), -0.12, 1e-12);
}

/* No levelling takes a crown up to the joint down for one beyond it. */
static void
test_joint_first (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlOperation operation = sl_operation_init (SL_OP_LEVEL_FRETS);
      SlState plain_tongue, low_tongue;
      SlInstrument in;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &plain_tongue);
      low_tongue = plain_tongue;
      for (int n = in.joint + 1; n <= in.frets; n++)
        low_tongue.crown[n] -= test_between (rand, 0, 0.5);
      low_tongue.u[SL_FALL_AWAY] += in.frets > in.joint ? test_between (rand, -0.3, 0.3) : 0;
      operation.amount = sl_number (test_between (rand, 0, 0.3));
      if (g_rand_boolean (rand))
        operation.frets = (guint64) g_rand_int (rand) & ((G_GUINT64_CONSTANT (2) << in.frets) - 2);
      sl_operation_apply (&in, &operation, &plain_tongue);
      sl_operation_apply (&in, &operation, &low_tongue);
      for (int n = 1; n <= in.joint; n++)
        g_assert_cmpfloat (plain_tongue.crown[n], ==, low_tongue.crown[n]);
    }
}

/* ---- single crowns ---- */

static void
test_spot (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* frets 9 and 10 0.08 and 0.06 high between 8 at 0 and 11 at −0.02: they come down to the line from 8 to 11, which
   * after equal temperament lies at (1 − 2^(-1/12))/(1 − 2^(-3/12)) = 0.056126/0.159104 = 0.352760 of the way at 9 and
   * (1 − 2^(-2/12))/(1 − 2^(-3/12)) = 0.109101/0.159104 = 0.685722 at 10 */
  plain (&c);
  c.state.crown[9] = 0.08;
  c.state.crown[10] = 0.06;
  c.state.crown[11] = -0.02;
  level (&c, 1 << 9 | 1 << 10, 0, &work);
  assert_near (work.frets[9].off, 0.08 + 0.02 * 0.352760, 1e-7);
  assert_near (work.frets[10].off, 0.06 + 0.02 * 0.685722, 1e-7);
  assert_near (work.sum_off, work.frets[9].off + work.frets[10].off, 1e-12);
  /* at an end the nearest one holds: fret 1 to fret 2, the joint to fret 13, whatever stands beyond it */
  c.state.crown[1] = 0.05;
  c.state.crown[2] = 0.01;
  c.state.crown[14] = 0.04;
  c.state.crown[15] = -0.30;
  level (&c, 1 << 1 | 1 << 14, 0, &work);
  assert_near (work.frets[1].off, 0.04, 1e-12);
  assert_near (work.frets[14].off, 0.04, 1e-12);
  /* never up */
  level (&c, 1 << 11, 0, &work);
  g_assert_cmpfloat (work.frets[11].off, ==, 0);
  /* all up to the joint: the board, without the tongue */
  c.state.crown[20] = 0.5;
  level (&c, (1 << 15) - 2, 0, &work);
  assert_near (work.level, -0.02, 1e-12);
  g_assert_cmpfloat (work.frets[20].off, ==, 0);
  assert_near (work.frets[1].off, 0.07, 1e-12);
}

/* ---- wear ---- */

static void
test_marks (void)
{
  g_auto (Case) c = { 0 };
  SlLevelling work;

  /* a mark of 0.12 at fret 2: the board comes down to its bottom, and it is gone; one of 0.04 at fret 3 with it */
  plain (&c);
  sl_state_set_wear (&c.state, 1, 2, 0.12);
  sl_state_set_wear (&c.state, 2, 3, 0.04);
  level (&c, 0, 0, &work);
  assert_near (work.level, -0.12, 1e-12);
  assert_near (work.frets[2].off, 0.12, 1e-12);
  g_assert_true (work.frets[2].lowest);
  assert_near (work.deepest, 0, 1e-12);
  SlOperation operation = sl_operation_init (SL_OP_LEVEL_FRETS);
  SlState after = c.state;
  sl_operation_apply (&c.in, &operation, &after);
  g_assert_cmpfloat (sl_state_wear (&after, 1, 2), ==, 0);
  g_assert_cmpfloat (sl_state_wear (&after, 2, 3), ==, 0);
  /* marks of 0.05 and less stay: nothing comes off, and 0.05 more would take the deepest */
  sl_state_set_wear (&c.state, 1, 2, 0.05);
  level (&c, 0, 0, &work);
  assert_near (work.most_off, 0, 1e-12);
  assert_near (work.deepest, 0.05, 1e-12);
  /* levelling for a crown 0.03 low leaves of them what it does not take: 0.02 and 0.01 */
  c.state.crown[7] = -0.03;
  after = c.state;
  sl_operation_apply (&c.in, &operation, &after);
  assert_near (sl_state_wear (&after, 1, 2), 0.02, 1e-9);
  assert_near (sl_state_wear (&after, 2, 3), 0.01, 1e-9);
}

static void
test_worn_gap (void)
{
  g_auto (Case) c = { 0 };
  SlStringState whole, worn;

  /* wear of fret 2 below string 1 alone adds to that string's gap over it, and takes from where the string held there
   * starts; no other gap moves */
  plain (&c);
  for (int s = 1; s <= 6; s++)
    test_set_string (&c.state, s, 0.5, 5);
  SlState before = c.state;
  test_add (&c.set, SL_READ_CROWN_WEAR, 1, 2, SL_HELD_DEFAULT, 0.08);
  sl_fill_known (&c.in, &c.set, NULL, &c.state);
  for (int s = 1; s <= 6; s++)
    for (int held = 0; held < 20; held++)
      for (int n = held + 1; n <= 20; n++)
        {
          double moved = 0;

          sl_state_string (&c.in, &before, s, &whole);
          sl_state_string (&c.in, &c.state, s, &worn);
          if (s == 1 && n == 2)
            moved = 0.08;
          if (s == 1 && held == 2)
            moved = -0.08 * (632 - c.in.x[0][n]) / (632 - c.in.x[0][2]);
          assert_near (sl_gap (&worn, held, n) - sl_gap (&whole, held, n), moved, 1e-9);
        }
}

/* A reading over a worn fret is understood: the fit gives back the state it was read off. */
static void
test_worn_readings (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_auto (Case) c = { .set = test_set () };
      SlFit fit;

      sl_instrument_from_profile (profile, &c.in);
      test_state (rand, &c.in, &c.state);
      for (int n = 1; n <= 12; n++)
        {
          const int s = g_rand_int_range (rand, 1, c.in.n_strings + 1);
          const double depth = g_rand_int_range (rand, 1, 120) / 1000.0;

          sl_state_set_wear (&c.state, s, n, depth);
          test_add (&c.set, SL_READ_CROWN_WEAR, s, n, SL_HELD_DEFAULT, depth);
        }
      test_read_known (&c.in, &c.state, &c.set);
      test_read_all (rand, &c.in, &c.state, &c.set);
      sl_fit (&c.in, &c.set, &fit);
      for (int k = 0; k < c.state.n_unknowns; k++)
        assert_near (fit.state.u[k], c.state.u[k], 1e-7);
      sl_fit_clear (&fit);
    }
}

/* ---- new frets ---- */

static void
test_replace (void)
{
  g_auto (Case) c = { 0 };
  SlOperation new = sl_operation_init (SL_OP_REPLACE_FRETS);
  SlLevelling work;

  /* 1 to 5 lie 0.20 low and are marked; the rest is level at −0.02 (levelled by that much): new crowns, 1.10 high on
   * the same board, come down to it and keep 1.08 */
  plain (&c);
  for (int n = 1; n <= 20; n++)
    c.state.crown[n] = n <= 5 ? -0.20 : -0.02;
  sl_state_set_wear (&c.state, 1, 2, 0.10);
  sl_state_set_wear (&c.state, 1, 6, 0.04);
  new.from = 1;
  new.to = 5;
  SlState after = c.state;
  sl_operation_apply (&c.in, &new, &after);
  for (int n = 1; n <= 20; n++)
    {
      assert_near (after.crown[n], -0.02, 1e-12);
      assert_near (sl_state_crown_over_board (&c.in, &after, n), 1.08, 1e-12);
    }
  g_assert_cmpfloat (sl_state_wear (&after, 1, 2), ==, 0);
  assert_near (sl_state_wear (&after, 1, 6), 0.04, 1e-9);
  /* lower wire does not reach it: 1.00 high it stands at −0.10 */
  new.amount_treble = sl_number (1.00);
  after = c.state;
  sl_operation_apply (&c.in, &new, &after);
  assert_near (after.crown[3], -0.10, 1e-12);
  assert_near (sl_state_crown_over_board (&c.in, &after, 3), 1.00, 1e-12);
  /* all of them, of higher wire: level among themselves at its full height, and so much higher over the board */
  new.to = 20;
  new.amount_treble = sl_number (1.30);
  after = c.state;
  sl_operation_apply (&c.in, &new, &after);
  for (int n = 1; n <= 14; n++)
    assert_near (after.crown[n], 0.20, 1e-12);
  /* a new crown on a tongue that rises is dressed to the fall-away, 0.10 by default; on one that falls it follows it */
  new.from = new.to = 20;
  new.amount_treble = SL_NUMBER_ABSENT;
  c.state.u[SL_FALL_AWAY] = -0.08;
  after = c.state;
  sl_operation_apply (&c.in, &new, &after);
  assert_near (sl_height_over_chord (&c.in, &after, 20), -0.10, 1e-12);
  c.state.u[SL_FALL_AWAY] = 0.18;
  after = c.state;
  sl_operation_apply (&c.in, &new, &after);
  assert_near (sl_height_over_chord (&c.in, &after, 20), -0.18, 1e-12);

  /* as planned before levelling, the table shows them new, of their own width */
  g_autoptr (GArray) plan = g_array_new (FALSE, TRUE, sizeof (SlOperation));
  new.from = 1;
  new.to = 5;
  new.amount = sl_number (2.7);
  g_array_append_val (plan, new);
  g_assert_false (sl_level_planned (&c.in, &c.state, plan, NULL, &work));
  for (int n = 1; n <= 20; n++)
    g_assert_cmpint (work.frets[n].replaced, ==, n <= 5);
  assert_near (work.frets[5].width, 2.7, 1e-12);
  assert_near (work.frets[6].width, 2.3, 1e-12);
  g_assert_cmpint (work.n_replaced, ==, 5);
}

/* ---- what can't be read ---- */

static void
test_refused (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlBound gap = sl_ask_bound (profile, SL_READ_CROWN_GAP), height = sl_ask_bound (profile, SL_READ_CROWN_HEIGHT);
  g_autofree char *too_wide = sl_bound_complaint (&gap, 1.2), *too_low = sl_bound_complaint (&height, 0.05),
                  *sound = sl_bound_complaint (&gap, 1.1);

  /* crowns are 1.10 high by default */
  g_assert_cmpfloat (gap.most, ==, 1.10);
  g_assert_nonnull (strstr (too_wide, "1.2"));
  g_assert_nonnull (strstr (too_wide, "0 to 1.1 mm"));
  g_assert_nonnull (strstr (too_low, "0.05"));
  g_assert_nonnull (strstr (too_low, "0.1 to 3 mm"));
  g_assert_null (sound);
  profile->fretwire.height = sl_number (1.3);
  gap = sl_ask_bound (profile, SL_READ_CROWN_GAP);
  g_assert_cmpfloat (gap.most, ==, 1.3);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/frets/crown", test_crown);
  g_test_add_func ("/frets/lowest", test_lowest);
  g_test_add_func ("/frets/fall-away", test_fall_away);
  g_test_add_func ("/frets/heights", test_heights);
  g_test_add_func ("/frets/same-as-operation", test_same_as_operation);
  g_test_add_func ("/frets/rocking", test_rocking);
  g_test_add_func ("/frets/one-worn", test_one_worn);
  g_test_add_func ("/frets/worn-and-thin", test_worn_and_thin);
  g_test_add_func ("/frets/fewest", test_fewest);
  g_test_add_func ("/frets/none-lost", test_none_lost);
  g_test_add_func ("/frets/few-in-a-row", test_few_in_a_row);
  g_test_add_func ("/frets/tongue", test_tongue);
  g_test_add_func ("/frets/rising", test_rising);
  g_test_add_func ("/frets/joint-first", test_joint_first);
  g_test_add_func ("/frets/spot", test_spot);
  g_test_add_func ("/frets/marks", test_marks);
  g_test_add_func ("/frets/worn-gap", test_worn_gap);
  g_test_add_func ("/frets/worn-readings", test_worn_readings);
  g_test_add_func ("/frets/replace", test_replace);
  g_test_add_func ("/frets/refused", test_refused);
  return g_test_run ();
}
