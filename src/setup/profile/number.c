/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/number.h"

#include <string.h>

#define MOST_PLACES 100       /* decimals worth keeping; beyond them the shortest spelling is as good */
#define MOST_DOUBLE_DIGITS 17 /* significant digits that always give an IEEE 754 double back */
#define SAFE_DOUBLE_DIGITS 15 /* decimal digits every IEEE 754 double keeps */
#define MOST_PLAIN_PLACES 25  /* decimals tried before an exponent is used */

static const char *
skip_space (const char *p)
{
  while (g_ascii_isspace (*p))
    p++;
  return p;
}

static const char *
skip_digits (const char *p)
{
  while (g_ascii_isdigit (*p))
    p++;
  return p;
}

/* The end of an exponent at @p, @p itself where there is none, NULL where it is cut short. */
static const char *
skip_exponent (const char *p)
{
  if (*p != 'e' && *p != 'E')
    return p;
  p++;
  if (*p == '+' || *p == '-')
    p++;
  const char *end = skip_digits (p);
  return end > p ? end : NULL;
}

gboolean
sl_number_parse (const char *text, SlNumber *out)
{
  const char *start = skip_space (text);
  const char *p = start;
  if (*p == '+' || *p == '-')
    p++;
  /* The digits are looked at here because g_ascii_strtod() also takes hexadecimal, "inf" and "nan". */
  const char *fraction = skip_digits (p);
  gsize digits = fraction - p, places = 0;
  p = fraction;
  if (*p == '.')
    {
      fraction = skip_digits (p + 1);
      places = fraction - (p + 1);
      digits += places;
      p = fraction;
    }
  const char *exponent = p;
  p = digits > 0 ? skip_exponent (p) : NULL;
  if (p == NULL || *skip_space (p) != '\0')
    return FALSE;
  double v = g_ascii_strtod (start, NULL);
  if (!isfinite (v))
    return FALSE;
  out->v = v;
  out->places = p > exponent || places > MOST_PLACES ? -1 : (signed char) places;
  return TRUE;
}

static void
format_places (double v, int places, char *buffer)
{
  char pattern[8];
  g_snprintf (pattern, sizeof pattern, "%%.%df", places);
  g_ascii_formatd (buffer, SL_NUMBER_CHARS, pattern, v);
}

static gboolean
gives_back (const char *text, double v)
{
  double back = g_ascii_strtod (text, NULL);
  return back == v && signbit (back) == signbit (v);
}

/* The fewest decimals, at most @most, that give @v back, as text; −1 where none do. */
static int
format_plain (double v, int most, char *buffer)
{
  for (int places = 0; places <= most; places++)
    {
      format_places (v, places, buffer);
      if (gives_back (buffer, v))
        return places;
    }
  return -1;
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
  if (n.places >= 0 && n.places <= SAFE_DOUBLE_DIGITS - 1)
    {
      format_places (n.v, n.places, buffer);
      if (strlen (buffer) <= SAFE_DOUBLE_DIGITS && gives_back (buffer, n.v))
        return buffer;
    }
  int most = n.places > MOST_PLAIN_PLACES ? n.places : MOST_PLAIN_PLACES;
  int used = fabs (n.v) < 1e17 ? format_plain (n.v, most, buffer) : -1;
  if (used < 0)
    {
      for (int digits = SAFE_DOUBLE_DIGITS; digits <= MOST_DOUBLE_DIGITS; digits++)
        {
          char pattern[8];
          g_snprintf (pattern, sizeof pattern, "%%.%dg", digits);
          g_ascii_formatd (buffer, SL_NUMBER_CHARS, pattern, n.v);
          if (gives_back (buffer, n.v))
            break;
        }
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
