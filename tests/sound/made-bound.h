/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a sound allows at best: the Cramér-Rao bound of f_1 and B (S. M. Kay, Fundamentals of Statistical Signal
 * Processing I, Prentice Hall 1993, section 3.7), where amplitudes, phases and decays of the partials, the hum and the
 * body's resonances are unknown as well. */
#pragma once

#include "made-partials.h"

typedef struct
{
  double frequency, b; /* standard deviations that no unbiased estimate can do better than */
} MadeBound;

/* Of @string in a sound made of @parts, heard from @from to @to (s), partials up to @n_partials; noise of @rms at
 * @rate, of which the share @pink is pink. */
MadeBound made_bound (const MadeString *string, const GArray *parts, double from, double to, int n_partials, double rms,
                      double pink, double rate);
