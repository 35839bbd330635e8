/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pictures: the side view, and close-ups of nut end, 12th fret, and saddle with bridge in true proportions. Cairo
 * and Pango only; one function draws for the window, print, SVG, PNG and PDF. As measured is a ghost, as planned is
 * solid, what comes off is hatched; dimensions as ISO 129-1 draws them. */
#pragma once

#include "draw/base/picture.h"
#include "setup/record/history.h"

/* Draws the picture of @analysis with its top left at the current origin. @map may be NULL. */
void sl_picture_draw (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map);

/* The picture as a file's bytes; the same analysis and options give the same bytes. PNG: @scale pixels a unit. PDF: a
 * unit is a point. NULL with @error if cairo fails. */
GBytes *sl_picture_render (const SlAnalysis *analysis, const SlPictureOptions *options, SlFormat format, double scale,
                           GError **error);

/* An instrument's history and what the seasons do, as charts beside each other or in rows: figures over time with their
 * expanded uncertainty as bars; with @moisture action and relief against moisture content, with the straight lines
 * there are and bands of what they leave uncertain. Treble and bass differ by their marks, not by colour alone. Of
 * @options size, look, lengths, decimal sign and text scale count; @map (may be NULL) gets the texts. */
void sl_history_draw (cairo_t *cr, const GArray *history, const SlPictureOptions *options, gboolean moisture,
                      SlPictureMap *map);

/* How an instrument is built as a small picture: nut end and bridge end in true proportion, the neck between them
 * shortened; no text, no dimensions. Fills @width by @height units from the current origin, from about 160 by 72 on:
 * less than that is drawn, but hardly to be made out. A left-handed instrument has its head at the right. */
void sl_draw_construction (cairo_t *cr, const SlProfile *profile, SlLook look, double width, double height);

/* A sketch of where a tool goes for one reading: the neck from the side, heights far out of scale, with the
 * straightedge, the feeler or the rule at its fret and the finger or capo that holds the string; below it the board
 * from the front with the string and the place marked. A left-handed instrument has its head to the right. */
typedef struct
{
  const SlInstrument *instrument;
  SlReadingKind kind;
  int string, fret; /* 0 where the kind has none */
  SlHeld held;
  SlLook look;
} SlToolPlace;

void sl_tool_place_draw (cairo_t *cr, const SlToolPlace *place, double width, double height);

/* What is heard of a plucked string, against what is expected: a fan of lines, a partial each, of phase over the time
 * since the pluck, level in tune, rising when sharp, falling when flat, as thick as they are loud; below it the cents,
 * large, with a word and a mark. Of @options size, look, decimal sign and text scale count; @map (may be NULL) gets
 * the texts. */
#define SL_FAN_MOST_LINES 12
typedef struct
{
  guint n;                               /* columns, the first at the pluck */
  double step_s;                         /* from one to the next */
  int n_lines;                           /* the first is the fundamental's */
  const float *turns[SL_FAN_MOST_LINES]; /* of phase, over what is expected; NAN where it doesn't stand */
  const float *level[SL_FAN_MOST_LINES]; /* dB against the loudest */
  double expected_hz;                    /* of the fundamental; NAN: nothing is asked, and nothing shown */
  double tolerance;                      /* cents in which it is in tune */
  double cents, range;                   /* over what is expected, and its ±; NAN: not known yet */
} SlFanPicture;

void sl_fan_draw (cairo_t *cr, const SlFanPicture *fan, const SlPictureOptions *options, SlPictureMap *map);
