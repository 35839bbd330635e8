/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Slots, the saddle's top and its radius, against plain geometry. */
#include "setup/physics/forces.h"
#include "setup/physics/nut.h"
#include "setup/profile/sets.h"
#include "support.h"

/* A nut that has room for its strings. */
static gboolean
random_instrument (GRand *rand, SlInstrument *in)
{
  g_autoptr (SlProfile) profile = test_any_profile (rand);

  profile->neck.nut_width = sl_number (test_between (rand, 36, 60));
  profile->nut.given = TRUE;
  profile->nut.edge_margin_bass = sl_number (test_between (rand, 2, 4));
  profile->nut.edge_margin_treble = sl_number (test_between (rand, 2, 4));
  sl_instrument_from_profile (profile, in);
  return TRUE;
}

static void
test_equal_gaps (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 200; i++)
    {
      SlInstrument in;
      double y[SL_MAX_STRINGS];

      random_instrument (rand, &in);
      if (!sl_slot_centres (&in, y) || in.courses < 2)
        continue;
      /* margins at the outer strings' edges, one clear gap everywhere between courses, and the stated one in them */
      assert_near (in.nut_width / 2 - (y[0] + in.strings[0].outside_mm / 2), in.edge_margin_treble, 1e-9);
      int last = in.n_strings - 1;
      assert_near (in.nut_width / 2 + (y[last] - in.strings[last].outside_mm / 2), in.edge_margin_bass, 1e-9);
      double between = NAN;
      for (int s = 0; s < last; s++)
        {
          double gap = y[s] - y[s + 1] - (in.strings[s].outside_mm + in.strings[s + 1].outside_mm) / 2;
          gboolean inside = in.course[s] == in.course[s + 1];

          assert_near (gap, inside ? 1.2 : isnan (between) ? gap : between, 1e-9);
          between = inside ? between : gap;
        }
    }
}

static void
test_no_room (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  double y[SL_MAX_STRINGS];

  profile->neck.nut_width = SL_NUMBER_ABSENT;
  sl_instrument_from_profile (profile, &in);
  g_assert_false (sl_slot_centres (&in, y));
  profile->neck.nut_width = sl_number (6.5); /* two margins of 3 mm and six strings */
  sl_instrument_from_profile (profile, &in);
  g_assert_false (sl_slot_centres (&in, y));
  for (int s = 0; s < SL_MAX_STRINGS; s++)
    g_assert_cmpfloat (y[s], ==, 0);
}

static void
test_straight_ways (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 50; i++)
    {
      SlInstrument in;
      SlState state;
      double nut[SL_MAX_STRINGS], bridge[SL_MAX_STRINGS];

      random_instrument (rand, &in);
      test_state (rand, &in, &state);
      sl_slot_centres (&in, nut);
      sl_bridge_places (&in, bridge);
      for (int s = 1; s <= in.n_strings; s++)
        {
          double x_s = in.scale[s - 1] + state.setback[s - 1];

          assert_near (sl_across (&in, &state, s, 0), nut[s - 1], 1e-9);
          assert_near (sl_across (&in, &state, s, x_s), bridge[s - 1], 1e-9);
          assert_near (sl_across (&in, &state, s, x_s / 2), (nut[s - 1] + bridge[s - 1]) / 2, 1e-9);
        }
      if (in.n_strings > 1)
        assert_near (bridge[0] - bridge[in.n_strings - 1], in.spread, 1e-9);
    }
}

static void
test_slot (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state;
  SlSlot slot;

  profile->headstock.given = TRUE;
  profile->headstock.tilt = sl_number (15);
  profile->headstock.string_rise = sl_number (4);
  profile->headstock.posts[0] = (SlPost){ 6, sl_number (60), sl_number (0), sl_number (4) };
  profile->headstock.n_posts = 1;
  profile->nut.given = TRUE;
  profile->nut.slot_allowance = sl_number (0.07);
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  test_set_string (&state, 6, 0.5, 4);
  sl_slot (&in, &state, 6, &slot);
  assert_near (slot.width, in.strings[5].outside_mm + 0.07, 1e-12);
  assert_near (slot.width, sl_slot_width (&in, 6), 1e-12);
  /* a straight neck: the crown chord lies a crown's height over the board */
  assert_near (slot.floor, 0.5 + in.crown_height, 1e-12);
  /* wrap as high over the head's face as the string at the nut: the string falls back by the head's tilt; the floor by
   * less, so that the front edge speaks */
  g_assert_true (slot.has_angle);
  assert_near (slot.string_angle, 15 * G_PI / 180, 1e-12);
  g_assert_cmpfloat (slot.floor_angle, >, 0);
  g_assert_cmpfloat (slot.floor_angle, <, slot.string_angle);
  sl_slot (&in, &state, 1, &slot);
  g_assert_false (slot.has_angle);
}

static void
test_break_parts (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 200; i++)
    {
      SlInstrument in;
      SlState state;
      SlStringState s;
      double upright, across;

      random_instrument (rand, &in);
      test_state (rand, &in, &state);
      int string = g_rand_int_range (rand, 1, in.n_strings + 1);
      if (!in.has_post[string - 1])
        continue;
      sl_state_string (&in, &state, string, &s);
      /* the rear direction's angles add up as those of a right-angled spherical triangle: cos whole = cos upright · cos
       * across */
      g_assert_true (sl_nut_break_parts (&s, &upright, &across));
      assert_near (cos (sl_nut_break (&s)), cos (upright) * cos (across), 1e-9);
      /* a post in line leaves the upright part alone */
      in.post_side[string - 1] = 0;
      sl_nut_break_parts (&s, &upright, &across);
      assert_near (across, 0, 1e-12);
      assert_near (fabs (upright), sl_nut_break (&s), 1e-9);
    }
}

static void
test_tree (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state;
  SlStringState s;
  double far;

  /* a string tree is a nearer post at the same height: it makes the break steeper (geometry) */
  profile->headstock.given = TRUE;
  profile->headstock.tilt = sl_number (0);
  profile->headstock.string_rise = sl_number (9);
  profile->headstock.posts[0] = (SlPost){ 1, sl_number (140), sl_number (2), sl_number (3) };
  profile->headstock.n_posts = 1;
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  test_set_string (&state, 1, 0.4, 3);
  sl_state_string (&in, &state, 1, &s);
  far = sl_nut_break (&s);
  in.post_distance[0] = 45;
  g_assert_cmpfloat (sl_nut_break (&s), >, 2 * far);
}

static void
test_arc (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;

  /* 12 in radius, 1 in from the middle: 304.8 (sqrt(1 − 1/144) − 1) = −1.060177 mm (derived) */
  profile->neck.board_radius_nut = profile->neck.board_radius_end = sl_number (304.8);
  sl_instrument_from_profile (profile, &in);
  assert_near (sl_board_arc (&in, 1, 100, 25.4), -1.060177, 5e-6);
  assert_near (sl_board_arc (&in, 1, 100, -25.4), -1.060177, 5e-6);
  assert_near (sl_board_arc (&in, 1, 100, 0), 0, 1e-12);
  /* compound: linear from nut to last fret, half way the mean */
  profile->neck.board_radius_end = sl_number (406.4);
  sl_instrument_from_profile (profile, &in);
  double middle = in.x[0][in.frets] / 2;
  assert_near (sl_board_arc (&in, 1, middle, 20), sqrt (355.6 * 355.6 - 400) - 355.6, 1e-9);
  /* one radius given stands for the whole board; none is flat */
  profile->neck.board_radius_nut = SL_NUMBER_ABSENT;
  sl_instrument_from_profile (profile, &in);
  assert_near (sl_board_arc (&in, 1, 0, 20), sqrt (406.4 * 406.4 - 400) - 406.4, 1e-9);
  profile->neck.board_radius_end = SL_NUMBER_ABSENT;
  sl_instrument_from_profile (profile, &in);
  g_assert_cmpfloat (sl_board_arc (&in, 1, 300, 20), ==, 0);
}

static void
test_radius (void)
{
  g_autoptr (GRand) rand = test_rand ();
  double y[8], height[8], residual;

  for (int i = 0; i < 100; i++)
    {
      double r = test_between (rand, 100, 1500) * (g_rand_boolean (rand) ? 1 : -1), middle = test_between (rand, -8, 8),
             top = test_between (rand, 0, 10);

      for (int k = 0; k < 8; k++)
        {
          y[k] = 30 - 8 * k;
          height[k] = top + copysign (sqrt (r * r - pow (y[k] - middle, 2)), r) - r;
        }
      /* a circle off the middle is one of the same radius with a tilt, as nearly as (y/r)² is small */
      assert_near (sl_fit_radius (y, height, 8, &residual) / r, 1, 0.02);
      assert_near (residual, 0, 0.02);
    }
  for (int k = 0; k < 8; k++)
    height[k] = 3 + 0.05 * y[k];
  g_assert_true (isinf (sl_fit_radius (y, height, 8, &residual)));
  assert_near (residual, 0, 1e-9);
  for (int k = 0; k < 8; k++)
    height[k] = sqrt (250 * 250 - y[k] * y[k]);
  assert_near (sl_fit_radius (y, height, 8, NULL), 250, 1e-4);
  g_assert_true (isnan (sl_fit_radius (y, height, 2, NULL)));
}

static void
test_saddle_follows_board (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state;
  double y[SL_MAX_STRINGS], height[SL_MAX_STRINGS];

  /* strings as far apart at the nut as at the bridge, all as high over the crowns: the saddle takes the board's radius
   */
  profile->neck.board_radius_nut = profile->neck.board_radius_end = sl_number (300);
  profile->bridge.given = TRUE;
  profile->bridge.spread = sl_number (50);
  for (int i = 0; i < 6; i++)
    profile->strings[i].core_diameter = sl_number (0.4), profile->strings[i].build = SL_BUILD_PLAIN;
  profile->neck.nut_width = sl_number (50 + 0.4 + 6);
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  for (int s = 1; s <= 6; s++)
    test_set_string (&state, s, 0.5, 4);
  sl_saddle_top (&in, &state, y, height);
  assert_near (sl_fit_radius (y, height, 6, NULL), 300, 1e-3);
  for (int i = 0; i < 6; i++)
    assert_near (height[i], 4 + sqrt (300 * 300 - y[i] * y[i]) - 300, 1e-9);
  /* on a flat board it is what the crests are */
  in.board_radius_nut = in.board_radius_end = INFINITY;
  sl_saddle_top (&in, &state, y, height);
  for (int i = 0; i < 6; i++)
    assert_near (height[i], 4, 1e-12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/nut/equal-gaps", test_equal_gaps);
  g_test_add_func ("/nut/no-room", test_no_room);
  g_test_add_func ("/nut/straight-ways", test_straight_ways);
  g_test_add_func ("/nut/slot", test_slot);
  g_test_add_func ("/nut/break-parts", test_break_parts);
  g_test_add_func ("/nut/tree", test_tree);
  g_test_add_func ("/nut/arc", test_arc);
  g_test_add_func ("/nut/radius", test_radius);
  g_test_add_func ("/nut/saddle-follows-board", test_saddle_follows_board);
  return g_test_run ();
}
