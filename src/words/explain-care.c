/* SPDX-License-Identifier: GPL-3.0-or-later
 */
#include "words/care.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/wood/climate.h"
#include "setup/record/history.h"
#include "words/dates.h"

#define HUMIDITY_SWING 15.0 /* % RH between readings that is worth a word: our own choice */

/* What the instrument's reading sets say of the air it lives in. */
typedef struct
{
  int n;
  double least, most, last;
  const char *least_date, *most_date, *last_date;
  double moisture_least, moisture_most; /* % by mass; NAN where no temperature was read */
} Air;

static void
add_set (Air *air, const SlReadingSet *set)
{
  double moisture = sl_number_is_set (set->temperature) && sl_number_is_set (set->humidity)
                        ? sl_moisture_content (set->temperature.v, set->humidity.v)
                        : NAN;

  if (!sl_number_is_set (set->humidity))
    return;
  if (air->n == 0 || set->humidity.v < air->least)
    {
      air->least = set->humidity.v;
      air->least_date = set->taken;
      air->moisture_least = moisture;
    }
  if (air->n == 0 || set->humidity.v > air->most)
    {
      air->most = set->humidity.v;
      air->most_date = set->taken;
      air->moisture_most = moisture;
    }
  air->last = set->humidity.v;
  air->last_date = set->taken;
  air->n++;
}

static Air
find_air (const SlProfile *profile)
{
  Air air = { .n = 0, .moisture_least = NAN, .moisture_most = NAN };

  for (guint i = 0; i < profile->visits->len; i++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, i);

      for (guint k = 0; k < visit->sets->len; k++)
        add_set (&air, &g_array_index (visit->sets, SlReadingSet, k));
    }
  return air;
}

static char *
percent_text (const SlSpeech *speech, double percent)
{
  g_autofree char *number = sl_plain_format (percent, 0, speech->style.decimal);

  /* Translators: a percentage */
  return g_strdup_printf (C_ ("percentage", "%s %%"), number);
}

static void
add_history (GPtrArray *advice, const SlSpeech *speech, const Air *air)
{
  g_autofree char *last = percent_text (speech, air->last), *least = percent_text (speech, air->least),
                  *most = percent_text (speech, air->most);
  g_autofree char *last_date = sl_date_text (air->last_date), *least_date = sl_date_text (air->least_date),
                  *most_date = sl_date_text (air->most_date);

  if (air->n == 0)
    return;
  if (air->most - air->least < HUMIDITY_SWING)
    g_ptr_array_add (advice, g_strdup_printf (_ ("The air was at %1$s relative humidity when it was read on %2$s."),
                                              last, last_date));
  else if (isnan (air->moisture_least) || isnan (air->moisture_most))
    g_ptr_array_add (
        advice, g_strdup_printf (_ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s): wood "
                                    "swells and shrinks between the two, and the strings rise and fall with it."),
                                 least, least_date, most, most_date));
  else
    {
      g_autofree char *dry = sl_plain_format (air->moisture_least, 0, speech->style.decimal),
                      *wet = sl_plain_format (air->moisture_most, 0, speech->style.decimal);

      g_ptr_array_add (
          advice,
          g_strdup_printf (
              _ ("It has been read in air from %1$s relative humidity (%2$s) to %3$s (%4$s). Left there, its wood "
                 "holds %5$s to %6$s %% of water; it swells and shrinks with that, and the strings rise and fall."),
              least, least_date, most, most_date, dry, wet));
    }
}

/* What the seasons did to the lowest string, where the readings tell it from no change at all. */
static void
add_season (GPtrArray *advice, const SlSpeech *speech, const SlOutcome *outcome, const Air *air)
{
  const SlProfile *profile = outcome->profile;
  g_autoptr (GArray) history = sl_history_new (profile, &outcome->after->shop);
  double span = air->moisture_most - air->moisture_least, change;
  SlTrend trend;

  if (air->n == 0 || !(span > 0) ||
      sl_history_trend (history, SL_HISTORY_ACTION, profile->n_strings, &trend) != SL_TREND_FOUND)
    return;
  change = trend.slope * span;
  if (fabs (change) <= trend.coverage * sqrt (trend.cov_ss) * span)
    return;
  g_autofree char *by = sl_text_length_unit (&speech->style, fabs (change));
  if (change > 0)
    g_ptr_array_add (advice, g_strdup_printf (_ ("By its own readings the lowest string is about %s higher in the "
                                                 "dampest of this air than in the driest."),
                                              by));
  else
    g_ptr_array_add (advice, g_strdup_printf (_ ("By its own readings the lowest string is about %s lower in the "
                                                 "dampest of this air than in the driest."),
                                              by));
}

static void
add_humidity (GPtrArray *advice, const SlSpeech *speech, const SlOutcome *outcome, const Air *air)
{
  const SlKeeping keeping = speech->keeping.most > 0 ? speech->keeping : SL_KEEPING_DEFAULT;
  const SlAir now = air->n > 0 ? sl_air (&keeping, air->last) : SL_AIR_GOOD;
  g_autofree char *least = sl_plain_format (keeping.least, 0, speech->style.decimal),
                  *most = percent_text (speech, keeping.most);

  add_history (advice, speech, air);
  add_season (advice, speech, outcome, air);
  if (now == SL_AIR_TOO_DRY || now == SL_AIR_TOO_DAMP)
    g_ptr_array_add (advice, g_strdup (sl_air_advice (now)));
  if (now == SL_AIR_DAMP || now == SL_AIR_TOO_DAMP)
    g_ptr_array_add (advice, g_strdup_printf (_ ("Keep it at %1$s to %2$s: in its case, with something that takes up "
                                                 "moisture, away from outer walls and open windows."),
                                              least, most));
  else if (now == SL_AIR_DRY || now == SL_AIR_TOO_DRY)
    g_ptr_array_add (advice, g_strdup_printf (_ ("Keep it at %1$s to %2$s: in its case, with something that gives off "
                                                 "moisture, away from heaters and stoves."),
                                              least, most));
  else
    g_ptr_array_add (advice, g_strdup_printf (_ ("Keep it at %1$s to %2$s relative humidity, in its case when it is "
                                                 "not played, away from heaters and open windows."),
                                              least, most));
}

GPtrArray *
sl_explain_care (const SlOutcome *outcome, const SlSpeech *speech)
{
  GPtrArray *advice = g_ptr_array_new_with_free_func (g_free);
  Air air = find_air (outcome->profile);

  add_humidity (advice, speech, outcome, &air);
  g_ptr_array_add (advice,
                   g_strdup (_ ("After playing, wipe strings, frets and the back of the neck with a dry cloth.")));
  g_ptr_array_add (advice, g_strdup (_ ("Change strings when they sound dull or feel rough, and stay with these "
                                        "thicknesses and this tuning: nut, neck and saddle are set for their pull.")));
  if (air.n > 0 && air.most - air.least >= HUMIDITY_SWING)
    g_ptr_array_add (advice, g_strdup (_ ("Come back in about half a year, when the season has changed, or at once if "
                                          "a string rattles or feels higher.")));
  else
    g_ptr_array_add (advice,
                     g_strdup (_ ("Come back in about a year, or at once if a string rattles or feels higher.")));
  return advice;
}
