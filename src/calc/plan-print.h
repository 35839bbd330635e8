/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A proposed plan as text, a kind of work a step, and as rows for other programs (sidelong-calc(1)). */
#pragma once

#include "setup/work/propose.h"
#include "words/figures.h"

/* Append it: the text in the user's language; the rows under their header, one a string, fret or end, findings between
 * them in the order they are to be dealt with. */
void sl_plan_text (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, const SlTextStyle *style);
void sl_plan_csv (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, const SlTextStyle *style);
