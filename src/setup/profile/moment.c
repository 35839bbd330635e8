/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/moment.h"

#include <string.h>

#define DATE_CHARS 10   /* YYYY-MM-DD */
#define MINUTE_CHARS 16 /* YYYY-MM-DDThh:mm */

/* Reads @digits decimal digits at *@p within @least to @most. */
static gboolean
parse_number (const char **p, int digits, int least, int most, int *out)
{
  int value = 0;
  for (int i = 0; i < digits; i++, (*p)++)
    {
      if (!g_ascii_isdigit (**p))
        return FALSE;
      value = 10 * value + (**p - '0');
    }
  if (out != NULL)
    *out = value;
  return value >= least && value <= most;
}

static gboolean
parse_char (const char **p, char c)
{
  if (**p != c)
    return FALSE;
  (*p)++;
  return TRUE;
}

/* "Z", "+hh", "+hh:mm" or nothing. */
static gboolean
parse_zone (const char **p)
{
  if (parse_char (p, 'Z'))
    return TRUE;
  if (!parse_char (p, '+') && !parse_char (p, '-'))
    return TRUE;
  if (!parse_number (p, 2, 0, 23, NULL))
    return FALSE;
  return !parse_char (p, ':') || parse_number (p, 2, 0, 59, NULL);
}

gboolean
sl_is_iso8601 (const char *text)
{
  const char *p = text;
  int year, month, day, hour, minute, second = 0;
  if (!parse_number (&p, 4, 1, 9999, &year) || !parse_char (&p, '-') || !parse_number (&p, 2, 1, 12, &month) ||
      !parse_char (&p, '-') || !parse_number (&p, 2, 1, 31, &day) ||
      !g_date_valid_dmy ((GDateDay) day, (GDateMonth) month, (GDateYear) year))
    return FALSE;
  if (*p == '\0')
    return TRUE;
  if (!parse_char (&p, 'T') || !parse_number (&p, 2, 0, 24, &hour) || !parse_char (&p, ':') ||
      !parse_number (&p, 2, 0, 59, &minute))
    return FALSE;
  if (parse_char (&p, ':'))
    {
      if (!parse_number (&p, 2, 0, 60, &second)) /* 60: a leap second */
        return FALSE;
      if (parse_char (&p, '.') || parse_char (&p, ','))
        {
          if (!g_ascii_isdigit (*p))
            return FALSE;
          while (g_ascii_isdigit (*p))
            p++;
        }
    }
  if (hour == 24 && (minute > 0 || second > 0))
    return FALSE;
  return parse_zone (&p) && *p == '\0';
}

/* The text with what ISO 8601 lets out and GLib wants: time and seconds. The end of a day (24:00), which GLib does not
 * know, is its last second. */
static char *
whole_text (const char *text)
{
  const char *rest = text + MINUTE_CHARS;

  if (text[DATE_CHARS] == '\0')
    return g_strconcat (text, "T00:00:00", NULL);
  if (*rest == ':')
    rest += strlen (":00");
  if (strncmp (text + DATE_CHARS, "T24", 3) == 0)
    return g_strdup_printf ("%.*sT23:59:59%s", DATE_CHARS, text, rest + strspn (rest, ".,0"));
  return g_strdup_printf ("%.*s%s%s", MINUTE_CHARS, text, rest == text + MINUTE_CHARS ? ":00" : "",
                          text + MINUTE_CHARS);
}

static gboolean
has_zone (const char *text)
{
  const char *time = text != NULL ? strchr (text, 'T') : NULL;

  return time != NULL && strpbrk (time, "Z+-") != NULL;
}

GDateTime *
sl_moment_new (const char *text, GTimeZone *zone)
{
  g_autoptr (GTimeZone) utc = g_time_zone_new_utc ();
  g_autofree char *whole = NULL;

  if (text == NULL || !sl_is_iso8601 (text))
    return NULL;
  whole = whole_text (text);
  return g_date_time_new_from_iso8601 (whole, zone != NULL ? zone : utc);
}

gint64
sl_time_of (const char *text)
{
  g_autoptr (GDateTime) time = sl_moment_new (text, NULL);

  return time != NULL ? g_date_time_to_unix (time) : 0;
}

/* The zone that stands in @text, borrowed from its @moment; NULL where none does. */
static GTimeZone *
zone_of (const char *text, GDateTime *moment)
{
  return moment != NULL && has_zone (text) ? g_date_time_get_timezone (moment) : NULL;
}

gboolean
sl_moment_compare (const char *a, const char *b, int *order)
{
  g_autoptr (GDateTime) own_a = sl_moment_new (a, NULL), own_b = sl_moment_new (b, NULL);
  g_autoptr (GDateTime) first = sl_moment_new (a, zone_of (b, own_b)), second = sl_moment_new (b, zone_of (a, own_a));

  if (first == NULL || second == NULL)
    return FALSE;
  *order = g_date_time_compare (first, second);
  return TRUE;
}
