/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A visit stage by stage: what each piece of work asks to be read again, what stands between predicted and read, and
 * what is amiss with the sets as they lie in time. And the slip of a unit: inches typed as millimetres or the other way
 * round. */
#pragma once

#include "setup/physics/figures.h"
#include "setup/profile/units.h"

/* The questions whose answers the work done since the readings taken at @taken changes most, of one kind of work or of
 * all (SL_N_OPS), as readings without a value: an array of SlReading, each once, most changed first. How far each goes
 * is the model's: what an operation does to it and what that is uncertain by, in what such a reading is usually
 * uncertain by. Of what is read below the outer strings, or the string that is worked on, all that goes nearly as far
 * as what goes furthest. Free with g_array_unref(). */
GArray *sl_questions_since (const SlAnalysis *analysis, const SlVisit *visit, SlOperationKind kind, const char *taken);

/* A reading of a later set against what the sets before it and the work since foresaw. */
typedef struct
{
  guint reading; /* its place in the set */
  double predicted, read;
  double u;    /* standard uncertainty of their difference */
  SlWord word; /* in range: within U; close: within half as much again; out */
} SlForeseen;

/* Of an analysed set, one for each reading that was predicted; an empty array of the first set. Free with
 * g_array_unref(). */
GArray *sl_predictions (const SlAnalysis *analysis);
const char *sl_predicted_text (SlWord word); /* "as predicted", "near", "off"; translated */

/* What is amiss with a set: taken earlier than the one before it; final without what was worked on. Whole sentences,
 * translated, each char *; free with g_ptr_array_unref(). */
GPtrArray *sl_set_remarks (const SlAnalysis *analysis, const SlVisit *visit, const SlReadingSet *set);

/* Whether @value_mm lies far from what is expected while what may have been meant lies near: of a whole number, whose
 * decimal point may be lost, a tenth or a hundredth; of what was typed as millimetres 25.4 times as much, as inches as
 * little. Then the nearest of these is in @meant_mm. */
gboolean sl_unit_slip (double value_mm, double expected_mm, double u_mm, SlLengths typed_as, double *meant_mm);

/* Whether @value_mm as an answer to @question in a set (of @visit, of @profile; either may be NULL) is such a slip,
 * held against all that was read besides it. An exposure is held against those of the other strings, and what was read
 * of it before. */
gboolean sl_reading_slip (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                          const SlReading *question, double value_mm, SlLengths typed_as, double *meant_mm);
