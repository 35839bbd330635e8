/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/air.h"

#include <math.h>

#define OUTSIDE_RH 5.0 /* beyond the band, % RH: our own choice */

void
sl_find_air (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
             SlAirFound *out)
{
  const double humidity = set != NULL ? sl_number_or (set->humidity, NAN) : NAN;

  *out = (SlAirFound){
    .humidity = humidity, .moisture = NAN, .good_moisture = NAN, .good_action_treble = NAN, .good_action_bass = NAN
  };
  if (set == NULL)
    return;
  if (set->settled == SL_SETTLED_NO)
    out->state = SL_AIR_UNSETTLED;
  else if (humidity < shop->keep_least - OUTSIDE_RH || humidity > shop->keep_most + OUTSIDE_RH)
    out->state = SL_AIR_OUTSIDE;
}
