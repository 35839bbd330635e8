/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening as sound comes in: onsets, the note that sounds now, the notes that ended, how loud it is. Keeps no more
 * than a note's length of sound. Also what a recording is split by. */
#pragma once

#include "sound/note.h"

typedef struct _SlListener SlListener;

/* @expected: f_1 of the note that is waited for, Hz. */
SlListener *sl_listener_new (double rate, double expected);
void sl_listener_free (SlListener *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlListener, sl_listener_free)

/* Waits for another note from now on; what sounded is forgotten. */
void sl_listener_expect (SlListener *self, double expected);

/* Instead of one: the note heard is the nearest of these, Hz; for recordings. */
void sl_listener_expect_any (SlListener *self, const double *candidates, guint n);

/* The next @n samples, mono, −1…1. Returns how many notes ended in them. */
guint sl_listener_hear (SlListener *self, const float *samples, gsize n);
void sl_listener_end (SlListener *self); /* nothing more comes: what sounds ends */

double sl_listener_level (SlListener *self); /* of the last 50 ms, dB under full scale */
gboolean sl_listener_clips (SlListener *self);

/* The note that sounds now, from 0.4 s after its onset on; FALSE while there is none. Its onset counts from the first
 * sample heard. */
gboolean sl_listener_sounding (SlListener *self, SlNote *out);
void sl_listener_fan (SlListener *self, SlFan *out); /* borrowed until more is heard */

/* Notes that ended, oldest first: of SlNote, borrowed, @clear forgets them. */
const GArray *sl_listener_notes (SlListener *self);
void sl_listener_clear (SlListener *self);
