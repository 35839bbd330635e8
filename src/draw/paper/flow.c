/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/flow.h"

#include <pango/pangocairo.h>

#define HEADING_SIZE 11.5
#define HEADING_BEFORE 12.0
#define HEADING_AFTER 3.0
#define LIST_INDENT 11.0
#define LIST_GAP 2.5
#define KEEP_LINES 8 /* text sizes: a shorter sentence is not torn apart */
#define MARK_RADIUS 1.4
#define RULE_WIDTH 0.6

/* Whether there are more pages than there may be: what comes next need not be laid out. */
static gboolean
is_over (const SlFlow *flow)
{
  return flow->cr == NULL && flow->page >= flow->most_pages;
}

gboolean
sl_flow_draws (const SlFlow *flow)
{
  return flow->cr != NULL && flow->page == flow->wanted;
}

void
sl_flow_need (SlFlow *flow, double height)
{
  if (flow->y + height <= flow->bottom || flow->y <= flow->top)
    return;
  flow->page++;
  flow->y = flow->top;
}

void
sl_flow_skip (SlFlow *flow, double height)
{
  if (flow->y > flow->top)
    flow->y += height;
}

static PangoLayout *
shape (const char *text, const SlType *type, double width)
{
  PangoLayout *layout = pango_layout_new (sl_text_context ());
  g_autoptr (PangoFontDescription) font = sl_text_font (type->size, type->bold);
  g_autofree char *shown = g_strdup (text != NULL ? text : "");

  if (type->most_lines > 0) /* Pango counts the lines of each paragraph by itself */
    g_strdelimit (shown, "\r\n", ' ');
  pango_layout_set_font_description (layout, font);
  pango_layout_set_text (layout, shown, -1);
  pango_layout_set_width (layout, (int) floor (width * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  if (type->most_lines > 0)
    {
      pango_layout_set_height (layout, -type->most_lines);
      pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
    }
  /* left and right are of the page: Pango's are of the text's direction */
  gboolean rtl = pango_layout_get_direction (layout, 0) == PANGO_DIRECTION_RTL;

  if (type->align == SL_ALIGN_CENTRE)
    pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  else if (type->align != SL_ALIGN_START && (type->align == SL_ALIGN_RIGHT) != rtl)
    pango_layout_set_alignment (layout, PANGO_ALIGN_RIGHT);
  return layout;
}

static double
height_of (PangoLayout *layout)
{
  PangoRectangle logical;

  pango_layout_get_extents (layout, NULL, &logical);
  return (double) logical.height / PANGO_SCALE;
}

double
sl_flow_measure (const char *text, const SlType *type, double width)
{
  g_autoptr (PangoLayout) layout = shape (text, type, width);

  return height_of (layout);
}

double
sl_flow_natural_width (const char *text, const SlType *type)
{
  g_autoptr (PangoLayout) layout = shape (text, type, 1e5);
  PangoRectangle logical;

  pango_layout_set_width (layout, -1);
  pango_layout_get_extents (layout, NULL, &logical);
  return (double) logical.width / PANGO_SCALE;
}

double
sl_flow_put (SlFlow *flow, const char *text, const SlType *type, double x, double y, double width)
{
  g_autoptr (PangoLayout) layout = shape (text, type, width);

  flow->n_cut += type->counted && pango_layout_is_ellipsized (layout);
  if (sl_flow_draws (flow))
    {
      sl_set_ink (flow->cr, flow->palette, type->ink);
      cairo_move_to (flow->cr, x, y);
      pango_cairo_show_layout (flow->cr, layout);
    }
  return height_of (layout);
}

static void
put_lines (SlFlow *flow, PangoLayout *layout, SlInk ink, double indent)
{
  PangoLayoutIter *iter = pango_layout_get_iter (layout);

  do
    {
      PangoRectangle line;

      pango_layout_iter_get_line_extents (iter, NULL, &line);
      double height = (double) line.height / PANGO_SCALE,
             ascent = (double) (pango_layout_iter_get_baseline (iter) - line.y) / PANGO_SCALE;

      sl_flow_need (flow, height);
      if (sl_flow_draws (flow))
        {
          sl_set_ink (flow->cr, flow->palette, ink);
          cairo_move_to (flow->cr, flow->left + indent + (double) line.x / PANGO_SCALE, flow->y + ascent);
          pango_cairo_show_layout_line (flow->cr, pango_layout_iter_get_line_readonly (iter));
        }
      flow->y += height;
    }
  while (!is_over (flow) && pango_layout_iter_next_line (iter));
  pango_layout_iter_free (iter);
}

void
sl_flow_paragraph (SlFlow *flow, const char *text, const SlType *type, double indent)
{
  g_autoptr (PangoLayout) layout = shape (text, type, flow->width - indent);

  put_lines (flow, layout, type->ink, indent);
}

void
sl_flow_heading (SlFlow *flow, const char *text, double follow)
{
  const SlType type = { .size = HEADING_SIZE, .bold = TRUE, .ink = SL_INK_PLANNED };
  double height = sl_flow_measure (text, &type, flow->width);

  sl_flow_need (flow, HEADING_BEFORE + height + HEADING_AFTER + follow);
  sl_flow_skip (flow, HEADING_BEFORE);
  sl_flow_put (flow, text, &type, flow->left, flow->y, flow->width);
  flow->y += height + HEADING_AFTER;
}

void
sl_flow_list (SlFlow *flow, const GPtrArray *texts, const SlType *unlimited)
{
  SlType limited = *unlimited;
  const SlType *type = &limited;

  limited.most_lines = flow->most_lines;
  for (guint i = 0; i < texts->len && !is_over (flow); i++)
    {
      const char *text = g_ptr_array_index (texts, i);
      g_autoptr (PangoLayout) layout = shape (text, type, flow->width - LIST_INDENT);
      gboolean rtl = pango_layout_get_direction (layout, 0) == PANGO_DIRECTION_RTL;

      flow->n_cut += pango_layout_is_ellipsized (layout);
      sl_flow_need (flow, MIN (height_of (layout), KEEP_LINES * type->size));
      if (sl_flow_draws (flow))
        {
          cairo_new_path (flow->cr);
          sl_circle (flow->cr, rtl ? flow->left + flow->width - MARK_RADIUS : flow->left + MARK_RADIUS + 1,
                     flow->y + 0.7 * type->size, MARK_RADIUS);
          sl_fill (flow->cr, flow->palette, SL_INK_PLANNED);
        }
      put_lines (flow, layout, type->ink, rtl ? 0 : LIST_INDENT);
      flow->y += LIST_GAP;
    }
}

void
sl_flow_rule (SlFlow *flow, SlInk ink)
{
  if (!sl_flow_draws (flow))
    return;
  cairo_new_path (flow->cr);
  cairo_move_to (flow->cr, flow->left, flow->y);
  cairo_line_to (flow->cr, flow->left + flow->width, flow->y);
  sl_stroke (flow->cr, flow->palette, ink, RULE_WIDTH);
}

void
sl_flow_frame (SlFlow *flow, SlInk ink, double x, double width, double height)
{
  if (!sl_flow_draws (flow))
    return;
  cairo_new_path (flow->cr);
  cairo_rectangle (flow->cr, x, flow->y, width, height);
  sl_stroke (flow->cr, flow->palette, ink, SL_LINE_THIN);
}

/* ---- tables ---- */

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
  for (int row = 0; row < n_rows (table) && !is_over (flow); row++)
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
