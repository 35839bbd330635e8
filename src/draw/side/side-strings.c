/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's strings: as measured, as planned, and held at a fret with the band it swings in. */
#include "draw/side/side.h"

#include <math.h>

#include "setup/physics/clearance.h"

#define POST_MM 60.0 /* where no post is given: common practice */
#define POST_WRAP_MM 3.0
#define POST_RADIUS_MM 3.2
#define SWING_STEPS 48

/* The post, drawn on the head's face at its true distance and angle. */
static void
post_place (const SlSide *side, const SlSideString *s, double *x, double *y)
{
  const SlInstrument *in = side->instrument;
  int i = s->string - 1;
  double p = in->has_post[i] ? in->post_distance[i] : POST_MM, wrap = in->has_post[i] ? in->post_wrap[i] : POST_WRAP_MM;
  double x0 = sl_side_x (side, -SL_NUT_MM), y0 = side->board_bottom - side->board_thickness * 0.45,
         scale = side->units_x, tilt = side->tilt;

  *x = x0 - (p * cos (tilt) + wrap * sin (tilt)) * scale;
  *y = y0 + (p * sin (tilt) - wrap * cos (tilt)) * scale;
}

static void
draw_post (SlSide *side, double x, double y)
{
  cairo_t *cr = side->scene->cr;
  double tilt = side->tilt, r = POST_RADIUS_MM * side->units_x, foot = (POST_WRAP_MM + 1.5) * side->units_x,
         head = 4 * side->units_x;

  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_rotate (cr, -tilt);
  cairo_rectangle (cr, -r, -head, 2 * r, head + foot);
  sl_fill_shape (side->scene, SL_INK_METAL);
  cairo_restore (cr);
  sl_scene_block (side->scene, x - r - 2, y - head - 2, 2 * r + 4, head + foot + 4, SL_NEVER);
}

/* One way of a string: post, nut, crest, anchor. */
static void
way (SlSide *side, SlInk ink, double width, SlDash dash, const double points[4][2])
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;

  sl_set_dash (cr, dash);
  sl_set_ink (cr, scene->palette, ink);
  cairo_set_line_width (cr, width);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (int i = 0; i < 4; i++)
    cairo_line_to (cr, points[i][0], points[i][1]);
  cairo_stroke (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  sl_set_dash (cr, SL_DASH_NONE);
  for (int i = 0; i < 3; i++)
    sl_scene_line (scene, points[i][0], points[i][1], points[i + 1][0], points[i + 1][1], SL_NEVER);
}

static void
draw_ghost (SlSide *side, const SlSideString *s, double width)
{
  double post_x, post_y;

  post_place (side, s, &post_x, &post_y);
  way (side, SL_INK_GHOST, width, SL_DASH_GHOST,
       (const double[4][2]){
           { post_x, post_y },
           { sl_side_x (side, 0), sl_side_ghost_y (side, s, 0, s->before.p[SL_P_NUT]) },
           { sl_side_x (side, s->before.x_s), sl_side_ghost_y (side, s, s->before.x_s, s->before.p[SL_P_CREST]) },
           { sl_side_x (side, s->anchor_x), sl_side_anchor_y (side, s) } });
}

static void
draw_planned (SlSide *side, const SlSideString *s, double width)
{
  double post_x, post_y;

  post_place (side, s, &post_x, &post_y);
  draw_post (side, post_x, post_y);
  way (side, SL_INK_PLANNED, width, SL_DASH_NONE,
       (const double[4][2]){ { post_x, post_y },
                             { sl_side_x (side, 0), sl_side_y (side, s->after.p[SL_P_NUT]) },
                             { sl_side_x (side, s->after.x_s), sl_side_y (side, s->after.p[SL_P_CREST]) },
                             { sl_side_x (side, s->anchor_x), sl_side_anchor_y (side, s) } });
}

/* Where a swinging string comes to below its path. */
static void
draw_swing (SlSide *side, const SlSideString *s)
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;
  const SlInstrument *in = side->instrument;
  double x0 = in->x[side->held], length = s->after.x_s - x0,
         tension = side->scene->after_figures->tension[s->string - 1].value;
  double z0 = sl_held_height (&s->after, side->held), rise = (s->after.p[SL_P_CREST] - z0) / length, last_x, last_y;

  if (!isfinite (tension) || tension <= 0 || length <= 0)
    return;
  last_x = sl_side_x (side, x0);
  last_y = sl_side_y (side, z0);
  cairo_move_to (cr, last_x, last_y);
  for (int i = 1; i < SWING_STEPS; i++)
    {
      double u = length * i / SWING_STEPS, x = sl_side_x (side, x0 + u),
             y = sl_side_y (side, z0 + rise * u - sl_swing (in, length, tension, u));

      cairo_line_to (cr, x, y);
      if (i % 4 == 0)
        {
          sl_scene_line (scene, last_x, last_y, x, y, SL_NEVER);
          last_x = x;
          last_y = y;
        }
    }
  cairo_line_to (cr, sl_side_x (side, s->after.x_s), sl_side_y (side, s->after.p[SL_P_CREST]));
  cairo_close_path (cr);
  sl_set_ink (cr, scene->palette, SL_INK_SWING);
  cairo_fill_preserve (cr);
  sl_set_ink (cr, scene->palette, SL_INK_PLANNED);
  cairo_set_line_width (cr, SL_LINE_THIN);
  sl_set_dash (cr, SL_DASH_TRACE);
  cairo_stroke (cr);
  sl_set_dash (cr, SL_DASH_NONE);
}

/* Held: the string lies on the held fret's crown and sounds from there; behind it runs on to the nut. */
static void
draw_held (SlSide *side, const SlSideString *s, double width)
{
  SlScene *scene = side->scene;
  const SlInstrument *in = side->instrument;
  double post_x, post_y, x = sl_side_x (side, in->x[side->held]), nut_y = sl_side_y (side, s->after.p[SL_P_NUT]);
  double y = sl_side_y (side, sl_held_height (&s->after, side->held));

  post_place (side, s, &post_x, &post_y);
  draw_post (side, post_x, post_y);
  if (s == side->lead)
    {
      double crest_x = sl_side_x (side, s->after.x_s), crest_y = sl_side_y (side, s->after.p[SL_P_CREST]);

      sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_TRACE, sl_side_x (side, 0), nut_y, crest_x, crest_y);
      sl_scene_line (scene, sl_side_x (side, 0), nut_y, crest_x, crest_y, SL_NEVER);
    }
  sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THICK, SL_DASH_NONE, post_x, post_y, sl_side_x (side, 0), nut_y);
  sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THICK, SL_DASH_NONE, sl_side_x (side, 0), nut_y, x, y);
  sl_scene_line (scene, sl_side_x (side, 0), nut_y, x, y, SL_NEVER);
  way (side, SL_INK_PLANNED, width, SL_DASH_NONE,
       (const double[4][2]){ { x, y },
                             { x, y },
                             { sl_side_x (side, s->after.x_s), sl_side_y (side, s->after.p[SL_P_CREST]) },
                             { sl_side_x (side, s->anchor_x), sl_side_anchor_y (side, s) } });
  /* The finger, behind the crown. */
  sl_arrowhead (scene, SL_INK_TEXT, x - 4, y - 1.5, 0, 1);
  sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THICK, SL_DASH_NONE, x - 4, y - 20, x - 4, y - 6);
  sl_scene_block (scene, x - 7, y - 20, 6, 20, SL_NEVER);
}

void
sl_side_draw_strings (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const SlSideString *lead = side->lead;
  double chord_end = sl_side_x (side, lead->after.x_s) - SL_SADDLE_LEAST_UNITS;

  /* The crown chord, carried on to the saddle: where it meets the bridge is the board line. */
  if (!side->scene->options->plain)
    sl_stroke_line (side->scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_CHAIN, sl_side_x (side, in->x[1]),
                    sl_side_y (side, 0), chord_end, sl_side_y (side, 0));
  sl_scene_line (side->scene, sl_side_x (side, in->x[1]), sl_side_y (side, 0), chord_end, sl_side_y (side, 0), 16);
  for (int i = 0; side->scene->ghost && i < side->n_strings; i++)
    if (side->n_strings == 1 || (i == 0 && !side->scene->options->plain) || i == side->n_strings - 1)
      draw_ghost (side, &side->strings[i], SL_LINE_OUTLINE);
  if (side->held > 0)
    draw_swing (side, lead);
  for (int i = 0; i < side->n_strings; i++)
    {
      const SlSideString *s = &side->strings[i];
      double width = i == side->n_strings - 1 ? SL_LINE_STRING : i == 0 ? SL_LINE_THICK : SL_LINE_THIN;

      if (side->held > 0)
        draw_held (side, s, width);
      else
        draw_planned (side, s, width);
    }
}
