/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/recording.h"

#include "capture/capture.h"

static void
on_heard (gpointer owner, const float *samples, gsize n, double rate)
{
  SlRecording *self = owner;

  if (self->listener == NULL)
    {
      self->listener = sl_listener_new (rate, NAN);
      sl_expect_notes (self->listener, sl_bench_get_profile (self->bench), NAN, FALSE);
    }
  sl_listener_hear (self->listener, samples, n);
}

static void
on_ended (gpointer owner, const GError *error)
{
  SlRecording *self = owner;

  g_clear_pointer (&self->capture, sl_capture_close);
  if (self->listener != NULL)
    sl_listener_end (self->listener);
  /* each note after the one before: a string is played through before the next */
  int string = sl_bench_get_string (self->bench), fret = 0;

  SL_EACH (const SlNote, note, self->listener == NULL ? NULL : sl_listener_notes (self->listener))
    {
      SlRecordingRow row = { *note, string, fret, FALSE };

      sl_sounds_like (sl_bench_get_profile (self->bench), note->frequency, FALSE, &row.string, &row.fret);
      row.wanted = row.string > 0 && note->word == SL_HEARD_SETTLED;
      if (row.string > 0)
        {
          string = row.string;
          fret = row.fret;
        }
      g_array_append_val (self->rows, row);
    }
  self->done (self->owner, error == NULL ? NULL : error->message);
}

SlRecording *
sl_recording_new (SlBench *bench, GFile *file, SlRecordingDone done, gpointer owner, GError **error)
{
  static const SlCaptureHandlers handlers = { on_heard, on_ended };
  g_autoptr (SlRecording) self = g_new0 (SlRecording, 1);

  self->bench = bench;
  self->plucks = sl_plucks_new ();
  self->rows = g_array_new (FALSE, FALSE, sizeof (SlRecordingRow));
  self->done = done;
  self->owner = owner;
  self->capture = sl_capture_open_file (file, &handlers, self, error);
  return self->capture == NULL ? NULL : g_steal_pointer (&self);
}

void
sl_recording_free (SlRecording *self)
{
  g_clear_pointer (&self->capture, sl_capture_close);
  g_clear_pointer (&self->listener, sl_listener_free);
  g_array_unref (self->plucks);
  g_array_unref (self->rows);
  g_free (self);
}

double
sl_recording_cents (SlRecording *self, const SlRecordingRow *row)
{
  double open = row->string == 0 ? NAN : sl_listen_open_frequency (sl_bench_get_profile (self->bench), row->string);

  SL_EACH (const SlRecordingRow, other, row->fret > 0 ? self->rows : NULL)
    if (other->string == row->string && other->fret == 0 && other < row)
      open = other->note.frequency;
  return sl_cents (row->note.frequency, open) - SL_FRET_CENTS * row->fret;
}

char *
sl_recording_accept (SlRecording *self)
{
  char *trouble = NULL;

  sl_bench_begin_gesture (self->bench, C_ ("undo step", "readings of a recording"));
  for (int frets = 0; frets <= 1; frets++)
    SL_EACH (SlRecordingRow, row, self->rows)
      {
        const SlQuestion question = sl_pitch_question (row->string, row->fret);

        if (!row->wanted || row->string == 0 || !(row->note.u > 0) || (row->fret > 0) != frets)
          continue;
        row->wanted = FALSE;
        g_free (trouble);
        trouble = sl_plucks_put (self->plucks, self->bench, &question, &row->note);
      }
  sl_bench_end_gesture (self->bench);
  return trouble;
}
