/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Edges along a line drawn in a picture, found to a tenth of a pixel (model 16.1). */
#pragma once

#include <gdk-pixbuf/gdk-pixbuf.h>

typedef struct
{
  double x, y; /* px */
} SlSpot;

/* The light of a picture, 0 to 1, row by row: what fell onto the sensor, by the transfer function of IEC 61966-2-1. */
typedef struct
{
  int width, height;
  float *at; /* width · height */
} SlGrey;
SlGrey *sl_grey_new (const GdkPixbuf *picture); /* 0.1 s for 12 million px */
void sl_grey_free (SlGrey *grey);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlGrey, sl_grey_free)

/* An edge on the line, and the thin line it may be a side of: a graduation of a rule, whose middle is what is meant. */
typedef struct
{
  SlSpot at;
  double u_px;    /* standard uncertainty along the line, noise and the line's own sampling */
  double blur_px; /* standard deviation of the blur it was seen through */
  double step;    /* change of light across it, signed from @from to @to */
  double line_px; /* how wide the thin line is, along the one that was drawn; 0: the edge is none's */
  SlSpot middle;  /* of that line */
  double middle_u_px;
} SlEdge;

/* The edge nearest to @near_px (a place on the line, px from @from) within @reach_px on the line through @from and @to,
 * also beyond them. It may cross the line at a slant of up to 45° and be bent. Some milliseconds. FALSE: none that
 * stands out of the noise. */
gboolean sl_edge_find (const SlGrey *grey, SlSpot from, SlSpot to, double near_px, double reach_px, SlEdge *edge);
