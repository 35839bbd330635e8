/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The room on a page of the customer's view: labels below one another, split into pages by the height there is. Only
 * the labels of one page are shown; a label that is higher than a page goes on over several, cut between its lines. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_CUSTOMER_SHEET (sl_customer_sheet_get_type ())
G_DECLARE_FINAL_TYPE (SlCustomerSheet, sl_customer_sheet, SL, CUSTOMER_SHEET, GtkWidget)

/* Emits "paged" (from an idle) when it has other pages than before. */
GtkWidget *sl_customer_sheet_new (void);

void sl_customer_sheet_clear (SlCustomerSheet *self);

/* Takes the label. @heading is copied; a label with another heading than the one before begins a page. */
void sl_customer_sheet_add (SlCustomerSheet *self, GtkWidget *label, const char *heading);

int sl_customer_sheet_get_n (SlCustomerSheet *self);
int sl_customer_sheet_get_page (SlCustomerSheet *self);

/* Any page; shown is the nearest there is. */
void sl_customer_sheet_set_page (SlCustomerSheet *self, int page);

/* Of the page shown; NULL where there is none. Borrowed. */
const char *sl_customer_sheet_get_heading (SlCustomerSheet *self);
