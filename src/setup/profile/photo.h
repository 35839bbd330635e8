/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs as a document holds them, with what was measured in them, part of the profile
 * (setup/profile/profile.h). */
#pragma once

#include "setup/profile/reading.h"

/* What a photograph shows. */
typedef enum
{
  SL_ABOUT_FRET,
  SL_ABOUT_NUT,
  SL_ABOUT_SADDLE,
  SL_ABOUT_BRIDGE,
  SL_ABOUT_BINDING,
  SL_ABOUT_BODY,
  SL_ABOUT_OTHER,
  SL_N_ABOUTS
} SlAbout;

/* Whether a photograph goes onto the hand-over sheet. */
typedef enum
{
  SL_ON_SHEET_DEFAULT, /* not given: as the program chooses */
  SL_ON_SHEET_YES,
  SL_ON_SHEET_NO
} SlOnSheet;

/* What is measured in a photograph. */
typedef enum
{
  SL_MEASURE_ACTION,
  SL_MEASURE_FIRST_GAP,
  SL_MEASURE_EXPOSURE,
  SL_MEASURE_CROWN_HEIGHT,
  SL_MEASURE_CROWN_LAND,
  SL_MEASURE_SLOT_DEPTH,
  SL_MEASURE_BREAK_ANGLE,
  SL_N_MEASURES
} SlMeasure;

/* Places in a photograph are pixels of the upright picture from its top left corner: 0.5, 0.5 is the middle of the
 * first pixel. u: standard uncertainty of a mark along its line, px, as its edge was found; absent where it was set by
 * hand. blur: standard deviation of the widest blur its edges were seen through, px; absent where none was found. */

/* Four marks on the corners of a flat rectangle of known size, in turn. */
typedef struct
{
  gboolean given;
  SlNumber x[4], y[4];
  SlNumber width, height; /* mm: first to second corner, second to third */
} SlFlat;

/* A length that is known, as of a rule's graduations. */
typedef struct
{
  SlNumber x[2], y[2], u[2], blur;
  SlNumber length, uncertainty; /* mm; U of the length itself */
} SlKnownLength;

/* What was measured: a distance between two marks, or the angle a string turns by at the second of three. */
typedef struct
{
  SlMeasure of;
  int string, fret; /* 0 where it has none */
  SlHeld held;
  SlNumber x[3], y[3], u[3], blur;
  char *readings; /* id of the set its figure was taken into, or NULL */
} SlMark;

typedef struct
{
  char *id, *file; /* name in the folder of the profile's photographs */
  char *taken;     /* ISO 8601, or NULL */
  SlStage stage;
  SlAbout about;
  int fret, string; /* 0: none in particular */
  SlOnSheet on_sheet;
  SlNumber out_of_plane; /* share a length may be off by for not lying in the plane of the one that is known */
  char *note;
  SlFlat flat;
  GArray *known; /* of SlKnownLength, at most two */
  GArray *marks; /* of SlMark */
} SlPhoto;
