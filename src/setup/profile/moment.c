/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/moment.h"

#define DATE_CHARS 10   /* YYYY-MM-DD */
#define MINUTE_CHARS 16 /* YYYY-MM-DDThh:mm */

static int
two_digits (const char *text)
{
  return 10 * (text[0] - '0') + text[1] - '0';
}

/* Whether @text begins like @most: digits where it has some, none higher, and all else as there. */
static gboolean
begins (const char *text, const char *most)
{
  for (; *most != '\0'; text++, most++)
    if (g_ascii_isdigit (*most) ? !g_ascii_isdigit (*text) || *text > *most : *text != *most)
      return FALSE;
  return TRUE;
}

/* Where the zone ends that may stand at @text; NULL where it is none. */
static const char *
past_zone (const char *text)
{
  if (*text == 'Z' || *text == '\0')
    return text + (*text == 'Z');
  if ((*text != '+' && *text != '-') || !begins (text + 1, "29") || two_digits (text + 1) > 23)
    return NULL;
  return text[3] != ':' ? text + 3 : begins (text + 3, ":59") ? text + 6 : NULL;
}

/* By hand, with no regular expression: a visit's work is asked for its dates over and over. */
gboolean
sl_is_iso8601 (const char *text)
{
  const char *at = text + MINUTE_CHARS;

  if (!begins (text, "9999-19-39") ||
      !g_date_valid_dmy ((GDateDay) two_digits (text + 8), (GDateMonth) two_digits (text + 5),
                         (GDateYear) (100 * two_digits (text) + two_digits (text + 2))))
    return FALSE;
  if (text[DATE_CHARS] == '\0')
    return TRUE;
  /* the day's end is 24:00, a leap second 60 */
  const gboolean ends = strncmp (text + DATE_CHARS, "T24:00", strlen ("T24:00")) == 0;
  if (!ends && (!begins (text + DATE_CHARS, "T29:59") || two_digits (text + DATE_CHARS + 1) > 23))
    return FALSE;
  if (*at == ':')
    {
      if (!begins (at, ends ? ":00" : ":59") && (ends || !begins (at, ":60")))
        return FALSE;
      at += strlen (":00");
      const gsize digits = *at == '.' || *at == ',' ? strspn (at + 1, "0123456789") : 0;
      at += digits > 0 ? digits + 1 : 0;
    }
  at = past_zone (at);
  return at != NULL && *at == '\0';
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

/* ---- compared without GLib's moments: a visit's work is asked which came first over and over ---- */

/* Of a valid text: microseconds in its own zone, and @offset, that zone's from UTC; @zoned: whether one stands there.
 */
static gint64
time_as_written (const char *text, gboolean *zoned, gint64 *offset)
{
  const char *zone = strpbrk (text + DATE_CHARS, "Z+-"), *at = text + MINUTE_CHARS;
  GDate day;
  gint64 seconds, us = 0;

  g_date_clear (&day, 1);
  g_date_set_dmy (&day, (GDateDay) two_digits (text + 8), (GDateMonth) two_digits (text + 5),
                  (GDateYear) (100 * two_digits (text) + two_digits (text + 2)));
  *zoned = zone != NULL;
  *offset =
      zone == NULL || *zone == 'Z' ? 0 : 60 * two_digits (zone + 1) + (zone[3] == ':' ? two_digits (zone + 4) : 0);
  *offset *= (zone != NULL && *zone == '-' ? -60 : 60) * G_USEC_PER_SEC;
  seconds = G_GINT64_CONSTANT (86400) * g_date_get_julian (&day);
  if (text[DATE_CHARS] == '\0')
    return seconds * G_USEC_PER_SEC;
  if (strncmp (text + DATE_CHARS, "T24", 3) == 0) /* its last second, as in whole_text() */
    return (seconds + 86399) * G_USEC_PER_SEC;
  seconds += 60 * (60 * two_digits (text + DATE_CHARS + 1) + two_digits (text + MINUTE_CHARS - 2));
  if (*at == ':')
    {
      seconds += MIN (two_digits (at + 1), 59);
      us = two_digits (at + 1) == 60 ? G_USEC_PER_SEC - 1 : 0; /* a leap second is the end of the one before */
      at += 3;
    }
  if (us == 0 && (*at == '.' || *at == ','))
    for (gint64 unit = G_USEC_PER_SEC / 10; g_ascii_isdigit (*++at); unit /= 10)
      us += unit * (*at - '0');
  return seconds * G_USEC_PER_SEC + us;
}

gboolean
sl_moment_compare (const char *a, const char *b, int *order)
{
  gboolean zoned_a, zoned_b;
  gint64 offset_a, offset_b;

  if (a == NULL || b == NULL || !sl_is_iso8601 (a) || !sl_is_iso8601 (b))
    return FALSE;
  gint64 first = time_as_written (a, &zoned_a, &offset_a), second = time_as_written (b, &zoned_b, &offset_b);
  if (zoned_a && zoned_b)
    {
      first -= offset_a;
      second -= offset_b;
    }
  *order = (first > second) - (first < second);
  return TRUE;
}
