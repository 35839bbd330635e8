/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dates and times in words, as they were written: ISO 8601, in whatever zone. The reader of these tests sits in Sydney,
 * at UTC+11 in March (IANA time zone database, Australia/Sydney). */
#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "words/dates.h"

#include <locale.h>

typedef char *(*Words) (const char *iso);

static void
check (Words words, const char *iso, const char *wanted)
{
  g_autofree char *text = words (iso);

  g_assert_cmpstr (text, ==, wanted);
}

/* 08:00 in Sydney is 21:00 UTC of the day before: what was written there is of that day there, whoever reads it and
 * wherever. */
static void
test_day (void)
{
  check (sl_date_text, "2026-02-09", "9 February 2026");
  check (sl_date_text, "2026-03-02T08:00:00+11:00", "2 March 2026");
  check (sl_date_text, "2026-03-01T21:00:00Z",
         "1 March 2026"); /* the zone that stands there, though it is the same moment */
  check (sl_date_text, "2026-02-09T23:59:00-11:00", "9 February 2026");
  check (sl_date_text, "2026-03-02T08:00", "2 March 2026");
  check (sl_date_short, "2026-03-02T08:00:00+11:00", "2 Mar 2026");
  check (sl_date_short, "2026-12-31T23:59:60-02:30", "31 Dec 2026");
  check (sl_date_and_time, "2026-03-02T08:00:00+11:00", "2 Mar 08:00");
  check (sl_date_and_time, "2026-03-02T08:00+11", "2 Mar 08:00");
  check (sl_date_and_time, "2026-03-01T21:00:00Z", "1 Mar 21:00");
  check (sl_date_month, "2026-03-01T00:30:00+11:00", "Mar 2026");
}

static void
test_odd (void)
{
  static const Words all[] = { sl_date_text, sl_date_short, sl_date_and_time, sl_date_month };

  for (gsize i = 0; i < G_N_ELEMENTS (all); i++)
    {
      check (all[i], NULL, NULL);
      check (all[i], "some day", "some day");
      check (all[i], "2026-02-30", "2026-02-30");
      check (all[i], "", "");
    }
}

/* What is stamped now says where: the hour here with the offset from UTC, and the day here. */
static void
test_stamp (void)
{
  g_autofree char *now = sl_now_iso (), *today = sl_today_iso ();
  g_autoptr (GDateTime) stamped = sl_moment_new (now, NULL), here = g_date_time_new_now_local ();
  g_autofree char *day = g_date_time_format (here, "%Y-%m-%d");

  g_assert_true (sl_is_iso8601 (now));
  g_assert_true (sl_is_iso8601 (today));
  g_assert_cmpint (ABS (g_date_time_difference (here, stamped)), <, 60 * G_TIME_SPAN_SECOND);
  g_assert_true (g_str_has_suffix (now, "+11:00") || g_str_has_suffix (now, "+10:00")); /* summer or winter time */
  g_assert_cmpint (g_date_time_get_utc_offset (stamped), ==, g_date_time_get_utc_offset (here));
  g_assert_true (g_str_has_prefix (now, today));
  g_assert_cmpstr (today, ==, day);
}

/* How old a reading is, where people live at UTC+11: one Wednesday, 15:30. */
static void
test_ages (void)
{
  static const struct
  {
    const char *when, *age;
  } rows[] = {
    { "2026-03-04T15:29:30+11:00", "just now" },
    { "2026-03-04T14:50:00+11:00", "40 min ago" },
    { "2026-03-04T13:10:00+11:00", "2 h ago" },
    { "2026-03-04T03:10:00+01:00", "2 h ago" },
    { "2026-03-04T00:10:00+11:00", "15 h ago" },
    { "2026-03-03T23:00:00+11:00", "yesterday" },
    { "2026-03-02T16:00:00+11:00", "2 Mar 2026" },
    { "2025-07-15T15:20:00+10:00", "15 Jul 2025" },
    { "2026-03-04", "today" },
    { "2026-03-03", "yesterday" },
    { "2026-03-09T10:00:00+11:00", "9 Mar 2026" },
    { "not a date", "not a date" },
    { "2026-03-04T14:50", "40 min ago" },
    { "2026-03-04T04:28:00Z", "2 min ago" },
  };
  g_autoptr (GTimeZone) here = g_time_zone_new_local ();
  g_autoptr (GDateTime) now = g_date_time_new (here, 2026, 3, 4, 15, 30, 0),
                        night = g_date_time_new (here, 2026, 3, 4, 0, 30, 0);
  g_autofree char *late = sl_date_age ("2026-03-03T22:10:00+11:00", g_date_time_to_unix (night));

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *age = sl_date_age (rows[i].when, g_date_time_to_unix (now));
      g_assert_cmpstr (age, ==, rows[i].age);
    }
  g_assert_cmpstr (late, ==, "2 h ago");
}

int
main (int argc, char **argv)
{
  g_setenv ("TZ", "Australia/Sydney", TRUE);
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/dates/day", test_day);
  g_test_add_func ("/dates/odd", test_odd);
  g_test_add_func ("/dates/stamp", test_stamp);
  g_test_add_func ("/dates/ages", test_ages);
  return g_test_run ();
}
