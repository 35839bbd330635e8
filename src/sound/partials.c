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
#define STANDS 3.0         /* times the noise: a partial's place in the fan */
#define WINDOW_PERIODS 4.4 /* of f_0: neighbouring partials then lie 90 dB down */
#define LEAST_WINDOW_S 0.08
#define COARSE_S 0.6
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
  guint n_clipped;
  double clipped_at; /* when the note is clipped for certain, s */
  GArray *low;       /* of double: at low_rate */
  double low_rate;

  SlSeries series;
  SlBand bands[SL_MAX_PARTIALS];
  float turns[SL_MAX_PARTIALS][SL_FAN_COLUMNS], level[SL_MAX_PARTIALS][SL_FAN_COLUMNS];
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
  self->clipped_at = INFINITY;
  return self;
}

static void
clear_band (SlBand *band)
{
  g_clear_pointer (&band->taps, g_free);
  g_clear_pointer (&band->z, g_array_unref);
  g_clear_pointer (&band->turned, g_array_unref);
  band->loudest = band->noise = band->turn = 0;
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
  g_array_append_vals (self->raw, samples, (guint) n);
  for (gsize i = 0; i < n; i++)
    if (fabsf (samples[i]) >= SL_FULL_SCALE && ++self->n_clipped == SL_CLIPPED_SAMPLES)
      self->clipped_at = (double) (self->heard + i) / self->rate;
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

/* Lays band @k about @centre. */
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
  band->turned = g_array_new (FALSE, FALSE, sizeof (double));
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

/* What was heard since. */
static void
fill_band (SlPartials *self, SlBand *band)
{
  while (band->z != NULL)
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
      double turned = 0;
      if (band->z->len > 0)
        turned = g_array_index (band->turned, double, band->z->len - 1) +
                 carg (z * conj (g_array_index (band->z, double complex, band->z->len - 1)));
      g_array_append_val (band->z, z);
      g_array_append_val (band->turned, turned);
    }
}

/* The coarse stage, where the note is loudest and, a string being tuned, where it is last still loud. */
static gboolean
find_series (const SlPartials *self, guint end, SlSeries *out)
{
  guint from = (guint) (0.5 * SL_ATTACK_S * self->low_rate), most = (guint) (COARSE_S * self->low_rate);
  const double *x = (const double *) self->low->data;
  SlSeries series, last = { 0 };

  if (from >= end || !sl_series_find (x + from, MIN (most, end - from), self->low_rate, &self->expected, 1, &series))
    return FALSE;
  guint late = end > most ? end - most : 0;
  double loud = LOUD * gsl_stats_sd_m (x + from, 1, MIN (most, end - from), 0);
  while (late > from + most && gsl_stats_sd_m (x + late, 1, most, 0) < loud)
    late -= MIN (late, most / 2);
  if (late > from + most && sl_series_find (x + late, most, self->low_rate, &self->expected, 1, &last) &&
      fabs (1200 * log2 (last.f0 / series.f0)) > MOVED_CENTS && fabs (12 * log2 (last.f0 / series.f0)) < 6)
    series = last;
  else if (late > from + most && last.n > 0)
    {
      series.n_strays = last.n_strays; /* the body has died by then, another string has not */
      series.stray = last.stray + series.loudest - last.loudest;
    }
  *out = series;
  return TRUE;
}

/* Bands where partials of @series stand; all of them anew where the string was tuned since. */
static void
lay_bands (SlPartials *self, const SlSeries *series, gboolean anew)
{
  double f0 = self->series.f0, b = self->series.b;

  self->series = *series;
  if (!(fabs (1200 * log2 (f0 / series->f0)) < MOVED_CENTS / 2))
    anew = TRUE;
  if (!anew)
    {
      self->series.f0 = f0;
      self->series.b = b;
    }
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      SlBand *band = &self->bands[k - 1];

      if (anew || series->level[k - 1] <= 0)
        clear_band (band);
      if (band->z == NULL && series->level[k - 1] > 0)
        lay_band (self, k, sl_series_frequency (&self->series, k));
      fill_band (self, band);
    }
}

gboolean
sl_partials_note (SlPartials *self, double end, gboolean ended, SlNote *out)
{
  SlHeard heard = { .expected = self->expected,
                    .end = MIN (end, (double) self->heard / self->rate),
                    .bands = self->bands,
                    .ended = ended };

  SlSeries series;

  heard.clipped = self->clipped_at < heard.end;
  if (find_series (self, MIN (self->low->len, (guint) (heard.end * self->low_rate)), &series))
    {
      heard.series = &self->series;
      lay_bands (self, &series, ended);
    }
  return sl_note_from_bands (&heard, out);
}

void
sl_partials_fan (SlPartials *self, const SlNote *note, SlFan *out)
{
  const double b = isfinite (note->inharmonicity) ? MAX (note->inharmonicity, 0) : 0;
  double loudest = -INFINITY;

  *out = (SlFan){ .n = (guint) MIN (note->length / SL_FAN_STEP_S + 1, SL_FAN_COLUMNS) };
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      SlBand *band = &self->bands[k - 1];
      const double f = k * note->expected * sqrt ((1 + b * k * k) / (1 + b));

      fill_band (self, band);
      for (guint i = 0; i < out->n; i++)
        {
          const double t = i * SL_FAN_STEP_S, at = band->z != NULL ? t / band->filter.step - band->first : -1;
          const guint j = (guint) MAX (at, 0);

          self->turns[k - 1][i] = self->level[k - 1][i] = NAN;
          if (at < 0 || j + 1 >= band->z->len ||
              cabs (g_array_index (band->z, double complex, j)) < STANDS * band->noise)
            continue;
          const double *turned = &g_array_index (band->turned, double, j);
          self->turns[k - 1][i] =
              (float) ((band->centre - f) * t + (turned[0] + (at - j) * (turned[1] - turned[0])) / (2 * G_PI));
          self->level[k - 1][i] = (float) (20 * log10 (cabs (g_array_index (band->z, double complex, j))));
          loudest = MAX (loudest, self->level[k - 1][i]);
          out->n_partials = k;
        }
      out->turns[k - 1] = self->turns[k - 1];
      out->level[k - 1] = self->level[k - 1];
    }
  for (int k = 0; k < out->n_partials; k++)
    for (guint i = 0; i < out->n; i++)
      self->level[k][i] -= (float) loudest;
}
