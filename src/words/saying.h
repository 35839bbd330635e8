/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What sentences are made of: each figure as text, kept until the sentence is made. */
#pragma once

#include "words/figures.h"

typedef struct
{
  const SlTextStyle *style;
  const SlProfile *profile; /* NULL: strings have numbers only */
  GPtrArray *texts;
} Saying;

static inline Saying
saying (const SlTextStyle *style, const SlProfile *profile)
{
  return (Saying){ style, profile, g_ptr_array_new_with_free_func (g_free) };
}

static inline void
saying_end (Saying *say)
{
  g_ptr_array_unref (say->texts);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Saying, saying_end)

/* NULL stays NULL. */
static inline const char *
own (const Saying *say, char *text)
{
  g_ptr_array_add (say->texts, text);
  return text;
}

static inline const char *G_GNUC_PRINTF (2, 3) said (const Saying *say, const char *format, ...)
{
  const char *text;
  va_list args;

  va_start (args, format);
  text = own (say, g_strdup_vprintf (format, args));
  va_end (args);
  return text;
}

/* With its unit, and without; as fine lengths are written, and with its sign. */
static inline const char *
length (const Saying *say, double mm)
{
  return own (say, sl_text_length_unit (say->style, mm));
}

static inline const char *
bare (const Saying *say, double mm)
{
  return own (say, sl_text_length (say->style, mm));
}

static inline const char *
fine (const Saying *say, double mm)
{
  return own (say, sl_text_fine (say->style, mm));
}

static inline const char *
change (const Saying *say, double mm)
{
  return own (say, sl_text_change (say->style, mm));
}

static inline const char *
number (const Saying *say, double value, int places)
{
  return own (say, sl_plain_format (value, places, say->style->decimal));
}

static inline const char *
signed_number (const Saying *say, double value, int places)
{
  return own (say, sl_text_plain (say->style, value, places, TRUE));
}

static inline const char *
percent (const Saying *say, double value)
{
  return own (say, sl_text_percent (say->style, value));
}

/* "6", or of a string in a course "5 (course 3, octave)". */
static inline const char *
string_name (const Saying *say, int string)
{
  return own (say, sl_string_named (say->profile, string));
}
