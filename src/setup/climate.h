/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wood and air (design 3.9). */
#pragma once

/* Equilibrium moisture content, %, of wood in air of @temperature_c °C and @humidity % RH: Wood Handbook (FPL-GTR-282) equation 4-5. */
double sl_moisture_content (double temperature_c, double humidity);

/* Saturation pressure over water, hPa, and dew point, °C, by Magnus's formula with the coefficients of WMO-No. 8. */
double sl_saturation_pressure (double temperature_c);
double sl_dew_point (double temperature_c, double humidity);
