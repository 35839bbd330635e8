/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two scale lengths and strings in courses: where frets, strings and the nut lie, worked by hand. */
#include "setup/physics/nut.h"

#include "support.h"

/* Eight strings, 25.5 in to 27 in. */
static SlProfile *
slanting_profile (void)
{
  SlProfile *profile = test_plain_profile ();

  profile->n_strings = 8;
  for (int s = 6; s < 8; s++)
    {
      profile->strings[s] = profile->strings[5];
      profile->strings[s].note = g_strdup (s == 6 ? "B1" : "F#1");
    }
  profile->neck.frets = 24;
  profile->neck.scale_length = sl_number (647.7);
  profile->neck.scale_length_bass = sl_number (685.8);
  profile->neck.nut_width = sl_number (54);
  return profile;
}

/* Twelve-tone equal temperament by hand: 2^(−1/12) = 0.94387431, 2^(−5/12) = 0.74915354, 2^(−7/12) = 0.66741993. */
static void
test_fret_places (void)
{
  static const struct
  {
    int fret;
    double treble, bass;
  } rows[] = { { 0, 0, 0 },
               { 1, 36.3526, 38.4910 },
               { 5, 162.4733, 172.0305 },
               { 7, 215.4121, 228.0834 },
               { 12, 323.85, 342.90 },
               { 24, 485.775, 514.35 } };
  g_autoptr (SlProfile) profile = slanting_profile ();
  SlInstrument in;

  sl_instrument_from_profile (profile, &in);
  g_assert_true (sl_frets_slant (&in));
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      assert_near (in.x[0][rows[i].fret], rows[i].treble, 1e-4);
      assert_near (in.x[7][rows[i].fret], rows[i].bass, 1e-4);
    }
  /* eight strings evenly over the bridge: 38.1/7 = 5.442857 more from one to the next, 664.0286 of the fourth */
  assert_near (in.scale[3], 664.0286, 1e-4);
  assert_near (in.x[3][12], 332.0143, 1e-4);
}

/* Along the centre line the square fret, 7 where none is given, is as far down below every string; the treble's nut
 * lies 38.1 · 0.33258007 = 12.6713 nearer to the bridge than the bass's, and its scale ends 38.1 − 12.6713 before it.
 */
static void
test_square_fret (void)
{
  g_autoptr (SlProfile) profile = slanting_profile ();
  SlInstrument in;

  sl_instrument_from_profile (profile, &in);
  assert_near (sl_nut_offset (&in, 8), 0, 1e-12);
  assert_near (sl_nut_offset (&in, 1), 12.6713, 1e-4);
  for (int s = 1; s <= 8; s++)
    assert_near (sl_nut_offset (&in, s) + in.x[s - 1][7], 228.0834, 1e-4);
  assert_near (in.scale[7] - sl_nut_offset (&in, 1) - in.scale[0], 25.4287, 1e-4);
  profile->neck.square_fret = 12;
  sl_instrument_from_profile (profile, &in);
  assert_near (sl_nut_offset (&in, 1), 19.05, 1e-9);
  /* the longer scale on the treble side: its nut is the farther one */
  profile->neck.scale_length = sl_number (685.8);
  profile->neck.scale_length_bass = sl_number (647.7);
  sl_instrument_from_profile (profile, &in);
  assert_near (sl_nut_offset (&in, 1), 0, 1e-12);
  assert_near (sl_nut_offset (&in, 8), 19.05, 1e-9);
}

static void
test_equal_scales (void)
{
  g_autoptr (SlProfile) one = slanting_profile (), both = NULL;
  SlInstrument plain, equal;

  one->neck.scale_length_bass = SL_NUMBER_ABSENT;
  both = sl_profile_copy (one);
  both->neck.scale_length_bass = both->neck.scale_length;
  sl_instrument_from_profile (one, &plain);
  sl_instrument_from_profile (both, &equal);
  g_assert_false (sl_frets_slant (&equal));
  equal.profile = plain.profile;
  g_assert_cmpmem (&plain, sizeof plain, &equal, sizeof equal);
  both->hand = SL_HAND_LEFT;
  sl_instrument_from_profile (both, &equal);
  g_assert_true (equal.left_handed);
  equal.left_handed = FALSE;
  equal.profile = plain.profile;
  g_assert_cmpmem (&plain, sizeof plain, &equal, sizeof equal);
}

/* A string of 0.5 mm at the nut and 3.5 mm at the crest, on a straight neck: open over fret 12 it is half-way up,
 * 2.0 mm, whatever its scale; over fret 1 0.5 + 3 · 0.05612569 = 0.66838. A setback of 2 mm is more of the shorter
 * scale: 0.5 + 3 · 323.85/649.7 = 1.99538, and 0.5 + 3 · 342.9/687.8 = 1.99564. */
static void
test_gaps (void)
{
  g_autoptr (SlProfile) profile = slanting_profile ();
  SlInstrument in;
  SlState state;
  SlStringState s;

  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  for (int string = 1; string <= 8; string++)
    {
      test_set_string (&state, string, 0.5, 3.5);
      assert_near (sl_state_gap (&in, &state, string, 12), 2.0, 1e-9);
      assert_near (sl_state_gap (&in, &state, string, 1), 0.66838, 1e-5);
      state.setback[string - 1] = 2;
    }
  assert_near (sl_state_gap (&in, &state, 1, 12), 1.99538, 1e-5);
  assert_near (sl_state_gap (&in, &state, 8, 12), 1.99564, 1e-5);
  sl_state_string (&in, &state, 8, &s);
  assert_near (s.x_s, 687.8, 1e-9);
}

/* Four courses of two strings of 0.3 mm on a nut of 30 mm with margins of 3: 24 − 8 · 0.3 − 4 · 1.2 = 16.8 mm are left
 * for three gaps of 5.6. From the treble edge's +15: 15 − 3 − 0.15 = 11.85, 1.5 further 10.35, then 5.9 further 4.45.
 * Across a spread of 40 mm the courses' middles lie from 18.75 to −18.75, 12.5 mm apart. */
static void
test_courses (void)
{
  g_autoptr (SlProfile) profile = slanting_profile ();
  SlInstrument in;
  double y[SL_MAX_STRINGS];

  profile->courses = 4;
  profile->neck.nut_width = sl_number (30);
  profile->bridge.spread = sl_number (40);
  sl_instrument_from_profile (profile, &in);
  g_assert_true (sl_slot_centres (&in, y));
  assert_near (y[0], 11.85, 1e-9);
  assert_near (y[1], 10.35, 1e-9);
  assert_near (y[2], 4.45, 1e-9);
  assert_near (y[7], -11.85, 1e-9);
  sl_bridge_places (&in, y);
  assert_near (y[0], 20, 1e-9);
  assert_near (y[1], 17.5, 1e-9);
  assert_near (y[2], 7.5, 1e-9);
  assert_near (y[3], 5, 1e-9);
  assert_near (y[7], -20, 1e-9);
  /* the scale follows the place, not the number: 2.5 of 40 mm from the treble */
  assert_near (in.scale[1], 647.7 + 38.1 * 2.5 / 40, 1e-9);
  /* strings too near each other for that stay evenly spread */
  profile->bridge.spread = sl_number (14);
  sl_instrument_from_profile (profile, &in);
  sl_bridge_places (&in, y);
  for (int s = 0; s < 8; s++)
    assert_near (y[s], 7 - 2 * s, 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/slant/fret-places", test_fret_places);
  g_test_add_func ("/slant/square-fret", test_square_fret);
  g_test_add_func ("/slant/equal-scales", test_equal_scales);
  g_test_add_func ("/slant/gaps", test_gaps);
  g_test_add_func ("/slant/courses", test_courses);
  return g_test_run ();
}
