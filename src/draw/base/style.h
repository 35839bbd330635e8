/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inks, line widths and text of the pictures. Widths and sizes are in the surface's units. */
#pragma once

#include <cairo.h>
#include <glib.h>
#include <pango/pango.h>

/* What a colour is for. The first ones are text inks: each has a contrast of at least 4.5:1 (WCAG 2.2, 1.4.3) against
 * paper and body, with high contrast 7:1 (1.4.6). */
typedef enum
{
  SL_INK_TEXT,
  SL_INK_QUIET,   /* second lines, ± */
  SL_INK_PLANNED, /* strings and values as planned */
  SL_INK_CUT,     /* what comes off */
  SL_N_TEXT_INKS,
  SL_INK_GHOST = SL_N_TEXT_INKS, /* as measured */
  SL_INK_TRACE,                  /* as read before; at least 3:1 against paper and body (WCAG 2.2, 1.4.11) */
  SL_INK_THIN,                   /* dimension, extension and leader lines */
  SL_INK_OUTLINE,
  SL_INK_PAPER,
  SL_INK_PANEL_EDGE,
  SL_INK_NECK, /* and head */
  SL_INK_BOARD,
  SL_INK_BRIDGE,
  SL_INK_BODY,
  SL_INK_BODY_EDGE,
  SL_INK_BONE,
  SL_INK_METAL,
  SL_INK_ON_NECK, /* fret numbers */
  SL_INK_ON_WOOD, /* text and lines within a bridge */
  SL_INK_ON_BONE, /* text and lines within a nut */
  SL_INK_SWING,   /* the band a swinging string fills; translucent */
  SL_N_INKS
} SlInk;

typedef struct
{
  double r, g, b, a;
} SlColour;

typedef enum
{
  SL_LOOK_LIGHT,
  SL_LOOK_DARK,
  SL_LOOK_CONTRAST_LIGHT, /* high contrast */
  SL_LOOK_CONTRAST_DARK,
  SL_N_LOOKS
} SlLook;

/* The colours, indexed by SlInk. */
const SlColour *sl_palette (SlLook look);

void sl_set_ink (cairo_t *cr, const SlColour *palette, SlInk ink);

/* Fills or strokes the current path; or fills it, then strokes it. */
void sl_fill (cairo_t *cr, const SlColour *palette, SlInk ink);
void sl_stroke (cairo_t *cr, const SlColour *palette, SlInk ink, double width);
void sl_fill_and_stroke (cairo_t *cr, const SlColour *palette, SlInk fill, SlInk ink, double width);

/* Adds a circle to the path. */
void sl_circle (cairo_t *cr, double x, double y, double radius);

/* Line widths in the proportion 1:2:4 of ISO 128-2: thin for dimensions, leaders, hatching and what was before; thick
 * for outlines; the third for the string that is spoken of. */
#define SL_LINE_THIN 0.7
#define SL_LINE_THICK (2 * SL_LINE_THIN)
#define SL_LINE_STRING (4 * SL_LINE_THIN)

/* Text at text scale 1, in the steps ui/style.css has. */
#define SL_TEXT_SIZE 11.0
#define SL_TEXT_SIZE_SMALL (0.9 * SL_TEXT_SIZE)
#define SL_TEXT_SIZE_TITLE (1.2 * SL_TEXT_SIZE)

/* Distances, in the steps ui/style.css has. */
#define SL_SPACE_CLOSE 3 /* between lines of one text */
#define SL_SPACE 6       /* between things in a line */
#define SL_SPACE_WIDE 12 /* between lines, and round what is in a frame */
#define SL_SPACE_PART 18 /* between parts */
#define SL_SPACE_PAGE 24 /* round a page */

/* A line of text, shaped once and kept; borrowed, valid until the next call. Size in units, to hundredths. */
typedef struct
{
  PangoLayout *layout;
  double width, height, baseline;
} SlText;

/* What lines and paragraphs are shaped with, and their font at a size in units (free with
 * pango_font_description_free()). The context is borrowed. */
PangoContext *sl_text_context (void);
PangoFontDescription *sl_text_font (double size, gboolean bold);

SlText sl_text (const char *text, double size, gboolean bold);

/* Shows it with its top left at (x, y). */
void sl_text_show (cairo_t *cr, const SlText *text, double x, double y);
