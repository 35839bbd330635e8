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
  double expected, end; /* s after the onset */
  gboolean clipped;     /* samples at full scale */
  gboolean ended;
  const SlSeries *series; /* NULL: none stands */
  SlBand *bands;          /* SL_MAX_PARTIALS */
} SlHeard;

gboolean sl_note_from_bands (const SlHeard *heard, SlNote *out);
