/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A visit from its two ends: the instrument as it was received and as it goes home. What goes home is what the visit's
 * final readings say; without any it is what the plan foresees, and is called that wherever it shows. */
#pragma once

#include "setup/physics/figures.h"

typedef struct
{
  const SlProfile *profile;  /* borrowed; outlives the outcome */
  const SlVisit *visit;      /* NULL: the profile has none */
  const SlReadingSet *first; /* the readings of the instrument as received; NULL: none, or only final ones */
  const SlReadingSet *final; /* NULL: none, the outcome is as planned */
  gboolean as_planned;
  gboolean has_plan; /* as planned: something is still planned since the last readings */
  SlInstrument instrument;
  SlAnalysis *before,
      *after; /* of first (of nothing read where NULL) and of final, or of the last readings where as planned */
  const SlState *before_state, *after_state;
  const SlFigures *before_figures, *after_figures;
} SlOutcome;

/* Of a visit of the profile (NULL: its last). Clear with sl_outcome_clear(). */
void sl_outcome_init (SlOutcome *outcome, const SlProfile *profile, const SlVisit *visit, const SlShop *shop);
void sl_outcome_clear (SlOutcome *outcome);

/* An analysis to draw the state a share @t of the way from before to after, with nothing planned and nothing to come
 * off. @out borrows from the outcome and needs no clearing; it is large: keep it on the heap. */
void sl_outcome_blend (const SlOutcome *outcome, double t, SlAnalysis *out);

/* The same with before kept as what was measured and the blend in the plan's place: a picture of it shows where it came
 * from. Without readings to start from, or with nothing to change, just the blend. */
void sl_outcome_change (const SlOutcome *outcome, double t, SlAnalysis *out);

/* Whether there is a before and an after to show. */
gboolean sl_outcome_has_change (const SlOutcome *outcome);

/* Relief, first gaps, actions and exposures of all strings as a table for spreadsheets, in millimetres and the C
 * locale, its columns parted by @separator: received, final or planned, target. Free with g_free(). */
char *sl_outcome_table (const SlOutcome *outcome, char separator);

/* The day the outcome stands for, ISO 8601: the visit's closing, else the last readings', else its opening; NULL
 * without a visit. Borrowed. */
const char *sl_outcome_date (const SlOutcome *outcome);
