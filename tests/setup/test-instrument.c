/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is known of an instrument before any reading: fret places, notes, defaults, interpolation between strings. */
#include "setup/physics/forces.h"
#include "setup/profile/instrument.h"
#include "support.h"

static void
test_notes (void)
{
  /* f = 440 · 2^((m − 69)/12), A4 = 440 Hz: ISO 16 (memory); the other values derived from it */
  static const struct
  {
    const char *note;
    double hertz;
  } notes[] = {
    { "A4", 440 },       { "E2", 82.4069 },   { "A2", 110 },       { "D3", 146.8324 },  { "G3", 195.9977 },
    { "B3", 246.9417 },  { "E4", 329.6276 },  { "C0", 16.3516 },   { "B8", 7902.1328 }, { "F#3", 184.9972 },
    { "Gb3", 184.9972 }, { "Bb2", 116.5409 }, { "C♯4", 277.1826 }, { "D♭4", 277.1826 }, { "e4", 329.6276 }
  };
  static const char *const wrong[] = { "", "H3", "E", "E9", "E44", "E-1", "4E", "E4 ", "E#", "########A4" };

  for (gsize i = 0; i < G_N_ELEMENTS (notes); i++)
    assert_near (sl_note_frequency (notes[i].note), notes[i].hertz, 1e-4);
  for (gsize i = 0; i < G_N_ELEMENTS (wrong); i++)
    g_assert_true (isnan (sl_note_frequency (wrong[i])));
  g_assert_true (isnan (sl_note_frequency (NULL)));
}

static void
test_frets (void)
{
  /* fret divisor 17.8171537: published as 17.817, Byers, American Lutherie 47 (1996); more digits derived */
  assert_near (1 / (sl_fret_place (1, 1) - sl_fret_place (1, 0)), 17.8171537, 1e-7);
  /* scale 647.7 mm: derived */
  assert_near (sl_fret_place (647.7, 1), 36.353, 5e-4);
  assert_near (sl_fret_place (647.7, 5), 162.473, 5e-4);
  assert_near (sl_fret_place (647.7, 12), 323.850, 5e-4);
  assert_near (sl_fret_place (647.7, 14), 359.182, 5e-4);
  assert_near (sl_fret_place (647.7, 22), 465.945, 5e-4);
}

static void
test_between_strings (void)
{
  g_assert_cmpfloat (sl_between_strings (1.7, 2.3, 1, 6), ==, 1.7);
  assert_near (sl_between_strings (1.7, 2.3, 6, 6), 2.3, 1e-15);
  assert_near (sl_between_strings (1.7, 2.3, 3, 6), 1.94, 1e-15);
  g_assert_cmpfloat (sl_between_strings (1.7, 2.3, 1, 1), ==, 1.7);
}

static void
test_defaults (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;

  /* the format's defaults (docs/format.md); the values themselves are common practice */
  sl_instrument_from_profile (profile, &in);
  g_assert_cmpint (in.frets, ==, 20);
  g_assert_cmpfloat (in.crown_width, ==, 2.3);
  g_assert_cmpfloat (in.crown_height, ==, 1.10);
  g_assert_cmpfloat (in.crown_least, ==, 0.60);
  g_assert_cmpfloat (in.tilt_rad, ==, 0);
  g_assert_cmpfloat (in.edge_margin_bass, ==, 3);
  g_assert_cmpfloat (in.edge_margin_treble, ==, 3);
  g_assert_cmpfloat (in.slot_allowance, ==, 0.05);
  g_assert_cmpfloat (in.friction, ==, 0.15);
  g_assert_cmpint (in.bridge, ==, SL_BRIDGE_PINNED);
  g_assert_cmpfloat (in.spread, ==, 52);
  g_assert_cmpfloat (in.saddle_thickness, ==, 2.5);
  g_assert_cmpfloat (in.saddle_lean_rad, ==, 0);
  g_assert_cmpfloat (in.least_exposure, ==, 0);
  g_assert_cmpfloat (in.pluck_force_n, ==, 1.6);
  g_assert_cmpfloat (in.pluck_distance, ==, 130);
  g_assert_cmpfloat (in.upright_share, ==, 0.5);
  g_assert_cmpfloat (in.finger_distance, ==, 10);
  g_assert_cmpint (in.pluck_direction, ==, SL_PLUCK_EITHER);
  g_assert_cmpint (in.stiff_ends, ==, SL_STIFF_ENDS_ONE);
  g_assert_cmpfloat (in.target_relief, ==, 0.15);
  g_assert_cmpfloat (in.relief_tolerance, ==, 0.05);
  g_assert_cmpfloat (in.target_action[0], ==, 1.8);
  assert_near (in.target_action[5], 2.3, 1e-15);
  g_assert_cmpfloat (in.action_tolerance, ==, 0.15);
  g_assert_cmpfloat (in.target_first_gap[0], ==, 0.40);
  assert_near (in.target_first_gap[5], 0.50, 1e-15);
  g_assert_cmpfloat (in.first_gap_tolerance, ==, 0.05);
  g_assert_true (isinf (in.board_radius_nut) && isinf (in.board_radius_end) && isinf (in.saddle_radius));
  g_assert_true (isnan (in.height_screw_pitch) && isnan (in.length_screw_pitch) && isnan (in.nut_width));
  for (int s = 0; s < 6; s++)
    g_assert_true (!in.has_post[s] && !in.has_anchor[s]);
}

static void
test_anchors (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;

  /* between the given strings in string number, beyond the outermost the nearest; posts are not spread (model 7) */
  profile->bridge.anchors[0] = (SlAnchor){ 5, sl_number (9), sl_number (1.5) };
  profile->bridge.anchors[1] = (SlAnchor){ 2, sl_number (6), SL_NUMBER_ABSENT };
  profile->bridge.n_anchors = 2;
  profile->headstock.posts[0] = (SlPost){ 3, sl_number (60), SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  profile->headstock.n_posts = 1;
  sl_instrument_from_profile (profile, &in);
  static const double distance[] = { 6, 6, 7, 8, 9, 9 }, drop[] = { 0, 0, 0.5, 1, 1.5, 1.5 };
  for (int s = 0; s < 6; s++)
    {
      g_assert_true (in.has_anchor[s]);
      assert_near (in.anchor_distance[s], distance[s], 1e-12);
      assert_near (in.anchor_drop[s], drop[s], 1e-12);
      g_assert_cmpint (in.has_post[s], ==, s == 2);
    }
}

static void
test_string_data (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;

  /* a given unit mass and a given frequency win over what the diameters and the note say */
  profile->strings[0].frequency = sl_number (300);
  profile->strings[1].unit_mass = SL_NUMBER_ABSENT;
  sl_instrument_from_profile (profile, &in);
  g_assert_cmpfloat (in.strings[0].frequency_hz, ==, 300);
  assert_near (in.strings[0].unit_mass_kg_m, 0.57e-3, 1e-18);
  assert_near (in.strings[1].unit_mass_kg_m, sl_unit_mass (SL_BUILD_PLAIN, SL_CORE_STEEL, 0.3, SL_WRAP_NONE, 0), 1e-18);
  /* a wire 0.3 mm thick: area π d²/4, second moment π d⁴/64, steel 200 GPa */
  assert_near (in.strings[0].ea_n, 200e9 * G_PI * 0.3e-3 * 0.3e-3 / 4, 1e-6);
  assert_near (in.strings[0].ei_nm2, 200e9 * G_PI * pow (0.3e-3, 4) / 64, 1e-12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/instrument/notes", test_notes);
  g_test_add_func ("/instrument/frets", test_frets);
  g_test_add_func ("/instrument/between-strings", test_between_strings);
  g_test_add_func ("/instrument/defaults", test_defaults);
  g_test_add_func ("/instrument/anchors", test_anchors);
  g_test_add_func ("/instrument/string-data", test_string_data);
  return g_test_run ();
}
