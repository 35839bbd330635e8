/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a neck bends, learned from what was read of it (model 4.3): turns of its rod that were read on both sides say how
 * far crests and nut moved for the relief, and how much relief a turn is; relief read slack and at pitch says what the
 * strings' pull does. */
#pragma once

#include "setup/work/work.h"

/* A turn of the rod that two reading sets stand around. */
typedef struct
{
  const SlOperation *turn; /* borrowed from its visit's plan */
  gboolean crest, nut;     /* what the sets say of it: how far the crests, how far the nut moved for the relief */
} SlTurnRead;

/* For who asks for all sets of a profile, one after the other: what the sets before say is learned once. Free with
 * sl_neck_memory_free(). */
typedef struct _SlNeckMemory SlNeckMemory;
SlNeckMemory *sl_neck_memory_new (void);
void sl_neck_memory_free (SlNeckMemory *memory);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlNeckMemory, sl_neck_memory_free)

/* Fills what is known of how @instrument's neck bends from the sets of @profile's visits up to and including @set, one
 * of @visit's, in order of time; without any of it, assumed. Of a baseline, whose visits are of other instruments, only
 * @visit counts. Any of @profile, @visit, @set and @memory may be NULL. @uncertainty is of work done besides.
 *
 * Sets that follow each other at pitch with a turn between are fitted each by itself, other work between carried, and
 *   k_c = Δz_s / (ΔR · 4 (x_s − x_J)/(x_J − x_1)),   k_n = −Δz_0 / (ΔR φ(0)),
 * Δz_s and Δz_0 the means over the strings whose action, or first gap, was read in both, ΔR that of relief. Each has
 * its u from the covariance of both fits, taken at the factor believed so far, and moves that factor by its weight:
 * 1/u² = 1/u_before² + 1/u_turn². A turn that changes relief by less than 0.03 mm, or less than twice its own u, says
 * nothing, nor does one that no neck could have made.
 *
 * Returns the turns that were so read (of SlTurnRead), NULL where there are none; free with g_array_unref(). */
GArray *sl_learn_neck (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
                       const SlReadingSet *set, const SlWorkUncertainty *uncertainty, SlNeckMemory *memory);

/* How far to turn the rod's nut for relief to change by @change mm, + tightens; NAN where it isn't known what a turn
 * does. @u (may be NULL) gets its standard uncertainty. */
double sl_rod_turns (const SlInstrument *instrument, double change, double *u);

/* Whether relief was not read at pitch on one side of a turn of the rod which @set, one of @visit's, was read after: in
 * none of the sets before the turn, or in none of those after it up to @set. Such a turn says nothing of the neck, and
 * what it did is only predicted. @turn gets the place in the plan of the last such turn. */
gboolean sl_turn_unread (const SlVisit *visit, const SlReadingSet *set, guint *turn);
