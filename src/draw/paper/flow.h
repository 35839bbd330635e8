/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text and blocks that run down pages. The whole document is laid out for every page asked for; only what falls on that
 * page is drawn. Lengths are points. */
#pragma once

#include "draw/paper/documents.h"

typedef struct
{
  cairo_t *cr;                     /* borrowed; NULL while only counting pages */
  int wanted;                      /* the page to draw */
  int page;                        /* the page being filled, from 0 */
  int most_pages;                  /* while only counting, no more than one page beyond these is filled */
  double left, top, width, bottom; /* of what may be filled */
  double y;                        /* next free place */
  int most_lines;                  /* of a sentence in a list; 0: any number */
  int n_cut;                       /* texts ended with "…" because of a limit on their lines, and tables cut short */
  const SlColour *palette;
} SlFlow;

/* Whether what comes next is to be drawn. */
gboolean sl_flow_draws (const SlFlow *flow);

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
  int most_lines;   /* what is longer ends in "…", and its line breaks are spaces; 0: any number */
  gboolean counted; /* among the flow's cut texts, where it was too long */
} SlType;

/* A text in a column: how high it is, and drawing it with its top left at (x, y). Text is never wider than @width: it
 * is broken, in the last resort within a word. */
double sl_flow_measure (const char *text, const SlType *type, double width);
double sl_flow_natural_width (const char *text, const SlType *type);
double sl_flow_put (SlFlow *flow, const char *text, const SlType *type, double x, double y, double width);

/* A paragraph over the whole width, with @indent on its left, line by line over page ends. */
void sl_flow_paragraph (SlFlow *flow, const char *text, const SlType *type, double indent);

/* A heading that keeps @follow points of what follows it on its page. */
void sl_flow_heading (SlFlow *flow, const char *text, double follow);

/* Sentences, each behind a small mark. */
void sl_flow_list (SlFlow *flow, const GPtrArray *texts, const SlType *unlimited);

/* A thin line over the whole width. */
void sl_flow_rule (SlFlow *flow, SlInk ink);

/* A thin frame round what comes next. */
void sl_flow_frame (SlFlow *flow, SlInk ink, double x, double width, double height);

/* Tables that run down pages; their heads are repeated where a page is turned. */

#define SL_MAX_COLUMNS 9

typedef struct
{
  const char *head; /* NULL: none */
  double share;     /* of the table's width */
  SlAlign align;
  gboolean bold;
  SlInk ink;
} SlColumn;

/* A head over several columns. */
typedef struct
{
  const char *text;
  int first, n;
} SlSpan;

typedef struct
{
  SlColumn columns[SL_MAX_COLUMNS];
  int n_columns;
  SlSpan spans[SL_MAX_COLUMNS];
  int n_spans;
  int most_lines;   /* of a cell; 0: any number */
  GPtrArray *cells; /* of char *, row by row; owned */
} SlTable;

void sl_table_clear (SlTable *table);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlTable, sl_table_clear)
void sl_table_column (SlTable *table, const char *head, double share, SlAlign align, gboolean bold, SlInk ink);

/* The next cells, ended by NULL. Takes them. */
void sl_table_cells (SlTable *table, char *first, ...) G_GNUC_NULL_TERMINATED;

/* Below a heading (NULL: none). A table of no rows is left out. */
void sl_flow_table (SlFlow *flow, const char *heading, const SlTable *table);
