/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which frets are replaced, and by what wire: the first and last fret, and width and height of the new crowns where
 * they are not those of the instrument. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_replace_row_new (SlBench *bench);

/* Shows what is planned now; hidden while nothing is. */
void sl_replace_row_update (GtkWidget *row);
