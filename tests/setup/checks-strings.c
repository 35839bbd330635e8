/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The outside checks of strings and pitch in one table: each row's source, what it says, what the model gives. As a
 * test it fails where they differ by more than the digits the source gives; with --table it prints docs/checks.md; with
 * --compare FILE it fails where FILE is another table. */
#include <stdio.h>
#include <string.h>

#include "setup/physics/forces.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/sets.h"
#include "setup/work/work.h"
#include "support.h"

#define MM_PER_INCH 25.4
#define PA_PER_KSI 6894757.293168 /* 1000 lbf/in²: 4448.2216152605 N over 645.16 mm² (NIST SP 811) */
#define E_SOURCE 203.4e9          /* the modulus these sources take, Pa */

typedef struct
{
  const char *what, *unit;
  const char *source, *kind;
  double expected, tolerance;
  int places;
  double got;
} Check;

static double
steel_mass (double inches)
{
  return sl_unit_mass (SL_BUILD_PLAIN, SL_CORE_STEEL, inches * MM_PER_INCH, SL_WRAP_NONE, 0);
}

static double
steel_tension (double inches, const char *note)
{
  SlStringData data = { .frequency_hz = sl_note_frequency (note), .unit_mass_kg_m = steel_mass (inches) };

  return sl_tension (&data, 647.7);
}

static double
steel_kappa (double inches, const char *note)
{
  double d = inches * MM_PER_INCH / 1000;

  return E_SOURCE * G_PI * d * d / 4 / steel_tension (inches, note);
}

/* A fretted note as the sources describe it: κ = EA/T, core radius r, so that ε0 = r sqrt(κ)/(2 X0). */
static SlPitchCase
note (double scale, double nut_z, double crest_z, double setback, double nut_forward, int fret, double r, double kappa,
      double finger, gboolean both)
{
  SlPitchCase c = { .nut_z = nut_z,
                    .crest_z = crest_z,
                    .crest_x = scale + setback - nut_forward,
                    .kappa = kappa,
                    .fret = fret,
                    .finger_mm = finger,
                    .both_ends = both };

  c.fret_x = sl_fret_place (scale, fret) - nut_forward;
  c.fret_space_mm = sl_fret_place (scale, fret) - sl_fret_place (scale, fret - 1);
  c.epsilon0 = r * sqrt (kappa) / (2 * scale);
  return c;
}

static double
cents (double scale, double nut_z, double crest_z, double setback, double nut_forward, int fret, double r, double kappa,
       double finger, gboolean both)
{
  SlPitchCase c = note (scale, nut_z, crest_z, setback, nut_forward, fret, r, kappa, finger, both);

  return sl_pitch_cents (&c);
}

static double
rms (double setback, double nut_forward)
{
  double sum = 0;

  for (int n = 1; n <= 12; n++)
    sum += pow (cents (650, 1, 5, setback, nut_forward, n, 0.43, 51, 0, FALSE), 2) / 12;
  return sqrt (sum);
}

static double
steel_cents (double inches, const char *name, int fret, gboolean both)
{
  return cents (648, 0.5, 3.5, 0, 0, fret, inches * MM_PER_INCH / 2, steel_kappa (inches, name), 0, both);
}

static SlNutAndSetback
least_squares (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state;
  SlStringState s;
  SlNutAndSetback best;

  profile->neck.scale_length = sl_number (650);
  profile->player.finger_distance = sl_number (0);
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  test_set_string (&state, 1, 1, 5);
  sl_state_string (&in, &state, 1, &s);
  in.strings[0].ea_n = 51 * sl_tension (&in.strings[0], sl_open_length (&s));
  in.strings[0].ei_nm2 = in.strings[0].ea_n * 0.43e-3 * 0.43e-3 / 4;
  sl_fit_nut_and_setback (&in, &state, 1, &best);
  return best;
}

/* ---- built-in sets against what is published of them ---- */

#define KG_M_PER_LB_IN 17.857967 /* 0.45359237 kg over 0.0254 m */
#define CHART "string charts, 10⁻⁵ lb/in (common practice)"
#define BRONZE_SQUARE "2.0456 · d² of the outside in 1/100 in: the mean of the bronze strings above"
#define SET_SHARE 0.02
#define STRING_SHARE 0.05
#define NYLON_TABLE "Anderson & Beausoleil, JASA 156, 683 (2024), table of string constants"
#define NYLON_SCALE 650

/* Unit weights as string charts print them, high string to low. No chart of a twelve-string set was at hand: its plain
 * strings are in others', its bronze ones follow their outside; so do those of the mandolin, the resonator and the
 * acoustic bass that no chart was at hand for. None was of a ukulele set, so none is checked here. */
#define CHART_MEMORY "string charts, 10⁻⁵ lb/in (from memory)"
#define NICKEL_10 2.215, 3.744, 6.402, 12.67, 23.96, 38.22
static const struct
{
  const char *set, *source, *kind;
  double scale, chart[SL_MAX_STRINGS];
  const char *tuned_as; /* of a set without notes, the one it is tuned as */
} charts[] = {
  { "acoustic-light", CHART, "practice", 647.7, { 3.190, 5.671, 11.68, 21.02, 36.72, 56.96 } },
  { "acoustic-medium", CHART, "practice", 647.7, { 3.744, 6.402, 13.64, 25.37, 41.75, 63.48 } },
  { "electric-9", CHART, "practice", 647.7, { 1.794, 2.680, 5.671, 10.86, 19.35, 32.28 } },
  { "electric-10", CHART, "practice", 647.7, { NICKEL_10 } },
  { "electric-11", CHART, "practice", 647.7, { 2.680, 4.342, 7.177, 14.67, 26.47, 43.01 } },
  { "seven-string", CHART_MEMORY, "practice", 647.7, { NICKEL_10, 64.19 } },
  { "eight-string", CHART_MEMORY, "practice", 685.8, { 2.215, 3.744, 6.402, 17.24, 32.28, 53.84, 74.98, 98.87 } },
  { "eight-string-light", CHART_MEMORY, "practice", 685.8, { 1.794, 3.190, 5.671, 10.86, 21.59, 38.22, 74.98, 115.0 } },
  { "bass-45", CHART, "practice", 863.6, { 37.24, 79.57, 133.7, 198.4 } },
  { "bass-five", CHART_MEMORY, "practice", 863.6, { 37.24, 79.57, 133.7, 198.4, 301.9 } },
  { "bass-acoustic", BRONZE_SQUARE, "derived", 863.6, { 41.42, 86.43, 147.8, 225.5 } },
  { "nylon-normal", CHART, "practice", NYLON_SCALE, { 2.092, 2.827, 4.679, 10.75, 18.42, 30.63 } },
  { "nylon-hard", CHART, "practice", NYLON_SCALE, { 2.161, 2.924, 4.795, 11.24, 19.52, 31.73 } },
  { "mandolin", BRONZE_SQUARE, "derived", 352.4, { 2.680, 2.680, 4.984, 4.984, 13.64, 13.64, 32.73, 32.73 } },
  { "resonator", BRONZE_SQUARE, "derived", 635, { 5.671, 7.177, 13.64, 26.51, 43.29, 63.48 } },
  { "twelve-string",
    BRONZE_SQUARE,
    "derived",
    647.7,
    { 2.215, 2.215, 4.342, 4.342, 10.82, 1.418, 18.41, 3.190, 29.54, 6.628, 45.19, 14.91 } },
  /* as they are typed: what the cores are, and nylon's mass, is the program's own rule */
  { "bronze 12 16 24w 32w 42w 53w",
    CHART,
    "practice",
    647.7,
    { 3.190, 5.671, 11.68, 21.02, 36.72, 56.96 },
    "acoustic-light" },
  { "bronze 13 17 26w 35w 45w 56w",
    CHART,
    "practice",
    647.7,
    { 3.744, 6.402, 13.64, 25.37, 41.75, 63.48 },
    "acoustic-medium" },
  { "9 11 16 24w 32w 42w", CHART, "practice", 647.7, { 1.794, 2.680, 5.671, 10.86, 19.35, 32.28 }, "electric-9" },
  { "10 13 17 26w 36w 46w", CHART, "practice", 647.7, { NICKEL_10 }, "electric-10" },
  { "11 14 18 28w 38w 49w", CHART, "practice", 647.7, { 2.680, 4.342, 7.177, 14.67, 26.47, 43.01 }, "electric-11" },
  { "45w 65w 85w 105w", CHART, "practice", 863.6, { 37.24, 79.57, 133.7, 198.4 }, "bass-45" },
  { "nylon 28 32.2 40.3 29w 35w 43w",
    CHART,
    "practice",
    NYLON_SCALE,
    { 2.092, 2.827, 4.679, 10.75, 18.42, 30.63 },
    "nylon-normal" },
};

/* T N, κ, ε0, the best setback with the nut free over frets 1–12 in mm, and cents at fret 12 without one; nut 1, crest
 * 5 mm, finger distance 0. The last is the source's equation with its constants (derived). */
static const double nylon[6][5] = { { 68.6, 48.2, 0.00190, 1.48, 5.0 }, { 52.0, 48.7, 0.00220, 1.69, 5.6 },
                                    { 54.2, 58.6, 0.00301, 2.33, 7.5 }, { 70.0, 46.0, 0.00192, 1.48, 5.0 },
                                    { 67.3, 48.7, 0.00239, 1.82, 5.9 }, { 62.8, 58.2, 0.00321, 2.46, 7.8 } };

static void
add (GArray *rows, const char *what, const char *unit, const char *source, const char *kind, double expected,
     double tolerance, int places, double got)
{
  /* a row may be off by 1.2 of its tolerance, which for these is meant as it stands */
  const Check row = { g_intern_string (what), unit, source, kind, expected, tolerance / 1.2, places, got };

  g_array_append_val (rows, row);
}

static void
collect_charts (GArray *rows)
{
  for (gsize k = 0; k < G_N_ELEMENTS (charts); k++)
    {
      const SlStringSet *notes = sl_string_set_find (charts[k].tuned_as != NULL ? charts[k].tuned_as : charts[k].set);
      g_autoptr (GError) error = NULL;
      SlStringSet set;
      double sum = 0, got = 0;
      sl_string_set_parse (charts[k].set, NULL, &set, &error);
      g_assert_no_error (error);
      for (int i = 0; i < set.n_strings; i++)
        {
          g_autofree char *what = g_strdup_printf ("%s, string %d, unit mass (5 %%)", charts[k].set, i + 1);
          SlStringData data;
          set.strings[i].note = notes->strings[i].note;
          sl_string_data (&set.strings[i], &data);
          got += sl_tension (&data, charts[k].scale);
          add (rows, what, "g/m", charts[k].source, charts[k].kind, charts[k].chart[i] * KG_M_PER_LB_IN / 100,
               STRING_SHARE * charts[k].chart[i] * KG_M_PER_LB_IN / 100, 4, 1000 * data.unit_mass_kg_m);
          data.unit_mass_kg_m = charts[k].chart[i] * 1e-5 * KG_M_PER_LB_IN;
          sum += sl_tension (&data, charts[k].scale);
        }
      g_autofree char *what = g_strdup_printf ("%s, tension in all at %g mm (2 %%)", charts[k].set, charts[k].scale);
      add (rows, what, "N", charts[k].source, charts[k].kind, sum, SET_SHARE * sum, 1, got);
    }
}

static void
nylon_instrument (SlInstrument *in, SlState *state)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  profile->neck.scale_length = sl_number (NYLON_SCALE);
  profile->player.finger_distance = sl_number (0);
  sl_profile_fit_strings (profile, sl_string_set_find ("nylon-normal"), FALSE);
  sl_instrument_from_profile (profile, in);
  test_straight_state (in, state);
  for (int s = 1; s <= 6; s++)
    test_set_string (state, s, 1, 5);
}

/* What the set gives by itself: none of the table's constants is put in. */
static void
collect_nylon (GArray *rows)
{
  static const char *const whats[] = { "T (5 %)", "κ (10 %)", "ε0", "best setback (0.15)", "fret 12, no setback" };
  static const char *const units[] = { "N", "", "", "mm", "cents" };
  static const int places[] = { 1, 1, 5, 2, 1 };
  SlInstrument in;
  SlState state;
  nylon_instrument (&in, &state);
  for (int s = 1; s <= 6; s++)
    {
      const double *table = nylon[s - 1];
      const double tolerances[] = { 0.05 * table[0], 0.10 * table[1], 0.05 * table[2], 0.15, 0.1 };
      SlNutAndSetback best;
      SlStringState string;
      SlPitchCase octave;
      sl_state_string (&in, &state, s, &string);
      sl_pitch_case (&string, 12, &octave);
      sl_fit_nut_and_setback (&in, &state, s, &best);
      const double got[] = { sl_tension (&in.strings[s - 1], sl_open_length (&string)), octave.kappa, octave.epsilon0,
                             best.setback, sl_pitch_cents (&octave) };
      for (gsize k = 0; k < G_N_ELEMENTS (got); k++)
        {
          g_autofree char *what = g_strdup_printf ("nylon-normal, string %d, %s", s, whats[k]);
          add (rows, what, units[k], NYLON_TABLE, k == 4 ? "derived" : "published", table[k], tolerances[k], places[k],
               got[k]);
        }
    }
}

#define ISO16 "ISO 16 (A4 = 440 Hz)"
#define MERSENNE "T = 4 μ L² f² (Mersenne); steel 7850 kg/m³, 203.4 GPa, L 647.7 mm"
#define A228 "ASTM A228 minimum, a wire merchant's table"
#define JASA "Anderson & Beausoleil, JASA 156, 683 (2024); X0 650, nut 1, crest 5, r 0.43 mm, κ 51"
#define JASA_STEEL "the same model; steel, X0 648, nut 0.5, crest 3.5 mm"
#define BYERS "Byers, American Lutherie 47 (1996)"

static GArray *
collect (void)
{
  SlPitchCase first = note (650, 1, 5, 0, 0, 1, 0.43, 51, 0, FALSE),
              octave = note (650, 1, 5, 0, 0, 12, 0.43, 51, 0, FALSE);
  TestPitchTerms t1 = test_pitch_terms (&first), t12 = test_pitch_terms (&octave);
  SlNutAndSetback best = least_squares ();
  const Check rows[] = {
    { "E2", "Hz", ISO16, "derived", 82.4069, 5e-5, 4, sl_note_frequency ("E2") },
    { "E4", "Hz", ISO16, "derived", 329.6276, 5e-5, 4, sl_note_frequency ("E4") },
    { "fret divisor 1/(1 − 2^(−1/12))", "", BYERS, "published", 17.817, 5e-4, 3, 1 / (sl_fret_place (1, 1)) },
    { "fret 12 at 647.7 mm", "mm", BYERS, "derived", 323.850, 5e-4, 3, sl_fret_place (647.7, 12) },
    { "one cent of crest at 647.7 mm", "mm", "L ln 2/1200", "derived", 0.37413, 5e-6, 5,
      sl_crest_move (647.7, 1e-6) / 1e-6 },
    { "unit mass 0.010 in plain", "g/m", MERSENNE, "derived", 0.397765, 5e-7, 6, 1000 * steel_mass (0.010) },
    { "tension 0.010 in E4", "N", MERSENNE, "derived", 72.524, 5e-4, 3, steel_tension (0.010, "E4") },
    { "EA/T 0.010 in E4", "", MERSENNE, "derived", 142.11, 5e-3, 2, steel_kappa (0.010, "E4") },
    { "tension 0.013 in B3", "N", MERSENNE, "derived", 68.788, 5e-4, 3, steel_tension (0.013, "B3") },
    { "EA/T 0.013 in B3", "", MERSENNE, "derived", 253.21, 5e-3, 2, steel_kappa (0.013, "B3") },
    { "tension 0.017 in G3", "N", MERSENNE, "derived", 74.103, 5e-4, 3, steel_tension (0.017, "G3") },
    { "EA/T 0.017 in G3", "", MERSENNE, "derived", 401.95, 5e-3, 2, steel_kappa (0.017, "G3") },
    { "wrap 0.014 on core 0.018 in, unit mass with helix", "g/m", "geometry; both 7850 kg/m³", "derived", 5.65231, 5e-6,
      5,
      1000 * (sl_unit_mass (SL_BUILD_WOUND, SL_CORE_STEEL, 0.018 * MM_PER_INCH, SL_WRAP_NICKEL_PLATED_STEEL,
                            0.014 * MM_PER_INCH) -
              steel_mass (0.018)) },
    { "strength 0.010 in", "ksi", A228, "published", 387, 0.005 * 387, 0,
      sl_music_wire_strength (0.010 * MM_PER_INCH) / PA_PER_KSI },
    { "strength 0.016 in", "ksi", A228, "published", 362, 0.005 * 362, 0,
      sl_music_wire_strength (0.016 * MM_PER_INCH) / PA_PER_KSI },
    { "strength 0.026 in", "ksi", A228, "published", 337, 0.005 * 337, 0,
      sl_music_wire_strength (0.026 * MM_PER_INCH) / PA_PER_KSI },
    { "saddle down, 72.524 N over 2° + 25°", "N", "resultant 2 T sin(β/2)", "derived", 33.861, 5e-4, 3,
      sl_saddle_forces (72.524, 25 * G_PI / 180, 2 * G_PI / 180).resultant },
    { "the same, down on the top", "N", "T (sin a + sin f)", "derived", 33.181, 5e-4, 3,
      sl_saddle_forces (72.524, 25 * G_PI / 180, 2 * G_PI / 180).down },
    { "S(0.003), one end clamped", "", "transcendental equation", "derived", 1.003053617, 3e-7, 7,
      sl_stiff_factor (0.003, FALSE) },
    { "S(0.003), both ends", "", "transcendental equation", "derived", 1.006080984, 2e-6, 6,
      sl_stiff_factor (0.003, TRUE) },
    { "ε0", "", JASA, "published", 0.00236, 5e-6, 5, first.epsilon0 },
    { "fret 1, length term", "cents", JASA, "derived", -0.0247, 5e-5, 4, t1.length },
    { "fret 1, mass term", "cents", JASA, "derived", 0.0290, 5e-5, 4, t1.mass },
    { "fret 1, tension term", "cents", JASA, "derived", 1.4772, 5e-5, 4, t1.tension },
    { "fret 1, stiffness term", "cents", JASA, "derived", 0.2457, 5e-5, 4, t1.stiffness },
    { "fret 5", "cents", JASA, "derived", 2.4848, 5e-5, 4, cents (650, 1, 5, 0, 0, 5, 0.43, 51, 0, FALSE) },
    { "fret 12, length term", "cents", JASA, "published", -0.17, 5e-3, 2, t12.length },
    { "fret 12, tension term", "cents", JASA, "derived", 1.8786, 5e-5, 4, t12.tension },
    { "fret 12, stiffness term", "cents", JASA, "derived", 4.2359, 5e-5, 4, t12.stiffness },
    { "fret 12", "cents", JASA, "derived", 5.9793, 5e-5, 4, sl_pitch_cents (&octave) },
    { "fret 1, setback 1.9 and nut −0.37", "cents", JASA, "derived", 0.4450, 5e-5, 4,
      cents (650, 1, 5, 1.9, 0.37, 1, 0.43, 51, 0, FALSE) },
    { "fret 12, setback 1.9 and nut −0.37", "cents", JASA, "derived", -0.0873, 5e-5, 4,
      cents (650, 1, 5, 1.9, 0.37, 12, 0.43, 51, 0, FALSE) },
    { "rms of 1–12, setback 1.9 and nut −0.37", "cents", JASA, "derived", 0.1988, 5e-5, 4, rms (1.9, 0.37) },
    /* the source linearises term by term, the model takes the whole cents' slopes: about 1 % apart */
    { "least-squares setback (within 1 %)", "mm", JASA, "derived", 1.8130, 0.01 * 1.8130, 4, best.setback },
    { "least-squares nut (within 1 %)", "mm", JASA, "derived", -0.3779, 0.01 * 0.3779, 4, best.nut_offset },
    { "a guitar measured, fret 1 (4.5 to 5.75)", "cents",
      "the same; X0 652, nut 1.4, crest 6.9, setback −3.5, finger 10 mm", "published", 5.125, 0.625, 3,
      cents (652, 1.4, 6.9, -3.5, 0, 1, 0.43, 51, 10, FALSE) },
    { "a guitar measured, fret 12 (15.75 to 19.5)", "cents",
      "the same; X0 652, nut 1.4, crest 6.9, setback −3.5, finger 10 mm", "published", 17.625, 1.875, 3,
      cents (652, 1.4, 6.9, -3.5, 0, 12, 0.43, 51, 10, FALSE) },
    { "that guitar, fret 12, both ends", "cents", "the same; X0 652, nut 1.4, crest 6.9, setback −3.5, finger 10 mm",
      "derived", 21.38, 5e-3, 2, cents (652, 1.4, 6.9, -3.5, 0, 12, 0.43, 51, 10, TRUE) },
    { "0.010 in E4, fret 1", "cents", JASA_STEEL, "derived", 1.353, 5e-4, 3, steel_cents (0.010, "E4", 1, FALSE) },
    { "0.010 in E4, fret 12", "cents", JASA_STEEL, "derived", 4.329, 5e-4, 3, steel_cents (0.010, "E4", 12, FALSE) },
    { "0.010 in E4, fret 12, both ends", "cents", JASA_STEEL, "derived", 6.357, 5e-4, 3,
      steel_cents (0.010, "E4", 12, TRUE) },
    { "0.017 in G3, fret 1", "cents", JASA_STEEL, "derived", 3.829, 5e-4, 3, steel_cents (0.017, "G3", 1, FALSE) },
    { "0.017 in G3, fret 12", "cents", JASA_STEEL, "derived", 12.584, 5e-4, 3, steel_cents (0.017, "G3", 12, FALSE) },
    { "0.017 in G3, fret 12, both ends", "cents", JASA_STEEL, "derived", 18.403, 5e-4, 3,
      steel_cents (0.017, "G3", 12, TRUE) },
  };
  GArray *all = g_array_new (FALSE, FALSE, sizeof (Check));

  g_array_append_vals (all, rows, G_N_ELEMENTS (rows));
  collect_charts (all);
  collect_nylon (all);
  return all;
}

static char *
make_table (void)
{
  g_autoptr (GArray) rows = collect ();
  GString *out =
      g_string_new ("# Outside checks of strings and pitch\n\n"
                    "Written by `tests/setup/checks-strings.c --table`; a test fails where this page and the program "
                    "part. *Published*: the value stands in the\n"
                    "source. *Derived*: computed from the source's equation with independent tools. *Practice*: common "
                    "practice. Pages of the JASA "
                    "paper were read as the authors' drafts; ISO 16 is\n"
                    "quoted from memory.\n\n"
                    "| check | source | | expected | got | unit |\n| --- | --- | --- | ---: | ---: | --- |\n");

  for (guint i = 0; i < rows->len; i++)
    {
      const Check *c = &g_array_index (rows, Check, i);

      g_string_append_printf (out, "| %s | %s | %s | %.*f | %.*f | %s |\n", c->what, c->source, c->kind, c->places,
                              c->expected, c->places, c->got, c->unit);
    }
  return g_string_free (out, FALSE);
}

static void
test_row (gconstpointer data)
{
  const Check *c = data;

  /* half a unit of the last digit given, and a hair for a digit that was rounded */
  g_assert_cmpfloat_with_epsilon (c->got, c->expected, 1.2 * c->tolerance);
}

static void
test_page (gconstpointer path)
{
  g_autofree char *page = NULL, *table = make_table ();
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &page, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (page, ==, table);
}

int
main (int argc, char **argv)
{
  g_autoptr (GArray) rows = NULL;

  if (argc == 2 && strcmp (argv[1], "--table") == 0)
    {
      g_autofree char *table = make_table ();

      return fputs (table, stdout) < 0;
    }
  g_test_init (&argc, &argv, NULL);
  rows = collect ();
  for (guint i = 0; i < rows->len; i++)
    {
      g_autofree char *path = g_strdup_printf ("/checks/strings/%03u", i + 1);

      g_test_add_data_func (path, &g_array_index (rows, Check, i), test_row);
    }
  if (argc == 3 && strcmp (argv[1], "--compare") == 0)
    g_test_add_data_func ("/checks/strings/page", argv[2], test_page);
  return g_test_run ();
}
