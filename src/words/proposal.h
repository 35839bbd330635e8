/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A proposed plan in words: why each step is proposed, what stands in the way, and why a step has its place in the
 * order of work. All translated. */
#pragma once

#include "setup/work/work.h"
#include "words/figures.h"

/* Why a step is proposed, with what blocks its first pass: "action at 12 3.24 mm, target 2.30 mm: …". Free with
 * g_free(). */
char *sl_step_reason (const SlInstrument *instrument, const SlStep *step, const SlTextStyle *style);

/* What stands in the way, and what would meet it: "can't be met, because …; … would". Free with g_free(). */
char *sl_finding_text (const SlFinding *finding, const SlTextStyle *style);

/* Why nothing is to be taken off yet; NULL where nothing prevents it. */
const char *sl_block_text (SlBlock block);

/* Why a step can't be moved there; NULL where it can. */
const char *sl_objection_text (SlObjection objection);
