/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the partials hand over to become a note: the bands about the partials of one note, and when it sounds. */
#pragma once

#include "sound/series.h"
#include "sound/tone.h"

typedef struct
{
  double complex *taps;   /* 2 half + 1, on samples at the lower rate */
  guint half, hop, first; /* z[i] stands at sample (first + i) hop */
  double centre;          /* Hz */
  SlToneFilter filter;
  GArray *z;          /* of double complex; NULL where the partial doesn't stand */
  GArray *turned;     /* of double: its phase since the first, unwrapped */
  double loudest;     /* power over a while */
  double noise, turn; /* as the partial was found: standard deviation of what is left; rad/s against @centre */
} SlBand;

typedef struct
{
  double expected, end;   /* s after the onset */
  gboolean clipped;       /* samples at full scale */
  const SlSeries *series; /* NULL: none stands */
  SlBand *bands;          /* SL_MAX_PARTIALS */
} SlHeard;

/* What of a band sounds from @from to @to s after the onset; NULL where nothing does. */
const double complex *sl_band_stretch (const SlBand *self, double from, double to, guint *n);

/* From when on, s after the onset, windows of SL_WINDOW_S agree with the last one in which the string is still loud; to
 * some cents, since what stands beside the partials is in it. @last: where that one begins, NAN where none is loud. */
#define SL_WINDOW_S 0.5
double sl_settle_roughly (const SlHeard *heard, double *last);

/* Cents at the end of that window over where the partials were found. */
double sl_settle_now (const SlHeard *heard, double last, double *u);

/* At what rate tension's rise by amplitude dies: twice as fast as the partial with the most power, 1/s (Fletcher and
 * Rossing, The Physics of Musical Instruments, 5.1). */
double sl_bend_rate (const SlHeard *heard, double from);

gboolean sl_note_from_bands (const SlHeard *heard, SlNote *out);
