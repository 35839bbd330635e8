/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How often figures and proposals are worked out, counted where the linker leads the calls past here (--wrap, ld(1)).
 * For one file of a test. */
#pragma once

#include "setup/work/propose.h"

static int n_analyses, n_proposals;

void __real_sl_analyse (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                        SlAnalysis *out);
void __wrap_sl_analyse (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                        SlAnalysis *out);
void __real_sl_propose (const SlAnalysis *analysis, SlProposal *out);
void __wrap_sl_propose (const SlAnalysis *analysis, SlProposal *out);

void
__wrap_sl_analyse (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                   SlAnalysis *out)
{
  n_analyses++;
  __real_sl_analyse (profile, visit, set, shop, out);
}

void
__wrap_sl_propose (const SlAnalysis *analysis, SlProposal *out)
{
  n_proposals++;
  __real_sl_propose (analysis, out);
}
