/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/dimension.h"

#define ARROW_HALF_WIDTH (SL_ARROW_LENGTH * 0.176) /* tan 10°: closed filled arrowhead of about 20° */
#define FOCUS_RING 11.0

void
sl_set_dash (cairo_t *cr, SlDash dash)
{
  static const double ghost[] = { 5, 3 }, chain[] = { 12, 3, 1.5, 3 }, trace[] = { 2.5, 2.5 };

  switch (dash)
    {
    case SL_DASH_GHOST: cairo_set_dash (cr, ghost, G_N_ELEMENTS (ghost), 0); break;
    case SL_DASH_CHAIN: cairo_set_dash (cr, chain, G_N_ELEMENTS (chain), 0); break;
    case SL_DASH_TRACE: cairo_set_dash (cr, trace, G_N_ELEMENTS (trace), 0); break;
    case SL_DASH_NONE: cairo_set_dash (cr, NULL, 0, 0); break;
    }
}

void
sl_stroke_path (SlScene *scene, SlInk ink, double width, SlDash dash)
{
  sl_set_dash (scene->cr, dash);
  sl_stroke (scene->cr, scene->palette, ink, width);
  sl_set_dash (scene->cr, SL_DASH_NONE);
}

void
sl_stroke_line (SlScene *scene, SlInk ink, double width, SlDash dash, double x0, double y0, double x1, double y1)
{
  cairo_move_to (scene->cr, x0, y0);
  cairo_line_to (scene->cr, x1, y1);
  sl_stroke_path (scene, ink, width, dash);
}

void
sl_fill_shape (SlScene *scene, SlInk fill)
{
  sl_fill_and_stroke (scene->cr, scene->palette, fill, SL_INK_OUTLINE, SL_LINE_THICK);
}

void
sl_fill_closed (SlScene *scene, SlInk fill)
{
  cairo_close_path (scene->cr);
  sl_fill_shape (scene, fill);
}

void
sl_polygon (cairo_t *cr, int n, const SlPoint *points)
{
  cairo_move_to (cr, points[0].x, points[0].y);
  for (int i = 1; i < n; i++)
    cairo_line_to (cr, points[i].x, points[i].y);
  cairo_close_path (cr);
}

void
sl_fill_polygon (SlScene *scene, SlInk fill, int n, const SlPoint *points)
{
  sl_polygon (scene->cr, n, points);
  sl_fill_shape (scene, fill);
}

void
sl_fill_rectangle (SlScene *scene, SlInk fill, double x, double y, double width, double height)
{
  cairo_rectangle (scene->cr, x, y, width, height);
  sl_fill_shape (scene, fill);
}

void
sl_arrowhead (SlScene *scene, SlInk ink, double x, double y, double dx, double dy)
{
  double length = hypot (dx, dy);

  if (length <= 0)
    return;
  dx /= length;
  dy /= length;
  sl_polygon (
      scene->cr, 3,
      (SlPoint[]){
          { x, y },
          { x - SL_ARROW_LENGTH * dx - ARROW_HALF_WIDTH * dy, y - SL_ARROW_LENGTH * dy + ARROW_HALF_WIDTH * dx },
          { x - SL_ARROW_LENGTH * dx + ARROW_HALF_WIDTH * dy, y - SL_ARROW_LENGTH * dy - ARROW_HALF_WIDTH * dx } });
  sl_fill (scene->cr, scene->palette, ink);
}

static void
extension (SlScene *scene, double y, double from, double x)
{
  double way = x > from ? 1 : -1;

  if (fabs (x - from) > SL_EXTENSION_GAP)
    sl_stroke_line (scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_NONE, from + way * SL_EXTENSION_GAP, y,
                    x + way * SL_EXTENSION_OVERSHOOT, y);
}

void
sl_break_mark (SlScene *scene, SlInk ink, double x, double y, double half_width)
{
  const double left = x - half_width, right = x + half_width;

  sl_polygon (scene->cr, 4, (SlPoint[]){ { left, y + 1 }, { right, y - 5 }, { right, y - 1 }, { left, y + 5 } });
  sl_fill (scene->cr, scene->palette, SL_INK_PAPER);
  sl_stroke_line (scene, ink, SL_LINE_THIN, SL_DASH_NONE, left, y + 1, right, y - 5);
  sl_stroke_line (scene, ink, SL_LINE_THIN, SL_DASH_NONE, left, y + 5, right, y - 1);
}

static void
draw_upright (SlScene *scene, const SlRequest *request)
{
  const double x = request->x, *at = request->parts, top = MIN (at[0], at[1]), bottom = MAX (at[0], at[1]);
  const gboolean room = bottom - top >= 2.6 * SL_ARROW_LENGTH;
  const double tail = room ? 0 : 2 * SL_ARROW_LENGTH, way = room ? 1 : -1;

  extension (scene, at[0], at[2], x);
  extension (scene, at[1], at[3], x);
  sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_NONE, x, top - tail, x, bottom + tail);
  sl_arrowhead (scene, SL_INK_PLANNED, x, top, 0, -way);
  sl_arrowhead (scene, SL_INK_PLANNED, x, bottom, 0, way);
  if (at[4] > 0)
    sl_break_mark (scene, SL_INK_PLANNED, x, at[4], 6);
}

SlRequest
sl_dimension_upright (SlScene *scene, SlRequest request, double y0, double y1, double from0, double from1,
                      double broken)
{
  sl_scene_line (scene, request.x, MIN (y0, y1) - 2, request.x, MAX (y0, y1) + 2, SL_NEVER);
  request.draw = draw_upright;
  memcpy (request.parts, (double[]){ y0, y1, from0, from1, broken }, 5 * sizeof (double));
  return request;
}

void
sl_dimension_angle (SlScene *scene, SlInk ink, double cx, double cy, double radius, double angle0, double angle1)
{
  cairo_t *cr = scene->cr;
  double least = MIN (angle0, angle1), most = MAX (angle0, angle1);

  cairo_new_sub_path (cr);
  cairo_arc (cr, cx, cy, radius, least, most);
  sl_stroke (cr, scene->palette, ink, SL_LINE_THIN);
  if ((most - least) * radius >= 2.6 * SL_ARROW_LENGTH)
    {
      double turn = SL_ARROW_LENGTH / radius / 2; /* the head follows the chord, not the tangent at its tip */

      sl_arrowhead (scene, ink, cx + radius * cos (most), cy + radius * sin (most), -sin (most - turn),
                    cos (most - turn));
      sl_arrowhead (scene, ink, cx + radius * cos (least), cy + radius * sin (least), sin (least + turn),
                    -cos (least + turn));
    }
}

/* Fills the current path with paper and what @draw_pattern adds to the path for its extents, and outlines it. */
static void
fill_pattern (SlScene *scene, SlInk ink, double spacing,
              void (*draw_pattern) (cairo_t *cr, SlRect extents, double spacing))
{
  cairo_t *cr = scene->cr;
  double x0, y0, x1, y1;
  cairo_path_t *path = cairo_copy_path (cr);

  cairo_path_extents (cr, &x0, &y0, &x1, &y1);
  cairo_save (cr);
  cairo_clip (cr);
  sl_set_ink (cr, scene->palette, SL_INK_PAPER);
  cairo_paint (cr);
  draw_pattern (cr, (SlRect){ x0, y0, x1 - x0, y1 - y0 }, spacing);
  sl_stroke (cr, scene->palette, ink, SL_LINE_THIN);
  cairo_restore (cr);
  cairo_append_path (cr, path);
  sl_stroke (cr, scene->palette, ink, SL_LINE_THIN);
  cairo_path_destroy (path);
}

static void
add_lines (cairo_t *cr, SlRect r, double spacing)
{
  for (double d = floor ((r.x + r.y) / spacing) * spacing; d <= r.x + r.width + r.y + r.height; d += spacing)
    {
      cairo_move_to (cr, d - r.y, r.y);
      cairo_line_to (cr, d - r.y - r.height, r.y + r.height);
    }
}

static void
add_dots (cairo_t *cr, SlRect r, double spacing)
{
  int row = 0;

  for (double y = r.y + spacing / 3; y < r.y + r.height; y += spacing * 0.7, row++)
    for (double x = r.x + (row % 2 + 0.5) * spacing / 2; x < r.x + r.width; x += spacing)
      sl_circle (cr, x, y, SL_LINE_THIN / 2);
}

void
sl_hatch (SlScene *scene, SlInk ink, double spacing)
{
  fill_pattern (scene, ink, spacing, add_lines);
}

void
sl_dot (SlScene *scene, SlInk ink, double spacing)
{
  fill_pattern (scene, ink, spacing, add_dots);
}

void
sl_hatch_rectangle (SlScene *scene, SlInk ink, double x, double y, double width, double height, double spacing)
{
  cairo_rectangle (scene->cr, x, y, width, height);
  sl_hatch (scene, ink, spacing);
}

void
sl_draw_handle (SlScene *scene, SlHandleKind kind, double x, double y)
{
  cairo_t *cr = scene->cr;
  const double r = SL_HANDLE_RADIUS + 3;
  const SlSceneBlock block = { { x - r, y - r, 2 * r, 2 * r }, SL_NEVER, TRUE };

  if (scene->options->focus == (int) kind)
    {
      sl_circle (cr, x, y, FOCUS_RING);
      sl_stroke (cr, scene->palette, SL_INK_TEXT, 2);
    }
  sl_circle (cr, x, y, SL_HANDLE_RADIUS);
  sl_fill_and_stroke (cr, scene->palette, SL_INK_PAPER, SL_INK_PLANNED, 2.2);
  g_array_append_val (scene->blocks, block);
  if (scene->map)
    scene->map->handles[kind] = (SlPictureHandle){ TRUE, sl_scene_seen_x (scene, x), y };
}
