/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/profile/construction.h"
#include "words/effect.h"
#include "words/one-line.h"
#include "words/proposal.h"

#define LENGTH_PLACES 2
#define SAME_MM 0.005 /* no difference in what is printed */

void
sl_append_padded (GString *out, const char *text, int width)
{
  static const char spaces[] = "                                ";
  int missing = CLAMP (ABS (width) - (int) g_utf8_strlen (text, -1), 0, (int) sizeof spaces - 1);
  if (width < 0)
    g_string_append_len (out, spaces, missing);
  g_string_append (out, text);
  if (width > 0)
    g_string_append_len (out, spaces, missing);
}

void
sl_append_text (GString *out, const char *format, const char *text)
{
  g_autofree char *line = sl_one_line (text != NULL ? text : "");
  if (*line != '\0')
    g_string_append_printf (out, format, line);
}

char *
sl_plain (double value, int places)
{
  return sl_plain_format (isfinite (value) ? value : NAN, places, sl_decimal_sign ());
}

void
sl_append_value (GString *out, double value, int places, int width)
{
  g_autofree char *text = sl_plain (value, places);

  sl_append_padded (out, text, width);
}

char *
sl_millimetres (double mm)
{
  return sl_length_format (mm, SL_LENGTHS_MM, LENGTH_PLACES, sl_decimal_sign (), TRUE);
}

static char *
base_text (double bass, double treble)
{
  g_autofree char *bass_text = sl_millimetres (bass), *treble_text = sl_millimetres (treble);

  if (fabs (bass - treble) < SAME_MM)
    return g_strdup_printf (_ ("take off the saddle’s underside: %s all along"), bass_text);
  if (bass <= 0)
    return g_strdup_printf (_ ("take off the saddle’s underside: treble %s, nothing at the bass end"), treble_text);
  if (treble <= 0)
    return g_strdup_printf (_ ("take off the saddle’s underside: bass %s, nothing at the treble end"), bass_text);
  return g_strdup_printf (_ ("take off the saddle’s underside: bass %s, treble %s"), bass_text, treble_text);
}

char *
sl_operation_text (const SlInstrument *instrument, const SlOperation *operation)
{
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };
  const double mm = sl_number_or (operation->amount, 0);
  g_autofree char *amount = sl_millimetres (fabs (mm)), *what = NULL;
  gulong n;

  switch (operation->kind)
    {
    case SL_OP_LEVEL_FRETS:
      if (operation->frets == 1)
        return g_strdup (_ ("level the zero fret to its neighbours"));
      what = sl_frets_text (operation->frets, &n);
      if (n > 0 && mm > 0)
        return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                             "level fret %s to the rest, fall-away %s at the last fret",
                                             "level frets %s to the rest, fall-away %s at the last fret", n),
                                what, amount);
      if (n > 0)
        return g_strdup_printf (
            g_dngettext (GETTEXT_PACKAGE, "level fret %s to the rest", "level frets %s to the rest", n), what);
      if (mm > 0)
        return g_strdup_printf (_ ("level frets, fall-away %s at the last fret"), amount);
      return g_strdup (_ ("level frets"));
    case SL_OP_TURN_ROD:
      return g_strdup_printf (mm < 0 ? _ ("tighten the rod, relief %s less") : _ ("loosen the rod, relief %s more"),
                              amount);
    case SL_OP_LOWER_SLOT: return g_strdup_printf (_ ("lower slot, string %d: %s"), operation->string, amount);
    case SL_OP_CUT_SADDLE_BASE: return base_text (mm, sl_number_or (operation->amount_treble, 0));
    case SL_OP_SHAPE_CREST:
      return g_strdup_printf (mm < 0                                   ? _ ("saddle up, string %d: %s")
                              : sl_saddles[instrument->adjust].goes_up ? _ ("saddle down, string %d: %s")
                                                                       : _ ("dress the saddle top, string %d: %s"),
                              operation->string, amount);
    case SL_OP_MOVE_CREST:
      return g_strdup_printf (mm < 0 ? _ ("break point forward, string %d: %s") : _ ("break point back, string %d: %s"),
                              operation->string, amount);
    case SL_OP_BENCH_STEP: return g_strdup (sl_bench_step_title (operation->step));
    case SL_OP_REPLACE_FRETS:
      if (operation->to == 0 && sl_number_is_set (operation->amount_treble))
        {
          what = sl_millimetres (operation->amount_treble.v);
          return g_strdup_printf (_ ("replace the zero fret, %s high"), what);
        }
      if (operation->to == 0)
        return g_strdup (_ ("replace the zero fret"));
      if (operation->from == operation->to)
        return g_strdup_printf (_ ("replace fret %d"), operation->from);
      return g_strdup_printf (_ ("replace frets %d to %d"), operation->from, operation->to);
    default:
      what = sl_operation_amount (instrument, operation, &style);
      return g_strdup_printf ("%s: %s", sl_operation_undo_name (operation->kind), what);
    }
}

char *
sl_reading_text (const SlReading *reading)
{
  GString *text = g_string_new (sl_reading_said (reading->kind));
  if (reading->string > 0)
    g_string_append_printf (text, _ (", string %d"), reading->string);
  if (reading->fret > 0 && sl_readings[reading->kind].has_fret)
    g_string_append_printf (text, _ (", fret %d"), reading->fret);
  if (reading->held == SL_HELD_1)
    g_string_append (text, _ (", held at 1"));
  else if (reading->held == SL_HELD_3)
    g_string_append (text, _ (", held at 3"));
  return g_string_free (text, FALSE);
}
