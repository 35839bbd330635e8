/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A second plucked string of which everything is known, made in another way: the equation of a stiff string with losses
 *   u_tt = c² u_xx − κ² u_xxxx − 2 σ_0 u_t + 2 σ_1 u_txx − σ_0² u
 * stepped through time by an explicit finite-difference scheme, its ends simply supported (S. Bilbao, Numerical Sound
 * Synthesis, Wiley 2009, section 7.2, from memory; differences along the string of
 * sixth order). What the grid does to its frequencies is known: a sine over the
 * grid is a mode of the scheme, and its frequency follows from a quadratic, to rounding. The last term, a bed of
 * weak springs, raises the pitch by as much as damping lowers it: f_k of made-partials.h has no damping in it. */
#pragma once

#include "made-partials.h"

/* A fresh sound of @n samples. Asked for are f1, b, t60, t60_high, pluck, pickup, start and peak of @string; its f1 and
 * b are then set to what the scheme's own modes have: b such that the first @n_partials lie on f_k of
 * made-partials.h; @off is by how much the worst of them doesn't, cents. */
double *made_string_stepped (gsize n, double rate, MadeString *string, int n_partials, double *off);
