/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tension, stress, break angles and the forces they make (model 7). */
#pragma once

#include "setup/fit/state.h"

#define SL_STRESS_WARNING 0.65 /* of the minimum tensile strength: our own choice */

/* T = μ (2 L f)², N, L the straight distance nut to crest in mm (Mersenne). */
double sl_tension (const SlStringData *string, double length_mm);
double sl_open_length (const SlStringState *s); /* straight distance nut to crest, mm */

/* The string's angles to the board, rad: behind the saddle atan((exposure + drop)/a), before it atan(Δz/x_s); the break
 * over the saddle is the two together. FALSE where the string has no anchor. */
gboolean sl_saddle_angles (const SlStringState *s, double *behind, double *before);

/* What a string of tension T does at the saddle with these angles a and f, N (statics): down, what presses on the top,
 * T (sin a + sin f); the resultant of both, 2 T sin((a + f)/2); and the push along the string toward the nut,
 * T (cos f − cos a). down² + push² = resultant². */
typedef struct
{
  double down, resultant, push;
} SlSaddleForces;
SlSaddleForces sl_saddle_forces (double tension_n, double behind_rad, double before_rad);

/* Rear direction of the string at the nut: along the board (negative), across, up. FALSE where it has no post. */
gboolean sl_rear_vector (const SlInstrument *instrument, int string, double rear[3]);

/* Break angle over the nut, rad: the angle between the front and the reversed rear vector. NAN where the string has no
 * post. */
double sl_nut_break (const SlStringState *s);

/* The resultant of a string's two pulls over a break, 2 T sin(break/2), N: what the nut bears. */
double sl_resultant_force (double tension_n, double break_rad);

/* The arms over and under the edge that a tremolo turns on: of its strings, from there to where they lie on their
 * saddles, and of its springs, to where they hook in below. Common practice, from memory. */
#define SL_TREMOLO_STRING_ARM_MM 10.0
#define SL_TREMOLO_SPRING_ARM_MM 40.0

/* What a tremolo's springs pull with in all, N, where they hold strings of @tension_n in all (statics: force times arm
 * is the same on both sides of the edge). */
double sl_spring_force (double tension_n);

/* How far, in cents, a string can stick at the nut: 600 μ β/ln 2 (capstan). */
double sl_stick_cents (double friction, double break_rad);
