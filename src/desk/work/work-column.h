/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The right region of the window: a card for each operation in the order of work, before each what can't be met or
 * should be read again first, the bench steps, and the table of what they do. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* Give it a scrolled window that scrolls it up and down. */
GtkWidget *sl_work_column_new (SlBench *bench);
