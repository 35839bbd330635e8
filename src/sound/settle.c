/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/heard.h"

#include <gsl/gsl_fit.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>

#define HOP_S 0.25
#define MAX_WINDOWS 64
#define LOUD 0.025      /* of the power at its loudest */
#define ROUGH_CENTS 2.5 /* windows that agree differ by less */
#define OVER 10.0       /* or, once it is known, this over the noise */
#define ENOUGH 3        /* partials, or else half of them */
#define NOW_S 0.2       /* of the last of them: where the string stands now */

const double complex *
sl_band_stretch (const SlBand *self, double from, double to, guint *n)
{
  double step = self->filter.step;
  double first_at = ceil (from / step) - self->first, end_at = floor (to / step) - self->first;
  int first = (int) MAX (0, first_at), end = (int) CLAMP (end_at, 0, self->z->len);

  if (end <= first)
    return NULL;
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

/* Cents of the partials from @from to @to against the middle of their bands or, @found, where they were found: the
 * median of those that are loud then. @u: its own. */
static double
window_cents (const SlHeard *heard, double from, double to, gboolean found, double *u)
{
  double cents[SL_MAX_PARTIALS];
  int n = 0, bands = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      SlBand *band = &heard->bands[k];
      guint m = 0;
      const double complex *z = band->z != NULL ? sl_band_stretch (band, from, to, &m) : NULL;
      double power;

      if (z == NULL || m < 4)
        continue;
      double turn = turn_of (z, m, band->filter.step, &power);
      band->loudest = MAX (band->loudest, power);
      bands++;
      if (power >= (band->noise > 0 ? gsl_pow_2 (OVER * band->noise) : LOUD * band->loudest))
        cents[n++] = 1200 / M_LN2 * log1p ((turn - (found ? band->turn : 0)) / (2 * M_PI * band->centre));
    }
  if (n == 0 || (n < ENOUGH && 2 * n < bands))
    return NAN;
  double median = gsl_stats_median (cents, 1, (size_t) n);
  *u = gsl_stats_absdev_m (cents, 1, (size_t) n, median) / sqrt (n);
  return median;
}

double
sl_settle_roughly (const SlHeard *heard, double *last)
{
  double settled = NAN, at = NAN, u, late = heard->end - SL_WINDOW_S - heard->bands[0].filter.length / 2;
  int n = CLAMP ((int) floor ((late - SL_ATTACK_S) / HOP_S) + 1, 0, MAX_WINDOWS);

  *last = NAN;
  for (int w = n - 1; w > 0; w--) /* how loud each gets */
    window_cents (heard, late - w * HOP_S, late - w * HOP_S + SL_WINDOW_S, FALSE, &u);
  for (int w = 0; w < n; w++)
    {
      double from = late - w * HOP_S, cents = window_cents (heard, from, from + SL_WINDOW_S, FALSE, &u);

      if (isnan (*last) && isnan (cents))
        continue;
      if (isnan (*last))
        {
          *last = from;
          at = cents;
        }
      if (!(fabs (cents - at) < ROUGH_CENTS))
        return settled;
      settled = from;
    }
  return SL_ATTACK_S;
}

double
sl_settle_now (const SlHeard *heard, double last, double *u)
{
  double to = isfinite (last) ? last + SL_WINDOW_S : heard->end;

  return window_cents (heard, MAX (to - NOW_S, SL_ATTACK_S), to, TRUE, u);
}

double
sl_bend_rate (const SlHeard *heard, double from)
{
  double most = 0, rate = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      const SlBand *band = &heard->bands[k];
      guint n = 0;
      const double complex *z = band->z != NULL ? sl_band_stretch (band, from, heard->end, &n) : NULL;
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
