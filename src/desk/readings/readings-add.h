/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * "Add a reading…": a popover that asks for kind, string, fret and what the string is held at, so that any reading of
 * the model can be entered. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"

#define SL_TYPE_READINGS_ADD (sl_readings_add_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingsAdd, sl_readings_add, SL, READINGS_ADD, GtkBox)

/* Signal: "question" (gpointer const SlQuestion *) when one is chosen; valid during the signal only. */
GtkWidget *sl_readings_add_new (SlBench *bench);
