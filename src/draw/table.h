/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables that run down pages; their heads are repeated where a page is turned. */
#pragma once

#include "flow.h"

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
  GPtrArray *rows; /* of char **, each a cell a column and a NULL; owned */
} SlTable;

void sl_table_init (SlTable *table);
void sl_table_clear (SlTable *table);
void sl_table_column (SlTable *table, const char *head, double share, SlAlign align, gboolean bold, SlInk ink);
void sl_table_span (SlTable *table, const char *text, int first, int n);

/* Takes the cells. */
void sl_table_row (SlTable *table, char **cells);

/* Height of the heads and one row: what a heading before it keeps together. */
double sl_table_least_height (const SlTable *table, double width);

void sl_flow_table (SlFlow *flow, const SlTable *table);
