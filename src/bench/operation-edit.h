/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Changes of the plan that the cards make: amounts, and what is ticked off as done. No GTK here. */
#pragma once

#include "bench/bench.h"
#include "words/kinds.h"

/* One of the two amounts of the operation of @kind (and @string) not yet done; with every amount 0 the operation leaves
 * the plan. Levelling is there or not whatever its fall-away: see sl_edit_level(). */
void sl_edit_amount (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double mm);
void sl_edit_level (SlBench *bench, gboolean level);

/* Takes all of a kind that is not done out of the plan. */
void sl_edit_clear (SlBench *bench, SlOperationKind kind);

/* Ticks off all of a kind that is not done, now; takes back what was ticked off last, adding it to what is planned
 * since. */
void sl_edit_set_done (SlBench *bench, SlOperationKind kind, gboolean done);

/* Ticks off the first pass of the base cut and leaves the rest of it planned. */
void sl_edit_first_pass_done (SlBench *bench, double bass_mm, double treble_mm);

/* The moment of the last of a kind that was ticked off, or NULL. */
const char *sl_last_done (const GArray *plan, SlOperationKind kind);
