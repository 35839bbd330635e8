/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sentences in large type, as many at a time as there is room for: a page, with its heading and its number, and the way
 * to the others by button, by key and by a swipe. Nothing scrolls; a sentence that is higher than a page goes on over
 * several, cut between its lines. */
#pragma once

#include <gtk/gtk.h>

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
