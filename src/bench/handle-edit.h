/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What moving a handle of the side view does to the plan: the crest does what sets this saddle's height, such as
 * cutting its base, turning height screws or posts; the neck's middle turns the rod; the slot is lowered. Amounts are
 * kept inside their bounds and in hundredths of a millimetre. No GTK here. */
#pragma once

#include "bench/bench.h"
#include "draw/base/picture.h"

#define SL_HANDLE_STEP_MM 0.01

/* A handle being dragged: what was planned when the drag began. */
typedef struct
{
  SlOperationKind operation;
  int string;                    /* shown, 0 for all */
  double amount[SL_MAX_STRINGS]; /* by string where the operation is one for a string, else in the first */
  double treble;
  double lean_rad; /* of the saddle */
} SlGrip;

/* Which operation a handle changes on this instrument; SL_N_OPS: none. Whether there is such a handle: not where the
 * instrument is built so that nothing can be done there. */
SlOperationKind sl_handle_operation (SlBench *bench, SlHandleKind handle);
gboolean sl_handle_is_there (SlBench *bench, SlHandleKind handle);

/* Begins a drag; the undo step's name is sl_operation_undo_name() of its operation. */
void sl_handle_begin (SlBench *bench, SlHandleKind handle, SlGrip *grip);

/* Sets the plan so that the handle is @up_mm above where the drag began. */
void sl_handle_move (SlBench *bench, const SlGrip *grip, double up_mm);

/* What is planned at a handle: "saddle: 0.70 mm bass, 0.50 mm treble off the underside". Free with g_free(). */
char *sl_handle_describe (SlBench *bench, SlHandleKind handle);
