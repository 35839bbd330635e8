/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What of a planned cut may come off at once: its bars, the first pass in words, and the button that ticks it off. The
 * saddle's underside has a bar for each end; work done string by string has one for the string that is looked at. A bar
 * is solid what is safe to take first, hatched what is left for after the next reading, and has the cut's U as a
 * whisker about its end. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_cut_passes_new (SlBench *bench, SlOperationKind kind);

/* Shows what the visit's plan has of the kind, at @string where it is done string by string; hidden while there is
 * none.
 */
void sl_cut_passes_update (GtkWidget *box, int string);
