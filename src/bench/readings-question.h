/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The questions of the readings form: which readings an instrument is asked for, in the order of measuring, what each
 * is called, and the reading of a set that answers it. No widgets here. */
#pragma once

#include "bench/bench.h"
#include "setup/record/checklist.h"

gboolean sl_question_equal (const SlQuestion *a, const SlQuestion *b);

/* Whether @question is among @questions (of SlQuestion). */
gboolean sl_questions_hold (const GArray *questions, const SlQuestion *question);
int sl_question_compare (gconstpointer a, gconstpointer b); /* order of measuring; for g_array_sort() */
SlQuestionGroup sl_question_group (const SlQuestion *question);

/* The fret whose crown relief is read at: in the middle between fret 1 and the joint. */
int sl_relief_fret (const SlProfile *profile);

/* What every instrument of this shape is asked: an array of SlQuestion in the order of measuring, free with
 * g_array_unref(). */
GArray *sl_questions_usual (const SlProfile *profile);

/* What is asked of a string's pitch at a fret; 0: open. */
SlQuestion sl_pitch_question (int string, int fret);

/* The question a reading of @set answers. */
SlQuestion sl_question_of_reading (const SlReadingSet *set, guint index);

/* A question as a reading without a value, for what the model says of it; and the other way round. Not for the air. */
SlReading sl_question_reading (const SlQuestion *question);
SlQuestion sl_question_from_reading (const SlReading *reading);

/* The place in @set->readings of what answers @question, or −1. @set may be NULL. */
int sl_question_find (const SlReadingSet *set, const SlQuestion *question);

/* The number entered for it (the air's included), NAN where not read. */
double sl_question_value (const SlReadingSet *set, const SlQuestion *question);

/* Whether @usual asks the same of the same string, so that it need not be asked as well when @question already is
 * (relief at another fret, first gap held). */
gboolean sl_question_stands_for (const SlQuestion *question, const SlQuestion *usual);

/* Whether a set can hold an answer: with the strings slack or off none of their heights and no pitch is read. @set
 * NULL: any. */
gboolean sl_question_is_asked (const SlReadingSet *set, const SlQuestion *question);

/* Changes through @bench, each one named step: NAN takes the reading away. */
void sl_question_put (SlBench *bench, const SlQuestion *question, double value);
void sl_question_put_heard (SlBench *bench, const SlQuestion *question, double value, double uncertainty); /* its U */
void sl_question_put_use (SlBench *bench, const SlQuestion *question, SlUse use);

/* What the work done since the last set of the visit asks to be read anew, as sl_questions_since(); NULL without a set.
 */
GArray *sl_questions_after_work (SlBench *bench);

/* What a reading run asks, and in which order: kinds of reading as a profile spells them, and "temperature" and
 * "humidity". Kept for each kind of instrument. All that can be asked (SlReadingKind and SL_ASK_…), in the order of
 * measuring. */
#define SL_N_RUN_ASKS 10
extern const int sl_run_asks[SL_N_RUN_ASKS];

/* The kinds a run asks of such an instrument, in its order: an array of int. At least one. Free with g_array_unref().
 */
GArray *sl_run_order (SlFamily family);

/* Keeps an order; NULL, or one as is usual, forgets it. */
void sl_run_order_keep (SlFamily family, const GArray *order);

/* The questions of a run of this instrument that @set (NULL: any) can answer: an array of SlQuestion, of at least one;
 * free with g_array_unref(). */
GArray *sl_run_questions (const SlProfile *profile, const SlReadingSet *set);
