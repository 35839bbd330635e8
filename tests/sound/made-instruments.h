/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strings that listening is judged with: a guitar's and a five-string bass's, open and at the 12th fret. */
#pragma once

#include "made-partials.h"

typedef struct
{
  const char *name;
  double hz;                          /* open, equal temperament, A 440 */
  double core_mm, tension_n, scale_m; /* steel core, what it is pulled with: its stiffness follows */
} MadeOpen;

#define MADE_N_OPEN 11
#define MADE_N_CASES (2 * MADE_N_OPEN) /* even: open; odd: the 12th fret of the same */
extern const MadeOpen made_open[MADE_N_OPEN];

typedef struct
{
  int index;       /* of the case */
  double expected; /* f_1 as it should be */
  MadeString string;
  MadeRoom room;
  guint32 seed; /* for made_sound() */
} MadeCase;

char *made_case_name (int index);

/* B of an open string, as its dimensions have it. */
double made_open_stiffness (const MadeOpen *open);

/* The @round-th of case @index: up to 40 cents out of tune, t60 from 1 to 8 s, plucked and heard anywhere usual, with
 * noise and hum 30 dB below and a body's resonances. Plucked 0.3 s after the start. */
MadeCase made_case (int index, guint round);
