/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one plucked note says of its string: the frequencies of its partials, the pitch and inharmonicity that follow,
 * each with its standard uncertainty (model 15). A stiff string's partials are f_k = k f_0 sqrt (1 + B k²) (Fletcher,
 * J. Acoust. Soc. Am. 36, 203 (1964)); what is reported as pitch is f_1. Times in s, frequencies in Hz, levels in dB.
 */
#pragma once

#include <glib.h>

#define SL_MAX_PARTIALS 12
#define SL_ATTACK_S 0.15 /* passed over after an onset */
#define SL_LEAST_RATE_HZ 22050.0

/* Quality in a word. */
typedef enum
{
  SL_HEARD_SETTLED,
  SL_HEARD_GLIDING, /* the pitch still falls: a hard pluck starts sharp */
  SL_HEARD_SOFT,    /* too few partials stand over the noise */
  SL_HEARD_CLIPPED, /* three samples or more at full scale */
  SL_HEARD_TWO_NOTES,
  SL_N_HEARD_WORDS
} SlHeardWord;

extern const char *const sl_heard_word_names[SL_N_HEARD_WORDS + 1]; /* as CSV spells them */

typedef struct
{
  int k;
  double frequency, u; /* standard uncertainty; NAN where it was not found */
  double level;        /* over what surrounds it, dB */
  double slope;        /* of its level, dB/s, below 0: it dies */
  gboolean disagrees;  /* with f_k of the others: left out */
  gboolean doubled;    /* another string's lies beside it */
} SlPartial;

typedef struct
{
  double onset, length;  /* s from the first sample; how long it was heard, to the next onset or the end */
  double expected;       /* f_1 as it should be */
  double frequency, u;   /* f_1; NAN where there is none to say */
  double cents, cents_u; /* over @expected */
  double inharmonicity, inharmonicity_u; /* B; NAN with fewer than two partials */
  double settled_from;                   /* s after the onset: where what is reported begins */
  double decay;                          /* t60 of the loudest partial, s; NAN where unknown */
  double quality;                        /* 0 … 1 */
  int n_partials;                        /* used */
  SlPartial partials[SL_MAX_PARTIALS];
  SlHeardWord word;
} SlNote;

/* Partials' phases since the pluck, for a picture: turns against what @expected and B of the note would have them be,
 * so that a line is level when in tune; loudness in dB against the loudest. One column each SL_FAN_STEP_S. */
#define SL_FAN_STEP_S 0.02
#define SL_FAN_COLUMNS 500 /* 10 s */
typedef struct
{
  guint n; /* columns */
  int n_partials;
  const float *turns[SL_MAX_PARTIALS]; /* @n each; NAN where it does not stand */
  const float *level[SL_MAX_PARTIALS];
} SlFan;

/* The note in @samples (mono, −1…1, beginning at its onset or before), of which f_1 is expected within a few semitones
 * of @expected. @out is always filled in; FALSE where it has no frequency. */
gboolean sl_note_estimate (const float *samples, gsize n, double rate, double expected, SlNote *out);
