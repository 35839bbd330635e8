/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the sentences of a proposal are made of: each figure as text, kept until the sentence is made. */
#pragma once

#include "words/figures.h"

typedef struct
{
  const SlTextStyle *style;
  const SlProfile *profile; /* NULL: strings have numbers only */
  GPtrArray *texts;
} Saying;

static inline const char *
own (const Saying *say, char *text)
{
  g_ptr_array_add (say->texts, text);
  return text;
}

static inline const char *
length (const Saying *say, double mm)
{
  return own (say, sl_text_length_unit (say->style, mm));
}

static inline const char *
number (const Saying *say, double value, int places)
{
  return own (say, sl_plain_format (value, places, say->style->decimal));
}

/* "6", or of a string in a course "5 (course 3, octave)". */
static inline const char *
string_name (const Saying *say, int string)
{
  return own (say, sl_string_named (say->profile, string));
}
