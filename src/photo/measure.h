/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the marks on a photograph say, with its uncertainty (model 16): of the marks alone, so that anyone can reckon it
 * again. */
#pragma once

#include "photo/edge.h"
#include "setup/profile/profile.h"

#define SL_HAND_MARK_U_PX 0.5 /* of a mark set by hand, along its line: our own choice */
#define SL_KNOWN_U_MM 0.02    /* U of a known length that says nothing of it, as between engraved lines: own choice */
#define SL_FLAT_U_MM 0.05     /* u of a rectangle's sides: own choice */
#define SL_BLUR_SHARE 0.1     /* u of an edge, of the blur it was seen through (model 16.4) */
#define SL_OUT_OF_PLANE_SHARE 0.01 /* assumed where one length is known and nothing else is said */

/* The scale of a photograph. */
typedef struct
{
  double mm_per_px; /* of what lies level; with four corners marked, of the rectified picture */
  double direction; /* degrees of the known length against level, −90 to 90 */
  double u_share;   /* relative standard uncertainty: marks and the length's own */
  double apart;     /* relative difference of two known lengths' scales; NAN: one alone */
} SlPhotoScale;
gboolean sl_photo_scale (const SlPhoto *photo, SlPhotoScale *out);

/* What was measured, and its standard uncertainties by their source: mm, of a break angle degrees. */
typedef struct
{
  double value, U;
  double u_scale, u_edges, u_blur, u_plane;
} SlMeasured;

/* NULL, or why it can't be said (a sentence, free with g_free()): no known length, marks on one place, corners that
 * make no rectangle. An angle needs no known length. What comes out is finite whatever is marked. */
char *sl_photo_measure (const SlPhoto *photo, const SlMark *mark, SlMeasured *out);

/* Where the rectified plane has a place of the picture, mm from the first corner along the first side and along the
 * last; of the picture itself, px, where no corners are marked. FALSE: corners that make no rectangle, or a place near
 * the plane's horizon or beyond it. */
gboolean sl_photo_flatten (const SlPhoto *photo, SlSpot at, SlSpot *flat);
