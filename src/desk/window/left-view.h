/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that was left unsaved, offered: as rows of the start page, and whole in a window of its own. What is to be done
 * with it are the actions "win.keep-left", "win.compare-left" and "win.discard-left" of the window around it or behind
 * it, with the journal's path. */
#pragma once

#include "desk/window/left-work.h"

#include <gtk/gtk.h>

/* Fills @box, which has a heading and is hidden, with a row for all that was left. */
void sl_left_rows_fill (GtkWidget *box);

/* A window with all differences, and the side view of both versions one over the other. Takes @left. */
GtkWidget *sl_left_window_new (GtkWindow *parent, SlLeftWork *left);
