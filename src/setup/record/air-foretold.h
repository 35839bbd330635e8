/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an instrument's action would be in the air it is kept in, by its own readings in other air (model 6.4). */
#pragma once

#include "setup/record/air.h"

/* Foretells the action of the outer strings in the middle of the band, at the temperature of @set, from the line of
 * action against moisture content (model 11) through the sets of @profile up to @set. Fills @air, which is of @set,
 * where it is a gate, and where three sets or more give a line that reaches there; else leaves it as it is. Works out
 * the whole history: not for every recompute. */
void sl_air_foretell (const SlProfile *profile, const SlReadingSet *set, const SlShop *shop, SlAirFound *air);
