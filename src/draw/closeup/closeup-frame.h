/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the close-ups share: scale, strings, labels of figures; and the parts, which draw one each. */
#pragma once

#include "draw/base/dimension.h"
#include "draw/base/plan.h"
#include "draw/base/words.h"

typedef struct
{
  SlScene *scene;
  const SlInstrument *instrument;
  int string;
  SlStringState before, after;
  double diameter; /* of the string, mm */
  SlSpoken spoken;
  SlRect area;  /* below the heading */
  double scale; /* units per mm, both ways */
  double origin_x, origin_y;
} SlCloseup;

double sl_closeup_x (const SlCloseup *c, double x_mm);
double sl_closeup_y (const SlCloseup *c, double z_mm);

/* Chooses the scale at which @width by @height mm fit the area, rounded to a magnification that reads well, states it
 * in the heading, and clips to the area. */
void sl_closeup_scale (SlCloseup *c, double width_mm, double height_mm);

/* A string of true thickness whose underside runs through the points given (mm); at least 1.6 units thick. */
void sl_closeup_string (SlCloseup *c, const double (*points)[2], int n);
/* The same as measured: its two edges, dashed. */
void sl_closeup_ghost_string (SlCloseup *c, const double (*points)[2], int n);

/* Asks for a label for one figure of the string. @before and @aside may be NULL. */
void sl_closeup_figure (SlCloseup *c, SlRequest *request, const char *name, SlSay kind, const SlFigure *after,
                        const SlFigure *before, const SlFigure *aside);

/* A label of one plain text and, below, a quiet one (NULL: none). */
void sl_closeup_words (SlCloseup *c, SlRequest *request, SlInk ink, gboolean bold, const char *text,
                       const char *beneath);

void sl_closeup_nut (SlCloseup *c);
void sl_closeup_fret (SlCloseup *c, int fret);
void sl_closeup_bridge (SlCloseup *c);
