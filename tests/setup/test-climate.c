/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wood and air against published tables and formulas. */
#include "setup/climate.h"
#include "support.h"

#define FAHRENHEIT(f) (((f) - 32) / 1.8)

static void
test_moisture_table (void)
{
  /* Wood Handbook (FPL-GTR-190/282), table 4-2 (published): RH 5, 10, … 95 %; the rows are 50, 70 and 90 °F exactly */
  static const struct
  {
    double temperature;
    double percent[19];
  } rows[] = {
    { FAHRENHEIT (50), { 1.4, 2.6, 3.6, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3 } },
    { FAHRENHEIT (70), { 1.3, 2.5, 3.5, 4.5, 5.4, 6.2, 6.9, 7.7, 8.5, 9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9 } },
    { FAHRENHEIT (90), { 1.2, 2.3, 3.4, 4.3, 5.1, 5.9, 6.7, 7.4, 8.1, 8.9, 9.7, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3 } },
  };

  /* the published equation 4-5 lies within 0.06 of every cell of the published table */
  for (gsize r = 0; r < G_N_ELEMENTS (rows); r++)
    for (int c = 0; c < 19; c++)
      assert_near (sl_moisture_content (rows[r].temperature, 5 * (c + 1)), rows[r].percent[c], 0.06);
}

static void
test_moisture_drift (void)
{
  /* a case full of wood keeps the wood's moisture: at 20 °C and 50 % the air drifts by about +0.16 % RH a kelvin (derived from equation 4-5) */
  double along_t = sl_moisture_content (20.5, 50) - sl_moisture_content (19.5, 50);
  double along_h = sl_moisture_content (20, 50.5) - sl_moisture_content (20, 49.5);

  assert_near (-along_t / along_h, 0.16, 0.005);
}

static void
test_magnus (void)
{
  /* Magnus over water, WMO-No. 8: e(0) 6.112 hPa (published); e(20), the dew point, and cold air warmed (derived) */
  assert_near (sl_saturation_pressure (0), 6.112, 1e-12);
  assert_near (sl_saturation_pressure (20), 23.32596, 5e-6);
  assert_near (sl_dew_point (20, 50), 9.25517, 5e-6);
  assert_near (50 * sl_saturation_pressure (5) / sl_saturation_pressure (22), 16.526, 5e-4);
}

static void
test_dew_point_inverts (void)
{
  /* at its dew point the air is saturated: e(dew) = h e(t) */
  for (double t = -15; t <= 45; t += 5)
    for (double h = 5; h <= 100; h += 5)
      assert_near (sl_saturation_pressure (sl_dew_point (t, h)), h / 100 * sl_saturation_pressure (t), 1e-10);
}

static void
test_moisture_rises (void)
{
  for (double t = 0; t <= 40; t += 4)
    for (double h = 1; h < 99; h++)
      g_assert_cmpfloat (sl_moisture_content (t, h + 1), >, sl_moisture_content (t, h));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/climate/moisture-table", test_moisture_table);
  g_test_add_func ("/climate/moisture-drift", test_moisture_drift);
  g_test_add_func ("/climate/magnus", test_magnus);
  g_test_add_func ("/climate/dew-point-inverts", test_dew_point_inverts);
  g_test_add_func ("/climate/moisture-rises", test_moisture_rises);
  return g_test_run ();
}
