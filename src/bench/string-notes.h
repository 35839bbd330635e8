/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the strings of an instrument should sound, with the reference pitch and temperament of the shop, and which of
 * them a sound may be of. Frequencies are f_1, Hz. */
#pragma once

#include "setup/profile/profile.h"
#include "sound/listener.h"

#define SL_FRET_CENTS 100.0
#define SL_FAR_CENTS 80.0 /* further off it is not that note: a fret's and a bit of tuning (own choice) */

double sl_cents (double frequency, double over); /* 1200 log2 (frequency/over) */
double sl_raised (double frequency, double cents);

/* The frequency that a string should sound open. A note follows A4 and the temperament; a frequency that the profile
 * gives stands. NAN: the profile says neither. */
double sl_listen_open_frequency (const SlProfile *profile, int string);

/* The string (0: none) and fret whose note is nearest to @frequency, within half a fret. Of several the most likely
 * after @string and @fret (0, 0: nothing before): the same again, the next fret, the octave, an open string, another
 * fret of the same string. @open: only open strings, however far. */
void sl_sounds_like (const SlProfile *profile, double frequency, gboolean open, int *string, int *fret);

/* Has every note heard that may sound where @wanted is waited for (NAN: none): that, and those of the instrument
 * (@open: of its open strings), so that a wrong string or octave is known for what it is. */
void sl_expect_notes (SlListener *listener, const SlProfile *profile, double wanted, gboolean open);
