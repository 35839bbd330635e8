/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the shop usually charges, and in which currency, remembered between runs. */
#pragma once

#include <glib.h>

#define SL_SETTING_USUAL_CHARGES "usual-charges"
#define SL_SETTING_CURRENCY "currency"

typedef struct
{
  char *what;
  double minutes, amount; /* NAN: left open */
} SlUsualCharge;

/* An array of SlUsualCharge; free with g_array_unref(). */
GArray *sl_usual_charges (void);

/* Remembers them. */
void sl_usual_charges_keep (const GArray *charges);

/* "Full setup · 90 min · 85.00 €"; free with g_free(). */
char *sl_usual_charge_text (const SlUsualCharge *charge);

/* Three letters, or "" where neither the shop nor the locale has one; free with g_free(). */
char *sl_shop_currency (void);
