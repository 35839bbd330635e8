/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A recording of plucked strings, split into its notes, each with a guess of what it is, to be accepted as readings. */
#pragma once

#include "bench/plucks.h"

typedef struct
{
  SlNote note;
  int string, fret; /* as guessed, or as whoever shows it says; string 0: of none */
  gboolean wanted;  /* to be accepted: at first what has settled and is of a string */
} SlRecordingRow;

typedef void (*SlRecordingDone) (gpointer owner, const char *trouble);

typedef struct
{
  GArray *rows; /* of SlRecordingRow, in the order they sound; string, fret and wanted are the caller's to change */

  /* its own */
  SlBench *bench;
  GArray *plucks;
  struct _SlCapture *capture;
  SlListener *listener; /* NULL before the first sound */
  SlRecordingDone done;
  gpointer owner;
} SlRecording;

/* Begins to read @file for @bench, which is borrowed; NULL: nothing is there to decode it. @done is called once, from
 * the main loop, with a sentence where it can't be read (to its end: the rows before are there), else NULL. */
SlRecording *sl_recording_new (SlBench *bench, GFile *file, SlRecordingDone done, gpointer owner, GError **error);
void sl_recording_free (SlRecording *self); /* @done is not called from then on */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlRecording, sl_recording_free)

/* Cents of a row: of an open string against its note, of a fret against the open string of this recording, or else of
 * its note. NAN: of no string. */
double sl_recording_cents (SlRecording *self, const SlRecordingRow *row);

/* Puts the rows that are wanted, open strings first, as one undo step, and wants them no more. A sentence for the last
 * that can't be put; free with g_free(); NULL: all were. */
char *sl_recording_accept (SlRecording *self);
