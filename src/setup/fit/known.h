/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a state takes from readings as it is, without a fit: crown deviations, setbacks and exposures (model 1.2). Part
 * of the fit; others use fit.h. */
#pragma once

#include "setup/fit/state.h"
#include "setup/fit/tools.h"

/* Fills crowns, setbacks and exposures of @state from a set, on top of what an earlier set of the visit left (@carried,
 * may be NULL): a place read now is as read; between places read now the correction is interpolated. Exposures nobody
 * has read so far are assumed, 3 mm ± 1.5 mm (u). */
void sl_fill_known (const SlInstrument *instrument, const SlReadingSet *set, const SlState *carried, SlState *state);

/* The two read places between which @place lies, nearest one twice outside; FALSE where none is read. @t is the share
 * of the upper one. */
gboolean sl_read_bracket (const gboolean *read, int last, int place, int *below, int *above, double *t);
