/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A line where an instrument's differences from its baseline would be, if that isn't on the shelf: what is missing, and
 * what would help. Hidden otherwise. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

#define SL_TYPE_BASELINE_NOTE (sl_baseline_note_get_type ())
G_DECLARE_FINAL_TYPE (SlBaselineNote, sl_baseline_note, SL, BASELINE_NOTE, GtkBox)

GtkWidget *sl_baseline_note_new (SlBench *bench);
