/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers as digits of a scaled whole number. printf with a guard against the locale took as long as the model itself,
 * and a report of a thousand files holds half a million numbers. */

#include "calc.h"

#define DIGITS 9 /* significant digits in CSV; the format promises at least six */
/* smaller than this only by what is left of sums of millimetres: 0, and the same 0 on every machine */
#define ROUNDING 1e-12
#define MINUS "\342\210\222" /* U+2212 */
#define MOST_PLACES 6

static const double powers[] = { 1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12 };

char *
sl_put_digits (char *at, guint64 value, int width)
{
  char reversed[24];
  int n = 0;
  while (value > 0 || n < width)
    {
      reversed[n++] = (char) ('0' + value % 10);
      value /= 10;
    }
  while (n > 0)
    *at++ = reversed[--n];
  return at;
}

/* @scaled stands for scaled/10^places. */
static char *
put_scaled (char *at, guint64 scaled, int places, const char *decimal)
{
  guint64 one = (guint64) powers[places];
  at = sl_put_digits (at, scaled / one, 1);
  if (places > 0)
    {
      at = g_stpcpy (at, decimal);
      at = sl_put_digits (at, scaled % one, places);
    }
  return at;
}

char *
sl_csv_number (char *buffer, double value)
{
  double size = fabs (value);
  char *at = buffer;
  if (size < ROUNDING)
    {
      *at++ = '0';
      return at;
    }
  if (size < 1e-3 || size >= 1e8)
    {
      g_ascii_formatd (buffer, SL_CSV_NUMBER_CHARS, "%.9g", value);
      return buffer + strlen (buffer);
    }
  int before = 1; /* digits before the point; 0, −1, −2 for leading zeros after it */
  if (size >= 1)
    while (size >= powers[before])
      before++;
  else
    for (before = 0; size * powers[1 - before] < 1; before--)
      ;
  int places = DIGITS - before;
  guint64 scaled = (guint64) rint (size * powers[places]);
  while (places > 0 && scaled % 10 == 0)
    {
      scaled /= 10;
      places--;
    }
  if (value < 0)
    *at++ = '-';
  return put_scaled (at, scaled, places, ".");
}

char *
sl_put_plain (char *at, double value, int places, const char *decimal)
{
  double scaled = rint (fabs (value) * powers[places]);
  g_return_val_if_fail (places <= MOST_PLACES && scaled < 1e15, at);
  if (value < 0 && scaled > 0)
    at = g_stpcpy (at, MINUS);
  return put_scaled (at, (guint64) scaled, places, decimal);
}
