/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a neck's own turns of the rod taught, in words. */
#pragma once

#include "setup/record/neck.h"
#include "words/figures.h"

/* What is known of how this neck bends, "this neck, from 3 turns: 0.79 ± 0.06 of an even bend": how far crests move
 * when the rod is turned, of what even curvature would make it; NULL where no turn was read. */
char *sl_neck_text (const SlNeckBending *neck, const SlTextStyle *style);

/* How far to turn the rod for relief to change by @change mm, "about 0.40 ± 0.08 turns"; NULL where it isn't known. */
char *sl_rod_turns_text (const SlInstrument *instrument, double change, const SlTextStyle *style);
