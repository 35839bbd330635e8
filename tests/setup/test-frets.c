/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levelling against cases worked by hand, the alternative against every choice of frets, and crowns against plain
 * geometry. */
#include "../rounds.h"
#include "setup/profile/bounds.h"
#include "setup/physics/frets.h"
#include "setup/work/work.h"
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
  c->set = test_set ();
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
  sl_level (&c.in, &c.state, NULL, 0, &work);
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
  sl_level (&c.in, &c.state, NULL, 0.3, &work);
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
  sl_level (&c.in, &c.state, &c.set, 0, &work);
  assert_near (work.frets[4].height, 0.90, 1e-12);
  assert_near (work.frets[8].height, 0.80, 1e-12);
  assert_near (work.frets[6].height, 0.86, 1e-12);
  assert_near (work.frets[1].height, 0.90, 1e-12);
  assert_near (work.frets[20].height, 0.90, 1e-12);
  /* the mean of repeated readings; one set aside does not count */
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, 0.94);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, 0.20)->use = SL_USE_NEVER;
  sl_level (&c.in, &c.state, &c.set, 0, &work);
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
      sl_level (&in, &by_table, NULL, operation.amount.v, &work);
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
  sl_level (&c.in, &c.state, NULL, 0, &work);
  assert_near (work.frets[9].rocking, 0.05, 1e-12);
  assert_near (work.frets[10].rocking, -0.05 * 0.4855635, 1e-8);
  for (int n = 1; n <= 20; n++)
    g_assert_cmpint (work.frets[n].rocks, ==, n == 9);
  g_assert_true (isnan (work.frets[1].rocking));
  g_assert_true (isnan (work.frets[20].rocking));
  /* at the tolerance it does not rock yet */
  c.state.crown[9] = SL_ROCKING_TOLERANCE_MM;
  sl_level (&c.in, &c.state, NULL, 0, &work);
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
  sl_level (&c.in, &c.state, NULL, 0, &work);
  g_assert_cmpint (work.n_lost, ==, 20);
  sl_level_replacing (&c.in, &c.state, NULL, 0, &other);
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
  sl_level (&c.in, &c.state, &c.set, 0, &work);
  g_assert_cmpint (work.n_lost, ==, 20);
  sl_level_replacing (&c.in, &c.state, &c.set, 0, &other);
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
      sl_level_replacing (&c.in, &c.state, &c.set, 0, &other);
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

  /* where levelling loses nothing the alternative is levelling */
  plain (&c);
  c.state.crown[7] = -0.12;
  sl_level (&c.in, &c.state, NULL, 0.1, &work);
  sl_level_replacing (&c.in, &c.state, NULL, 0.1, &other);
  g_assert_cmpint (other.n_replaced, ==, 0);
  for (int n = 1; n <= 20; n++)
    assert_near (work.frets[n].off, other.frets[n].off, 1e-12);
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
  g_test_add_func ("/frets/refused", test_refused);
  return g_test_run ();
}
