/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the two files of the table of figures share: what is in its cells (figure-table.c), and where they stand and how
 * the cursor goes from one to the next (figure-table-place.c). */
#pragma once

#include "desk/kit/figure-table.h"

typedef struct
{
  SlColumn is;
  char *spoken;                 /* owned; its title as assistive technology says it */
  gboolean hidden, spare, seen; /* for good; where it finds no room; as placed last */
  int least;                    /* what its cells ask for */
  gsize longest;                /* figure a snug one was measured with, in bytes: a sign, which is wide, has most */
  int offset;                   /* among the columns that scroll */
  int x, width;                 /* as allocated; a negative x is out of sight */
} SlFigureColumn;

typedef struct
{
  GtkWidget *box, **cells; /* borrowed; NULL where there is nothing in a cell yet */
  GtkWidget *beneath;      /* NULL where there never was anything beneath */
  char *sentence;
} SlFigureRow;

struct _SlFigureTable
{
  GtkBox parent_instance;

  GArray *columns; /* of SlFigureColumn */
  GArray *after;   /* of SlColumn: those behind the frets */
  SlFigureRow *head;
  GPtrArray *rows;                 /* of SlFigureRow */
  GtkAdjustment *at;               /* of the bar, which owns it */
  GtkWidget *bar;                  /* beneath the rows; seen where not all columns fit */
  int fixed, least, full, natural; /* widths: of the fixed columns, of all but the spare ones, of all */
  int widest;                      /* of those that scroll */
  int cursor_row, cursor_column;   /* -1: nowhere */
  PangoAttrList *small;            /* how the figures of snug columns look where not all columns fit */
  gboolean is_small;               /* they look so */
  gboolean has_controls, wraps;    /* any controls; words in any column */
  SlCellSentence sentence;
  gpointer owner;
  guint name_id;
};

SlFigureColumn *sl_figure_column (SlFigureTable *self, guint c);
SlFigureRow *sl_figure_row (SlFigureTable *self, guint r); /* past the last one the headings */

/* Whether the words of a column wrap. */
gboolean sl_figure_wraps (SlFigureTable *self, guint c);

/* NULL for a control, and where there is nothing. */
const char *sl_figure_text (const SlFigureRow *row, guint c);

/* Has the table lay out its children, with its bar, and keys and clicks that move the cursor. */
void sl_figure_place (SlFigureTable *self);

/* A row without cells, before the bar. */
SlFigureRow *sl_figure_row_new (SlFigureTable *self);

/* Brings a column into sight. */
void sl_figure_scroll_to (SlFigureTable *self, guint c);

/* To the first cell that way, beginning with the given one, in which something stands; nowhere where there is none. */
void sl_figure_seek (SlFigureTable *self, int r, int c, int by_row, int by_column, gboolean focus);

/* The cell that @widget is or lies in; anywhere else in a row counts as its first. */
gboolean sl_figure_find (SlFigureTable *self, GtkWidget *widget, guint *row, guint *column);
