/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests of the drawing ask of a picture that was drawn: which texts it shows, and that they keep to their
 * stage and off each other. */
#pragma once

#include "draw/base/picture.h"

/* Draws on a surface that takes no pixels: texts are placed all the same. @map (may be NULL) has been made with
 * sl_picture_map_init(). */
void shown_draw (const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map);

/* Whether some text has @part in it; the text that is @text, or NULL. */
gboolean shown_says (const SlPictureMap *map, const char *part);
const SlPictureLabel *shown_find (const SlPictureMap *map, const char *text);

/* Every text of a picture of this size that leaves its stage, lies on another or shows what is no number, in a sentence
 * each; free with g_ptr_array_unref(). */
GPtrArray *shown_faults (const SlPictureMap *map, double width, double height);

/* Whether a segment comes inside a rectangle. */
gboolean shown_runs_through (const SlRect *rect, double x0, double y0, double x1, double y1);

/* No text leaves the stage, lies on another or shows what is no number. @seed tells how to have a failure again. */
void shown_check (const SlPictureMap *map, const SlPictureOptions *options, guint seed);

typedef struct
{
  double width, height;
} ShownSize;

/* Sizes a window gives its pictures. */
#define SHOWN_SIZES                                                                                                    \
  {                                                                                                                    \
    { 700, 360 }, { 820, 420 }, { 980, 400 }, { 1280, 640 }, { 1600, 900 },                                            \
    {                                                                                                                  \
      1900, 1000                                                                                                       \
    }                                                                                                                  \
  }

/* Options by chance: size, string, units, decimal sign and text size. The rest as sl_picture_options_init() has it. */
void shown_choose (GRand *rand, const SlProfile *profile, const ShownSize *sizes, guint n_sizes,
                   SlPictureOptions *options);
