/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a plan still takes off, for the pictures and templates. Operations marked as done are left out, read again or
 * not: the planned state has their effect, and they must not be done twice.
 */
#pragma once

#include "setup/physics/figures.h"

/* Sum of the amounts of one kind for @string (0 for kinds that name none); of base cuts, what comes off below it, along
 * the saddle between bass and treble amount. */
double sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string);

/* What of @cut below @string is safe to take before reading again. */
double sl_planned_first_pass (const SlAnalysis *analysis, int string, double cut);
