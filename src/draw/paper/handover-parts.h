/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet; private to its files. */
#pragma once

#include "words/explain.h"
#include "draw/paper/flow.h"

/* How much is made of the room: the first that gets everything onto two pages is taken. */
typedef struct
{
  double scale;   /* of everything on the page */
  int most_lines; /* of a text somebody wrote; 0: any number */
  int most_rows;  /* of a table as long as somebody likes; 0: any number */
  guint columns;  /* of photographs */
  double share;   /* height of one over what a page holds */
} SlTightness;

typedef struct
{
  SlProfile *profile; /* owned, as are the title and the options' texts */
  SlHandoverOptions options;
  char *title;
  SlOutcome outcome;
  SlSpeech speech;
  GPtrArray *care; /* sl_explain_care(): the pages are filled again and again until they fit */
  SlPages pages;
  SlTightness tight;
  int photo_page; /* where photographs have pages of their own, the first of them; 0: they stand among the text */
} SlHandover;

#define SL_HANDOVER_TEXT 9.5

/* Everything between picture and foot. */
void sl_handover_parts (const SlHandover *handover, SlFlow *flow);

/* The photographs on the sheet that can be shown, in its order; borrowed. */
GPtrArray *sl_handover_photos (const SlHandover *handover);

/* All of them under a heading, among the text or on pages of their own. */
void sl_handover_put_photos (const SlHandover *handover, SlFlow *flow);
