/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether an instrument has settled in the air it is kept in: in other air the wood moves it, and what the air did
 * comes back by itself (model 6.4). */
#pragma once

#include "setup/profile/shop.h"

typedef enum
{
  SL_AIR_SETTLED,
  SL_AIR_OUTSIDE,  /* the last set's humidity lies outside the band by more than 5 % RH */
  SL_AIR_MOVED,    /* its moisture content differs by more than 1.5 points from when everything was in range */
  SL_AIR_UNSETTLED /* the technician said that it has not settled */
} SlAirState;

typedef struct
{
  SlAirState state;         /* anything but settled is a gate */
  gboolean settling;        /* it was put to settle since this air was read: the next readings begin with the air */
  const SlReadingSet *read; /* whose air this is; NULL: nothing read; borrowed */
  double humidity;          /* of the set, % RH; NAN where not read */
  double moisture;          /* its moisture content, %; NAN */
  const SlReadingSet *good; /* the last earlier set of this instrument that met its targets, if that was in other air
                               by more than 1.5 points; else NULL; borrowed from the profile */
  double good_moisture;     /* NAN without */
  double good_action_treble, good_action_bass; /* its actions at fret 12 of the outer strings, mm; NAN without */
  gboolean foretold;                           /* three sets or more allow a fit: see sl_air_foretell() */
  double middle;                               /* the middle of the band, % RH */
  double action_treble, action_bass;           /* actions foretold there, mm */
  double U_treble, U_bass;                     /* their expanded uncertainties */
} SlAirFound;

/* Looks at the air of @set (NULL: nothing read) of @visit (or NULL), or where its humidity was not read, at that of the
 * last set before it where it was: that stands until air is read again. Compares it with the last earlier set of
 * @profile that met its targets: mean relief, and every first gap and action that was read, within tolerance. Fits
 * earlier sets only where one was read in other air. */
void sl_find_air (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                  SlAirFound *out);

/* Moisture content of wood that has settled in a set's air, %; NAN where temperature or humidity was not read. */
double sl_air_moisture (const SlReadingSet *set);

/* Whether a set's figures and its air belong together: the air was read, the strings were at pitch and the instrument
 * was not said to be unsettled. */
gboolean sl_air_tells (const SlReadingSet *set);
