/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/settings.h"
#include "setup/profile/bounds.h"
#include "setup/profile/money.h"
#include "setup/profile/units.h"

#define ENTRY_TYPE "(sdd)"
#define LIST_TYPE "a" ENTRY_TYPE
#define OPEN (-G_MAXDOUBLE) /* what is left open, as a file of settings can hold it: no minutes, and no amount */

static void
charge_clear (gpointer data)
{
  g_free (((SlUsualCharge *) data)->what);
}

/* A number as it was kept, within what a charge takes; else left open. */
static double
kept_number (double value, const char *attribute)
{
  const SlBound *bound = sl_bound_find ("charge", attribute);

  return value >= bound->least && value <= bound->most ? value : NAN;
}

GArray *
sl_usual_charges (void)
{
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_USUAL_CHARGES, LIST_TYPE);
  GArray *charges = g_array_new (FALSE, FALSE, sizeof (SlUsualCharge));
  GVariantIter iter;
  const char *what;
  double minutes, amount;

  g_array_set_clear_func (charges, charge_clear);
  if (kept == NULL)
    return charges;
  g_variant_iter_init (&iter, kept);
  while (g_variant_iter_next (&iter, "(&sdd)", &what, &minutes, &amount))
    {
      SlUsualCharge charge = { g_strdup (what), kept_number (minutes, "minutes"), kept_number (amount, "amount") };

      g_array_append_val (charges, charge);
    }
  return charges;
}

void
sl_usual_charges_keep (const GArray *charges)
{
  g_autoptr (GVariantBuilder) list = g_variant_builder_new (G_VARIANT_TYPE (LIST_TYPE));

  SL_EACH (const SlUsualCharge, charge, charges)
    g_variant_builder_add (list, ENTRY_TYPE, charge->what, isnan (charge->minutes) ? OPEN : charge->minutes,
                           isnan (charge->amount) ? OPEN : charge->amount);
  sl_settings_set (SL_SETTING_USUAL_CHARGES, g_variant_builder_end (list));
}

char *
sl_shop_currency (void)
{
  g_autofree char *kept = sl_settings_get_string (SL_SETTING_CURRENCY, "");

  return g_strdup (sl_is_currency (kept) ? kept : sl_locale_currency ());
}

char *
sl_usual_charge_text (const SlUsualCharge *charge)
{
  GString *text = g_string_new (charge->what);
  g_autofree char *currency = sl_shop_currency ();

  if (!isnan (charge->minutes))
    {
      g_autofree char *minutes = sl_plain_format (charge->minutes, 0, sl_decimal_sign ());

      g_string_append (text, " · ");
      g_string_append_printf (text, _ ("%s min"), minutes);
    }
  if (!isnan (charge->amount))
    {
      g_autofree char *amount = sl_money_text (charge->amount, currency);

      g_string_append_printf (text, " · %s", amount);
    }
  return g_string_free (text, FALSE);
}
