/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A planned base cut end by end: its bars, the first pass in words, and the button that ticks it off. A bar is solid
 * what is safe to take first, hatched what is left for after the next reading, and has the cut's U as a whisker about
 * its end. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_CUT_PASSES (sl_cut_passes_get_type ())
G_DECLARE_FINAL_TYPE (SlCutPasses, sl_cut_passes, SL, CUT_PASSES, GtkBox)

GtkWidget *sl_cut_passes_new (SlBench *bench);

/* Shows the cut of @plan, which may be NULL; hidden while there is none. */
void sl_cut_passes_update (SlCutPasses *self, const GArray *plan);
