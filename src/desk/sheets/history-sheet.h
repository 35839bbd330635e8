/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The history sheet: every reading set of every visit as charts over time, and two of them compared: in the side view,
 * one drawn over the other, and in a table beside it. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

GtkWidget *sl_history_sheet_new (SlBench *bench);
