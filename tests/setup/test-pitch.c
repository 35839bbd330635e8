/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How sharp fretted notes sound, against the authors' figures term by term, and the stiff string against its exact
 * modes. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <string.h>

#include "setup/physics/forces.h"
#include "setup/physics/pitch.h"
#include "setup/work/work.h"
#include "support.h"

/* ---- stiff strings ---- */

/* A stiff string under tension: ε² y'''' − y'' = k² y over a length of 1; its modes are mixtures of cosh ax, sinh ax,
 * cos bx, sin bx with a² = b² + 1/ε². */
typedef struct
{
  double epsilon;
  gboolean both_ends;
} Stiff;

static double
frequency_equation (double b, void *data)
{
  const Stiff *stiff = data;
  double a = sqrt (b * b + 1 / (stiff->epsilon * stiff->epsilon));

  /* divided by cosh a, which would overflow */
  if (stiff->both_ends)
    return 2 * a * b * (1 / cosh (a) - cos (b)) + (a * a - b * b) * tanh (a) * sin (b);
  return a * sin (b) - b * tanh (a) * cos (b);
}

/* First mode over the ideal string's, from the transcendental equation. */
static double
exact_factor (double epsilon, gboolean both_ends)
{
  Stiff stiff = { epsilon, both_ends };
  gsl_function f = { frequency_equation, &stiff };
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc (gsl_root_fsolver_brent);
  double b = NAN;

  gsl_root_fsolver_set (solver, &f, G_PI * 0.9999, G_PI * 1.4);
  for (int i = 0; i < 100; i++)
    {
      gsl_root_fsolver_iterate (solver);
      b = gsl_root_fsolver_root (solver);
      if (gsl_root_test_interval (gsl_root_fsolver_x_lower (solver), gsl_root_fsolver_x_upper (solver), 0, 1e-15) ==
          GSL_SUCCESS)
        break;
    }
  gsl_root_fsolver_free (solver);
  return b * sqrt (1 + epsilon * epsilon * b * b) / G_PI;
}

static void
test_clamped_ends (void)
{
  /* exact first modes (derived from the transcendental equations) */
  static const struct
  {
    double epsilon, one, both;
  } rows[] = { { 0.003, 1.003053617, 1.006080984 }, { 0.01, 1.010600904, 1.020914506 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      assert_near (exact_factor (rows[i].epsilon, FALSE), rows[i].one, 6e-10);
      assert_near (exact_factor (rows[i].epsilon, TRUE), rows[i].both, 6e-10);
    }
  /* the model's series leaves out nothing below ε³: what is missing falls eightfold when ε is halved */
  for (int both = 0; both < 2; both++)
    for (double epsilon = 0.02; epsilon > 0.0015; epsilon /= 2)
      {
        double missing = exact_factor (epsilon, both) - sl_stiff_factor (epsilon, both);
        double half = exact_factor (epsilon / 2, both) - sl_stiff_factor (epsilon / 2, both);

        g_assert_cmpfloat (fabs (missing), <, (both ? 80 : 10) * pow (epsilon, 3));
        assert_near (missing / half, 8, 0.6);
      }
}

/* ---- fretted notes ---- */

/* κ = EA/T, r the core's radius: EI/T = κ r²/4, so ε0 = r sqrt(κ)/(2 X0), as the source has it with the scale length.
 */
static SlPitchCase
case_of (double scale, double nut_z, double crest_z, double setback, double nut_forward, int fret, double r,
         double kappa)
{
  SlPitchCase c = {
    .nut_z = nut_z, .crest_z = crest_z, .crest_x = scale + setback - nut_forward, .kappa = kappa, .fret = fret
  };

  c.fret_x = sl_fret_place (scale, fret) - nut_forward;
  c.fret_space_mm = sl_fret_place (scale, fret) - sl_fret_place (scale, fret - 1);
  c.epsilon0 = r * sqrt (kappa) / (2 * scale);
  return c;
}

/* Anderson & Beausoleil, "Classical guitar intonation and compensation: The well-tempered guitar", JASA 156, 683
 * (2024), read as the authors' drafts. */
static void
test_terms (void)
{
  /* X0 650, nut 1 mm over the crown plane, crest 5 mm, r 0.43 mm, κ 51, one end clamped, finger distance 0, no setbacks
   */
  SlPitchCase c = case_of (650, 1, 5, 0, 0, 1, 0.43, 51);
  TestPitchTerms t = test_pitch_terms (&c);

  assert_near (c.epsilon0, 0.00236, 5e-6); /* published */
  /* the four terms: derived */
  assert_near (t.length, -0.0247, 6e-5);
  assert_near (t.mass, 0.0290, 6e-5);
  assert_near (t.tension, 1.4772, 6e-5);
  assert_near (t.stiffness, 0.2457, 6e-5);
  assert_near (sl_pitch_cents (&c), 1.7272, 6e-5);
  c = case_of (650, 1, 5, 0, 0, 5, 0.43, 51);
  assert_near (sl_pitch_cents (&c), 2.4848, 6e-5);
  c = case_of (650, 1, 5, 0, 0, 12, 0.43, 51);
  t = test_pitch_terms (&c);
  assert_near (t.length, -0.17, 0.005); /* published */
  assert_near (t.length, -0.1721, 6e-5);
  assert_near (t.mass, 0.0369, 6e-5);
  assert_near (t.tension, 1.8786, 6e-5);
  assert_near (t.stiffness, 4.2359, 6e-5);
  assert_near (sl_pitch_cents (&c), 5.9793, 6e-5);
}

static void
test_compensated (void)
{
  double squares = 0;

  /* the same with setback 1.9 and a nut 0.37 mm forward: fret 1 0.4450, fret 12 −0.0873, rms of 1–12 0.1988 cents
   * (derived) */
  for (int n = 1; n <= 12; n++)
    {
      SlPitchCase c = case_of (650, 1, 5, 1.9, 0.37, n, 0.43, 51);
      double cents = sl_pitch_cents (&c);

      squares += cents * cents;
      if (n == 1)
        assert_near (cents, 0.4450, 6e-5);
      if (n == 12)
        assert_near (cents, -0.0873, 6e-5);
    }
  assert_near (sqrt (squares / 12), 0.1988, 6e-5);
}

static void
test_measured_guitar (void)
{
  /* nut 1.4, crest 6.9 mm over the crowns, X0 652, setback −3.5, finger distance 10: measured 4.5–5.75 cents at fret 1
   * and 15.75–19.5 at fret 12 (published); the model with r 0.43 mm, κ 51: 4.848 and 17.233, both ends clamped 21.38 at
   * 12 (derived) */
  SlPitchCase first = case_of (652, 1.4, 6.9, -3.5, 0, 1, 0.43, 51),
              octave = case_of (652, 1.4, 6.9, -3.5, 0, 12, 0.43, 51);

  first.finger_mm = octave.finger_mm = 10;
  assert_near (sl_pitch_cents (&first), 4.848, 6e-4);
  assert_near (sl_pitch_cents (&octave), 17.233, 6e-4);
  g_assert_cmpfloat (sl_pitch_cents (&first), >, 4.5);
  g_assert_cmpfloat (sl_pitch_cents (&first), <, 5.75);
  g_assert_cmpfloat (sl_pitch_cents (&octave), >, 15.75);
  g_assert_cmpfloat (sl_pitch_cents (&octave), <, 19.5);
  octave.both_ends = TRUE;
  assert_near (sl_pitch_cents (&octave), 21.38, 6e-3);
}

static void
test_steel (void)
{
  /* X0 648, nut 0.5, crest 3.5 mm, finger distance 0, no setback, steel 203.4 GPa and 7850 kg/m³ at the tension of a
   * 647.7 mm scale (EA/T 142.11 and 401.95; derived) */
  static const struct
  {
    double inches;
    const char *note;
    double first, octave, both;
  } rows[] = { { 0.010, "E4", 1.353, 4.329, 6.357 }, { 0.017, "G3", 3.829, 12.584, 18.403 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      double d = rows[i].inches * 25.4;
      SlStringData string = { .frequency_hz = sl_note_frequency (rows[i].note),
                              .unit_mass_kg_m = sl_unit_mass (SL_BUILD_PLAIN, SL_CORE_STEEL, d, SL_WRAP_NONE, 0) };
      double kappa = 203.4e3 * G_PI * d * d / 4 / sl_tension (&string, 647.7);
      SlPitchCase first = case_of (648, 0.5, 3.5, 0, 0, 1, d / 2, kappa),
                  octave = case_of (648, 0.5, 3.5, 0, 0, 12, d / 2, kappa);

      assert_near (sl_pitch_cents (&first), rows[i].first, 6e-4);
      assert_near (sl_pitch_cents (&octave), rows[i].octave, 6e-4);
      octave.both_ends = TRUE;
      assert_near (sl_pitch_cents (&octave), rows[i].both, 6e-4);
    }
}

static void
test_finger_within_space (void)
{
  /* the finger can't press behind the fret before: more than a fret space counts as one */
  SlPitchCase within = case_of (650, 1, 5, 0, 0, 12, 0.43, 51), beyond = within;

  within.finger_mm = within.fret_space_mm;
  beyond.finger_mm = 3 * within.fret_space_mm;
  g_assert_cmpfloat (sl_pitch_cents (&within), ==, sl_pitch_cents (&beyond));
}

static void
test_ideal_string (void)
{
  g_autoptr (GRand) rand = test_rand ();

  /* no stretch to feel, no stiffness, all on one line: every fret sounds true */
  for (int n = 1; n <= 24; n++)
    {
      SlPitchCase c = case_of (test_between (rand, 500, 900), 0, 0, 0, 0, n, 0.4, 0);

      assert_near (sl_pitch_cents (&c), 0, 1e-9);
    }
}

/* ---- in a state ---- */

static void
test_setback_needed (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 100; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlInstrument in;
      SlState state;
      SlStringState s;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      int string = g_rand_int_range (rand, 1, in.n_strings + 1);
      sl_state_string (&in, &state, string, &s);
      double setback = sl_setback_needed (&s, NULL);
      g_assert_false (isnan (setback));
      s.x_s = s.scale + setback;
      assert_near (sl_pitch_error (&s, 12, NULL), 0, 1e-5);
    }
}

static void
test_saddle_share (void)
{
  /* one cent at the 12th against the retuned open string is scale · ln 2/1200 of crest: 0.37413 mm at 647.7 mm
   * (derived) */
  assert_near (sl_crest_move (647.7, 1e-6) / 1e-6, 0.37413, 6e-6);
  /* and the move is exact: a string L long with its 12th fret half way sounds c cents over the octave from being
   * pressed down; that factor stays while both lengths grow by the move, after which the octave is true */
  static const double cents[] = { -30, -5, 2, 8, 30 };
  for (gsize i = 0; i < G_N_ELEMENTS (cents); i++)
    {
      double move = sl_crest_move (640, cents[i]);

      assert_near ((640 + move) / (320 + move) * exp2 (cents[i] / 1200), 2, 1e-12);
    }
  g_assert_cmpfloat (sl_crest_move (640, 0), ==, 0);
}

static void
test_practice (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  double setback[6];
  SlInstrument in;
  SlState state;

  /* at low action on a steel-string: B needs more setback than high E, a wound G less than B, low E the most (common
   * practice). Light strings, mm. */
  static const struct
  {
    double core, wrap;
  } gauges[] = { { 0.305, 0 }, { 0.406, 0 }, { 0.254, 0.178 }, { 0.330, 0.241 }, { 0.406, 0.330 }, { 0.457, 0.445 } };
  for (int i = 0; i < 6; i++)
    {
      SlString *string = &profile->strings[i];

      string->unit_mass = SL_NUMBER_ABSENT;
      string->core_diameter = sl_number (gauges[i].core);
      string->build = gauges[i].wrap > 0 ? SL_BUILD_WOUND : SL_BUILD_PLAIN;
      string->wrap = SL_WRAP_PHOSPHOR_BRONZE;
      string->wrap_diameter = sl_number (gauges[i].wrap);
    }
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  for (int s = 1; s <= 6; s++)
    {
      SlStringState string;

      test_set_string (&state, s, 0.4, 0.4 + 2 * (in.target_action[s - 1] - 0.2));
      sl_state_string (&in, &state, s, &string);
      setback[s - 1] = sl_setback_needed (&string, NULL);
    }
  g_assert_cmpfloat (setback[1], >, setback[0]);
  g_assert_cmpfloat (setback[2], <, setback[1]);
  for (int s = 0; s < 5; s++)
    g_assert_cmpfloat (setback[5], >, setback[s]);
}

static void
test_higher_is_sharper (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 200; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlInstrument in;
      SlState state;
      SlStringState s;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      sl_state_string (&in, &state, 1, &s);
      double before = sl_pitch_error (&s, 12, NULL);
      s.p[SL_P_CREST] += 0.5;
      g_assert_cmpfloat (sl_pitch_error (&s, 12, NULL), >, before);
      s.p[SL_P_CREST] -= 0.5;
      s.x_s += 0.5;
      g_assert_cmpfloat (sl_pitch_error (&s, 12, NULL), <, before);
    }
}

/* The uncertainty of the cents is their whole slope along a height, the tuned string's tension going with its length
 * (GUM 5.1.2; derived by computing anew with nut or crest moved). The finger far back and a thick string make the other
 * slopes all but cancel at some frets. */
static void
test_uncertainty (void)
{
  const double step = 1e-3, u = 0.05;
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 100; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlInstrument in;
      SlState state;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      for (int p = SL_P_NUT; p <= SL_P_CREST; p++)
        for (int n = 1; n <= in.frets; n++)
          {
            SlStringState s, low, high;
            double stated;

            sl_state_string (&in, &state, 1, &s);
            memset (s.cov, 0, sizeof s.cov);
            s.cov[p][p] = u * u;
            low = high = s;
            low.p[p] -= step;
            high.p[p] += step;
            double slope = (sl_pitch_error (&high, n, NULL) - sl_pitch_error (&low, n, NULL)) / (2 * step);
            sl_pitch_error (&s, n, &stated);
            assert_near (stated, fabs (slope) * u, 1e-5);
          }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/pitch/clamped-ends", test_clamped_ends);
  g_test_add_func ("/pitch/terms", test_terms);
  g_test_add_func ("/pitch/compensated", test_compensated);
  g_test_add_func ("/pitch/measured-guitar", test_measured_guitar);
  g_test_add_func ("/pitch/steel", test_steel);
  g_test_add_func ("/pitch/finger-within-space", test_finger_within_space);
  g_test_add_func ("/pitch/ideal-string", test_ideal_string);
  g_test_add_func ("/pitch/setback-needed", test_setback_needed);
  g_test_add_func ("/pitch/saddle-share", test_saddle_share);
  g_test_add_func ("/pitch/practice", test_practice);
  g_test_add_func ("/pitch/higher-is-sharper", test_higher_is_sharper);
  g_test_add_func ("/pitch/uncertainty", test_uncertainty);
  return g_test_run ();
}
