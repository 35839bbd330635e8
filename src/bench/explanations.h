/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a person wrote in place of the generated sentences of a visit. It is no part of the profile, which holds what
 * was read and done: it is kept for that profile and visit in the user's data folder (sidelong/explanations, a key file
 * a profile, a group a visit), and used wherever the sentences are shown or printed. */
#pragma once

#include "bench/bench.h"
#include "words/explain.h"

/* How a sentence stands. */
typedef enum
{
  SL_EXPLANATION_GENERATED,
  SL_EXPLANATION_EDITED,
  SL_EXPLANATION_OUTDATED /* edited before the plan changed: what it says may no longer be so */
} SlExplanationState;

/* Those kept for one profile, with what is on its way to the file. */
typedef struct _SlExplanations SlExplanations;

/* None yet; with @read, what the file of @profile_id holds, which may be slow, in any thread. Free with
 * sl_explanations_free(). */
SlExplanations *sl_explanations_new (const char *profile_id, gboolean read);
void sl_explanations_free (SlExplanations *explanations);

/* Those of the profile on @bench. Takes @explanations. */
void sl_explanations_give (SlBench *bench, SlExplanations *explanations);

/* What stands in place of @sentence for the bench's last visit, empty where it is left out; NULL where it is generated.
 * @state may be NULL. Free with g_free(). */
char *sl_explanation_get (SlBench *bench, const SlSentence *sentence, SlExplanationState *state);

/* Puts @text in place of @sentence (NULL: the generated text again), at once; then it is written to disk by a thread,
 * in the order of these calls, and @done called. Where that fails, the text holds while the program runs. */
void sl_explanation_put (SlBench *bench, const SlSentence *sentence, const char *text, GAsyncReadyCallback done,
                         gpointer data);
gboolean sl_explanation_put_finish (GAsyncResult *result, GError **error);

/* Why what stands in place of @sentence could not be written; NULL where it could, or is on its way. */
const char *sl_explanation_failure (SlBench *bench, const SlSentence *sentence);

/* All of the last visit, SlSentence.id → text. Free with g_hash_table_unref(). */
GHashTable *sl_explanations_table (SlBench *bench);

/* Whether any sentence of the last visit's work was edited before the plan changed. */
gboolean sl_explanations_outdated (SlBench *bench);
