/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What plucked notes say of a string: how stiff it is against bending, by the inharmonicity of its partials, and
 * against stretching, by its pitch at the frets; and of the frets, where a note dies early (model 15.3, 15.4). */
#pragma once

#include "setup/fit/state.h"

/* ---- bending ---- */

typedef struct
{
  double ei_nm2, ei_u;          /* EI, N m², and its standard uncertainty */
  double by_core_nm2;           /* what core and modulus make of it */
  double modulus_pa, modulus_u; /* EI over the core's second moment */
  gboolean judged, agrees;      /* plain metal, which has its material's modulus; and within U it has */
} SlHeardBending;

/* EI = B T L²/π² of the open string (Fletcher, J. Acoust. Soc. Am. 36, 203 (1964)), for hinged ends as for clamped
 * ones. @b: B with its standard uncertainty @b_u; @frequency_hz: f_1 as it sounded, NAN as it is tuned. FALSE where B
 * is not known, or no more than its U. */
gboolean sl_heard_bending (const SlStringState *s, double b, double b_u, double frequency_hz, SlHeardBending *out);

/* ---- stretching ---- */

typedef enum
{
  SL_STRETCH_TOLD,
  SL_STRETCH_TOO_FEW,  /* frets read */
  SL_STRETCH_NOT_TOLD, /* by them: U is more than 30 %, or EA beyond what a document takes */
} SlStretchWord;

typedef struct
{
  SlStretchWord word;
  int n_frets;
  double ea_n, ea_u;                      /* NAN with too few; else what there is to say, told or not */
  double kappa, kappa_u;                  /* EA/T */
  double setback, setback_u, correlation; /* found together with EA, mm, and how they err together */
} SlHeardStretch;

/* EA from the pitch readings of @set at the frets of string @s, by least squares over the model's cents (model 9), with
 * setback, heights, EI and the finger's distance known as well as they are: they move as far as the readings have them
 * move, within their own uncertainties. @bending: EI as it was heard; NULL: as the instrument has it, 10 %. */
void sl_heard_stretch (const SlStringState *s, const SlReadingSet *set, const SlHeardBending *bending,
                       SlHeardStretch *out);

/* ---- a note that dies early ---- */

typedef struct
{
  int fret;                /* the one whose note dies earliest against its neighbours' */
  double t60, neighbours;  /* its decay, and the median of theirs, s */
  int closest;             /* fret beyond it that the string held there comes closest to; 0: there is none */
  double margin, margin_u; /* what is left there, mm */
} SlEarlyFret;

/* Points at a fret of string @s whose note dies in less than half of the median of its neighbours' within three frets,
 * by more than U; there must be two of them, the open string not among them. @t60: of the loudest partial of each
 * fret's note, from [1] on, s; 0 or NAN where none was heard. FALSE where there is none. */
gboolean sl_find_early_fret (const SlStringState *s, const double *t60, SlEarlyFret *out);
