/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers as documents and as people write them. */
#include <locale.h>
#include <math.h>
#include <string.h>

#include "../rounds.h"
#include "comma-locale.h"
#include "setup/profile/number.h"
#include "setup/profile/units.h"

/* 1 in = 25.4 mm exactly: NIST SP 811, table of conversion factors. Fractions of an inch are common practice on rulers
 * and gauges. */
static void
test_notations (void)
{
  static const struct
  {
    const char *text;
    SlLengths lengths;
    const char *decimal;
    double mm;
  } cases[] = {
    { "2.3", SL_LENGTHS_MM, ".", 2.3 },
    { "2,3", SL_LENGTHS_MM, ",", 2.3 },
    { "12.5", SL_LENGTHS_MM, ",", 12.5 },
    { "1.234", SL_LENGTHS_MM, ",", 1.234 },
    { " 2.3 mm ", SL_LENGTHS_INCH, ".", 2.3 },
    { "2.3mm", SL_LENGTHS_64THS, ".", 2.3 },
    { "0.23 cm", SL_LENGTHS_MM, ".", 2.3 },
    { ".5", SL_LENGTHS_MM, ".", 0.5 },
    { "0.09 in", SL_LENGTHS_MM, ".", 2.286 },
    { "0,09\"", SL_LENGTHS_MM, ",", 2.286 },
    { "0.09 inches", SL_LENGTHS_MM, ".", 2.286 },
    { "0.09\xe2\x80\xb3", SL_LENGTHS_MM, ".", 2.286 },
    { "0.09", SL_LENGTHS_INCH, ".", 2.286 },
    { "90 thou", SL_LENGTHS_MM, ".", 2.286 },
    { "90 THOU", SL_LENGTHS_MM, ".", 2.286 },
    { "5/64", SL_LENGTHS_MM, ".", 5 * 0.396875 },
    { "5/64\"", SL_LENGTHS_MM, ".", 5 * 0.396875 },
    { "5\xe2\x81\x84"
      "64 in",
      SL_LENGTHS_MM, ".", 5 * 0.396875 },
    { "1 3/64\"", SL_LENGTHS_MM, ".", 67 * 0.396875 },
    { "1-3/64", SL_LENGTHS_MM, ".", 67 * 0.396875 },
    { "1/8+", SL_LENGTHS_MM, ".", (8 + 1.0 / 3) * 0.396875 },
    { "1/8- in", SL_LENGTHS_MM, ".", (8 - 1.0 / 3) * 0.396875 },
    { "5", SL_LENGTHS_64THS, ".", 5 * 0.396875 },
    { "5.5", SL_LENGTHS_64THS, ".", 5.5 * 0.396875 },
    { "1/2 mm", SL_LENGTHS_MM, ".", 0.5 },
    { "-0.5", SL_LENGTHS_MM, ".", -0.5 },
    { "+0.5", SL_LENGTHS_MM, ".", 0.5 },
    { "\xe2\x88\x92"
      "1 3/64",
      SL_LENGTHS_MM, ".", -67 * 0.396875 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      double mm = 99;
      g_test_message ("%s", cases[i].text);
      g_assert_true (sl_length_parse (cases[i].text, cases[i].lengths, cases[i].decimal, &mm, &error));
      g_assert_no_error (error);
      g_assert_cmpfloat_with_epsilon (mm, cases[i].mm, 1e-12);
    }
}

static void
test_refused (void)
{
  static const char *const texts[] = {
    "5/64+-", "1/8+1", "",    " ",      "abc",       "12,5x", "12.5x",   "1.2.3",    "1,2,3",   "1.234,5", "1,234.5",
    "2 3",    "5/",    "/64", "5/0",    "5/64/2",    "1 5",   "1 70/64", "1.5 3/64", "1e3",     "0x10",    "nan",
    "inf",    "--1",   "-",   "2.3 kg", "2.3 mm mm", "mm",    "\"",      "\xff",     "2.3\xff", "5 64",    "1 3/64 7",
  };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      double mm = 99;
      g_test_message ("%s", texts[i]);
      g_assert_false (sl_length_parse (texts[i], SL_LENGTHS_MM, ",", &mm, &error));
      g_assert_error (error, SL_UNITS_ERROR, 0);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      g_assert_cmpfloat (mm, ==, 99); /* the old value stays */
    }
}

static void
test_says_what_is_accepted (void)
{
  g_autoptr (GError) error = NULL, plain = NULL;
  double value = 7;
  g_assert_false (sl_length_parse ("12,5x", SL_LENGTHS_MM, ",", &value, &error));
  g_assert_nonnull (strstr (error->message, "12,5x"));
  g_assert_nonnull (strstr (error->message, "2,3 mm"));
  g_assert_nonnull (strstr (error->message, "5/64"));
  g_assert_false (sl_plain_parse ("12,5x", ",", &value, &plain));
  g_assert_nonnull (strstr (plain->message, "12,5x"));
  g_assert_nonnull (strstr (plain->message, "12,5 "));
  g_assert_cmpfloat (value, ==, 7);
  /* nothing groups thousands: a sign that is there once is the decimal sign */
  g_assert_true (sl_plain_parse ("12,5", ".", &value, NULL));
  g_assert_cmpfloat (value, ==, 12.5);
  g_assert_false (sl_plain_parse ("1,234.5", ".", &value, NULL));
  g_assert_false (sl_plain_parse ("1,234,567", ".", &value, NULL));
  g_assert_cmpfloat (value, ==, 12.5);
}

static void
test_plain (void)
{
  double value;
  g_assert_true (sl_plain_parse (" 12.5 ", ",", &value, NULL));
  g_assert_cmpfloat (value, ==, 12.5);
  g_assert_true (sl_plain_parse ("\xe2\x88\x92"
                                 "0,5",
                                 ",", &value, NULL));
  g_assert_cmpfloat (value, ==, -0.5);
  g_assert_false (sl_plain_parse ("1/2", ".", &value, NULL));
}

#define MINUS "\xe2\x88\x92"

static void
assert_format (double mm, SlLengths lengths, int places, const char *decimal, gboolean unit, const char *expected)
{
  g_autofree char *text = sl_length_format (mm, lengths, places, decimal, unit);
  g_assert_cmpstr (text, ==, expected);
}

static void
test_format (void)
{
  assert_format (2.3, SL_LENGTHS_MM, 2, ".", TRUE, "2.30 mm");
  assert_format (2.3, SL_LENGTHS_MM, 2, ",", FALSE, "2,30");
  assert_format (2.3, SL_LENGTHS_INCH, 2, ".", TRUE, "0.091 in");
  assert_format (-2.3, SL_LENGTHS_MM, 1, ".", FALSE,
                 "\xe2\x88\x92"
                 "2.3");
  assert_format (-0.001, SL_LENGTHS_MM, 2, ".", FALSE, "0.00");
  /* 2.00 mm shows as 5/64 in: derived from NIST SP 811 */
  assert_format (2.00, SL_LENGTHS_64THS, 2, ".", TRUE, "5/64 in");
  assert_format (67 * 0.396875, SL_LENGTHS_64THS, 2, ".", TRUE, "1 3/64 in");
  assert_format (-67 * 0.396875, SL_LENGTHS_64THS, 2, ".", FALSE,
                 "\xe2\x88\x92"
                 "1 3/64");
  /* reduced; what lies a third of a 64th beside it is told apart: 8.19, 7.94 and 7.69 of 64 (25.4 mm an inch, exactly:
   * NIST SP 811) */
  assert_format (3.25, SL_LENGTHS_64THS, 2, ".", FALSE, "1/8+");
  assert_format (3.15, SL_LENGTHS_64THS, 2, ".", FALSE, "1/8");
  assert_format (3.05, SL_LENGTHS_64THS, 2, ".", TRUE, "1/8" MINUS " in");
  assert_format (-3.25, SL_LENGTHS_64THS, 2, ".", FALSE, MINUS "1/8+");
  assert_format (12.7, SL_LENGTHS_64THS, 2, ".", FALSE, "1/2");
  assert_format (25.4, SL_LENGTHS_64THS, 2, ".", TRUE, "1 in");
  assert_format (25.55, SL_LENGTHS_64THS, 2, ".", TRUE, "1 0/64+ in");
  assert_format (0, SL_LENGTHS_64THS, 2, ".", FALSE, "0");
}

/* What is written is read back as the same length, in every unit. */
/* A 64th of an inch is 0.40 mm: lengths below a millimetre would all be told as one or two of them. */
static void
test_told (void)
{
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_64THS, 0.3), ==, SL_LENGTHS_INCH);
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_64THS, -0.99), ==, SL_LENGTHS_INCH);
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_64THS, 1), ==, SL_LENGTHS_64THS);
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_64THS, -2.3), ==, SL_LENGTHS_64THS);
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_MM, 0.3), ==, SL_LENGTHS_MM);
  g_assert_cmpint (sl_lengths_for (SL_LENGTHS_INCH, 0.3), ==, SL_LENGTHS_INCH);
}

static void
test_format_is_read_back (void)
{
  for (int sixty_fourths = -130; sixty_fourths <= 130; sixty_fourths++)
    for (int lengths = SL_LENGTHS_MM; lengths <= SL_LENGTHS_64THS; lengths++)
      for (int unit = 0; unit < 2; unit++)
        {
          double mm = sixty_fourths * 0.396875, back;
          g_autofree char *text = sl_length_format (mm, lengths, 8, ",", unit);
          g_assert_true (sl_length_parse (text, lengths, ",", &back, NULL));
          g_assert_cmpfloat_with_epsilon (back, mm, 1e-6);
        }
}

static void
assert_number (const char *text, double v, const char *written)
{
  SlNumber n;
  char buffer[SL_NUMBER_CHARS];
  g_test_message ("%s", text);
  g_assert_true (sl_number_parse (text, &n));
  g_assert_cmpfloat (n.v, ==, v);
  g_assert_cmpstr (sl_number_format (n, buffer), ==, written);
}

static void
test_document_numbers (void)
{
  char buffer[SL_NUMBER_CHARS];
  SlNumber n = { 7, 3 };
  assert_number ("1.10", 1.1, "1.10");
  assert_number ("0.60", 0.6, "0.60");
  assert_number ("0", 0, "0");
  assert_number ("-0.00", -0.0, "-0.00");
  assert_number ("+2.5", 2.5, "2.5");
  assert_number (" 2.5\n", 2.5, "2.5");
  assert_number (".5", 0.5, "0.5");
  assert_number ("5.", 5, "5");
  assert_number ("1e0", 1, "1");
  assert_number ("1.50e2", 150, "150");
  assert_number ("1E-3", 0.001, "0.001");
  assert_number ("0.30000000000000004", 0.30000000000000004, "0.30000000000000004");
  assert_number ("0.1000000000000000000000", 0.1, "0.1000000000000000000000");
  assert_number ("100000000000000000000000", 1e23, "1e+23");
  assert_number ("1e-300", 1e-300, "1e-300");
  for (const char *const *bad = (const char *const[]){ "", " ", ".", "-", "1,5", "1e", "1e+", "NaN", "INF", "inf",
                                                       "0x10", "1e400", "1 2", "1x", "--1", "1.2.3", NULL };
       *bad != NULL; bad++)
    g_assert_false (sl_number_parse (*bad, &n));
  g_assert_cmpfloat (n.v, ==, 7);
  g_assert_cmpstr (sl_number_format (sl_number (0.1 + 0.2), buffer), ==, "0.30000000000000004");
  g_assert_cmpstr (sl_number_format (sl_number (2.3), buffer), ==, "2.3");
  /* Changed since it was read: the value counts, not the old number of decimals. */
  g_assert_cmpstr (sl_number_format ((SlNumber){ 2.345, 1 }, buffer), ==, "2.345");
}

/* Whatever is written is the same value again, and written again the same text. */
static void
test_document_numbers_at_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1811);
  for (int i = 0; i < test_rounds (20000); i++)
    {
      char first[SL_NUMBER_CHARS], second[SL_NUMBER_CHARS];
      double v = ldexp (g_rand_double_range (rand, -1, 1), g_rand_int_range (rand, -80, 80));
      SlNumber n = { v, (signed char) g_rand_int_range (rand, -1, 101) }, back;
      sl_number_format (n, first);
      g_assert_true (sl_number_parse (first, &back));
      g_assert_cmpfloat (back.v, ==, v);
      g_assert_cmpstr (sl_number_format (back, second), ==, first);
    }
}

static void
assert_nine_digits (double v)
{
  char quick[SL_NUMBER_CHARS], printed[SL_NUMBER_CHARS];

  g_assert_cmpstr (sl_number_nine_digits (v, quick), ==, g_ascii_formatd (printed, sizeof printed, "%.9g", v));
}

/* Held to the C library's own printing: at random, and where the ninth digit is between two, carries, or is the last
 * before an exponent. */
static void
test_nine_digits (void)
{
  static const double at[] = { 0,
                               -0.0,
                               1,
                               -10,
                               100,
                               7,
                               0.5,
                               0.1,
                               1e-4,
                               9.9e-5,
                               0.000123456789,
                               0.00099999999995,
                               1e8,
                               99999999.95,
                               1e9,
                               1e15,
                               999999999.5,
                               123456789.5,
                               1e-300,
                               1.7e308,
                               0.0625,
                               1.00000000050,
                               2.5e-4,
                               9.9999999996 };
  g_autoptr (GRand) rand = g_rand_new_with_seed (1811);

  for (gsize i = 0; i < G_N_ELEMENTS (at); i++)
    {
      assert_nine_digits (at[i]);
      assert_nine_digits (-nextafter (at[i], 1));
    }
  for (int i = 0; i < test_rounds (200000); i++)
    {
      const double digits = g_rand_double_range (rand, 1e8, 1e9), places = g_rand_int_range (rand, 0, 13);

      assert_nine_digits (ldexp (g_rand_double_range (rand, -1, 1), g_rand_int_range (rand, -40, 40)));
      assert_nine_digits ((floor (digits) + 0.5) / pow (10, places));
      assert_nine_digits (round (digits / 1e5) / pow (10, places));
    }
}

/* "12.5" is twelve and a half in a document whatever the language: never 125, never 12. */
static void
test_comma_locale (void)
{
  char *built;
  if (!test_comma_locale_begin (&built))
    {
      g_test_skip ("no locale with a decimal comma can be had");
      test_comma_locale_end (built);
      return;
    }
  double value;
  g_assert_cmpstr (sl_decimal_sign (), ==, ",");
  g_assert_true (sl_length_parse ("12.5", SL_LENGTHS_MM, sl_decimal_sign (), &value, NULL));
  g_assert_cmpfloat (value, ==, 12.5);
  g_assert_true (sl_length_parse ("12,5", SL_LENGTHS_MM, sl_decimal_sign (), &value, NULL));
  g_assert_cmpfloat (value, ==, 12.5);
  assert_number ("12.5", 12.5, "12.5");
  assert_format (12.5, SL_LENGTHS_MM, 1, sl_decimal_sign (), FALSE, "12,5");
  test_comma_locale_end (built);
}

/* Messages write a minus, not a hyphen, and no more decimals than there are. */
static void
test_shortest (void)
{
  static const struct
  {
    double value;
    const char *text;
  } rows[] = { { -100, "−100" }, { -0.5, "−0.5" }, { 0, "0" }, { 30, "30" }, { -0.001, "−0.001" }, { 2.31, "2.31" } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *text = sl_plain_shortest (rows[i].value);
      g_assert_cmpstr (text, ==, rows[i].text);
    }
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/units/notations", test_notations);
  g_test_add_func ("/units/refused", test_refused);
  g_test_add_func ("/units/says-what-is-accepted", test_says_what_is_accepted);
  g_test_add_func ("/units/plain", test_plain);
  g_test_add_func ("/units/format", test_format);
  g_test_add_func ("/units/told", test_told);
  g_test_add_func ("/units/format-is-read-back", test_format_is_read_back);
  g_test_add_func ("/number/documents", test_document_numbers);
  g_test_add_func ("/number/at-random", test_document_numbers_at_random);
  g_test_add_func ("/number/nine-digits", test_nine_digits);
  g_test_add_func ("/number/comma-locale", test_comma_locale);
  g_test_add_func ("/units/shortest", test_shortest);
  return g_test_run ();
}
