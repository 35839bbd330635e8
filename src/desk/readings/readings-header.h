/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The head of the readings column: stage and date of the reading set, the air it was read in and the wood's moisture
 * content in that air; and what can be done with the set as a whole. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_READINGS_HEADER (sl_readings_header_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingsHeader, sl_readings_header, SL, READINGS_HEADER, GtkBox)

GtkWidget *sl_readings_header_new (SlBench *bench);
void sl_readings_header_update (SlReadingsHeader *self);
