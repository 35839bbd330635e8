/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tension, stress, break angles and the forces they make (model 7). */
#pragma once

#include "setup/fit/state.h"

#define SL_STRESS_WARNING 0.65 /* of the minimum tensile strength: our own choice */

/* T = μ (2 L f)², N, L the straight distance nut to crest in mm (Mersenne). */
double sl_tension (const SlStringData *string, double length_mm);
double sl_open_length (const SlStringState *s); /* straight distance nut to crest, mm */

/* Break angle over the saddle, rad: atan((exposure + drop)/a) + atan(Δz/x_s). NAN where the string has no anchor. */
double sl_saddle_break (const SlStringState *s);

/* Rear direction of the string at the nut: along the board (negative), across, up. FALSE where it has no post. */
gboolean sl_rear_vector (const SlInstrument *instrument, int string, double rear[3]);

/* Break angle over the nut, rad: the angle between the front and the reversed rear vector. NAN where the string has no
 * post. */
double sl_nut_break (const SlStringState *s);

/* 2 T sin(break/2), N. */
double sl_down_force (double tension_n, double break_rad);

/* How far, in cents, a string can stick at the nut: 600 μ β/ln 2 (capstan). */
double sl_stick_cents (double friction, double break_rad);
