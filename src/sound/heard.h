/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What partials.c hands to note.c: the bands about the partials of one note, and when it sounds. */
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

gboolean sl_note_from_bands (const SlHeard *heard, SlNote *out);
