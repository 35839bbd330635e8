/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/history.h"

#include "setup/profile/moment.h"
#include "setup/wood/climate.h"

#define BIT(kind) (1u << (kind))
#define HEIGHTS (BIT (SL_N_OPS) - 1 - BIT (SL_OP_MOVE_CREST) - BIT (SL_OP_SHIFT_BRIDGE))

/* What moves what: a bit for each kind of work. Exposure is what stands out of the bridge; a crest that moves along the
 * string changes no height worth following. */
static const guint movers[SL_N_HISTORIES] = {
  [SL_HISTORY_ACTION] = HEIGHTS,
  [SL_HISTORY_RELIEF] =
      BIT (SL_OP_TURN_ROD) | BIT (SL_OP_LEVEL_FRETS) | BIT (SL_OP_REPLACE_FRETS) | BIT (SL_OP_FIT_STRINGS),
  [SL_HISTORY_FIRST_GAP] = HEIGHTS,
  [SL_HISTORY_EXPOSURE] =
      BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_SHAPE_CREST) | BIT (SL_OP_MOVE_SADDLE) | BIT (SL_OP_MAKE_SADDLE),
};

/* The kinds of work done before each set and after the one before it, a bit each; behind them what no set came after.
 * Each piece of work looks for its place once: there may be thousands, and hundreds of sets. */
static guint *
work_before (const SlProfile *profile, const GArray *history)
{
  guint *work = g_new0 (guint, history->len + 1);

  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlOperation, op, visit->plan)
      {
        guint first = 0, end = history->len;

        while (first < end)
          {
            const guint middle = (first + end) / 2;

            if (sl_operation_is_past (op, g_array_index (history, SlHistoryPoint, middle).set->taken))
              end = middle;
            else
              first = middle + 1;
          }
        work[first] |= 1u << op->kind;
      }
  return work;
}

static void
fill (SlHistoryPoint *point, const SlProfile *profile, const SlShop *shop, SlNeckMemory *memory, SlFigures *figures)
{
  SlInstrument instrument;
  SlFit fit;

  sl_instrument_from_profile (profile, &instrument);
  sl_fit_visit (&instrument, profile, point->visit, point->set, &shop->work, memory, NULL, &fit);
  sl_figures (&instrument, &fit.state, &fit, point->set, shop, figures);
  point->n_strings = instrument.n_strings;
  for (int i = 0; i < point->n_strings; i++)
    {
      point->action[i] = figures->action[i][SL_OCTAVE_FRET];
      point->relief[i] = figures->relief[i];
      point->first_gap[i] = figures->first_gap[i];
      point->exposure[i] = figures->exposure[i];
    }
  point->tongue = figures->tongue;
  point->moisture = figures->moisture_content;
  sl_fit_clear (&fit);
}

static int
earlier_first (gconstpointer a, gconstpointer b)
{
  const SlHistoryPoint *first = a, *second = b;

  if (first->time != second->time)
    return first->time < second->time ? -1 : 1;
  /* read in the same second: as the document has them, which is one array a visit */
  if (first->visit_index != second->visit_index)
    return first->visit_index < second->visit_index ? -1 : 1;
  return (first->set > second->set) - (first->set < second->set);
}

GArray *
sl_history_new (const SlProfile *profile, const SlShop *shop)
{
  GArray *history = g_array_new (FALSE, TRUE, sizeof (SlHistoryPoint));
  g_autofree SlFigures *figures = g_new0 (SlFigures, 1);
  g_autoptr (SlNeckMemory) memory = sl_neck_memory_new ();
  g_autofree guint *work = NULL;

  for (guint v = 0; v < profile->visits->len; v++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, v);

      SL_EACH (const SlReadingSet, set, visit->sets)
        {
          SlHistoryPoint point = {
            .visit_index = v, .visit = visit, .set = set, .temperature = set->temperature.v, .humidity = set->humidity.v
          };

          point.time = sl_time_of (set->taken);
          fill (&point, profile, shop, memory, figures);
          g_array_append_val (history, point);
        }
    }
  g_array_sort (history, earlier_first);
  work = work_before (profile, history);
  for (guint i = 1; i < history->len; i++)
    {
      SlHistoryPoint *before = &g_array_index (history, SlHistoryPoint, i - 1), *point = before + 1;

      for (int kind = 0; kind < SL_N_HISTORIES; kind++)
        point->work[kind] = before->work[kind] + ((work[i] & movers[kind]) != 0);
    }
  return history;
}

const SlFigure *
sl_history_figure (const SlHistoryPoint *point, SlHistoryKind kind, int string)
{
  const SlFigure *const of_kind[SL_N_HISTORIES] = { point->action, point->relief, point->first_gap, point->exposure,
                                                    &point->moisture };

  if (kind == SL_HISTORY_MOISTURE)
    return of_kind[kind];
  g_return_val_if_fail (kind < SL_N_HISTORIES && string >= 1 && string <= SL_MAX_STRINGS, &point->moisture);
  return &of_kind[kind][string - 1];
}

SlTrendResult
sl_history_trend (const GArray *history, SlHistoryKind kind, int string, SlTrend *trend)
{
  g_autofree SlTrendPoint *points = g_new (SlTrendPoint, history->len + 1);
  int n = 0;

  SL_EACH (const SlHistoryPoint, point, history)
    {
      const SlFigure *figure = sl_history_figure (point, kind, string);

      if (!sl_air_tells (point->set) || !isfinite (figure->value) || figure->basis == SL_BASIS_ASSUMED)
        continue;
      points[n++] = (SlTrendPoint){ point->moisture.value, figure->value, figure->u, (int) point->work[kind] };
    }
  return sl_trend_fit (points, n, trend);
}

void
sl_history_compare (const SlProfile *profile, const SlHistoryPoint *first, const SlHistoryPoint *second,
                    const SlShop *shop, SlAnalysis *out)
{
  g_autoptr (SlAnalysis) before = g_new0 (SlAnalysis, 1);

  sl_analyse (profile, first->visit, first->set, shop, before);
  sl_analyse (profile, second->visit, second->set, shop, out);
  out->planned = out->measured;
  out->planned_figures = out->measured_figures;
  out->measured = before->measured;
  out->measured_figures = before->measured_figures;
  out->plan = NULL;
  g_clear_pointer (&out->earlier, g_array_unref);
  out->has_plan = TRUE; /* both states are to be drawn */
}

/* ---- the action in other air ---- */

/* What came after @set is not known yet when it is read. */
static GArray *
history_until (const SlProfile *profile, const SlReadingSet *set, const SlShop *shop)
{
  GArray *history = sl_history_new (profile, shop);

  for (guint i = 0; i < history->len; i++)
    if (g_array_index (history, SlHistoryPoint, i).set == set)
      g_array_set_size (history, i + 1);
  return history;
}

static gboolean
foretell (const GArray *history, int string, double moisture, double *action, double *U)
{
  SlTrend trend;

  return sl_history_trend (history, SL_HISTORY_ACTION, string, &trend) == SL_TREND_FOUND &&
         sl_trend_predict (&trend, moisture, action, U);
}

void
sl_air_foretell (const SlProfile *profile, const SlReadingSet *set, const SlShop *shop, SlAirFound *air)
{
  if (air->state == SL_AIR_SETTLED || set == NULL || !sl_number_is_set (set->temperature) ||
      profile->kind != SL_KIND_INSTRUMENT)
    return;

  g_autoptr (GArray) history = history_until (profile, set, shop);
  const double moisture = sl_moisture_content (set->temperature.v, air->middle);

  air->foretold = foretell (history, 1, moisture, &air->action_treble, &air->U_treble) &&
                  foretell (history, profile->n_strings, moisture, &air->action_bass, &air->U_bass);
}
