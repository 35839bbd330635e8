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
  int most_lines;  /* of a cell; 0: any number */
  GPtrArray *rows; /* of char **, each a cell a column and a NULL; owned */
} SlTable;

void sl_table_init (SlTable *table);
void sl_table_clear (SlTable *table);
void sl_table_column (SlTable *table, const char *head, double share, SlAlign align, gboolean bold, SlInk ink);
void sl_table_span (SlTable *table, const char *text, int first, int n);

/* Takes the cells. */
void sl_table_row (SlTable *table, char **cells);

/* What a heading before it keeps on its page: a short table whole, of a longer one the heads and a row. */
double sl_table_keep_height (const SlFlow *flow, const SlTable *table);

void sl_flow_table (SlFlow *flow, const SlTable *table);
