/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tools of a reading set: which of the shop's a kind of reading is taken with, chosen by name and kept by its
 * figures; and the figures themselves, for a group of readings. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"

typedef void (*SlToolChosen) (gpointer owner);

/* A drop-down of the tools for a kind, which may be −1: none is used, and the chooser is hidden. @chosen is called
 * after the person chose one; may be NULL. */
GtkWidget *sl_tool_chooser_new (SlBench *bench, int kind, SlToolChosen chosen, gpointer owner);
void sl_tool_chooser_set_kind (GtkWidget *chooser, int kind);

/* The figures in force for the kind: "steps of 0.02 mm, within 0.01 mm". Free with g_free(). */
char *sl_tool_chooser_figures (GtkWidget *chooser);

/* A small button at a group's heading whose popover holds the resolution and error limit of each tool that measures its
 * readings, or NULL where there is none. It follows the bench while it is open. */
GtkWidget *sl_readings_tools_new (SlBench *bench, SlQuestionGroup group);
