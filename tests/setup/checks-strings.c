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
      sl_down_force (72.524, 27 * G_PI / 180) },
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
                    "source. *Derived*: computed from the source's equation with independent tools. Pages of the JASA "
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
      g_autofree char *path = g_strdup_printf ("/checks/strings/%02u", i + 1);

      g_test_add_data_func (path, &g_array_index (rows, Check, i), test_row);
    }
  if (argc == 3 && strcmp (argv[1], "--compare") == 0)
    g_test_add_data_func ("/checks/strings/page", argv[2], test_page);
  return g_test_run ();
}
