/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/figure-text.h"

#include <glib/gi18n-lib.h>

#include <math.h>
#include <string.h>

#define PLACES 2               /* hundredths of a millimetre: what a feeler gauge or a dial resolves */
#define COVERAGE 2             /* U = 2u: about 95 %, GUM 6.2 */
#define MINUTE 60              /* seconds */
#define HOUR (60 * MINUTE)
#define FEW_HOURS (6 * HOUR)   /* so long what was read before midnight is told by the hour: our own choice */
#define NOT_GIVEN "\xe2\x80\x93" /* en dash */

static char *
format (const SlTextStyle *style, double mm, SlLengths lengths)
{
  return isnan (mm) ? g_strdup (NOT_GIVEN) : sl_length_format (mm, lengths, PLACES, style->decimal, FALSE);
}

static SlLengths
fine_lengths (const SlTextStyle *style)
{
  return style->lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : style->lengths;
}

char *
sl_text_length (const SlTextStyle *style, double mm)
{
  return format (style, mm, sl_lengths_for (style->lengths, mm));
}

char *
sl_text_fine (const SlTextStyle *style, double mm)
{
  return format (style, mm, fine_lengths (style));
}

/* Whether the digits say more than nothing. */
static gboolean
says_something (const char *text)
{
  return strpbrk (text, "123456789") != NULL;
}

static char *
with_plus (char *text, double value)
{
  g_autofree char *plain = text;

  return value > 0 && says_something (plain) ? g_strconcat ("+", plain, NULL) : g_steal_pointer (&plain);
}

char *
sl_text_change (const SlTextStyle *style, double mm)
{
  return with_plus (sl_text_fine (style, mm), mm);
}

char *
sl_text_uncertainty (const SlTextStyle *style, double u_mm)
{
  g_autofree char *text = NULL;

  if (isnan (u_mm))
    return NULL;
  text = sl_text_fine (style, COVERAGE * u_mm);
  if (u_mm > 0 && !says_something (text))
    {
      g_free (text);
      text = sl_length_format (COVERAGE * u_mm, fine_lengths (style), PLACES + 1, style->decimal, FALSE);
    }
  return g_strconcat ("±", text, NULL);
}

char *
sl_text_plain (const SlTextStyle *style, double value, int places, gboolean sign)
{
  char *text;

  if (isnan (value))
    return g_strdup (NOT_GIVEN);
  text = sl_plain_format (value, places, style->decimal);
  return sign ? with_plus (text, value) : text;
}

const char *
sl_text_unit (const SlTextStyle *style)
{
  return style->lengths == SL_LENGTHS_MM ? _("mm") : _("in");
}

char *
sl_text_string (const SlProfile *profile, int string)
{
  const char *note = string >= 1 && string <= profile->n_strings ? profile->strings[string - 1].note : NULL;
  gsize letters = note == NULL ? 0 : strcspn (note, "0123456789");

  if (letters == 0)
    return g_strdup_printf ("%d", string);
  return g_strdup_printf ("%d %.*s", string, (int) letters, note);
}

char *
sl_text_when (const char *iso8601)
{
  g_autoptr (GTimeZone) local = g_time_zone_new_local ();
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (iso8601, local);
  g_autoptr (GDateTime) here = time == NULL ? NULL : g_date_time_to_timezone (time, local);

  if (here == NULL)
    return g_strdup (iso8601);
  /* Translators: a date and a time, as g_date_time_format() takes it; "4 May 14:20". */
  return g_date_time_format (here, _("%-d %b %H:%M"));
}

/* Days from one moment's date to another's, where people are. */
static int
days_between (GDateTime *from, GDateTime *to)
{
  GDate a, b;

  g_date_clear (&a, 1);
  g_date_clear (&b, 1);
  g_date_set_dmy (&a, (GDateDay) g_date_time_get_day_of_month (from), (GDateMonth) g_date_time_get_month (from), (GDateYear) g_date_time_get_year (from));
  g_date_set_dmy (&b, (GDateDay) g_date_time_get_day_of_month (to), (GDateMonth) g_date_time_get_month (to), (GDateYear) g_date_time_get_year (to));
  return g_date_days_between (&a, &b);
}

char *
sl_text_age (const char *iso8601, gint64 now)
{
  gboolean has_time = strchr (iso8601, 'T') != NULL;
  g_autofree char *text = has_time ? g_strdup (iso8601) : g_strconcat (iso8601, "T00:00:00", NULL);
  g_autoptr (GTimeZone) local = g_time_zone_new_local ();
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (text, local), end = g_date_time_new_from_unix_local (now);
  g_autoptr (GDateTime) here = time == NULL ? NULL : g_date_time_to_timezone (time, local);
  gint64 age = here == NULL ? 0 : now - g_date_time_to_unix (here);
  int days = here == NULL ? 0 : days_between (here, end);

  if (here == NULL)
    return g_strdup (iso8601);
  if (has_time && age >= 0 && age < MINUTE)
    return g_strdup (_("just now"));
  if (has_time && age >= 0 && age < HOUR)
    /* Translators: how long ago something was read, minutes */
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d min ago", "%d min ago", (gulong) (age / MINUTE)), (int) (age / MINUTE));
  if (has_time && age >= 0 && (days == 0 || age < FEW_HOURS))
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d h ago", "%d h ago", (gulong) (age / HOUR)), (int) (age / HOUR));
  if (!has_time && days == 0)
    return g_strdup (_("today"));
  if (days == 1)
    return g_strdup (_("yesterday"));
  /* Translators: a date for people, in the language's order of day, month and year (see g_date_time_format()) */
  return g_date_time_format (here, C_ ("date", "%-d %b %Y"));
}
