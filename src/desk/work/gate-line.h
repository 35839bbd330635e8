/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What keeps an operation from being done yet: why, what opens it, and the button that passes it on purpose. And those
 * that were passed, which stay in sight with a way to take that back. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_gate_line_new (SlBench *bench);

/* Shows what keeps @operation with its @pass; hidden where nothing does. @told: a gate that is told at length above. */
void sl_gate_line_update (GtkWidget *line, const SlOperation *operation, const SlPass *pass, gboolean told);

/* The gates of the visit that were passed on purpose; hidden where none was. It follows the bench. */
GtkWidget *sl_passed_gates_new (SlBench *bench);
