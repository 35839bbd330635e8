/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How to look after an instrument. */
#include "words/explain.h"

#include "setup/record/history.h"
#include "words/dates.h"
#include "words/saying.h"

#define HUMIDITY_SWING 15.0 /* % RH between readings that is worth a word: our own choice */

/* The air of a reading set. */
typedef struct
{
  double humidity;
  double moisture; /* % by mass; NAN where no temperature was read */
  const char *date;
} Set;

/* What the instrument's reading sets say of the air it lives in. */
typedef struct
{
  int n;
  Set least, most, last;
} Air;

static void
add_set (Air *air, const SlReadingSet *set)
{
  if (!sl_number_is_set (set->humidity))
    return;
  air->last =
      (Set){ set->humidity.v,
             sl_number_is_set (set->temperature) ? sl_moisture_content (set->temperature.v, set->humidity.v) : NAN,
             set->taken };
  if (air->n == 0 || air->last.humidity < air->least.humidity)
    air->least = air->last;
  if (air->n == 0 || air->last.humidity > air->most.humidity)
    air->most = air->last;
  air->n++;
}

static Air
find_air (const SlProfile *profile)
{
  Air air = { .n = 0 };

  SL_EACH (const SlVisit, visit, profile->visits)
    for (guint k = 0; k < visit->sets->len; k++)
      add_set (&air, &g_array_index (visit->sets, SlReadingSet, k));
  return air;
}

/* The air it was read in; NULL where none was. */
static char *
history_text (const Saying *say, const Air *air)
{
  const char *least = percent (say, air->least.humidity), *most = percent (say, air->most.humidity),
             *least_date = own (say, sl_date_text (air->least.date)),
             *most_date = own (say, sl_date_text (air->most.date));

  if (air->n == 0)
    return NULL;
  if (air->most.humidity - air->least.humidity < HUMIDITY_SWING)
    return g_strdup_printf (_ ("The air was at %1$s relative humidity when it was read on %2$s."),
                            percent (say, air->last.humidity), own (say, sl_date_text (air->last.date)));
  if (isnan (air->least.moisture) || isnan (air->most.moisture))
    return g_strdup_printf (_ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s): wood swells "
                               "and shrinks between the two, and the strings rise and fall with it."),
                            least, least_date, most, most_date);
  return g_strdup_printf (
      _ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s). Left there, its wood holds %5$s "
         "to %6$s %% of water; it swells and shrinks with that, and the strings rise and fall."),
      least, least_date, most, most_date, number (say, air->least.moisture, 0), number (say, air->most.moisture, 0));
}

/* What the seasons did to the outer bass string; NULL where the readings don't tell it from no change at all. */
static char *
season_text (const Saying *say, const SlOutcome *outcome, const Air *air)
{
  const SlProfile *profile = outcome->profile;
  g_autoptr (GArray) history = sl_history_new (profile, &outcome->after->shop);
  const double span = air->most.moisture - air->least.moisture;
  SlTrend trend;

  if (air->n == 0 || !(span > 0) ||
      sl_history_trend (history, SL_HISTORY_ACTION, profile->n_strings, &trend) != SL_TREND_FOUND ||
      fabs (trend.slope * span) <= trend.coverage * sqrt (trend.cov_ss) * span)
    return NULL;
  return g_strdup_printf (trend.slope > 0 ? _ ("By its own readings the thick strings stand about %s higher in the "
                                               "dampest of this air than in the driest.")
                                          : _ ("By its own readings the thick strings stand about %s lower in the "
                                               "dampest of this air than in the driest."),
                          length (say, fabs (trend.slope * span)));
}

static char *
keeping_text (const Saying *say, const SlKeeping *keeping, SlAir now)
{
  return g_strdup_printf (
      now == SL_AIR_DAMP || now == SL_AIR_TOO_DAMP ? _ ("Keep it at %1$s to %2$s: in its case, with something that "
                                                        "takes up moisture, away from outer walls and open windows.")
      : now == SL_AIR_DRY || now == SL_AIR_TOO_DRY ? _ ("Keep it at %1$s to %2$s: in its case, with something that "
                                                        "gives off moisture, away from heaters and stoves.")
                                                   : _ ("Keep it at %1$s to %2$s relative humidity, in its case when "
                                                        "it is not played, away from heaters and open windows."),
      number (say, keeping->least, 0), percent (say, keeping->most));
}

GPtrArray *
sl_explain_care (const SlOutcome *outcome, const SlSpeech *speech)
{
  const Air air = find_air (outcome->profile);
  const SlKeeping keeping = speech->keeping.most > 0 ? speech->keeping : SL_KEEPING_DEFAULT;
  const SlAir now = air.n > 0 ? sl_air (&keeping, air.last.humidity) : SL_AIR_GOOD;
  g_auto (Saying) say = saying (&speech->style, NULL);
  char *const texts[] = {
    history_text (&say, &air),
    season_text (&say, outcome, &air),
    now == SL_AIR_TOO_DRY || now == SL_AIR_TOO_DAMP ? g_strdup (sl_air_advice (now)) : NULL,
    keeping_text (&say, &keeping, now),
    g_strdup (_ ("After playing, wipe strings, frets and the back of the neck with a dry cloth.")),
    g_strdup (_ ("Change strings when they sound dull or feel rough, and stay with these thicknesses and this tuning: "
                 "nut, neck and saddle are set for their pull.")),
    g_strdup (air.n > 0 && air.most.humidity - air.least.humidity >= HUMIDITY_SWING
                  ? _ ("Come back in about half a year, when the season has changed, or at once if a string rattles or "
                       "feels higher.")
                  : _ ("Come back in about a year, or at once if a string rattles or feels higher.")),
  };
  GPtrArray *advice = g_ptr_array_new_with_free_func (g_free);

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (texts[i] != NULL)
      g_ptr_array_add (advice, texts[i]);
  return advice;
}
