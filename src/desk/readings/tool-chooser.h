/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which of the shop's tools a kind of reading is taken with in the readings that are shown: chosen by name, kept by its
 * figures. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_TOOL_CHOOSER (sl_tool_chooser_get_type ())
G_DECLARE_FINAL_TYPE (SlToolChooser, sl_tool_chooser, SL, TOOL_CHOOSER, GtkWidget)

/* Signal: "chosen", after the person chose one. @kind −1: none is used, and the chooser is hidden. */
GtkWidget *sl_tool_chooser_new (SlBench *bench, int kind);
void sl_tool_chooser_set_kind (SlToolChooser *self, int kind);

/* The figures in force for the kind: "steps of 0.02 mm, within 0.01 mm". Free with g_free(). */
char *sl_tool_chooser_figures (SlToolChooser *self);
