/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where plucks begin: the sound's power in octave bands, frame by frame, and the frames at which it jumps and stays
 * (model 15.2). Powers are of samples, full scale 1. */
#pragma once

#include <glib.h>

#define SL_FRAME_S 0.005
#define SL_N_BANDS 8        /* octaves, the lowest about 45 Hz */
#define SL_FRAMES_KEPT 1024 /* 5 s */
#define SL_BAND_ALL SL_N_BANDS

typedef struct
{
  guint frame_samples, filled;
  double gain[SL_N_BANDS], a1[SL_N_BANDS], a2[SL_N_BANDS], y1[SL_N_BANDS], y2[SL_N_BANDS], x1, x2; /* the filters */
  double sum[SL_N_BANDS + 1];                   /* of the frame that fills */
  double power[SL_FRAMES_KEPT][SL_N_BANDS + 1]; /* the last is of all bands together */
  guint64 n;                                    /* frames */
  double floor[SL_N_BANDS];                     /* power of what is there anyway */
  guint n_floor;                                /* frames it was learnt from */
  gboolean held;                                /* a note sounds: the floor isn't learnt from it */
  double best;                                  /* jump at the place that may be an onset, dB; 0: none */
  guint64 best_at, last_onset;                  /* frames */
} SlOnsets;

void sl_onsets_init (SlOnsets *self, double rate);

/* Takes one sample; TRUE when it was the last of a frame. */
gboolean sl_onsets_add (SlOnsets *self, double sample);

/* After each frame: TRUE when an onset was found, some 0.15 s ago, at frame @at. */
gboolean sl_onsets_find (SlOnsets *self, guint64 *at);

/* The frame about @at from which on the bands' powers are others: the likeliest change of an exponential distribution.
 */
guint64 sl_onsets_refine (const SlOnsets *self, guint64 at);

/* Mean power in frames @from to @to (not included) that are still kept; 0 where there are none. */
double sl_onsets_power (const SlOnsets *self, guint band, guint64 from, guint64 to);

#define SL_SUNK_FRAMES 60

/* Whether the last SL_SUNK_FRAMES hold no more than what is there anyway. */
gboolean sl_onsets_sunk (const SlOnsets *self);

/* What sounds now is what is there anyway. */
void sl_onsets_learn (SlOnsets *self);
