/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of pitch: what the tuner reads, typed string by string; where each crest stands and should stand; the cents
 * the model expects of every fret; beside them the picture of all that. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_pitch_sheet_new (SlBench *bench);
