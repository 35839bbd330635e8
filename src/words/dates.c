/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/dates.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "setup/profile/moment.h"

#define MINUTE 60 /* seconds */
#define HOUR (60 * MINUTE)
#define FEW_HOURS (6 * HOUR) /* so long what was read before midnight is told by the hour: our own choice */

static char *
format_now (const char *format)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();

  return g_date_time_format (now, format);
}

char *
sl_now_iso (void)
{
  return format_now ("%Y-%m-%dT%H:%M:%S%:z");
}

char *
sl_today_iso (void)
{
  return format_now ("%Y-%m-%d");
}

static char *
in_words (const char *iso, const char *format)
{
  g_autoptr (GDateTime) time = sl_moment_new (iso, NULL);

  return time != NULL ? g_date_time_format (time, format) : g_strdup (iso);
}

char *
sl_date_text (const char *iso)
{
  /* Translators: a date in full, as g_date_time_format() spells it: "9 February 2026" */
  return in_words (iso, _ ("%-d %B %Y"));
}

char *
sl_date_short (const char *iso)
{
  /* Translators: a date for people, in the language's order of day, month and year (see g_date_time_format()) */
  return in_words (iso, C_ ("date", "%-d %b %Y"));
}

char *
sl_date_and_time (const char *iso)
{
  /* Translators: a date and a time, as g_date_time_format() takes it; "4 May 14:20". */
  return in_words (iso, _ ("%-d %b %H:%M"));
}

char *
sl_date_month (const char *iso)
{
  /* Translators: a month of a year, as g_date_time_format() takes it; "Feb 2026" */
  return in_words (iso, C_ ("date", "%b %Y"));
}

/* Of a moment's date, as it was written. */
static int
day_number (GDateTime *time)
{
  int year, month, day;
  GDate date;

  g_date_time_get_ymd (time, &year, &month, &day);
  g_date_clear (&date, 1);
  g_date_set_dmy (&date, (GDateDay) day, (GDateMonth) month, (GDateYear) year);
  return (int) g_date_get_julian (&date);
}

char *
sl_date_age (const char *iso, gint64 now)
{
  g_autoptr (GTimeZone) here = g_time_zone_new_local ();
  g_autoptr (GDateTime) time = sl_moment_new (iso, here), end = g_date_time_new_from_unix_local (now);

  if (time == NULL)
    return g_strdup (iso);

  const gboolean has_time = strchr (iso, 'T') != NULL;
  const gint64 age = now - g_date_time_to_unix (time);
  const int days = day_number (end) - day_number (time);

  if (has_time && age >= 0 && age < MINUTE)
    return g_strdup (_ ("just now"));
  if (has_time && age >= 0 && age < HOUR)
    /* Translators: how long ago something was read, minutes */
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d min ago", "%d min ago", (gulong) (age / MINUTE)),
                            (int) (age / MINUTE));
  if (has_time && age >= 0 && (days == 0 || age < FEW_HOURS))
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d h ago", "%d h ago", (gulong) (age / HOUR)),
                            (int) (age / HOUR));
  if (!has_time && days == 0)
    return g_strdup (_ ("today"));
  if (days == 1)
    return g_strdup (_ ("yesterday"));
  return sl_date_short (iso);
}
