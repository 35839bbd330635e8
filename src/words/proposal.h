/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A proposed plan in words: why each step is proposed, what stands in the way, and why a step has its place in the
 * order of work. All translated. */
#pragma once

#include "setup/work/propose.h"
#include "words/figures.h"

/* Why a step is proposed, with what keeps it from being done yet: "action at 12 3.24 mm, target 2.30 mm: …". Free with
 * g_free(). */
char *sl_step_reason (const SlAnalysis *analysis, const SlStep *step, const SlTextStyle *style);

/* The same without what keeps it from being done. */
char *sl_step_cause (const SlAnalysis *analysis, const SlStep *step, const SlTextStyle *style);

/* What stands in the way, and what would meet it: "can't be met, because …; … would". Free with g_free(). */
char *sl_finding_text (const SlAnalysis *analysis, const SlFinding *finding, const SlTextStyle *style);

/* How many findings of a proposal, from its @first on, are the same want of string after string; and all @n of them in
 * one sentence. Free with g_free(). */
guint sl_findings_alike (const SlProposal *proposal, guint first);
char *sl_findings_text (const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint n,
                        const SlTextStyle *style);

/* That nothing is to be done, as good news: every figure that was read is in range; NULL where that is not so. */
const char *sl_nothing_to_do_text (const SlAnalysis *analysis, const SlProposal *proposal);

/* Why nothing of an operation is to be done yet, and what opens it; NULL where nothing prevents it. */
const char *sl_pass_text (const SlAnalysis *analysis, const SlOperation *operation, const SlPass *pass);

/* Why nothing is to be taken off yet; NULL where nothing prevents it. */
const char *sl_block_text (SlBlock block);

/* The name of a gate, of a bench step, translated: "rod", "re-crown the frets". */
const char *sl_gate_title (SlGate gate);
const char *sl_bench_step_title (SlBenchStep step);

/* Why a step can't be moved there; NULL where it can. */
const char *sl_objection_text (SlObjection objection);
