/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How an instrument is built decides which work can be done to it: one table, a row a construction, that the check of a
 * document, the plan, the drawing and what is asked go by (model 6.6). */
#pragma once

#include "setup/profile/bounds.h"

/* How the height of a saddle is set. */
typedef struct
{
  SlOperationKind work; /* that sets it; SL_N_OPS: none does */
  gboolean goes_up;     /* it can be put back: nothing comes off, so there is no gate and no first pass */
  gboolean single;      /* string by string, with @work or beside it with SL_OP_SHAPE_CREST */
  gboolean has_screws;  /* a pitch tells its amount in turns */
} SlSaddleTraits;

extern const SlSaddleTraits sl_saddles[SL_N_ADJUSTS]; /* of what sl_saddle_adjust() says */

/* How a profile's saddle is set, by what is given of it; and its bridge: nothing given is a pinned one, or a floating
 * one where its saddle stands on wheels. Never the default. */
SlSaddleAdjust sl_saddle_adjust (const SlProfile *profile);
SlBridgeKind sl_bridge_kind (const SlProfile *profile);

/* The operations that an instrument built so has, a bit, 1 << SlOperationKind, for each. */
guint sl_work_there_is (const SlProfile *profile);

/* After a change at @changed in a profile that had @work: takes out what no longer goes with it, which is springs
 * without a tremolo, wheels under another bridge (or the other bridge, where the wheels are what changed), and
 * operations still to do that the instrument has no longer. Returns those, a bit for each kind. */
guint sl_settle_construction (SlProfile *profile, guint work, const void *changed);

/* Adds what can't be of the construction itself: wheels on a bridge that is no floating one, springs without a tremolo,
 * a square fret beyond the last, more courses than strings… */
void sl_check_construction (GPtrArray *faults, const SlProfile *profile);

/* Adds what an operation asks of a construction that hasn't it. What is done is a record, and stays. */
void sl_check_work_there_is (GPtrArray *faults, const SlProfile *profile, const SlOperation *operation);

/* The course (from 1, the treble's) a string lies in: where the strings don't share out evenly, those on the bass side
 * have one more. Without courses each string is one. */
int sl_course_of (const SlProfile *profile, int string);
