/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A reading run: one reading at a time, large, with where the tool goes. Enter, a gauge that types its reading and
 * Enter, or a pedal that sends a key take it in and move on; a reading can be skipped, gone back to, and repeated.
 * Order and contents follow the kind of instrument as the shop keeps them (readings-question.h). A value that looks
 * like inches typed as millimetres, or the other way round, is asked about before it is taken. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* A window over @parent. Where work was done since the readings that are shown, a new set is begun and only what the
 * work changes most is asked; else all that is usual for the instrument. */
void sl_reading_run_present (GtkWindow *parent, SlBench *bench);

/* The same for the questions in @asked, an array of SlReading: a new set is begun for them. NULL or empty: all that is
 * usual. */
void sl_reading_run_present_asking (GtkWindow *parent, SlBench *bench, const GArray *asked);
