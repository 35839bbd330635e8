/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/number.h"

#define WHITE " \t\n\v\f\r"
#define MOST_PLACES 100       /* decimals worth keeping; beyond them the shortest spelling is as good */
#define MOST_DOUBLE_DIGITS 17 /* significant digits that always give an IEEE 754 double back */
#define SAFE_DOUBLE_DIGITS 15 /* decimal digits every IEEE 754 double keeps */
#define MOST_PLAIN_PLACES 25  /* decimals tried before an exponent is used */
#define MOST_PLAIN 1e17       /* from here on an exponent is used */
#define LEAST_QUICK 1e-4      /* sizes that nine digits are written of without an exponent … */
#define MOST_QUICK 1e8 /* … and as a whole number of at most the twelfth decimal, a power of ten that is exact */
#define NEAR_HALF 1e-5 /* of the last digit: far more than multiplying can be off by */

gboolean
sl_number_parse (const char *text, SlNumber *out)
{
  const char *start = text + strspn (text, WHITE);
  /* The characters are looked at because g_ascii_strtod() also takes hexadecimal, "inf" and "nan". */
  const char *end = start + strspn (start, "0123456789.eE+-");
  const char *point = memchr (start, '.', end - start);
  char *read;
  const double v = g_ascii_strtod (start, &read);

  if (read == start || read != end || end[strspn (end, WHITE)] != '\0' || !isfinite (v))
    return FALSE;
  const gsize places = point != NULL ? end - point - 1 : 0;

  out->v = v;
  out->places = strcspn (start, "eE") < (gsize) (end - start) || places > MOST_PLACES ? -1 : (signed char) places;
  return TRUE;
}

/* Writes @v with so many decimals, or digits, and says whether that gives it back. */
static gboolean
gives_back (double v, const char *conversion, int digits, char *buffer)
{
  char pattern[8];

  g_snprintf (pattern, sizeof pattern, "%%.%d%s", digits, conversion);
  g_ascii_formatd (buffer, SL_NUMBER_CHARS, pattern, v);
  const double back = g_ascii_strtod (buffer, NULL);

  return back == v && signbit (back) == signbit (v);
}

const char *
sl_number_format (SlNumber n, char *buffer)
{
  if (!isfinite (n.v))
    {
      g_strlcpy (buffer, isnan (n.v) ? "NaN" : n.v > 0 ? "INF" : "-INF", SL_NUMBER_CHARS);
      return buffer;
    }
  /* Decimals beyond those the value needs are zeros: "0.100000000000000000" must not come back with a double's own
   * digits. */
  if (n.places >= 0 && n.places <= SAFE_DOUBLE_DIGITS - 1 && gives_back (n.v, "f", n.places, buffer) &&
      strlen (buffer) <= SAFE_DOUBLE_DIGITS)
    return buffer;
  const int most = MAX (n.places, MOST_PLAIN_PLACES);
  int used = 0, digits = SAFE_DOUBLE_DIGITS;

  while (used <= most && fabs (n.v) < MOST_PLAIN && !gives_back (n.v, "f", used, buffer))
    used++;
  if (used > most || fabs (n.v) >= MOST_PLAIN)
    {
      while (!gives_back (n.v, "g", digits, buffer) && digits < MOST_DOUBLE_DIGITS)
        digits++;
      return buffer;
    }
  gsize length = strlen (buffer);
  if (used < n.places && used == 0)
    buffer[length++] = '.';
  for (; used < n.places; used++)
    buffer[length++] = '0';
  buffer[length] = '\0';
  return buffer;
}

const char *
sl_number_nine_digits (double v, char *buffer)
{
  static const double powers[] = { 1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12 };
  const double size = fabs (v);
  char *at = buffer + SL_NUMBER_CHARS - 1;
  int places = G_N_ELEMENTS (powers) - 1;

  while (places > 0 && size * powers[places] >= 1e9)
    places--;
  const double scaled = size * powers[places], left = scaled - floor (scaled);

  if (!(size == 0 || (size >= LEAST_QUICK && size < MOST_QUICK)) || fabs (left - 0.5) < NEAR_HALF)
    return g_ascii_formatd (buffer, SL_NUMBER_CHARS, "%.9g", v);
  guint64 digits = (guint64) scaled + (left > 0.5);

  for (; places > 0 && digits % 10 == 0; places--)
    digits /= 10;
  *at = '\0';
  do
    {
      *--at = (char) ('0' + digits % 10);
      digits /= 10;
      if (--places == 0)
        *--at = '.';
    }
  while (digits > 0 || places >= 0);
  if (signbit (v))
    *--at = '-';
  return at;
}
