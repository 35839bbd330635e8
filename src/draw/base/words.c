/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/words.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define DEGREE_PLACES 1

SlSpoken
sl_spoken (const SlScene *scene)
{
  int n = scene->instrument->n_strings, chosen = scene->options->string;

  if (chosen >= 1 && chosen <= n)
    return (SlSpoken){ { chosen, chosen }, 1 };
  return n > 1 ? (SlSpoken){ { n, 1 }, 2 } : (SlSpoken){ { 1, 1 }, 1 };
}

char *
sl_say_value (const SlScene *scene, SlSay kind, double value, const char **unit)
{
  const SlTextStyle style = sl_scene_style (scene);

  *unit = kind == SL_SAY_DEGREES           ? "°"
          : kind == SL_SAY_NEWTONS         ? _ (" N")
          : style.lengths == SL_LENGTHS_MM ? _ (" mm")
                                           : _ (" in");
  switch (kind)
    {
    case SL_SAY_DEGREES: return sl_text_plain (&style, value, DEGREE_PLACES, FALSE);
    case SL_SAY_NEWTONS: return sl_text_plain (&style, value, 0, FALSE);
    case SL_SAY_COARSE: return sl_text_measure (&style, value, 1, FALSE);
    case SL_SAY_LENGTH:
    default: return sl_text_length (&style, value);
    }
}

char *
sl_say (const SlScene *scene, SlSay kind, double value)
{
  const char *unit;
  g_autofree char *text = sl_say_value (scene, kind, value, &unit);

  return g_strconcat (text, unit, NULL);
}

/* " ± 0.08", or "" where the uncertainty isn't known or would not show. In 64ths it is given in decimal inches. */
static char *
spread_text (const SlScene *scene, SlSay kind, double u)
{
  const SlTextStyle style = sl_scene_style (scene);

  return kind == SL_SAY_LENGTH ? sl_text_spread (&style, u)
                               : sl_text_plain_spread (&style, u, kind == SL_SAY_DEGREES ? DEGREE_PLACES : 0);
}

static gboolean
given (const SlFigure *const figures[2], int n)
{
  for (int i = 0; i < n; i++)
    if (!figures[i] || !isfinite (figures[i]->value))
      return FALSE;
  return TRUE;
}

/* "2.30 | 1.70": a slash would read as a fraction */
static char *
all_text (const SlScene *scene, SlSay kind, const SlFigure *const figures[2], int n, gboolean spread, const char **unit)
{
  GString *out = g_string_new (NULL);

  for (int i = 0; i < n; i++)
    {
      g_autofree char *value = sl_say_value (scene, kind, figures[i]->value, unit);

      g_string_append_printf (out, "%s%s", i ? " | " : "", value);
      if (spread)
        {
          g_autofree char *pm = spread_text (scene, kind, figures[i]->u);

          g_string_append (out, pm);
        }
    }
  return g_string_free (out, FALSE);
}

static gboolean
assumed (const SlFigure *const figures[2], int n)
{
  for (int i = 0; i < n; i++)
    if (figures[i]->basis == SL_BASIS_ASSUMED)
      return TRUE;
  return FALSE;
}

static void
add_first_line (const SlScene *scene, const SlSpoken *spoken, const SlFigureWords *w, gboolean spread, SlWording *out)
{
  const char *unit, *newtons;
  g_autofree char *name = g_strconcat (w->name, " ", NULL);
  g_autofree char *value = all_text (scene, w->kind, w->after, spoken->n, FALSE, &unit);
  g_autofree char *with_unit = g_strconcat (value, unit, NULL);
  g_autofree char *pm = spread && spoken->n == 1 ? spread_text (scene, w->kind, w->after[0]->u) : g_strdup ("");

  if (w->kind == SL_SAY_DEGREES && *pm)
    {
      g_autofree char *old = g_steal_pointer (&pm);

      pm = g_strconcat (old, unit, NULL);
    }
  if (*w->name)
    sl_wording_add (out, SL_INK_TEXT, FALSE, FALSE, name);
  sl_wording_add (out, w->ink, TRUE, FALSE, with_unit);
  sl_wording_add (out, SL_INK_QUIET, FALSE, TRUE, pm);
  if (given (w->aside, spoken->n))
    {
      g_autofree char *force = all_text (scene, SL_SAY_NEWTONS, w->aside, spoken->n, FALSE, &newtons);
      g_autofree char *text = g_strconcat (", ", force, newtons, NULL);

      sl_wording_add (out, SL_INK_TEXT, FALSE, FALSE, text);
    }
}

/* Whether two figures would be written the same. */
static gboolean
same (const SlScene *scene, const SlFigureWords *w, int n)
{
  const char *unit;
  g_autofree char *a = all_text (scene, w->kind, w->after, n, FALSE, &unit);
  g_autofree char *b = all_text (scene, w->kind, w->before, n, FALSE, &unit);

  return g_str_equal (a, b);
}

static void
add_second_line (const SlScene *scene, const SlSpoken *spoken, const SlFigureWords *w, gboolean spread, SlWording *out)
{
  g_autoptr (GString) line = g_string_new (NULL);

  if (spoken->n == 2)
    g_string_append (line, _ ("bass | treble"));
  if (given (w->before, spoken->n) && !same (scene, w, spoken->n))
    {
      const char *unit;
      g_autofree char *earlier = all_text (scene, w->kind, w->before, spoken->n, spread && spoken->n == 1, &unit);

      /* Translators: what a figure was before the work, such as "was 3.20 ± 0.08" */
      g_string_append (line, line->len ? ", " : "");
      g_string_append_printf (line, _ ("was %s"), earlier);
      if (w->kind == SL_SAY_DEGREES)
        g_string_append (line, unit);
    }
  if (assumed (w->after, spoken->n))
    g_string_append_printf (line, "%s%s", line->len ? ", " : "", _ ("assumed"));
  if (w->note)
    g_string_append_printf (line, "%s%s", line->len ? ", " : "", w->note);
  if (line->len)
    {
      sl_wording_break (out);
      sl_wording_add (out, SL_INK_QUIET, FALSE, TRUE, line->str);
    }
}

int
sl_figure_wordings (const SlScene *scene, const SlSpoken *spoken, const SlFigureWords *words,
                    SlWording wordings[SL_MAX_WORDINGS])
{
  if (!given (words->after, spoken->n))
    return 0;
  for (int i = 0; i < SL_MAX_WORDINGS; i++)
    {
      SlFigureWords w = *words;

      wordings[i] = (SlWording){ .n = 0 };
      if (i >= 2)
        w.aside[0] = w.aside[1] = NULL;
      if (i == 3)
        w.name = ""; /* the value alone: its dimension line tells what it is of */
      add_first_line (scene, spoken, &w, i == 0, &wordings[i]);
      if (i < 2 || spoken->n == 2)
        add_second_line (scene, spoken, &w, i == 0, &wordings[i]);
    }
  return SL_MAX_WORDINGS;
}
