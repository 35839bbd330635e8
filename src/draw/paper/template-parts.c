/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/template-parts.h"

#include <math.h>

#define TABLE_SHARE_MM 180.0 /* widest table */
#define HATCH_MM 0.6
#define DASH_MM 1.2

static void
trace (const SlTemplateSheet *sheet, const double (*points)[2], int n, gboolean closed)
{
  cairo_new_path (sheet->cr);
  for (int i = 0; i < n; i++)
    cairo_line_to (sheet->cr, points[i][0] * sheet->scale_x, points[i][1] * sheet->scale_y);
  if (closed)
    cairo_close_path (sheet->cr);
}

void
sl_template_polyline (const SlTemplateSheet *sheet, SlStroke stroke, const double (*points)[2], int n, gboolean closed)
{
  const double dash = DASH_MM / SL_POINT_MM, dashes[] = { dash, dash * 0.7 },
               chain[] = { 3 * dash, dash * 0.7, dash * 0.3, dash * 0.7 };

  cairo_save (sheet->cr);
  trace (sheet, points, n, closed);
  sl_set_ink (sheet->cr, sl_palette (FALSE), stroke == SL_STROKE_DASH ? SL_INK_GHOST : SL_INK_TEXT);
  cairo_set_line_width (sheet->cr,
                        (stroke == SL_STROKE_LINE ? SL_TEMPLATE_LINE_MM : SL_TEMPLATE_HAIR_MM) / SL_POINT_MM);
  if (stroke == SL_STROKE_DASH)
    cairo_set_dash (sheet->cr, dashes, G_N_ELEMENTS (dashes), 0);
  else if (stroke == SL_STROKE_CHAIN)
    cairo_set_dash (sheet->cr, chain, G_N_ELEMENTS (chain), 0);
  cairo_stroke (sheet->cr);
  cairo_restore (sheet->cr);
}

void
sl_template_line (const SlTemplateSheet *sheet, SlStroke stroke, double x0, double y0, double x1, double y1)
{
  const double points[][2] = { { x0, y0 }, { x1, y1 } };

  sl_template_polyline (sheet, stroke, points, 2, FALSE);
}

void
sl_template_fill (const SlTemplateSheet *sheet, SlInk ink, const double (*points)[2], int n)
{
  trace (sheet, points, n, TRUE);
  sl_set_ink (sheet->cr, sl_palette (FALSE), ink);
  cairo_fill (sheet->cr);
}

void
sl_template_hatch (const SlTemplateSheet *sheet, const double (*points)[2], int n)
{
  double x0, y0, x1, y1, step = HATCH_MM / SL_POINT_MM;

  cairo_save (sheet->cr);
  trace (sheet, points, n, TRUE);
  cairo_path_extents (sheet->cr, &x0, &y0, &x1, &y1);
  cairo_clip (sheet->cr);
  for (double x = x0 - (y1 - y0); x < x1; x += step)
    {
      cairo_move_to (sheet->cr, x, y1);
      cairo_line_to (sheet->cr, x + (y1 - y0), y0);
    }
  sl_stroke (sheet->cr, sl_palette (FALSE), SL_INK_CUT, SL_TEMPLATE_HAIR_MM / SL_POINT_MM);
  cairo_restore (sheet->cr);
}

void
sl_template_text (const SlTemplateSheet *sheet, const char *text, double size_mm, gboolean bold, SlInk ink, double x,
                  double y, double align, gboolean turned)
{
  SlText line = sl_text (text, size_mm / SL_POINT_MM, bold);

  cairo_save (sheet->cr);
  cairo_translate (sheet->cr, x * sheet->scale_x, y * sheet->scale_y);
  if (turned)
    cairo_rotate (sheet->cr, -G_PI / 2);
  sl_set_ink (sheet->cr, sl_palette (FALSE), ink);
  sl_text_show (sheet->cr, &line, -align * line.width, -line.height / 2);
  cairo_restore (sheet->cr);
}

SlFlow
sl_template_flow (const SlTemplateSheet *sheet, double y)
{
  double width = MIN (sheet->width - 2 * SL_TEMPLATE_MARGIN_MM, TABLE_SHARE_MM) / SL_POINT_MM;

  return (SlFlow){
    .cr = sheet->cr,
    .left = (sheet->width / SL_POINT_MM - width) / 2,
    .top = y * sheet->scale_y,
    .y = y * sheet->scale_y,
    .width = width,
    .bottom = 1e6, /* a template's table is never longer than its page: twelve strings */
    .palette = sl_palette (FALSE),
  };
}

double
sl_template_paragraph (const SlTemplateSheet *sheet, const char *text, double y)
{
  const SlType type = { .size = SL_TEMPLATE_TEXT_MM / SL_POINT_MM, .ink = SL_INK_TEXT };
  SlFlow flow = sl_template_flow (sheet, y);

  sl_flow_paragraph (&flow, text, &type, 0);
  return flow.y / sheet->scale_y;
}

double
sl_template_table (const SlTemplateSheet *sheet, const SlTable *table, double y)
{
  SlFlow flow = sl_template_flow (sheet, y);

  sl_flow_table (&flow, NULL, table);
  return flow.y / sheet->scale_y;
}

char *
sl_template_length (const SlTemplateSheet *sheet, double mm)
{
  return isfinite (mm) ? sl_text_fine (&sheet->template->style, mm) : g_strdup ("–");
}
