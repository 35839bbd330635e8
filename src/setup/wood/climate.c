/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/wood/climate.h"

#include <glib/gi18n-lib.h>
#include <math.h>

double
sl_moisture_content (double temperature_c, double humidity)
{
  /* Wood Handbook, FPL-GTR-282, equation 4-5, coefficients for °C */
  const double t = temperature_c, h = humidity / 100;
  const double w = 349 + 1.29 * t + 0.0135 * t * t;
  const double k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
  const double k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
  const double k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
  const double kh = k * h;

  return 1800 / w * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh));
}

/* Magnus over water, WMO-No. 8 (Guide to Instruments and Methods of Observation), annex 4.B */
#define MAGNUS_A 17.62
#define MAGNUS_C 243.12

double
sl_dew_point (double temperature_c, double humidity)
{
  double g = log (humidity / 100) + MAGNUS_A * temperature_c / (MAGNUS_C + temperature_c);

  return MAGNUS_C * g / (MAGNUS_A - g);
}

/* ---- salts ---- */

const char *const sl_salt_names[] = { "magnesium-chloride", "sodium-chloride", "potassium-chloride", NULL };

const char *
sl_salt_title (SlSalt salt)
{
  static const char *const titles[] = { N_ ("magnesium chloride"), N_ ("table salt"), N_ ("potassium chloride") };

  g_return_val_if_fail (salt < SL_N_SALTS, "");
  return _ (titles[salt]);
}

double
sl_salt_humidity (SlSalt salt, double temperature_c)
{
  /* Greenspan 1977: RH % = a0 + a1 t + a2 t² + a3 t³ */
  static const double a[SL_N_SALTS][4] = {
    { 33.6686, -0.00797397, -0.00108988, 0 },
    { 75.5164, 0.0398321, -0.00265459, 2.848e-5 },
    { 88.6190, -0.193340, 0.000899706, 0 },
  };
  const double t = temperature_c;

  g_return_val_if_fail (salt < SL_N_SALTS, NAN);
  if (!(t >= SL_SALT_LEAST_C && t <= SL_SALT_MOST_C))
    return NAN;
  return a[salt][0] + t * (a[salt][1] + t * (a[salt][2] + t * a[salt][3]));
}

/* Mean correction of all checks made at @shown exactly. */
static double
correction_at (const SlSaltCheck *checks, int n, double shown)
{
  double sum = 0;
  int found = 0;

  for (int i = 0; i < n; i++)
    if (checks[i].shown == shown)
      {
        sum += sl_salt_humidity (checks[i].salt, checks[i].temperature_c) - shown;
        found++;
      }
  return sum / found;
}

double
sl_hygrometer_correction (const SlSaltCheck *checks, int n_checks, double shown)
{
  double below = -INFINITY, above = INFINITY;

  for (int i = 0; i < n_checks; i++)
    {
      if (checks[i].shown <= shown)
        below = MAX (below, checks[i].shown);
      if (checks[i].shown >= shown)
        above = MIN (above, checks[i].shown);
    }
  if (n_checks == 0)
    return 0;
  if (isinf (below) || below == above)
    return correction_at (checks, n_checks, above);
  if (isinf (above))
    return correction_at (checks, n_checks, below);
  double share = (shown - below) / (above - below);
  return correction_at (checks, n_checks, below) * (1 - share) + correction_at (checks, n_checks, above) * share;
}

/* ---- keeping ---- */

SlAir
sl_air (const SlKeeping *keeping, double humidity)
{
  if (humidity < keeping->dry)
    return SL_AIR_TOO_DRY;
  if (humidity < keeping->least)
    return SL_AIR_DRY;
  if (humidity > keeping->wet)
    return SL_AIR_TOO_DAMP;
  return humidity > keeping->most ? SL_AIR_DAMP : SL_AIR_GOOD;
}

const char *
sl_air_advice (SlAir air)
{
  static const char *const advice[SL_N_AIRS] = {
#include "air-rows.h"
  };

  g_return_val_if_fail (air < SL_N_AIRS, "");
  return _ (advice[air]);
}

/* ---- movement ---- */

const SlWood *
sl_woods (int *n)
{
  static const SlWood woods[] = {
#include "wood-rows.h"
  };

  *n = G_N_ELEMENTS (woods);
  return woods;
}

gboolean
sl_wood_movement (double width, double coefficient, double from, double to, double *change)
{
  gboolean inside =
      from >= SL_MOVEMENT_LEAST && from <= SL_MOVEMENT_MOST && to >= SL_MOVEMENT_LEAST && to <= SL_MOVEMENT_MOST;

  if (inside)
    *change = width * coefficient * (to - from);
  return inside;
}
