/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>
#include <math.h>
#include <stdio.h>

#include "calc.h"
#include "setup/record/history.h"
#include "setup/profile/units.h"
#include "words/dates.h"

#define DAY_COLUMN 13 /* "28. Sep 2026" */
#define STAGE_COLUMN 10
#define FIGURE_COLUMN 8
#define PLACES 2
#define MOISTURE_PLACES 1
#define SLOPE_PLACES 3

/* ---- CSV ---- */

typedef struct
{
  GString *out;
  GString *prefix; /* visit, set, stage, taken */
} Writer;

static void
put_row (const Writer *w, const char *quantity, int string, int fret, double value, double u, const char *unit,
         SlBasis basis)
{
  char number[SL_CSV_NUMBER_CHARS];

  if (!isfinite (value))
    return;
  g_string_append_len (w->out, w->prefix->str, (gssize) w->prefix->len);
  g_string_append_printf (w->out, "%s,", quantity);
  if (string > 0)
    g_string_append_printf (w->out, "%d", string);
  g_string_append_c (w->out, ',');
  if (fret > 0)
    g_string_append_printf (w->out, "%d", fret);
  g_string_append_c (w->out, ',');
  g_string_append_len (w->out, number, sl_csv_number (number, value) - number);
  g_string_append_c (w->out, ',');
  if (isfinite (u))
    g_string_append_len (w->out, number, sl_csv_number (number, SL_COVERAGE * u) - number);
  g_string_append_printf (w->out, ",%s,%s\n", unit, sl_basis_names[basis]);
}

static void
put_figures (const Writer *w, const char *quantity, int fret, const SlFigure *figures, int n)
{
  for (int i = 0; i < n; i++)
    put_row (w, quantity, i + 1, fret, figures[i].value, figures[i].u, "mm", figures[i].basis);
}

static void
put_point (Writer *w, const SlHistoryPoint *point)
{
  g_autofree char *visit = sl_csv_quote (point->visit->id), *set = sl_csv_quote (point->set->id);

  g_string_printf (w->prefix, "%s,%s,%s,%s,", visit, set, sl_stage_names[point->set->stage], point->set->taken);
  put_row (w, "temperature", 0, 0, point->temperature, NAN, "degC", SL_BASIS_MEASURED);
  put_row (w, "humidity", 0, 0, point->humidity, NAN, "%", SL_BASIS_MEASURED);
  put_row (w, "moisture-content", 0, 0, point->moisture.value, point->moisture.u, "%", point->moisture.basis);
  put_figures (w, "relief", 0, point->relief, point->n_strings);
  put_row (w, "tongue", 0, 0, point->tongue.value, point->tongue.u, "mm", point->tongue.basis);
  put_figures (w, "first-gap", 1, point->first_gap, point->n_strings);
  put_figures (w, "action", SL_OCTAVE_FRET, point->action, point->n_strings);
  put_figures (w, "exposure", 0, point->exposure, point->n_strings);
}

static void
print_csv (GString *out, const GArray *history)
{
  g_autoptr (GString) prefix = g_string_new (NULL);
  Writer writer = { out, prefix };

  g_string_append (out, "visit,set,stage,taken,quantity,string,fret,value,uncertainty,unit,basis\n");
  for (guint i = 0; i < history->len; i++)
    put_point (&writer, &g_array_index (history, SlHistoryPoint, i));
}

/* ---- text ---- */

/* In the order of the columns: which figure, of the treble or the bass string. */
static const struct
{
  SlHistoryKind kind;
  gboolean bass;
} columns[] = {
  { SL_HISTORY_ACTION, FALSE },   { SL_HISTORY_ACTION, TRUE },     { SL_HISTORY_RELIEF, FALSE },
  { SL_HISTORY_RELIEF, TRUE },    { SL_HISTORY_FIRST_GAP, FALSE }, { SL_HISTORY_FIRST_GAP, TRUE },
  { SL_HISTORY_EXPOSURE, FALSE }, { SL_HISTORY_EXPOSURE, TRUE },
};

static const char *
stage_word (SlStage stage)
{
  const char *const words[] = { C_ ("stage", "received"), C_ ("stage", "during"), C_ ("stage", "final") };

  return words[stage];
}

/* A figure that was not read is left out: here it would look like one that was. */
static void
append_figure (GString *out, const SlFigure *figure, int places)
{
  gboolean shown = isfinite (figure->value) && figure->basis != SL_BASIS_ASSUMED;
  g_autofree char *text = shown ? sl_plain_format (figure->value, places, sl_decimal_sign ()) : g_strdup ("–");

  sl_append_padded (out, text, -FIGURE_COLUMN);
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
  g_autofree char *day = sl_date_short (point->set->taken);

  sl_append_padded (out, day, DAY_COLUMN);
  sl_append_padded (out, stage_word (point->set->stage), STAGE_COLUMN);
  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    append_figure (out, sl_history_figure (point, columns[i].kind, columns[i].bass ? point->n_strings : 1), PLACES);
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
  slope = sl_plain_format (trend.slope, SLOPE_PLACES, sl_decimal_sign ());
  expanded = sl_plain_format (trend.coverage * sqrt (trend.cov_ss), SLOPE_PLACES, sl_decimal_sign ());
  /* Translators: a figure's name, its change, and the change's uncertainty */
  g_string_append_printf (out, _ ("%s: %s%s ± %s mm for each %% of moisture content\n"), name,
                          trend.slope > 0 ? "+" : "", slope, expanded);
}

static void
print_text (GString *out, const GArray *history, int n_strings)
{
  gsize before;

  append_heads (out);
  for (guint i = 0; i < history->len; i++)
    append_point (out, &g_array_index (history, SlHistoryPoint, i));
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

static SlExit
run (int argc, char **argv)
{
  g_autofree char *format = NULL;
  const GOptionEntry entries[] = {
    { "format", 'f', 0, G_OPTION_ARG_STRING, &format, N_ ("How to print: “csv” (the default), or “text” for people"),
      "csv|text" },
    { NULL },
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (GString) out = g_string_new (NULL);
  g_auto (SlShopArgument) shop = { 0 };
  SlExit status = sl_command_parse (&sl_history_command, entries, 1, argc, argv, &shop, &files);

  if (status != SL_EXIT_DONE)
    return status;
  if (format != NULL && !g_str_equal (format, "csv") && !g_str_equal (format, "text"))
    return sl_usage_error (&sl_history_command, _ ("--format is “%s”; it can be “csv” or “text”"), format);
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (GArray) history = sl_history_new (profile, &shop.values);
  gboolean text = g_strcmp0 (format, "text") == 0;
  if (text)
    print_text (out, history, profile->n_strings);
  else
    print_csv (out, history);
  if (!text || g_get_charset (NULL))
    fwrite (out->str, 1, out->len, stdout);
  else
    g_print ("%s", out->str);
  if (text)
    sl_print_shop (&shop);
  return SL_EXIT_DONE;
}

const SlCommand sl_history_command = { "history", N_ ("FILE"), N_ ("Prints every reading set of every visit."), run };
