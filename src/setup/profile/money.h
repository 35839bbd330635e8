/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Money as the locale writes it (POSIX strfmon): its decimals, its groups of thousands and where its symbol
 * stands. Nothing is converted. */
#pragma once

#include "setup/profile/profile.h"

/* @amount in @currency (ISO 4217; NULL or empty: the locale's). A currency that is not the locale's stands by its
 * letters behind the number. Free with g_free(). */
char *sl_money_text (double amount, const char *currency);

const char *sl_locale_currency (void); /* three letters, "" where the locale has none */

/* Decimals of an amount in @currency (as above): the locale's of its own, else those of ISO 4217. */
int sl_money_places (const char *currency);

/* @text without its groups of thousands where those are no decimals: "1 234 €", "1.234,50" with a decimal comma,
 * "1,234,567", and without the locale's sign of its currency; as it is where it has neither. Free with g_free(). */
char *sl_money_ungrouped (const char *text);

/* What the charges of a visit (may be NULL) come to, a sum for each currency ("85.00 EUR + 20.00 GBP"), and the
 * minutes. Free with g_free(). */
char *sl_charges_total (const SlVisit *visit, double *minutes);

/* Whether @text spells a currency: three capital letters (ISO 4217). */
gboolean sl_is_currency (const char *text);
