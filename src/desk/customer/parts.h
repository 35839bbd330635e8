/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the customer view is made of. */
#pragma once

#include "desk/kit/kit.h"

#include "bench/explanations.h"
#include "desk/photos/photo-pair.h"

/* ---- customer-pages ----
 *
 * Sentences in large type, as many at a time as there is room for: a page, with its heading and its number, and the way
 * to the others by button, by key and by a swipe. Nothing scrolls; a sentence that is higher than a page goes on over
 * several, cut between its lines. */

#define SL_TYPE_CUSTOMER_PAGES (sl_customer_pages_get_type ())
G_DECLARE_FINAL_TYPE (SlCustomerPages, sl_customer_pages, SL, CUSTOMER_PAGES, GtkBox)

/* Takes all sentences out; the page shown is kept in mind for those that come next. */
void sl_customer_pages_clear (SlCustomerPages *self);

/* A sentence under @heading; another heading begins a page. */
void sl_customer_pages_add (SlCustomerPages *self, const char *heading, const char *text);

/* Pages count from 0. There are none before the view has had its size. */
int sl_customer_pages_get_n (SlCustomerPages *self);
int sl_customer_pages_get_page (SlCustomerPages *self);

/* Turns by @by pages, no further than there are any. */
void sl_customer_pages_turn (SlCustomerPages *self, int by);

/* ---- customer-words ----
 *
 * What was done and why, a sentence a step, for the pages of the customer's view; while editing, each sentence is an
 * entry here, with how it stands and a way back to the generated text. What is typed is kept when the entry loses the
 * focus and when editing ends. */

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

/* ---- customer-photos ----
 *
 * The photographs of a visit, one subject at a time: before and after over each other, then those without a partner. */

/* @share: how much of the later one is seen in @view, with its @slider (desk/photos/photo-pair.h). */
GtkWidget *sl_customer_photos_new (SlBench *bench, GtkAdjustment *share, SlPhotoPairView **view, GtkWidget **slider);

/* Takes up those of @visit (NULL: none), which it borrows until the next call; whether there are any. */
gboolean sl_customer_photos_show (GtkWidget *page, const SlVisit *visit, const SlTextStyle *style);

/* To the next ones, or with @by below 0 the previous ones. */
void sl_customer_photos_turn (GtkWidget *page, int by);
