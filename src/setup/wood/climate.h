/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wood and air (model 11). Temperatures °C, humidities % RH, moisture contents % of dry weight. */
#pragma once

#include <glib.h>

/* Equilibrium moisture content, %, of wood in air of @temperature_c °C and @humidity % RH: Wood Handbook (FPL-GTR-282)
 * equation 4-5. */
double sl_moisture_content (double temperature_c, double humidity);

/* Dew point, °C, by Magnus's formula with the coefficients of WMO-No. 8. */
double sl_dew_point (double temperature_c, double humidity);

/* ---- checking a hygrometer over saturated salt ---- */

typedef enum
{
  SL_SALT_MAGNESIUM_CHLORIDE,
  SL_SALT_SODIUM_CHLORIDE,
  SL_SALT_POTASSIUM_CHLORIDE,
  SL_N_SALTS
} SlSalt;

/* Stable names ("magnesium-chloride"), ended by NULL; the name people read, translated. */
extern const char *const sl_salt_names[];
const char *sl_salt_title (SlSalt salt);

/* Temperatures a check is accepted at: our own choice, well inside the data the formulas were fitted to. */
#define SL_SALT_LEAST_C 5.0
#define SL_SALT_MOST_C 40.0

/* Humidity over the saturated solution, %: L. Greenspan, J. Res. Nat. Bur. Stand. 81A (1977) 89–96. NAN outside
 * SL_SALT_LEAST_C to SL_SALT_MOST_C. */
double sl_salt_humidity (SlSalt salt, double temperature_c);

/* One check: what the hygrometer showed over a salt. */
typedef struct
{
  SlSalt salt;
  double temperature_c, shown;
} SlSaltCheck;

/* What to add to what the hygrometer shows when it shows @shown: at a checked point what that check says, between two
 * points in a straight line, outside them as at the nearest. 0 without checks. Where two checks were made at the same
 * shown value, their mean. */
double sl_hygrometer_correction (const SlSaltCheck *checks, int n_checks, double shown);

/* ---- keeping ---- */

/* The band for keeping an instrument, and where harm begins on either side: common practice. */
typedef struct
{
  double least, most, dry, wet;
} SlKeeping;
#define SL_KEEPING_DEFAULT ((SlKeeping){ 45, 55, 40, 65 })

typedef enum
{
  SL_AIR_TOO_DRY, /* below @dry: harm is likely */
  SL_AIR_DRY,     /* below the band */
  SL_AIR_GOOD,
  SL_AIR_DAMP,     /* above the band */
  SL_AIR_TOO_DAMP, /* above @wet */
  SL_N_AIRS
} SlAir;

/* @keeping, or the default where it is all 0: not chosen. */
SlKeeping sl_keeping_or_default (SlKeeping keeping);

SlAir sl_air (const SlKeeping *keeping, double humidity);

/* A sentence for the person who plays the instrument: how the air is for it, and what to do. Translated. */
const char *sl_air_advice (SlAir air);

/* ---- movement across the grain ---- */

/* Range of moisture contents in which the coefficients hold: Wood Handbook, chapter 13. */
#define SL_MOVEMENT_LEAST 6.0
#define SL_MOVEMENT_MOST 14.0

typedef struct
{
  const char *id;            /* stable: "sugar-maple" */
  const char *name;          /* untranslated; translate with _() */
  double radial, tangential; /* change per width and % of moisture content */
} SlWood;

/* The woods whose coefficients are known; for any other the person gives one. */
const SlWood *sl_woods (int *n);

/* What a coefficient can be: that of any wood the handbook lists lies inside. */
#define SL_MOVEMENT_LEAST_COEFFICIENT 0.0001
#define SL_MOVEMENT_MOST_COEFFICIENT 0.01

/* Change of a width across the grain between two moisture contents, ΔD = D C (M2 − M1), in @width's unit: Wood Handbook
 * equation 13-2. FALSE, and nothing computed, where either moisture content is outside 6–14 %. */
gboolean sl_wood_movement (double width, double coefficient, double from, double to, double *change);
