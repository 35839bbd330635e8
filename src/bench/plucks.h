/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was heard of the strings of a bench, and the readings this became (model 15.5). A fret's is kept against the
 * open string as it was heard last: cents of f_n / (2^(n/12) f_open). The plucks of a question are one reading, their
 * mean; where it was undone the mean before goes on, where it was changed by hand another begins. */
#pragma once

#include "bench/readings-question.h"
#include "bench/string-notes.h"

/* Of plucks, in the order they were heard; free with g_array_unref(). */
GArray *sl_plucks_new (void);

/* Makes a good note the reading that answers @question, or part of it, as one undo step; after work into a set of its
 * own, as a reading run does. A sentence where it can't be; free with g_free(). */
char *sl_plucks_put (GArray *plucks, SlBench *bench, const SlQuestion *question, const SlNote *note);

/* What a question's note should be, Hz: a fret's over the open string as it was heard, else as it should be. */
double sl_plucks_expected (const GArray *plucks, SlBench *bench, const SlQuestion *question);

/* What stands of a question in the set that is shown: mean in cents, U of it, of how many plucks. FALSE: nothing. */
gboolean sl_plucks_mean (const GArray *plucks, SlBench *bench, const SlQuestion *question, double *cents,
                         double *uncertainty, int *n);

/* The last good note, borrowed; NULL: none. */
const SlNote *sl_plucks_heard (const GArray *plucks, int string, int fret);
