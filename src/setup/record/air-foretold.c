/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/air-foretold.h"

#include "setup/record/history.h"
#include "setup/wood/climate.h"

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
