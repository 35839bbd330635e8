/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the strings lie across the board and what that makes of nut and saddle: slot centres, slot floors, the break
 * over the nut in its parts (model 7), the saddle's top in one frame, its radius, and the board line (model 10.2).
 * Across the board y is 0 in the middle and positive toward the treble side. */
#pragma once

#include "setup/physics/figures.h"

/* Where string @string lies at @x on its straight way from slot to bridge. */
double sl_across (const SlInstrument *instrument, const SlState *state, int string, double x);

/* One slot as a file wants it. */
typedef struct
{
  double centre;       /* mm from the board's middle */
  double width;        /* string and allowance */
  double floor;        /* height of the floor over the board at the nut's front edge */
  double string_angle; /* rad: how far the string falls behind the nut against the board's line (its own front rise left
                          out) */
  double floor_angle;  /* rad: how far the floor should fall back: less than the string, so that the string leaves the
                          front edge */
  gboolean has_angle;  /* the string's post is known */
} SlSlot;
void sl_slot (const SlInstrument *instrument, const SlState *state, int string, SlSlot *out);

/* The break over the nut split into what lies in the upright plane and what lies across, rad. FALSE where the string
 * has no post. */
gboolean sl_nut_break_parts (const SlStringState *s, double *upright, double *across);

/* The board's arc a(x, y) = sqrt(r(x)² − y²) − r(x), r linear from the nut's to the last fret's radius; 0 on a flat
 * board; x along string @string. */
double sl_board_arc (const SlInstrument *instrument, int string, double x, double y);

/* Crest heights of all strings over the centre line's plane, and their places across: the saddle's top to draw or cut.
 */
void sl_saddle_top (const SlInstrument *instrument, const SlState *state, double y[SL_MAX_STRINGS],
                    double height[SL_MAX_STRINGS]);

/* Radius of the circle fitted to points by least squares of their distances along height (positive: arched). INFINITY
 * where they lie straight; NAN with fewer than three points. @residual (may be NULL) gets the root mean square left. */
double sl_fit_radius (const double *y, const double *height, int n, double *residual);
