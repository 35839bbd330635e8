/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A planned base cut end by end: its bars, the first pass in words, and the button that ticks it off. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_CUT_PASSES (sl_cut_passes_get_type ())
G_DECLARE_FINAL_TYPE (SlCutPasses, sl_cut_passes, SL, CUT_PASSES, GtkBox)

GtkWidget *sl_cut_passes_new (SlBench *bench);

/* Shows the bench as it is now; hidden while no cut is planned. */
void sl_cut_passes_update (SlCutPasses *self);
