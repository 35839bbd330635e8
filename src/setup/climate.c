/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/climate.h"

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
#define MAGNUS_HPA 6.112
#define MAGNUS_A 17.62
#define MAGNUS_C 243.12

double
sl_saturation_pressure (double temperature_c)
{
  return MAGNUS_HPA * exp (MAGNUS_A * temperature_c / (MAGNUS_C + temperature_c));
}

double
sl_dew_point (double temperature_c, double humidity)
{
  double g = log (humidity / 100) + MAGNUS_A * temperature_c / (MAGNUS_C + temperature_c);

  return MAGNUS_C * g / (MAGNUS_A - g);
}
