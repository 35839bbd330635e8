/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A gap, a swing and a margin in words, for the sheet of gaps. No GTK here. */
#pragma once

#include "words/figures.h"
#include "words/results.h"
#include "setup/physics/clearance.h"

/* Clear, close (touching by less than its uncertainty) or touching. */
SlWord sl_clearance_word (const SlClearance *clearance);

/* "String 6, open, fret 12: gap 2.30 ±0.16, swing 1.21, margin 1.09 ±0.16"; a fret at or below the held one has none.
 * New string. */
char *sl_clearance_sentence (const SlTextStyle *style, const SlClearance *clearance, int string, int held, int fret,
                             gboolean assumed);
