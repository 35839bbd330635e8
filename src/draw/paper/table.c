/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/table.h"

#define CELL_SIZE 8.5
#define HEAD_SIZE 8.0
#define CELL_GAP 6.0 /* between columns */
#define ROW_PAD 2.0  /* above and below a row's text */
#define SPAN_LINE 0.6
#define KEEP_SHARE 0.3 /* of a page: our own choice */

void
sl_table_init (SlTable *table)
{
  *table = (SlTable){ .rows = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev) };
}

void
sl_table_clear (SlTable *table)
{
  g_clear_pointer (&table->rows, g_ptr_array_unref);
}

void
sl_table_column (SlTable *table, const char *head, double share, SlAlign align, gboolean bold, SlInk ink)
{
  g_return_if_fail (table->n_columns < SL_MAX_COLUMNS);
  table->columns[table->n_columns++] = (SlColumn){ head, share, align, bold, ink };
}

void
sl_table_span (SlTable *table, const char *text, int first, int n)
{
  g_return_if_fail (table->n_spans < SL_MAX_COLUMNS);
  table->spans[table->n_spans++] = (SlSpan){ text, first, n };
}

void
sl_table_row (SlTable *table, char **cells)
{
  g_ptr_array_add (table->rows, cells);
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

static SlType
head_type (const SlTable *table, int column)
{
  return (SlType){ .size = HEAD_SIZE, .ink = SL_INK_QUIET, .align = table->columns[column].align };
}

static SlType
cell_type (const SlTable *table, int column)
{
  return (SlType){ .size = CELL_SIZE,
                   .bold = table->columns[column].bold,
                   .ink = table->columns[column].ink,
                   .align = table->columns[column].align,
                   .most_lines = table->most_lines };
}

static gboolean
has_heads (const SlTable *table)
{
  for (int i = 0; i < table->n_columns; i++)
    if (table->columns[i].head != NULL)
      return TRUE;
  return FALSE;
}

static double
heads_height (const SlTable *table, double width)
{
  double height = 0;

  for (int i = 0; i < table->n_columns; i++)
    {
      SlType type = head_type (table, i);

      if (table->columns[i].head != NULL)
        height = MAX (height, sl_flow_measure (table->columns[i].head, &type, cell_width (table, i, width)));
    }
  return height;
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
  const SlType type = { .size = HEAD_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_CENTRE };
  double height = 0;

  for (int i = 0; i < table->n_spans; i++)
    height = MAX (height, sl_flow_measure (table->spans[i].text, &type, span_width (table, &table->spans[i], width)));
  return height;
}

static double
row_height (const SlTable *table, char **cells, double width)
{
  double height = 0;

  for (int i = 0; i < table->n_columns && cells[i] != NULL; i++)
    {
      SlType type = cell_type (table, i);

      height = MAX (height, sl_flow_measure (cells[i], &type, cell_width (table, i, width)));
    }
  return height + 2 * ROW_PAD;
}

static double
least_height (const SlTable *table, double width)
{
  double rows = table->rows->len > 0 ? row_height (table, g_ptr_array_index (table->rows, 0), width) : 0;

  return spans_height (table, width) + heads_height (table, width) + 4 * ROW_PAD + rows;
}

static void
put_spans (SlFlow *flow, const SlTable *table)
{
  const SlType type = { .size = HEAD_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_CENTRE };
  double height = spans_height (table, flow->width);

  for (int i = 0; i < table->n_spans; i++)
    {
      const SlSpan *span = &table->spans[i];
      double x = flow->left + column_x (table, span->first, flow->width), width = span_width (table, span, flow->width);

      sl_flow_put (flow, span->text, &type, x, flow->y, width);
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
  if (!has_heads (table))
    return;
  for (int i = 0; i < table->n_columns; i++)
    {
      SlType type = head_type (table, i);

      if (table->columns[i].head != NULL)
        sl_flow_put (flow, table->columns[i].head, &type, flow->left + column_x (table, i, flow->width), flow->y,
                     cell_width (table, i, flow->width));
    }
  flow->y += heads_height (table, flow->width) + ROW_PAD;
  sl_flow_rule (flow, SL_INK_QUIET);
}

static void
put_row (SlFlow *flow, const SlTable *table, char **cells, double height)
{
  for (int i = 0; i < table->n_columns && cells[i] != NULL; i++)
    {
      SlType type = cell_type (table, i);

      flow->n_cut += sl_flow_is_cut (cells[i], &type, cell_width (table, i, flow->width));
      sl_flow_put (flow, cells[i], &type, flow->left + column_x (table, i, flow->width), flow->y + ROW_PAD,
                   cell_width (table, i, flow->width));
    }
  flow->y += height;
  sl_flow_rule (flow, SL_INK_PANEL_EDGE);
}

/* A table that is short against a page is not torn apart. */
double
sl_table_keep_height (const SlFlow *flow, const SlTable *table)
{
  const double most = KEEP_SHARE * (flow->bottom - flow->top);
  double height = spans_height (table, flow->width) + heads_height (table, flow->width) + 4 * ROW_PAD;

  for (guint i = 0; i < table->rows->len && height < most; i++)
    height += row_height (table, g_ptr_array_index (table->rows, i), flow->width);
  return height < most ? height : least_height (table, flow->width);
}

void
sl_flow_table (SlFlow *flow, const SlTable *table)
{
  sl_flow_need (flow, sl_table_keep_height (flow, table));
  put_heads (flow, table);
  for (guint i = 0; i < table->rows->len && !sl_flow_is_over (flow); i++)
    {
      char **cells = g_ptr_array_index (table->rows, i);
      double height = row_height (table, cells, flow->width);
      int page = flow->page;

      sl_flow_need (flow, height);
      if (flow->page != page)
        put_heads (flow, table);
      put_row (flow, table, cells, height);
    }
}
