/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A note's partials as its sound comes in, each taken to zero frequency and low-passed (model 15.1). Every sample is
 * gone through once, so that the note can be asked for several times a second. sl_note_estimate() is this for a sound
 * that is there already. */
#pragma once

#include "sound/note.h"
#include "sound/tone.h"

typedef struct _SlPartials SlPartials;

/* For one note, of which f_1 is within a few semitones of @expected. */
SlPartials *sl_partials_new (double rate, double expected);
void sl_partials_free (SlPartials *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlPartials, sl_partials_free)

/* The next @n samples, mono, −1…1, from the note's onset or before it on. What isn't a number is taken for silence. */
void sl_partials_hear (SlPartials *self, const float *samples, gsize n);

/* The note as far as it was heard; as sl_note_estimate(). */
gboolean sl_partials_note (SlPartials *self, SlNote *out);

/* Partial @k as sl_partials_note() last found it: @n complex samples a @step apart, the first at @begin s after the
 * first sample heard, turning against @centre Hz; borrowed until more is heard. NULL where it doesn't stand. */
const double complex *sl_partials_band (SlPartials *self, int k, double *centre, double *begin, double *step, guint *n);
