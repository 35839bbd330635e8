/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a person wrote in place of the generated sentences of a visit. It is no part of the profile, which holds what was read and done: it is kept for that profile
 * and visit in the user's data folder (sidelong/explanations, a key file a profile, a group a visit), and used wherever the sentences are shown or printed. */
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

/* What stands in place of @sentence for the bench's last visit, empty where it is left out; NULL where it is generated. @state may be NULL. Free with g_free(). */
char *sl_explanation_get (SlBench *bench, const SlSentence *sentence, SlExplanationState *state);

/* Puts @text in place of @sentence (NULL: the generated text again) and writes it to disk. FALSE with @error where that fails: then it holds while the program runs. */
gboolean sl_explanation_put (SlBench *bench, const SlSentence *sentence, const char *text, GError **error);

/* All of the last visit, SlSentence.id → text. Free with g_hash_table_unref(). */
GHashTable *sl_explanations_table (SlBench *bench);

/* Whether any sentence of the last visit's work was edited before the plan changed. */
gboolean sl_explanations_outdated (SlBench *bench);
