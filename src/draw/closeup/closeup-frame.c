/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/closeup/closeup-frame.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define STRING_LEAST_UNITS 1.6

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
sl_closeup_scale (SlCloseup *c, double width_mm, double height_mm)
{
  SlScene *scene = c->scene;
  const SlPictureOptions *o = scene->options;
  double magnified = MIN (c->area.width / width_mm, c->area.height / height_mm) * o->unit_mm;
  SlWording wording = { .n = 0 };
  g_autofree char *factor = NULL, *text = NULL;

  magnified = magnified >= 3 ? floor (magnified * 2) / 2 : MAX (0.1, floor (magnified * 10) / 10);
  c->scale = magnified / o->unit_mm;
  factor = sl_plain_format (magnified, fabs (magnified - round (magnified)) < 1e-9 ? 0 : 1, o->decimal);
  text = g_strdup_printf (_ ("true proportions × %s"), factor);
  sl_wording_add (&wording, SL_INK_QUIET, FALSE, TRUE, text);
  if (!sl_scene_fixed (scene, &wording, scene->stage.x + scene->stage.width, scene->stage.y + 1, 1))
    {
      g_autofree char *brief = g_strconcat ("× ", factor, NULL);

      wording.n = wording.n_above = 0;
      sl_wording_add (&wording, SL_INK_QUIET, FALSE, TRUE, brief);
      sl_scene_fixed (scene, &wording, scene->stage.x + scene->stage.width, scene->stage.y + 1, 1);
    }
  /* From here on nothing leaves the panel's lower part. */
  cairo_rectangle (scene->cr, c->area.x - 4, c->area.y, c->area.width + 8, c->area.height + 4);
  cairo_clip (scene->cr);
  if (scene->map && o->kind != SL_PICTURE_ALL)
    {
      scene->map->units_per_mm_along = scene->map->units_per_mm_up = c->scale;
      scene->map->height_factor = 1;
    }
}

/* The way of the points moved up by @up mm, square to each piece at its ends and between pieces half way. */
static void
raised_path (SlCloseup *c, const double (*points)[2], int n, double up)
{
  for (int i = 0; i < n; i++)
    {
      int a = MAX (0, i - 1), b = MIN (n - 1, i + 1);
      double dx = points[b][0] - points[a][0], dz = points[b][1] - points[a][1], length = hypot (dx, dz);

      if (length > 0)
        cairo_line_to (c->scene->cr, sl_closeup_x (c, points[i][0] - up * dz / length),
                       sl_closeup_y (c, points[i][1] + up * dx / length));
    }
}

/* Keeps labels off the band between a string's two edges. */
static void
keep_clear (SlCloseup *c, const double (*points)[2], int n, double width)
{
  enum
  {
    PIECES = 8
  };

  for (int i = 0; i + 1 < n; i++)
    for (int k = 0; k < PIECES; k++)
      {
        double x0 = sl_closeup_x (c, points[i][0]), y0 = sl_closeup_y (c, points[i][1]),
               dx = sl_closeup_x (c, points[i + 1][0]) - x0, dy = sl_closeup_y (c, points[i + 1][1]) - y0;
        double left = x0 + dx * k / PIECES, ya = y0 + dy * k / PIECES, yb = y0 + dy * (k + 1) / PIECES;

        sl_scene_block (c->scene, MIN (left, left + dx / PIECES), MIN (ya, yb) - width, MAX (0.1, fabs (dx / PIECES)),
                        fabs (yb - ya) + width, SL_NEVER);
      }
}

void
sl_closeup_string (SlCloseup *c, const double (*points)[2], int n)
{
  cairo_t *cr = c->scene->cr;
  double width = MAX (STRING_LEAST_UNITS, c->diameter * c->scale);

  cairo_new_path (cr);
  raised_path (c, points, n, width / c->scale / 2);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  sl_stroke (cr, c->scene->palette, SL_INK_PLANNED, width);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  keep_clear (c, points, n, width);
  for (int i = 0; i + 1 < n; i++)
    sl_scene_line (c->scene, sl_closeup_x (c, points[i][0]), sl_closeup_y (c, points[i][1]) - width / 2,
                   sl_closeup_x (c, points[i + 1][0]), sl_closeup_y (c, points[i + 1][1]) - width / 2, SL_NEVER);
}

void
sl_closeup_ghost_string (SlCloseup *c, const double (*points)[2], int n)
{
  SlScene *scene = c->scene;
  cairo_t *cr = scene->cr;
  double width = MAX (STRING_LEAST_UNITS, c->diameter * c->scale);

  sl_set_dash (cr, SL_DASH_GHOST);
  cairo_set_line_width (cr, SL_LINE_OUTLINE);
  sl_set_ink (cr, scene->palette, SL_INK_GHOST);
  for (int edge = 0; edge < 2; edge++)
    {
      cairo_new_path (cr);
      raised_path (c, points, n, edge * width / c->scale);
      cairo_stroke (cr);
    }
  sl_set_dash (cr, SL_DASH_NONE);
  for (int i = 0; i + 1 < n; i++)
    for (int edge = 0; edge < 2; edge++)
      sl_scene_line (scene, sl_closeup_x (c, points[i][0]), sl_closeup_y (c, points[i][1]) - edge * width,
                     sl_closeup_x (c, points[i + 1][0]), sl_closeup_y (c, points[i + 1][1]) - edge * width, SL_NEVER);
}

void
sl_closeup_figure (SlCloseup *c, SlRequest *request, const char *name, SlSay kind, const SlFigure *after,
                   const SlFigure *before, const SlFigure *aside)
{
  SlFigureWords words = { .name = name,
                          .kind = kind,
                          .after = { after },
                          .before = { c->scene->ghost ? before : NULL },
                          .aside = { aside },
                          .ink = SL_INK_PLANNED };

  request->n_wordings = sl_figure_wordings (c->scene, &c->spoken, &words, request->wordings);
  sl_scene_request (c->scene, request);
}

void
sl_closeup_words (SlCloseup *c, SlRequest *request, SlInk ink, gboolean bold, const char *text, const char *beneath)
{
  request->n_wordings = 1;
  sl_wording_add (&request->wordings[0], ink, bold, !bold, text);
  if (beneath)
    {
      sl_wording_break (&request->wordings[0]);
      sl_wording_add (&request->wordings[0], SL_INK_QUIET, FALSE, TRUE, beneath);
    }
  sl_scene_request (c->scene, request);
}
