/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * "Add a reading…": a popover that asks for kind, string, fret and what the string is held at, so that any reading of
 * the model can be entered. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"

typedef void (*SlQuestionChosen) (gpointer owner, const SlQuestion *question);

GtkWidget *sl_readings_add_new (SlBench *bench, SlQuestionChosen chosen, gpointer owner);
