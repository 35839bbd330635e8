/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table "What it does": before, after and target of each figure with its ±, a mark of our own shape and a word for
 * how it compares. Rows are labels that change their text as the work moves; each row's accessible name says it whole.
 */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_results_table_new (SlBench *bench);
