/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The physical range of every number a profile can hold, in one table, so that the document, the command line and the
 * window refuse the same things in the same words; and the sense checks between numbers. */
#pragma once

#include "setup/profile/kinds.h"

#define SL_DEFAULT_CROWN_HEIGHT_MM 1.10 /* the format's default for fretwire height */

/* The range of one attribute of one element ("action", "gap"), or NULL where the number is not bounded. @attribute
 * NULL: the first attribute of the element, which of a reading or an operation is its value. */
const SlBound *sl_bound_find (const char *element, const char *attribute);

/* The table of all but readings and operations, which have theirs in kinds.h; its end marked by a NULL element. */
extern const SlBound sl_bounds[];

/* A sentence naming the value and the range ("action gap 250 mm is outside 0 to 30 mm"), translated, or NULL where
 * @value is inside. */
char *sl_bound_complaint (const SlBound *bound, double value);

/* The range in words: "0 to 30 mm". Free with g_free(). */
char *sl_bound_range (const SlBound *bound);

/* The bound for the value of a reading, or of what is asked of the air (SL_ASK_…), of this instrument: a crown gap is
 * no larger than its crown is high. */
SlBound sl_ask_bound (const SlProfile *profile, int ask);

/* One thing in a profile that can't be. @where points at the struct inside the profile that holds it (SlReading,
 * SlOperation, SlString …). */
typedef struct
{
  const void *where;
  char *message;
} SlFault;

/* Checks ranges and sense of a whole profile: joint fret within the frets, string numbers that exist, frets a reading
 * can be taken at, wound strings with a wrap, dates that are dates, ids used once. Returns a GPtrArray of SlFault in
 * document order, empty where nothing is wrong; free with g_ptr_array_unref(). */
GPtrArray *sl_profile_check (const SlProfile *profile);
