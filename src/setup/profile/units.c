/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/units.h"

#include <glib/gi18n-lib.h>
#include <langinfo.h>
#include <string.h>

#include "setup/profile/number.h"

#define MINUS "\xe2\x88\x92"          /* U+2212 */
#define FRACTION_SLASH "\xe2\x81\x84" /* U+2044 */
#define MM_PER_CM 10.0
#define THOU_PER_INCH 1000.0
#define PARTS_PER_INCH 64
#define THIRDS 3.0          /* of a 64th, as people still see between the lines of a rule (common practice) */
#define COARSE_FROM_MM 1.0  /* from here on 64ths are fine enough */
#define MARK "\xe2\x80\x8e" /* U+200E */
#define LEFTWARD_FROM 0x590 /* the scripts written from right to left (Unicode, DerivedBidiClass.txt) … */
#define LEFTWARD_TO 0x8ff   /* … but those of history and of presentation forms */
#define MOST_PLACES 15      /* decimals a double can carry; more would be noise */
#define NUMBER_CHARS 350

G_DEFINE_QUARK (sl_units_error_quark, sl_units_error)

/* Every notation of a unit, in mm. Compared without regard to case. */
static const struct
{
  const char *text;
  double mm;
} length_units[] = {
  { "mm", 1 },
  { "cm", MM_PER_CM },
  { "in", SL_MM_PER_INCH },
  { "in.", SL_MM_PER_INCH },
  { "inch", SL_MM_PER_INCH },
  { "inches", SL_MM_PER_INCH },
  { "\"", SL_MM_PER_INCH },
  { "''", SL_MM_PER_INCH },
  { "\xe2\x80\xb3", SL_MM_PER_INCH }, /* ″ U+2033 */
  { "\xe2\x80\x9d", SL_MM_PER_INCH }, /* ” U+201D */
  { "thou", SL_MM_PER_INCH / THOU_PER_INCH },
};

/* Blanks, also those that don't break, and marks and isolates of direction as they come with what is copied. */
#define BLANKS "[\\s\\x{a0}\\x{202f}\\x{61c}\\x{200e}\\x{200f}\\x{2066}-\\x{2069}]*"

/* A sign; "5/64", "1 3/64" or "1-3/64", "5/64+", or a number with at most one decimal sign (%s) and nothing that groups
 * thousands; and what stands behind it. */
#define AMOUNT                                                                                                         \
  "^" BLANKS "(?<sign>[-+" MINUS "]?)" BLANKS                                                                          \
  "(?:(?:(?<ones>[0-9]+)(?:\\s*-\\s*|\\s+))?(?<over>[0-9]+)[/" FRACTION_SLASH "](?<under>[0-9]+)(?<more>[-+" MINUS     \
  "]?)"                                                                                                                \
  "|(?=%s?[0-9])(?<number>[0-9]*(?:%s[0-9]*)?))" BLANKS "(?<unit>.*?)" BLANKS "$"

/* One number of an amount; NAN where it has none of that name. */
static double
number_named (const GMatchInfo *match, const char *name, const char *decimal)
{
  g_autofree char *text = g_match_info_fetch_named (match, name);
  g_auto (GStrv) parts = g_strsplit (text, decimal, 2);
  g_autofree char *plain = g_strjoinv (".", parts);

  return *text != '\0' ? g_ascii_strtod (g_strdelimit (plain, ",", '.'), NULL) : NAN;
}

/* The sign of an amount, or what stands behind a fraction: 1, −1, or 0 for none. */
static int
sign_named (const GMatchInfo *match, const char *name)
{
  g_autofree char *sign = g_match_info_fetch_named (match, name);

  return sign == NULL || *sign == '\0' ? 0 : *sign == '+' ? 1 : -1;
}

/* Reads an amount: its value, whether it is a fraction, and its unit, @unit being owned. FALSE where it is none. */
static gboolean
parse_amount (const char *text, const char *decimal, double *value, gboolean *fraction, char **unit)
{
  g_autofree char *own = g_regex_escape_string (decimal, -1), *sign = g_strdup_printf ("(?:[.,]|%s)", own);
  g_autofree char *pattern = g_strdup_printf (AMOUNT, sign, sign);
  g_autoptr (GRegex) regex = g_regex_new (pattern, 0, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;

  if (!g_utf8_validate (text, -1, NULL) || !g_regex_match (regex, text, 0, &match))
    return FALSE;
  const double ones = number_named (match, "ones", decimal), over = number_named (match, "over", decimal),
               under = number_named (match, "under", decimal);

  *fraction = !isnan (under);
  *value = *fraction ? (isnan (ones) ? 0 : ones) + over / under + sign_named (match, "more") / (THIRDS * PARTS_PER_INCH)
                     : number_named (match, "number", decimal);
  if (sign_named (match, "sign") < 0)
    *value = -*value;
  *unit = g_match_info_fetch_named (match, "unit");
  return isfinite (*value) && (isnan (ones) || over < under);
}

/* mm for one of a unit; 0 where it is none. */
static double
find_unit (const char *unit)
{
  for (gsize i = 0; i < G_N_ELEMENTS (length_units); i++)
    if (g_ascii_strcasecmp (unit, length_units[i].text) == 0)
      return length_units[i].mm;
  return 0;
}

static double
bare_unit (SlLengths lengths, gboolean fraction)
{
  if (fraction || lengths == SL_LENGTHS_INCH)
    return SL_MM_PER_INCH;
  return lengths == SL_LENGTHS_64THS ? SL_MM_PER_INCH / PARTS_PER_INCH : 1;
}

gboolean
sl_length_parse (const char *text, SlLengths lengths, const char *decimal, double *mm, GError **error)
{
  g_autofree char *unit = NULL, *shown = NULL;
  gboolean fraction;
  double value;

  if (parse_amount (text, decimal, &value, &fraction, &unit))
    {
      const double each = *unit == '\0' ? bare_unit (lengths, fraction) : find_unit (unit);

      if (each > 0 && isfinite (value * each * PARTS_PER_INCH)) /* in any unit */
        {
          *mm = value * each;
          return TRUE;
        }
    }
  shown = g_utf8_make_valid (text, -1);
  /* Translators: the first %s is what was typed, the others are the decimal sign of the language in use */
  g_set_error (error, SL_UNITS_ERROR, 0,
               _ ("“%s” is not a length. Accepted are 2%s3, 2%s3 mm, 0%s09 in, 5/64, 1 3/64\" and 90 thou"), shown,
               decimal, decimal, decimal);
  return FALSE;
}

gboolean
sl_plain_parse (const char *text, const char *decimal, double *value, GError **error)
{
  g_autofree char *unit = NULL, *shown = NULL;
  gboolean fraction;
  double amount;

  if (parse_amount (text, decimal, &amount, &fraction, &unit) && !fraction && *unit == '\0')
    {
      *value = amount;
      return TRUE;
    }
  shown = g_utf8_make_valid (text, -1);
  /* Translators: the first %s is what was typed, the others are the decimal sign of the language in use */
  g_set_error (error, SL_UNITS_ERROR, 0, _ ("“%s” is not a number. Accepted are 12, 12%s5 and %s0%s5"), shown, decimal,
               MINUS, decimal);
  return FALSE;
}

const char *
sl_number_mark (void)
{
  static const char *mark;

  if (g_once_init_enter (&mark))
    {
      const char *word = _ ("relief");

      while (*word != '\0' && !g_unichar_isalpha (g_utf8_get_char (word)))
        word = g_utf8_next_char (word);
      const gunichar c = g_utf8_get_char (word);

      g_once_init_leave (&mark, c >= LEFTWARD_FROM && c <= LEFTWARD_TO ? MARK : "");
    }
  return mark;
}

char *
sl_plain_format (double value, int places, const char *decimal)
{
  char pattern[8], digits[NUMBER_CHARS];
  if (!isfinite (value))
    return g_strdup (isnan (value) ? "–" : value > 0 ? "∞" : MINUS "∞");
  g_snprintf (pattern, sizeof pattern, "%%.%df", CLAMP (places, 0, MOST_PLACES));
  g_ascii_formatd (digits, sizeof digits, pattern, fabs (value));
  GString *text = g_string_new (digits);

  g_string_replace (text, ".", decimal, 1);
  if (value < 0 && strpbrk (digits, "123456789") != NULL)
    g_string_prepend (text, MINUS);
  g_string_prepend (text, sl_number_mark ());
  return g_string_free (text, FALSE);
}

char *
sl_plain_shortest (double value)
{
  char buffer[SL_NUMBER_CHARS];
  GString *text;

  sl_number_format (sl_number (value), buffer);
  text = g_string_new (buffer);
  g_string_replace (text, ".", sl_decimal_sign (), 1);
  g_string_replace (text, "-", MINUS, 0);
  g_string_prepend (text, sl_number_mark ());
  return g_string_free (text, FALSE);
}

static char *
format_64ths (double mm, gboolean unit)
{
  const double thirds = round (THIRDS * fabs (mm) / SL_MM_PER_INCH * PARTS_PER_INCH), parts = round (thirds / THIRDS),
               inches = floor (parts / PARTS_PER_INCH);
  const char *sign = mm < 0 && thirds > 0 ? MINUS : "", *more = thirds > THIRDS * parts   ? "+"
                                                                : thirds < THIRDS * parts ? MINUS
                                                                                          : "";
  int rest = (int) (parts - inches * PARTS_PER_INCH), under = PARTS_PER_INCH;

  for (; rest > 0 && rest % 2 == 0; rest /= 2)
    under /= 2;
  if (thirds == 0)
    return g_strdup ("0");
  if (rest == 0 && unit && *more == '\0')
    return g_strdup_printf ("%s%.0f", sign, inches);
  if (inches == 0)
    return g_strdup_printf ("%s%d/%d%s", sign, rest, under, more);
  /* Without its unit a whole number of inches keeps a fraction: read back as a bare number it would count 64ths. */
  return g_strdup_printf ("%s%.0f %d/%d%s", sign, inches, rest, under, more);
}

char *
sl_length_format (double mm, SlLengths lengths, int places, const char *decimal, gboolean unit)
{
  g_autofree char *number = NULL;
  if (!isfinite (mm) || lengths == SL_LENGTHS_MM)
    number = sl_plain_format (mm, places, decimal);
  else if (lengths == SL_LENGTHS_INCH)
    number = sl_plain_format (mm / SL_MM_PER_INCH, places + 1, decimal);
  else
    number = format_64ths (mm, unit);
  if (lengths == SL_LENGTHS_64THS && isfinite (mm))
    return g_strconcat (sl_number_mark (), number, unit ? " in" : sl_number_mark (), NULL); /* "5/64−" ends in a sign */
  if (!unit || isnan (mm))
    return g_steal_pointer (&number);
  return g_strconcat (number, lengths == SL_LENGTHS_MM ? " mm" : " in", NULL);
}

SlLengths
sl_lengths_for (SlLengths lengths, double mm)
{
  return lengths == SL_LENGTHS_64THS && fabs (mm) < COARSE_FROM_MM ? SL_LENGTHS_INCH : lengths;
}

const char *
sl_decimal_sign (void)
{
  const char *sign = nl_langinfo (RADIXCHAR); /* unlike localeconv() safe in threads */
  return sign != NULL && *sign != '\0' ? sign : ".";
}
