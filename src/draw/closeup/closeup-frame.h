/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The close-ups: nut end, 12th fret, saddle with bridge, in true proportions with a stated magnification. Where all
 * strings are shown they are of the bass string. What they share: scale, shapes, strings, labels of figures. */
#pragma once

#include "draw/base/dimension.h"
#include "draw/base/words.h"
#include "words/effect.h"

typedef struct
{
  SlScene *scene;
  const SlInstrument *instrument;
  int string;
  SlStringState before, after;
  double diameter; /* of the string, mm */
  SlRect area;     /* below the heading */
  double scale;    /* units per mm, both ways */
  double origin_x, origin_y;
} SlCloseup;

void sl_closeup_draw (SlScene *scene, SlPictureKind kind);

double sl_closeup_x (const SlCloseup *c, double x_mm);
double sl_closeup_y (const SlCloseup *c, double z_mm);

/* Chooses the scale at which @width mm and the heights from @low to @high fit the area, rounded to a magnification that
 * reads well, states it in the heading, places the heights with @share of what room is left above them, and clips to
 * the area. */
void sl_closeup_scale (SlCloseup *c, double width_mm, double low, double high, double share);

/* Everything from here to the parts is in mm. A closed path; the same filled and outlined; an area where labels must
 * not lie. */
void sl_closeup_polygon (SlCloseup *c, int n, const SlPoint *points);
void sl_closeup_fill (SlCloseup *c, SlInk fill, int n, const SlPoint *points);
void sl_closeup_block (SlCloseup *c, double x, double z, double width, double height);

/* A string of true thickness whose underside runs through the points given; at least 1.6 units thick. */
void sl_closeup_string (SlCloseup *c, int n, const SlPoint *points);
/* The same as measured: its two edges, dashed. */
void sl_closeup_ghost_string (SlCloseup *c, int n, const SlPoint *points);

/* The break angle at (0, @z) as an arc of @radius units, from the string's way to the frets, carried on @beyond past
 * it, to its way behind: angles as for sl_dimension_angle(). @request wants only a side; @force is told beside the
 * figure. */
void sl_closeup_break (SlCloseup *c, double z, double radius, double ahead, double rear, double beyond,
                       SlRequest request, SlPlaceOfFigure place, SlPlaceOfFigure force);

/* A fret's crown at x = 0 between two heights. */
void sl_closeup_crown (SlCloseup *c, double top_mm, double base_mm);

/* The parts, which draw one each. */
void sl_closeup_nut (SlCloseup *c);
void sl_closeup_fret (SlCloseup *c, int fret);
void sl_closeup_bridge (SlCloseup *c);
