/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The templates' parts; private to their files. Geometry is drawn in millimetres of the paper, corrected; text beside
 * it in points. */
#pragma once

#include "words/explain.h"
#include "setup/physics/nut.h"
#include "draw/paper/flow.h"

typedef enum
{
  SL_TEMPLATE_NUT,
  SL_TEMPLATE_SADDLE,
  SL_TEMPLATE_RULE
} SlTemplateKind;

typedef struct
{
  SlProfile *profile; /* owned, as are the options' texts, the title and the analysis */
  SlTemplateOptions options;
  SlTextStyle style;
  SlAnalysis *analysis;
  char *title;
  char *left_out;             /* for the pages; NULL: nothing */
  gboolean nut, saddle, rule; /* is wanted and can be drawn */
  SlPages pages;
} SlTemplate;

/* One page being drawn. */
typedef struct
{
  const SlTemplate *template;
  const SlInstrument *instrument;
  const SlState *state;    /* as planned */
  cairo_t *cr;             /* in points, uncorrected */
  double width, height;    /* mm, of the page as it lies */
  double scale_x, scale_y; /* points a millimetre, corrected */
  /* How what is drawn at full size is laid out: stretched from the page's middle, a left-handed instrument the other
   * way round (below 0); and further down, by a slope more for each mm to the right. */
  double stretch, down, slope;
} SlTemplateSheet;

#define SL_TEMPLATE_HAIR_MM 0.1
#define SL_TEMPLATE_LINE_MM 0.25
#define SL_TEMPLATE_TEXT_MM 3.0
#define SL_TEMPLATE_SMALL_MM 2.4

typedef enum
{
  SL_STROKE_HAIR,
  SL_STROKE_LINE,
  SL_STROKE_DASH, /* as it is now */
  SL_STROKE_CHAIN /* reference lines, first pass */
} SlStroke;

/* Where a place of a drawing laid out square and right-handed comes to lie on the page. */
SlPoint sl_template_point (const SlTemplateSheet *sheet, double x, double y);

void sl_template_line (const SlTemplateSheet *sheet, SlStroke stroke, double x0, double y0, double x1, double y1);

/* A text with (x, y) at the middle of its left edge, its middle, or its right edge (@align 0, 0.5, 1); turned a quarter
 * anticlockwise with @turned. */
void sl_template_text (const SlTemplateSheet *sheet, const char *text, double size_mm, gboolean bold, SlInk ink,
                       double x, double y, double align, gboolean turned);

/* A flow over what of the page is below @y mm. */
SlFlow sl_template_flow (const SlTemplateSheet *sheet, double y);

#define SL_TEMPLATE_FOOT_MM 24.0 /* what the calibration bars take */

/* A length of the table: hundredths of a millimetre. Free with g_free(). */
char *sl_template_length (const SlTemplateSheet *sheet, double mm);

void sl_template_draw_nut (SlTemplateSheet *sheet);
void sl_template_draw_saddle (SlTemplateSheet *sheet);
