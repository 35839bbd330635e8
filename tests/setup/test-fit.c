/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From readings to a state: what a perfect tool reads off a state gives that state back; what is missing is assumed as
 * model 3.1 says; least squares and its uncertainties against certified and published lines. */
#include "../rounds.h"
#include "setup/physics/figures.h"
#include "setup/fit/reading-row.h"
#include "support.h"

#define ROUNDS test_rounds (300)

static void
assert_same_state (const SlState *a, const SlState *b, const SlInstrument *in, double tolerance)
{
  g_assert_cmpint (a->n_unknowns, ==, b->n_unknowns);
  for (int i = 0; i < a->n_unknowns; i++)
    assert_near (a->u[i], b->u[i], tolerance);
  for (int n = 1; n <= in->frets; n++)
    assert_near (a->crown[n], b->crown[n], tolerance);
  for (int s = 0; s < a->n_strings; s++)
    {
      assert_near (a->setback[s], b->setback[s], tolerance);
      assert_near (a->exposure[s], b->exposure[s], tolerance);
    }
}

static void
test_gives_state_back (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_auto (TestCase) c = { 0 };

      test_case_begin (&c, rand, profile);
      test_read_all (rand, &c.in, &c.truth, &c.set);
      sl_fit (&c.in, &c.set, &c.fit);
      g_assert_cmpint (c.fit.n_suspects, ==, 0);
      g_assert_false (c.fit.singular);
      g_assert_false (c.fit.tongue_assumed || c.fit.relief_assumed_bass || c.fit.relief_assumed_treble);
      for (int s = 0; s < c.in.n_strings; s++)
        g_assert_false (c.fit.first_gap_assumed[s] || c.fit.action_assumed[s]);
      assert_same_state (&c.fit.state, &c.truth, &c.in, 1e-9);
      for (guint r = 0; r < c.fit.n_readings; r++)
        if (c.fit.readings[r].in_fit)
          assert_near (c.fit.readings[r].predicted, g_array_index (c.set.readings, SlReading, r).value.v, 1e-9);
    }
}

static void
test_rows_are_readings (void)
{
  g_autoptr (GRand) rand = test_rand ();

  /* every kind, string, fret and way of holding that the format allows: row · u + constant is what the ruler reads */
  for (int i = 0; i < 20; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_auto (TestCase) c = { 0 };

      test_case_begin (&c, rand, profile);
      for (int s = 1; s <= c.in.n_strings; s++)
        for (int n = 1; n <= c.in.frets; n++)
          {
            if (n > 1 && n < c.in.joint)
              test_read (&c.in, &c.truth, &c.set, SL_READ_RELIEF, s, n, SL_HELD_DEFAULT);
            test_read (&c.in, &c.truth, &c.set, SL_READ_ACTION, s, n, SL_HELD_OPEN);
            if (n > 1)
              test_read (&c.in, &c.truth, &c.set, SL_READ_ACTION, s, n, SL_HELD_1);
            test_read (&c.in, &c.truth, &c.set, SL_READ_FIRST_GAP, s, 1, n % 2 ? SL_HELD_3 : SL_HELD_DEFAULT);
          }
      test_read (&c.in, &c.truth, &c.set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT);
      for (guint r = 0; r < c.set.readings->len; r++)
        {
          const SlReading *reading = &g_array_index (c.set.readings, SlReading, r);
          double row[SL_MAX_UNKNOWNS], value;

          if (reading->kind == SL_READ_TONGUE && c.in.frets == c.in.joint)
            continue;
          sl_reading_row (&c.in, &c.truth, reading, row, &value);
          for (int k = 0; k < c.truth.n_unknowns; k++)
            value += row[k] * c.truth.u[k];
          assert_near (value, reading->value.v, 1e-12);
        }
    }
}

static void
test_gaps_are_geometry (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 30; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_auto (TestCase) c = { 0 };

      test_case_begin (&c, rand, profile);
      int string = g_rand_int_range (rand, 1, c.in.n_strings + 1);
      SlStringState s;
      sl_state_string (&c.in, &c.truth, string, &s);
      for (int h = 0; h < c.in.frets; h++)
        for (int n = h + 1; n <= c.in.frets; n++)
          {
            double g[SL_N_P];

            assert_near (sl_gap (&s, h, n), test_ruler_gap (&c.in, &c.truth, string, h, n), 1e-12);
            sl_gap_gradient (&s, h, n, g);
            for (int k = 0; k < SL_N_P; k++)
              {
                SlStringState more = s, less = s;

                more.p[k] += 0.5;
                less.p[k] -= 0.5;
                assert_near (sl_gap (&more, h, n) - sl_gap (&less, h, n), g[k], 1e-11);
              }
          }
      int n = g_rand_int_range (rand, 1, c.in.frets + 1);
      double crest = sl_crest_for_action (&s, n, 2.2);
      s.p[SL_P_CREST] = crest;
      assert_near (sl_gap (&s, 0, n), 2.2, 1e-12);
    }
}

/* ---- tools ---- */

static void
test_tools (void)
{
  g_auto (SlReadingSet) set = test_set ();

  /* u = q/√12 for a display's step, a/√3 for an error limit: GUM (JCGM 100:2008) F.2.2.1 and 4.3.7 (published); 0.01 →
   * 0.00288675 */
  g_assert_cmpfloat (sl_reading_u (NULL, SL_READ_RELIEF), ==, 0.02 / sqrt (12));
  g_assert_cmpfloat (sl_reading_u (&set, SL_READ_TONGUE), ==, 0.05 / sqrt (12));
  g_assert_cmpfloat (sl_reading_u (&set, SL_READ_FIRST_GAP), ==, 0.05 / sqrt (12));
  g_assert_cmpfloat (sl_reading_u (&set, SL_READ_ACTION), ==, 0.1 / sqrt (12));
  test_add_tool (&set, SL_TOOL_RELIEF, 0.01, 0);
  assert_near (sl_reading_u (&set, SL_READ_RELIEF), 0.00288675, 5e-9);
  test_add_tool (&set, SL_TOOL_ACTION, 0, 0.05);
  assert_near (sl_reading_u (&set, SL_READ_ACTION), 0.05 / sqrt (3), 1e-15);
  test_add_tool (&set, SL_TOOL_FIRST_GAP, 0.02, 0.03);
  assert_near (sl_reading_u (&set, SL_READ_FIRST_GAP), hypot (0.02 / sqrt (12), 0.03 / sqrt (3)), 1e-15);
  /* a tool without a resolution keeps the default one */
  test_add_tool (&set, SL_TOOL_TONGUE, NAN, 0.03);
  assert_near (sl_reading_u (&set, SL_READ_TONGUE), hypot (0.05 / sqrt (12), 0.03 / sqrt (3)), 1e-15);
  g_assert_cmpfloat (sl_reading_tool (&set, SL_READ_RELIEF).resolution.v, ==, 0.01);
  /* a tuner nobody stated steps by 0.1 and may be 0.5 cents off (our own choice) */
  g_assert_cmpfloat (sl_reading_tool (&set, SL_READ_PITCH).resolution.v, ==, 0.1);
  g_assert_cmpfloat (sl_reading_tool (&set, SL_READ_PITCH).error_limit.v, ==, 0.5);
  g_assert_cmpfloat (sl_reading_tool (NULL, SL_READ_RELIEF).resolution.v, ==, 0.02);
}

static void
test_end_gauge (void)
{
  g_auto (SlReadingSet) set = test_set ();

  /* GUM H.1: l = l_s + d − l_s (δα θ + α_s δθ), with α_s, δα and δθ known within rectangular limits: 50 000 838 nm, u
   * 32 nm (published), 31.664 (derived). Second-order terms left out, as there. */
  const double l_s = 50000623, d = 215, alpha_s = 11.5e-6, theta = -0.1;
  test_add_tool (&set, SL_TOOL_RELIEF, 0, 1e-6); /* δα */
  test_add_tool (&set, SL_TOOL_ACTION, 0, 0.05); /* δθ */
  double u_delta_alpha = sl_reading_u (&set, SL_READ_RELIEF), u_delta_theta = sl_reading_u (&set, SL_READ_ACTION);
  double u_d = sqrt (5.8 * 5.8 + 3.9 * 3.9 + 6.7 * 6.7);
  double u = sqrt (25 * 25 + u_d * u_d + pow (l_s * theta * u_delta_alpha, 2) + pow (l_s * alpha_s * u_delta_theta, 2));

  g_assert_cmpfloat (l_s + d, ==, 50000838);
  assert_near (u, 32, 0.5);
  assert_near (u, 31.664, 6e-4);
}

/* ---- a straight line, through the fit of a neck ---- */

/* A string over a flat board is a straight line in x, and its gaps are points on it: places x[n] may be any numbers.
 * Fits that line; every point has u = 1. */
static void
fit_line (const double *x, const double *y, int n, SlFit *fit, SlReadingSet *set, double *intercept, double *slope,
          double *u_intercept, double *u_slope, double *covariance)
{
  SlInstrument in = { .n_strings = 1, .frets = n, .joint = n, .scale = { 1000 } };
  const int nut = SL_NUT_HEIGHT, crest = nut + 1;
  int far = 1;

  for (int i = 1; i <= n; i++)
    in.x[0][i] = x[i - 1];
  test_add_tool (set, SL_TOOL_FIRST_GAP, sqrt (12), 0);
  test_add_tool (set, SL_TOOL_ACTION, sqrt (12), 0);
  test_add_tool (set, SL_TOOL_RELIEF, 1e-7, 0); /* the board is flat */
  /* the order of the points is free: the farthest one becomes the joint, so that the crown chord spans the others */
  for (int i = 2; i <= n; i++)
    if (in.x[0][i] > in.x[0][far])
      far = i;
  in.x[0][far] = x[n - 1];
  in.x[0][n] = x[far - 1];
  test_add (set, SL_READ_RELIEF, 1, n / 2, SL_HELD_DEFAULT, 0);
  for (int i = 1; i <= n; i++)
    test_add (set, i == 1 ? SL_READ_FIRST_GAP : SL_READ_ACTION, 1, i, SL_HELD_DEFAULT,
              y[i == far ? n - 1
                : i == n ? far - 1
                         : i - 1])
        ->use = SL_USE_ALWAYS;
  sl_fit (&in, set, fit);
  g_assert_false (fit->singular);
  g_assert_cmpint (fit->n_suspects, ==, 0);

  const SlState *state = &fit->state;
  const double *c = state->cov;
  const int p = state->n_unknowns;
  *intercept = state->u[nut];
  *slope = (state->u[crest] - state->u[nut]) / in.scale[0];
  *u_intercept = sqrt (c[nut * p + nut]);
  *u_slope = sqrt (c[nut * p + nut] + c[crest * p + crest] - 2 * c[nut * p + crest]) / in.scale[0];
  *covariance = (c[nut * p + crest] - c[nut * p + nut]) / in.scale[0];
}

/* Residual standard deviation with n − 2 degrees of freedom. */
static double
scatter (const SlFit *fit, const SlReadingSet *set, int n)
{
  double squares = 0;

  for (guint i = 1; i < fit->n_readings; i++)
    squares += pow (fit->readings[i].predicted - g_array_index (set->readings, SlReading, i).value.v, 2);
  return sqrt (squares / (n - 2));
}

static void
test_norris (void)
{
  /* NIST StRD, linear regression, Norris (published, certified) */
  static const double y[36] = { .1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3,
                                .1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, .3,
                                .6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, .2 };
  static const double x[36] = { .2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, .4,
                                .6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, .3,
                                .3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, .5 };
  g_auto (SlReadingSet) set = test_set ();
  SlFit fit;
  double intercept, slope, u_intercept, u_slope, covariance;

  fit_line (x, y, 36, &fit, &set, &intercept, &slope, &u_intercept, &u_slope, &covariance);
  double s = scatter (&fit, &set, 36);

  assert_near (s, 0.884796396144373, 1e-9);
  assert_near (intercept, -0.262323073774029, 1e-8);
  assert_near (slope, 1.00211681802045, 1e-11);
  assert_near (s * u_intercept, 0.232818234301152, 1e-9);
  assert_near (s * u_slope, 0.000429796848199937, 1e-12);
  sl_fit_clear (&fit);
}

static void
test_thermometer (void)
{
  /* GUM H.3, a calibration line with covariance, t0 = 20 °C (published and derived) */
  static const double t[11] = {
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511
  };
  static const double b[11] = { -.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160 };
  double x[11], y_1, y_2, u_1, u_2, covariance;
  g_auto (SlReadingSet) set = test_set ();
  SlFit fit;

  for (int i = 0; i < 11; i++)
    x[i] = t[i] - 20;
  fit_line (x, b, 11, &fit, &set, &y_1, &y_2, &u_1, &u_2, &covariance);
  double s = scatter (&fit, &set, 11), at = 10;

  assert_near (y_1, -0.171203790, 1e-8);
  assert_near (s * u_1, 0.00287760, 1e-8);
  assert_near (y_2, 0.002182698, 1e-8);
  assert_near (s * u_2, 0.000667939, 1e-8);
  assert_near (covariance / (u_1 * u_2), -0.93043, 1e-5);
  assert_near (y_1 + at * y_2, -0.1493768, 1e-7);
  assert_near (s * sqrt (u_1 * u_1 + at * at * u_2 * u_2 + 2 * at * covariance), 0.0041386, 1e-7);
  sl_fit_clear (&fit);
}

/* ---- what is missing ---- */

static void
test_nothing_read (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlFit fit;

  /* model 3.1: relief 0.20 ± 0.20, tongue 0 ± 0.20, first gap and action at target ± 0.20 and ± 0.50 */
  sl_instrument_from_profile (profile, &in);
  sl_fit (&in, NULL, &fit);
  g_assert_false (fit.singular);
  g_assert_true (fit.relief_assumed_treble && fit.relief_assumed_bass && fit.tongue_assumed);
  g_assert_cmpuint (fit.n_readings, ==, 0);
  for (int s = 1; s <= 6; s++)
    {
      SlStringState string;
      double g[SL_N_P];

      g_assert_true (fit.first_gap_assumed[s - 1] && fit.action_assumed[s - 1]);
      sl_state_string (&in, &fit.state, s, &string);
      assert_near (sl_gap (&string, 0, 1), in.target_first_gap[s - 1], 1e-10);
      assert_near (sl_gap (&string, 0, 12), in.target_action[s - 1], 1e-10);
      sl_gap_gradient (&string, 0, 1, g);
      assert_near (sl_string_u (&string, g), 0.20, 1e-9);
      sl_gap_gradient (&string, 0, 12, g);
      assert_near (sl_string_u (&string, g), 0.50, 1e-9);
    }
  assert_near (fit.state.u[SL_RELIEF_TREBLE], 0.20, 1e-10);
  assert_near (fit.state.u[SL_RELIEF_BASS], 0.20, 1e-10);
  assert_near (fit.state.u[SL_FALL_AWAY], 0, 1e-10);
  const int p = fit.state.n_unknowns;
  assert_near (sqrt (fit.state.cov[SL_RELIEF_TREBLE * p + SL_RELIEF_TREBLE]), 0.20, 1e-9);
  assert_near (sqrt (fit.state.cov[SL_FALL_AWAY * p + SL_FALL_AWAY]), 0.20, 1e-9);
  sl_fit_clear (&fit);
}

static void
test_between_read (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* strings 2 and 4 read: 3 in between, 1 and 5–6 as the nearest, ± 0.25 for action and ± 0.10 for a first gap
   * (model 3.1) */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  test_add_tool (&c.set, SL_TOOL_ACTION, 1e-6, 0);
  test_add_tool (&c.set, SL_TOOL_FIRST_GAP, 1e-6, 0);
  test_add (&c.set, SL_READ_ACTION, 2, 12, SL_HELD_DEFAULT, 2.0);
  test_add (&c.set, SL_READ_ACTION, 4, 12, SL_HELD_DEFAULT, 2.4);
  test_add (&c.set, SL_READ_FIRST_GAP, 2, 1, SL_HELD_DEFAULT, 0.4);
  test_add (&c.set, SL_READ_FIRST_GAP, 4, 1, SL_HELD_DEFAULT, 0.6);
  sl_fit (&c.in, &c.set, &c.fit);
  static const double action[] = { 2.0, 2.0, 2.2, 2.4, 2.4, 2.4 }, first[] = { 0.4, 0.4, 0.5, 0.6, 0.6, 0.6 };
  for (int i = 0; i < 6; i++)
    {
      gboolean read = i == 1 || i == 3;
      SlStringState s;
      double g[SL_N_P];

      g_assert_cmpint (c.fit.action_assumed[i], ==, !read);
      g_assert_cmpint (c.fit.first_gap_assumed[i], ==, !read);
      sl_state_string (&c.in, &c.fit.state, i + 1, &s);
      assert_near (sl_gap (&s, 0, 12), action[i], 1e-6);
      assert_near (sl_gap (&s, 0, 1), first[i], 1e-6);
      sl_gap_gradient (&s, 0, 12, g);
      assert_near (sl_string_u (&s, g), read ? 0 : 0.25, 1e-5);
      sl_gap_gradient (&s, 0, 1, g);
      assert_near (sl_string_u (&s, g), read ? 0 : 0.10, 1e-5);
    }
}

static void
test_one_relief (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* one string's relief only: treble − bass = 0 ± 0.05 (model 3.1) */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  test_add_tool (&c.set, SL_TOOL_RELIEF, 1e-6, 0);
  test_add (&c.set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0.24);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_false (c.fit.relief_assumed_treble);
  g_assert_true (c.fit.relief_assumed_bass);
  assert_near (c.fit.state.u[SL_RELIEF_TREBLE], 0.24 / sl_bow_shape (&c.in, 1, c.in.x[0][7]), 1e-6);
  assert_near (c.fit.state.u[SL_RELIEF_BASS], c.fit.state.u[SL_RELIEF_TREBLE], 1e-6);
  const int p = c.fit.state.n_unknowns;
  assert_near (sqrt (c.fit.state.cov[SL_RELIEF_BASS * p + SL_RELIEF_BASS]), 0.05, 1e-6);
}

static void
test_no_tongue (void)
{
  g_autoptr (GRand) rand = test_rand ();
  g_autoptr (SlProfile) profile = test_profile (rand, 4, 14, 14);
  g_auto (TestCase) c = { 0 };

  /* no frets beyond the joint: no tongue to assume, and a reading of one says nothing */
  test_case_begin (&c, rand, profile);
  test_read_all (rand, &c.in, &c.truth, &c.set);
  test_add (&c.set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0.4);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_false (c.fit.tongue_assumed);
  g_assert_false (c.fit.readings[c.fit.n_readings - 1].in_fit);
  assert_same_state (&c.fit.state, &c.truth, &c.in, 1e-9);
}

static void
test_known_between (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* setback, exposure and crowns: in between linear, outside the nearest; twice read, their mean (model 1.2, 3.3) */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  test_add (&c.set, SL_READ_EXPOSURE, 2, 0, SL_HELD_DEFAULT, 3.0);
  test_add (&c.set, SL_READ_EXPOSURE, 2, 0, SL_HELD_DEFAULT, 3.2);
  test_add (&c.set, SL_READ_EXPOSURE, 5, 0, SL_HELD_DEFAULT, 4.0);
  test_add (&c.set, SL_READ_EXPOSURE, 6, 0, SL_HELD_DEFAULT, 9.0)->use = SL_USE_NEVER;
  test_add (&c.set, SL_READ_SETBACK, 3, 0, SL_HELD_DEFAULT, 2.5);
  test_add (&c.set, SL_READ_CROWN_GAP, 0, 4, SL_HELD_DEFAULT, 0.04);
  test_add (&c.set, SL_READ_CROWN_GAP, 0, 8, SL_HELD_DEFAULT, 0);
  sl_fit (&c.in, &c.set, &c.fit);
  static const double exposure[] = { 3.1, 3.1, 3.4, 3.7, 4.0, 4.0 };
  for (int i = 0; i < 6; i++)
    {
      assert_near (c.fit.state.exposure[i], exposure[i], 1e-12);
      assert_near (c.fit.state.setback[i], 2.5, 1e-12);
    }
  static const double crown[] = { -0.04, -0.04, -0.04, -0.04, -0.03, -0.02, -0.01, 0, 0, 0 };
  for (int n = 1; n <= 10; n++)
    assert_near (c.fit.state.crown[n], crown[n - 1], 1e-12);
  g_assert_true (c.fit.state.crowns_read && c.fit.state.setback_read && c.fit.state.exposure_read);
}

static void
test_exposure_u (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (SlReadingSet) set = test_set ();
  SlInstrument in;
  SlFit fit;

  /* an exposure's uncertainty counts only where its tool is stated (docs/decisions); interpolated between two strings
   * as their weights have it */
  sl_instrument_from_profile (profile, &in);
  test_add (&set, SL_READ_EXPOSURE, 1, 0, SL_HELD_DEFAULT, 3);
  test_add (&set, SL_READ_EXPOSURE, 3, 0, SL_HELD_DEFAULT, 4);
  sl_fit (&in, &set, &fit);
  g_assert_cmpfloat (fit.state.exposure_u[0], ==, 0);
  sl_fit_clear (&fit);
  test_add_tool (&set, SL_TOOL_EXPOSURE, 0.1, 0);
  sl_fit (&in, &set, &fit);
  assert_near (fit.state.exposure_u[0], 0.1 / sqrt (12), 1e-15);
  assert_near (fit.state.exposure_u[1], 0.1 / sqrt (12) / sqrt (2), 1e-15);
  assert_near (fit.state.exposure_u[5], 0.1 / sqrt (12), 1e-15);
  sl_fit_clear (&fit);
  /* one with a U of its own has half of that, whatever the tool */
  g_array_index (set.readings, SlReading, 1).uncertainty = sl_number (0.3);
  sl_fit (&in, &set, &fit);
  assert_near (fit.state.exposure_u[0], 0.1 / sqrt (12), 1e-15);
  assert_near (fit.state.exposure_u[1], hypot (0.1 / sqrt (12), 0.15) / 2, 1e-15);
  assert_near (fit.state.exposure_u[5], 0.15, 1e-15);
  sl_fit_clear (&fit);
}

static void
test_undetermined (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* a string whose only "action" is the gap at fret 1 leaves the crest open: it is assumed like any other that is not
   * read */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  for (int s = 1; s <= 6; s++)
    {
      test_add (&c.set, SL_READ_FIRST_GAP, s, 1, SL_HELD_DEFAULT, 0.5);
      test_add (&c.set, SL_READ_ACTION, s, s == 2 ? 1 : 12, SL_HELD_DEFAULT, s == 2 ? 0.5 : 2.4);
    }
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_false (c.fit.singular);
  g_assert_true (c.fit.action_assumed[1]);
  g_assert_false (c.fit.action_assumed[2]);
}

static void
test_singular_is_said (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* relief read at the ends of the crown chord, where it is 0 whatever the relief: nothing stands behind the relief,
   * which is said, and all stays finite */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  test_add (&c.set, SL_READ_RELIEF, 1, 1, SL_HELD_DEFAULT, 0);
  test_add (&c.set, SL_READ_RELIEF, 6, 1, SL_HELD_DEFAULT, 0);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_true (c.fit.singular);
  for (int i = 0; i < c.fit.state.n_unknowns; i++)
    {
      g_assert_true (isfinite (c.fit.state.u[i]));
      g_assert_cmpfloat (c.fit.state.cov[i * c.fit.state.n_unknowns + i], >, 0);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/gives-state-back", test_gives_state_back);
  g_test_add_func ("/fit/rows-are-readings", test_rows_are_readings);
  g_test_add_func ("/fit/gaps-are-geometry", test_gaps_are_geometry);
  g_test_add_func ("/fit/tools", test_tools);
  g_test_add_func ("/fit/end-gauge", test_end_gauge);
  g_test_add_func ("/fit/norris", test_norris);
  g_test_add_func ("/fit/thermometer", test_thermometer);
  g_test_add_func ("/fit/nothing-read", test_nothing_read);
  g_test_add_func ("/fit/between-read", test_between_read);
  g_test_add_func ("/fit/one-relief", test_one_relief);
  g_test_add_func ("/fit/no-tongue", test_no_tongue);
  g_test_add_func ("/fit/known-between", test_known_between);
  g_test_add_func ("/fit/exposure-u", test_exposure_u);
  g_test_add_func ("/fit/undetermined", test_undetermined);
  g_test_add_func ("/fit/singular-is-said", test_singular_is_said);
  return g_test_run ();
}
