/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/figures.h"

#include "setup/profile/construction.h"

#define FLAT_FROM_MM 5000.0 /* the format's largest radius */
#define PLACES 2            /* hundredths of a millimetre: what a feeler gauge or a dial resolves */

char *
sl_text_length (const SlTextStyle *style, double mm)
{
  return sl_length_format (mm, sl_lengths_for (style->lengths, mm), PLACES, style->decimal, FALSE);
}

char *
sl_text_length_unit (const SlTextStyle *style, double mm)
{
  return sl_length_format (mm, sl_lengths_for (style->lengths, mm), PLACES, style->decimal, TRUE);
}

char *
sl_text_measure (const SlTextStyle *style, double mm, int places, gboolean unit)
{
  return sl_length_format (mm, style->lengths == SL_LENGTHS_MM ? SL_LENGTHS_MM : SL_LENGTHS_INCH, places,
                           style->decimal, unit);
}

char *
sl_text_fine (const SlTextStyle *style, double mm)
{
  return sl_text_measure (style, mm, PLACES, FALSE);
}

char *
sl_text_radius (const SlTextStyle *style, double mm)
{
  g_autofree char *text = sl_text_measure (style, fabs (mm), 0, TRUE);

  if (!(fabs (mm) < FLAT_FROM_MM))
    return g_strdup (C_ ("radius of a saddle or board", "flat"));
  return mm < 0 ? g_strdup_printf (C_ ("radius of a saddle", "%s, hollow"), text) : g_steal_pointer (&text);
}

/* Whether the digits say more than nothing. */
static gboolean
says_something (const char *text)
{
  return strpbrk (text, "123456789") != NULL;
}

static char *
with_sign (const char *sign, const char *number)
{
  return g_strconcat (sl_number_mark (), sign, number + strlen (sl_number_mark ()), NULL);
}

static char *
with_plus (char *text, double value)
{
  g_autofree char *plain = text;

  return value > 0 && says_something (plain) ? with_sign ("+", plain) : g_steal_pointer (&plain);
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
  text = sl_text_fine (style, SL_COVERAGE * u_mm);
  if (u_mm > 0 && !says_something (text))
    {
      g_free (text);
      text = sl_text_measure (style, SL_COVERAGE * u_mm, PLACES + 1, FALSE);
    }
  return with_sign ("±", text);
}

/* Takes @text, which stands for @u. */
static char *
take_spread (char *text, double u)
{
  g_autofree char *range = text;

  return isfinite (u) && u > 0 && says_something (range) ? g_strconcat (" ± ", range, NULL) : g_strdup ("");
}

char *
sl_text_spread (const SlTextStyle *style, double u_mm)
{
  return take_spread (sl_text_fine (style, SL_COVERAGE * u_mm), u_mm);
}

char *
sl_text_plain_spread (const SlTextStyle *style, double u, int places)
{
  return take_spread (sl_plain_format (SL_COVERAGE * u, places, style->decimal), u);
}

char *
sl_text_plain (const SlTextStyle *style, double value, int places, gboolean sign)
{
  char *text = sl_plain_format (value, places, style->decimal);

  return sign ? with_plus (text, value) : text;
}

char *
sl_text_heard (const SlTextStyle *style, double cents, double range, char **spread)
{
  const int places = range < 0.095 && fabs (cents) < 10 ? 2 : 1; /* one digit of U that counts, three in all */

  *spread = isnan (range) ? NULL : sl_text_plain (style, MAX (range, pow (10, -places)), places, FALSE);
  return sl_text_plain (style, cents, places, TRUE);
}

char *
sl_text_percent (const SlTextStyle *style, double percent)
{
  g_autofree char *number = sl_plain_format (percent, 0, style->decimal);

  /* Translators: a percentage */
  return g_strdup_printf (C_ ("percentage", "%s %%"), number);
}

char *
sl_text_hand (double force_n, const char *decimal)
{
  g_autofree char *force = sl_plain_format (force_n, 1, decimal);

  /* Translators: newtons; behind a margin or a lowest clean action */
  return g_strdup_printf (_ ("by a hand of %s N"), force);
}

char *
sl_marked (const SlFigure *figure, char *text)
{
  g_autofree char *own = text;

  return figure->basis == SL_BASIS_ASSUMED ? g_strconcat ("≈ ", own, NULL) : g_steal_pointer (&own);
}

const char *
sl_text_unit (const SlTextStyle *style)
{
  return style->lengths == SL_LENGTHS_MM ? _ ("mm") : _ ("in");
}

#define OCTAVE_FROM 1.5 /* a fifth: no two strings of a unison course are so far apart, out of tune as they may be */

char *
sl_text_course (const SlProfile *profile, int string)
{
  SlStringData own, other;
  gboolean octave = FALSE;

  if (profile->courses == 0 || string < 1 || string > profile->n_strings)
    return NULL;
  const int course = sl_course_of (profile, string);

  sl_string_data (&profile->strings[string - 1], &own);
  for (int s = 1; s <= profile->n_strings; s++)
    {
      sl_string_data (&profile->strings[s - 1], &other);
      octave |= sl_course_of (profile, s) == course && own.frequency_hz > OCTAVE_FROM * other.frequency_hz;
    }
  /* Translators: after a string's number: "6 G, course 3, octave" */
  return g_strdup_printf (octave ? _ ("course %d, octave") : _ ("course %d"), course);
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

char *
sl_text_string_course (const SlProfile *profile, int string)
{
  g_autofree char *name = sl_text_string (profile, string), *course = sl_text_course (profile, string);

  return course != NULL ? g_strdup_printf ("%s, %s", name, course) : g_steal_pointer (&name);
}

char *
sl_string_named (const SlProfile *profile, int string)
{
  g_autofree char *course = profile != NULL ? sl_text_course (profile, string) : NULL;

  return course == NULL ? g_strdup_printf ("%d", string) : g_strdup_printf ("%d (%s)", string, course);
}

int
sl_told_strings (int n_strings, int chosen, int strings[3])
{
  int n = 0;

  strings[n++] = n_strings;
  if (chosen > 1 && chosen < n_strings)
    strings[n++] = chosen;
  if (n_strings > 1)
    strings[n++] = 1;
  return n;
}
