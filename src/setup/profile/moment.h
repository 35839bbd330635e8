/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The dates and times of a document as moments. They are ISO 8601, with a time or without, in a zone or in none; each
 * keeps the zone it was written in, so they are never compared as texts. */
#pragma once

#include <glib.h>

/* Whether @text is an ISO 8601 date, or a date with a time. */
gboolean sl_is_iso8601 (const char *text);

/* The moment that @text means, in the zone that stands in it; without one in @zone
 * (NULL: UTC). A date alone is its first moment. NULL where @text is no date. Free with g_date_time_unref(). */
GDateTime *sl_moment_new (const char *text, GTimeZone *zone);

/* The same in seconds since 1970 UTC; 0 where @text is no date. */
gint64 sl_time_of (const char *text);

/* Compares two moments: @order is below, at or above 0. One without a zone is taken in the zone of the other. FALSE
 * where either is no date. */
gboolean sl_moment_compare (const char *a, const char *b, int *order);
