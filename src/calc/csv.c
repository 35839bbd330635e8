/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/profile/bounds.h"
#include "setup/physics/clearance.h"
#include "words/one-line.h"

/* smaller than this only by what is left of sums of millimetres: 0, and the same 0 on every machine */
#define ROUNDING 1e-12
#define GRAMS_PER_KILOGRAM 1000.0

/* How a quantity's figures lie in SlFigures. */
typedef enum
{
  SCOPE_FRET_POSITION, /* of the instrument, by fret; by string too where frets slant */
  SCOPE_UNIT_MASS,     /* of the instrument, by string */
  SCOPE_WHOLE,
  SCOPE_STRING,
  SCOPE_STRING_FRET,
  SCOPE_LEAST_MARGIN
} Scope;

typedef struct
{
  const char *name, *unit;
  Scope scope;
  SlPlaceOfFigure place;
  gboolean measured_only;
} Quantity;

#define OF(member) G_STRUCT_OFFSET (SlFigures, member)

static const Quantity quantities[] = {
#include "quantity-rows.h"
};

typedef struct
{
  GString *out;
  GString *prefix; /* file and state columns */
  const char *quantity, *unit;
} Writer;

/* Whether a spreadsheet would take a text for a formula and work it out. */
static gboolean
looks_like_formula (const char *text)
{
  static const char *const beginnings[] = { "=", "+", "-", "@", "−", "＝", "＋", "－", "＠" };

  for (gsize i = 0; i < G_N_ELEMENTS (beginnings); i++)
    if (g_str_has_prefix (text, beginnings[i]))
      return TRUE;
  return FALSE;
}

void
sl_csv_field (GString *out, const char *text, char end)
{
  g_autofree char *line = sl_one_line (text);
  const char *quote = strpbrk (line, ",\"") != NULL ? "\"" : "";
  g_string_append (out, quote);
  if (looks_like_formula (line))
    g_string_append_c (out, '\'');
  for (const char *c = line; *c != '\0'; c++)
    {
      if (*c == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *c);
    }
  g_string_append (out, quote);
  g_string_append_c (out, end);
}

void
sl_csv_value (GString *out, double value, char end)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  if (isfinite (value))
    g_string_append (out, g_ascii_formatd (number, sizeof number, "%.9g", fabs (value) < ROUNDING ? 0 : value));
  g_string_append_c (out, end);
}

void
sl_csv_row (GString *out, const GString *prefix, const char *quantity, const int *places, int n_places,
            const SlFigure *figure, const char *unit)
{
  if (!isfinite (figure->value))
    return;
  g_string_append_len (out, prefix->str, (gssize) prefix->len);
  g_string_append_printf (out, "%s,", quantity);
  for (int i = 0; i < n_places; i++)
    if (places[i] != SL_CSV_EMPTY)
      g_string_append_printf (out, "%d,", places[i]);
    else
      g_string_append_c (out, ',');
  sl_csv_value (out, figure->value, ',');
  sl_csv_value (out, SL_COVERAGE * figure->u, ',');
  g_string_append_printf (out, "%s,%s\n", unit, sl_basis_names[figure->basis]);
}

static void
put_row (Writer *w, int string, int held, int fret, const SlFigure *figure)
{
  sl_csv_row (w->out, w->prefix, w->quantity, (const int[]){ string, held, fret }, 3, figure, w->unit);
}

/* What is computed without an uncertainty. */
static SlFigure
computed (double value)
{
  return (SlFigure){ value, NAN, SL_BASIS_COMPUTED };
}

static SlFigure
figure_of (const Quantity *quantity, const SlInstrument *instrument, const SlFigures *figures, int string, int fret)
{
  const SlFigure *figure = sl_figure_at (figures, quantity->place, string);
  switch (quantity->scope)
    {
    case SCOPE_FRET_POSITION: return computed (instrument->x[string - 1][fret]);
    case SCOPE_UNIT_MASS: return computed (instrument->strings[string - 1].unit_mass_kg_m * GRAMS_PER_KILOGRAM);
    case SCOPE_STRING_FRET: return figure[fret];
    default: return *figure;
    }
}

static void
put_quantity (Writer *w, const SlInstrument *instrument, const SlFigures *figures, const Quantity *quantity)
{
  Scope scope = quantity->scope;
  gboolean by_string = scope == SCOPE_FRET_POSITION ? sl_frets_slant (instrument) : scope != SCOPE_WHOLE;
  gboolean by_fret = scope == SCOPE_FRET_POSITION || scope == SCOPE_STRING_FRET;
  w->quantity = quantity->name;
  w->unit = quantity->unit;
  for (int string = 1; string <= (by_string ? instrument->n_strings : 1); string++)
    for (int fret = 1; fret <= (by_fret ? instrument->frets : 1); fret++)
      {
        const SlFigure figure = figure_of (quantity, instrument, figures, string, fret);
        int held = SL_CSV_EMPTY, place = by_fret ? fret : SL_CSV_EMPTY;
        if (scope == SCOPE_LEAST_MARGIN)
          {
            held = figures->least_margin_held[string - 1];
            place = figures->least_margin_fret[string - 1];
          }
        put_row (w, by_string ? string : SL_CSV_EMPTY, held, place, &figure);
      }
}

static const char *const clearance_names[] = { "gap", "swing", "margin" };

/* Of one part, all strings, held frets and frets. */
static void
put_clearance (Writer *w, const SlAnalysis *analysis, const SlState *state, const SlFigures *figures, gsize part)
{
  const SlInstrument *instrument = state == &analysis->planned ? &analysis->planned_instrument : &analysis->instrument;

  w->quantity = clearance_names[part];
  w->unit = "mm";
  for (int i = 0; i < instrument->n_strings; i++)
    {
      SlStringState s;
      sl_state_string (instrument, state, i + 1, &s);
      for (int held = 0; held < instrument->frets; held++)
        for (int n = held + 1; n <= instrument->frets; n++)
          {
            SlClearance c;
            sl_clearance (&s, figures->tension[i].value, held, n, &c);
            const SlBasis basis = sl_gap_basis (&analysis->fit, &s, held, n);
            const SlFigure parts[] = { { c.gap, c.gap_u, basis },
                                       { c.swing, c.swing_u, SL_BASIS_COMPUTED },
                                       { c.margin, c.margin_u, basis } };
            put_row (w, i + 1, held, n, &parts[part]);
          }
    }
}

/* A first gap is read at fret 1, but the kind has no fret of its own: as in the first-gap rows, the column stays empty.
 */
static void
put_suspects (Writer *w, const SlAnalysis *analysis)
{
  static const int held_frets[] = { [SL_HELD_1] = 1, [SL_HELD_3] = 3 };
  w->quantity = "suspect";
  w->unit = "1";
  for (guint i = 0; analysis->set != NULL && i < analysis->fit.n_readings; i++)
    {
      const SlReading *reading = &g_array_index (analysis->set->readings, SlReading, i);
      const SlReadingFit *fit = &analysis->fit.readings[i];
      gboolean has_fret = sl_readings[reading->kind].has_fret && reading->fret > 0;
      gboolean has_held = sl_readings[reading->kind].held != SL_HELD_DEFAULT;
      const SlFigure away = { fit->normalised, NAN, SL_BASIS_MEASURED };
      if (fit->suspect)
        put_row (w, reading->string > 0 ? reading->string : SL_CSV_EMPTY,
                 has_held ? held_frets[reading->held] : SL_CSV_EMPTY, has_fret ? reading->fret : SL_CSV_EMPTY, &away);
    }
}

static void
put_state (Writer *w, const SlAnalysis *analysis, gboolean planned, const char *file, gboolean detail)
{
  const SlFigures *figures = planned ? &analysis->planned_figures : &analysis->measured_figures;
  const SlState *state = planned ? &analysis->planned : &analysis->measured;
  g_string_truncate (w->prefix, 0);
  if (file != NULL)
    sl_csv_field (w->prefix, file, ',');
  g_string_append (w->prefix, planned ? "planned," : "measured,");

  for (gsize i = 0; i < G_N_ELEMENTS (quantities); i++)
    if (!planned || !quantities[i].measured_only)
      put_quantity (w, &analysis->instrument, figures, &quantities[i]);
  for (gsize part = 0; detail && part < G_N_ELEMENTS (clearance_names); part++)
    put_clearance (w, analysis, state, figures, part);
  if (!planned)
    put_suspects (w, analysis);
}

void
sl_csv_rows (GString *out, const SlAnalysis *analysis, const char *file, gboolean detail)
{
  g_autoptr (GString) prefix = g_string_new (NULL);
  Writer w = { .out = out, .prefix = prefix };
  put_state (&w, analysis, FALSE, file, detail);
  if (analysis->has_plan)
    put_state (&w, analysis, TRUE, file, detail);
}
