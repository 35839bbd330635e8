/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several reading sets of one visit as one least-squares problem: the state after a set, carried through the operations
 * done since with its covariance widened by what each operation is uncertain by, stands beside the next set's readings.
 * A visit with one set gives exactly sl_fit(). And what a rod turn that two sets bracket really did. */
#pragma once

#include "setup/profile/shop.h"
#include "setup/work/work.h"

/* What the reading sets around a rod turn say of it: how far the action at 12 went for the relief it took, against the
 * model's even curvature. */
typedef struct
{
  gboolean found;
  int turns;             /* bracketed turns behind it */
  double ratio, ratio_u; /* observed change of action at 12 per change of relief, mean over strings read in both sets;
                            its standard uncertainty */
  double model_ratio;    /* what even curvature says */
  double factor; /* of the model's crest movement that gives the observed ratios, weighed by their uncertainties */
} SlRodBracket;

/* Looks for rod turns done between two reading sets of a visit, up to and including @set. Turns smaller than 0.03 mm of
 * relief, or smaller than their own uncertainty, say nothing; nor do readings that leave the factor less certain than
 * even curvature is taken to be. */
void sl_find_rod_bracket (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set,
                          const SlWorkUncertainty *uncertainty, SlRodBracket *out);

/* What stood after an earlier set of the visit. */
typedef struct
{
  const SlReadingSet *set; /* borrowed from the visit */
  SlState state;
} SlEarlier;

/* The state after @set (one of @visit's, or NULL for no readings), everything read in the visit before it carried
 * along; @uncertainty is of the work between.
 * @instrument's rod factor is set from what the visit observed; @bracket may be NULL, and so may @earlier (of
 * SlEarlier), which gets what stood after each set before @set, oldest first. Where cuts did not do what was noted of
 * them (SlFit.doubt), the crests are taken from the readings rather than from the work. Release with sl_fit_clear(). */
void sl_fit_visit (SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *set,
                   const SlWorkUncertainty *uncertainty, SlRodBracket *bracket, GArray *earlier, SlFit *out);

/* Whether an operation was done after the readings taken at @from and no later than those taken at @to. */
gboolean sl_operation_between (const SlOperation *operation, const char *from, const char *to);

/* Whether one of a visit's operations was, of some kinds (a bit, 1 << SlOperationKind, for each). */
gboolean sl_work_between (const SlVisit *visit, guint kinds, const SlReadingSet *from, const SlReadingSet *to);
