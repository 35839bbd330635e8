/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Changes to a profile's description that may make no sense together with the rest of it (a joint fret beyond the last
 * one, a string that readings name taken away). They are tried on a copy first. */
#pragma once

#include "bench/bench.h"

/* Makes the change @edit, a step named @name, unless the whole profile would have a fault it has not now. Then nothing
 * changes and the fault is returned, in words; free with g_free(). NULL: done. @edit is called twice. */
char *sl_checked_edit (SlBench *bench, const char *name, SlChanges changes, SlBenchEdit edit, gconstpointer data);
