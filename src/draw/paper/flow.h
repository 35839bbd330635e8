/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text and blocks that run down pages. The whole document is laid out for every page asked for; only what falls on that
 * page is drawn. Lengths are points. */
#pragma once

#include "draw/paper/page.h"
#include "draw/base/style.h"

typedef struct
{
  cairo_t *cr;                     /* borrowed; NULL while only counting pages */
  int wanted;                      /* the page to draw */
  int page;                        /* the page being filled, from 0 */
  int most_pages;                  /* while only counting, no more than one page beyond these is filled */
  double left, top, width, bottom; /* of what may be filled */
  double y;                        /* next free place */
  int most_lines;                  /* of a sentence in a list; 0: any number */
  int n_cut;                       /* texts that had to be ended with "…" because of a limit on their lines */
  const SlColour *palette;
} SlFlow;

/* Whether what comes next is to be drawn. */
gboolean sl_flow_draws (const SlFlow *flow);

/* Whether there are more pages than there may be: what comes next need not be laid out. */
gboolean sl_flow_is_over (const SlFlow *flow);

/* Turns the page where fewer than @height points are left on it (and it isn't empty). */
void sl_flow_need (SlFlow *flow, double height);
void sl_flow_skip (SlFlow *flow, double height);

typedef enum
{
  SL_ALIGN_START, /* of the text's own direction */
  SL_ALIGN_LEFT,
  SL_ALIGN_CENTRE,
  SL_ALIGN_RIGHT
} SlAlign;

typedef struct
{
  double size;
  gboolean bold;
  SlInk ink;
  SlAlign align;
  int most_lines; /* what is longer ends in "…", and its line breaks are spaces; 0: any number */
} SlType;

/* A text in a column: how high it is, and drawing it with its top left at (x, y). Text is never wider than @width: it
 * is broken, in the last resort within a word. */
double sl_flow_measure (const char *text, const SlType *type, double width);
double sl_flow_natural_width (const char *text, const SlType *type);
gboolean sl_flow_is_cut (const char *text, const SlType *type, double width);
double sl_flow_put (SlFlow *flow, const char *text, const SlType *type, double x, double y, double width);

/* A paragraph over the whole width, with @indent on its left, line by line over page ends. */
void sl_flow_paragraph (SlFlow *flow, const char *text, const SlType *type, double indent);

/* A heading that keeps @follow points of what follows it on its page. */
void sl_flow_heading (SlFlow *flow, const char *text, double follow);

/* Sentences, each behind a small mark. */
void sl_flow_list (SlFlow *flow, const GPtrArray *texts, const SlType *unlimited);

/* A thin line over the whole width. */
void sl_flow_rule (SlFlow *flow, SlInk ink);
