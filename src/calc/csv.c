/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/physics/clearance.h"

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

static void
put_row (SlAnswer *answer, const char *quantity, int string, int held, int fret, const SlFigure *figure,
         const char *unit)
{
  sl_put_figure (answer, quantity, (const int[]){ string, held, fret }, 3, figure, unit);
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
put_quantity (SlAnswer *answer, const SlInstrument *instrument, const SlFigures *figures, const Quantity *quantity)
{
  Scope scope = quantity->scope;
  gboolean by_string = scope == SCOPE_FRET_POSITION ? sl_frets_slant (instrument) : scope != SCOPE_WHOLE;
  gboolean by_fret = scope == SCOPE_FRET_POSITION || scope == SCOPE_STRING_FRET;
  for (int string = 1; string <= (by_string ? instrument->n_strings : 1); string++)
    for (int fret = 1; fret <= (by_fret ? instrument->frets : 1); fret++)
      {
        const SlFigure figure = figure_of (quantity, instrument, figures, string, fret);
        int held = SL_NONE, place = by_fret ? fret : SL_NONE;
        if (scope == SCOPE_LEAST_MARGIN)
          {
            held = figures->least_margin_held[string - 1];
            place = figures->least_margin_fret[string - 1];
          }
        put_row (answer, quantity->name, by_string ? string : SL_NONE, held, place, &figure, quantity->unit);
      }
}

static const char *const clearance_names[] = { "gap", "swing", "margin" };

/* Of one part, all strings, held frets and frets. */
static void
put_clearance (SlAnswer *answer, const SlAnalysis *analysis, const SlState *state, const SlFigures *figures, gsize part)
{
  const SlInstrument *instrument = state == &analysis->planned ? &analysis->planned_instrument : &analysis->instrument;

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
            put_row (answer, clearance_names[part], i + 1, held, n, &parts[part], "mm");
          }
    }
}

/* A first gap is read at fret 1, but the kind has no fret of its own: as in the first-gap rows, the column stays empty.
 */
static void
put_suspects (SlAnswer *answer, const SlAnalysis *analysis)
{
  static const int held_frets[] = { [SL_HELD_1] = 1, [SL_HELD_3] = 3 };
  for (guint i = 0; analysis->set != NULL && i < analysis->fit.n_readings; i++)
    {
      const SlReading *reading = &g_array_index (analysis->set->readings, SlReading, i);
      const SlReadingFit *fit = &analysis->fit.readings[i];
      gboolean has_fret = sl_readings[reading->kind].has_fret && reading->fret > 0;
      gboolean has_held = sl_readings[reading->kind].held != SL_HELD_DEFAULT;
      const SlFigure away = { fit->normalised, NAN, SL_BASIS_MEASURED };
      if (fit->suspect)
        put_row (answer, "suspect", reading->string > 0 ? reading->string : SL_NONE,
                 has_held ? held_frets[reading->held] : SL_NONE, has_fret ? reading->fret : SL_NONE, &away, "1");
    }
}

static void
put_state (SlAnswer *answer, const SlAnalysis *analysis, gboolean planned, gboolean detail)
{
  const SlFigures *figures = planned ? &analysis->planned_figures : &analysis->measured_figures;
  const SlState *state = planned ? &analysis->planned : &analysis->measured;
  sl_rows_renew (answer);
  sl_put_word (answer, planned ? "planned" : "measured");
  sl_rows_keep (answer);

  for (gsize i = 0; i < G_N_ELEMENTS (quantities); i++)
    if (!planned || !quantities[i].measured_only)
      put_quantity (answer, &analysis->instrument, figures, &quantities[i]);
  for (gsize part = 0; detail && part < G_N_ELEMENTS (clearance_names); part++)
    put_clearance (answer, analysis, state, figures, part);
  if (!planned)
    put_suspects (answer, analysis);
}

void
sl_put_analysis (SlAnswer *answer, const SlAnalysis *analysis, gboolean detail)
{
  put_state (answer, analysis, FALSE, detail);
  if (analysis->has_plan)
    put_state (answer, analysis, TRUE, detail);
}
