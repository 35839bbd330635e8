/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A straight line through what was read over the seasons (model 11): y = intercept + slope x by least squares, with
 * what is known of its uncertainty. Work done between two readings moves the figure for good, so readings may come in
 * groups: all share one slope, each group has its own intercept, and the last group's is the one that counts from now
 * on. */
#pragma once

#include <glib.h>

#define SL_TREND_LEAST_POINTS 3

typedef struct
{
  double x, y;
  double u;  /* standard uncertainty of y, or NAN where it is not known (then for all points) */
  int group; /* 0, 1, …, never falling from point to point */
} SlTrendPoint;

typedef struct
{
  int n_groups;
  double intercept, slope;       /* intercept of the last group */
  double cov_ii, cov_is, cov_ss; /* their covariance */
  int freedom;                   /* points − groups − 1 */
  double coverage; /* factor from standard to expanded uncertainty: 2, or Student's t where the scatter is judged from
                      the points alone */
  double least_x, most_x; /* the data's range */
} SlTrend;

typedef enum
{
  SL_TREND_FOUND,
  SL_TREND_TOO_FEW,  /* fewer than three points, or as many intercepts and slope as points */
  SL_TREND_NO_SPREAD /* within no group does x vary: nothing can be said of the slope */
} SlTrendResult;

/* Fits the line (GSL, QR or singular values). Without uncertainties the scatter gives the covariance, s² over the
 * degrees of freedom, and the coverage factor is Student's t for 95.45 % (GUM, JCGM 100:2008, G.3.2). With them the
 * covariance follows from the uncertainties, widened where the scatter is more than they explain; the factor is
 * Student's only then. */
SlTrendResult sl_trend_fit (const SlTrendPoint *points, int n_points, SlTrend *out);

/* The line at @x and its standard uncertainty, wherever @x lies: for drawing, and for what stands behind
 * sl_trend_predict(). */
double sl_trend_at (const SlTrend *trend, double x, double *u);

/* What the line says of @x; @U gets the expanded uncertainty. FALSE, and nothing given, beyond the data's range: a line
 * says nothing about air the instrument has not been read in. */
gboolean sl_trend_predict (const SlTrend *trend, double x, double *value, double *U);
