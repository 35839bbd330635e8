/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines as engineering drawing draws them: dimension, extension and leader lines after ISO 129-1 and ISO 128-22, line
 * types after ISO 128-20, hatching after ISO 128-50. */
#pragma once

#include "draw/base/scene.h"

#define SL_ARROW_LENGTH 7.0
#define SL_EXTENSION_GAP 1.5       /* between outline and extension line */
#define SL_EXTENSION_OVERSHOOT 3.0 /* past the dimension line */

typedef enum
{
  SL_DASH_NONE,
  SL_DASH_GHOST, /* dashed: as measured */
  SL_DASH_CHAIN, /* long dash, dot: reference lines */
  SL_DASH_TRACE  /* short dashes: construction */
} SlDash;

/* A closed path. */
void sl_polygon (cairo_t *cr, int n, const SlPoint *points);

void sl_set_dash (cairo_t *cr, SlDash dash);
void sl_stroke_path (SlScene *scene, SlInk ink, double width, SlDash dash);
void sl_stroke_line (SlScene *scene, SlInk ink, double width, SlDash dash, double x0, double y0, double x1, double y1);

/* Fills and outlines the current path, as it is or closed, a polygon, a rectangle. */
void sl_fill_shape (SlScene *scene, SlInk fill);
void sl_fill_closed (SlScene *scene, SlInk fill);
void sl_fill_polygon (SlScene *scene, SlInk fill, int n, const SlPoint *points);
void sl_fill_rectangle (SlScene *scene, SlInk fill, double x, double y, double width, double height);

/* A filled arrowhead with its tip at (x, y), pointing along (dx, dy). */
void sl_arrowhead (SlScene *scene, SlInk ink, double x, double y, double dx, double dy);

/* The request for the figure of an upright dimension at its x between two heights, which is drawn with it and labels
 * keep clear of; extension lines come from the outlines at @from0 and @from1 (equal to x: none), and a break crosses it
 * at @broken (0: none). Where there is no room between for arrowheads they point inward from outside. */
SlRequest sl_dimension_upright (SlScene *scene, SlRequest request, double y0, double y1, double from0, double from1,
                                double broken);

/* A break across an upright line at (x, y), in @ink on paper: what it crosses is drawn shorter than it is. */
void sl_break_mark (SlScene *scene, SlInk ink, double x, double y, double half_width);

/* An angle between two directions (radians, clockwise from the x axis as cairo has it) as an arc with arrowheads. */
void sl_dimension_angle (SlScene *scene, SlInk ink, double cx, double cy, double radius, double angle0, double angle1);

/* Hatches the current path (which is consumed), or a rectangle, and outlines it; the same with dots. */
void sl_hatch (SlScene *scene, SlInk ink, double spacing);
void sl_dot (SlScene *scene, SlInk ink, double spacing);
void sl_hatch_rectangle (SlScene *scene, SlInk ink, double x, double y, double width, double height, double spacing);

/* A ring with paper inside, and a second ring round it where it has the focus. */
void sl_draw_handle (SlScene *scene, SlHandleKind kind, double x, double y);
