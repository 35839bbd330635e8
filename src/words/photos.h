/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What photographs and what is measured in them are called. */
#pragma once

#include "words/figures.h"

const char *sl_about_title (SlAbout about);       /* "Saddle" */
const char *sl_measure_title (SlMeasure measure); /* "Crown land" */
const char *sl_measure_told (SlMeasure measure);  /* the same to a customer: "Flat on top of the fret" */

/* What a photograph shows: "Fret 3, string 2", "Bridge"; of what has no name of its own (body, other, a fret without
 * its number) the first line of the note, where there is one. Free with g_free(). */
char *sl_photo_title (const SlPhoto *photo);

/* Its first line of note, or what it shows. Free with g_free(). */
char *sl_photo_caption (const SlPhoto *photo);

/* What a mark measures, and where: "String over crown: string 6, fret 12". Free with g_free(). */
char *sl_mark_title (const SlMark *mark);
