/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The generic sets and tunings, and putting them on an instrument. */
#include "setup/profile/bounds.h"
#include "setup/physics/forces.h"
#include "setup/profile/sets.h"
#include "support.h"

#define MM_PER_INCH 25.4

static double
outside (const SlString *s)
{
  return s->core_diameter.v + (s->build == SL_BUILD_WOUND ? 2 * s->wrap_diameter.v : 0);
}

static double
tension_at (const SlString *string, double scale_mm)
{
  SlStringData data;

  sl_string_data (string, &data);
  return sl_tension (&data, scale_mm);
}

static double
total_of (const char *id, double scale_mm)
{
  const SlStringSet *set = sl_string_set_find (id);
  double sum = 0;

  g_assert_nonnull (set);
  for (int i = 0; i < set->n_strings; i++)
    sum += tension_at (&set->strings[i], scale_mm);
  return sum;
}

static void
test_named_gauges (void)
{
  /* the outer diameters a set goes by in the trade, inches (common practice) */
  static const struct
  {
    const char *id;
    double first, last;
  } rows[] = { { "acoustic-light", 0.012, 0.053 }, { "acoustic-medium", 0.013, 0.056 }, { "electric-9", 0.009, 0.042 },
               { "electric-10", 0.010, 0.046 },    { "electric-11", 0.011, 0.049 },     { "bass-45", 0.045, 0.105 },
               { "twelve-string", 0.010, 0.047 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const SlStringSet *set = sl_string_set_find (rows[i].id);
      double thickest = 0;

      g_assert_nonnull (set);
      for (int s = 0; s < set->n_strings; s++)
        thickest = MAX (thickest, outside (&set->strings[s]));
      assert_near (outside (&set->strings[0]) / MM_PER_INCH, rows[i].first, 1e-9);
      assert_near (thickest / MM_PER_INCH, rows[i].last, 1e-9);
    }
}

static void
test_all_sound (void)
{
  int n_sets;
  const SlStringSet *sets = sl_string_sets (&n_sets);

  for (int k = 0; k < n_sets; k++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile ();
      g_autoptr (GPtrArray) faults = NULL;

      g_assert_true (sl_string_set_find (sets[k].id) == &sets[k]);
      g_assert_cmpstr (sets[k].name, !=, "");
      /* a profile frees the notes of the strings it has */
      for (int s = sets[k].n_strings; s < profile->n_strings; s++)
        g_clear_pointer (&profile->strings[s].note, g_free);
      profile->n_strings = sets[k].n_strings;
      sl_profile_fit_strings (profile, &sets[k], FALSE);
      g_assert_cmpstr (profile->strings[0].note, ==, sets[k].strings[0].note);
      /* a profile must find nothing wrong with any of them */
      faults = sl_profile_check (profile);
      for (guint i = 0; i < faults->len; i++)
        g_assert_false (strstr (((SlFault *) g_ptr_array_index (faults, i))->message, "string") != NULL);
    }
  g_assert_null (sl_string_set_find ("no-such-set"));
  g_assert_null (sl_string_set_find (NULL));
}

static void
test_tensions (void)
{
  int n_sets;
  const SlStringSet *sets = sl_string_sets (&n_sets);

  /* a 6-string light steel acoustic set pulls about 160 lbf in all (712 N), a medium one more; electric 9 to 11 in
   * their order; nylon about 80 to 100 lbf; all from memory of common practice, hence the wide limits */
  g_assert_cmpfloat (total_of ("acoustic-light", 648), >, 620);
  g_assert_cmpfloat (total_of ("acoustic-light", 648), <, 800);
  g_assert_cmpfloat (total_of ("acoustic-medium", 648), >, total_of ("acoustic-light", 648));
  g_assert_cmpfloat (total_of ("electric-9", 648), <, total_of ("electric-10", 648));
  g_assert_cmpfloat (total_of ("electric-10", 648), <, total_of ("electric-11", 648));
  g_assert_cmpfloat (total_of ("nylon-normal", 650), >, 330);
  g_assert_cmpfloat (total_of ("nylon-normal", 650), <, 460);
  g_assert_cmpfloat (total_of ("nylon-hard", 650), >, total_of ("nylon-normal", 650));
  /* no string of a set is slack or at its limit on the instrument it is for */
  for (int k = 0; k < n_sets; k++)
    for (int i = 0; i < sets[k].n_strings; i++)
      {
        SlStringData data;
        double tension = tension_at (&sets[k].strings[i], g_str_has_prefix (sets[k].id, "bass") ? 864 : 648);

        sl_string_data (&sets[k].strings[i], &data);
        g_assert_cmpfloat (tension, >, 40);
        g_assert_cmpfloat (tension, <, 260);
        if (!isnan (data.strength_pa))
          g_assert_cmpfloat (tension / data.core_area_m2 / data.strength_pa, <, 0.8);
      }
}

static void
test_tunings (void)
{
  int n;
  const SlTuning *tunings = sl_tunings (&n), *standard = test_tuning ("standard"),
                 *down = test_tuning ("half-step-down");

  for (int k = 0; k < n; k++)
    for (int i = 0; i < tunings[k].n_strings; i++)
      g_assert_true (isfinite (sl_note_frequency (tunings[k].notes[i])));
  /* a semitone is 2^(1/12): twelve-tone equal temperament */
  for (int i = 0; i < 6; i++)
    assert_near (sl_note_frequency (standard->notes[i]) / sl_note_frequency (down->notes[i]), exp2 (1 / 12.0), 1e-12);
  /* ISO 16 (memory): A4 = 440 Hz; the rest derived */
  static const double hertz[] = { 329.6276, 246.9417, 195.9977, 146.8324, 110, 82.4069 };
  for (int i = 0; i < 6; i++)
    assert_near (sl_note_frequency (standard->notes[i]), hertz[i], 6e-5);
}

static void
test_tune (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  profile->strings[0].frequency = sl_number (333);
  sl_profile_tune (profile, test_tuning ("dadgad"));
  g_assert_cmpstr (profile->strings[0].note, ==, "D4");
  g_assert_false (sl_number_is_set (profile->strings[0].frequency));
  g_assert_cmpstr (profile->strings[5].note, ==, "D2");
}

static void
test_keeps_notes (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  const SlStringSet *set = sl_string_set_find ("electric-9");

  sl_profile_tune (profile, test_tuning ("drop-d"));
  profile->strings[1].frequency = sl_number (250);
  sl_profile_fit_strings (profile, set, TRUE);
  g_assert_cmpstr (profile->strings[5].note, ==, "D2");
  g_assert_cmpfloat (profile->strings[1].frequency.v, ==, 250);
  assert_near (profile->strings[5].core_diameter.v, set->strings[5].core_diameter.v, 1e-12);
  sl_profile_fit_strings (profile, set, FALSE);
  g_assert_cmpstr (profile->strings[5].note, ==, "E2");
  g_assert_false (sl_number_is_set (profile->strings[1].frequency));
}

/* Courses with the octave on either side get the right string of the set. */
static void
test_courses (void)
{
  static const char *const either[2][12] = { { "E4", "E4", "B3", "B3", "G3", "G4", "D3", "D4", "A2", "A3", "E2", "E3" },
                                             { "E4", "E4", "B3", "B3", "G4", "G3", "D4", "D3", "A3", "A2", "E3",
                                               "E2" } };
  const SlStringSet *set = sl_string_set_find ("twelve-string");

  for (int way = 0; way < 2; way++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile ();

      profile->n_strings = 12;
      for (int i = 0; i < 12; i++)
        {
          g_free (profile->strings[i].note);
          profile->strings[i].note = g_strdup (either[way][i]);
          profile->strings[i].frequency = SL_NUMBER_ABSENT;
        }
      sl_profile_fit_strings (profile, set, TRUE);
      for (int i = 0; i < 12; i++)
        {
          g_assert_cmpstr (profile->strings[i].note, ==, either[way][i]);
          /* every string of the set is at its own pitch, so none is slack or near its limit */
          g_assert_cmpfloat (tension_at (&profile->strings[i], 648), >, 60);
          g_assert_cmpfloat (tension_at (&profile->strings[i], 648), <, 140);
        }
    }
}

static void
test_note_names (void)
{
  static const char *const names[] = { "C0", "Eb2", "E2", "F#3", "A4", "Bb2", "G#4", "B8" };
  char name[SL_NOTE_CHARS];

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      sl_note_near (sl_note_frequency (names[i]), name);
      assert_near (sl_note_frequency (name), sl_note_frequency (names[i]), 1e-9);
    }
  sl_note_near (441, name);
  g_assert_cmpstr (name, ==, "A4");
  sl_note_near (NAN, name);
  g_assert_cmpstr (name, ==, "");
  sl_note_near (0, name);
  g_assert_cmpstr (name, ==, "");
  sl_note_near (1e30, name);
  g_assert_cmpstr (name, ==, "");
}

/* A set is on where every string is one of its own, whatever it is called; in a course of two either may lie first. */
static void
test_is_on (void)
{
  const SlStringSet *light = sl_string_set_find ("acoustic-light"), *medium = sl_string_set_find ("acoustic-medium"),
                    *twelve = sl_string_set_find ("twelve-string"), *bass = sl_string_set_find ("bass-45");
  SlProfile *six = test_plain_profile (), *twice = test_plain_profile ();
  SlInstrument in;
  SlString swapped;

  sl_profile_fit_strings (six, light, TRUE);
  sl_instrument_from_profile (six, &in);
  g_assert_true (sl_string_set_is_on (light, &in));
  g_assert_false (sl_string_set_is_on (medium, &in));
  g_assert_false (sl_string_set_is_on (bass, &in)); /* of four */
  six->strings[2].core_diameter.v *= 1.1;
  sl_instrument_from_profile (six, &in);
  g_assert_false (sl_string_set_is_on (light, &in));
  sl_profile_free (six);

  twice->n_strings = 12;
  for (int i = 6; i < 12; i++)
    twice->strings[i] = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT, .bending_stiffness = SL_NUMBER_ABSENT };
  sl_profile_fit_strings (twice, twelve, FALSE);
  sl_instrument_from_profile (twice, &in);
  g_assert_true (sl_string_set_is_on (twelve, &in));
  swapped = twice->strings[10];
  twice->strings[10] = twice->strings[11];
  twice->strings[11] = swapped;
  sl_instrument_from_profile (twice, &in);
  g_assert_true (sl_string_set_is_on (twelve, &in));
  sl_profile_free (twice);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sets/named-gauges", test_named_gauges);
  g_test_add_func ("/sets/all-sound", test_all_sound);
  g_test_add_func ("/sets/tensions", test_tensions);
  g_test_add_func ("/sets/tunings", test_tunings);
  g_test_add_func ("/sets/tune", test_tune);
  g_test_add_func ("/sets/keeps-notes", test_keeps_notes);
  g_test_add_func ("/sets/courses", test_courses);
  g_test_add_func ("/sets/note-names", test_note_names);
  g_test_add_func ("/sets/is-on", test_is_on);
  return g_test_run ();
}
