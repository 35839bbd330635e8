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
  g_assert_cmpint (sl_money_places (), ==, 2);
  assert_money (85, NULL, "85.00");
  assert_money (85, "", "85.00");
  assert_money (85.5, "EUR", "85.50 EUR");
  assert_money (-20, "EUR", "-20.00 EUR");
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
  assert_money (-1234.5, "EUR", "-1.234,50 €");
  assert_money (0, "EUR", "0,00 €");
  assert_money (-0.004, "EUR", "0,00 €");
  assert_money (1234.5, "GBP", "1.234,50 GBP");
  assert_money (-20, "GBP", "-20,00 GBP");
  test_comma_locale_end (g_steal_pointer (&built));
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
  g_test_add_func ("/money/total", test_total);
  g_test_add_func ("/money/letters", test_letters);
  return g_test_run ();
}
