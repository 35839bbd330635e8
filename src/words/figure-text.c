/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/figure-text.h"

#include <glib/gi18n-lib.h>

#include <math.h>
#include <string.h>

#define PLACES 2                 /* hundredths of a millimetre: what a feeler gauge or a dial resolves */
#define COVERAGE 2               /* U = 2u: about 95 %, GUM 6.2 */
#define NOT_GIVEN "\xe2\x80\x93" /* en dash */

static char *
format (const SlTextStyle *style, double mm, SlLengths lengths)
{
  return isnan (mm) ? g_strdup (NOT_GIVEN) : sl_length_format (mm, lengths, PLACES, style->decimal, FALSE);
}

static SlLengths
fine_lengths (const SlTextStyle *style)
{
  return style->lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : style->lengths;
}

char *
sl_text_length (const SlTextStyle *style, double mm)
{
  return format (style, mm, sl_lengths_for (style->lengths, mm));
}

char *
sl_text_fine (const SlTextStyle *style, double mm)
{
  return format (style, mm, fine_lengths (style));
}

/* Whether the digits say more than nothing. */
static gboolean
is_nonzero (const char *text)
{
  return strpbrk (text, "123456789") != NULL;
}

static char *
with_plus (char *text, double value)
{
  g_autofree char *plain = text;

  return value > 0 && is_nonzero (plain) ? g_strconcat ("+", plain, NULL) : g_steal_pointer (&plain);
}

char *
sl_text_change (const SlTextStyle *style, double mm)
{
  return with_plus (sl_text_fine (style, mm), mm);
}

char *
sl_text_uncertainty (const SlTextStyle *style, double u_mm)
{
  g_autofree char *text = NULL;

  if (isnan (u_mm))
    return NULL;
  text = sl_text_fine (style, COVERAGE * u_mm);
  if (u_mm > 0 && !is_nonzero (text))
    {
      g_free (text);
      text = sl_length_format (COVERAGE * u_mm, fine_lengths (style), PLACES + 1, style->decimal, FALSE);
    }
  return g_strconcat ("±", text, NULL);
}

char *
sl_text_plain (const SlTextStyle *style, double value, int places, gboolean sign)
{
  char *text;

  if (isnan (value))
    return g_strdup (NOT_GIVEN);
  text = sl_plain_format (value, places, style->decimal);
  return sign ? with_plus (text, value) : text;
}

const char *
sl_text_unit (const SlTextStyle *style)
{
  return style->lengths == SL_LENGTHS_MM ? _ ("mm") : _ ("in");
}

char *
sl_text_string (const SlProfile *profile, int string)
{
  const char *note = string >= 1 && string <= profile->n_strings ? profile->strings[string - 1].note : NULL;
  gsize letters = note == NULL ? 0 : strcspn (note, "0123456789");

  if (letters == 0)
    return g_strdup_printf ("%d", string);
  return g_strdup_printf ("%d %.*s", string, (int) letters, note);
}
