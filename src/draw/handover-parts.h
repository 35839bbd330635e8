/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet's parts; private to its files. Each part adds itself to the flow, or nothing where it has nothing to say. */
#pragma once

#include "handover.h"
#include "setup/explain.h"
#include "table.h"

struct _SlHandover
{
  /* owned */
  SlProfile *profile;
  char *shop_name, *shop_address, *title, *decimal;
  SlAnalysis *picture; /* before and after in one */
  GArray *work;        /* of SlOperation, borrowing the profile's text: what the picture hatches */

  SlHandoverOptions options;
  SlOutcome outcome;
  SlSpeech speech;
  SlPages pages;
};

#define SL_HANDOVER_TEXT 9.5

/* handover-figures.c: what was measured */
void sl_handover_figures (const SlHandover *handover, SlFlow *flow);
void sl_handover_readings (const SlHandover *handover, SlFlow *flow);

/* handover-words.c: everything else */
void sl_handover_work (const SlHandover *handover, SlFlow *flow);
void sl_handover_checks (const SlHandover *handover, SlFlow *flow);
void sl_handover_strings (const SlHandover *handover, SlFlow *flow);
void sl_handover_care (const SlHandover *handover, SlFlow *flow);
void sl_handover_charges (const SlHandover *handover, SlFlow *flow);
void sl_handover_cautions (const SlHandover *handover, SlFlow *flow);
