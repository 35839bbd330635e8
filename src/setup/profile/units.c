/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/units.h"

#include <glib/gi18n-lib.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "setup/profile/number.h"

#define MINUS "\xe2\x88\x92"          /* U+2212 */
#define FRACTION_SLASH "\xe2\x81\x84" /* U+2044 */
#define MM_PER_CM 10.0
#define THOU_PER_INCH 1000.0
#define PARTS_PER_INCH 64
#define COARSE_FROM_MM 1.0 /* from here on 64ths are fine enough */
#define MOST_PLACES 15     /* decimals a double can carry; more would be noise */
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

static const char *
skip_space (const char *p)
{
  while (g_unichar_isspace (g_utf8_get_char (p)))
    p = g_utf8_next_char (p);
  return p;
}

/* A sign, if one stands at *@p: −1 or 1. */
static double
parse_sign (const char **p)
{
  double sign = 1;
  if (**p == '-' || **p == '+')
    sign = *(*p)++ == '-' ? -1 : 1;
  else if (g_str_has_prefix (*p, MINUS))
    {
      sign = -1;
      *p += strlen (MINUS);
    }
  *p = skip_space (*p);
  return sign;
}

/* A run of digits with at most one decimal sign, either "." or @decimal, and nothing that groups thousands. */
static gboolean
parse_decimal (const char **p, const char *decimal, double *value, gboolean *whole)
{
  g_autoptr (GString) plain = g_string_new (NULL);
  gsize digits = 0;
  *whole = TRUE;
  for (;;)
    {
      if (g_ascii_isdigit (**p))
        {
          g_string_append_c (plain, *(*p)++);
          digits++;
          continue;
        }
      gboolean own = decimal != NULL && *decimal != '\0' && g_str_has_prefix (*p, decimal);
      if (!own && **p != '.')
        break;
      if (!*whole)
        return FALSE;
      *whole = FALSE;
      g_string_append_c (plain, '.');
      *p += own ? strlen (decimal) : 1;
    }
  if (digits == 0)
    return FALSE;
  *value = g_ascii_strtod (plain->str, NULL);
  return isfinite (*value);
}

static gboolean
parse_slash (const char **p)
{
  if (**p == '/')
    (*p)++;
  else if (g_str_has_prefix (*p, FRACTION_SLASH))
    *p += strlen (FRACTION_SLASH);
  else
    return FALSE;
  return TRUE;
}

/* Whole digits at *@p. */
static gboolean
parse_whole (const char **p, double *value)
{
  gboolean whole;
  return parse_decimal (p, NULL, value, &whole) && whole;
}

/* "2.3", "5/64", "1 3/64" or "1-3/64"; @fraction tells whether a slash was in it. */
static gboolean
parse_amount (const char **p, const char *decimal, double *value, gboolean *fraction)
{
  gboolean whole;
  double denominator;
  *fraction = FALSE;
  if (!parse_decimal (p, decimal, value, &whole))
    return FALSE;
  if (!whole)
    return TRUE;
  if (parse_slash (p))
    {
      *fraction = TRUE;
      if (!parse_whole (p, &denominator) || denominator <= 0)
        return FALSE;
      *value /= denominator;
      return TRUE;
    }
  const char *rest = skip_space (*p);
  if (*rest == '-')
    rest = skip_space (rest + 1);
  else if (rest == *p)
    return TRUE;
  double numerator;
  if (!parse_whole (&rest, &numerator))
    return TRUE;
  if (!parse_slash (&rest) || !parse_whole (&rest, &denominator) || denominator <= 0 || numerator >= denominator)
    return FALSE;
  *fraction = TRUE;
  *value += numerator / denominator;
  *p = rest;
  return TRUE;
}

/* mm for one of the unit that is all of @text; 0 where it is none. */
static double
find_unit (const char *text)
{
  g_autofree char *unit = g_strdup (text);
  g_strchomp (unit);
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
  if (decimal == NULL || *decimal == '\0')
    decimal = ".";
  if (g_utf8_validate (text, -1, NULL))
    {
      gboolean fraction;
      double value;
      const char *p = skip_space (text);
      double sign = parse_sign (&p);
      if (parse_amount (&p, decimal, &value, &fraction))
        {
          p = skip_space (p);
          double unit = *p == '\0' ? bare_unit (lengths, fraction) : find_unit (p);
          double length = sign * value * unit;
          if (unit > 0 && isfinite (length))
            {
              *mm = length;
              return TRUE;
            }
        }
    }
  g_autofree char *shown = g_utf8_make_valid (text, -1);
  /* Translators: the first %s is what was typed, the others are the decimal sign of the language in use */
  g_set_error (error, SL_UNITS_ERROR, 0,
               _ ("“%s” is not a length. Accepted are 2%s3, 2%s3 mm, 0%s09 in, 5/64, 1 3/64\" and 90 thou"), shown,
               decimal, decimal, decimal);
  return FALSE;
}

gboolean
sl_plain_parse (const char *text, const char *decimal, double *value, GError **error)
{
  if (decimal == NULL || *decimal == '\0')
    decimal = ".";
  if (g_utf8_validate (text, -1, NULL))
    {
      gboolean whole;
      double amount;
      const char *p = skip_space (text);
      double sign = parse_sign (&p);
      if (parse_decimal (&p, decimal, &amount, &whole) && *skip_space (p) == '\0')
        {
          *value = sign * amount;
          return TRUE;
        }
    }
  g_autofree char *shown = g_utf8_make_valid (text, -1);
  /* Translators: the first %s is what was typed, the others are the decimal sign of the language in use */
  g_set_error (error, SL_UNITS_ERROR, 0, _ ("“%s” is not a number. Accepted are 12, 12%s5 and %s0%s5"), shown, decimal,
               MINUS, decimal);
  return FALSE;
}

char *
sl_plain_format (double value, int places, const char *decimal)
{
  char pattern[8], digits[NUMBER_CHARS];
  if (!isfinite (value))
    return g_strdup (isnan (value) ? "–" : value > 0 ? "∞" : MINUS "∞");
  g_snprintf (pattern, sizeof pattern, "%%.%df", CLAMP (places, 0, MOST_PLACES));
  g_ascii_formatd (digits, sizeof digits, pattern, fabs (value));
  gboolean negative = value < 0 && strpbrk (digits, "123456789") != NULL;
  g_autoptr (GString) text = g_string_new (negative ? MINUS : "");
  char *point = strchr (digits, '.');
  if (point != NULL)
    *point = '\0';
  g_string_append (text, digits);
  if (point != NULL)
    {
      g_string_append (text, decimal != NULL && *decimal != '\0' ? decimal : ".");
      g_string_append (text, point + 1);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
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
  return g_string_free (text, FALSE);
}

static double
nearest_64ths (double mm)
{
  return round (mm / SL_MM_PER_INCH * PARTS_PER_INCH);
}

static char *
format_64ths (double mm, gboolean unit)
{
  double parts = nearest_64ths (mm);
  const char *sign = parts < 0 ? MINUS : "";
  parts = fabs (parts);
  double inches = floor (parts / PARTS_PER_INCH);
  int rest = (int) (parts - inches * PARTS_PER_INCH);
  if (parts == 0)
    return g_strdup ("0");
  if (rest == 0 && unit)
    return g_strdup_printf ("%s%.0f", sign, inches);
  if (inches == 0)
    return g_strdup_printf ("%s%d/%d", sign, rest, PARTS_PER_INCH);
  /* Without its unit a whole number of inches keeps a fraction: read back as a bare number it would count 64ths. */
  return g_strdup_printf ("%s%.0f %d/%d", sign, inches, rest, PARTS_PER_INCH);
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
  if (!unit || isnan (mm))
    return g_steal_pointer (&number);
  return g_strconcat (number, lengths == SL_LENGTHS_MM ? " mm" : " in", NULL);
}

SlLengths
sl_lengths_for (SlLengths lengths, double mm)
{
  return lengths == SL_LENGTHS_64THS && fabs (mm) < COARSE_FROM_MM ? SL_LENGTHS_INCH : lengths;
}

double
sl_length_residual (double mm)
{
  return mm - nearest_64ths (mm) * SL_MM_PER_INCH / PARTS_PER_INCH;
}

const char *
sl_decimal_sign (void)
{
  const char *sign = localeconv ()->decimal_point;
  return sign != NULL && *sign != '\0' ? sign : ".";
}
