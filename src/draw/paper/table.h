/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables that run down pages; their heads are repeated where a page is turned. */
#pragma once

#include "draw/paper/flow.h"

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
