/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's bridge end, with where the saddle was and what comes off it or is added to it. */
#include "draw/side/side.h"

#include "setup/profile/construction.h"

#define LEAST_TOP 5.0 /* units of a bridge over the body */

static SlHardware
hardware_of (const SlSide *side)
{
  return (SlHardware){
    .scene = side->scene,
    .in = side->instrument,
    .unit = side->units_x,
    .least = side->least_saddle,
    .string = side->bare ? SL_LINE_OUTLINE : SL_LINE_THICK,
    .crest = side->lead->crest,
    .top = MIN (sl_side_y (side, side->bridge_top), side->body_top - (side->bare ? 1 : LEAST_TOP)),
    .body = side->body_top,
    .back = side->body_bottom,
    .anchor = side->lead->anchor,
    .end = side->area.x + side->area.width,
  };
}

/* The saddle as measured, above where it is planned. */
static void
draw_ghost (const SlSide *side, const SlRect *r)
{
  const SlSideString *s = side->lead;
  cairo_t *cr = side->scene->cr;
  const double x = r->x + s->crest_before.x - s->crest.x, high = s->crest_before.y, foot = r->y + 3;

  if (fabs (high - r->y) <= 1 && fabs (x - r->x) <= 1)
    return;
  cairo_move_to (cr, x, foot);
  cairo_line_to (cr, x, high + 2);
  cairo_curve_to (cr, x, high, x + r->width, high, x + r->width, high + 3);
  cairo_line_to (cr, x + r->width, foot);
  sl_stroke_path (side->scene, SL_INK_GHOST, SL_LINE_OUTLINE, SL_DASH_TRACE);
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
  draw_ghost (side, &r);
  draw_cuts (side, &r);
}

void
sl_side_draw_anchor (SlSide *side)
{
  const SlHardware h = hardware_of (side);

  sl_bridge_build (h.in)->anchor (&h);
}
