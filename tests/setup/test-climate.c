/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wood and air against published tables and formulas. */
#include "setup/wood/climate.h"
#include "support.h"

#define FAHRENHEIT(f) (((f) -32) / 1.8)

static void
test_moisture_table (void)
{
  /* Wood Handbook (FPL-GTR-190/282), table 4-2 (published): RH 5, 10, … 95 %; the rows are 50, 70 and 90 °F exactly */
  static const struct
  {
    double temperature;
    double percent[19];
  } rows[] = {
    { FAHRENHEIT (50),
      { 1.4, 2.6, 3.6, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3 } },
    { FAHRENHEIT (70),
      { 1.3, 2.5, 3.5, 4.5, 5.4, 6.2, 6.9, 7.7, 8.5, 9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9 } },
    { FAHRENHEIT (90),
      { 1.2, 2.3, 3.4, 4.3, 5.1, 5.9, 6.7, 7.4, 8.1, 8.9, 9.7, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3 } },
  };

  /* the published equation 4-5 lies within 0.06 of every cell of the published table */
  for (gsize r = 0; r < G_N_ELEMENTS (rows); r++)
    for (int c = 0; c < 19; c++)
      assert_near (sl_moisture_content (rows[r].temperature, 5 * (c + 1)), rows[r].percent[c], 0.06);
}

static void
test_moisture_drift (void)
{
  /* a case full of wood keeps the wood's moisture: at 20 °C and 50 % the air drifts by about +0.16 % RH a kelvin
   * (derived from equation 4-5) */
  double along_t = sl_moisture_content (20.5, 50) - sl_moisture_content (19.5, 50);
  double along_h = sl_moisture_content (20, 50.5) - sl_moisture_content (20, 49.5);

  assert_near (-along_t / along_h, 0.16, 0.005);
}

/* Saturation pressure over water, hPa: Magnus, WMO-No. 8, annex 4.B (published) */
static double
saturation_pressure (double t)
{
  return 6.112 * exp (17.62 * t / (243.12 + t));
}

static void
test_dew_point (void)
{
  assert_near (sl_dew_point (20, 50), 9.25517, 5e-6); /* derived */
  /* at its dew point the air is saturated: e(dew) = h e(t) */
  for (double t = -15; t <= 45; t += 5)
    for (double h = 5; h <= 100; h += 5)
      assert_near (saturation_pressure (sl_dew_point (t, h)), h / 100 * saturation_pressure (t), 1e-10);
}

static void
test_moisture_rises (void)
{
  for (double t = 0; t <= 40; t += 4)
    for (double h = 1; h < 99; h++)
      g_assert_cmpfloat (sl_moisture_content (t, h + 1), >, sl_moisture_content (t, h));
}

static void
test_salts (void)
{
  /* Greenspan, J. Res. NBS 81A (1977): his formulas at 20 °C (published) */
  assert_near (sl_salt_humidity (SL_SALT_MAGNESIUM_CHLORIDE, 20), 33.073, 5e-4);
  assert_near (sl_salt_humidity (SL_SALT_SODIUM_CHLORIDE, 20), 75.479, 5e-4);
  assert_near (sl_salt_humidity (SL_SALT_POTASSIUM_CHLORIDE, 20), 85.112, 5e-4);
  g_assert_true (isnan (sl_salt_humidity (SL_SALT_SODIUM_CHLORIDE, 4)));
  g_assert_true (isnan (sl_salt_humidity (SL_SALT_SODIUM_CHLORIDE, 41)));
  g_assert_true (isnan (sl_salt_humidity (SL_SALT_SODIUM_CHLORIDE, NAN)));
  for (double t = SL_SALT_LEAST_C; t <= SL_SALT_MOST_C; t++)
    for (SlSalt salt = 1; salt < SL_N_SALTS; salt++)
      g_assert_cmpfloat (sl_salt_humidity (salt, t), >, sl_salt_humidity (salt - 1, t));
}

static void
test_hygrometer (void)
{
  SlSaltCheck checks[] = { { SL_SALT_MAGNESIUM_CHLORIDE, 20, 30 },
                           { SL_SALT_SODIUM_CHLORIDE, 20, 80 },
                           { SL_SALT_SODIUM_CHLORIDE, 20, 80 } };
  double dry = 33.073 - 30, damp = 75.479 - 80;

  assert_near (sl_hygrometer_correction (checks, 0, 50), 0, 1e-12);
  assert_near (sl_hygrometer_correction (checks, 1, 50), dry, 5e-4);
  assert_near (sl_hygrometer_correction (checks, 2, 30), dry, 5e-4);
  assert_near (sl_hygrometer_correction (checks, 2, 10), dry, 5e-4);
  assert_near (sl_hygrometer_correction (checks, 2, 95), damp, 5e-4);
  assert_near (sl_hygrometer_correction (checks, 2, 55), (dry + damp) / 2, 5e-4);
  /* between two checks the correction goes straight from one to the other, so that what it shows never runs backward */
  assert_near (sl_hygrometer_correction (checks, 2, 42.5), dry + 0.25 * (damp - dry), 5e-4);
  for (double shown = 0; shown < 100; shown++)
    g_assert_cmpfloat (shown + 1 + sl_hygrometer_correction (checks, 2, shown + 1), >,
                       shown + sl_hygrometer_correction (checks, 2, shown));
  checks[2].shown = 80;
  checks[2].temperature_c = 30; /* 75.094 % there by the same formula */
  assert_near (sl_hygrometer_correction (checks, 3, 80),
               ((75.479 - 80) + (sl_salt_humidity (SL_SALT_SODIUM_CHLORIDE, 30) - 80)) / 2, 5e-4);
}

static void
test_movement (void)
{
  double change = -1;
  int n;
  const SlWood *woods = sl_woods (&n);

  /* Wood Handbook, chapter 13: 232 mm of white fir, C 0.00245, from 8 to 11 % (worked example, from memory) */
  g_assert_true (sl_wood_movement (232, 0.00245, 8, 11, &change));
  assert_near (change, 1.7052, 1e-9);
  g_assert_true (sl_wood_movement (232, 0.00245, 11, 8, &change));
  assert_near (change, -1.7052, 1e-9);
  change = -1;
  g_assert_false (sl_wood_movement (232, 0.00245, 5.9, 11, &change));
  g_assert_false (sl_wood_movement (232, 0.00245, 8, 14.1, &change));
  g_assert_false (sl_wood_movement (232, 0.00245, NAN, 8, &change));
  g_assert_cmpfloat (change, ==, -1);

  /* Wood Handbook, table 13-5 (published; the spruces and cedar from memory) */
  for (int i = 0; i < n; i++)
    {
      if (g_str_equal (woods[i].id, "sugar-maple"))
        g_assert_true (woods[i].radial == 0.00165 && woods[i].tangential == 0.00353);
      else if (g_str_equal (woods[i].id, "bigleaf-maple"))
        g_assert_true (woods[i].radial == 0.00126 && woods[i].tangential == 0.00248);
      else if (g_str_equal (woods[i].id, "black-walnut"))
        g_assert_true (woods[i].radial == 0.00190 && woods[i].tangential == 0.00274);
      else if (g_str_equal (woods[i].id, "sitka-spruce"))
        g_assert_true (woods[i].radial == 0.00148 && woods[i].tangential == 0.00263);
      else if (g_str_equal (woods[i].id, "engelmann-spruce"))
        g_assert_true (woods[i].radial == 0.00130 && woods[i].tangential == 0.00248);
      else if (g_str_equal (woods[i].id, "western-redcedar"))
        g_assert_true (woods[i].radial == 0.00111 && woods[i].tangential == 0.00234);
      else
        g_assert_not_reached ();
      /* every wood moves more along its rings than across them */
      g_assert_cmpfloat (woods[i].radial, <, woods[i].tangential);
    }
  g_assert_cmpint (n, ==, 6);
}

static void
test_keeping (void)
{
  /* keep at 45 to 55 %, harm below 40 and above 65: common practice */
  const SlKeeping keeping = SL_KEEPING_DEFAULT;
  static const struct
  {
    double humidity;
    SlAir air;
  } rows[] = { { 39.9, SL_AIR_TOO_DRY }, { 40, SL_AIR_DRY },  { 45, SL_AIR_GOOD },    { 55, SL_AIR_GOOD },
               { 56, SL_AIR_DAMP },      { 65, SL_AIR_DAMP }, { 66, SL_AIR_TOO_DAMP } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_cmpint (sl_air (&keeping, rows[i].humidity), ==, rows[i].air);
      g_assert_cmpstr (sl_air_advice (rows[i].air), !=, "");
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/climate/moisture-table", test_moisture_table);
  g_test_add_func ("/climate/moisture-drift", test_moisture_drift);
  g_test_add_func ("/climate/dew-point", test_dew_point);
  g_test_add_func ("/climate/moisture-rises", test_moisture_rises);
  g_test_add_func ("/climate/salts", test_salts);
  g_test_add_func ("/climate/hygrometer", test_hygrometer);
  g_test_add_func ("/climate/movement", test_movement);
  g_test_add_func ("/climate/keeping", test_keeping);
  return g_test_run ();
}
