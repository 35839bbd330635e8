/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The card of the bench steps: work that changes no figure (settling, re-crowning, new strings …), each with a tick for
 * done, and a menu that adds one. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* It follows the bench. */
GtkWidget *sl_bench_steps_new (SlBench *bench);
