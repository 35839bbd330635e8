/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The right region of the window: a card for each operation in the order of work, before each what can't be met or
 * should be read again first, the bench steps, and the table of what they do. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* Give it a scrolled window that scrolls it up and down. */
GtkWidget *sl_work_column_new (SlBench *bench);

/* Gives the keyboard to the amount of the next card that has work to do, or of the one before it; ticks off the work of
 * the card that has the keyboard. */
void sl_work_column_jump (GtkWidget *column, gboolean back);
void sl_work_column_tick (GtkWidget *column);
