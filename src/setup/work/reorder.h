/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The order of work: what may be done before what, and why not. Common practice, and what of it the model itself shows:
 * a step that moves the readings of another comes first. */
#pragma once

#include "setup/profile/profile.h"

/* Why the operation at @from of a plan can't stand at @to (counted with it taken out), NULL where it can. What is done
 * was done in its order: it neither moves nor is anything put before it. */
const char *sl_plan_move_objection (const GArray *plan, guint from, guint to);

/* Moves it there; returns the objection instead where there is one, and moves nothing. */
const char *sl_plan_move (GArray *plan, guint from, guint to);
