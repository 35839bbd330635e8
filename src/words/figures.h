/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures as people read them: lengths with or without sign and unit, uncertainties, angles, forces, and the short
 * names of strings. Every function returns a new string; a figure that can't be given (NAN) is written as an en
 * dash. */
#pragma once

#include <glib/gi18n-lib.h>

#include "setup/physics/figures.h"
#include "setup/profile/units.h"

/* How lengths are to be written. */
typedef struct
{
  SlLengths lengths;
  const char *decimal; /* decimal sign */
} SlTextStyle;

/* A length with two decimals, with and without its unit: "2.30", "0.091", "5/64"; "2.30 mm". */
char *sl_text_length (const SlTextStyle *style, double mm);
char *sl_text_length_unit (const SlTextStyle *style, double mm);

/* The same for lengths for which a 64th is too coarse (relief, first gap, margins, what comes off): decimal inches
 * where 64ths are chosen. */
char *sl_text_fine (const SlTextStyle *style, double mm);

/* Such a length with @places decimals, one more in inches. */
char *sl_text_measure (const SlTextStyle *style, double mm, int places, gboolean unit);

/* A radius of board or saddle with its unit, or that it is flat; one below 0 is hollow. */
char *sl_text_radius (const SlTextStyle *style, double mm);

/* A fine length with its sign, U+2212 or +; nothing in front of what rounds to zero. */
char *sl_text_change (const SlTextStyle *style, double mm);

/* "±0.16" for a standard uncertainty of @u_mm: U = 2u. NULL where none applies. */
char *sl_text_uncertainty (const SlTextStyle *style, double u_mm);

/* The same behind a figure of a sentence or a picture, " ± 0.16"; "" where it isn't known or would not show. */
char *sl_text_spread (const SlTextStyle *style, double u_mm);
char *sl_text_plain_spread (const SlTextStyle *style, double u, int places);

/* A plain number, its sign in front where @sign. */
char *sl_text_plain (const SlTextStyle *style, double value, int places, gboolean sign);

/* A pitch that was heard, in cents, "+3.2", and its U, "0.2" (NULL where it is NAN), with as many decimals as U has
 * sense in, and no U of nothing. Free both with g_free(). */
char *sl_text_heard (const SlTextStyle *style, double cents, double range, char **spread);

/* "45 %". */
char *sl_text_percent (const SlTextStyle *style, double percent);

/* "by a hand of 1.6 N": whose clean action, or margin, it is. */
char *sl_text_hand (double force_n, const char *decimal);

/* @text, which is taken, with "≈ " before it where @figure is assumed. */
char *sl_marked (const SlFigure *figure, char *text);

/* "mm" or "in", to follow a fine length; 64ths are fractions of an inch. */
const char *sl_text_unit (const SlTextStyle *style);

/* "6 E" for string 6 tuned to E2: number and note without its octave; the number alone where no note is given. And
 * with the course of a string that lies in one, where there is room: "6 G, course 3, octave". */
char *sl_text_string (const SlProfile *profile, int string);
char *sl_text_string_course (const SlProfile *profile, int string);

/* "course 3, octave", or "course 3" of a string that sounds no more than a fifth over the lowest of its course; NULL
 * where strings lie in no courses. */
char *sl_text_course (const SlProfile *profile, int string);

/* A string in a sentence or a list: its number, and which of a course it is in brackets after it (@profile NULL:
 * never).
 */
char *sl_string_named (const SlProfile *profile, int string);

/* The strings to tell of: the outer ones and the chosen one (0: none), bass first; returns how many. */
int sl_told_strings (int n_strings, int chosen, int strings[3]);
