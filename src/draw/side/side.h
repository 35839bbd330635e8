/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view, and its geometry, shared by the files that draw its parts. Lengths along the neck are to scale;
 * heights over the crown chord are magnified; head, neck and body, which would not fit a stage magnified so, are in
 * true proportion or drawn as symbols. Both states are drawn in one frame, that of the planned crown chord with the
 * body at rest: turning the rod moves the neck, not the bridge. */
#pragma once

#include "draw/side/hardware.h"
#include "draw/base/words.h"
#include "words/effect.h"

/* The whole picture into scene->stage. */
void sl_side_draw (SlScene *scene);

/* One string before and after the work, and where its way is drawn. Heights of @before are in the measured chord's
 * frame; sl_side_y_from() brings them into the picture's. */
typedef struct
{
  int string;
  SlStringState before, after;
  SlPoint post, guide, nut, crest, anchor; /* guide: where the nut leads it; the nut's own place unless a fret stands
                                              before it */
  SlPoint nut_before, crest_before;
} SlSideString;

typedef struct
{
  SlScene *scene;
  const SlInstrument *instrument;
  gboolean bare;           /* the small picture of a construction: nothing that is read off it */
  double units_x, units_z; /* units per mm along, and up */
  double origin_x, origin_y;
  SlRect area;                                                             /* between caption and legend */
  double board_thickness, neck_depth, board_bottom, body_top, body_bottom; /* units; the latter three are places */
  double least_saddle;                                                     /* units */
  double bridge_top;                                                       /* z, planned frame */
  gboolean broken;          /* the exposure is too long to be drawn to scale: a break says so */
  double head_length;       /* mm along the face */
  double tilt;              /* of the drawn head: as given, or less where a long head would leave the stage */
  double left_mm, right_mm; /* ends of what is drawn */
  double nut_mm;            /* front of the nut: 0, or behind the fret that stands there */
  double most_anchor;       /* mm: farther behind the crest no anchor is drawn */
  double short_from, short_to, short_share; /* mm: what lies between is drawn at this share of its length */
  SlSideString strings[SL_MAX_STRINGS];
  int n_strings;            /* drawn, bass last */
  const SlSideString *lead; /* the one frets, bridge and handles go by */
  const double *x;          /* its fret places */
  int held;
} SlSide;

double sl_side_x (const SlSide *side, double x_mm); /* along the lead string */
/* A place along another string, drawn so that its frets stand where the lead's do. */
double sl_side_string_x (const SlSide *side, const SlSideString *s, double x_mm);

double sl_side_y (const SlSide *side, double z_mm);

/* y of the body's top at @x: level, or an arch that is highest below the crest. */
double sl_side_top (const SlSide *side, double x);

/* Where a height of another state below the same string is drawn in the frame of the picture. */
double sl_side_y_from (const SlSide *side, const SlSideString *s, const SlStringState *other, double x_mm, double z_mm);

/* What was read before in the visit, of SlEarlier, or NULL: nothing was, or the picture is not one to work with. */
const GArray *sl_side_earlier (const SlSide *side);

/* Chooses strings, and how far head and body reach; and where the ways of the strings are drawn, once scales and bridge
 * are known. */
void sl_side_choose (SlSide *side);
void sl_side_place_strings (SlSide *side);

/* Parts: each draws, and enters what labels must keep clear of. */
void sl_side_draw_wood (SlSide *side); /* body, neck, head, board, nut */
void sl_side_draw_frets (SlSide *side);
void sl_side_draw_bridge (SlSide *side); /* with saddle and what comes off it */
void sl_side_draw_anchor (SlSide *side); /* what holds the string, in front of it */
void sl_side_draw_traces (SlSide *side); /* earlier readings of the visit: string and crowns as thin lines */
/* The crowns of another state, crown to crown below the string the frets are drawn by; nothing where hardly any moved.
 */
void sl_side_trace_crowns (SlSide *side, const SlStringState *past, SlInk ink, double width, SlDash dash);
void sl_side_draw_strings (SlSide *side);
void sl_side_draw_figures (SlSide *side); /* dimensions, and labels asked for */

#define SL_SADDLE_LEAST_UNITS 9.0 /* a saddle narrower than this would be hidden by its handle */
