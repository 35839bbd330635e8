/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's bridge, saddle and anchor, each kind so that it is known at a glance. */
#include "draw/side/side.h"

#define PIN_HEAD_MM 7.5

static double
saddle_width (const SlSide *side)
{
  return MAX (SL_SADDLE_LEAST_UNITS, side->instrument->saddle_thickness * side->units_x);
}

/* One block from front to back, its ends sloping down to the body. */
static void
draw_glued_bridge (SlSide *side, double crest, double top, double anchor)
{
  cairo_t *cr = side->scene->cr;
  double reach = 13 * side->units_x, slope = 8 * side->units_x, front = crest - reach, back = anchor + reach * 0.9,
         bottom = side->board_bottom;

  cairo_move_to (cr, front - slope, bottom);
  cairo_curve_to (cr, front - slope * 0.5, bottom, front - slope * 0.2, top, front + 2, top);
  cairo_line_to (cr, back - 2, top);
  cairo_curve_to (cr, back + slope * 0.2, top, back + slope * 0.5, bottom, back + slope, bottom);
  sl_fill_closed (side->scene, SL_INK_BRIDGE);
  sl_scene_block (side->scene, front, top, anchor - crest + 2 * reach, bottom - top, SL_NEVER);
}

/* Saddle block in front, tie block behind, a trough between. */
static void
draw_tie_block (SlSide *side, double crest, double top, double anchor)
{
  double reach = 9 * side->units_x, half = MAX (5, 5 * side->units_x), bottom = side->board_bottom,
         back = MAX (anchor + half, crest + reach + 2 * half), front = crest + saddle_width (side);
  double trough = top + (bottom - top) * 0.55;

  sl_fill_polygon (side->scene, SL_INK_BRIDGE, 9,
                   (SlPoint[]){ { crest - 2 * reach, bottom },
                                { crest - reach, top },
                                { front + 4, top },
                                { front + 6, trough },
                                { anchor - half, trough },
                                { anchor - half, top + 1 },
                                { back, top + 1 },
                                { back, trough },
                                { back + reach, bottom } });
  sl_scene_block (side->scene, crest - 2 * reach, top, back - crest + 3 * reach, bottom - top, SL_NEVER);
}

/* A low plate screwed to a solid body. */
static void
draw_plate (SlSide *side, double crest, double top, double anchor)
{
  double reach = 11 * side->units_x, bottom = side->board_bottom, back = MAX (anchor, crest) + reach;

  top = MIN (top, bottom - 3);
  sl_fill_rectangle (side->scene, SL_INK_METAL, crest - reach, top, back - crest + reach, bottom - top);
  sl_scene_block (side->scene, crest - reach, top, back - crest + reach, bottom - top, SL_NEVER);
}

/* Two feet, thumb wheels on posts, a top: held by the strings alone. */
static void
draw_standing_bridge (SlSide *side, double crest, double top, gboolean wheels)
{
  cairo_t *cr = side->scene->cr;
  double half = MAX (10, 9 * side->units_x), bottom = side->board_bottom, height = bottom - top,
         split = top + height * 0.45, gap = wheels ? MAX (4, height * 0.12) : 0;

  top = MIN (top, bottom - 6);
  sl_fill_polygon (side->scene, SL_INK_BRIDGE, 4,
                   (SlPoint[]){ { crest - half * 0.6, top },
                                { crest + half * 0.6, top },
                                { crest + half * 0.75, split },
                                { crest - half * 0.75, split } });
  if (wheels)
    sl_fill_rectangle (side->scene, SL_INK_METAL, crest - half * 0.5, split, half, gap);
  cairo_move_to (cr, crest - half * 0.75, split + gap);
  cairo_line_to (cr, crest + half * 0.75, split + gap);
  cairo_line_to (cr, crest + half * 1.3, bottom);
  cairo_curve_to (cr, crest + half * 0.5, bottom, crest + half * 0.5, bottom - height * 0.16, crest,
                  bottom - height * 0.16);
  cairo_curve_to (cr, crest - half * 0.5, bottom - height * 0.16, crest - half * 0.5, bottom, crest - half * 1.3,
                  bottom);
  sl_fill_closed (side->scene, SL_INK_BRIDGE);
  sl_scene_block (side->scene, crest - half * 1.3, top, half * 2.6, height, SL_NEVER);
}

static void
draw_saddle (SlSide *side, double crest, double top)
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;
  const SlSideString *s = side->lead;
  const gboolean screws = isfinite (side->instrument->height_screw_pitch);
  double width = saddle_width (side), left = crest - width * 0.25, high = s->crest.y,
         bridge = sl_side_y (side, side->bridge_top), /* in which the saddle stands */
      low = screws ? MIN (high + MAX (8, (top - high) * 0.6), top - 2)
                   : bridge + MAX (4, (side->board_bottom - bridge) * 0.6);
  double cut = sl_planned_amount (scene->analysis, SL_OP_CUT_SADDLE_BASE, s->string) *
               cos (side->instrument->saddle_lean_rad) * side->units_z,
         shaped = sl_planned_amount (scene->analysis, SL_OP_SHAPE_CREST, s->string) * side->units_z,
         ghost_x = s->crest_before.x - width * 0.25, ghost_high = s->crest_before.y;

  for (int i = 0; screws && i < 2; i++) /* a small block on two screws */
    sl_fill_rectangle (scene, SL_INK_METAL, left + (i ? width - 3 : 0.5), low - 1, 2.5, MAX (2, top - low + 1));
  cairo_move_to (cr, left, low);
  cairo_line_to (cr, left, high + 3);
  cairo_curve_to (cr, left, high, left + width, high, left + width, high + 4);
  cairo_line_to (cr, left + width, low);
  sl_fill_closed (scene, screws ? SL_INK_METAL : SL_INK_BONE);
  if (scene->ghost && (fabs (ghost_high - high) > 1 || fabs (ghost_x - left) > 1))
    {
      cairo_move_to (cr, ghost_x, high + 3);
      cairo_line_to (cr, ghost_x, ghost_high + 2);
      cairo_curve_to (cr, ghost_x, ghost_high, ghost_x + width, ghost_high, ghost_x + width, ghost_high + 3);
      cairo_line_to (cr, ghost_x + width, high + 3);
      sl_stroke_path (scene, SL_INK_GHOST, SL_LINE_OUTLINE, SL_DASH_TRACE);
    }
  if (side->broken)
    sl_break_mark (scene, SL_INK_OUTLINE, left + width / 2, top - (top - high) * 0.3, width / 2 + 3);
  if (scene->ghost && !screws && cut > 0.3)
    {
      cut = CLAMP (cut, 3, MAX (3, low - high - 4));
      sl_hatch_rectangle (scene, SL_INK_CUT, left, low - cut, width, cut, 4);
    }
  if (shaped > 0.3 && !screws)
    sl_hatch_rectangle (scene, SL_INK_CUT, left, high - MAX (2, shaped), width, MAX (2, shaped), 3);
  sl_scene_block (scene, MIN (left, ghost_x), high, width, low - high, SL_NEVER);
}

void
sl_side_draw_bridge (SlSide *side)
{
  double crest = side->lead->crest.x, anchor = side->lead->anchor.x,
         top = MIN (sl_side_y (side, side->bridge_top), side->board_bottom - 5);

  switch (side->instrument->bridge)
    {
    case SL_BRIDGE_TAILPIECE: draw_standing_bridge (side, crest, top, FALSE); break;
    case SL_BRIDGE_FLOATING: draw_standing_bridge (side, crest, top, TRUE); break;
    case SL_BRIDGE_THROUGH_BODY: draw_plate (side, crest, top, anchor); break;
    case SL_BRIDGE_TIE_BLOCK: draw_tie_block (side, crest, top, anchor); break;
    default: draw_glued_bridge (side, crest, top, anchor); break;
    }
  draw_saddle (side, crest, top);
}

static void
draw_pin (SlSide *side, double x, double top)
{
  cairo_t *cr = side->scene->cr;
  double r = MAX (4, PIN_HEAD_MM / 2 * side->units_x), foot = (top + 2 * side->board_bottom) / 3;

  sl_fill_polygon (
      side->scene, SL_INK_BONE, 4,
      (SlPoint[]){ { x - r * 0.45, top }, { x - r * 0.3, foot }, { x + r * 0.3, foot }, { x + r * 0.55, top } });
  cairo_move_to (cr, x - r, top - 1);
  cairo_curve_to (cr, x - r, top - r * 1.9, x + r, top - r * 1.9, x + r, top - 1);
  sl_fill_closed (side->scene, SL_INK_BONE);
  sl_scene_block (side->scene, x - r, top - 1.5 * r, 2 * r, 1.5 * r, SL_NEVER);
}

/* A bar on two studs in the body. */
static void
draw_bar (SlSide *side, double x, double y)
{
  double half = MAX (5, 5 * side->units_x);

  sl_fill_rectangle (side->scene, SL_INK_METAL, x - half * 0.35, y, half * 0.7, MAX (2, side->board_bottom - y + 8));
  sl_circle (side->scene->cr, x, y, half * 0.8);
  sl_fill_shape (side->scene, SL_INK_METAL);
  sl_scene_block (side->scene, x - half, y - half, 2 * half, side->board_bottom - y + half, SL_NEVER);
}

/* A hinged plate that runs to the body's end. */
static void
draw_tail (SlSide *side, double x, double y)
{
  double end = side->area.x + side->area.width - 6, bottom = side->board_bottom;

  sl_fill_polygon (
      side->scene, SL_INK_METAL, 5,
      (SlPoint[]){ { x - 4, y - 4 }, { x + 4, y - 4 }, { end, bottom - 6 }, { end, bottom }, { x - 4, y + 4 } });
  sl_scene_block (side->scene, x - 5, y - 5, end - x + 5, MAX (10, bottom - y + 5), SL_NEVER);
}

/* The string goes on through the body to a ferrule in its back: hidden, so traced. */
static void
draw_ferrule (SlSide *side, double x, double y)
{
  sl_stroke_line (side->scene, SL_INK_PLANNED, SL_LINE_OUTLINE, SL_DASH_TRACE, x, y, x, side->body_bottom - 6);
  sl_fill_rectangle (side->scene, SL_INK_METAL, x - 4, side->body_bottom - 7, 8, 7);
  sl_scene_line (side->scene, x, y, x, side->body_bottom, SL_NEVER);
}

/* The string's turns round the tie block. */
static void
draw_tie (SlSide *side, double x, double y, double top)
{
  SlScene *scene = side->scene;
  cairo_t *cr = scene->cr;
  double half = MAX (5, 5 * side->units_x);

  cairo_move_to (cr, x - half, y);
  cairo_line_to (cr, x + half + 2, y);
  cairo_curve_to (cr, x + half + 5, y, x + half + 5, top - 2, x + half, top - 2);
  cairo_line_to (cr, x - half - 1, top - 2);
  cairo_curve_to (cr, x - half - 4, top - 2, x - half - 4, y - 1, x - half, y - 1);
  sl_stroke (cr, scene->palette, SL_INK_PLANNED, SL_LINE_THICK);
  sl_scene_block (scene, x - half - 4, top - 4, 2 * half + 8, 6, SL_NEVER);
}

void
sl_side_draw_anchor (SlSide *side)
{
  double x = side->lead->anchor.x, y = side->lead->anchor.y,
         top = MIN (sl_side_y (side, side->bridge_top), side->board_bottom - 5);

  switch (side->instrument->bridge)
    {
    case SL_BRIDGE_TAILPIECE: draw_bar (side, x, y); break;
    case SL_BRIDGE_FLOATING: draw_tail (side, x, y); break;
    case SL_BRIDGE_THROUGH_BODY: draw_ferrule (side, x, y); break;
    case SL_BRIDGE_TIE_BLOCK: draw_tie (side, x, y, top); break;
    default: draw_pin (side, x, top); break;
    }
}
