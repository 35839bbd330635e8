/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Full-size templates: nut, saddle and a rule of the frets at 1:1, to be printed at 100 % and glued or traced. Every
 * page carries a bar of 100 mm and one of 4 in to measure, and takes a factor for a printer that is off. */
#pragma once

#include "draw/paper/page.h"
#include "setup/profile/shop.h"

/* nothing is drawn nearer to the paper's edge: a printer's own margin must not be wider */
#define SL_TEMPLATE_MARGIN_MM 10.0
#define SL_CORRECTION_LEAST 0.9
#define SL_CORRECTION_MOST 1.1

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

typedef struct _SlTemplate SlTemplate;

/* Of the instrument as the plan of @visit (one of @profile's; NULL: the last) leaves it. Copies what it needs. NULL
 * with @error (SL_PICTURE_ERROR_SIZE) where nothing of what is wanted can be drawn. Free with sl_template_free(). */
SlTemplate *sl_template_new (const SlProfile *profile, const SlVisit *visit, const SlTemplateOptions *options,
                             GError **error);
void sl_template_free (SlTemplate *template);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlTemplate, sl_template_free)

/* What of it is wanted and can't be drawn, and why, as a sentence; NULL: nothing. */
const char *sl_template_left_out (const SlTemplate *template);

const SlPages *sl_template_pages (const SlTemplate *template);
