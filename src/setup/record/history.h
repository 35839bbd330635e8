/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument's history: every reading set of every visit as measured, with its uncertainties, and what the seasons
 * did to it (model 11). */
#pragma once

#include "setup/physics/figures.h"
#include "setup/wood/trend.h"

/* What is followed over time. */
typedef enum
{
  SL_HISTORY_ACTION, /* open at fret 12 */
  SL_HISTORY_RELIEF,
  SL_HISTORY_FIRST_GAP,
  SL_HISTORY_EXPOSURE,
  SL_HISTORY_MOISTURE, /* of the whole instrument; no string */
  SL_N_HISTORIES
} SlHistoryKind;

typedef struct
{
  guint visit_index;       /* from 0, in document order */
  const SlVisit *visit;    /* borrowed from the profile */
  const SlReadingSet *set; /* borrowed */
  gint64 time;             /* of the readings, seconds since 1970 UTC */
  int n_strings;
  SlFigure action[SL_MAX_STRINGS], relief[SL_MAX_STRINGS], first_gap[SL_MAX_STRINGS], exposure[SL_MAX_STRINGS];
  SlFigure tongue, moisture;
  double temperature, humidity; /* NAN where not read */
  guint work[SL_N_HISTORIES];   /* how often work before these readings, since the first, has moved this figure */
} SlHistoryPoint;

/* All sets in order of time; free with g_array_unref(). The profile must outlive it. */
GArray *sl_history_new (const SlProfile *profile, const SlShop *shop);

/* One figure of a point; @string from 1, ignored for the moisture content. Its value is NAN where it can't be
 * given. */
const SlFigure *sl_history_figure (const SlHistoryPoint *point, SlHistoryKind kind, int string);

/* The line of a figure against moisture content, over all sets whose figures belong to their air (sl_air_tells()) in
 * which the figure was read, not assumed; work done between two sets begins a new group. @trend is filled where the
 * result is SL_TREND_FOUND. */
SlTrendResult sl_history_trend (const GArray *history, SlHistoryKind kind, int string, SlTrend *trend);

/* An analysis to draw two reading sets over each other: the first as measured, the second where the plan's outcome
 * stands else, with nothing planned to come off. Points of one history of @profile, which must outlive it; large: keep
 * it on the heap. Clear with sl_analysis_clear(). */
void sl_history_compare (const SlProfile *profile, const SlHistoryPoint *first, const SlHistoryPoint *second,
                         const SlShop *shop, SlAnalysis *out);

/* By the instrument's own readings in other air: foretells the action of the outer strings in the middle of the band,
 * at the temperature of @set, from the line of action against moisture content (model 11) through the sets of @profile
 * up to @set. Fills @air, which is of @set, where it is a gate, and where three sets or more give a line that reaches
 * there; else leaves it as it is. Works out the whole history: not for every recompute. */
void sl_air_foretell (const SlProfile *profile, const SlReadingSet *set, const SlShop *shop, SlAirFound *air);
