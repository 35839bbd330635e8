/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which photographs belong together: the same subject before and after, over the years, and on the hand-over sheet. */
#pragma once

#include "setup/profile/profile.h"

#define SL_SHEET_PHOTOS 4 /* that fit onto the hand-over sheet; more have a page of their own */

/* Whether both show one thing: what it is about, the fret and the string. Where that names no single thing (body,
 * other, a fret without its number) the first line of the note has to be there and the same. */
gboolean sl_photo_same_subject (const SlPhoto *a, const SlPhoto *b);

/* The same subject at an earlier and a later stage. */
gboolean sl_photo_is_before (const SlPhoto *before, const SlPhoto *after);

typedef struct
{
  const SlPhoto *before, *after; /* borrowed */
} SlPhotoPair;

/* Pairs of a visit, in order of their subjects: of each the first picture of its earliest stage against the last of its
 * latest. An array of SlPhotoPair. */
GArray *sl_photo_pairs (const SlVisit *visit);

/* The same subject over the visits, oldest first: an array of GArray of SlPhotoDated, the subject with the newest
 * picture first. */
typedef struct
{
  const SlVisit *visit;
  const SlPhoto *photo;
} SlPhotoDated;
GPtrArray *sl_photo_subjects (const SlProfile *profile);

/* What goes onto the hand-over sheet of a visit (NULL: nothing), borrowed: all that are to; and where these are fewer
 * than SL_SHEET_PHOTOS, of those nothing is said of both of a pair or none, then what is final, then as received, as
 * many as fit. Pairs come first, each before (sl_photo_is_before()) next to its after. */
GPtrArray *sl_photos_on_sheet (const SlVisit *visit);
