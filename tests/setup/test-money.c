/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Money as locales write it. What is expected is the C library's description of the locale (its LC_MONETARY), spelled
 * out by hand. */
#include <string.h>

#include "comma-locale.h"
#include "setup/profile/money.h"

static void
assert_money (double amount, const char *currency, const char *wanted)
{
  g_autofree char *text = sl_money_text (amount, currency);

  g_assert_cmpstr (text, ==, wanted);
}

static void
test_plain (void)
{
  setlocale (LC_ALL, "C.UTF-8");
  g_assert_cmpstr (sl_locale_currency (), ==, "");
  g_assert_cmpint (sl_money_places (NULL), ==, 2);
  g_assert_cmpint (sl_money_places ("JPY"), ==, 0);
  g_assert_cmpint (sl_money_places ("KWD"), ==, 3);
  assert_money (85, NULL, "85.00");
  assert_money (85, "", "85.00");
  assert_money (85.5, "EUR", "85.50 EUR");
  assert_money (-20, "EUR", "−20.00 EUR");
  assert_money (-0.001, "EUR", "0.00 EUR");
}

static void
test_grouped (void)
{
  g_autofree char *built = NULL;

  if (!test_comma_locale_begin (&built))
    {
      g_test_skip ("no locale with a decimal comma, and none can be built");
      return;
    }
  g_assert_cmpstr (sl_locale_currency (), ==, "EUR");
  assert_money (1234567.5, NULL, "1.234.567,50 €");
  assert_money (1234567.5, "EUR", "1.234.567,50 €");
  assert_money (-1234.5, "EUR", "−1.234,50 €");
  assert_money (0, "EUR", "0,00 €");
  assert_money (-0.004, "EUR", "0,00 €");
  assert_money (1234.5, "GBP", "1.234,50 GBP");
  assert_money (-20, "GBP", "−20,00 GBP");
  test_comma_locale_end (g_steal_pointer (&built));
}

/* What glibc 2.36 has of each (localedata/locales), LC_MONETARY, and for currencies other than the locale's ISO 4217.
 */
static const struct
{
  const char *locale;
  double amount;
  const char *currency, *wanted;
} moneys[] = {
  { "es_ES.UTF-8", 1234567.5, "EUR", "1.234.567,50 €" },
  { "es_ES.UTF-8", -1234.5, "USD", "−1.234,50 USD" },
  { "en_US.UTF-8", 1234567.5, "USD", "$1,234,567.50" },
  { "en_US.UTF-8", -20, "USD", "−$20.00" },
  { "en_US.UTF-8", 1234.5, "EUR", "1,234.50 EUR" },
  { "fr_FR.UTF-8", 1234567.5, "EUR", "1\u202f234\u202f567,50 €" },
  { "ja_JP.UTF-8", 1234567, "JPY", "￥1,234,567" },
  { "ja_JP.UTF-8", 1234.5, "EUR", "1,234.50 EUR" },
  { "de_DE.UTF-8", 1234567, "JPY", "1.234.567 JPY" },
  { "de_DE.UTF-8", 1234.5, "KWD", "1.234,500 KWD" },
};

static void
test_locales (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (moneys); i++)
    {
      g_autofree char *built = NULL;

      if (!test_locale_begin (moneys[i].locale, &built))
        {
          g_test_skip ("a locale is missing, and can't be built");
          return;
        }
      assert_money (moneys[i].amount, moneys[i].currency, moneys[i].wanted);
      test_comma_locale_end (g_steal_pointer (&built));
    }
}

/* Whatever is written is read again: the text without its groups is a plain number. What may have been meant otherwise
 * is left as it is. */
static void
test_read (void)
{
  static const struct
  {
    const char *locale, *text, *wanted;
  } texts[] = {
    { "C.UTF-8", "1,234.50", "1234.50" },
    { "C.UTF-8", "1.234,50", "1.234,50" },
    { "C.UTF-8", "1,234", "1,234" },
    { "C.UTF-8", "1,234,567", "1234567" },
    { "C.UTF-8", "1 234", "1234" },
    { "C.UTF-8", "1 23", "1 23" },
    { "C.UTF-8", "12.5", "12.5" },
    { "C.UTF-8", "1'234.50", "1234.50" },
    { "de_DE.UTF-8", "1.234,50 €", "1234,50" },
    { "de_DE.UTF-8", "1.234", "1.234" },
    { "de_DE.UTF-8", "85,5", "85,5" },
    { "de_DE.UTF-8", "−1.234.567 €", "−1234567" },
    { "de_DE.UTF-8", "€ 85", "85" },
    { "fr_FR.UTF-8", "1\u202f234,50 €", "1234,50" },
    { "fr_FR.UTF-8", "1\u00a0234", "1234" },
    { "en_US.UTF-8", "$1,234.50", "1234.50" },
    { "ja_JP.UTF-8", "￥1,234,567", "1234567" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autofree char *built = NULL, *read = NULL;

      if (!test_locale_begin (texts[i].locale, &built))
        continue;
      read = sl_money_ungrouped (texts[i].text);
      g_assert_cmpstr (read, ==, texts[i].wanted);
      test_comma_locale_end (g_steal_pointer (&built));
    }
}

static void
add_charge (SlVisit *visit, double minutes, double amount, const char *currency)
{
  SlCharge charge = { g_strdup ("Setup"), sl_number (minutes), sl_number (amount), g_strdup (currency) };

  g_array_append_val (visit->charges, charge);
}

static void
test_total (void)
{
  SlVisit visit = sl_visit_init ();
  g_autofree char *none = NULL, *total = NULL;
  double minutes;

  setlocale (LC_ALL, "C.UTF-8");
  none = sl_charges_total (NULL, &minutes);
  g_assert_cmpstr (none, ==, "");
  g_assert_cmpfloat (minutes, ==, 0);
  add_charge (&visit, 90, 85, "EUR");
  add_charge (&visit, 15, 20, "GBP");
  add_charge (&visit, NAN, -5.5, "EUR"); /* a discount, no time */
  total = sl_charges_total (&visit, &minutes);
  g_assert_cmpstr (total, ==, "79.50 EUR + 20.00 GBP");
  g_assert_cmpfloat (minutes, ==, 105);
  g_array_unref (visit.sets);
  g_array_unref (visit.plan);
  g_array_unref (visit.checks);
  g_array_unref (visit.charges);
  g_array_unref (visit.photos);
}

static void
test_letters (void)
{
  g_assert_true (sl_is_currency ("EUR"));
  g_assert_false (sl_is_currency ("eur") || sl_is_currency ("EU") || sl_is_currency ("EURO") || sl_is_currency ("") ||
                  sl_is_currency ("E1R") || sl_is_currency ("€"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/money/plain", test_plain);
  g_test_add_func ("/money/grouped", test_grouped);
  g_test_add_func ("/money/locales", test_locales);
  g_test_add_func ("/money/read", test_read);
  g_test_add_func ("/money/total", test_total);
  g_test_add_func ("/money/letters", test_letters);
  return g_test_run ();
}
