/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levelling, gaps, swings and margins, and room for crests, in words, for the sheets of frets, gaps and pitch. Every
 * function that returns a char * returns a new string. */
#pragma once

#include "words/figures.h"
#include "setup/physics/clearance.h"
#include "setup/physics/frets.h"

#define SL_FRET_SHOWN_MM 0.005 /* less than this comes off: nothing, to the digits shown */

/* One word for a fret: new, lost, lowest, high; "" for none. */
const char *sl_fret_word (const SlFretWork *fret);

/* "Fret 7: 0.12 off, land 0.95, 0.80 left, high by 0.05 against its neighbours". */
char *sl_fret_sentence (const SlTextStyle *style, const SlFretWork *fret, int n);

/* What levelling comes to: down to which fret, most off, frets past saving and those that rock. */
char *sl_levelling_summary (const SlTextStyle *style, const SlInstrument *instrument, const SlLevelling *work);

/* What it alone does to first gap and action of the outer strings. */
char *sl_levelling_effect (const SlTextStyle *style, const SlAnalysis *analysis, const SlProfile *profile,
                           const SlLevelling *work);

/* Clear, close (touching by less than its uncertainty) or touching. */
SlWord sl_clearance_word (const SlClearance *clearance);

/* "String 6, open, fret 12: gap 2.30 ±0.16, swing 1.21, margin 1.09 ±0.16"; a fret at or below the held one has none.
 */
char *sl_clearance_sentence (const SlTextStyle *style, const SlClearance *clearance, int string, int held, int fret,
                             gboolean assumed);

/* Whether the saddle has room for the crests where pitch needs them: where a tuner read, those strings moved as it asks
 * and the others left; without one, all as the model has it. NULL where that is no question. */
char *sl_crests_sentence (const SlTextStyle *style, const SlAnalysis *analysis, gboolean *fits);
