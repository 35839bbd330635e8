/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/words.h"

#include "setup/profile/construction.h"
#include "words/effect.h"

#define FIGURE_REACH 220.0 /* farther away a figure would be taken for another */

#define DEGREE_PLACES 1

const char *
sl_say_value (const SlScene *scene, SlSay kind, double value, const char **unit)
{
  const SlTextStyle style = sl_scene_style (scene);

  *unit = kind == SL_SAY_DEGREES           ? "°"
          : kind == SL_SAY_NEWTONS         ? _ (" N")
          : style.lengths == SL_LENGTHS_MM ? _ (" mm")
                                           : _ (" in");
  switch (kind)
    {
    case SL_SAY_DEGREES: return sl_kept (scene, sl_text_plain (&style, value, DEGREE_PLACES, FALSE));
    case SL_SAY_NEWTONS: return sl_kept (scene, sl_text_plain (&style, value, 0, FALSE));
    case SL_SAY_COARSE: return sl_kept (scene, sl_text_measure (&style, value, 1, FALSE));
    case SL_SAY_LENGTH:
    default: return sl_kept (scene, sl_text_length (&style, value));
    }
}

const char *
sl_say (const SlScene *scene, SlSay kind, double value)
{
  const char *unit, *text = sl_say_value (scene, kind, value, &unit);

  return sl_kept (scene, g_strconcat (text, unit, NULL));
}

/* One figure of each string spoken of. */
typedef struct
{
  const char *name;
  SlSay kind;
  int n;
  const SlFigure *after[2], *before[2]; /* before: NULL where there is no plan */
  const SlFigure *aside[2];             /* in newtons, or NULL */
  gboolean touches;                     /* a gap of which there is none: the string would lie on the fret */
} Words;

/* " ± 0.08", or "" where the uncertainty isn't known or would not show. In 64ths it is given in decimal inches. */
static const char *
spread_text (const SlScene *scene, SlSay kind, double u)
{
  const SlTextStyle style = sl_scene_style (scene);

  return sl_kept (scene, kind == SL_SAY_LENGTH
                             ? sl_text_spread (&style, u)
                             : sl_text_plain_spread (&style, u, kind == SL_SAY_DEGREES ? DEGREE_PLACES : 0));
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
static const char *
all_text (const SlScene *scene, SlSay kind, const SlFigure *const figures[2], int n, gboolean spread, const char **unit)
{
  GString *out = g_string_new (NULL);

  for (int i = 0; i < n; i++)
    {
      const char *value = sl_say_value (scene, kind, figures[i]->value, unit);

      g_string_append_printf (out, "%s%s%s", i ? " | " : "", value,
                              spread ? spread_text (scene, kind, figures[i]->u) : "");
    }
  return sl_kept (scene, g_string_free (out, FALSE));
}

static gboolean
is_assumed (const Words *w)
{
  return w->after[0]->basis == SL_BASIS_ASSUMED || w->after[w->n - 1]->basis == SL_BASIS_ASSUMED;
}

/* What is assumed has its mark in the shortest wording too. */
static void
add_first_line (const SlScene *scene, const Words *w, gboolean spread, SlWording *out)
{
  const char *unit, *value = all_text (scene, w->kind, w->after, w->n, FALSE, &unit);

  if (*w->name)
    sl_wording_printf (out, SL_INK_TEXT, FALSE, FALSE, "%s ", w->name);
  sl_wording_printf (out, w->touches ? SL_INK_CUT : SL_INK_PLANNED, TRUE, FALSE, "%s%s%s%s", w->touches ? "○ " : "",
                     is_assumed (w) ? "≈ " : "", value, unit);
  if (spread && w->n == 1)
    {
      const char *pm = spread_text (scene, w->kind, w->after[0]->u);

      sl_wording_printf (out, SL_INK_QUIET, FALSE, TRUE, "%s%s", pm, *pm && w->kind == SL_SAY_DEGREES ? unit : "");
    }
  if (given (w->aside, w->n))
    {
      const char *force = all_text (scene, SL_SAY_NEWTONS, w->aside, w->n, FALSE, &unit);

      sl_wording_printf (out, SL_INK_TEXT, FALSE, FALSE, ", %s%s", force, unit);
    }
}

/* Whether what was would be written as what will be. */
static gboolean
same (const SlScene *scene, const Words *w)
{
  const char *unit;

  return g_str_equal (all_text (scene, w->kind, w->after, w->n, FALSE, &unit),
                      all_text (scene, w->kind, w->before, w->n, FALSE, &unit));
}

static void
add_second_line (const SlScene *scene, const Words *w, gboolean spread, SlWording *out)
{
  g_autoptr (GString) line = g_string_new (w->n == 2 ? _ ("bass | treble") : NULL);

  if (given (w->before, w->n) && !same (scene, w))
    {
      const char *unit, *earlier = all_text (scene, w->kind, w->before, w->n, spread && w->n == 1, &unit);

      /* Translators: what a figure was before the work, such as "was 3.20 ± 0.08" */
      g_string_append (line, line->len ? ", " : "");
      if (w->kind == SL_SAY_DEGREES)
        earlier = sl_kept (scene, g_strconcat (earlier, unit, NULL));
      g_string_append_printf (line, _ ("was %s"), earlier);
    }
  if (is_assumed (w))
    g_string_append_printf (line, "%s%s", line->len ? ", " : "", _ ("assumed"));
  if (w->touches)
    g_string_append_printf (line, "%s%s", line->len ? ", " : "", _ ("touches the fret"));
  if (line->len)
    {
      sl_wording_break (out);
      sl_wording_add (out, SL_INK_QUIET, FALSE, TRUE, line->str);
    }
}

void
sl_scene_figure (SlScene *scene, SlRequest request, const char *name, SlSay kind, SlPlaceOfFigure place,
                 const SlPlaceOfFigure *aside)
{
  const gboolean gap = place.offset == G_STRUCT_OFFSET (SlFigures, first_gap) ||
                       place.offset - G_STRUCT_OFFSET (SlFigures, action) < sizeof scene->after_figures->action;
  /* the last is the value alone, where its dimension line tells what it is of; relief has none */
  const int n_wordings = SL_MAX_WORDINGS - (place.offset == G_STRUCT_OFFSET (SlFigures, relief));
  Words words = { .name = name, .kind = kind, .n = scene->n_spoken };

  for (int i = 0; i < words.n; i++)
    {
      words.after[i] = sl_figure_at (scene->after_figures, place, scene->spoken[i]);
      words.before[i] = scene->ghost ? sl_figure_at (scene->before_figures, place, scene->spoken[i]) : NULL;
      words.aside[i] = aside ? sl_figure_at (scene->after_figures, *aside, scene->spoken[i]) : NULL;
      words.touches |= gap && words.after[i]->value < 0;
    }
  if (!given (words.after, words.n))
    return;
  for (; request.n_wordings < n_wordings; request.n_wordings++)
    {
      const int i = request.n_wordings;

      if (i >= 2)
        words.aside[0] = words.aside[1] = NULL;
      if (i == 3)
        words.name = "";
      add_first_line (scene, &words, i == 0, &request.wordings[i]);
      if (i < 2 || words.n == 2 || words.touches)
        add_second_line (scene, &words, i == 0, &request.wordings[i]);
    }
  request.reach = request.clear + FIGURE_REACH * scene->options->text_scale;
  sl_scene_request (scene, &request);
}

const char *
sl_crest_change (const SlInstrument *instrument, double mm)
{
  if (sl_saddles[instrument->adjust].goes_up)
    return mm > 0 ? _ ("saddle %s down") : _ ("saddle %s up");
  return mm > 0 ? _ ("saddle top %s lower") : _ ("saddle top %s higher");
}

double
sl_planned_slot (const SlScene *scene, int string)
{
  if (!scene->ghost)
    return 0;
  if (sl_count_operations (scene->analysis->plan, SL_OP_MAKE_NUT).n_pending == 0)
    return -sl_planned_amount (scene->analysis, SL_OP_LOWER_SLOT, string);
  return sl_state_nut_height (scene->after_state, string) - sl_state_nut_height (scene->before_state, string);
}

double
sl_planned_saddle (const SlScene *scene, int string)
{
  if (!scene->ghost || sl_count_operations (scene->analysis->plan, SL_OP_MAKE_SADDLE).n_pending == 0)
    return 0;
  return scene->after_state->exposure[string - 1] - scene->before_state->exposure[string - 1];
}

const char *
sl_slot_change (double mm)
{
  return mm < 0 ? _ ("slot %s lower") : _ ("slot %s higher");
}

void
sl_scene_amount (SlScene *scene, double x, double y, double dx, double dy, double clear, const char *format, double mm)
{
  sl_scene_note (scene, sl_request (x, y, dx, dy, clear, SL_LEADER_DOT, SL_INK_CUT), SL_INK_CUT, TRUE,
                 sl_print (scene, format, sl_say (scene, SL_SAY_LENGTH, fabs (mm))), NULL);
}
