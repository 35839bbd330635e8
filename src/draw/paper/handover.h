/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet: what a visit did to an instrument, for the person who takes it home. Where a visit has no final
 * readings it speaks of what is planned, and says so. */
#pragma once

#include "draw/paper/page.h"
#include "setup/wood/climate.h"
#include "setup/profile/shop.h"

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

typedef struct _SlHandover SlHandover;

/* Of @visit, one of @profile's (NULL: the last). Copies what it needs. Free with sl_handover_free(). */
SlHandover *sl_handover_new (const SlProfile *profile, const SlVisit *visit, const SlHandoverOptions *options);
void sl_handover_free (SlHandover *handover);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlHandover, sl_handover_free)

/* Its pages, to be written with page.h or drawn by a printer; theirs while @handover lives. */
const SlPages *sl_handover_pages (const SlHandover *handover);
