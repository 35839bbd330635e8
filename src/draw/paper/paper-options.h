/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Options of the hand-over sheet and of templates. */
#pragma once

#include "draw/paper/page.h"
#include "setup/profile/shop.h"
#include "setup/wood/climate.h"

/* nothing is drawn nearer to the paper's edge: a printer's own margin must not be wider */
#define SL_TEMPLATE_MARGIN_MM 10.0
#define SL_CORRECTION_LEAST 0.9
#define SL_CORRECTION_MOST 1.1

/* Of templates. */
typedef struct
{
  SlPaper paper;
  gboolean nut, saddle, rule;        /* what is wanted */
  gboolean half_tiles;               /* the rule in two strips a page */
  double correction_x, correction_y; /* 100 mm by the length the printed bar really has: across the paper's short side,
                                        along its long side */
  SlLengths lengths;                 /* how figures are written; the drawing is 1:1 */
  const char *decimal;
  SlShop shop;
} SlTemplateOptions;

/* Everything, on A4, uncorrected, for the default shop. */
void sl_template_options_init (SlTemplateOptions *options);

/* Of a hand-over sheet. */
typedef struct
{
  SlPaper paper;
  const char *shop_name, *shop_address; /* NULL or empty: left out */
  gboolean show_charges;
  SlLengths lengths;
  const char *decimal;
  SlShop shop;
  SlKeeping keeping;     /* the band for keeping an instrument; all 0: the default */
  GHashTable *rewritten; /* SlSentence.id → text in place of the generated one, empty: the sentence is left out; NULL:
                            none is. The sheet keeps a reference */
} SlHandoverOptions;

/* A4, millimetres, the default shop. */
void sl_handover_options_init (SlHandoverOptions *options);

/* The sheets themselves: handover.h, template.h. */
typedef struct _SlHandover SlHandover;
typedef struct _SlTemplate SlTemplate;
