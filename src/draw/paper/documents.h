/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Documents of several pages, in points, for PDF and for a printer: the hand-over sheet and the templates. */
#pragma once

#include "draw/base/picture.h"
#include "setup/wood/climate.h"

#define SL_POINT_MM (SL_MM_PER_INCH / 72)

typedef enum
{
  SL_PAPER_A4,     /* ISO 216: 210 × 297 mm */
  SL_PAPER_LETTER, /* ASME Y14.1: 8.5 × 11 in */
  SL_N_PAPERS
} SlPaper;

/* "a4", "letter"; ends with NULL. */
extern const char *const sl_paper_names[];

/* Upright, in millimetres. */
void sl_paper_size (SlPaper paper, double *width_mm, double *height_mm);

typedef struct
{
  int n_pages;
  SlPaper paper;
  int n_upright; /* of the pages, the first ones; the others lie on their long side */
  void (*draw) (gconstpointer data, cairo_t *cr, int page); /* its top left at the origin, a unit a point */
  gpointer data;
  GDestroyNotify free; /* of the data, the pages themselves among them */
  const char *title;
  const char *date;     /* of the document, ISO 8601; never the clock's; NULL: none can be told */
  const char *left_out; /* what was wanted and can't be drawn, and why, as a sentence; NULL: nothing */
  gboolean full_size;   /* print at 100 %: viewers are asked not to scale it */
} SlPages;

/* In points. */
void sl_pages_size (const SlPages *pages, int page, double *width, double *height);

void sl_pages_free (SlPages *pages);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlPages, sl_pages_free)

/* All pages as a PDF with title, date and language; the same pages give the same bytes. NULL with @error
 * (SL_PICTURE_ERROR) if cairo fails. */
GBytes *sl_pages_pdf (const SlPages *pages, GError **error);

/* One page as SVG or PNG (@scale pixels a point, on white). */
GBytes *sl_pages_picture (const SlPages *pages, int page, SlFormat format, double scale, GError **error);

/* ---- the hand-over sheet ---- */

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
  GHashTable *pictures; /* SlPhoto.id → image surface (cairo_surface_t *) of those that can be shown; NULL: none is. The
                           sheet keeps a reference, as it does of: */
  GHashTable *measured; /* SlPhoto.id → what was measured in it, in words, a line each */
} SlHandoverOptions;

/* A4, millimetres, the default shop. */
void sl_handover_options_init (SlHandoverOptions *options);

/* What the last visit did to an instrument, for the person who takes it home. Where it has no final readings the sheet
 * speaks of what is planned, and says so. Copies what it needs. */
SlPages *sl_handover_new (const SlProfile *profile, const SlHandoverOptions *options);

/* ---- templates ---- */

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

/* Nut, saddle and a rule of the frets at 1:1, to be printed at 100 % and glued or traced; every page carries a bar of
 * 100 mm and one of 4 in to measure, and takes a factor for a printer that is off. Of the instrument as the plan of
 * the last visit leaves it. Copies what it needs. NULL with @error (SL_PICTURE_ERROR_SIZE) where nothing of what is
 * wanted can be drawn. */
SlPages *sl_template_new (const SlProfile *profile, const SlTemplateOptions *options, GError **error);
