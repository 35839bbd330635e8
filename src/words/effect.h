/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the plan still takes off, and what one operation of it does: the state before it and after it, and that in
 * words, so that a card can say what its slider moves. */
#pragma once

#include "setup/work/propose.h"
#include "words/figures.h"
#include "words/kinds.h"

/* How much of a kind is planned and how much done. */
typedef struct
{
  int n_pending, n_done;
} SlOpCount;
SlOpCount sl_count_operations (const GArray *plan, SlOperationKind kind);

/* Sum of the amounts of one kind still to be done for @string (0 for kinds that name none); of those that have a bass
 * and a treble amount, what lies between them there: of base cuts what comes off below it, along the saddle. Operations
 * marked as done are left out, read again or not: the planned state has their effect, and they must not be done twice.
 */
double sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string);

/* What of the base cut still to be done is safe to take before reading again, below @string: between what its bass and
 * its treble end give. */
double sl_planned_first_pass (const SlAnalysis *analysis, int string);

/* The states just before and just after the operations of @kind, the others of @plan applied in their order; operations
 * that the readings already show change nothing. With none of the kind both are the state in which it would be done:
 * after the operations of earlier kinds. @plan may be NULL. */
void sl_effect_states (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, SlState *before,
                       SlState *after);

/* What it does, told at @string (0: the last): "action −0.46 before the saddle is touched". */
char *sl_effect_text (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, int string,
                      const SlTextStyle *style);

/* What is planned of a kind: "tighten, relief −0.19", "string 6 −0.09", "0.88 / 0.68 off", "none". */
char *sl_operation_summary (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind,
                            const SlTextStyle *style);

/* What the strings to be fitted are called: their name, else that of their set, else their gauges. */
char *sl_fitted_name (const SlOperation *operation);

/* One operation as a line: "0.80 / 0.60 off", "string 6 −0.09", "treble end up 0.50 mm, 0.63 turns; the bass end
 * stays". */
char *sl_operation_amount (const SlInstrument *instrument, const SlOperation *operation, const SlTextStyle *style);

/* What stands in place of a first pass of 0 at one end of a @cut, mm; NULL where something comes off. Borrowed. */
const char *sl_no_pass_text (double pass, double cut);

/* What is to be said when the work of @kind in @plan, whose @passes these are, is ticked off as a whole now: work that
 * comes before it is still to be done, or the rest of a cut was to wait until its first pass is read. NULL: nothing.
 * Free with g_free(). */
char *sl_tick_text (const GArray *plan, const SlPass *passes, SlOperationKind kind);
