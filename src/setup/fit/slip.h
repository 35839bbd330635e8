/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a reading is expected to be before it is taken, and the slip of a unit: inches typed as millimetres or the other
 * way round. */
#pragma once

#include "setup/physics/figures.h"

/* Whether @value_mm lies far from what is expected while 25.4 times as much, or as little, lies near: then that is in
 * @meant_mm. */
gboolean sl_unit_slip (double value_mm, double expected_mm, double u_mm, double *meant_mm);

/* Whether @value_mm as an answer to @question in a set (of @visit, of @profile; either may be NULL) is such a slip,
 * held against all that was read besides it. An exposure is held against those of the other strings, and what was read
 * of it before. */
gboolean sl_reading_slip (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                          const SlReading *question, double value_mm, double *meant_mm);
