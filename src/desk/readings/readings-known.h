/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the bench knows of a question of the readings form at present: what was read, what is to be expected where it
 * was not, and what the visit's earlier sets read of it. No widgets here. */
#pragma once

#include "bench/readings-question.h"

/* Decimals shown of a length: hundredths, as tools are read. */
#define SL_READING_PLACES 2

/* A question's answer in an earlier set of the visit: the mean of its repeats, those left out by choice apart. */
typedef struct
{
  const SlReadingSet *set; /* borrowed from the bench */
  double value;
} SlAnswerBefore;

typedef struct
{
  const SlReading *reading;    /* NULL while not read */
  const SlReadingFit *fit;     /* NULL where the kind is not fitted */
  double value;                /* NAN while not read */
  double expected, expected_u; /* of an unread question: its standard uncertainty is NAN where none is known; NAN where
                                  nothing is to be expected */
  gboolean assumed;            /* something assumed stands behind the expectation */
  const SlReadingSet *carried; /* the expectation is what was read in this earlier set, carried through the work since;
                                  NULL where it is not */
} SlReadingKnown;

SlReadingKnown sl_reading_known (SlBench *bench, const SlQuestion *question);

/* Earlier answers, oldest first: of SlAnswerBefore, free with g_array_unref(). A repeat (nth above 0) has none. */
GArray *sl_answers_before (SlBench *bench, const SlQuestion *question);

/* What earlier sets of the visit were asked beyond @usual: of SlQuestion, each once. */
GArray *sl_questions_before (SlBench *bench, const GArray *usual);

const char *sl_ask_plain_unit (int ask); /* of what is no length; translated */

/* In the units its entry shows; texts are free with g_free(). The ± of a length small against a 64th: decimal inches
 * where 64ths are chosen. */
char *sl_reading_small_length (SlBench *bench, double mm);

/* "carried from Received, 2 h ago, ± 0.12 mm" */
char *sl_carried_text (SlBench *bench, const SlReadingKnown *known);

/* What was read before, for the eye: "3.25 → 2.88"; and in words: "Read before: 3.25 mm, Received, yesterday; 2.88 mm,
 * During work, 2 h ago". NULL where nothing was. */
void sl_before_texts (SlBench *bench, const SlQuestion *question, char **trace, char **words);
