/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was done and why, a sentence a step, for the pages of the customer's view; while editing, each sentence is an
 * entry here, with how it stands and a way back to the generated text. What is typed is kept when the entry loses the
 * focus and when editing ends. */
#pragma once

#include <gtk/gtk.h>

#include "desk/customer/customer-pages.h"
#include "bench/explanations.h"

#define SL_TYPE_CUSTOMER_WORDS (sl_customer_words_get_type ())
G_DECLARE_FINAL_TYPE (SlCustomerWords, sl_customer_words, SL, CUSTOMER_WORDS, GtkBox)

/* Takes up the sentences of @outcome, which is of the last visit of @bench, always the same. Keeps what was being typed
 * first. */
void sl_customer_words_show (SlCustomerWords *self, SlBench *bench, const SlOutcome *outcome, const SlSpeech *speech);

/* The sentences as they are told, edited or generated. */
void sl_customer_words_add_to (SlCustomerWords *self, SlCustomerPages *pages);

/* Whether there is a sentence that can be edited. */
gboolean sl_customer_words_can_edit (SlCustomerWords *self);
gboolean sl_customer_words_get_editing (SlCustomerWords *self);
void sl_customer_words_set_editing (SlCustomerWords *self, gboolean editing);
