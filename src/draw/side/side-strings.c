/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's strings: as measured, as planned, and held at a fret with the band it swings in; and the traces of
 * where string and crowns lay when the visit's earlier readings were taken. */
#include "draw/side/side.h"

#include "setup/physics/clearance.h"

#define POST_RADIUS_MM 3.2
#define SWING_STEPS 48
#define LEAST_MOVE 1.0 /* units: crowns that moved less would only thicken what is drawn */

static void
draw_post (SlSide *side, SlPoint at)
{
  cairo_t *cr = side->scene->cr;
  double tilt = side->tilt, r = POST_RADIUS_MM * side->units_x, foot = (SL_POST_WRAP_MM + 1.5) * side->units_x,
         head = 4 * side->units_x;

  cairo_save (cr);
  cairo_translate (cr, at.x, at.y);
  cairo_rotate (cr, -tilt);
  sl_fill_rectangle (side->scene, SL_INK_METAL, -r, -head, 2 * r, head + foot);
  cairo_restore (cr);
  sl_scene_block (side->scene, at.x - r - 2, at.y - head - 2, 2 * r + 4, head + foot + 4, SL_NEVER);
}

/* A string's way, such as post, nut, crest, anchor. */
static void
way (SlScene *scene, SlInk ink, double width, SlDash dash, int n, const SlPoint *points)
{
  cairo_t *cr = scene->cr;

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (int i = 0; i < n; i++)
    cairo_line_to (cr, points[i].x, points[i].y);
  sl_stroke_path (scene, ink, width, dash);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  for (int i = 0; i + 1 < n; i++)
    sl_scene_line (scene, points[i].x, points[i].y, points[i + 1].x, points[i + 1].y, SL_NEVER);
}

/* Where a swinging string comes to below its path. */
static void
draw_swing (SlSide *side, const SlSideString *s)
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;
  const SlInstrument *in = side->instrument;
  double x0 = side->x[side->held], length = s->after.x_s - x0,
         tension = side->scene->after_figures->tension[s->string - 1].value;
  double z0 = sl_held_height (&s->after, side->held), rise = (s->after.p[SL_P_CREST] - z0) / length;
  SlPoint last = { sl_side_x (side, x0), sl_side_y (side, z0) };

  if (!isfinite (tension) || tension <= 0 || length <= 0)
    return;
  cairo_move_to (cr, last.x, last.y);
  for (int i = 1; i < SWING_STEPS; i++)
    {
      double u = length * i / SWING_STEPS, x = sl_side_x (side, x0 + u),
             y = sl_side_y (side, z0 + rise * u - sl_swing (in, length, tension, u));

      cairo_line_to (cr, x, y);
      if (i % 4 == 0)
        {
          sl_scene_line (scene, last.x, last.y, x, y, SL_NEVER);
          last = (SlPoint){ x, y };
        }
    }
  cairo_line_to (cr, s->crest.x, s->crest.y);
  cairo_close_path (cr);
  sl_set_dash (cr, SL_DASH_TRACE);
  sl_fill_and_stroke (cr, scene->palette, SL_INK_SWING, SL_INK_PLANNED, SL_LINE_THIN);
  sl_set_dash (cr, SL_DASH_NONE);
}

/* Held: the string lies on the held fret's crown and sounds from there; behind it runs on to the nut. */
static void
draw_held (SlSide *side, const SlSideString *s, double width)
{
  SlScene *scene = side->scene;
  double x = sl_side_x (side, side->x[side->held]), y = sl_side_y (side, sl_held_height (&s->after, side->held));

  if (s == side->lead)
    {
      sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_TRACE, s->nut.x, s->nut.y, s->crest.x, s->crest.y);
      sl_scene_line (scene, s->nut.x, s->nut.y, s->crest.x, s->crest.y, SL_NEVER);
    }
  way (scene, SL_INK_PLANNED, SL_LINE_THICK, SL_DASH_NONE, 4, (SlPoint[]){ s->post, s->guide, s->nut, { x, y } });
  way (scene, SL_INK_PLANNED, width, SL_DASH_NONE, 3, (SlPoint[]){ { x, y }, s->crest, s->anchor });
  /* The finger, behind the crown. */
  sl_arrowhead (scene, SL_INK_TEXT, x - 4, y - 1.5, 0, 1);
  sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THICK, SL_DASH_NONE, x - 4, y - 20, x - 4, y - 6);
  sl_scene_block (scene, x - 7, y - 20, 6, 20, SL_NEVER);
}

void
sl_side_draw_strings (SlSide *side)
{
  SlScene *scene = side->scene;
  double chord_start = sl_side_x (side, side->x[1]), chord_y = sl_side_y (side, 0),
         chord_end = side->lead->crest.x - SL_SADDLE_LEAST_UNITS;

  /* The crown chord, carried on to the saddle: where it meets the bridge is the board line. */
  if (!scene->options->plain)
    {
      sl_stroke_line (scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_CHAIN, chord_start, chord_y, chord_end, chord_y);
      sl_scene_line (scene, chord_start, chord_y, chord_end, chord_y, SL_NEVER);
    }
  for (int i = 0; scene->ghost && i < side->n_strings; i++)
    if (side->n_strings == 1 || (i == 0 && !scene->options->plain) || i == side->n_strings - 1)
      {
        const SlSideString *s = &side->strings[i];

        way (scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_GHOST, 4,
             (SlPoint[]){ s->post, s->nut_before, s->crest_before, s->anchor });
      }
  if (side->held > 0)
    draw_swing (side, side->lead);
  for (int i = 0; i < side->n_strings; i++)
    {
      const SlSideString *s = &side->strings[i];
      double width = i == side->n_strings - 1 && !side->bare ? SL_LINE_STRING : i == 0 ? SL_LINE_THICK : SL_LINE_THIN;

      draw_post (side, s->post);
      if (side->held > 0)
        draw_held (side, s, width);
      else
        way (scene, SL_INK_PLANNED, width, SL_DASH_NONE, 5,
             (SlPoint[]){ s->post, s->guide, s->nut, s->crest, s->anchor });
    }
}

const GArray *
sl_side_earlier (const SlSide *side)
{
  const GArray *earlier = side->scene->analysis->earlier;
  const SlPictureOptions *o = side->scene->options;

  return earlier == NULL || earlier->len == 0 || o->still || o->plain ? NULL : earlier;
}

static void
trace_string (SlSide *side, const SlSideString *s, const SlStringState *past)
{
  const SlPoint nut = { s->nut.x, sl_side_y_from (side, s, past, 0, past->p[SL_P_NUT]) },
                crest = { sl_side_string_x (side, s, past->x_s),
                          sl_side_y_from (side, s, past, past->x_s, past->p[SL_P_CREST]) };

  sl_stroke_line (side->scene, SL_INK_TRACE, SL_LINE_THIN, SL_DASH_NONE, nut.x, nut.y, crest.x, crest.y);
  sl_scene_line (side->scene, nut.x, nut.y, crest.x, crest.y, SL_NEVER);
}

void
sl_side_trace_crowns (SlSide *side, const SlStringState *past, SlInk ink, double width, SlDash dash)
{
  const SlInstrument *in = side->instrument;
  const SlSideString *s = side->lead;
  double y[SL_MAX_FRETS + 1], moved = 0;

  for (int n = 1; n <= in->frets; n++)
    {
      y[n] = sl_side_y_from (side, s, past, side->x[n], sl_crown_height (past, n));
      moved = MAX (moved, fabs (y[n] - sl_side_y (side, sl_crown_height (&s->after, n))));
    }
  if (moved <= LEAST_MOVE)
    return;
  for (int n = 1; n <= in->frets; n++)
    {
      cairo_line_to (side->scene->cr, sl_side_x (side, side->x[n]), y[n]);
      if (n > 1)
        sl_scene_line (side->scene, sl_side_x (side, side->x[n - 1]), y[n - 1], sl_side_x (side, side->x[n]), y[n],
                       SL_NEVER);
    }
  sl_stroke_path (side->scene, ink, width, dash);
}

void
sl_side_draw_traces (SlSide *side)
{
  const GArray *earlier = sl_side_earlier (side);

  for (guint k = 0; earlier != NULL && k < earlier->len; k++)
    {
      const SlState *state = &g_array_index (earlier, SlEarlier, k).state;

      /* of several strings the outer ones speak for all, as in the ghost */
      for (int i = 0; i < side->n_strings; i += MAX (1, side->n_strings - 1))
        {
          const SlSideString *s = &side->strings[i];
          SlStringState past;

          sl_state_string (side->instrument, state, s->string, &past);
          trace_string (side, s, &past);
          if (s == side->lead)
            sl_side_trace_crowns (side, &past, SL_INK_TRACE, SL_LINE_THIN, SL_DASH_NONE);
        }
    }
}
