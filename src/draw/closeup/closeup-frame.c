/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/closeup/closeup-frame.h"

#define STRING_LEAST_UNITS 1.6
#define PIECES 8 /* of a string, each with a box that labels keep clear of */

double
sl_closeup_x (const SlCloseup *c, double x_mm)
{
  return c->origin_x + x_mm * c->scale;
}

double
sl_closeup_y (const SlCloseup *c, double z_mm)
{
  return c->origin_y - z_mm * c->scale;
}

void
sl_closeup_scale (SlCloseup *c, double width_mm, double low, double high, double share)
{
  SlScene *scene = c->scene;
  const SlPictureOptions *o = scene->options;
  double magnified = MIN (c->area.width / width_mm, c->area.height / (high - low)) * o->unit_mm;
  const double right = scene->stage.x + scene->stage.width, top = scene->stage.y + 1;
  const char *factor;

  magnified = magnified >= 3 ? floor (magnified * 2) / 2 : MAX (0.1, floor (magnified * 10) / 10);
  c->scale = magnified / o->unit_mm;
  c->origin_y = c->area.y + high * c->scale + MAX (0, (c->area.height - (high - low) * c->scale) * share);
  factor =
      sl_kept (scene, sl_plain_format (magnified, fabs (magnified - round (magnified)) < 1e-9 ? 0 : 1, o->decimal));
  sl_scene_turn (scene); /* words in the heading stay where they are */
  if (!sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, sl_print (scene, _ ("true proportions × %s"), factor), right,
                      top, 1))
    sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, sl_kept (scene, g_strconcat ("× ", factor, NULL)), right, top, 1);
  sl_scene_turn (scene);
  /* From here on nothing leaves the panel's lower part. */
  cairo_rectangle (scene->cr, c->area.x - 4, c->area.y, c->area.width + 8, c->area.height + 4);
  cairo_clip (scene->cr);
  if (scene->map && o->kind != SL_PICTURE_ALL)
    {
      scene->map->units_per_mm_along = scene->map->units_per_mm_up = c->scale;
      scene->map->height_factor = 1;
    }
}

void
sl_closeup_polygon (SlCloseup *c, int n, const SlPoint *points)
{
  cairo_new_path (c->scene->cr);
  for (int i = 0; i < n; i++)
    cairo_line_to (c->scene->cr, sl_closeup_x (c, points[i].x), sl_closeup_y (c, points[i].y));
  cairo_close_path (c->scene->cr);
}

void
sl_closeup_fill (SlCloseup *c, SlInk fill, int n, const SlPoint *points)
{
  sl_closeup_polygon (c, n, points);
  sl_fill_shape (c->scene, fill);
}

void
sl_closeup_block (SlCloseup *c, double x, double z, double width, double height)
{
  sl_scene_block (c->scene, sl_closeup_x (c, x), sl_closeup_y (c, z), width * c->scale, height * c->scale, SL_NEVER);
}

/* The way of the points moved up by @up mm, square to each piece at its ends and between pieces half way. */
static void
raised_path (SlCloseup *c, int n, const SlPoint *points, double up)
{
  for (int i = 0; i < n; i++)
    {
      int a = MAX (0, i - 1), b = MIN (n - 1, i + 1);
      double dx = points[b].x - points[a].x, dz = points[b].y - points[a].y, length = hypot (dx, dz);

      if (length > 0)
        cairo_line_to (c->scene->cr, sl_closeup_x (c, points[i].x - up * dz / length),
                       sl_closeup_y (c, points[i].y + up * dx / length));
    }
}

/* Keeps labels off the band between a string's two edges. */
static void
keep_clear (SlCloseup *c, int n, const SlPoint *points, double width)
{
  for (int i = 0; i + 1 < n; i++)
    for (int k = 0; k < PIECES; k++)
      {
        double x0 = sl_closeup_x (c, points[i].x), y0 = sl_closeup_y (c, points[i].y),
               dx = sl_closeup_x (c, points[i + 1].x) - x0, dy = sl_closeup_y (c, points[i + 1].y) - y0;
        double left = x0 + dx * k / PIECES, ya = y0 + dy * k / PIECES, yb = y0 + dy * (k + 1) / PIECES;

        sl_scene_block (c->scene, MIN (left, left + dx / PIECES), MIN (ya, yb) - width, MAX (0.1, fabs (dx / PIECES)),
                        fabs (yb - ya) + width, SL_NEVER);
      }
}

/* The same, off the line @up units above the points. */
static void
keep_off (SlCloseup *c, int n, const SlPoint *points, double up)
{
  for (int i = 0; i + 1 < n; i++)
    sl_scene_line (c->scene, sl_closeup_x (c, points[i].x), sl_closeup_y (c, points[i].y) - up,
                   sl_closeup_x (c, points[i + 1].x), sl_closeup_y (c, points[i + 1].y) - up, SL_NEVER);
}

void
sl_closeup_string (SlCloseup *c, int n, const SlPoint *points)
{
  cairo_t *cr = c->scene->cr;
  double width = MAX (STRING_LEAST_UNITS, c->diameter * c->scale);

  cairo_new_path (cr);
  raised_path (c, n, points, width / c->scale / 2);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  sl_stroke (cr, c->scene->palette, SL_INK_PLANNED, width);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  keep_clear (c, n, points, width);
  keep_off (c, n, points, width / 2);
}

void
sl_closeup_ghost_string (SlCloseup *c, int n, const SlPoint *points)
{
  double width = MAX (STRING_LEAST_UNITS, c->diameter * c->scale);

  for (int edge = 0; edge < 2; edge++)
    {
      cairo_new_path (c->scene->cr);
      raised_path (c, n, points, edge * width / c->scale);
      sl_stroke_path (c->scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_GHOST);
    }
  for (int edge = 0; edge < 2; edge++)
    keep_off (c, n, points, edge * width);
}

/* Of the parts' corner, radius, directions and length ahead. */
static void
draw_break (SlScene *scene, const SlRequest *request)
{
  const double *at = request->parts, x = at[0], y = at[1];

  sl_stroke_line (scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_CHAIN, x, y, x + at[5] * cos (at[3]),
                  y + at[5] * sin (at[3]));
  sl_dimension_angle (scene, SL_INK_PLANNED, x, y, at[2], at[3], at[4]);
}

void
sl_closeup_break (SlCloseup *c, double z, double radius, double ahead, double rear, double beyond, SlRequest request,
                  SlPlaceOfFigure place, SlPlaceOfFigure force)
{
  const double x = sl_closeup_x (c, 0), y = sl_closeup_y (c, z + c->diameter / 2), middle = (ahead + rear) / 2,
               reach = radius + beyond;

  sl_scene_line (c->scene, x, y, x + reach * cos (ahead), y + reach * sin (ahead), 40);
  request.x = x + radius * cos (middle);
  request.y = y + radius * sin (middle);
  request.draw = draw_break;
  memcpy (request.parts, (double[]){ x, y, radius, ahead, rear, reach }, sizeof request.parts);
  sl_scene_figure (c->scene, request, _ ("break"), SL_SAY_DEGREES, place, &force);
}

void
sl_closeup_draw (SlScene *scene, SlPictureKind kind)
{
  const SlAnalysis *a = scene->analysis;
  SlCloseup c = {
    .scene = scene,
    .instrument = &a->instrument,
    .string = scene->spoken[0],
  };
  const char *heading = kind == SL_PICTURE_NUT      ? _ ("Nut end")
                        : kind == SL_PICTURE_BRIDGE ? _ ("Saddle and bridge")
                                                    : _ ("12th fret");
  double row = sl_scene_text_height (scene) + SL_SPACE;
  SlWording wording = { .n = 0 };

  scene->n_spoken = 1;
  c.diameter = a->instrument.strings[c.string - 1].outside_mm;
  c.area = (SlRect){ scene->stage.x, scene->stage.y + row, scene->stage.width, MAX (1, scene->stage.height - row) };
  sl_state_string (c.instrument, scene->before_state, c.string, &c.before);
  sl_state_string (c.instrument, scene->after_state, c.string, &c.after);
  sl_wording_add (&wording, SL_INK_TEXT, TRUE, FALSE, heading);
  sl_wording_printf (&wording, SL_INK_QUIET, FALSE, FALSE, _ (", string %d"), c.string);
  if (!sl_scene_fixed (scene, &wording, scene->stage.x, scene->stage.y, 0) &&
      !sl_scene_text (scene, SL_INK_TEXT, TRUE, FALSE, heading, scene->stage.x, scene->stage.y, 0) &&
      kind == SL_PICTURE_BRIDGE)
    sl_scene_text (scene, SL_INK_TEXT, TRUE, FALSE, _ ("Saddle"), scene->stage.x, scene->stage.y, 0);
  sl_scene_turn (scene);
  cairo_save (scene->cr);
  if (kind == SL_PICTURE_NUT)
    sl_closeup_nut (&c);
  else if (kind == SL_PICTURE_BRIDGE)
    sl_closeup_bridge (&c);
  else
    sl_closeup_fret (&c, MIN (SL_OCTAVE_FRET, a->instrument.frets));
  cairo_restore (scene->cr);
  sl_scene_place (scene);
}
