/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/money.h"

#include <limits.h>
#include <locale.h>
#include <monetary.h>

#include "setup/profile/units.h"

#define CURRENCY_CHARS 3 /* ISO 4217 */
#define USUAL_PLACES 2   /* of most currencies */
#define MONEY_BYTES 128  /* the largest amount of a charge takes a quarter of it */

/* ISO 4217, list one: currencies with no decimals, and with three; from memory. */
#define WHOLE "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
#define THOUSANDTHS "BHD IQD JOD KWD LYD OMR TND"

const char *
sl_locale_currency (void)
{
  static char letters[CURRENCY_CHARS + 1];

  g_strlcpy (letters, localeconv ()->int_curr_symbol, sizeof letters);
  return letters;
}

static gboolean
is_own (const char *currency)
{
  return currency == NULL || *currency == '\0' || g_str_equal (currency, sl_locale_currency ());
}

int
sl_money_places (const char *currency)
{
  const int places = localeconv ()->frac_digits;

  if (is_own (currency))
    return places == CHAR_MAX ? USUAL_PLACES : places;
  return strstr (WHOLE, currency) != NULL ? 0 : strstr (THOUSANDTHS, currency) != NULL ? 3 : USUAL_PLACES;
}

/* strfmon(), with the minus of every other number; what it can't do is written as a plain number. */
static char *
formatted (const char *sign, double amount, int places)
{
  g_autofree char *format = g_strdup_printf ("%%%s.%dn", sign, places), *whole = NULL;
  char text[MONEY_BYTES];

  if (strfmon (text, sizeof text, format, amount) > 0)
    whole = g_locale_to_utf8 (text, -1, NULL, NULL, NULL);
  if (whole == NULL)
    return sl_plain_format (amount, places, sl_decimal_sign ());
  g_auto (GStrv) parts = g_strsplit (g_strstrip (whole), "-", -1);

  return g_strjoinv ("\xe2\x88\x92", parts);
}

char *
sl_money_text (double amount, const char *currency)
{
  const int places = sl_money_places (currency);
  const double least = pow (10, -places);

  if (fabs (amount) < least / 2)
    amount = 0; /* no minus before nothing */
  if (is_own (currency))
    return formatted ("", amount, places);
  g_autofree char *number = formatted ("!", amount, places);

  return g_strdup_printf ("%s %s", number, currency);
}

/* A blank or an apostrophe only ever groups; of a point or a comma that is not the decimal sign there have to be two,
 * or a decimal sign behind it: "1.234" may have been meant as a little more than one. */
#define GROUPED                                                                                                        \
  "^\\D*[0-9]{1,3}(?:([.,'’\\s\\x{a0}\\x{202f}])[0-9]{3}(?![0-9]))(?:\\1[0-9]{3}(?![0-9]))*(?:[.,][0-9]*)?\\D*$"

char *
sl_money_ungrouped (const char *text)
{
  const char *symbol = localeconv ()->currency_symbol, *decimal = sl_decimal_sign ();
  g_auto (GStrv) parts = g_strsplit (text, *symbol != '\0' ? symbol : "¤", 2);
  g_autofree char *bare = g_strstrip (g_strjoinv ("", parts)), *group = NULL;
  g_autoptr (GRegex) regex = g_regex_new (GROUPED, 0, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;

  if (!g_utf8_validate (bare, -1, NULL) || !g_regex_match (regex, bare, 0, &match))
    return g_steal_pointer (&bare);
  group = g_match_info_fetch (match, 1);
  g_auto (GStrv) groups = g_strsplit (bare, group, -1);

  if (g_str_equal (group, decimal) ||
      (strchr (".,", *group) != NULL && groups[2] == NULL && strstr (bare, decimal) == NULL))
    return g_steal_pointer (&bare);
  return g_strjoinv ("", groups);
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
