/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Made sounds are what they say they are. Measured the slow way: a partial's phase in two long windows far apart. */
#include "made-bound.h"
#include "made-instruments.h"
#include "made-string.h"
#include "made-wav.h"

#include <complex.h>
#include <glib/gstdio.h>
#include <math.h>

#define RATE 44100.0
#define SECONDS 4.0
#define SAMPLES ((gsize) (RATE * SECONDS))
#define WINDOW_S 0.8

/* How much of @sound turns at @f around @at, by a window of four cosines whose sides lie 92 dB below (Harris, Proc.
 * IEEE 66, 51 (1978)). */
static double complex
turning (const double *sound, double f, double at)
{
  const gsize n = (gsize) (WINDOW_S * RATE), first = (gsize) (at * RATE);
  const double complex turn = cexp (-I * 2 * G_PI * f / RATE), across = cexp (I * 2 * G_PI / (double) n);
  double complex z = cexp (-I * 2 * G_PI * f * (double) first / RATE), x = csqrt (across), sum = 0;
  double weights = 0;

  for (gsize i = 0; i < n; i++, z *= turn, x *= across)
    {
      const double w = 0.35875 - 0.48829 * creal (x) + 0.14128 * creal (x * x) - 0.01168 * creal (x * x * x);

      sum += w * sound[first + i] * z;
      weights += w;
    }
  return 2 * sum / weights;
}

/* By how many cents a partial of @sound lies off @f, measured between 0.6 s and 2.6 s. */
static double
cents_off (const double *sound, double f)
{
  const double lapse = 2;
  const double complex between = turning (sound, f, 0.6 + lapse) * conj (turning (sound, f, 0.6));

  return 1200 * log2 (1 + carg (between) / (2 * G_PI * lapse) / f);
}

static double
decay_of (const double *sound, double f)
{
  return log (cabs (turning (sound, f, 0.6)) / cabs (turning (sound, f, 1.6)));
}

static double
worst_off (const double *sound, const MadeString *string, int n)
{
  double worst = 0;

  for (int k = 1; k <= n && made_partial (string, k) < 5000; k++)
    if (cabs (turning (sound, made_partial (string, k), 0.6)) > 1e-5)
      worst = MAX (worst, fabs (cents_off (sound, made_partial (string, k))));
  return worst;
}

/* Without noise each partial is where it should be. */
static void
test_partials (void)
{
  for (int i = 0; i < MADE_N_CASES; i += 5)
    {
      const MadeRoom silent = MADE_SILENT_ROOM;
      MadeCase c = made_case (i, 0);
      g_autofree double *sound = NULL;

      c.string.t60 = MAX (3, c.string.t60);
      c.string.t60_high = MAX (2, c.string.t60_high);
      sound = made_sound (SAMPLES, RATE, &c.string, 1, &silent, c.seed, NULL);
      g_assert_cmpfloat (worst_off (sound, &c.string, 12), <, 0.002);
      g_assert_cmpfloat_with_epsilon (decay_of (sound, c.string.f1), 6.907755 / c.string.t60, 0.01);
    }
}

/* The other way of making them: it says itself where its partials lie, and is right. */
static void
test_stepped (void)
{
  for (int i = 0; i < MADE_N_CASES; i += 8)
    {
      MadeCase c = made_case (i, 1);
      const double asked = c.string.f1;
      g_autofree double *sound = NULL;
      double off;

      c.string.t60 = MAX (3, c.string.t60);
      c.string.t60_high = 2;
      sound = made_string_stepped (SAMPLES, RATE, &c.string, (int) MIN (12, 5000 / c.expected), &off);
      g_assert_cmpfloat (fabs (1200 * log2 (c.string.f1 / asked)), <, 0.2);
      g_assert_cmpfloat (off, <, 0.01);
      g_assert_cmpfloat (worst_off (sound, &c.string, (int) MIN (12, 5000 / c.expected)), <, 0.012);
    }
}

static double
rms (const double *x, gsize from, gsize to)
{
  double sum = 0;

  for (gsize i = from; i < to; i++)
    sum += x[i] * x[i];
  return sqrt (sum / (double) (to - from));
}

/* Noise and hum alone, before the string: together what was asked for below the string's first second. */
static void
test_room (void)
{
  const MadeString string = { .f1 = 110, .b = 1e-4, .start = 2, .peak = 0.5, .t60 = 4, .t60_high = 2, .pluck = 0.2 };
  const MadeRoom silent = MADE_SILENT_ROOM;
  g_autofree double *alone = made_sound (SAMPLES, RATE, &string, 1, &silent, 1, NULL);
  const double level = rms (alone, (gsize) (2 * RATE), (gsize) (3 * RATE));

  for (int pass = 0; pass < 4; pass++)
    {
      MadeRoom room = MADE_SILENT_ROOM;
      g_autofree double *sound = NULL;

      *(pass == 1 ? &room.hum_db : &room.noise_db) = 30;
      room.pink = pass == 2 ? 0.5 : 0;
      room.against_peak = pass == 3;
      sound = made_sound (SAMPLES, RATE, &string, 1, &room, 1, NULL);
      g_assert_cmpfloat_with_epsilon (20 * log10 (rms (sound, 0, (gsize) (2 * RATE)) / (pass == 3 ? 0.5 : level)), -30,
                                      0.5);
    }
}

/* A hard pluck starts sharp and comes down; a turned peg stays where it was turned to. */
static void
test_bent (void)
{
  const MadeRoom silent = MADE_SILENT_ROOM;
  MadeString string = MADE_PLAIN_STRING;
  g_autofree double *glides = NULL, *turned = NULL;

  string.t60 = 3;
  string.glide = 8;
  glides = made_sound (SAMPLES, RATE, &string, 1, &silent, 1, NULL);
  /* Phase gained between windows: the integral of e^(−2 decay t) of them, to first order in the glide. */
  g_assert_cmpfloat_with_epsilon (cents_off (glides, 110), 8 * (exp (-4.6 * 1.0) - exp (-4.6 * 3.0)) / 4.6 / 2, 0.01);
  string.glide = 0;
  string.turn_cents = -20;
  string.turn_at = 0.2;
  string.turn_for = 0.3;
  turned = made_sound (SAMPLES, RATE, &string, 1, &silent, 1, NULL);
  g_assert_cmpfloat (fabs (cents_off (turned, 110 * exp2 (-20 / 1200.0))), <, 0.002);
}

/* A steady sine in white noise: var f = 12 rate² / (4 π² snr n³), snr = a² / 2 σ² (Kay, example 3.14). A second
 * partial, far too soft to help, lets B be asked for. */
static void
test_bound (void)
{
  const MadeString string = { .f1 = 200, .b = 0 };
  const MadePart part = { MADE_PARTIAL, 1, 200, 0, 0.3, 0 };
  g_autoptr (GArray) parts = g_array_new (FALSE, FALSE, sizeof part);
  const double t = 2, rms_noise = 0.01, n = t * RATE, snr = 0.3 * 0.3 / 2 / (rms_noise * rms_noise);
  const double expected = RATE / (2 * G_PI) * sqrt (12 / (snr * n * n * n));
  MadeBound bound;
  MadePart second = part;

  g_array_append_val (parts, part);
  second.k = 2;
  second.f = 400;
  second.amplitude = 1e-4;
  g_array_append_val (parts, second);
  bound = made_bound (&string, parts, 0, t, 2, rms_noise, 0, RATE);
  g_assert_cmpfloat_with_epsilon (bound.frequency / expected, 1, 0.01);
}

static void
test_wav (void)
{
  g_autofree char *path = g_build_filename (g_get_tmp_dir (), "made-XXXXXX", NULL);
  const double sound[] = { 0, 0.5, -0.5, 0.123456, -1, 0.999 }, channels[] = { 1, 0.5 };

  g_assert_cmpint (g_close (g_mkstemp (path), NULL), ==, TRUE);
  for (int bits = 16; bits <= 32; bits += 8)
    {
      g_autoptr (GError) error = NULL;
      g_autofree float *back = NULL;
      gsize n = 0;
      int rate = 0;

      g_assert_true (made_wav_write (path, sound, G_N_ELEMENTS (sound), 48000, bits, channels, 2, &error));
      back = made_wav_read (path, &n, &rate, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (n, ==, G_N_ELEMENTS (sound));
      g_assert_cmpint (rate, ==, 48000);
      for (gsize i = 0; i < n; i++)
        g_assert_cmpfloat_with_epsilon (back[i], sound[i], 1.0 / (1 << (MIN (bits, 24) - 1)));
    }
  g_unlink (path);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/made/partials", test_partials);
  g_test_add_func ("/made/stepped", test_stepped);
  g_test_add_func ("/made/room", test_room);
  g_test_add_func ("/made/bent", test_bent);
  g_test_add_func ("/made/bound", test_bound);
  g_test_add_func ("/made/wav", test_wav);
  return g_test_run ();
}
