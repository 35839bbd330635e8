/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/profile/bounds.h"
#include "setup/profile/units.h"
#include "words/effect.h"
#include "words/kinds.h"
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

/* "up 0.30 mm" */
static char *
end_text (double up)
{
  g_autofree char *amount = sl_millimetres (fabs (up));

  if (fabs (up) < SAME_MM)
    return g_strdup (C_ ("an end of the bridge", "as it is"));
  return g_strdup_printf (up > 0 ? C_ ("an end of the bridge", "up %s") : C_ ("an end of the bridge", "down %s"),
                          amount);
}

/* "6 at 0.62 mm, 5 at 0.58 mm", from the bass. */
static char *
new_slots_text (const SlOperation *nut)
{
  GString *text = g_string_new (NULL);

  for (int i = nut->n_ends; i-- > 0;)
    {
      g_autofree char *height = sl_millimetres (nut->ends[i].value.v);

      g_string_append (text, text->len > 0 ? ", " : "");
      g_string_append_printf (text, _ ("%d at %s"), nut->ends[i].string, height);
    }
  return g_string_free (text, FALSE);
}

/* What an operation with two ends does to the bridge or the saddle. */
static char *
two_ends_text (const SlOperation *op)
{
  const double mm = sl_number_or (op->amount, 0), treble_mm = sl_number_or (op->amount_treble, 0);
  g_autofree char *bass = NULL, *treble = NULL;

  if (op->kind == SL_OP_MOVE_SADDLE)
    {
      bass = end_text (mm);
      treble = end_text (treble_mm);
      return g_strdup_printf (_ ("set the bridge height: bass %s, treble %s"), bass, treble);
    }
  bass = sl_millimetres (fabs (mm));
  treble = sl_millimetres (fabs (treble_mm));
  if (op->kind == SL_OP_MAKE_SADDLE)
    return g_strdup_printf (_ ("make a new saddle, or shim this one: exposure bass %s, treble %s"), bass, treble);
  return g_strdup_printf (mm < 0 && treble_mm < 0 ? _ ("shift the bridge: bass %s forward, treble %s forward")
                          : mm < 0                ? _ ("shift the bridge: bass %s forward, treble %s back")
                          : treble_mm < 0         ? _ ("shift the bridge: bass %s back, treble %s forward")
                                                  : _ ("shift the bridge: bass %s back, treble %s back"),
                          bass, treble);
}

static char *
replaced_zero_text (const SlOperation *op)
{
  g_autofree char *height = sl_millimetres (sl_number_or (op->amount_treble, 0));

  return sl_number_is_set (op->amount_treble) ? g_strdup_printf (_ ("replace the zero fret, %s high"), height)
                                              : g_strdup (_ ("replace the zero fret"));
}

char *
sl_operation_text (const SlOperation *operation, gboolean screws)
{
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
      return g_strdup_printf (mm < 0   ? _ ("saddle up, string %d: %s")
                              : screws ? _ ("saddle down, string %d: %s")
                                       : _ ("dress the saddle top, string %d: %s"),
                              operation->string, amount);
    case SL_OP_MOVE_CREST:
      return g_strdup_printf (mm < 0 ? _ ("break point forward, string %d: %s") : _ ("break point back, string %d: %s"),
                              operation->string, amount);
    case SL_OP_BENCH_STEP: return g_strdup (sl_bench_step_title (operation->step));
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SHIFT_BRIDGE:
    case SL_OP_MAKE_SADDLE: return two_ends_text (operation);
    case SL_OP_SET_NECK_ANGLE:
      return g_strdup_printf (mm > 0 ? _ ("set the neck’s angle: straightedge %s higher at the bridge")
                                     : _ ("set the neck’s angle: straightedge %s lower at the bridge"),
                              amount);
    case SL_OP_MAKE_NUT:
      what = new_slots_text (operation);
      return g_strdup_printf (_ ("make a new nut, or fill and recut its slots; over the line of the crowns: string %s"),
                              what);
    case SL_OP_FIT_STRINGS:
      what = sl_fitted_name (operation);
      return g_strdup_printf (_ ("fit other strings: %s"), what);
    case SL_OP_REPLACE_FRETS:
      if (operation->to == 0)
        return replaced_zero_text (operation);
      if (operation->from == operation->to)
        return g_strdup_printf (_ ("replace fret %d"), operation->from);
      return g_strdup_printf (_ ("replace frets %d to %d"), operation->from, operation->to);
    default: g_return_val_if_reached (g_strdup (""));
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
