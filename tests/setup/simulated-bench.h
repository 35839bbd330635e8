/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three ways to set up the same simulated instrument (docs/simulation.md). Whoever works sees readings only. */
#pragma once

#include "simulated-instrument.h"

/* Follows the program: reads, does what the plan has first, no more of a cut than its first pass, keeps to its gates,
 * reads again, until the plan has nothing more that it allows. */
void sim_by_plan (guint32 seed, SimResult *out);

/* A careful technician, who lets the instrument settle, sets the rod first and reads again, cuts slots to their
 * targets and reads again, then takes off the saddle twice what is left and reads again. */
void sim_by_care (guint32 seed, SimResult *out);

/* The same with the nut last: saddle first, then slots. */
void sim_by_care_nut_last (guint32 seed, SimResult *out);

/* Slots to their targets, twice what the action is too high off the saddle in one cut, the rod last. */
void sim_by_rule (guint32 seed, SimResult *out);
