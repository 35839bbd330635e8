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
  } rows[] = { { "acoustic-light", 0.012, 0.053 },     { "acoustic-medium", 0.013, 0.056 },
               { "electric-9", 0.009, 0.042 },         { "electric-10", 0.010, 0.046 },
               { "electric-11", 0.011, 0.049 },        { "bass-45", 0.045, 0.105 },
               { "twelve-string", 0.010, 0.047 },      { "seven-string", 0.010, 0.059 },
               { "eight-string", 0.010, 0.074 },       { "bass-five", 0.045, 0.130 },
               { "eight-string-light", 0.009, 0.080 }, { "mandolin", 0.011, 0.040 },
               { "resonator", 0.016, 0.056 } };

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
        double tension = tension_at (&sets[k].strings[i], sets[k].scale_mm);

        sl_string_data (&sets[k].strings[i], &data);
        g_assert_cmpfloat (tension, >, g_str_has_prefix (sets[k].id, "ukulele") ? 25 : 40);
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
  /* whatever was heard of its strings, which goes with them */
  six->strings[1].axial_stiffness = sl_number (12000);
  six->strings[1].bending_stiffness = sl_number (120);
  sl_instrument_from_profile (six, &in);
  g_assert_true (in.strings[1].ea_n == 12000 && sl_string_set_is_on (light, &in));
  sl_profile_fit_strings (six, light, TRUE);
  g_assert_false (sl_number_is_set (six->strings[1].axial_stiffness));
  g_assert_false (sl_number_is_set (six->strings[1].bending_stiffness));
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

/* A set written whole gives its strings back: what they are of, their mass, and the stiffness of one that was heard. */
static void
test_set_text (void)
{
  int n;
  const SlStringSet *sets = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    {
      g_autoptr (GError) error = NULL;
      SlStringData strings[SL_MAX_STRINGS], again;
      SlStringSet back;

      for (int s = 0; s < sets[i].n_strings; s++)
        sl_string_data (&sets[i].strings[s], &strings[s]);
      strings[1].ea_n = 12000;
      strings[1].ei_nm2 = 120.5e-6;
      g_autofree char *text = sl_string_set_text (strings, sets[i].n_strings, TRUE);

      g_test_message ("%s: %s", sets[i].id, text);
      g_assert_true (sl_string_set_parse (text, NULL, &back, &error));
      g_assert_cmpint (back.n_strings, ==, sets[i].n_strings);
      for (int s = 0; s < back.n_strings; s++)
        {
          sl_string_data (&back.strings[s], &again);
          g_assert_true (again.core == strings[s].core && again.wrap == strings[s].wrap);
          assert_near (again.outside_mm, strings[s].outside_mm, 0.0013); /* half a tenth of a thousandth */
          assert_near (again.unit_mass_kg_m, strings[s].unit_mass_kg_m, 0.01 * strings[s].unit_mass_kg_m);
          assert_near (again.ea_n, strings[s].ea_n, 0.02 * strings[s].ea_n);
          assert_near (again.ei_nm2, strings[s].ei_nm2, 0.04 * strings[s].ei_nm2);
        }
      sl_string_data (&back.strings[1], &again);
      assert_near (again.ea_n, 12000, 1e-6);
      assert_near (again.ei_nm2, 120.5e-6, 1e-12);
    }
}

/* What profiles of earlier days carry: core and wrap in inches, or in mm with what is published. They are still known.
 */
static void
test_kept (void)
{
  static const struct
  {
    const char *id;
    double unit_mm, core[6], wrap[6]; /* of the wound strings, and the plain ones' wrap 0 */
  } rows[] = {
    { "acoustic-light",
      MM_PER_INCH,
      { 0.012, 0.016, 0.013, 0.014, 0.017, 0.019 },
      { 0, 0, 0.0055, 0.009, 0.0125, 0.017 } },
    { "acoustic-medium",
      MM_PER_INCH,
      { 0.013, 0.017, 0.014, 0.015, 0.018, 0.020 },
      { 0, 0, 0.006, 0.010, 0.0135, 0.018 } },
    { "electric-9", MM_PER_INCH, { 0.009, 0.011, 0.016, 0.013, 0.015, 0.017 }, { 0, 0, 0, 0.0055, 0.0085, 0.0125 } },
    { "electric-10", MM_PER_INCH, { 0.010, 0.013, 0.017, 0.013, 0.015, 0.018 }, { 0, 0, 0, 0.0065, 0.0105, 0.014 } },
    { "electric-11", MM_PER_INCH, { 0.011, 0.014, 0.018, 0.014, 0.016, 0.018 }, { 0, 0, 0, 0.007, 0.011, 0.0155 } },
    { "nylon-normal", 1, { 0.71, 0.82, 1.02, 0.48, 0.57, 0.63 }, { 0, 0, 0, 0.13, 0.17, 0.24 } },
    { "nylon-hard", 1, { 0.73, 0.84, 1.05, 0.48, 0.57, 0.65 }, { 0, 0, 0, 0.14, 0.19, 0.25 } },
    { "bass-45", MM_PER_INCH, { 0.017, 0.021, 0.023, 0.025 }, { 0.014, 0.022, 0.031, 0.040 } },
  };

  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    {
      const SlStringSet *set = sl_string_set_find (rows[k].id);
      g_autoptr (SlProfile) profile = test_plain_profile ();
      SlInstrument in;

      profile->n_strings = set->n_strings;
      sl_profile_fit_strings (profile, set, TRUE);
      for (int i = 0; i < set->n_strings; i++)
        {
          SlString *s = &profile->strings[i];

          assert_near (s->core_diameter.v, rows[k].core[i] * rows[k].unit_mm, 1e-9);
          g_assert_true ((s->build == SL_BUILD_WOUND) == (rows[k].wrap[i] > 0));
          s->core_diameter = sl_number (rows[k].core[i] * rows[k].unit_mm);
          if (s->build == SL_BUILD_WOUND)
            {
              assert_near (s->wrap_diameter.v, rows[k].wrap[i] * rows[k].unit_mm, 1e-9);
              s->wrap_diameter = sl_number (rows[k].wrap[i] * rows[k].unit_mm);
            }
        }
      sl_instrument_from_profile (profile, &in);
      g_assert_true (sl_string_set_is_on (set, &in));
      for (int i = set->n_strings; i < 6; i++)
        g_clear_pointer (&profile->strings[i].note, g_free);
    }
}

/* ---- sets as gauges ---- */

/* However it is written, it is the same set. */
static void
test_written (void)
{
  static const char *const ways[] = {
    "10 13 17 26w/13 36w/15 46w/18",
    "10, 13, 17, 26 wound/13, 36 wound/15, 46 wound/18",
    "10;13p;17 plain;26W / 13;36 w/15;46WOUND/18",
    "\t10\n13\r\n17\n26w/13\n36w/15\n46w/18\n",
    "0.010 .013 0.017\" .026w/.013 36thouw/15 0.046 in w/0.018in",
    "0.254 mm 0.3302mm 0.4318 mm 0.6604 mm w/0.3302mm 0.9144mm wound/0.381 mm 1.1684mmw/18",
    "steel 10 13 17 26w/13 36w/15 46w/18",
    "Nickel-Plated-Steel 10 13 17 nickel 26w/13 36w/15 46w/18",
  };
  const SlStringSet *electric = sl_string_set_find ("electric-10");

  for (gsize k = 0; k < G_N_ELEMENTS (ways); k++)
    {
      g_autoptr (GError) error = NULL;
      SlStringSet set;

      sl_string_set_parse (ways[k], NULL, &set, &error);
      g_assert_no_error (error);
      g_assert_null (set.id);
      g_assert_cmpint (set.n_strings, ==, 6);
      for (int i = 0; i < 6; i++)
        {
          const SlString *a = &set.strings[i], *b = &electric->strings[i];

          g_assert_cmpint (a->build, ==, b->build);
          g_assert_cmpint (a->core, ==, b->core);
          g_assert_cmpint (a->wrap, ==, b->wrap);
          g_assert_true (a->core_diameter.v == b->core_diameter.v);
          if (a->build == SL_BUILD_WOUND)
            g_assert_true (a->wrap_diameter.v == b->wrap_diameter.v);
          g_assert_null (a->note);
        }
    }
}

/* Materials, what is published of a string, and a profile's numbers that a document can hold. */
static void
test_materials (void)
{
  SlStringSet set;

  g_assert_true (sl_string_set_parse ("fluorocarbon 22 26 33 nylon 29w/18@1.92/3220/109.5", NULL, &set, NULL));
  g_assert_cmpint (set.strings[2].core, ==, SL_CORE_FLUOROCARBON);
  g_assert_false (sl_number_is_set (set.strings[2].unit_mass));
  g_assert_cmpint (set.strings[3].core, ==, SL_CORE_NYLON);
  g_assert_cmpint (set.strings[3].wrap, ==, SL_WRAP_SILVER_PLATED_COPPER);
  assert_near (set.strings[3].core_diameter.v, 0.4572, 1e-12);
  assert_near (set.strings[3].wrap_diameter.v, 0.1397, 1e-12);
  g_assert_true (set.strings[3].unit_mass.v == 1.92 && set.strings[3].axial_stiffness.v == 3220 &&
                 set.strings[3].bending_stiffness.v == 109.5);
  g_assert_true (sl_string_set_parse ("phosphor bronze 12 24w brass 32w stainless-steel 42w", NULL, &set, NULL));
  g_assert_cmpint (set.strings[1].wrap, ==, SL_WRAP_PHOSPHOR_BRONZE);
  g_assert_cmpint (set.strings[2].wrap, ==, SL_WRAP_BRASS);
  g_assert_cmpint (set.strings[3].wrap, ==, SL_WRAP_STAINLESS_STEEL);
}

/* What can't be is told by its own text, with what can. */
static void
test_refused (void)
{
  static const struct
  {
    const char *text, *named, *accepted;
  } rows[] = {
    { "10 13 foo 26w", "“foo”", "10 13 17 26w 36w 46w" },
    { "10-46", "“10-46”", "10 13 17 26w 36w 46w" },
    { "1e5", "“1e5”", "0.25 mm" },
    { "10 13 17 26x", "“26x”", "w: wound" },
    { "bronze", "“”", "bronze" },
    { "", "“”", "gauges from the treble up" },
    { NULL, "“”", "gauges from the treble up" },
    { "2 10", "2 plain 0.0508 mm", "0.1 to 0.7 mm" },
    { "10 13 17 26 36 46", "36 plain 0.9144 mm", "0.1 to 0.7 mm" },
    { "10 10w", "10w wound 0.254 mm", "0.3 to 5 mm" },
    { "30 mm", "30 mm plain 30 mm", "0.1 to 0.7 mm" },
    { "10 26w/30", "26w/30 wrap-diameter", "0.01 to 10 mm" },
    { "10@0", "10@0 unit-mass 0 g/m", "0.01 to 500 g/m" },
    { "10@0.4/5", "10@0.4/5 axial-stiffness 5 N", "10 to 1000000 N" },
    { "46w 36w 26w 17 13 10", "46 wound", "from the treble up" },
    { "9 9 9 9 9 9 9 9 9 9 9 9 11", "“11”", "12" },
  };

  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    {
      g_autoptr (GError) error = NULL;
      SlStringSet set;

      g_assert_false (sl_string_set_parse (rows[k].text, NULL, &set, &error));
      if (strstr (error->message, rows[k].named) == NULL || strstr (error->message, rows[k].accepted) == NULL)
        g_error ("“%s” is refused with: %s", rows[k].text, error->message);
    }
}

/* Read for the instrument that a profile describes. */
static gboolean
parse_on (const char *text, const SlProfile *profile, SlStringSet *set, GError **error)
{
  SlInstrument in;

  sl_instrument_from_profile (profile, &in);
  return sl_string_set_parse (text, &in, set, error);
}

/* On an instrument: its count, its materials where none are named, nylon by its pull; and its notes stay. */
static void
test_on_instrument (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autoptr (GError) error = NULL;
  SlStringSet set;
  SlStringData data;

  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), FALSE);
  g_assert_true (parse_on ("10 14 23w 30w 39w 47w", profile, &set, NULL));
  g_assert_cmpint (set.strings[5].wrap, ==, SL_WRAP_PHOSPHOR_BRONZE);
  sl_profile_tune (profile, test_tuning ("drop-d"));
  sl_profile_fit_strings (profile, &set, TRUE);
  g_assert_cmpstr (profile->strings[5].note, ==, "D2");
  assert_near (outside (&profile->strings[5]), 0.047 * MM_PER_INCH, 1e-9);
  g_assert_true (parse_on ("electric-9", profile, &set, NULL));
  g_assert_cmpstr (set.id, ==, "electric-9");

  g_assert_false (parse_on ("bass-45", profile, &set, &error));
  g_assert_cmpstr (error->message, ==, "the set has 4 strings; the instrument has 6");
  g_clear_error (&error);
  g_assert_false (parse_on ("10 13 17", profile, &set, &error));
  g_assert_cmpstr (error->message, ==, "the set has 3 strings; the instrument has 6");

  sl_profile_fit_strings (profile, sl_string_set_find ("nylon-normal"), FALSE);
  profile->neck.scale_length = sl_number (650);
  g_assert_true (parse_on ("28 32 40 29w 35w 43w", profile, &set, NULL));
  for (int i = 0; i < 6; i++)
    {
      SlString tuned = set.strings[i];

      g_assert_cmpint (tuned.core, ==, SL_CORE_NYLON);
      tuned.note = profile->strings[i].note;
      sl_string_data (&tuned, &data);
      /* κ of the table of Anderson and Beausoleil (2024) is 46.0 to 58.6 */
      g_assert_cmpfloat (data.ea_n / sl_tension (&data, 650), >, 46);
      g_assert_cmpfloat (data.ea_n / sl_tension (&data, 650), <, 58.6);
    }
}

static void
test_packet_of_courses (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  const SlStringSet *mandolin = sl_string_set_find ("mandolin");
  SlStringSet set;

  profile->n_strings = 8;
  profile->strings[6] = profile->strings[7] =
      (SlString){ .axial_stiffness = SL_NUMBER_ABSENT, .bending_stiffness = SL_NUMBER_ABSENT };
  sl_profile_fit_strings (profile, mandolin, FALSE);
  g_assert_true (parse_on ("11 15 26w 40w", profile, &set, NULL));
  g_assert_cmpint (set.n_strings, ==, 8);
  for (int i = 0; i < 8; i++)
    assert_near (outside (&set.strings[i]), outside (&mandolin->strings[i]), 1e-9);
  /* only of like strings */
  g_free (profile->strings[7].note);
  profile->strings[7].note = g_strdup ("G4");
  g_assert_false (parse_on ("11 15 26w 40w", profile, &set, NULL));
}

/* A document can't say that something is fitted which is no set. */
static void
test_fitted_is_set (void)
{
  static const struct
  {
    const char *set, *fault;
  } rows[] = { { "acoustic-light", NULL },
               { "10 13 17 26w 36w 46w", NULL },
               { "slack", "“slack”" },
               { "10 13 17 26 36 46", "36 plain" },
               { "10 13 17", "6" } };

  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile ();
      SlVisit visit = sl_visit_init ();
      SlOperation fit = sl_operation_init (SL_OP_FIT_STRINGS);
      const char *said = NULL;

      fit.set = g_strdup (rows[k].set);
      g_array_append_val (visit.plan, fit);
      g_array_append_val (profile->visits, visit);
      g_autoptr (GPtrArray) faults = sl_profile_check (profile);
      for (guint i = 0; i < faults->len; i++)
        if (g_str_has_prefix (((SlFault *) faults->pdata[i])->message, "fit-strings set “"))
          said = ((SlFault *) faults->pdata[i])->message;
      g_assert_true ((said == NULL) == (rows[k].fault == NULL));
      g_assert_true (said == NULL || strstr (said, rows[k].fault) != NULL);
    }
}

static void
test_names (void)
{
  SlStringSet set;

  g_assert_true (sl_string_set_parse ("electric-9", NULL, &set, NULL));
  g_autofree char *built_in = sl_string_set_name (&set);
  g_assert_cmpstr (built_in, ==, "Electric steel, 9 (0.009–0.042 in)");
  g_assert_true (sl_string_set_parse ("nylon 28.5 0.71mm 46w", NULL, &set, NULL));
  g_autofree char *own = sl_string_set_name (&set);
  g_assert_cmpstr (own, ==, "28.5, 28, 46 wound");
}

/* Every set says what it is for, and its gauges could all be read. */
static void
test_rows (void)
{
  int n;
  const SlStringSet *sets = sl_string_sets (&n);

  for (int k = 0; k < n; k++)
    {
      g_assert_cmpint (sets[k].n_strings, >=, 4);
      g_assert_cmpfloat (sets[k].scale_mm, >, 300);
      for (int i = 0; i < sets[k].n_strings; i++)
        g_assert_true (isfinite (sl_note_frequency (sets[k].strings[i].note)));
      for (int j = 0; j < k; j++)
        g_assert_cmpstr (sets[j].id, !=, sets[k].id);
    }
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
  g_test_add_func ("/sets/text", test_set_text);
  g_test_add_func ("/sets/kept", test_kept);
  g_test_add_func ("/sets/rows", test_rows);
  g_test_add_func ("/sets/written", test_written);
  g_test_add_func ("/sets/materials", test_materials);
  g_test_add_func ("/sets/refused", test_refused);
  g_test_add_func ("/sets/on-instrument", test_on_instrument);
  g_test_add_func ("/sets/packet-of-courses", test_packet_of_courses);
  g_test_add_func ("/sets/fitted-is-set", test_fitted_is_set);
  g_test_add_func ("/sets/names", test_names);
  return g_test_run ();
}
