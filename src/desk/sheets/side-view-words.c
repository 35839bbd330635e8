/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/side-view-words.h"

#include "bench/visit-edit.h"
#include "setup/physics/clearance.h"

#include <glib/gi18n-lib.h>
#include <math.h>

const char *
sl_picture_name (SlPictureKind kind)
{
  switch (kind)
    {
    case SL_PICTURE_NUT: return _ ("Nut end");
    case SL_PICTURE_FRET_12: return _ ("12th fret");
    case SL_PICTURE_BRIDGE: return _ ("Saddle and bridge");
    case SL_PICTURE_SIDE:
    case SL_PICTURE_ALL:
    case SL_N_PICTURES:
    default: return _ ("Side view");
    }
}

/* "action at fret 12 2.48 mm, was 3.10 mm." One sentence a figure; none where it can't be given. */
static void
add_figure (GString *out, const char *name, const SlFigure *after, const SlFigure *before, char *value,
            char *earlier_text)
{
  g_autofree char *now = value, *then = earlier_text;

  if (!isfinite (after->value))
    return;
  g_string_append_printf (out, " %s %s", name, now);
  if (before != NULL && isfinite (before->value) && !g_str_equal (then, now))
    g_string_append_printf (out, _ (", was %s"), then);
  if (after->basis == SL_BASIS_ASSUMED)
    g_string_append_printf (out, ", %s", _ ("assumed"));
  g_string_append_c (out, '.');
}

static void
add_length (GString *out, SlBench *bench, const char *name, const SlFigure *after, const SlFigure *before)
{
  const SlTextStyle style = sl_bench_text_style (bench);

  add_figure (out, name, after, before, sl_text_length_unit (&style, after->value),
              before == NULL ? NULL : sl_text_length_unit (&style, before->value));
}

static char *
angle_text (double degrees)
{
  g_autofree char *number = sl_plain_format (degrees, 1, sl_decimal_sign ());

  return g_strconcat (number, "°", NULL);
}

static void
add_angle (GString *out, const char *name, const SlFigure *after, const SlFigure *before)
{
  add_figure (out, name, after, before, angle_text (after->value), before == NULL ? NULL : angle_text (before->value));
}

static void
add_string (GString *out, SlBench *bench, SlPictureKind kind, int string)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlFigures *after = a->has_plan ? &a->planned_figures : &a->measured_figures,
                  *before = a->has_plan ? &a->measured_figures : NULL;
  int i = string - 1;

  g_string_append_printf (out, _ ("%sString %d:"), out->len ? " " : "", string);
  if (kind != SL_PICTURE_NUT && kind != SL_PICTURE_BRIDGE && a->instrument.frets >= SL_OCTAVE_FRET)
    add_length (out, bench, _ ("action at fret 12"), &after->action[i][SL_OCTAVE_FRET],
                before ? &before->action[i][SL_OCTAVE_FRET] : NULL);
  if (kind == SL_PICTURE_SIDE)
    {
      add_length (out, bench, _ ("height at fret 1"), &after->first_gap[i], before ? &before->first_gap[i] : NULL);
      add_length (out, bench, _ ("relief"), &after->relief[i], before ? &before->relief[i] : NULL);
    }
  if (kind != SL_PICTURE_FRET_12 && kind != SL_PICTURE_BRIDGE)
    add_angle (out, _ ("break over the nut"), &after->nut_break[i], before ? &before->nut_break[i] : NULL);
  if (kind != SL_PICTURE_FRET_12 && kind != SL_PICTURE_NUT)
    {
      add_angle (out, _ ("break over the saddle"), &after->saddle_break[i], before ? &before->saddle_break[i] : NULL);
      add_length (out, bench, _ ("exposure"), &after->exposure[i], before ? &before->exposure[i] : NULL);
    }
}

static void
add_held (GString *out, SlBench *bench, int string, int held)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlState *state = a->has_plan ? &a->planned : &a->measured;
  double tension = (a->has_plan ? &a->planned_figures : &a->measured_figures)->tension[string - 1].value,
         least = INFINITY;
  const SlTextStyle style = sl_bench_text_style (bench);
  SlStringState s;
  int fret = 0;
  g_autofree char *margin = NULL;

  sl_state_string (&a->instrument, state, string, &s);
  for (int n = held + 1; isfinite (tension) && n <= a->instrument.frets; n++)
    {
      SlClearance c;

      sl_clearance (&s, tension, held, n, &c);
      if (c.margin < least)
        {
          least = c.margin;
          fret = n;
        }
    }
  if (fret == 0)
    return;
  margin = sl_text_length_unit (&style, least);
  g_string_append_printf (out, _ (" Held at fret %d: closest at fret %d, margin %s."), held, fret, margin);
}

/* What the thin lines are: " As read before: Received, action at fret 12 3.25 mm, relief 0.36 mm; …" */
static void
add_earlier (GString *out, SlBench *bench, int string)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlTextStyle style = sl_bench_text_style (bench);
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint k = 0; a->earlier != NULL && k < a->earlier->len; k++)
    {
      const SlEarlier *earlier = &g_array_index (a->earlier, SlEarlier, k);
      g_autofree char *relief = sl_text_length_unit (&style, sl_state_relief (&earlier->state, string)), *action = NULL;
      SlStringState s;

      sl_state_string (&a->instrument, &earlier->state, string, &s);
      g_string_append_printf (list, "%s%s,", k > 0 ? "; " : "", sl_stage_title (earlier->set->stage));
      if (a->instrument.frets >= SL_OCTAVE_FRET)
        {
          action = sl_text_length_unit (&style, sl_gap (&s, 0, SL_OCTAVE_FRET));
          g_string_append_printf (list, " %s %s,", _ ("action at fret 12"), action);
        }
      g_string_append_printf (list, " %s %s", _ ("relief"), relief);
    }
  if (list->len > 0)
    /* Translators: a list of stages of the visit, each with what was read then */
    g_string_append_printf (out, _ (" As read before: %s."), list->str);
}

char *
sl_picture_describe (SlBench *bench, SlPictureKind kind)
{
  GString *out = g_string_new (NULL);
  int n = sl_bench_get_profile (bench)->n_strings, string = sl_bench_get_string (bench),
      held = sl_bench_get_held (bench);

  if (string >= 1 && string <= n)
    add_string (out, bench, kind, string);
  else
    {
      add_string (out, bench, kind, n);
      if (n > 1 && kind == SL_PICTURE_SIDE)
        add_string (out, bench, kind, 1);
    }
  if (kind == SL_PICTURE_SIDE && held > 0)
    add_held (out, bench, string >= 1 && string <= n ? string : n, held);
  if (kind == SL_PICTURE_SIDE)
    add_earlier (out, bench, string >= 1 && string <= n ? string : n);
  return g_string_free (out, FALSE);
}
