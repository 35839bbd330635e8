/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one version of a profile holds against another, in words. */
#pragma once

#include "words/figures.h"

typedef struct
{
  char *name;       /* "Relief at fret 6, string 6" */
  char *then, *now; /* "0.20 mm"; NULL: nothing of that name was there, or is */
} SlProfileChange;

/* A GPtrArray of SlProfileChange that owns them, in the order of the document, what is new behind; empty where both
 * would be saved as the same bytes, and never else. */
GPtrArray *sl_profile_changes (const SlProfile *before, const SlProfile *after, const SlTextStyle *style);

/* One as a line: "Relief at fret 6, string 6: 0.31 mm, in the file 0.20 mm". Free with g_free(). */
char *sl_profile_change_text (const SlProfileChange *change);

/* @text on one line, at most 300 characters of it, from shortly before where @other (may be NULL) differs. Free with
 * g_free(); NULL for NULL. */
char *sl_text_shortened (const char *text, const char *other);
