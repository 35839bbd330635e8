/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How to look after an instrument. */
#include "words/explain.h"

#include "setup/wood/climate.h"
#include "setup/record/history.h"
#include "words/dates.h"

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

static void say (GPtrArray *advice, const char *format, ...) G_GNUC_PRINTF (2, 3);

static void
say (GPtrArray *advice, const char *format, ...)
{
  va_list args;

  va_start (args, format);
  g_ptr_array_add (advice, g_strdup_vprintf (format, args));
  va_end (args);
}

static void
add_history (GPtrArray *advice, const SlSpeech *speech, const Air *air)
{
  g_autofree char *last = sl_text_percent (&speech->style, air->last.humidity),
                  *least = sl_text_percent (&speech->style, air->least.humidity),
                  *most = sl_text_percent (&speech->style, air->most.humidity);
  g_autofree char *last_date = sl_date_text (air->last.date), *least_date = sl_date_text (air->least.date),
                  *most_date = sl_date_text (air->most.date);
  g_autofree char *dry = sl_plain_format (air->least.moisture, 0, speech->style.decimal),
                  *wet = sl_plain_format (air->most.moisture, 0, speech->style.decimal);

  if (air->n == 0)
    return;
  if (air->most.humidity - air->least.humidity < HUMIDITY_SWING)
    say (advice, _ ("The air was at %1$s relative humidity when it was read on %2$s."), last, last_date);
  else if (isnan (air->least.moisture) || isnan (air->most.moisture))
    say (advice,
         _ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s): wood swells and shrinks "
            "between the two, and the strings rise and fall with it."),
         least, least_date, most, most_date);
  else
    say (advice,
         _ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s). Left there, its wood holds "
            "%5$s to %6$s %% of water; it swells and shrinks with that, and the strings rise and fall."),
         least, least_date, most, most_date, dry, wet);
}

/* What the seasons did to the outer bass string, where the readings tell it from no change at all. */
static void
add_season (GPtrArray *advice, const SlSpeech *speech, const SlOutcome *outcome, const Air *air)
{
  const SlProfile *profile = outcome->profile;
  g_autoptr (GArray) history = sl_history_new (profile, &outcome->after->shop);
  double span = air->most.moisture - air->least.moisture, change;
  SlTrend trend;

  if (air->n == 0 || !(span > 0) ||
      sl_history_trend (history, SL_HISTORY_ACTION, profile->n_strings, &trend) != SL_TREND_FOUND)
    return;
  change = trend.slope * span;
  if (fabs (change) <= trend.coverage * sqrt (trend.cov_ss) * span)
    return;
  g_autofree char *by = sl_text_length_unit (&speech->style, fabs (change));
  say (advice,
       change > 0
           ? _ ("By its own readings the thick strings stand about %s higher in the dampest of this air than in the "
                "driest.")
           : _ ("By its own readings the thick strings stand about %s lower in the dampest of this air than in the "
                "driest."),
       by);
}

static void
add_humidity (GPtrArray *advice, const SlSpeech *speech, const SlOutcome *outcome, const Air *air)
{
  const SlKeeping keeping = speech->keeping.most > 0 ? speech->keeping : SL_KEEPING_DEFAULT;
  const SlAir now = air->n > 0 ? sl_air (&keeping, air->last.humidity) : SL_AIR_GOOD;
  g_autofree char *least = sl_plain_format (keeping.least, 0, speech->style.decimal),
                  *most = sl_text_percent (&speech->style, keeping.most);

  add_history (advice, speech, air);
  add_season (advice, speech, outcome, air);
  if (now == SL_AIR_TOO_DRY || now == SL_AIR_TOO_DAMP)
    say (advice, "%s", sl_air_advice (now));
  say (
      advice,
      now == SL_AIR_DAMP || now == SL_AIR_TOO_DAMP
          ? _ ("Keep it at %1$s to %2$s: in its case, with something that takes up moisture, away from outer walls and "
               "open windows.")
      : now == SL_AIR_DRY || now == SL_AIR_TOO_DRY
          ? _ ("Keep it at %1$s to %2$s: in its case, with something that gives off moisture, away from heaters and "
               "stoves.")
          : _ ("Keep it at %1$s to %2$s relative humidity, in its case when it is not played, away from heaters and "
               "open windows."),
      least, most);
}

GPtrArray *
sl_explain_care (const SlOutcome *outcome, const SlSpeech *speech)
{
  GPtrArray *advice = g_ptr_array_new_with_free_func (g_free);
  Air air = find_air (outcome->profile);

  add_humidity (advice, speech, outcome, &air);
  say (advice, "%s", _ ("After playing, wipe strings, frets and the back of the neck with a dry cloth."));
  say (advice, "%s",
       _ ("Change strings when they sound dull or feel rough, and stay with these thicknesses and this tuning: nut, "
          "neck "
          "and saddle are set for their pull."));
  say (advice, "%s",
       air.n > 0 && air.most.humidity - air.least.humidity >= HUMIDITY_SWING
           ? _ ("Come back in about half a year, when the season has changed, or at once if a string rattles or feels "
                "higher.")
           : _ ("Come back in about a year, or at once if a string rattles or feels higher."));
  return advice;
}
