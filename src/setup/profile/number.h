/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A number as a document holds it: its value, whether it was given at all, and with how many decimals it was written,
 * so that writing what was read gives the same bytes ("1.10" stays "1.10"). */
#pragma once

#include <glib.h>
#include <math.h>

typedef struct
{
  double v;           /* NAN where the number was not given */
  signed char places; /* decimals as written, −1: as many as the value needs */
} SlNumber;

#define SL_NUMBER_ABSENT ((SlNumber){ NAN, -1 })

/* A given number, written with as many decimals as it needs. */
static inline SlNumber
sl_number (double v)
{
  return (SlNumber){ v, -1 };
}

static inline gboolean
sl_number_is_set (SlNumber n)
{
  return !isnan (n.v);
}

/* The value, or @fallback where none was given. */
static inline double
sl_number_or (SlNumber n, double fallback)
{
  return isnan (n.v) ? fallback : n.v;
}

/* Reads a number in the C locale as a document spells it (white space around it allowed, exponent allowed); the number
 * of decimals is kept. Returns FALSE where @text is not wholly one finite number. */
gboolean sl_number_parse (const char *text, SlNumber *out);

/* Writes @n in the C locale: with its own number of decimals where that gives the value back, else the shortest text
 * that does.
 * @buffer takes at least SL_NUMBER_CHARS bytes and is returned. */
#define SL_NUMBER_CHARS 400
const char *sl_number_format (SlNumber n, char *buffer);

/* @v as printf's "%.9g" writes it in the C locale, in a fraction of the time; @buffer takes at least SL_NUMBER_CHARS
 * bytes and is filled from its end: returns where the text begins. */
const char *sl_number_nine_digits (double v, char *buffer);
