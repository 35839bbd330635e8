/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/table.h"

#define HEADS -1 /* in place of a row */
#define CELL_SIZE 8.5
#define HEAD_SIZE 8.0
#define CELL_GAP 6.0 /* between columns */
#define ROW_PAD 2.0  /* above and below a row's text */
#define SPAN_LINE 0.6
#define KEEP_SHARE 0.3 /* of a page: our own choice */

static const SlType span_type = { .size = HEAD_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_CENTRE };

void
sl_table_clear (SlTable *table)
{
  g_clear_pointer (&table->cells, g_ptr_array_unref);
}

void
sl_table_column (SlTable *table, const char *head, double share, SlAlign align, gboolean bold, SlInk ink)
{
  g_return_if_fail (table->n_columns < SL_MAX_COLUMNS);
  table->columns[table->n_columns++] = (SlColumn){ head, share, align, bold, ink };
}

void
sl_table_cells (SlTable *table, char *first, ...)
{
  va_list more;

  if (table->cells == NULL)
    table->cells = g_ptr_array_new_with_free_func (g_free);
  va_start (more, first);
  for (char *text = first; text != NULL; text = va_arg (more, char *))
    g_ptr_array_add (table->cells, text);
  va_end (more);
}

static int
n_rows (const SlTable *table)
{
  return table->cells != NULL ? ((int) table->cells->len + table->n_columns - 1) / table->n_columns : 0;
}

/* NULL where there is none. */
static const char *
cell (const SlTable *table, int row, int column)
{
  guint i = (guint) (row * table->n_columns + column);

  if (row == HEADS)
    return table->columns[column].head;
  return i < table->cells->len ? g_ptr_array_index (table->cells, i) : NULL;
}

static double
column_x (const SlTable *table, int column, double width)
{
  double x = 0;

  for (int i = 0; i < column; i++)
    x += table->columns[i].share * width;
  return x;
}

/* Cells stand apart; the outermost ones reach the edges. */
static double
cell_width (const SlTable *table, int column, double width)
{
  return table->columns[column].share * width - (column + 1 < table->n_columns ? CELL_GAP : 0);
}

/* A row's texts, or the heads, with their top at @y. Returns the height of the highest. */
static double
put_texts (SlFlow *flow, const SlTable *table, int row, double y)
{
  double height = 0;

  for (int i = 0; i < table->n_columns; i++)
    {
      const SlColumn *column = &table->columns[i];
      const SlType head = { .size = HEAD_SIZE, .ink = SL_INK_QUIET, .align = column->align },
                   body = { CELL_SIZE, column->bold, column->ink, column->align, table->most_lines, TRUE },
                   *type = row == HEADS ? &head : &body;
      const char *text = cell (table, row, i);
      double width = cell_width (table, i, flow->width);

      if (text == NULL)
        continue;
      double own = sl_flow_put (flow, text, type, flow->left + column_x (table, i, flow->width), y, width);

      height = MAX (height, own);
    }
  return height;
}

static double
measure (const SlFlow *flow, const SlTable *table, int row)
{
  SlFlow trial = *flow;

  trial.cr = NULL;
  return put_texts (&trial, table, row, 0);
}

static double
span_width (const SlTable *table, const SlSpan *span, double width)
{
  int end = span->first + span->n;

  return column_x (table, end, width) - column_x (table, span->first, width) - (end < table->n_columns ? CELL_GAP : 0);
}

static double
spans_height (const SlTable *table, double width)
{
  double height = 0;

  for (int i = 0; i < table->n_spans; i++)
    height =
        MAX (height, sl_flow_measure (table->spans[i].text, &span_type, span_width (table, &table->spans[i], width)));
  return height;
}

static void
put_spans (SlFlow *flow, const SlTable *table)
{
  double height = spans_height (table, flow->width);

  for (int i = 0; i < table->n_spans; i++)
    {
      const SlSpan *span = &table->spans[i];
      double x = flow->left + column_x (table, span->first, flow->width), width = span_width (table, span, flow->width);

      sl_flow_put (flow, span->text, &span_type, x, flow->y, width);
      if (!sl_flow_draws (flow))
        continue;
      cairo_new_path (flow->cr);
      cairo_move_to (flow->cr, x, flow->y + height + 1);
      cairo_line_to (flow->cr, x + width, flow->y + height + 1);
      sl_stroke (flow->cr, flow->palette, SL_INK_PANEL_EDGE, SPAN_LINE);
    }
  if (table->n_spans > 0)
    flow->y += height + ROW_PAD;
}

static void
put_heads (SlFlow *flow, const SlTable *table)
{
  put_spans (flow, table);
  double height = put_texts (flow, table, HEADS, flow->y);

  if (height == 0)
    return;
  flow->y += height + ROW_PAD;
  sl_flow_rule (flow, SL_INK_QUIET);
}

static double
row_height (const SlFlow *flow, const SlTable *table, int row)
{
  return measure (flow, table, row) + 2 * ROW_PAD;
}

/* What stays on one page: a table that is short against it whole, of a longer one the heads and a row. */
static double
keep_height (const SlFlow *flow, const SlTable *table)
{
  const double most = KEEP_SHARE * (flow->bottom - flow->top),
               heads = spans_height (table, flow->width) + measure (flow, table, HEADS) + 4 * ROW_PAD;
  double height = heads;

  for (int row = 0; row < n_rows (table) && height < most; row++)
    height += row_height (flow, table, row);
  return height < most ? height : heads + row_height (flow, table, 0);
}

void
sl_flow_table (SlFlow *flow, const char *heading, const SlTable *table)
{
  if (heading != NULL)
    sl_flow_heading (flow, heading, keep_height (flow, table));
  if (n_rows (table) == 0)
    return;
  sl_flow_need (flow, keep_height (flow, table));
  put_heads (flow, table);
  for (int row = 0; row < n_rows (table) && !sl_flow_is_over (flow); row++)
    {
      double height = row_height (flow, table, row);
      int page = flow->page;

      sl_flow_need (flow, height);
      if (flow->page != page)
        put_heads (flow, table);
      put_texts (flow, table, row, flow->y + ROW_PAD);
      flow->y += height;
      sl_flow_rule (flow, SL_INK_PANEL_EDGE);
    }
}
