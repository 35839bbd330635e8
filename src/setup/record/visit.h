/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several reading sets of one visit as one least-squares problem: the state after a set, carried through the operations
 * done since with its covariance widened by what each operation is uncertain by, stands beside the next set's readings.
 * A visit with one set gives exactly sl_fit(). */
#pragma once

#include "setup/record/neck.h"

/* What stood after an earlier set of the visit. */
typedef struct
{
  const SlReadingSet *set; /* borrowed from the visit */
  SlState state;
} SlEarlier;

/* The state after @set (one of @visit's, or NULL for no readings), everything read in the visit before it carried
 * along; @uncertainty is of the work between.
 * How @instrument's neck bends is learned from @profile's visits (sl_learn_neck()); what a turn of the rod did that
 * sets were read around is left to them, for they stand behind the factors already. @profile and @memory (of those
 * visits) may be NULL, and so may @earlier (of SlEarlier), which gets what stood after each set before @set, oldest
 * first. Where cuts did not do what was noted of them (SlFit.doubt), the crests are taken from the readings rather than
 * from the work. @instrument gets the strings that were on as @set was read. Release with sl_fit_clear(). */
void sl_fit_visit (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
                   const SlWorkUncertainty *uncertainty, SlNeckMemory *memory, GArray *earlier, SlFit *out);

/* Puts on in @state what was on before work that is done fitted other strings: carried through it once more the state
 * shows what that did. */
void sl_strings_before (const SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
                        const SlOperation *fitting, SlState *state);
