/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Baselines: a profile kept for a model, a new instrument begun from one, and what is normal for a model by several
 * instruments of it. */
#pragma once

#include "setup/physics/figures.h"

/* Figures that a baseline gives a normal for. Per string, but tongue. */
typedef enum
{
  SL_NORM_RELIEF,
  SL_NORM_ACTION, /* open at fret 12 */
  SL_NORM_FIRST_GAP,
  SL_NORM_EXPOSURE,
  SL_NORM_NUT_BREAK,
  SL_NORM_SADDLE_BREAK,
  SL_N_NORMS
} SlNormKind;

/* One figure's normal: median and middle half (quartiles) over @n instruments. With one instrument all three are its
 * value; NAN with none. */
typedef struct
{
  int n;
  double median, low, high;
} SlNorm;

typedef struct
{
  int n_strings;
  SlNorm norm[SL_N_NORMS][SL_MAX_STRINGS];
  SlNorm mean_relief; /* of both sides, where both were read: one rod turns both */
} SlNorms;

/* What a baseline says: it holds one visit for each instrument it was built from, with that instrument's last readings,
 * and of each visit's last readings those figures count that were read or follow from what was read. */
void sl_norms_of (const SlProfile *baseline, const SlShop *shop, SlNorms *out);

/* How far a value lies from the normal: 0 inside the middle half, else the distance from its nearer edge; from the
 * median where the baseline is one instrument. NAN where either is unknown. */
double sl_norm_distance (const SlNorm *norm, double value);

/* A baseline of the model of @profiles[0]: kind baseline, a new id, nobody's name, construction, strings, player and
 * targets of the first; with several profiles the median of every dimension and target those that give it have. Each
 * profile's last readings become one visit. Profiles with another number of strings, frets or joint fret than the first
 * are another model and are left out; @taken (may be NULL) gets how many stand in it. A baseline among the profiles
 * brings all its visits, so that one can be added to. Photographs are of one instrument, and stay with it. Free with
 * sl_profile_free(). */
SlProfile *sl_baseline_new (const SlProfile *const *profiles, int n_profiles, int *taken);

/* A new instrument of the model of @baseline: construction, strings, player and targets, @baseline named as its
 * baseline; no visits, nobody's yet. From an instrument the same, with its baseline. */
SlProfile *sl_instrument_from_baseline (const SlProfile *baseline);
