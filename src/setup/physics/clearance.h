/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How far a plucked string swings and what it leaves over each crown (model 8). Ideal string released from a
 * triangle: d'Alembert; the largest travel on the side it was plucked to follows the triangle, on the other side the
 * triangle turned end for end. */
#pragma once

#include "setup/fit/state.h"

/* Height of the triangle a pluck of force @force_n, share @upright of it upright, at @pluck_mm from the crest makes in
 * a string sounding over @length_mm at tension @tension_n: H = k P p (ℓ − p)/(T ℓ); p is at most half the length. */
double sl_pluck_height (double force_n, double upright, double pluck_mm, double length_mm, double tension_n);

/* Travel toward the board at @u_mm from the held end. */
double sl_swing (const SlInstrument *instrument, double length_mm, double tension_n, double u_mm);

typedef struct
{
  double gap, swing, margin;
  double gap_u, swing_u, margin_u; /* standard uncertainties; the swing's is the hand's alone */
} SlClearance;

/* For the string held at @held (0…frets−1), over fret @n > held. */
void sl_clearance (const SlStringState *s, double tension_n, int held, int n, SlClearance *out);

/* The fret beyond @held over which the margin is least, and what is left there; 0 where there is none. */
int sl_closest_fret (const SlStringState *s, double tension_n, int held, SlClearance *out);

/* The least margin over all held frets and frets beyond; its place in @held, @fret. */
double sl_least_margin (const SlStringState *s, double tension_n, int *held, int *fret);

/* The 12th-fret gap at which the least margin is 0; the pair that decides in @held, @fret. */
double sl_lowest_clean_action (const SlStringState *s, double tension_n, int *held, int *fret);

/* The mean relief (0…0.6 mm, neither side below 0) that maximises the least margin of all strings with the 12th-fret
 * actions held at target; @u its standard uncertainty, the hand's included (may be NULL). */
double sl_best_relief (const SlInstrument *instrument, const SlState *state, double *u);

/* The pluck force at which string @s held at @held just touches fret @n: a buzz heard there gives this player's force.
 * NAN where the gap is not positive. */
double sl_force_from_buzz (const SlStringState *s, double tension_n, int held, int n);

/* How hard three kinds of hand pluck, N: our own choice. A pick's displacement of about 2 mm takes 2–4 N sideways near
 * the bridge (Zollner & Zwicker, Physics of the Electric Guitar, 1.5); a light hand stays well below that, and the
 * format's own default is the medium one. */
#define SL_HAND_LIGHT_N 0.8
#define SL_HAND_MEDIUM_N 1.6
#define SL_HAND_HEAVY_N 3.0
