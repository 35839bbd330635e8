/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/money.h"

#include <limits.h>
#include <locale.h>
#include <monetary.h>

#include "setup/profile/units.h"

#define CURRENCY_CHARS 3 /* ISO 4217 */
#define USUAL_PLACES 2   /* where the locale does not say */
#define MONEY_BYTES 128  /* the largest amount of a charge takes a quarter of it */

const char *
sl_locale_currency (void)
{
  static char letters[CURRENCY_CHARS + 1];

  g_strlcpy (letters, localeconv ()->int_curr_symbol, sizeof letters);
  return letters;
}

int
sl_money_places (void)
{
  const int places = localeconv ()->frac_digits;

  return places == CHAR_MAX ? USUAL_PLACES : places;
}

/* strfmon() with a format of its own; what it can't do is written as a plain number. */
static char *
formatted (const char *format, double amount)
{
  char text[MONEY_BYTES];
  g_autofree char *whole = NULL;

  if (strfmon (text, sizeof text, format, amount) > 0)
    whole = g_locale_to_utf8 (text, -1, NULL, NULL, NULL);
  return whole != NULL ? g_strdup (g_strstrip (whole))
                       : sl_plain_format (amount, sl_money_places (), sl_decimal_sign ());
}

char *
sl_money_text (double amount, const char *currency)
{
  const gboolean named = currency != NULL && *currency != '\0';
  const gboolean own = !named || g_str_equal (currency, sl_locale_currency ());
  const double least = pow (10, -sl_money_places ());

  if (fabs (amount) < least / 2)
    amount = 0; /* no minus before nothing */
  if (own)
    return formatted ("%n", amount);
  g_autofree char *number = formatted ("%!n", amount);

  return g_strdup_printf ("%s %s", number, currency);
}

char *
sl_charges_total (const SlVisit *visit, double *minutes)
{
  g_autoptr (GHashTable) sums = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GString) text = g_string_new (NULL);
  const guint n = visit == NULL ? 0 : visit->charges->len;

  *minutes = 0;
  for (guint i = 0; i < n; i++)
    {
      const SlCharge *charge = &g_array_index (visit->charges, SlCharge, i);
      const char *currency = charge->currency == NULL ? "" : charge->currency;
      double sum = 0;

      *minutes += sl_number_or (charge->minutes, 0);
      if (!g_hash_table_add (sums, (gpointer) currency))
        continue;
      for (guint j = i; j < n; j++)
        {
          const SlCharge *other = &g_array_index (visit->charges, SlCharge, j);

          if (g_str_equal (other->currency == NULL ? "" : other->currency, currency))
            sum += sl_number_or (other->amount, 0);
        }
      g_autofree char *money = sl_money_text (sum, currency);

      g_string_append_printf (text, "%s%s", text->len > 0 ? " + " : "", money);
    }
  return g_strdup (text->str);
}

gboolean
sl_is_currency (const char *text)
{
  return strlen (text) == CURRENCY_CHARS && strspn (text, G_CSET_A_2_Z) == CURRENCY_CHARS;
}
