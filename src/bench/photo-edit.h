/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The photographs of a bench: where their files lie, and changes to what the document says of them. */
#pragma once

#include "bench/bench.h"
#include "photo/folder.h"
#include "photo/measure.h"

/* Where the bench's document lies (NULL: nowhere yet), as it was opened or saved; and so where its pictures are: beside
 * it or, while it was never saved, in a folder of the person's state by the profile's id. */
void sl_photos_set_file (SlBench *bench, GFile *file);
GFile *sl_photos_folder (SlBench *bench); /* new reference */

/* The folder of a profile never saved, by its id; of NULL the one that all of them are in. New reference. It goes with
 * the first save, with the journal of what is not worth keeping, and when the program starts, where no journal is left
 * that could need it (sl_journal_list()). */
GFile *sl_photos_state_folder (const char *id);

/* The photograph of an id in the visits of a profile (the last of them that has it: in documents from elsewhere an id
 * stands within its visit), or NULL; and the visit it is in (may be NULL). */
SlPhoto *sl_photo_find (const SlProfile *profile, const char *id, const SlVisit **visit);

/* Puts a photograph into the last visit, which is begun where there is none: its id is given here, the rest is taken
 * from
 * @photo (left as it is). Returns the id; free with g_free(). */
char *sl_photo_add (SlBench *bench, const SlPhoto *photo);

/* In place of the one that has @photo's id, as a step of @name (translated). */
void sl_photo_replace (SlBench *bench, const char *name, const SlPhoto *photo);

/* Out of the document; its file stays in the folder. */
void sl_photo_remove (SlBench *bench, const char *id);

/* Whether what is measured becomes a reading, and which. */
gboolean sl_mark_question (const SlMark *mark, SlQuestion *question);

/* The figures of a mark as a reading has them: rounded to what its U, 95 %, leaves sense in, with so many decimals.
 * NULL, or why there are none; free with g_free(). */
char *sl_mark_figures (const SlPhoto *photo, const SlMark *mark, double *value, double *U);
int sl_measured_places (double U);

/* The reading that a mark was taken into, and its set (NULL: it was not, or the set is gone). The reading may have
 * other figures by now; NULL: it was typed over, or is gone. */
SlReading *sl_mark_reading (const SlVisit *visit, const SlPhoto *photo, const SlMark *mark, const SlReadingSet **set);

/* Takes the figure of the nth mark into the set shown, with its U: in place of what was taken of it before, else as a
 * reading beside those there are; and notes at the mark the set it went into: one step. NULL, or why not; free with
 * g_free(). */
char *sl_photo_take_reading (SlBench *bench, const char *id, guint nth);
