/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A note's partials as its sound comes in, each taken to zero frequency and low-passed (model 15.1). Every sample is
 * gone through once, so that the note can be asked for several times a second. */
#pragma once

#include "sound/note.h"

#define SL_FULL_SCALE 0.9999f /* 32,767 of 32,768 and more */
#define SL_CLIPPED_SAMPLES 3

typedef struct _SlPartials SlPartials;

/* For one note, of which f_1 is within a few semitones of @expected. */
SlPartials *sl_partials_new (double rate, double expected);
void sl_partials_free (SlPartials *self);

/* The next @n samples, mono, finite, from the note's onset on. */
void sl_partials_hear (SlPartials *self, const float *samples, gsize n);

/* The note up to @end s, times from its onset. @ended: for the last time, and no matter what was asked before. */
gboolean sl_partials_note (SlPartials *self, double end, gboolean ended, SlNote *out);

/* The lines of @note, which is what sl_partials_note() last said; borrowed until asked again. */
void sl_partials_fan (SlPartials *self, const SlNote *note, SlFan *out);
