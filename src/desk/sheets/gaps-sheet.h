/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of gaps: every string over every fret, open or held where the bench holds it, as measured or as planned,
 * its gap or its margin; the least margin of each string with its place, and its lowest clean action. The arrow keys
 * move a cell cursor; a line below says that cell's gap, swing and margin. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_gaps_sheet_new (SlBench *bench);
