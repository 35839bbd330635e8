/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a reading says of the unknowns, a row of the least squares, and what it is uncertain by. */
#pragma once

#include "setup/fit/state.h"

/* The affine function a reading is of the unknowns (model 2): reading = row · u + constant. Only for the four kinds
 * that enter the fit. */
void sl_reading_row (const SlInstrument *instrument, const SlState *known, const SlReading *reading,
                     double row[SL_MAX_UNKNOWNS], double *constant);

/* Adds @weight times gap(@held, @n) of a string (model 1.3), mm, to such a row and its constant; @held 0 is the open
 * string. */
void sl_add_gap (const SlInstrument *instrument, const SlState *known, int string, int held, int n, double weight,
                 double *row, double *constant);

/* What a state makes of a row: its value without the constant, mm, and the variance of that, mm². */
double sl_row_value (const SlState *state, const double *row);
double sl_row_variance (const SlState *state, const double *row);

/* What a state would have a reading be, mm, and the standard uncertainty of that (may be NULL). */
double sl_predict_reading (const SlInstrument *instrument, const SlState *state, const SlReading *reading, double *u);

/* Standard uncertainty of one reading of this kind in this set, from its tool or the default resolution (relief 0.02,
 * tongue 0.05, first gap 0.05, action 0.1 mm). */
double sl_reading_u (const SlReadingSet *set, SlReadingKind kind);

/* That of one reading: half of its own U where it has one, a pitch that was heard, else that of its tool. */
double sl_reading_own_u (const SlReadingSet *set, const SlReading *reading);

/* That of the mean sl_reading_set_mean() gives: repeats share what each is uncertain by, and their scatter joins it
 * (model 3.3). Where there is no reading: of one with the set's tool. */
double sl_reading_mean_u (const SlReadingSet *set, SlReadingKind kind, int string, int fret);

/* The tool of a set (may be NULL) for a kind of reading, with defaults filled in. */
SlTool sl_reading_tool (const SlReadingSet *set, SlReadingKind kind);
