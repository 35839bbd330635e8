/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What readings and operations are called, a row each: the words of the rows of setup/profile/bounds.h. Everything is
 * translated; free what is char * with g_free(). */
#pragma once

#include "setup/profile/bounds.h"

/* A question as it is under its group's title, in full for assistive technology, and as an undo step. */
char *sl_question_row_name (const SlQuestion *question, int n_strings);
char *sl_question_full_name (const SlQuestion *question);
char *sl_question_step_name (const SlQuestion *question);

/* How its reading is taken. */
char *sl_reading_hint (const SlQuestion *question, const SlProfile *profile);

const char *sl_question_group_title (SlQuestionGroup group, const SlProfile *profile);
const char *sl_reading_title (SlReadingKind kind); /* "First gap" */
const char *sl_reading_said (SlReadingKind kind);  /* in a sentence: "action" */
const char *sl_run_ask_title (int ask);            /* what a run of readings goes through */

/* What is to be read again (an array of SlReading; before it the air), kind by kind in the order of their first:
 * "relief (strings 6, 1), action at 12 (string 6), fingerboard extension". Free with g_free(). */
char *sl_questions_text (const GArray *questions, gboolean air);

/* "7", "7 and 9", "7, 8 and 9": fret numbers by their bits (1 << fret), and how many there are (@n may be NULL). Free
 * with g_free(). */
char *sl_frets_text (guint64 frets, gulong *n);

const char *sl_operation_title (SlOperationKind kind);
const char *sl_operation_undo_name (SlOperationKind kind);
