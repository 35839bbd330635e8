/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dates and times as moments, by ISO 8601: an offset is what local time is ahead of UTC; seconds and zone may be left
 * out; 24:00 ends a day; second 60 is a leap second. */
#include "setup/profile/moment.h"

#include "setup/profile/bounds.h"

#include <locale.h>

static void
test_order (void)
{
  static const struct
  {
    const char *earlier, *later;
  } rows[] = {
    { "2026-03-02T10:30:00+02:00", "2026-03-02T09:00:00Z" }, /* 08:30 UTC: later as text, earlier by the clock */
    { "2026-03-02T08:00:00+11:00", "2026-03-01T22:00:00Z" },
    { "2026-03-02T23:00:00Z", "2026-03-02T20:00:00-05:00" },
    { "2026-03-02T10:00Z", "2026-03-02T10:00:01Z" },
    { "2026-03-02T10:00+01", "2026-03-02T10:00Z" },
    { "2026-03-02T10:00:00,5+01:00", "2026-03-02T10:00:00.75+01:00" },
    { "2026-03-02T23:59:58Z", "2026-03-02T24:00Z" },
    { "2026-03-02T23:59:58Z", "2026-03-02T24:00:00,0Z" },
    { "2026-03-02T23:59:58Z", "2026-03-02T24:00:00.5Z" },
    { "2026-03-02T23:59:58Z", "2026-03-02T23:59:60Z" },
    /* one without a zone is of the other's: the day begins where the other was written */
    { "2026-03-02", "2026-03-02T00:30:00+11:00" },
    { "2026-03-01T23:30:00-11:00", "2026-03-02" },
    { "2026-03-02T08:00", "2026-03-02T08:30:00+11:00" },
    { "2026-03-02", "2026-03-02T00:01" },
  };
  int order;

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_test_message ("%s before %s", rows[i].earlier, rows[i].later);
      g_assert_true (sl_moment_compare (rows[i].earlier, rows[i].later, &order));
      g_assert_cmpint (order, <, 0);
      g_assert_true (sl_moment_compare (rows[i].later, rows[i].earlier, &order));
      g_assert_cmpint (order, >, 0);
      g_assert_true (sl_moment_compare (rows[i].later, rows[i].later, &order));
      g_assert_cmpint (order, ==, 0);
    }
  g_assert_true (sl_moment_compare ("2026-03-02T12:00:00+02:00", "2026-03-02T10:00:00Z", &order));
  g_assert_cmpint (order, ==, 0);
  g_assert_false (sl_moment_compare ("some day", "2026-03-02", &order));
  g_assert_false (sl_moment_compare ("2026-03-02", NULL, &order));
}

/* What is none by ISO 8601, or is no day there was. */
static void
test_valid (void)
{
  static const char *const good[] = { "2024-02-29", "2026-03-02T23:59Z", "2026-03-02T24:00:00,0",
                                      "2026-03-02T10:00:60+14:00", "2026-03-02T10:00-02" };
  static const char *const bad[] = { "",
                                     "2026-3-2",
                                     "2026-02-29",
                                     "2026-00-10",
                                     "2026-03-02T",
                                     "2026-03-02T24:01",
                                     "2026-03-02T24:00:01",
                                     "2026-03-02T10-02",
                                     "2026-03-02T10:60",
                                     "2026-03-02T10:00:61",
                                     "2026-03-02T10:00:00.",
                                     "2026-03-02T10:00.5",
                                     "2026-03-02T10:00+24",
                                     "2026-03-02T10:00+1",
                                     "2026-03-02T10:00+01:6",
                                     "2026-03-02T10:00ZZ",
                                     "2026-03-02 10:00" };

  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    g_assert_true (sl_is_iso8601 (good[i]));
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    g_assert_false (sl_is_iso8601 (bad[i]));
}

static void
test_time (void)
{
  g_assert_cmpint (sl_time_of ("1970-01-02"), ==, 24 * 3600);
  g_assert_cmpint (sl_time_of ("1970-01-02T11:00:10+11:00"), ==, 24 * 3600 + 10);
  g_assert_cmpint (sl_time_of ("1970-01-02T00:01"), ==, 24 * 3600 + 60);
  g_assert_cmpint (sl_time_of ("no day"), ==, 0);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/moment/order", test_order);
  g_test_add_func ("/moment/valid", test_valid);
  g_test_add_func ("/moment/time", test_time);
  return g_test_run ();
}
