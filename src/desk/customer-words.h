/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was done and why, a sentence a step, as the customer's view shows it; while editing, each sentence is an entry, with how it stands and a way back to the
 * generated text. What is typed is kept when the entry is left, and when editing ends. */
#pragma once

#include <gtk/gtk.h>

#include "desk/explanations.h"

#define SL_TYPE_CUSTOMER_WORDS (sl_customer_words_get_type ())
G_DECLARE_FINAL_TYPE (SlCustomerWords, sl_customer_words, SL, CUSTOMER_WORDS, GtkBox)

GtkWidget *sl_customer_words_new (SlBench *bench);

/* Shows the sentences of @outcome, which is of the bench's last visit. Keeps what was being typed first. */
void sl_customer_words_show (SlCustomerWords *self, const SlOutcome *outcome, const SlSpeech *speech);

/* Whether there is a sentence that can be edited. */
gboolean sl_customer_words_can_edit (SlCustomerWords *self);
gboolean sl_customer_words_get_editing (SlCustomerWords *self);
void sl_customer_words_set_editing (SlCustomerWords *self, gboolean editing);
