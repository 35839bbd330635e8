/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/partials.h"

#include "sound/heard.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_sf_bessel.h>
#include <gsl/gsl_statistics.h>

#define TOP_HZ 5000.0  /* partials are heard up to here */
#define KAISER 7.86    /* 80 dB (Kaiser 1974) */
#define TAPS_A_STEP 30 /* so much of a low-pass lets through what lies under rate / 2.4 */
#define KEPT 2.4
#define FULL_SCALE 0.9999
#define WINDOW_PERIODS 4.4 /* of f_0: neighbouring partials then lie 90 dB down */
#define LEAST_WINDOW_S 0.08
#define COARSE_S 0.6
#define RISE 1.6 /* an onset: the level rises by this within two periods */
#define RISE_OF_MOST 0.2
#define LOUD 0.2         /* of the level at the beginning */
#define MOVED_CENTS 25.0 /* bands are laid anew where the string was tuned so far since */

struct _SlPartials
{
  double rate, expected;
  guint factor, half; /* of the first low-pass */
  float *taps;        /* 2 half + 1 */
  GArray *raw;        /* of float: the last of what came, from sample raw_start on */
  gint64 raw_start;
  gsize heard;
  guint clipped;
  GArray *low; /* of double: at low_rate */
  double low_rate;

  SlSeries series;
  double laid; /* f_0 that the bands were laid for */
  SlBand bands[SL_MAX_PARTIALS];
};

static float *
low_pass (guint half, guint factor)
{
  float *taps = g_new (float, 2 * half + 1);
  double cut = 0.5 / factor, sum = 0; /* midway between what is kept and what folds on it */

  for (guint i = 0; i <= 2 * half; i++)
    {
      double x = (double) i - half, w = x / (half + 1.0);
      double v =
          gsl_sf_bessel_I0 (KAISER * sqrt (1 - w * w)) * (x == 0 ? 2 * cut : sin (2 * M_PI * cut * x) / (M_PI * x));

      taps[i] = (float) v;
      sum += v;
    }
  for (guint i = 0; i <= 2 * half; i++)
    taps[i] /= (float) sum;
  return taps;
}

SlPartials *
sl_partials_new (double rate, double expected)
{
  SlPartials *self = g_new0 (SlPartials, 1);
  double top = MIN (TOP_HZ, 1.5 * SL_MAX_PARTIALS * expected);

  self->rate = rate;
  self->expected = expected;
  self->factor = (guint) MAX (1, rate / (KEPT * top));
  self->half = self->factor > 1 ? TAPS_A_STEP / 2 * self->factor : 0;
  self->taps = low_pass (self->half, self->factor);
  self->low_rate = rate / self->factor;
  self->raw = g_array_new (FALSE, TRUE, sizeof (float));
  g_array_set_size (self->raw, self->half);
  self->raw_start = -(gint64) self->half;
  self->low = g_array_new (FALSE, FALSE, sizeof (double));
  return self;
}

static void
clear_band (SlBand *band)
{
  g_clear_pointer (&band->taps, g_free);
  g_clear_pointer (&band->z, g_array_unref);
}

void
sl_partials_free (SlPartials *self)
{
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    clear_band (&self->bands[k]);
  g_array_unref (self->raw);
  g_array_unref (self->low);
  g_free (self->taps);
  g_free (self);
}

void
sl_partials_hear (SlPartials *self, const float *samples, gsize n)
{
  guint start = self->raw->len;

  g_array_append_vals (self->raw, samples, (guint) n);
  for (guint i = start; i < self->raw->len; i++)
    {
      float *x = &g_array_index (self->raw, float, i);

      if (!isfinite (*x))
        *x = 0;
      self->clipped += fabsf (*x) >= (float) FULL_SCALE;
    }
  self->heard += n;
  /* output j stands at sample j factor, and needs half a low-pass to either side */
  for (;;)
    {
      gint64 first = (gint64) self->low->len * self->factor - self->half - self->raw_start;
      const float *x = &g_array_index (self->raw, float, first);
      double sum = 0;

      if (first + 2 * self->half >= self->raw->len)
        break;
      for (guint i = 0; i <= 2 * self->half; i++)
        sum += (double) (x[i] * self->taps[i]);
      g_array_append_val (self->low, sum);
    }
  gint64 done = (gint64) self->low->len * self->factor - self->half - self->raw_start;
  if (done > 0)
    {
      g_array_remove_range (self->raw, 0, (guint) MIN (done, self->raw->len));
      self->raw_start += done;
    }
}

/* Where the note begins and the next one does, in samples of low; by how the level of a period or two rises. */
static void
find_onset (SlPartials *self, guint *begin, guint *end)
{
  guint frame = (guint) MAX (1, MAX (0.01, 1 / self->expected) * self->low_rate), n = self->low->len / frame;
  g_autofree double *level = g_new0 (double, n + 1);
  const double *x = (const double *) self->low->data;
  double most = 0;
  gboolean found = FALSE;

  for (guint i = 0; i < n; i++)
    {
      level[i] = gsl_stats_sd_m (x + i * frame, 1, frame, 0);
      most = MAX (most, level[i]);
    }
  *begin = 0;
  *end = self->low->len;
  for (guint i = 0; i < n; i++)
    {
      double before = 0;

      for (guint j = i > 4 ? i - 4 : 0; j < i; j++)
        before = MAX (before, level[j]);
      if (level[i] < RISE_OF_MOST * most || level[i] < RISE * before)
        continue;
      if (found && (i * frame - *begin) < SL_ATTACK_S * self->low_rate)
        continue;
      if (found)
        {
          *end = i * frame;
          return;
        }
      found = TRUE;
      guint at = i > 0 ? (i - 1) * frame : 0;
      while (at < self->low->len - 1 && fabs (x[at]) < 0.5 * RISE_OF_MOST * most)
        at++;
      *begin = at;
    }
}

/* Lays band @k about @centre; what was heard is gone through again. */
static void
lay_band (SlPartials *self, int k, double centre)
{
  SlBand *band = &self->bands[k - 1];
  double length = MAX (LEAST_WINDOW_S, WINDOW_PERIODS / self->series.f0);

  band->hop = (guint) MAX (1, length * self->low_rate / SL_TONE_PER_WINDOW);
  band->half = band->hop * SL_TONE_PER_WINDOW / 2;
  band->filter =
      (SlToneFilter){ .length = band->hop * SL_TONE_PER_WINDOW / self->low_rate, .step = band->hop / self->low_rate };
  band->centre = centre;
  band->first = (band->half + band->hop - 1) / band->hop;
  band->taps = g_new (double complex, 2 * band->half + 1);
  band->z = g_array_new (FALSE, FALSE, sizeof (double complex));
  double sum = 0;
  for (guint i = 0; i <= 2 * band->half; i++)
    {
      double x = (double) i - band->half, w = sl_tone_window (x / (band->hop * SL_TONE_PER_WINDOW));

      sum += w;
      band->taps[i] = 2 * w * cexp (-2 * M_PI * I * centre * x / self->low_rate);
    }
  for (guint i = 0; i <= 2 * band->half; i++)
    band->taps[i] /= sum;
}

static void
fill_band (SlPartials *self, SlBand *band)
{
  for (;;)
    {
      guint at = (band->first + band->z->len) * band->hop;
      double re = 0, im = 0;

      if (at + band->half >= self->low->len)
        return;
      const double *x = &g_array_index (self->low, double, at - band->half);
      const double *taps = (const double *) band->taps;
      for (guint i = 0; i <= 2 * band->half; i++)
        {
          re += x[i] * taps[2 * i];
          im += x[i] * taps[2 * i + 1];
        }
      double complex z = (re + im * I) * cexp (-2 * M_PI * I * fmod (band->centre * at / self->low_rate, 1));
      g_array_append_val (band->z, z);
    }
}

/* The coarse stage, where the note is loudest and, a string being tuned, where it is last still loud. */
static gboolean
find_series (SlPartials *self, guint begin, guint end)
{
  guint from = begin + (guint) (0.5 * SL_ATTACK_S * self->low_rate), most = (guint) (COARSE_S * self->low_rate);
  const double *x = (const double *) self->low->data;
  SlSeries series, last = { 0 };

  if (from >= end || !sl_series_find (x + from, MIN (most, end - from), self->low_rate, self->expected, &series))
    return FALSE;
  guint late = end > most ? end - most : 0;
  double loud = LOUD * gsl_stats_sd_m (x + from, 1, MIN (most, end - from), 0);
  while (late > from + most && gsl_stats_sd_m (x + late, 1, most, 0) < loud)
    late -= MIN (late, most / 2);
  if (late > from + most && sl_series_find (x + late, most, self->low_rate, self->expected, &last) &&
      fabs (1200 * log2 (last.f0 / series.f0)) > MOVED_CENTS && fabs (12 * log2 (last.f0 / series.f0)) < 6)
    series = last;
  else if (late > from + most && last.n > 0)
    {
      series.n_strays = last.n_strays; /* the body has died by then, another string has not */
      series.stray = last.stray + series.loudest - last.loudest;
    }
  gboolean moved = !(fabs (1200 * log2 (self->laid / series.f0)) < MOVED_CENTS / 2);
  self->laid = moved ? series.f0 : self->laid;
  self->series = series;
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      if (moved || series.level[k - 1] <= 0)
        clear_band (&self->bands[k - 1]);
      if (self->bands[k - 1].z == NULL && series.level[k - 1] > 0)
        lay_band (self, k, sl_series_frequency (&series, k));
    }
  return TRUE;
}

gboolean
sl_partials_note (SlPartials *self, SlNote *out)
{
  SlHeard heard = {
    .expected = self->expected, .clipped = self->clipped, .series = &self->series, .bands = self->bands
  };
  guint begin, end;

  find_onset (self, &begin, &end);
  heard.onset = begin / self->low_rate;
  heard.end = end < self->low->len ? end / self->low_rate : self->heard / self->rate;
  if (!find_series (self, begin, end))
    heard.series = NULL;
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    if (self->bands[k].z != NULL)
      fill_band (self, &self->bands[k]);
  return sl_note_from_bands (&heard, out);
}

const double complex *
sl_partials_band (SlPartials *self, int k, double *centre, double *begin, double *step, guint *n)
{
  const SlBand *band = &self->bands[k - 1];

  if (k < 1 || k > SL_MAX_PARTIALS || band->z == NULL)
    return NULL;
  *centre = band->centre;
  *begin = band->first * band->filter.step;
  *step = band->filter.step;
  *n = band->z->len;
  return (const double complex *) band->z->data;
}

gboolean
sl_note_estimate (const float *samples, gsize n, double rate, double expected, SlNote *out)
{
  g_autoptr (SlPartials) partials = NULL;

  *out = (SlNote){ .expected = expected, .frequency = NAN, .u = NAN, .word = SL_HEARD_SOFT };
  if (!(rate >= SL_LEAST_RATE_HZ * 0.99) || !(expected > 15 && expected < TOP_HZ / 2) || n == 0)
    return FALSE;
  partials = sl_partials_new (rate, expected);
  sl_partials_hear (partials, samples, n);
  return sl_partials_note (partials, out);
}
