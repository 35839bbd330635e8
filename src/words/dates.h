/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dates and times in words. One rule for the day: it is the day in the zone that stands in the text, which is the
 * shop's own when the text was written; where it is read makes no difference. Every function takes a document's ISO
 * 8601 text, gives NULL for NULL and the text itself where it is no date, and returns a new string. */
#pragma once

#include <glib.h>

/* For documents: now, to the second, with this place's offset from UTC ("2026-03-02T08:00:00+11:00"); today here
 * ("2026-03-02"). */
char *sl_now_iso (void);
char *sl_today_iso (void);

/* For people, in the locale's words and order. */
char *sl_date_text (const char *iso);     /* "9 February 2026" */
char *sl_date_short (const char *iso);    /* "9 Feb 2026" */
char *sl_date_and_time (const char *iso); /* "9 Feb 14:20" */
char *sl_date_month (const char *iso);    /* "Feb 2026" */

/* How long before @now (seconds since 1970 UTC) it was: "just now", "40 min ago", "2 h ago", "today", "yesterday";
 * else, and for what lies ahead, the short date. A text without a time is told by the day, and one without a zone is of
 * this place. */
char *sl_date_age (const char *iso, gint64 now);
