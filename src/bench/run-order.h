/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a reading run asks, and in which order: kinds of reading as a profile spells them, and "temperature" and
 * "humidity". Kept for each kind of instrument. No widgets here. */
#pragma once

#include "bench/kind-lists.h"
#include "bench/readings-question.h"

/* All that can be asked (SlReadingKind and SL_ASK_…), in the order of measuring. */
#define SL_N_RUN_ASKS 10
extern const int sl_run_asks[SL_N_RUN_ASKS];

/* The kinds a run asks of such an instrument, in its order: an array of int. At least one. Free with g_array_unref().
 */
GArray *sl_run_order (SlBridgeKind kind);

/* Keeps an order; NULL, or one as is usual, forgets it. */
void sl_run_order_keep (SlBridgeKind kind, const GArray *order);

/* The questions of a run of this instrument: an array of SlQuestion, free with g_array_unref(). */
GArray *sl_run_questions (const SlProfile *profile);
