/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet's figures: four large ones in plain words, and the table received → final → target. */
#include "draw/paper/handover-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define CARD_GAP 8.0
#define CARD_PAD 6.0
#define NAME_SIZE 8.5
#define VALUE_SIZE 13.0
#define STRING_SHARE 0.13 /* of a table's width, for the strings' names */
#define NAME_SHARE 0.46
#define CENTS_PLACES 0

/* ---- large figures ---- */

static double
put_card (SlFlow *flow, const SlPlainFigure *figure, double x, double width)
{
  const SlType name = { .size = NAME_SIZE, .ink = SL_INK_QUIET, .most_lines = 2 };
  SlType value = { .size = VALUE_SIZE, .bold = TRUE, .ink = SL_INK_TEXT };
  const SlType words = { .size = NAME_SIZE, .ink = SL_INK_TEXT };
  g_autofree char *text =
      figure->before != NULL ? g_strdup_printf ("%s → %s", figure->before, figure->after) : g_strdup (figure->after);
  double y = flow->y + CARD_PAD, inner = width - 2 * CARD_PAD, natural = sl_flow_natural_width (text, &value) + 1;

  /* one line, if need be a smaller one */
  value.size = MAX (NAME_SIZE, value.size * MIN (1, inner / natural));

  y += sl_flow_put (flow, figure->name, &name, x + CARD_PAD, y, inner) + 1;
  y += sl_flow_put (flow, text, &value, x + CARD_PAD, y, inner) + 1;
  if (figure->words != NULL)
    y += sl_flow_put (flow, figure->words, &words, x + CARD_PAD, y, inner);
  return y + CARD_PAD - flow->y;
}

void
sl_handover_figures (const SlHandover *handover, SlFlow *flow)
{
  SlPlainFigure figures[SL_PLAIN_FIGURES];
  const int n = sl_plain_figures (&handover->outcome, &handover->speech, figures);
  double width = (flow->width - (n - 1) * CARD_GAP) / n, height = 0;
  SlFlow trial = *flow;

  if (n == 0)
    return;
  trial.cr = NULL;
  for (int i = 0; i < n; i++)
    height = MAX (height, put_card (&trial, &figures[i], 0, width));
  sl_flow_need (flow, height + CARD_GAP);
  sl_flow_skip (flow, CARD_GAP);
  for (int i = 0; i < n; i++)
    {
      double x = flow->left + i * (width + CARD_GAP);

      sl_flow_frame (flow, SL_INK_PANEL_EDGE, x, width, height);
      put_card (flow, &figures[i], x, width);
      sl_plain_figure_clear (&figures[i]);
    }
  flow->y += height;
}

/* ---- the table ---- */

static char *
figure_text (const SlHandover *h, const SlFigure *figure, gboolean planned)
{
  if (!isfinite (figure->value))
    return g_strdup ("–");
  if (figure->basis == SL_BASIS_ASSUMED)
    return g_strdup (planned ? "–" : C_ ("figure", "not read"));
  g_autofree char *value = sl_text_length (&h->speech.style, figure->value),
                  *spread = sl_text_spread (&h->speech.style, figure->u);

  return g_strdup_printf ("%s%s%s", !planned && figure->basis == SL_BASIS_COMPUTED ? "≈ " : "", value, spread);
}

static char *
target_text (const SlHandover *h, double target, double tolerance)
{
  g_autofree char *value = sl_text_length (&h->speech.style, target),
                  *spread = sl_text_spread (&h->speech.style, tolerance / 2);

  return g_strconcat (value, spread, NULL);
}

static gboolean
is_planned (const SlHandover *h)
{
  return h->outcome.as_planned && h->outcome.has_plan;
}

/* What was received stands in a column of its own where the outcome differs. */
static gboolean
has_received (const SlHandover *h)
{
  return sl_outcome_has_change (&h->outcome);
}

static const char *
after_head (const SlHandover *h)
{
  if (is_planned (h))
    return C_ ("readings", "as planned");
  return h->outcome.as_planned ? C_ ("readings", "as read") : C_ ("readings", "final");
}

/* Received (where there is such), final or planned, target. Returns how many. */
static int
add_columns (const SlHandover *h, SlTable *table, double share)
{
  int n = 0;

  if (has_received (h))
    n++, sl_table_column (table, C_ ("readings", "received"), share, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (table, after_head (h), share, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  sl_table_column (table, C_ ("readings", "target"), share, SL_ALIGN_RIGHT, FALSE, SL_INK_QUIET);
  return n + 2;
}

/* What add_columns() names. Takes @target. */
static void
add_cells (const SlHandover *h, SlTable *table, const SlFigure *before, const SlFigure *after, char *target)
{
  if (has_received (h))
    sl_table_cells (table, figure_text (h, before, FALSE), NULL);
  sl_table_cells (table, figure_text (h, after, is_planned (h)), target, NULL);
}

static void
add_string_row (const SlHandover *h, SlTable *table, int i)
{
  const SlFigures *before = h->outcome.before_figures, *after = h->outcome.after_figures;
  const SlInstrument *in = &h->outcome.instrument;
  const char *note = h->profile->strings[i].note;

  sl_table_cells (table, note != NULL ? g_strdup_printf ("%d  %s", i + 1, note) : g_strdup_printf ("%d", i + 1), NULL);
  add_cells (h, table, &before->first_gap[i], &after->first_gap[i],
             target_text (h, in->target_first_gap[i], in->first_gap_tolerance));
  add_cells (h, table, &before->action[i][SL_OCTAVE_FRET], &after->action[i][SL_OCTAVE_FRET],
             target_text (h, in->target_action[i], in->action_tolerance));
}

/* A string nothing was read of has no row: with many strings there would be little else. */
static gboolean
is_listed (const SlHandover *h, int i)
{
  const SlFigures *both[] = { h->outcome.before_figures, h->outcome.after_figures };

  for (gsize k = 0; k < G_N_ELEMENTS (both); k++)
    if ((k > 0 || has_received (h)) && (both[k]->first_gap[i].basis != SL_BASIS_ASSUMED ||
                                        both[k]->action[i][SL_OCTAVE_FRET].basis != SL_BASIS_ASSUMED))
      return TRUE;
  return FALSE;
}

static void
put_string_table (const SlHandover *h, SlFlow *flow)
{
  g_autofree char *gap = g_strdup_printf (_ ("String height at the 1st fret, %s"), sl_text_unit (&h->speech.style));
  g_autofree char *action = g_strdup_printf (_ ("String height at the 12th fret, %s"), sl_text_unit (&h->speech.style));
  double share = (1 - STRING_SHARE) / (has_received (h) ? 6 : 4);
  g_auto (SlTable) table = { .n_spans = 2 };

  sl_table_column (&table, _ ("string"), STRING_SHARE, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  int n = add_columns (h, &table, share);

  add_columns (h, &table, share);
  table.spans[0] = (SlSpan){ gap, 1, n };
  table.spans[1] = (SlSpan){ action, 1 + n, n };
  for (int i = 0; i < h->outcome.instrument.n_strings; i++)
    if (is_listed (h, i))
      add_string_row (h, &table, i);
  sl_flow_table (flow, _ ("Readings"), &table);
}

/* @name as a format, of the unit. */
static void
add_row (const SlHandover *h, SlTable *table, const char *name, const SlFigure *before, const SlFigure *after,
         const char *target)
{
  if (!isfinite (after->value) || (before->basis == SL_BASIS_ASSUMED && after->basis == SL_BASIS_ASSUMED))
    return;
  sl_table_cells (table, g_strdup_printf (name, sl_text_unit (&h->speech.style)), NULL);
  add_cells (h, table, before, after, g_strdup (target));
}

static void
add_neck_rows (const SlHandover *h, SlTable *table)
{
  const SlFigures *before = h->outcome.before_figures, *after = h->outcome.after_figures;
  const SlInstrument *in = &h->outcome.instrument;
  const int bass = in->n_strings - 1;
  g_autofree char *relief = target_text (h, in->target_relief, in->relief_tolerance),
                  *least = sl_text_length (&h->speech.style, in->least_exposure);
  /* Translators: of a figure that must not be less than this */
  g_autofree char *exposure =
      in->least_exposure > 0 ? g_strdup_printf (C_ ("target", "at least %s"), least) : g_strdup ("–");

  add_row (h, table, bass > 0 ? _ ("Forward bow (relief), lowest string, %s") : _ ("Forward bow (relief), %s"),
           &before->relief[bass], &after->relief[bass], relief);
  if (bass > 0)
    add_row (h, table, _ ("Forward bow (relief), highest string, %s"), &before->relief[0], &after->relief[0], relief);
  add_row (h, table, bass > 0 ? _ ("Saddle above the bridge, lowest string, %s") : _ ("Saddle above the bridge, %s"),
           &before->exposure[bass], &after->exposure[bass], exposure);
  if (bass > 0)
    add_row (h, table, _ ("Saddle above the bridge, highest string, %s"), &before->exposure[0], &after->exposure[0],
             exposure);
}

static char *
cents_text (const SlHandover *h, const SlReadingSet *set, int string)
{
  double cents;

  if (!sl_tuner_cents (set, string, &cents))
    return g_strdup (C_ ("figure", "not read"));
  g_autofree char *number = sl_plain_format (cents, CENTS_PLACES, h->speech.style.decimal);

  return g_strconcat (cents > 0.5 ? "+" : "", number, NULL);
}

/* What a tuner read; a plan foresees no reading of one. */
static void
add_pitch_rows (const SlHandover *h, SlTable *table)
{
  const SlReadingSet *last = h->outcome.final != NULL ? h->outcome.final : sl_visit_last_set (h->outcome.visit);

  for (int string = h->outcome.instrument.n_strings; string >= 1; string--)
    {
      double ignored;

      if (!sl_tuner_cents (h->outcome.first, string, &ignored) && !sl_tuner_cents (h->outcome.final, string, &ignored))
        continue;
      sl_table_cells (table, g_strdup_printf (_ ("Pitch at the 12th fret, string %d, cents"), string), NULL);
      if (has_received (h))
        sl_table_cells (table, cents_text (h, h->outcome.first, string), NULL);
      sl_table_cells (table, is_planned (h) ? g_strdup ("–") : cents_text (h, last, string), g_strdup ("0"), NULL);
    }
}

static void
put_neck_table (const SlHandover *h, SlFlow *flow)
{
  g_auto (SlTable) table = { .n_columns = 0 };

  sl_table_column (&table, _ ("neck and saddle"), NAME_SHARE, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  add_columns (h, &table, (1 - NAME_SHARE) / (has_received (h) ? 3 : 2));
  add_neck_rows (h, &table);
  add_pitch_rows (h, &table);
  sl_flow_skip (flow, 8);
  sl_flow_table (flow, NULL, &table);
}

void
sl_handover_readings (const SlHandover *handover, SlFlow *flow)
{
  const SlType type = { .size = NAME_SIZE, .ink = SL_INK_QUIET };

  if (handover->outcome.visit == NULL)
    return;
  put_string_table (handover, flow);
  put_neck_table (handover, flow);
  flow->y += 3;
  sl_flow_need (flow, 2 * 1.4 * NAME_SIZE);
  sl_flow_paragraph (flow,
                     _ ("± is the range that holds the true value in about 95 of 100 cases, and of a target its "
                        "tolerance. “≈” is worked out from the other readings. Strings are numbered from the "
                        "highest-pitched; one that was not read has no line."),
                     &type, 0);
}
