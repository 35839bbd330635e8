/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Documents of several pages, in points, for PDF and for a printer. */
#pragma once

#include "draw/base/picture.h"

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
  void (*size) (gconstpointer data, int page, double *width_pt, double *height_pt);
  void (*draw) (gconstpointer data, cairo_t *cr, int page); /* its top left at the origin, a unit a point */
  gconstpointer data;
  const char *title;
  const char *date;   /* of the document, ISO 8601; never the clock's; NULL: none can be told */
  gboolean full_size; /* print at 100 %: viewers are asked not to scale it */
} SlPages;

/* All pages as a PDF with title, date and language; the same pages give the same bytes. NULL with @error
 * (SL_PICTURE_ERROR) if cairo fails. */
GBytes *sl_pages_pdf (const SlPages *pages, GError **error);

/* One page as SVG or PNG (@scale pixels a point, on white). */
GBytes *sl_pages_picture (const SlPages *pages, int page, SlFormat format, double scale, GError **error);
