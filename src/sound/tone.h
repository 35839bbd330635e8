/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One partial, taken to zero frequency and low-passed: how fast its phase turns, with u, beside other tones in its
 * band: mains hum, the body, another string (model 15.1). */
#pragma once

#include <complex.h>
#include <glib.h>

#define SL_TONE_LINES 4 /* the partial itself, and what may stand beside it */

/* The low-pass is a window of four cosine terms, @length s long, sampled each length / SL_TONE_PER_WINDOW. */
#define SL_TONE_PER_WINDOW 5

typedef struct
{
  double length; /* of the window, s */
  double step;   /* s between samples */
} SlToneFilter;

typedef struct
{
  double log_level, phase, decay, turn; /* exp (log_level + i phase + (−decay + i turn) t), 1/s and rad/s */
} SlLine;

typedef struct
{
  SlLine lines[SL_TONE_LINES]; /* the partial first; t from the first sample */
  int n_lines;
  double bend, bend_u; /* rad/s by which the partial turns faster at first, dying at the rate asked for */
  double turn_u;       /* of the partial's, rad/s */
  double misfit;       /* Σ |z − lines|² */
  double noise;        /* standard deviation of real and imaginary part, a sample */
  double density;      /* the like, if the noise were as strong in the whole band as close to the partial */
} SlTone;

/* cos terms' transform against their peak; @x: frequency times the window's length */
double sl_tone_gain (double x);
double sl_tone_window (double at); /* @at: −½ … ½ of its length */

/* @z: @n samples; the partial turns by less than @reach rad/s. @bend_rate above 0: it turns faster at first, by about
 * @bend rad/s, and that dies at this rate, 1/s. FALSE where the samples are too few. */
gboolean sl_tone_fit (const double complex *z, guint n, const SlToneFilter *filter, double reach, double bend,
                      double bend_rate, SlTone *out);

/* Again with the lines that @tone has, from where they are. */
gboolean sl_tone_again (const double complex *z, guint n, const SlToneFilter *filter, double bend_rate, SlTone *tone);
