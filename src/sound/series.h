/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which series of partials a stretch of sound holds: the coarse stage, before anything is measured closely (model
 * 15.1). It decides the octave. */
#pragma once

#include "sound/note.h"

/* f_k = k f_0 sqrt (1 + B k²) (Fletcher 1964). */
typedef struct
{
  double f0, b;
  int n;                         /* the highest partial that stands, at most SL_MAX_PARTIALS */
  double level[SL_MAX_PARTIALS]; /* of partial k at k − 1: over what surrounds it, dB; 0 where none stands */
  double loudest, stray;         /* power of the loudest partial, and of the loudest peak that can't belong, dB */
  int n_strays;                  /* of such peaks, within 25 dB of the loudest partial */
} SlSeries;

double sl_series_frequency (const SlSeries *self, int k);

/* @n samples at @rate that the note sounds in; @expected: f_1 as it should be, or one of these. FALSE: no series
 * stands.
 */
gboolean sl_series_find (const double *samples, gsize n, double rate, const double *expected, guint n_expected,
                         SlSeries *out);

/* f_0 and B by least squares weighted with 1/u², u Hz; (f_k/k)² is linear in k². @cov: of F = f_0² and F B, or NULL.
 * Fewer than two: B = 0. Returns χ². */
double sl_series_fit (const int *k, const double *f, const double *u, int n, double *big_f, double *big_fb,
                      double cov[3]);
