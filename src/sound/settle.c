/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/heard.h"

#include <gsl/gsl_fit.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>

#define HOP_S 0.25
#define MAX_WINDOWS 64
#define LOUD 0.025      /* of the power at its loudest */
#define ROUGH_CENTS 2.5 /* windows that agree differ by less */

const double complex *
sl_band_stretch (const SlBand *self, double onset, double from, double to, double *begin, guint *n)
{
  double step = self->filter.step;
  double first_at = ceil ((onset + from) / step) - self->first, end_at = floor ((onset + to) / step) - self->first;
  int first = (int) MAX (0, first_at), end = (int) CLAMP (end_at, 0, self->z->len);

  if (end <= first)
    return NULL;
  *begin = (self->first + (guint) first) * step - onset;
  *n = (guint) (end - first);
  return &g_array_index (self->z, double complex, first);
}

/* Least squares' slope of phase over time, weighted with the power; rad/s. @power: the mean. */
static double
turn_of (const double complex *z, guint n, double step, double *power)
{
  double weight = 0, t1 = 0, p1 = 0, t2 = 0, tp = 0, phase = 0;

  for (guint i = 0; i < n; i++)
    {
      double w = gsl_pow_2 (cabs (z[i])), t = i * step;

      phase += i > 0 ? carg (z[i] * conj (z[i - 1])) : 0;
      weight += w;
      t1 += w * t;
      p1 += w * phase;
      t2 += w * t * t;
      tp += w * t * phase;
    }
  *power = weight / n;
  return (tp - t1 * p1 / weight) / (t2 - t1 * t1 / weight + 1e-300);
}

/* Cents of the partials against the middle of their bands, the median of those that are loud in the window. */
static double
window_cents (const SlHeard *heard, double from, const double *loudest, double *power)
{
  double cents[SL_MAX_PARTIALS], begin;
  int n = 0, bands = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      const SlBand *band = &heard->bands[k];
      guint m = 0;
      const double complex *z =
          band->z != NULL ? sl_band_stretch (band, heard->onset, from, from + SL_WINDOW_S, &begin, &m) : NULL;

      power[k] = 0;
      if (z == NULL || m < 4)
        continue;
      double turn = turn_of (z, m, band->filter.step, &power[k]);
      bands++;
      if (power[k] >= LOUD * loudest[k])
        cents[n++] = 1200 / M_LN2 * log1p (turn / (2 * M_PI * band->centre));
    }
  return n == 0 || 2 * n < bands ? NAN : gsl_stats_median (cents, 1, (size_t) n);
}

double
sl_settle_roughly (const SlHeard *heard, double *last)
{
  double loudest[SL_MAX_PARTIALS] = { 0 }, power[SL_MAX_PARTIALS], length = heard->end - heard->onset,
         settled = SL_ATTACK_S;
  int n = CLAMP ((int) ((length - SL_ATTACK_S - SL_WINDOW_S) / HOP_S) + 1, 0, MAX_WINDOWS);
  double late = SL_ATTACK_S + (n - 1) * HOP_S, at = NAN;

  *last = NAN;
  for (int w = 0; w < n; w++)
    {
      window_cents (heard, late - w * HOP_S, loudest, power);
      for (int k = 0; k < SL_MAX_PARTIALS; k++)
        loudest[k] = MAX (loudest[k], power[k]);
    }
  for (int w = 0; w < n; w++)
    {
      double from = late - w * HOP_S, cents = window_cents (heard, from, loudest, power);

      if (isnan (*last) && isnan (cents))
        continue;
      if (isnan (*last))
        {
          *last = from;
          at = cents;
        }
      if (!(fabs (cents - at) < ROUGH_CENTS))
        break;
      settled = from;
    }
  return settled;
}

double
sl_bend_rate (const SlHeard *heard, double from)
{
  double most = 0, rate = 0, begin;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      const SlBand *band = &heard->bands[k];
      guint n = 0;
      const double complex *z =
          band->z != NULL ? sl_band_stretch (band, heard->onset, from, INFINITY, &begin, &n) : NULL;
      double sum = 0, c0, c1, cov[3], chi2;

      if (n < 4)
        continue;
      g_autofree double *t = g_new (double, n);
      g_autofree double *weight = g_new (double, n);
      g_autofree double *level = g_new (double, n);
      for (guint i = 0; i < n; i++)
        {
          t[i] = i * band->filter.step;
          weight[i] = gsl_pow_2 (cabs (z[i]));
          level[i] = log (weight[i] + 1e-300);
          sum += weight[i];
        }
      if (sum <= most)
        continue;
      most = sum;
      gsl_fit_wlinear (t, 1, weight, 1, level, 1, n, &c0, &c1, &cov[0], &cov[1], &cov[2], &chi2);
      rate = -c1;
    }
  return CLAMP (rate, 0.5, 60);
}
