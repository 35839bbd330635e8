/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/length-entry.h"
#include "setup/profile/money.h"

/* Values are rounded to a nanometre, so that 0.091 in is kept as 2.3114 and not as its binary neighbour. */
#define KEPT_PER_UNIT 1e6

/* Nobody reads a length or an angle to more decimals than this on a screen. */
#define MOST_PLACES 3
#define THOUSAND 1000
#define PLACES_TOLERANCE 1e-6

double
sl_length_kept (double value)
{
  return round (value * KEPT_PER_UNIT) / KEPT_PER_UNIT;
}

int
sl_places_for (double value, int least)
{
  double scale = pow (10, least);
  for (int places = least; places <= MOST_PLACES && isfinite (value); places++, scale *= 10)
    if (fabs (value * scale - round (value * scale)) < PLACES_TOLERANCE)
      return places;
  return least;
}

const char *
sl_lengths_unit (SlLengths lengths, gboolean fine)
{
  return lengths == SL_LENGTHS_MM               ? C_ ("unit", "mm")
         : lengths == SL_LENGTHS_64THS && !fine ? C_ ("unit", "64ths")
                                                : C_ ("unit", "in");
}

static gboolean
parse (const SlLengthText *how, const char *text, double *value, GError **error)
{
  if (!how->unit)
    return sl_length_parse (text, how->lengths, sl_decimal_sign (), value, error);
  g_autofree char *number = sl_money_ungrouped (text);

  if (*how->unit && g_str_has_suffix (number, how->unit))
    {
      number[strlen (number) - strlen (how->unit)] = '\0';
      g_strchomp (number);
    }
  return sl_plain_parse (number, sl_decimal_sign (), value, error);
}

/* Point and comma are decimal signs in every locale: gauges and keypads type what they are made to. One that is not the
 * locale's may have been meant to group thousands, where an entry can hold so many. */
static gboolean
may_group (const SlLengthText *how, const char *text, double value)
{
  return strstr (text, sl_decimal_sign ()) == NULL && fabs (value) * THOUSAND <= how->bound->most &&
         g_regex_match_simple ("^\\D*[1-9]\\d{0,2}[.,]\\d{3}(?!\\d)", text, 0, 0);
}

/* What a bare number of inches can be that is too large for them: 64ths or thousandths; "" where neither fits. */
static char *
meant_text (const SlLengthText *how, const char *text)
{
  static const SlLengths ways[] = { SL_LENGTHS_64THS, SL_LENGTHS_INCH };
  static const double parts[] = { 64, 1000 };
  g_autoptr (GString) meant = g_string_new (NULL);
  double number;

  for (gsize i = 0; i < G_N_ELEMENTS (ways) && sl_plain_parse (text, sl_decimal_sign (), &number, NULL); i++)
    {
      const double mm = number / parts[i] * SL_MM_PER_INCH;
      g_autofree char *one = sl_length_format (mm, ways[i], how->places, sl_decimal_sign (), TRUE);

      if (mm >= how->bound->least && mm <= how->bound->most)
        /* Translators: between two lengths of which one may have been meant: "5/64 in or 0.005 in" */
        g_string_append_printf (meant, "%s%s", meant->len > 0 ? _ (" or ") : "", one);
    }
  /* Translators: one or two lengths; begins with a space */
  return meant->len > 0 ? g_strdup_printf (_ (" Was %s meant?"), meant->str) : g_strdup ("");
}

/* Why a length is refused, in the unit it was typed in. */
static char *
bound_complaint (const SlLengthText *how, const char *text, double value)
{
  const char *decimal = sl_decimal_sign ();
  g_autofree char *complaint = sl_bound_complaint (how->bound, value), *given = NULL, *least = NULL, *most = NULL,
                  *meant = NULL;

  if (complaint == NULL || how->unit != NULL || how->lengths == SL_LENGTHS_MM)
    return g_steal_pointer (&complaint);
  given = sl_length_format (value, how->lengths, how->places, decimal, TRUE);
  least = sl_length_format (how->bound->least, how->lengths, how->places, decimal, FALSE);
  most = sl_length_format (how->bound->most, how->lengths, how->places, decimal, TRUE);
  meant = meant_text (how, text);
  return g_strdup_printf (_ ("%1$s is outside %2$s to %3$s.%4$s"), given, least, most, meant);
}

char *
sl_length_text_read (const SlLengthText *how, const char *text, double *value)
{
  g_autoptr (GError) error = NULL;

  if (!parse (how, text, value, &error))
    return g_strdup (error->message);
  *value = sl_length_kept (*value);
  if (how->bound != NULL && may_group (how, text, *value))
    /* Translators: the first %s is what was typed, the second the decimal sign of the language in use */
    return g_strdup_printf (_ ("“%s” could mean thousands. Leave out the separator, or type “%s” for decimals."), text,
                            sl_decimal_sign ());
  return how->bound != NULL ? bound_complaint (how, text, *value) : NULL;
}

char *
sl_length_text_write (const SlLengthText *how, double value)
{
  const char *decimal = sl_decimal_sign (), *mark = sl_number_mark ();
  g_autofree char *text = isnan (value)       ? g_strdup ("")
                          : how->unit != NULL ? sl_plain_format (value, how->places, decimal)
                                              : sl_length_format (value, how->lengths, how->places, decimal, FALSE);
  g_auto (GStrv) parts = g_strsplit (text, *mark == '\0' ? "\n" : mark, -1);

  return g_strjoinv ("", parts);
}

/* ---- of a charge ---- */

void
sl_charge_entry_set_up (GtkWidget *entry, const char *attribute)
{
  const gboolean minutes = g_str_equal (attribute, "minutes");
  const SlLengthUse use = { .bound = sl_bound_find ("charge", attribute),
                            .plain = minutes ? _ ("min") : "",
                            .places = minutes ? 0 : sl_money_places (NULL),
                            .step = 1 };

  sl_length_entry_set_up (entry, use);
}
