/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of the air, of the neck, and of strings that were heard. */
#pragma once

#include "words/figures.h"
#include "setup/physics/heard.h"

/* What the air does to an instrument, and what to do about it before anything is cut (model 6.4):
 * "74 %: the wood is 2.9 points wetter than on 15 July 2025, when everything was in range: action 1.85 / 2.40 mm. Bring
 * it to 45–55 % for one to two weeks and read again: what the air did comes back by itself; at 50 % the action is
 * foretold as 1.93 ± 0.21 / 2.42 ± 0.22 mm." Treble before bass; in inches where 64ths are chosen, which are too coarse
 * for what air does. Where @set has no air of its own, the day it was read. The band is the shop's. NULL where nothing
 * speaks against the air. Free with g_free(). */
char *sl_air_text (const SlAirFound *air, const SlReadingSet *set, const SlShop *shop, const SlTextStyle *style);

/* The same of an analysis, with what its instrument's history foretells: works that out, so not for every recompute. */
char *sl_air_finding_text (const SlAnalysis *analysis, const SlTextStyle *style);

/* What a neck's own turns of the rod taught of how this neck bends, "this neck, from 3 turns: 0.79 ± 0.06 of an even
 * bend": how far crests move when the rod is turned, of what even curvature would make it; NULL where no turn was read.
 */
char *sl_neck_text (const SlNeckBending *neck, const SlTextStyle *style);

/* How far to turn the rod for relief to change by @change mm, "about 0.40 ± 0.08 turns"; NULL where it isn't known. */
char *sl_rod_turns_text (const SlInstrument *instrument, double change, const SlTextStyle *style);

/* "Bending stiffness 40.9 ± 3.5 N mm², by core and modulus 40.9: 200 ± 17 GPa, as of its material." The modulus of
 * plain metal only. */
char *sl_bending_text (const SlHeardBending *heard, const SlTextStyle *style);

/* "Stretch stiffness 3307 ± 130 N, by the pitch at 12 frets.", or why it can't be told. */
char *sl_stretch_text (const SlHeardStretch *heard, const SlTextStyle *style);

/* "Fret 7 dies in 0.6 s, its neighbours in 2.1 s. Held there, the string comes closest to fret 8: margin
 * 0.12 ± 0.08 mm." */
char *sl_early_fret_text (const SlEarlyFret *early, const SlTextStyle *style);
