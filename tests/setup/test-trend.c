/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Straight lines through readings, against published regressions and against properties of a line; and an instrument's
 * history. */
#include "setup/record/history.h"
#include "support.h"

static SlTrendPoint
point (double x, double y)
{
  return (SlTrendPoint){ x, y, NAN, 0 };
}

static void
test_norris (void)
{
  /* NIST Statistical Reference Datasets, linear regression, Norris (published, certified): data and values */
  static const double y[] = { .1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3,
                              .1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, .3,
                              .6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, .2 };
  static const double x[] = { .2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, .4,
                              .6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, .3,
                              .3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, .5 };
  SlTrendPoint points[G_N_ELEMENTS (x)];
  SlTrend trend;
  double mean = 0, spread = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (x); i++)
    points[i] = point (x[i], y[i]);
  g_assert_cmpint (sl_trend_fit (points, G_N_ELEMENTS (x), &trend), ==, SL_TREND_FOUND);
  assert_near (trend.intercept, -0.262323073774029, 1e-11);
  assert_near (trend.slope, 1.00211681802045, 1e-13);
  assert_near (sqrt (trend.cov_ii), 0.232818234301152, 1e-12);
  assert_near (sqrt (trend.cov_ss), 0.429796848199937e-3, 1e-15);
  /* the residual standard deviation s is in the slope's: s²/Σ(x − mean)² */
  for (gsize i = 0; i < G_N_ELEMENTS (x); i++)
    mean += x[i] / G_N_ELEMENTS (x);
  for (gsize i = 0; i < G_N_ELEMENTS (x); i++)
    spread += (x[i] - mean) * (x[i] - mean);
  assert_near (sqrt (trend.cov_ss * spread), 0.884796396144373, 1e-12);
  g_assert_cmpint (trend.freedom, ==, 34);
}

static void
test_thermometer (void)
{
  /* GUM (JCGM 100:2008) H.3, calibration of a thermometer, t0 = 20 °C: values published, further digits derived */
  static const double t[] = { 21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511 };
  static const double b[] = { -.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160 };
  SlTrendPoint points[G_N_ELEMENTS (t)];
  SlTrend trend;
  double u, value, expanded;

  for (gsize i = 0; i < G_N_ELEMENTS (t); i++)
    points[i] = point (t[i] - 20, b[i]);
  g_assert_cmpint (sl_trend_fit (points, G_N_ELEMENTS (t), &trend), ==, SL_TREND_FOUND);
  assert_near (trend.intercept, -0.171203790, 1e-9);
  assert_near (sqrt (trend.cov_ii), 0.00287760, 1e-8);
  assert_near (trend.slope, 0.002182698, 1e-9);
  assert_near (sqrt (trend.cov_ss), 0.000667939, 1e-9);
  assert_near (trend.cov_is / sqrt (trend.cov_ii * trend.cov_ss), -0.93043, 1e-5);
  assert_near (sl_trend_at (&trend, 30 - 20, &u), -0.1493768, 1e-7);
  assert_near (u, 0.0041386, 1e-7);

  /* 30 °C is beyond the thermometer's readings: the line is drawn there by the GUM, but nothing is predicted here */
  g_assert_false (sl_trend_predict (&trend, 30 - 20, &value, &expanded));
  g_assert_true (sl_trend_predict (&trend, 24 - 20, &value, &expanded));
  assert_near (value, -0.171203790 + 4 * 0.002182698, 1e-8);
  /* 9 degrees of freedom: t_95.45 = 2.32 (GUM table G.2, published) */
  assert_near (trend.coverage, 2.32, 0.005);
}

static void
test_coverage (void)
{
  /* Student's t for 95.45 %: GUM table G.2 (published): 13.97 with one degree of freedom, 4.53 with two, 2.87 with four
   */
  static const struct
  {
    int n;
    double t;
  } rows[] = { { 3, 13.97 }, { 4, 4.53 }, { 6, 2.87 } };

  for (gsize r = 0; r < G_N_ELEMENTS (rows); r++)
    {
      SlTrendPoint points[6];
      SlTrend trend;

      for (int i = 0; i < rows[r].n; i++)
        points[i] = point (i, i % 2);
      g_assert_cmpint (sl_trend_fit (points, rows[r].n, &trend), ==, SL_TREND_FOUND);
      assert_near (trend.coverage, rows[r].t, 0.005);
    }
}

static void
test_refusals (void)
{
  SlTrendPoint points[] = { point (8, 1), point (9, 2), point (10, 3.1) };
  SlTrend trend;
  double value = -1, expanded = -1;

  for (int n = 0; n < 3; n++)
    g_assert_cmpint (sl_trend_fit (points, n, &trend), ==, SL_TREND_TOO_FEW);
  g_assert_cmpint (sl_trend_fit (points, 3, &trend), ==, SL_TREND_FOUND);
  g_assert_true (sl_trend_predict (&trend, 8, &value, &expanded));
  g_assert_true (sl_trend_predict (&trend, 10, &value, &expanded));
  value = expanded = -1;
  g_assert_false (sl_trend_predict (&trend, 7.999, &value, &expanded));
  g_assert_false (sl_trend_predict (&trend, 10.001, &value, &expanded));
  g_assert_false (sl_trend_predict (&trend, NAN, &value, &expanded));
  g_assert_cmpfloat (value, ==, -1);
  g_assert_cmpfloat (expanded, ==, -1);

  points[0].x = points[1].x = points[2].x = 9;
  g_assert_cmpint (sl_trend_fit (points, 3, &trend), ==, SL_TREND_NO_SPREAD);
  /* two groups take two intercepts: three points leave no freedom */
  points[0].x = 8;
  points[2].group = 1;
  g_assert_cmpint (sl_trend_fit (points, 3, &trend), ==, SL_TREND_TOO_FEW);
}

static void
test_groups (void)
{
  /* points on two parallel lines, 0.5 apart: the slope is theirs, the intercept the later one's (by construction) */
  SlTrendPoint points[6];
  SlTrend trend;

  for (int i = 0; i < 6; i++)
    points[i] = (SlTrendPoint){ 6 + i, 0.1 * (6 + i) + (i < 3 ? 0.5 : 0), NAN, i < 3 ? 0 : 4 };
  g_assert_cmpint (sl_trend_fit (points, 6, &trend), ==, SL_TREND_FOUND);
  g_assert_cmpint (trend.n_groups, ==, 2);
  g_assert_cmpint (trend.freedom, ==, 3);
  assert_near (trend.slope, 0.1, 1e-12);
  assert_near (trend.intercept, 0, 1e-11);
  assert_near (sl_trend_at (&trend, 9, NULL), 0.9, 1e-12);
  assert_near (trend.cov_ss, 0, 1e-12);

  /* a group of one point says nothing of the slope: the others' line, through that point's height */
  for (int i = 0; i < 4; i++)
    points[i] = (SlTrendPoint){ 6 + i, 0.2 * i + 0.01 * (i % 2), NAN, 0 };
  SlTrend alone;
  g_assert_cmpint (sl_trend_fit (points, 4, &alone), ==, SL_TREND_FOUND);
  points[4] = (SlTrendPoint){ 8, 5, NAN, 1 };
  g_assert_cmpint (sl_trend_fit (points, 5, &trend), ==, SL_TREND_FOUND);
  assert_near (trend.slope, alone.slope, 1e-12);
  assert_near (sqrt (trend.cov_ss), sqrt (alone.cov_ss), 1e-12);
  assert_near (sl_trend_at (&trend, 8, NULL), 5, 1e-12);
}

static void
test_weights (void)
{
  /* weights u⁻²: slope (Σwxy Σw − Σwx Σwy)/(Σwx² Σw − (Σwx)²), its variance Σw over the same (any text on least
   * squares) */
  g_autoptr (GRand) rand = test_rand ();

  for (int run = 0; run < 50; run++)
    {
      SlTrendPoint points[8];
      SlTrend trend;
      double w = 0, wx = 0, wy = 0, wxx = 0, wxy = 0, chisq = 0;

      for (int i = 0; i < 8; i++)
        {
          double u = test_between (rand, 0.02, 0.1), x = test_between (rand, 6, 14), k = 1 / (u * u),
                 y = 1 + 0.05 * x + u * test_normal (rand);

          points[i] = (SlTrendPoint){ x, y, u, 0 };
          w += k;
          wx += k * x;
          wy += k * y;
          wxx += k * x * x;
          wxy += k * x * y;
        }
      g_assert_cmpint (sl_trend_fit (points, 8, &trend), ==, SL_TREND_FOUND);
      double determinant = w * wxx - wx * wx;
      assert_near (trend.slope, (w * wxy - wx * wy) / determinant, 1e-9);
      for (int i = 0; i < 8; i++)
        chisq += pow ((points[i].y - trend.intercept - trend.slope * points[i].x) / points[i].u, 2);
      double widened = MAX (chisq / 6, 1);
      assert_near (trend.cov_ss, widened * w / determinant, 1e-9);
      g_assert_true (chisq / 6 > 1 ? trend.coverage > 2.3 : trend.coverage == 2);
    }
}

/* ---- history ---- */

/* A visit with one set in the given air; relief and action of the outer strings read. */
static SlVisit *
add_visit (SlProfile *profile, const char *day, double humidity, double relief, double action)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();

  visit.id = g_strdup_printf ("v%u", profile->visits->len + 1);
  visit.opened = g_strdup (day);
  set.id = g_strdup ("r1");
  set.taken = g_strdup_printf ("%sT10:00:00Z", day);
  set.temperature = sl_number (20);
  set.humidity = sl_number (humidity);
  for (int string = 1; string <= 6; string += 5)
    {
      test_add (&set, SL_READ_RELIEF, string, 7, SL_HELD_DEFAULT, relief);
      test_add (&set, SL_READ_FIRST_GAP, string, 1, SL_HELD_DEFAULT, 0.45);
      test_add (&set, SL_READ_ACTION, string, 12, SL_HELD_DEFAULT, action);
    }
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
  return sl_profile_last_visit (profile);
}

static void
test_history (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlTrend trend;

  /* the later visit stands first: history is by time */
  add_visit (profile, "2025-06-01", 60, 0.30, 2.4);
  add_visit (profile, "2025-01-01", 40, 0.10, 2.0);
  g_autoptr (GArray) two = sl_history_new (profile, &SL_SHOP_DEFAULT);
  g_assert_cmpuint (two->len, ==, 2);
  g_assert_cmpint (g_array_index (two, SlHistoryPoint, 0).visit_index, ==, 1);
  g_assert_cmpint (g_array_index (two, SlHistoryPoint, 0).time, ==, 1735725600); /* 2025-01-01 10:00 UTC, by date(1) */
  g_assert_cmpint (sl_history_trend (two, SL_HISTORY_ACTION, 1, &trend), ==, SL_TREND_TOO_FEW);

  add_visit (profile, "2025-09-01", 50, 0.20, 2.2);
  g_autoptr (GArray) three = sl_history_new (profile, &SL_SHOP_DEFAULT);
  g_assert_cmpint (sl_history_trend (three, SL_HISTORY_ACTION, 6, &trend), ==, SL_TREND_FOUND);
  g_assert_cmpfloat (trend.slope, >, 0);
  assert_near (trend.least_x,
               sl_history_figure (&g_array_index (three, SlHistoryPoint, 0), SL_HISTORY_MOISTURE, 0)->value, 1e-12);
  assert_near (sl_history_figure (&g_array_index (three, SlHistoryPoint, 1), SL_HISTORY_ACTION, 6)->value, 2.4, 1e-6);
  /* exposure was never read: assumed values are no data */
  g_assert_cmpint (sl_history_trend (three, SL_HISTORY_EXPOSURE, 1, &trend), ==, SL_TREND_TOO_FEW);
  g_assert_cmpint (sl_history_trend (three, SL_HISTORY_ACTION, 3, &trend), ==, SL_TREND_TOO_FEW);
}

static void
test_history_work (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlVisit *visit;
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  SlTrend trend;

  add_visit (profile, "2025-01-01", 40, 0.10, 2.4);
  visit = add_visit (profile, "2025-03-01", 50, 0.15, 2.5);
  cut.amount = cut.amount_treble = sl_number (1.0);
  cut.done = g_strdup ("2025-03-01T12:00:00Z");
  g_array_append_val (visit->plan, cut);
  add_visit (profile, "2025-06-01", 60, 0.20, 2.1);
  add_visit (profile, "2025-12-01", 45, 0.12, 1.95);
  g_autoptr (GArray) history = sl_history_new (profile, &SL_SHOP_DEFAULT);

  /* the cut moved the action, not the relief */
  g_assert_cmpuint (g_array_index (history, SlHistoryPoint, 3).work[SL_HISTORY_ACTION], ==, 1);
  g_assert_cmpuint (g_array_index (history, SlHistoryPoint, 3).work[SL_HISTORY_RELIEF], ==, 0);
  g_assert_cmpint (sl_history_trend (history, SL_HISTORY_ACTION, 1, &trend), ==, SL_TREND_FOUND);
  g_assert_cmpint (trend.n_groups, ==, 2);
  /* within each group 0.10 mm in about 1.8 % and 0.15 mm in about 2.7 %: damp raises it, although the figures fell over
   * the year */
  g_assert_cmpfloat (trend.slope, >, 0.03);
  g_assert_cmpfloat (trend.slope, <, 0.08);
  g_assert_cmpint (sl_history_trend (history, SL_HISTORY_RELIEF, 1, &trend), ==, SL_TREND_FOUND);
  g_assert_cmpint (trend.n_groups, ==, 1);
}

static void
assert_same_state (const SlState *a, const SlState *b)
{
  g_assert_cmpmem (a->u, sizeof a->u, b->u, sizeof b->u);
  g_assert_cmpmem (a->cov, sizeof a->cov, b->cov, sizeof b->cov);
  g_assert_cmpmem (a->exposure, sizeof a->exposure, b->exposure, sizeof b->exposure);
}

/* Two visits side by side: the first where a drawing has what was measured, the second where it has what is planned,
 * each what it is by itself, and nothing to come off between them, whatever was done. */
static void
test_compare (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree SlAnalysis *both = g_new0 (SlAnalysis, 1), *one = g_new0 (SlAnalysis, 1), *two = g_new0 (SlAnalysis, 1);
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  SlReadingSet again = sl_reading_set_init ();
  SlVisit *visit;

  visit = add_visit (profile, "2025-01-01", 40, 0.10, 2.4);
  cut.amount = cut.amount_treble = sl_number (0.4);
  cut.done = g_strdup ("2025-01-01T12:00:00Z");
  g_array_append_val (visit->plan, cut);
  visit = add_visit (profile, "2025-06-01", 60, 0.30, 2.6);
  again.id = g_strdup ("r2");
  again.taken = g_strdup ("2025-06-01T15:00:00Z");
  test_add (&again, SL_READ_ACTION, 6, 12, SL_HELD_DEFAULT, 2.5);
  g_array_append_val (visit->sets, again);

  g_autoptr (GArray) history = sl_history_new (profile, &SL_SHOP_DEFAULT);
  g_assert_cmpuint (history->len, ==, 3);
  for (guint first = 0; first < history->len; first++)
    for (guint second = 0; second < history->len; second++)
      {
        const SlHistoryPoint *a = &g_array_index (history, SlHistoryPoint, first),
                             *b = &g_array_index (history, SlHistoryPoint, second);

        sl_history_compare (profile, a, b, &SL_SHOP_DEFAULT, both);
        sl_analyse (profile, a->visit, a->set, &SL_SHOP_DEFAULT, one);
        sl_analyse (profile, b->visit, b->set, &SL_SHOP_DEFAULT, two);
        assert_same_state (&both->measured, &one->measured);
        assert_same_state (&both->planned, &two->measured);
        g_assert_cmpfloat (both->measured_figures.action[5][12].value, ==, a->action[5].value);
        g_assert_cmpfloat (both->planned_figures.action[5][12].value, ==, b->action[5].value);
        g_assert_cmpfloat (both->planned_figures.relief[0].value, ==, b->relief[0].value);
        g_assert_true (both->has_plan);
        g_assert_null (both->plan);
        g_assert_null (both->earlier); /* a drawing of two sets shows no third */
        sl_analysis_clear (one);
        sl_analysis_clear (two);
        sl_analysis_clear (both);
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/trend/norris", test_norris);
  g_test_add_func ("/trend/thermometer", test_thermometer);
  g_test_add_func ("/trend/coverage", test_coverage);
  g_test_add_func ("/trend/refusals", test_refusals);
  g_test_add_func ("/trend/groups", test_groups);
  g_test_add_func ("/trend/weights", test_weights);
  g_test_add_func ("/history/sets", test_history);
  g_test_add_func ("/history/work", test_history_work);
  g_test_add_func ("/history/compare", test_compare);
  return g_test_run ();
}
