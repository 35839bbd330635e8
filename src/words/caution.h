/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Cautions: dust, strings under tension, the rod, what is regulated in trade, solvents, electrics (common
 * practice). Shown where a step calls for it. */
#pragma once

#include "setup/work/propose.h"

typedef enum
{
  SL_CAUTION_ROD,
  SL_CAUTION_DUST,
  SL_CAUTION_EYES,
  SL_CAUTION_REGULATED,
  SL_CAUTION_FINISHES,
  SL_CAUTION_ELECTRICS,
  SL_CAUTION_JUDGEMENT, /* a figure is advice: where material is to come off that does not go back on */
  SL_N_CAUTIONS
} SlCaution;

/* Those of a set of bits, 1 << SlCaution, in sentences apart by @separator, translated; free with g_free(). */
char *sl_cautions_text (guint cautions, const char *separator);

/* The bits for what an operation on this instrument calls for. Screws are turned, not filed. */
guint sl_operation_cautions (const SlInstrument *instrument, SlOperationKind kind);

/* The same for what is still to be done in a visit: its operations that are not done, what stands in their way
 * (@findings of SlFinding, may be NULL), and the checks that want attention. */
guint sl_visit_cautions (const SlInstrument *instrument, const SlVisit *visit, const GArray *findings);
