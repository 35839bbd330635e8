/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sheets: pictures of figures rather than of the instrument's side: strings, pitch, frets and gaps. What they share:
 * names of strings, texts that must fit a width, paragraphs, steps for scales. */
#pragma once

#include "draw/base/dimension.h"
#include "draw/base/words.h"

typedef struct
{
  SlScene *scene;
  const SlInstrument *in;
  int chosen;  /* string, or SL_ALL_STRINGS */
  double row;  /* height of a line of text */
  double half; /* of the text's own height: from a text's top to its middle */
} SlSheet;

void sl_sheet_init (SlSheet *sheet, SlScene *scene);

/* "6 E2"; shown, bold where it is the chosen one, with its middle at y. */
const char *sl_sheet_string_name (const SlSheet *sheet, int string);
void sl_sheet_name (const SlSheet *sheet, int string, gboolean small, double x, double middle, double align);

/* A plain number; a length without its unit. */
const char *sl_sheet_number (const SlSheet *sheet, double value, int places);
const char *sl_sheet_length (const SlSheet *sheet, double mm);

double sl_sheet_width (const SlSheet *sheet, gboolean bold, gboolean small, const char *text);

/* Of the widest string's name, in bold. */
double sl_sheet_names_width (const SlSheet *sheet, gboolean small);

/* The first of @texts that is no wider than @width, or the last. */
const char *sl_sheet_fitting (const SlSheet *sheet, const char *const *texts, int n, gboolean bold, gboolean small,
                              double width);

/* What a mark of the legend at x, @indent wide, stands for; returns where the next begins, @x where there is no room.
 */
#define SL_LEGEND_GAP SL_SPACE_PART
double sl_sheet_legend (const SlSheet *sheet, double indent, const char *text, double x, double y);

/* Text broken into lines of at most @width. Where it would take more than @most_lines nothing is shown: half a sentence
 * misleads. Returns the height taken. */
double sl_sheet_paragraph (const SlSheet *sheet, SlInk ink, gboolean bold, const char *text, double x, double y,
                           double width, int most_lines);

/* Paragraphs below each other (NULL: none), together at most @most_lines. */
typedef struct
{
  const char *text;
  SlInk ink;
  gboolean bold;
} SlParagraph;
void sl_sheet_paragraphs (const SlSheet *sheet, const SlParagraph *paragraphs, int n, SlRect part, double y,
                          int most_lines);

/* Heading of a part of the sheet, and at the right a quiet remark (NULL: none). Returns the height taken. */
double sl_sheet_heading (const SlSheet *sheet, SlRect part, const char *heading, const char *remark);

/* A step of 1, 2 or 5 times a power of ten, so that @span holds at most @most of them. */
double sl_sheet_step (double span, int most);

/* Decimals such a step wants. */
int sl_sheet_places (double step);

void sl_strings_draw (SlScene *scene);
void sl_pitch_draw (SlScene *scene);
void sl_pitch_draw_crests (const SlSheet *sheet, SlRect part);
void sl_pitch_diamond (const SlSheet *sheet, double x, double y, SlInk ink, gboolean filled);
void sl_frets_draw (SlScene *scene);
void sl_gaps_draw (SlScene *scene);

/* ---- the strings sheet ----
 *
 * The strings sheet's parts: bars of tension and forces with the other set beside. */

typedef struct
{
  SlSheet sheet;
  SlSetWorth present;      /* as planned */
  const SlSetWorth *other; /* NULL: no other set */
  const SlComparison *comparison;
  const char *other_name;
} SlStrings;

/* A bar or a slot of the present set (solid) or the other (hatched). */
void sl_strings_fill (const SlStrings *s, gboolean other, double x, double y, double width, double height);

void sl_strings_draw_bars (const SlStrings *s, SlRect part);
