/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is typed as a length or a number: the first byte chooses unit and decimal sign, the rest is the text. What is
 * taken is finite, and what is written of it is read back within what was written. */
#include <float.h>
#include <math.h>

#include "fuzz.h"
#include "setup/profile/units.h"

#define N_LENGTHS 3
#define MOST_PLACES 9
#define PARTS_PER_INCH 64

/* One rounding to a double, and the product with the size of an inch. */
#define ROUNDING (4 * DBL_EPSILON)

static const char *const signs[] = { ".", ",", "\xd9\xab" }; /* the last one is Arabic's, U+066B */

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  return 0;
}

/* Half of the last place that is written, mm. */
static double
resolution (SlLengths lengths, int places)
{
  switch (lengths)
    {
    case SL_LENGTHS_MM: return 0.5 * pow (10, -places);
    case SL_LENGTHS_INCH: return 0.5 * pow (10, -places - 1) * SL_MM_PER_INCH;
    case SL_LENGTHS_64THS:
    default: return 0.5 / PARTS_PER_INCH * SL_MM_PER_INCH;
    }
}

static void
check_length (const char *text, SlLengths lengths, const char *decimal, int places)
{
  double mm = NAN, back;
  g_autoptr (GError) error = NULL;

  if (!sl_length_parse (text, lengths, decimal, &mm, &error))
    {
      g_assert_error (error, SL_UNITS_ERROR, 0);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      return;
    }
  g_assert_true (isfinite (mm));
  for (int written = 0; written < N_LENGTHS; written++)
    for (int unit = FALSE; unit <= TRUE; unit++)
      {
        g_autofree char *shown = sl_length_format (mm, (SlLengths) written, places, decimal, unit);

        g_assert_true (sl_length_parse (shown, (SlLengths) written, decimal, &back, NULL));
        if (!(fabs (back - mm) <= resolution ((SlLengths) written, places) + ROUNDING * fabs (mm)))
          g_error ("“%s” is %.17g mm, written “%s”, read back as %.17g mm", text, mm, shown, back);
      }
}

static void
check_plain (const char *text, const char *decimal, int places)
{
  double value = NAN, back;
  g_autoptr (GError) error = NULL;

  if (!sl_plain_parse (text, decimal, &value, &error))
    {
      g_assert_error (error, SL_UNITS_ERROR, 0);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      return;
    }
  g_autofree char *shown = sl_plain_format (value, places, decimal);
  g_assert_true (isfinite (value) && sl_plain_parse (shown, decimal, &back, NULL));
  g_assert_true (fabs (back - value) <= 0.5 * pow (10, -places) + ROUNDING * fabs (value));
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  if (size == 0)
    return 0;
  const SlLengths lengths = (SlLengths) (data[0] % N_LENGTHS);
  const char *decimal = signs[data[0] / N_LENGTHS % G_N_ELEMENTS (signs)];
  const int places = data[0] / N_LENGTHS / (int) G_N_ELEMENTS (signs) % (MOST_PLACES + 1);
  g_autofree char *text = g_strndup ((const char *) data + 1, size - 1);

  check_length (text, lengths, decimal, places);
  check_plain (text, decimal, places);
  return 0;
}
