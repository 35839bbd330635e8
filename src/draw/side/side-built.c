/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the side view shows of an instrument: head, nut, neck, body and board with its frets; the bridge end, with where
 * the saddle was and what comes off it or is added to it. */
#include "draw/side/side.h"

#include "setup/profile/construction.h"

#define HEAD_MM 14.0 /* thickness of a head: common practice */
#define BOARD_BEYOND_MM 6.0
#define BOARD_STEPS 48
#define ARCH_STEPS 24
#define PLATE_UNITS(side) MAX (3, 3 * (side)->units_x) /* of a hollow body's top and back */
#define EDGE_ROOM 4.0                                  /* between a fret's number and the heel's edge */
#define NUMBERED_LEAST_SPACE 4.0
#define LEAST_TOP 5.0 /* units of a bridge over the body */

/* The line @below the body's top as a path, which texts keep off. */
static void
trace_top (SlSide *side, double left, double right, double below)
{
  const int steps = sl_bridge_build (side->instrument)->arched ? ARCH_STEPS : 1;

  cairo_new_path (side->scene->cr);
  for (int i = 0; i <= steps; i++)
    {
      const double from = left + (right - left) * MAX (0, i - 1) / steps, x = left + (right - left) * i / steps,
                   y0 = sl_side_top (side, from) + below, y = sl_side_top (side, x) + below;

      cairo_line_to (side->scene->cr, x, y);
      sl_scene_block (side->scene, from, MIN (y0, y), x - from, MAX (0.1, fabs (y - y0)), SL_NEVER);
    }
}

/* The body goes on beyond the stage: a freehand break line (ISO 128-20, 01.1.18) says so. */
static void
draw_body (SlSide *side)
{
  cairo_t *cr = side->scene->cr;
  double left = sl_side_x (side, side->x[side->instrument->joint]), right = side->area.x + side->area.width - 1;
  double top = sl_side_top (side, right), bottom = side->body_bottom, third = (bottom - top) / 3,
         corner = MIN (12, (bottom - top) / 3);

  trace_top (side, left, right - 3, 0);
  cairo_curve_to (cr, right + 1, top + third, right - 9, top + third, right - 5, top + 1.5 * third);
  cairo_curve_to (cr, right - 1, top + 2 * third, right - 9, top + 2 * third, right - 4, bottom);
  cairo_line_to (cr, left + corner, bottom);
  cairo_arc (cr, left + corner, bottom - corner, corner, G_PI / 2, G_PI);
  cairo_close_path (cr);
  sl_fill_and_stroke (cr, side->scene->palette, SL_INK_BODY, SL_INK_BODY_EDGE, SL_LINE_THICK);
  if (!sl_bridge_build (side->instrument)->solid) /* top and back are plates */
    {
      const double y = bottom - PLATE_UNITS (side);

      trace_top (side, left + corner / 2, right - 5, PLATE_UNITS (side));
      sl_stroke_path (side->scene, SL_INK_BODY_EDGE, SL_LINE_THIN, SL_DASH_NONE);
      sl_stroke_line (side->scene, SL_INK_BODY_EDGE, SL_LINE_THIN, SL_DASH_NONE, left + corner, y, right - 5, y);
      sl_scene_block (side->scene, left, y, right - left, 0.1, SL_NEVER);
    }
  /* of texts; leaders may cross them */
  sl_scene_block (side->scene, left, bottom, right - left, 0.1, SL_NEVER);
  sl_scene_block (side->scene, left, sl_side_top (side, left), 0.1, bottom - sl_side_top (side, left), SL_NEVER);
  sl_scene_block (side->scene, right - 8, top, 8, bottom - top, SL_NEVER);
}

/* The neck's back follows the board and swells into a heel. */
static void
draw_neck (SlSide *side)
{
  cairo_t *cr = side->scene->cr;
  const SlInstrument *in = side->instrument;
  double nut = sl_side_x (side, side->nut_mm - SL_NUT_MM), joint = sl_side_x (side, side->x[in->joint]),
         top = side->board_bottom, body = sl_side_top (side, joint);
  double heel = MIN (side->body_bottom - 4, top + side->neck_depth * (sl_bridge_build (in)->solid ? 1.35 : 2.4)),
         swell = MIN (70 * side->units_x, (joint - nut) * 0.3);

  cairo_move_to (cr, nut, top);
  cairo_line_to (cr, joint, top);
  cairo_line_to (cr, joint, heel);
  cairo_curve_to (cr, joint - swell * 0.25, heel, joint - swell * 0.35, top + side->neck_depth * 1.1, joint - swell,
                  top + side->neck_depth * 1.05);
  cairo_line_to (cr, nut + 4, top + side->neck_depth * 0.92);
  cairo_line_to (cr, nut, top + side->neck_depth * 0.9);
  sl_fill_closed (side->scene, SL_INK_NECK);
  if (body > top + 1) /* on over the body, below the board */
    sl_fill_polygon (side->scene, SL_INK_NECK, 4,
                     (SlPoint[]){ { joint, top },
                                  { sl_side_x (side, side->x[in->frets]), top },
                                  { sl_side_x (side, side->x[in->frets]), top + (body - top) * 0.4 },
                                  { joint, body } });
  sl_scene_block (side->scene, nut, top, joint - nut, side->neck_depth * 1.05, SL_NEVER);
  sl_scene_block (side->scene, joint - swell, top, swell * 0.65, side->neck_depth * 1.5, SL_NEVER);
  sl_scene_block (side->scene, joint - swell * 0.6, top, swell * 0.6, heel - top, SL_NEVER);
}

/* The head leaves the board's lower half and falls back at its true angle. */
static void
draw_head (SlSide *side)
{
  cairo_t *cr = side->scene->cr;
  double scale = side->units_x, tilt = side->tilt, x0 = sl_side_x (side, side->nut_mm - SL_NUT_MM),
         y0 = side->board_bottom - side->board_thickness * 0.45;
  double length = side->head_length * scale, thick = MIN (HEAD_MM * scale, side->neck_depth * 0.85), c = cos (tilt),
         s = sin (tilt);
  double end_x = x0 - length * c, end_y = y0 + length * s, back_y = side->board_bottom + side->neck_depth * 0.9;
  const int pieces = 6;

  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, end_x, end_y);
  cairo_line_to (cr, end_x + thick * s * 0.6 + 2, end_y + thick * c);
  cairo_line_to (cr, x0 - MIN (14 * scale, length / 3) * c + thick * s,
                 y0 + MIN (14 * scale, length / 3) * s + thick * c + 1);
  cairo_curve_to (cr, x0 - 6 * scale, y0 + thick + 2, x0 - 4 * scale, back_y, x0, back_y);
  sl_fill_closed (side->scene, SL_INK_NECK);
  /* where it swells into the neck */
  sl_scene_block (side->scene, x0 - 8 * scale, y0, 8 * scale, back_y - y0, SL_NEVER);
  for (int i = 0; i < pieces; i++)
    {
      double x = x0 - length * c * (i + 1) / pieces, y = y0 + length * s * i / pieces;

      sl_scene_block (side->scene, x, y - 1, length * c / pieces, length * s / pieces + thick + 3, SL_NEVER);
    }
}

/* Where the board's face below the lead string is drawn, without frets. */
static double
board_y (const SlSide *side, double x_mm)
{
  const SlInstrument *in = side->instrument;
  const SlStringState *s = &side->lead->after;
  double joint = side->x[in->joint], last = side->x[in->frets];

  if (x_mm <= joint || last <= joint)
    return sl_side_y (side, -s->p[SL_P_RELIEF] * sl_bow_shape (in, s->string, MIN (x_mm, joint)) - in->crown_height);
  return sl_side_y (side, -s->p[SL_P_FALL_AWAY] * (x_mm - joint) / (last - joint) - in->crown_height);
}

static void
draw_board (SlSide *side)
{
  cairo_t *cr = side->scene->cr;
  double end = side->x[side->instrument->frets] + BOARD_BEYOND_MM, right = sl_side_x (side, end), start = side->nut_mm,
         left = sl_side_x (side, start), crowned = board_y (side, side->x[side->instrument->joint] / 2),
         top = MIN (MIN (board_y (side, 0), board_y (side, end)), crowned);

  cairo_new_path (cr);
  for (int i = 0; i <= BOARD_STEPS; i++)
    {
      const double x = start + (end - start) * i / BOARD_STEPS;

      cairo_line_to (cr, sl_side_x (side, x), board_y (side, x));
    }
  cairo_line_to (cr, right, side->board_bottom);
  cairo_line_to (cr, left, side->board_bottom);
  sl_fill_closed (side->scene, SL_INK_BOARD);
  sl_scene_block (side->scene, left, top, right - left, side->board_bottom - top, SL_NEVER);
}

/* The nut: bone under the string, from board bottom to a little over the slot's floor; what a lowered slot loses is
 * hatched, what a new nut adds dotted. */
static void
draw_nut (SlSide *side)
{
  const SlPoint floor = side->lead->guide;
  double width = MAX (side->least_saddle, floor.x - sl_side_x (side, side->nut_mm - SL_NUT_MM)), left = floor.x - width,
         slot = sl_planned_slot (side->scene, side->lead->string), high = MAX (1.5, fabs (slot) * side->units_z);

  sl_fill_rectangle (side->scene, SL_INK_BONE, left, floor.y, width, side->board_bottom - floor.y);
  cairo_rectangle (side->scene->cr, left, slot < 0 ? floor.y - high : floor.y, width, high);
  if (slot < 0)
    sl_hatch (side->scene, SL_INK_CUT, 3);
  else if (slot > 0)
    sl_dot (side->scene, SL_INK_PLANNED, 3);
  cairo_new_path (side->scene->cr);
  sl_scene_block (side->scene, left, floor.y, width, side->board_bottom - floor.y, SL_NEVER);
}

void
sl_side_draw_wood (SlSide *side)
{
  draw_body (side);
  draw_neck (side);
  draw_head (side);
  draw_board (side);
  draw_nut (side);
}

static void
draw_numbers (SlSide *side)
{
  SlScene *scene = side->scene;
  const SlInstrument *in = side->instrument;
  double joint = sl_side_x (side, side->x[in->joint]), last_end = -INFINITY,
         on_back = (side->neck_depth - sl_scene_text_height (scene)) / 2,
         on_body = MAX (on_back, PLATE_UNITS (side) + EDGE_ROOM / 2);

  for (int n = 1; n <= in->frets; n++)
    {
      double x = sl_side_x (side, side->x[n]), width;
      SlWording number = { .n = 0 };
      const gboolean on_neck = n < in->joint;

      sl_wording_printf (&number, on_neck ? SL_INK_ON_NECK : SL_INK_TEXT, n == 12, TRUE, "%d", n);
      width = sl_wording_size (scene, &number).width;
      /* on its own side of the heel's edge: the joint fret's stands right of it */
      x = on_neck ? MIN (x, joint - EDGE_ROOM - width / 2) : MAX (x, joint + EDGE_ROOM + width / 2);
      if (x - width / 2 < last_end + NUMBERED_LEAST_SPACE)
        continue;
      /* In the thick of the upper frets only every other one, but always the 12th. */
      if (n != SL_OCTAVE_FRET && n < SL_OCTAVE_FRET && in->frets >= SL_OCTAVE_FRET &&
          x + width / 2 + NUMBERED_LEAST_SPACE > sl_side_x (side, side->x[SL_OCTAVE_FRET]) - width / 2)
        continue;
      if (sl_scene_fixed (scene, &number, x, on_neck ? side->board_bottom + on_back : sl_side_top (side, x) + on_body,
                          0.5))
        last_end = x + width / 2;
    }
}

/* A fret: a crown as wide as its wire where that shows, its height magnified like all heights; what levelling takes off
 * is hatched on top of what stays. */
static void
draw_fret (SlSide *side, int n)
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;
  const SlInstrument *in = side->instrument;
  double x = sl_side_x (side, side->x[n]),
         top = n == 0 ? side->lead->nut.y : sl_side_y (side, sl_crown_height (&side->lead->after, n)),
         foot = board_y (side, side->x[n]), h = foot - top, wire = in->crown_width * side->units_x / 2,
         half = MAX (side->bare ? 0.8 : 1.6, wire), loss = scene->before_state->crown[n] - scene->after_state->crown[n];

  cairo_move_to (cr, x - half, foot + 1);
  cairo_curve_to (cr, x - half, top + h * 0.35, x - half * 0.55, top, x, top);
  cairo_curve_to (cr, x + half * 0.55, top, x + half, top + h * 0.35, x + half, foot + 1);
  sl_fill_closed (scene, SL_INK_METAL);
  if (scene->ghost && !scene->options->plain && loss > 1e-6)
    {
      half = MAX (2.2, wire);
      loss = MAX (2, loss * side->units_z);
      sl_hatch_rectangle (scene, SL_INK_CUT, x - half, top - loss, 2 * half, loss, 2.5);
    }
  sl_scene_block (scene, x - half, top - MAX (0, loss), 2 * half, h + MAX (0, loss), SL_NEVER);
}

void
sl_side_draw_frets (SlSide *side)
{
  const SlInstrument *in = side->instrument;

  if (!side->bare)
    draw_numbers (side);
  for (int n = in->nut_kind == SL_NUT_ZERO_FRET ? 0 : 1; n <= in->frets; n++)
    if (side->x[n] <= side->short_from || side->x[n] >= side->short_to)
      draw_fret (side, n);
  if (side->scene->ghost)
    sl_side_trace_crowns (side, &side->lead->before, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_GHOST);
}

/* ---- bridge ---- */

static SlHardware
hardware_of (const SlSide *side)
{
  return (SlHardware){
    .scene = side->scene,
    .in = side->instrument,
    .unit = side->units_x,
    .least = side->least_saddle,
    .string = side->bare ? SL_LINE_THIN : SL_LINE_THICK,
    .crest = side->lead->crest,
    .top = MIN (sl_side_y (side, side->bridge_top), side->body_top - (side->bare ? 1 : LEAST_TOP)),
    .body = side->body_top,
    .back = side->body_bottom,
    .anchor = side->lead->anchor,
    .end = side->area.x + side->area.width,
  };
}

/* What comes off the underside or the top, and what a new saddle adds. */
static void
draw_cuts (const SlSide *side, const SlRect *r)
{
  SlScene *scene = side->scene;
  const int string = side->lead->string;
  double cut = sl_planned_amount (scene->analysis, SL_OP_CUT_SADDLE_BASE, string) *
               cos (side->instrument->saddle_lean_rad) * side->units_z,
         made = sl_planned_saddle (scene, string) * side->units_z,
         shaped = sl_planned_amount (scene->analysis, SL_OP_SHAPE_CREST, string) * side->units_z - MIN (made, 0);

  if (sl_saddles[side->instrument->adjust].goes_up)
    return;
  if (cut > 0.3)
    {
      cut = CLAMP (cut, 3, MAX (3, r->height - 4));
      sl_hatch_rectangle (scene, SL_INK_CUT, r->x, r->y + r->height - cut, r->width, cut, 4);
    }
  if (shaped > 0.3)
    sl_hatch_rectangle (scene, SL_INK_CUT, r->x, r->y - MAX (2, shaped), r->width, MAX (2, shaped), 3);
  if (made <= 0.3)
    return;
  cairo_rectangle (scene->cr, r->x, r->y, r->width, MIN (MAX (2, made), r->height));
  sl_dot (scene, SL_INK_PLANNED, 3);
}

void
sl_side_draw_bridge (SlSide *side)
{
  const SlHardware h = hardware_of (side);
  const SlRect r = sl_hardware_saddle (&h);

  sl_bridge_build (h.in)->bridge (&h);
  sl_hardware_draw_saddle (&h);
  if (side->broken)
    sl_break_mark (side->scene, SL_INK_OUTLINE, r.x + r.width / 2, h.top - (h.top - r.y) * 0.3, r.width / 2 + 3);
  if (!side->scene->ghost)
    return;
  sl_hardware_draw_ghost (&h, side->lead->crest_before);
  draw_cuts (side, &r);
}

void
sl_side_draw_anchor (SlSide *side)
{
  const SlHardware h = hardware_of (side);

  sl_bridge_build (h.in)->anchor (&h);
}
