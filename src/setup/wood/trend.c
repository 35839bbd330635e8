/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/wood/trend.h"

#include "setup/profile/profile.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_multifit.h>

#define COVERAGE_SHARE 0.9545 /* what U = 2u covers of a normal distribution: GUM table G.2 */

/* How far apart values of x within a group must lie for a slope, as a share of their size: a hundred times what a
 * double can tell. */
#define LEAST_SPREAD 1e-13

static gboolean
has_spread (const SlTrendPoint *points, int n)
{
  for (int i = 1; i < n; i++)
    if (points[i].group == points[i - 1].group &&
        fabs (points[i].x - points[i - 1].x) > LEAST_SPREAD * (fabs (points[i].x) + fabs (points[i - 1].x)))
      return TRUE;
  return FALSE;
}

static int
count_groups (const SlTrendPoint *points, int n)
{
  int groups = n > 0;

  for (int i = 1; i < n; i++)
    groups += points[i].group != points[i - 1].group;
  return groups;
}

/* A column of ones for each group, and one of x. Sums of squares are weighted in @chisq. */
static void
fit_groups (const SlTrendPoint *points, int n, int n_groups, gboolean weighted, SlTrend *out, double *chisq)
{
  const size_t rows = (size_t) n, columns = (size_t) n_groups + 1, last = columns - 2;
  gsl_matrix *X = gsl_matrix_calloc (rows, columns), *cov = gsl_matrix_alloc (columns, columns);
  gsl_vector *y = gsl_vector_alloc (rows), *w = gsl_vector_alloc (rows), *c = gsl_vector_alloc (columns);
  gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc (rows, columns);
  size_t group = 0;

  for (size_t i = 0; i < rows; i++)
    {
      group += i > 0 && points[i].group != points[i - 1].group;
      gsl_matrix_set (X, i, group, 1);
      gsl_matrix_set (X, i, columns - 1, points[i].x);
      gsl_vector_set (y, i, points[i].y);
      gsl_vector_set (w, i, weighted ? 1 / (points[i].u * points[i].u) : 1);
    }
  gsl_multifit_wlinear (X, w, y, c, cov, chisq, work);
  out->intercept = gsl_vector_get (c, last);
  out->slope = gsl_vector_get (c, columns - 1);
  out->cov_ii = gsl_matrix_get (cov, last, last);
  out->cov_is = gsl_matrix_get (cov, last, columns - 1);
  out->cov_ss = gsl_matrix_get (cov, columns - 1, columns - 1);
  gsl_multifit_linear_free (work);
  gsl_vector_free (c);
  gsl_vector_free (w);
  gsl_vector_free (y);
  gsl_matrix_free (cov);
  gsl_matrix_free (X);
}

/* Covariance so far is that of points with weights as given; what the scatter adds to it. */
static void
add_scatter (SlTrend *out, gboolean weighted, double chisq)
{
  double scale = chisq / out->freedom;

  out->coverage = SL_COVERAGE;
  if (weighted && scale <= 1)
    return;
  out->cov_ii *= scale;
  out->cov_is *= scale;
  out->cov_ss *= scale;
  out->coverage = gsl_cdf_tdist_Pinv ((1 + COVERAGE_SHARE) / 2, out->freedom);
}

SlTrendResult
sl_trend_fit (const SlTrendPoint *points, int n_points, SlTrend *out)
{
  gboolean weighted = TRUE;
  double chisq = 0;

  *out = (SlTrend){ .n_groups = count_groups (points, n_points), .least_x = INFINITY, .most_x = -INFINITY };
  out->freedom = n_points - out->n_groups - 1;
  if (n_points < SL_TREND_LEAST_POINTS || out->freedom < 1)
    return SL_TREND_TOO_FEW;
  if (!has_spread (points, n_points))
    return SL_TREND_NO_SPREAD;
  for (int i = 0; i < n_points; i++)
    {
      out->least_x = MIN (out->least_x, points[i].x);
      out->most_x = MAX (out->most_x, points[i].x);
      weighted = weighted && points[i].u > 0;
    }
  fit_groups (points, n_points, out->n_groups, weighted, out, &chisq);
  add_scatter (out, weighted, chisq);
  return SL_TREND_FOUND;
}

double
sl_trend_at (const SlTrend *trend, double x, double *u)
{
  double value, standard;

  gsl_fit_linear_est (x, trend->intercept, trend->slope, trend->cov_ii, trend->cov_is, trend->cov_ss, &value,
                      &standard);
  if (u != NULL)
    *u = standard;
  return value;
}

gboolean
sl_trend_predict (const SlTrend *trend, double x, double *value, double *U)
{
  double u;

  if (!(x >= trend->least_x && x <= trend->most_x))
    return FALSE;
  *value = sl_trend_at (trend, x, &u);
  *U = trend->coverage * u;
  return TRUE;
}
