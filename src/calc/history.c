/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "calc.h"
#include "setup/record/history.h"
#include "words/dates.h"

#define DAY_COLUMN 13 /* "28. Sep 2026" */
#define STAGE_COLUMN 10
#define FIGURE_COLUMN 8
#define PLACES 2
#define MOISTURE_PLACES 1
#define SLOPE_PLACES 3

/* ---- rows ---- */

/* All rows of one set. */
static void
put_point (SlAnswer *answer, const SlHistoryPoint *point)
{
  const SlFigure temperature = { point->temperature, NAN, SL_BASIS_MEASURED },
                 humidity = { point->humidity, NAN, SL_BASIS_MEASURED };
  const struct
  {
    const char *quantity, *unit;
    const SlFigure *figures;
    gboolean by_string;
    int fret;
  } rows[] = {
    { "temperature", "degC", &temperature, FALSE, SL_NONE },
    { "humidity", "%", &humidity, FALSE, SL_NONE },
    { "moisture-content", "%", &point->moisture, FALSE, SL_NONE },
    { "relief", "mm", point->relief, TRUE, SL_NONE },
    { "tongue", "mm", &point->tongue, FALSE, SL_NONE },
    { "first-gap", "mm", point->first_gap, TRUE, 1 },
    { "action", "mm", point->action, TRUE, SL_OCTAVE_FRET },
    { "exposure", "mm", point->exposure, TRUE, SL_NONE },
  };

  for (gsize r = 0; r < G_N_ELEMENTS (rows); r++)
    for (int i = 0; i < (rows[r].by_string ? point->n_strings : 1); i++)
      sl_put_figure (answer, rows[r].quantity, (const int[]){ rows[r].by_string ? i + 1 : SL_NONE, rows[r].fret }, 2,
                     &rows[r].figures[i], rows[r].unit);
}

static void
put_history (SlAnswer *answer, const GArray *history)
{
  SL_EACH (const SlHistoryPoint, point, history)
    {
      sl_rows_renew (answer);
      sl_put_text (answer, point->visit->id);
      sl_put_text (answer, point->set->id);
      sl_put_word (answer, sl_stage_names[point->set->stage]);
      sl_put_word (answer, point->set->taken);
      sl_rows_keep (answer);
      put_point (answer, point);
    }
}

/* ---- text ---- */

/* In the order of the columns: each of the treble and of the bass string. */
static const SlHistoryKind columns[] = { SL_HISTORY_ACTION, SL_HISTORY_RELIEF, SL_HISTORY_FIRST_GAP,
                                         SL_HISTORY_EXPOSURE };

/* A figure that was not read is left out: here it would look like one that was. */
static void
append_figure (GString *out, const SlFigure *figure, int places)
{
  sl_append_value (out, figure->basis != SL_BASIS_ASSUMED ? figure->value : NAN, places, -FIGURE_COLUMN);
}

static void
append_heads (GString *out)
{
  const char *const names[] = { C_ ("column", "action"), C_ ("column", "relief"), C_ ("column", "gap 1"),
                                C_ ("column", "exposure") };

  sl_append_padded (out, C_ ("column", "taken"), DAY_COLUMN);
  sl_append_padded (out, C_ ("column", "stage"), STAGE_COLUMN);
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    sl_append_padded (out, names[i], -2 * FIGURE_COLUMN);
  sl_append_padded (out, C_ ("column", "moisture"), -FIGURE_COLUMN - 2);
  g_string_append_c (out, '\n');
  sl_append_padded (out, "", DAY_COLUMN + STAGE_COLUMN);
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      sl_append_padded (out, C_ ("column", "treble"), -FIGURE_COLUMN);
      sl_append_padded (out, C_ ("column", "bass"), -FIGURE_COLUMN);
    }
  sl_append_padded (out, "%", -FIGURE_COLUMN - 2);
  g_string_append_c (out, '\n');
}

static void
append_point (GString *out, const SlHistoryPoint *point)
{
  const char *const stages[] = { C_ ("stage", "received"), C_ ("stage", "during"), C_ ("stage", "final") };
  g_autofree char *day = sl_date_short (point->set->taken);

  sl_append_padded (out, day, DAY_COLUMN);
  sl_append_padded (out, stages[point->set->stage], STAGE_COLUMN);
  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    {
      append_figure (out, sl_history_figure (point, columns[i], 1), PLACES);
      append_figure (out, sl_history_figure (point, columns[i], point->n_strings), PLACES);
    }
  g_string_append (out, "  ");
  append_figure (out, &point->moisture, MOISTURE_PLACES);
  g_string_append_c (out, '\n');
}

/* "action, treble: +0.052 ± 0.021 mm for each % of moisture content". */
static void
append_trend (GString *out, const GArray *history, SlHistoryKind kind, int string, const char *name)
{
  SlTrend trend;
  g_autofree char *slope = NULL, *expanded = NULL;

  if (sl_history_trend (history, kind, string, &trend) != SL_TREND_FOUND)
    return;
  slope = sl_plain (trend.slope, SLOPE_PLACES);
  expanded = sl_plain (trend.coverage * sqrt (trend.cov_ss), SLOPE_PLACES);
  /* Translators: a figure's name, its change, and the change's uncertainty */
  g_string_append_printf (out, _ ("%s: %s%s ± %s mm for each %% of moisture content\n"), name,
                          trend.slope > 0 ? "+" : "", slope, expanded);
}

static void
append_text (GString *out, const GArray *history, int n_strings)
{
  gsize before;

  append_heads (out);
  SL_EACH (const SlHistoryPoint, point, history)
    append_point (out, point);
  g_string_append_c (out, '\n');
  before = out->len;
  append_trend (out, history, SL_HISTORY_ACTION, 1, _ ("action, treble"));
  append_trend (out, history, SL_HISTORY_ACTION, n_strings, _ ("action, bass"));
  append_trend (out, history, SL_HISTORY_RELIEF, 1, _ ("relief, treble"));
  append_trend (out, history, SL_HISTORY_RELIEF, n_strings, _ ("relief, bass"));
  if (out->len == before)
    g_string_append_printf (out,
                            _ ("What the seasons do shows from %d sets with temperature and humidity on, read in "
                               "different air, and one more for each time work was done between them.\n"),
                            SL_TREND_LEAST_POINTS);
}

void
sl_history (SlAnswer *answer, const SlShop *shop)
{
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  g_autoptr (GArray) history = sl_history_new (profile, shop);
  sl_rows_begin (answer, "file", "visit,set,stage,taken,quantity,string,fret,value,uncertainty,unit,basis");
  if (answer->form != SL_FORM_TEXT)
    {
      put_history (answer, history);
      return;
    }
  sl_answer_title (answer);
  append_text (answer->out, history, profile->n_strings);
  g_string_append (answer->out, answer->several ? "\n" : "");
}
