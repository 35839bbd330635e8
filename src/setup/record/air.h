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
  double humidity;          /* of the set, % RH; NAN where not read */
  double moisture;          /* its moisture content, %; NAN */
  const SlReadingSet *good; /* the last earlier set of this instrument that met its targets in other air; NULL: none;
                               borrowed from the profile */
  double good_moisture;     /* NAN without */
  double good_action_treble, good_action_bass; /* its actions at fret 12 of the outer strings, mm; NAN without */
  gboolean foretold;                           /* three sets or more allow a fit (model 11) */
  double middle;                               /* the middle of the band, % RH */
  double action_treble, action_bass;           /* actions foretold there, mm */
  double U_treble, U_bass;                     /* their expanded uncertainties */
} SlAirFound;

/* Looks at the air of @set, one of @visit of @profile (all but @profile may be NULL), and at the sets before it. */
void sl_find_air (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                  SlAirFound *out);
