/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The columns of a fan: each partial's phase and level, SL_FAN_STEP_S apart (model 15.2). */
#pragma once

#include "sound/note.h"

/* Partials' phases since the pluck, for a picture: turns against what @expected and B of the note would have them be,
 * so that a line is level when in tune; loudness in dB against the loudest. One column each SL_FAN_STEP_S. */
#define SL_FAN_STEP_S 0.02
typedef struct
{
  guint n; /* columns */
  int n_partials;
  const float *turns[SL_MAX_PARTIALS]; /* @n each; NAN where it does not stand */
  const float *level[SL_MAX_PARTIALS];
} SlFan;

#define SL_FAN_COLUMNS 500 /* 10 s */

typedef struct
{
  guint n;
  struct
  {
    int last;                        /* column in which it stood last; −1: in none yet */
    double phase;                    /* there, turns */
    double turned[SL_FAN_COLUMNS];   /* turns since the pluck; NAN where it does not stand */
    double loudness[SL_FAN_COLUMNS]; /* dB */
    float turns[SL_FAN_COLUMNS], level[SL_FAN_COLUMNS];
  } partials[SL_MAX_PARTIALS];
} SlFanColumns;

void sl_fan_clear (SlFanColumns *self);

/* How many samples about a column's place it is found from, on each side. */
gsize sl_fan_reach (double f_1, double rate);

/* The next column, of which @middle is the place; @note tells where its partials are. */
void sl_fan_add (SlFanColumns *self, const float *middle, double rate, const SlNote *note);

/* Against what @note's f_1 as expected, with its B, would have them be. */
void sl_fan_give (SlFanColumns *self, const SlNote *note, SlFan *out);

/* What sounds now, from the last columns, into @note; its B holds. What stands in none of them changes nothing. */
void sl_fan_follow (const SlFanColumns *self, SlNote *note);
