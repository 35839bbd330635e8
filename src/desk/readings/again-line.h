/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * After work is done: the readings it changes most, the most changed first, and a button that reads just those. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* For the work of one kind, or of all (SL_N_OPS). Hidden while there is nothing to read. */
GtkWidget *sl_again_line_new (SlBench *bench, SlOperationKind kind);

/* Shows the bench as it is now. */
void sl_again_line_update (GtkWidget *line);
