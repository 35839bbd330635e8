/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet's parts; private to its files. Each part adds itself to the flow, or nothing where it is empty.
 */
#pragma once

#include "draw/paper/documents.h"
#include "words/explain.h"
#include "draw/paper/table.h"

/* How much is made of the room: the first that gets everything onto two pages is taken. */
typedef struct
{
  double scale;   /* of everything on the page */
  int most_lines; /* of a text somebody wrote; 0: any number */
  int most_rows;  /* of a table as long as somebody likes; 0: any number */
} SlTightness;

typedef struct
{
  SlProfile *profile; /* owned, as are the title and the options' texts */
  SlHandoverOptions options;
  char *title;
  SlAnalysis *picture; /* owned: room for the state being drawn */
  SlOutcome outcome;
  SlSpeech speech;
  SlPages pages;
  SlTightness tight;
} SlHandover;

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
