/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of frets: crown gaps and crown heights entered in one row of frets each (Enter goes on, blank is not read),
 * the crowns as they are and as levelled above, and below each fret what comes off, the land to re-crown, what is
 * left and a word. Levelling is put into the plan here; where frets would be past saving, what new ones in their place
 * would do instead. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_frets_sheet_new (SlBench *bench);
