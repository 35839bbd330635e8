/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/flow.h"

#include <math.h>
#include <pango/pangocairo.h>

#define HEADING_SIZE 11.5
#define HEADING_BEFORE 12.0
#define HEADING_AFTER 3.0
#define LIST_INDENT 11.0
#define LIST_GAP 2.5
#define KEEP_LINES 8 /* text sizes: a shorter sentence is not torn apart */
#define MARK_RADIUS 1.4
#define RULE_WIDTH 0.6

gboolean
sl_flow_is_over (const SlFlow *flow)
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
  PangoFontDescription *font = sl_text_font (type->size, type->bold);
  g_autofree char *shown = g_strdup (text != NULL ? text : "");

  if (type->most_lines > 0) /* Pango counts the lines of each paragraph by itself */
    g_strdelimit (shown, "\r\n", ' ');
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
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

gboolean
sl_flow_is_cut (const char *text, const SlType *type, double width)
{
  g_autoptr (PangoLayout) layout = shape (text, type, width);

  return pango_layout_is_ellipsized (layout);
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
  while (!sl_flow_is_over (flow) && pango_layout_iter_next_line (iter));
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
  for (guint i = 0; i < texts->len && !sl_flow_is_over (flow); i++)
    {
      const char *text = g_ptr_array_index (texts, i);
      g_autoptr (PangoLayout) layout = shape (text, type, flow->width - LIST_INDENT);
      gboolean rtl = pango_layout_get_direction (layout, 0) == PANGO_DIRECTION_RTL;

      flow->n_cut += pango_layout_is_ellipsized (layout);
      sl_flow_need (flow, MIN (height_of (layout), KEEP_LINES * type->size));
      if (sl_flow_draws (flow))
        {
          cairo_new_path (flow->cr);
          cairo_arc (flow->cr, rtl ? flow->left + flow->width - MARK_RADIUS : flow->left + MARK_RADIUS + 1,
                     flow->y + 0.7 * type->size, MARK_RADIUS, 0, 2 * G_PI);
          sl_set_ink (flow->cr, flow->palette, SL_INK_PLANNED);
          cairo_fill (flow->cr);
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
