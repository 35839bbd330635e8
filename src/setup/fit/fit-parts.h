/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the parts of the fit share: the rows of the least squares, those of readings (least-squares.c) and those that
 * stand for what was not read (fit-assumed.c). */
#pragma once

#include "setup/fit/fit.h"

typedef struct
{
  double a[SL_MAX_UNKNOWNS]; /* row · u */
  double y;                  /* = y */
  double u;                  /* ± u */
} SlFitRow;

typedef struct
{
  const SlInstrument *instrument;
  const SlReadingSet *set;
  SlFit *fit;
  const SlFit *carried; /* what an earlier set of the visit left, or NULL */
  GArray *rows;         /* of SlFitRow: the first fit->n_readings belong to readings (unused ones have u = INFINITY) */
  int columns[SL_MAX_UNKNOWNS]; /* unknowns that are really unknown */
  int n_columns;
  double *a, *b, *residual; /* work space for the least squares */
} SlFitting;

SlFitRow *sl_fit_add_row (SlFitting *f, double y, double u);

/* Whether a reading stands behind the state at the moment. */
gboolean sl_fit_stands (const SlFitting *f, guint i);

/* Rows behind those of the readings: what an earlier set left, else what is missing is assumed (model 3.1). */
void sl_fit_add_assumed (SlFitting *f);

/* Weak rows of what is likely, only while looking for readings that disagree (model 3.2). */
void sl_fit_add_plausible (SlFitting *f);
