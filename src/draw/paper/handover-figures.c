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

static char *
figure_value (const SlPlainFigure *figure)
{
  return figure->before != NULL ? g_strdup_printf ("%s → %s", figure->before, figure->after) : g_strdup (figure->after);
}

static double
put_card (SlFlow *flow, const SlPlainFigure *figure, double x, double width)
{
  const SlType name = { .size = NAME_SIZE, .ink = SL_INK_QUIET, .most_lines = 2 };
  SlType value = { .size = VALUE_SIZE, .bold = TRUE, .ink = SL_INK_TEXT };
  const SlType words = { .size = NAME_SIZE, .ink = SL_INK_TEXT };
  g_autofree char *text = figure_value (figure);
  double y = flow->y + CARD_PAD, inner = width - 2 * CARD_PAD, natural = sl_flow_natural_width (text, &value) + 1;

  /* one line, if need be a smaller one */
  value.size = MAX (NAME_SIZE, value.size * MIN (1, inner / natural));

  y += sl_flow_put (flow, figure->name, &name, x + CARD_PAD, y, inner) + 1;
  y += sl_flow_put (flow, text, &value, x + CARD_PAD, y, inner) + 1;
  if (figure->words != NULL)
    y += sl_flow_put (flow, figure->words, &words, x + CARD_PAD, y, inner);
  return y + CARD_PAD - flow->y;
}

static void
frame_card (SlFlow *flow, double x, double width, double height)
{
  if (!sl_flow_draws (flow))
    return;
  cairo_new_path (flow->cr);
  cairo_rectangle (flow->cr, x, flow->y, width, height);
  sl_stroke (flow->cr, flow->palette, SL_INK_PANEL_EDGE, SL_LINE_THIN);
}

static void
put_cards (SlFlow *flow, const SlPlainFigure *figures, int n)
{
  double width = (flow->width - (n - 1) * CARD_GAP) / n, height = 0;
  SlFlow trial = *flow;

  trial.cr = NULL;
  for (int i = 0; i < n; i++)
    height = MAX (height, put_card (&trial, &figures[i], 0, width));
  sl_flow_need (flow, height + CARD_GAP);
  sl_flow_skip (flow, CARD_GAP);
  for (int i = 0; i < n; i++)
    {
      double x = flow->left + i * (width + CARD_GAP);

      frame_card (flow, x, width, height);
      put_card (flow, &figures[i], x, width);
    }
  flow->y += height;
}

void
sl_handover_figures (const SlHandover *handover, SlFlow *flow)
{
  SlPlainFigure figures[SL_PLAIN_FIGURES];
  int n = sl_plain_figures (&handover->outcome, &handover->speech, figures);

  if (n > 0)
    put_cards (flow, figures, n);
  for (int i = 0; i < n; i++)
    sl_plain_figure_clear (&figures[i]);
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

static void
add_cells (const SlHandover *h, GStrvBuilder *row, const SlFigure *before, const SlFigure *after, const char *target)
{
  if (has_received (h))
    {
      g_autofree char *text = figure_text (h, before, FALSE);

      g_strv_builder_add (row, text);
    }
  g_autofree char *text = figure_text (h, after, is_planned (h));

  g_strv_builder_add (row, text);
  g_strv_builder_add (row, target);
}

static void
add_string_row (const SlHandover *h, SlTable *table, int i)
{
  const SlFigures *before = h->outcome.before_figures, *after = h->outcome.after_figures;
  const SlInstrument *in = &h->outcome.instrument;
  g_autoptr (GStrvBuilder) row = g_strv_builder_new ();
  const char *note = h->profile->strings[i].note;
  g_autofree char *name = note != NULL ? g_strdup_printf ("%d  %s", i + 1, note) : g_strdup_printf ("%d", i + 1);
  g_autofree char *gap = target_text (h, in->target_first_gap[i], in->first_gap_tolerance),
                  *action = target_text (h, in->target_action[i], in->action_tolerance);

  g_strv_builder_add (row, name);
  add_cells (h, row, &before->first_gap[i], &after->first_gap[i], gap);
  add_cells (h, row, &before->action[i][SL_OCTAVE_FRET], &after->action[i][SL_OCTAVE_FRET], action);
  sl_table_row (table, g_strv_builder_end (row));
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
  SlTable table;

  sl_table_init (&table);
  sl_table_column (&table, _ ("string"), STRING_SHARE, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  int n = add_columns (h, &table, share);

  add_columns (h, &table, share);
  sl_table_span (&table, gap, 1, n);
  sl_table_span (&table, action, 1 + n, n);
  for (int i = 0; i < h->outcome.instrument.n_strings; i++)
    if (is_listed (h, i))
      add_string_row (h, &table, i);
  sl_flow_heading (flow, _ ("Readings"), sl_table_keep_height (flow, &table));
  if (table.rows->len > 0)
    sl_flow_table (flow, &table);
  sl_table_clear (&table);
}

static void
add_row (const SlHandover *h, SlTable *table, const char *name, const SlFigure *before, const SlFigure *after,
         const char *target)
{
  g_autoptr (GStrvBuilder) row = g_strv_builder_new ();

  if (!isfinite (after->value) || (before->basis == SL_BASIS_ASSUMED && after->basis == SL_BASIS_ASSUMED))
    return;
  g_strv_builder_add (row, name);
  add_cells (h, row, before, after, target);
  sl_table_row (table, g_strv_builder_end (row));
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
  const char *unit = sl_text_unit (&h->speech.style);
  g_autofree char *names[] = {
    g_strdup_printf (bass > 0 ? _ ("Forward bow (relief), lowest string, %s") : _ ("Forward bow (relief), %s"), unit),
    g_strdup_printf (_ ("Forward bow (relief), highest string, %s"), unit),
    g_strdup_printf (bass > 0 ? _ ("Saddle above the bridge, lowest string, %s") : _ ("Saddle above the bridge, %s"),
                     unit),
    g_strdup_printf (_ ("Saddle above the bridge, highest string, %s"), unit),
  };

  add_row (h, table, names[0], &before->relief[bass], &after->relief[bass], relief);
  if (bass > 0)
    add_row (h, table, names[1], &before->relief[0], &after->relief[0], relief);
  add_row (h, table, names[2], &before->exposure[bass], &after->exposure[bass], exposure);
  if (bass > 0)
    add_row (h, table, names[3], &before->exposure[0], &after->exposure[0], exposure);
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    g_clear_pointer (&names[i], g_free);
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
      g_autoptr (GStrvBuilder) row = g_strv_builder_new ();
      g_autofree char *name = g_strdup_printf (_ ("Pitch at the 12th fret, string %d, cents"), string);
      g_autofree char *before = cents_text (h, h->outcome.first, string),
                      *after = is_planned (h) ? g_strdup ("–") : cents_text (h, last, string);
      double ignored;

      if (!sl_tuner_cents (h->outcome.first, string, &ignored) && !sl_tuner_cents (h->outcome.final, string, &ignored))
        continue;
      g_strv_builder_add (row, name);
      if (has_received (h))
        g_strv_builder_add (row, before);
      g_strv_builder_add (row, after);
      g_strv_builder_add (row, "0");
      sl_table_row (table, g_strv_builder_end (row));
    }
}

static void
put_neck_table (const SlHandover *h, SlFlow *flow)
{
  SlTable table;

  sl_table_init (&table);
  sl_table_column (&table, _ ("neck and saddle"), NAME_SHARE, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  add_columns (h, &table, (1 - NAME_SHARE) / (has_received (h) ? 3 : 2));
  add_neck_rows (h, &table);
  add_pitch_rows (h, &table);
  sl_flow_skip (flow, 8);
  if (table.rows->len > 0)
    sl_flow_table (flow, &table);
  sl_table_clear (&table);
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
