/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Changes to a visit, each a step of a bench's history: stages, checks, charges, its note, its end. No widgets here. */
#pragma once

#include "bench/shop-lists.h"

const char *sl_stage_title (SlStage stage); /* translated */

/* A new visit, today; the one before is closed where it was still open. */
void sl_visit_begin (SlBench *bench);

/* Sets or clears the day the visit was closed: today, or that on which it was opened, where that is still to come. */
void sl_visit_set_closed (SlBench *bench, gboolean closed);

/* A clock that was ahead, or a shop further east, opens a visit on a day that is still to come here: the day that would
 * be right, of its first readings or today ("2026-03-02"). NULL: the visit's is. Free with g_free(). */
char *sl_visit_right_day (SlBench *bench);

/* Sets the day the visit was opened ("2026-03-02"), which is not after today or its end; else nothing changes, and what
 * would be right is returned in a sentence, to be freed with g_free(). */
char *sl_visit_set_opened (SlBench *bench, const char *day);
void sl_visit_set_note (SlBench *bench, const char *note);

/* Moves an operation of the plan (setup/reorder.h); returns why not, in a sentence, where it can't be: then nothing
 * moves. */
const char *sl_visit_move_operation (SlBench *bench, guint from, guint to);

/* Checks. The usual list is put into a visit that has none; adding more, naming, and taking away makes it the shop's
 * own. */
void sl_visit_start_checks (SlBench *bench);
gboolean sl_visit_add_check (SlBench *bench, const char *name); /* FALSE: refused, there are too many */
void sl_visit_set_check_state (SlBench *bench, guint index, SlCheckState state);
void sl_visit_set_check_note (SlBench *bench, guint index, const char *note);

/* Charges. */
void sl_visit_add_charge (SlBench *bench, const SlUsualCharge *usual); /* NULL: one to be filled in */
void sl_visit_set_charge_what (SlBench *bench, guint index, const char *what);
void sl_visit_set_charge_number (SlBench *bench, guint index, gboolean amount,
                                 double value); /* or minutes; NAN: none */

void sl_visit_remove_nth (SlBench *bench, gboolean charge, guint index); /* or check */
