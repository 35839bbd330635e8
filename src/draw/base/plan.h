/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a plan still takes off, for the pictures. Operations that the readings already show are left out, as they are in the planned state.
 */
#pragma once

#include "setup/physics/figures.h"

/* Sum of the amounts of one kind for @string (0 for kinds that name none). */
double sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string);

/* The base cut below @string, along the saddle, between its bass and treble amount. */
double sl_planned_base_cut (const SlAnalysis *analysis, int string);

/* What of @cut below @string is safe to take before reading again. */
double sl_planned_first_pass (const SlAnalysis *analysis, int string, double cut);
