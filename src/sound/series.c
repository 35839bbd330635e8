/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/series.h"

#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_statistics.h>
#include <math.h>

#define PEAK_DB 12.0    /* a peak stands so far over what surrounds it */
#define RANGE_DB 60.0   /* and no further under the loudest */
#define STANDS_DB 20.0  /* a partial does */
#define HEARD_DB 40.0   /* what lies further under the loudest says nothing for or against a series */
#define ASIDE 0.5       /* what stands beside a series counts so much against it */
#define MISSING_DB 12.0 /* what a missing one says against it */
#define FAR_DB 15.0     /* what lies beyond FAR_SEMITONES from the expected must be better by this */
#define FAR_SEMITONES 7.5
#define MOST_SEMITONES 15.0
#define REACH 0.06      /* how far a partial may lie from where those below it have it, in f_0 */
#define MOST_STIFF 5e-3 /* B */
#define STRAY_DB 25.0   /* peaks that can't belong count down to this under the loudest partial */
#define MAX_PEAKS 80

typedef struct
{
  double f, power, over; /* Hz, dB, dB over what surrounds it */
} Peak;

typedef struct
{
  Peak peaks[MAX_PEAKS];
  int n;
  double lobe;    /* Hz: half the width of a steady tone's peak */
  double loudest; /* dB */
} Peaks;

double
sl_series_frequency (const SlSeries *self, int k)
{
  return k * self->f0 * sqrt (1 + self->b * k * k);
}

double
sl_series_fit (const int *k, const double *f, const double *u, int n, double *big_f, double *big_fb, double cov[3])
{
  int p = n < 2 ? 1 : 2;
  double a[2 * SL_MAX_PARTIALS], y[SL_MAX_PARTIALS], w[SL_MAX_PARTIALS], x[2] = { 0, 0 }, c[4] = { 0 }, chi2 = 0;
  gsl_matrix_view av = gsl_matrix_view_array (a, (size_t) n, (size_t) p),
                  cv = gsl_matrix_view_array (c, (size_t) p, (size_t) p);
  gsl_vector_view yv = gsl_vector_view_array (y, (size_t) n), wv = gsl_vector_view_array (w, (size_t) n),
                  xv = gsl_vector_view_array (x, (size_t) p);
  gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc ((size_t) n, (size_t) p);

  for (int i = 0; i < n; i++)
    {
      double k2 = (double) k[i] * k[i];

      a[p * i] = 1;
      if (p == 2)
        a[2 * i + 1] = k2;
      y[i] = f[i] * f[i] / k2;
      w[i] = gsl_pow_2 (k2 / (2 * f[i] * u[i]));
    }
  gsl_multifit_wlinear (&av.matrix, &wv.vector, &yv.vector, &xv.vector, &cv.matrix, &chi2, work);
  gsl_multifit_linear_free (work);
  *big_f = x[0];
  *big_fb = x[1];
  if (cov != NULL)
    {
      cov[0] = c[0];
      cov[1] = p == 2 ? c[1] : 0;
      cov[2] = p == 2 ? c[3] : 0;
    }
  return chi2;
}

/* What surrounds each bin: near the lower third of the bins within half an @width of it, where no partial reaches. */
static void
surroundings (const double *db, double *floor_db, int n, int width)
{
  g_autofree double *sorted = g_new (double, width);
  int hop = MAX (1, width / 4);

  for (int at = 0; at < n; at += hop)
    {
      int first = CLAMP (at - width / 2, 0, MAX (0, n - width)), m = MIN (width, n - first);

      memcpy (sorted, db + first, (gsize) m * sizeof *sorted);
      double third = gsl_stats_select (sorted, 1, (size_t) m, (size_t) m / 3);
      for (int i = at; i < MIN (n, at + hop); i++)
        floor_db[i] = third;
    }
}

static void
keep_peak (Peaks *self, Peak peak)
{
  int weakest = 0;

  if (self->n < MAX_PEAKS)
    {
      self->peaks[self->n++] = peak;
      return;
    }
  for (int i = 1; i < self->n; i++)
    if (self->peaks[i].power < self->peaks[weakest].power)
      weakest = i;
  if (peak.power > self->peaks[weakest].power)
    self->peaks[weakest] = peak;
}

/* Peaks of the power spectrum under a Hann window, padded fourfold. */
static void
find_peaks (const double *samples, gsize n, double rate, double expected, Peaks *out)
{
  gsize size = 1;
  double most = -INFINITY;

  while (size < 4 * n)
    size *= 2;
  g_autofree double *x = g_new0 (double, size);
  g_autofree double *db = g_new (double, size / 2);
  g_autofree double *around = g_new (double, size / 2);

  for (gsize i = 0; i < n; i++)
    x[i] = samples[i] * gsl_pow_2 (sin (M_PI * ((double) i + 0.5) / (double) n));
  gsl_fft_real_radix2_transform (x, 1, size);
  for (gsize i = 0; i < size / 2; i++)
    db[i] = 10 * log10 (x[i] * x[i] + (i > 0 ? x[size - i] * x[size - i] : 0) + 1e-30);
  double bin = rate / (double) size;
  surroundings (db, around, (int) (size / 2), CLAMP ((int) (expected / bin), 8, (int) (size / 2)));
  for (gsize i = (gsize) (15 / bin) + 1; i < size / 2; i++)
    most = MAX (most, db[i]);
  *out = (Peaks){ .lobe = 2 * rate / (double) n, .loudest = most };
  for (gsize i = (gsize) (15 / bin) + 1; i + 1 < size / 2; i++)
    {
      double a = db[i - 1], b = db[i], c = db[i + 1];

      if (b >= a && b > c && b - around[i] >= PEAK_DB && b > most - RANGE_DB)
        keep_peak (
            out,
            (Peak){ .f = ((double) i + 0.5 * (a - c) / (a - 2 * b + c)) * bin, .power = b, .over = b - around[i] });
    }
}

static const Peak *
loudest_near (const Peaks *self, double f, double reach)
{
  const Peak *best = NULL;

  for (int i = 0; i < self->n; i++)
    if (fabs (self->peaks[i].f - f) <= reach && (best == NULL || self->peaks[i].power > best->power))
      best = &self->peaks[i];
  return best;
}

/* What a peak says for or against a series, dB. */
static double
voice (const Peaks *self, const Peak *peak)
{
  return peak != NULL ? MAX (0, peak->power - self->loudest + HEARD_DB) : 0;
}

/* Follows a series upwards from f_0 = @f, and says how much speaks for it: what stands at its partials, less what
 * stands beside them, up to where that is most. */
static double
follow (const Peaks *peaks, double f, double top, SlSeries *out)
{
  int ks[SL_MAX_PARTIALS], n = 0;
  double fs[SL_MAX_PARTIALS], us[SL_MAX_PARTIALS], score = 0, best = 0, below = 0;

  *out = (SlSeries){ .f0 = f, .loudest = -INFINITY };
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      double at = sl_series_frequency (out, k), reach = REACH * f + (n < 3 ? peaks->lobe / 4 : 0);
      const Peak *peak = loudest_near (peaks, at, MIN (reach, f / 4));

      if (at + f / 2 > top)
        break;
      for (int i = 0; i < peaks->n; i++)
        if (peaks->peaks[i].f > below && peaks->peaks[i].f <= at + f / 2)
          score -= ASIDE * voice (peaks, &peaks->peaks[i]);
      below = at + f / 2;
      score += (1 + ASIDE) * voice (peaks, peak) - MISSING_DB;
      if (peak == NULL)
        continue;
      out->level[k - 1] = peak->over;
      out->loudest = MAX (out->loudest, peak->power);
      ks[n] = k;
      fs[n] = peak->f;
      us[n++] = peaks->lobe;
      if (n > 2)
        {
          double big_f, big_fb;

          sl_series_fit (ks, fs, us, n, &big_f, &big_fb, NULL);
          out->b = CLAMP (big_fb / big_f, 0, MOST_STIFF);
        }
      out->f0 = peak->f / (k * sqrt (1 + out->b * k * k));
      if (score > best)
        {
          best = score;
          out->n = k;
        }
    }
  return best;
}

/* Peaks that stand aside of the series and of the mains' harmonics, where those may be. */
static void
count_strays (const Peaks *peaks, SlSeries *self)
{
  double top = sl_series_frequency (self, self->n) + self->f0 / 2;

  self->stray = -INFINITY;
  for (int i = 0; i < peaks->n; i++)
    {
      const Peak *p = &peaks->peaks[i];
      double k = MAX (1, rint (p->f / self->f0 / sqrt (1 + self->b * gsl_pow_2 (p->f / self->f0))));
      double off = fabs (p->f - k * self->f0 * sqrt (1 + self->b * k * k));
      gboolean mains = fabs (p->f - 50 * rint (p->f / 50)) < 0.8 || fabs (p->f - 60 * rint (p->f / 60)) < 0.8;

      if (p->over < STANDS_DB || mains || p->f > top || off < MAX (1.2 * peaks->lobe, 0.02 * p->f) ||
          p->power < self->loudest - STRAY_DB)
        continue;
      self->n_strays++;
      self->stray = MAX (self->stray, p->power);
    }
}

gboolean
sl_series_find (const double *samples, gsize n, double rate, const double *expected, guint n_expected, SlSeries *out)
{
  Peaks peaks;
  double best = 0, lowest = gsl_stats_min (expected, 1, n_expected);

  *out = (SlSeries){ 0 };
  if ((double) n < 3 * rate / lowest)
    return FALSE;
  find_peaks (samples, n, rate, lowest, &peaks);
  for (int i = 0; i < peaks.n; i++)
    for (int k = 1; k <= 6 && peaks.peaks[i].power > peaks.loudest - HEARD_DB; k++)
      {
        double f = peaks.peaks[i].f / k, off = INFINITY;
        SlSeries series;

        for (guint e = 0; e < n_expected; e++)
          off = MIN (off, fabs (12 * log2 (f / expected[e])));
        if (off > MOST_SEMITONES)
          continue;
        double score = follow (&peaks, f, 0.5 * rate, &series) - off - (off > FAR_SEMITONES ? FAR_DB : 0);
        if (score > best && series.n > 0)
          {
            best = score;
            *out = series;
          }
      }
  if (out->n == 0)
    return FALSE;
  for (int k = out->n; k < SL_MAX_PARTIALS; k++)
    out->level[k] = 0;
  count_strays (&peaks, out);
  return TRUE;
}
