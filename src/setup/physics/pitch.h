/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How sharp a fretted note sounds against the open string (model 9), after Anderson & Beausoleil, J. Acoust. Soc.
 * Am. 156, 683 (2024), Byers, American Lutherie 47 (1996), Varieschi & Gower (2010): length, mass, tension and
 * stiffness terms. */
#pragma once

#include "setup/fit/state.h"

/* Geometry in mm: nut and crest heights over the frame, crest place, crown place and height; @fret_space_mm limits the
 * finger distance. */
typedef struct
{
  double nut_x; /* 0 unless the nut's front edge is moved; negative away from the bridge */
  double nut_z, crest_x, crest_z, fret_x, fret_z, fret_space_mm;
  double finger_mm;
  double kappa;    /* EA/T */
  double epsilon0; /* sqrt(EI/T)/L0 */
  int fret;
  gboolean both_ends;
} SlPitchCase;

/* S(ε): 1 + ε + (1 + π²/2) ε² one end clamped, 1 + 2ε + 4(1 + π²/8) ε² both: first mode of a stiff string over the
 * ideal string's. */
double sl_stiff_factor (double epsilon, gboolean both_ends);

/* Cents for fret @n of string @string (from 1) in its state; @u (may be NULL) their standard uncertainty. */
double sl_pitch_error (const SlStringState *s, int n, double *u);

/* The case that fret @n of string @string is, and its cents: to move nut or crest and see, the string's constants
 * staying as they are. */
void sl_pitch_case (const SlStringState *s, int n, SlPitchCase *c);
double sl_pitch_cents (const SlPitchCase *c);

/* The setback at which the 12th fret sounds true: root of cents_12 = 0; NAN where none lies within ±40 mm of the scale
 * length. */
double sl_setback_needed (const SlStringState *s);

/* Standard uncertainty of the needed setback found, mm. */
double sl_setback_needed_u (const SlStringState *s, double setback);
