/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The history sheet: every reading set of every visit as charts over time, two of them side by side in words, and how the figures differ from the
 * baseline. */
#pragma once

#include "desk/bench.h"

#include <gtk/gtk.h>

GtkWidget *sl_history_sheet_new (SlBench *bench);
