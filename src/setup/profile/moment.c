/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/moment.h"

#include <stdlib.h>
#include <string.h>

#define DATE_CHARS 10   /* YYYY-MM-DD */
#define MINUTE_CHARS 16 /* YYYY-MM-DDThh:mm */

/* What ISO 8601 has of a date, with the time and zone that may follow. The day's end is 24:00, a leap second 60. */
#define FRACTION "([.,][0-9]+)?"
#define OF_60 "[0-5][0-9]"
#define OF_24 "([01][0-9]|2[0-3])"
#define TIME "(" OF_24 ":" OF_60 "(:(" OF_60 "|60)" FRACTION ")?|24:00(:00" FRACTION ")?)"
#define ZONE "(Z|[+-]" OF_24 "(:" OF_60 ")?)?"
#define MOMENT "^[0-9]{4}-[0-9]{2}-[0-9]{2}(T" TIME ZONE ")?$"

gboolean
sl_is_iso8601 (const char *text)
{
  static GRegex *moment; /* compiled once: a visit's work is asked for its dates over and over */

  if (g_once_init_enter (&moment))
    g_once_init_leave (&moment, g_regex_new (MOMENT, G_REGEX_RAW | G_REGEX_DOLLAR_ENDONLY | G_REGEX_OPTIMIZE, 0, NULL));
  return g_regex_match (moment, text, 0, NULL) &&
         g_date_valid_dmy ((GDateDay) atoi (text + 8), (GDateMonth) atoi (text + 5), (GDateYear) atoi (text));
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

/* Whether two valid texts are written alike, down to the zone, and plainly: then they can be compared as they stand,
 * which a visit's work is, over and over. */
static gboolean
written_alike (const char *a, const char *b)
{
  const char *zone_a = strpbrk (a + DATE_CHARS, "Z+-"), *zone_b = strpbrk (b + DATE_CHARS, "Z+-");
  const gboolean odd = strstr (a, "T24") != NULL || strstr (b, "T24") != NULL || strstr (a, ":60") != NULL ||
                       strstr (b, ":60") != NULL || strchr (a, ',') != NULL || strchr (b, ',') != NULL;

  if (odd || strlen (a) != strlen (b) || (zone_a == NULL) != (zone_b == NULL))
    return FALSE;
  return zone_a == NULL || (zone_a - a == zone_b - b && strcmp (zone_a, zone_b) == 0);
}

gboolean
sl_moment_compare (const char *a, const char *b, int *order)
{
  if (a != NULL && b != NULL && sl_is_iso8601 (a) && sl_is_iso8601 (b) && written_alike (a, b))
    {
      const int compared = strcmp (a, b);

      *order = (compared > 0) - (compared < 0);
      return TRUE;
    }
  g_autoptr (GDateTime) own_a = sl_moment_new (a, NULL), own_b = sl_moment_new (b, NULL);
  g_autoptr (GDateTime) first = sl_moment_new (a, zone_of (b, own_b)), second = sl_moment_new (b, zone_of (a, own_a));

  if (first == NULL || second == NULL)
    return FALSE;
  *order = g_date_time_compare (first, second);
  return TRUE;
}
