/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pictures: the side view, and close-ups of nut end, 12th fret, and saddle with bridge in true proportions. Cairo
 * and Pango only; one function draws for the window, print, SVG, PNG and PDF. As measured is a ghost, as planned is
 * solid, what comes off is hatched; dimensions as ISO 129-1 draws them. */
#pragma once

#include "draw/base/picture.h"

/* Draws the picture of @analysis with its top left at the current origin. @map may be NULL. */
void sl_picture_draw (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map);

/* The picture as a file's bytes; the same analysis and options give the same bytes. PNG: @scale pixels a unit. PDF: a
 * unit is a point. NULL with @error if cairo fails. */
GBytes *sl_picture_render (const SlAnalysis *analysis, const SlPictureOptions *options, SlFormat format, double scale,
                           GError **error);
