/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "heard.h"

#include <complex.h>
#include <math.h>
#include <string.h>

#define HANGS_S 120 /* far more than anything takes, on a busy machine too */

static void
on_heard (gpointer owner, const float *samples, gsize n, double rate)
{
  Heard *heard = owner;
  g_assert_cmpuint (heard->ends, ==, 0);
  g_assert_cmpfloat (rate, >, 0.0);
  g_assert_true (heard->blocks == 0 || fabs (heard->rate - rate) < 1e-9);
  for (gsize i = 0; i < n; i++)
    g_assert_true (fabsf (samples[i]) <= 1.0f); /* nor is it no number */
  heard->rate = rate;
  heard->blocks++;
  g_array_append_vals (heard->samples, samples, (guint) n);
}

static void
on_ended (gpointer owner, const GError *error)
{
  Heard *heard = owner;
  heard->ends++;
  g_assert_cmpuint (heard->ends, ==, 1);
  heard->error = error != NULL ? g_error_copy (error) : NULL;
  if (error != NULL)
    {
      g_test_message ("%s", error->message);
      g_assert_true (g_str_has_suffix (error->message, "."));
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
    }
}

const SlCaptureHandlers test_heard_handlers = { on_heard, on_ended };

void
test_heard_init (Heard *heard)
{
  *heard = (Heard){ .samples = g_array_new (FALSE, FALSE, sizeof (float)) };
}

void
test_heard_clear (Heard *heard)
{
  g_array_unref (heard->samples);
  g_clear_error (&heard->error);
}

void
test_wait (gboolean (*done) (gpointer data), gpointer data, const char *what)
{
  gint64 until = g_get_monotonic_time () + HANGS_S * G_TIME_SPAN_SECOND;
  while (!done (data))
    {
      if (!g_main_context_iteration (NULL, FALSE))
        g_usleep (1000);
      if (g_get_monotonic_time () > until)
        g_error ("waited in vain for %s", what);
    }
}

static gboolean
has_ended (gpointer data)
{
  return ((Heard *) data)->ends > 0;
}

void
test_wait_for_end (Heard *heard)
{
  test_wait (has_ended, heard, "the end");
}

void
test_hear_file (const char *path, Heard *heard)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  test_heard_init (heard);
  g_autoptr (SlCapture) capture = sl_capture_open_file (file, &test_heard_handlers, heard, &error);
  g_assert_no_error (error);
  test_wait_for_end (heard);
}

static void
put (guint8 *to, guint32 value, int bytes)
{
  for (int i = 0; i < bytes; i++)
    to[i] = (guint8) (value >> 8 * i);
}

void
test_wav_head (guint8 head[TEST_WAV_HEAD], int channels, int rate, int bits, guint32 bytes)
{
  memcpy (head, "RIFF....WAVEfmt ", 16);
  put (head + 4, bytes + TEST_WAV_HEAD - 8, 4);
  put (head + 16, 16, 4);
  put (head + 20, 1, 2);
  put (head + 22, (guint32) channels, 2);
  put (head + 24, (guint32) rate, 4);
  put (head + 28, (guint32) (rate * channels * bits / 8), 4);
  put (head + 32, (guint32) (channels * bits / 8), 2);
  put (head + 34, (guint32) bits, 2);
  memcpy (head + 36, "data", 4);
  put (head + 40, bytes, 4);
}

void
test_write_tone (const char *path, int channels, int rate, double seconds, double hz, double level)
{
  gsize n = (gsize) (seconds * rate), size = n * (gsize) channels * 2;
  g_autofree guint8 *bytes = g_malloc (TEST_WAV_HEAD + size);
  test_wav_head (bytes, channels, rate, 16, (guint32) size);
  for (gsize i = 0; i < n; i++)
    for (int c = 0; c < channels; c++)
      {
        double value = level * (c == 0 ? 1.0 : 0.5) * sin (2.0 * G_PI * hz * (double) i / rate);
        put (bytes + TEST_WAV_HEAD + 2 * (i * (gsize) channels + (gsize) c), (guint32) lround (value * 32767.0), 2);
      }
  g_autoptr (GError) error = NULL;
  g_file_set_contents (path, (const char *) bytes, (gssize) (TEST_WAV_HEAD + size), &error);
  g_assert_no_error (error);
}

void
test_remove (const char *folder)
{
  const char *const command[] = { "rm", "-rf", folder, NULL };
  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL);
}

static complex double
component (const float *samples, gsize n, double rate, double hz)
{
  complex double sum = 0.0;
  double weights = 0.0;
  for (gsize i = 0; i < n; i++)
    {
      double weight = 1.0 - cos (2.0 * G_PI * ((double) i + 0.5) / (double) n);
      sum += weight * (double) samples[i] * cexp (-2.0 * G_PI * I * hz * (double) i / rate);
      weights += weight;
    }
  return 2.0 * sum / weights;
}

void
test_measure_tone (const float *samples, gsize n, double rate, double hz, double *frequency, double *level)
{
  gsize half = n / 2;
  complex double first = component (samples, half, rate, hz);
  complex double second =
      component (samples + half, half, rate, hz) * cexp (-2.0 * G_PI * I * hz * (double) half / rate);
  *frequency = hz + carg (second / first) * rate / (2.0 * G_PI * (double) half);
  *level = cabs (component (samples, n, rate, hz));
}
