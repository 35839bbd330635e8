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
  GArray *z; /* of double complex; NULL where the partial doesn't stand */
} SlBand;

typedef struct
{
  double expected, onset, end; /* s from the first sample */
  guint clipped;               /* samples at full scale */
  const SlSeries *series;      /* NULL: none stands */
  const SlBand *bands;         /* SL_MAX_PARTIALS */
} SlHeard;

/* What of a band sounds from @from to @to s after the onset, its first sample at @begin; NULL where nothing does. */
const double complex *sl_band_stretch (const SlBand *self, double onset, double from, double to, double *begin,
                                       guint *n);

/* From when on, s after the onset, windows of SL_WINDOW_S agree with the last one in which the string is still loud; to
 * some cents, since what stands beside the partials is in it. @last: where that one begins, NAN where none is loud. */
#define SL_WINDOW_S 0.5
double sl_settle_roughly (const SlHeard *heard, double *last);

/* At what rate tension's rise by amplitude dies: twice as fast as the partial with the most power, 1/s (Fletcher and
 * Rossing, The Physics of Musical Instruments, 5.1). */
double sl_bend_rate (const SlHeard *heard, double from);

gboolean sl_note_from_bands (const SlHeard *heard, SlNote *out);
