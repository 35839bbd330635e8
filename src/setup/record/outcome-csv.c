/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of a visit, received → final → target, for spreadsheets. */
#include "setup/record/outcome.h"

#include <math.h>

typedef struct
{
  const SlOutcome *outcome;
  GString *out;
  char separator;
} Table;

static void
put_number (Table *table, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  g_string_append_c (table->out, table->separator);
  if (isfinite (value))
    g_string_append (table->out, g_ascii_formatd (buffer, sizeof buffer, "%.6g", value));
}

static const char *
basis_name (const SlFigure *figure)
{
  return isfinite (figure->value) ? sl_basis_names[figure->basis] : "";
}

static void
put_figure (Table *table, const SlFigure *figure)
{
  put_number (table, figure->value);
  put_number (table, isfinite (figure->value) ? SL_COVERAGE * figure->u : NAN);
  g_string_append_printf (table->out, "%c%s", table->separator, basis_name (figure));
}

static void
put_row (Table *table, const char *quantity, int string, int fret, const SlFigure *before, const SlFigure *after,
         double target, double tolerance)
{
  const SlFigure none = { NAN, NAN, SL_BASIS_COMPUTED };

  g_string_append_printf (table->out, "%s%c%d%c", quantity, table->separator, string, table->separator);
  if (fret > 0)
    g_string_append_printf (table->out, "%d", fret);
  put_figure (table, table->outcome->first != NULL ? before : &none);
  put_figure (table, after);
  put_number (table, target);
  put_number (table, tolerance);
  g_string_append_printf (table->out, "%cmm\n", table->separator);
}

char *
sl_outcome_table (const SlOutcome *outcome, char separator)
{
  static const char *const heads[] = { "quantity",       "string", "fret", "received", "received-uncertainty",
                                       "received-basis", NULL };
  const char *after_name = outcome->as_planned ? "planned" : "final";
  const SlFigures *before = outcome->before_figures, *after = outcome->after_figures;
  const SlInstrument *in = &outcome->instrument;
  Table table = { outcome, g_string_new (NULL), separator };

  for (int i = 0; heads[i] != NULL; i++)
    g_string_append_printf (table.out, "%s%c", heads[i], separator);
  g_string_append_printf (table.out, "%s%c%s-uncertainty%c%s-basis%ctarget%ctolerance%cunit\n", after_name, separator,
                          after_name, separator, after_name, separator, separator, separator);
  for (int i = 0; i < in->n_strings; i++)
    put_row (&table, "relief", i + 1, 0, &before->relief[i], &after->relief[i], in->target_relief,
             in->relief_tolerance);
  for (int i = 0; i < in->n_strings; i++)
    put_row (&table, "first-gap", i + 1, 1, &before->first_gap[i], &after->first_gap[i], in->target_first_gap[i],
             in->first_gap_tolerance);
  for (int i = 0; i < in->n_strings; i++)
    put_row (&table, "action", i + 1, SL_OCTAVE_FRET, &before->action[i][SL_OCTAVE_FRET],
             &after->action[i][SL_OCTAVE_FRET], in->target_action[i], in->action_tolerance);
  for (int i = 0; i < in->n_strings; i++)
    put_row (&table, "exposure", i + 1, 0, &before->exposure[i], &after->exposure[i], NAN, NAN);
  return g_string_free (table.out, FALSE);
}
