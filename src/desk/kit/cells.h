/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Cells of the sheets' tables: figures that keep their place and size while their text changes, so that a table can
 * follow a drag. Setting what already is costs nothing. */
#pragma once

#include <gtk/gtk.h>

/* An inscription attached to @grid, with room for @chars characters of average width; @css_class may be NULL. Borrowed:
 * the grid owns it. */
GtkWidget *sl_cell_new (GtkWidget *grid, int column, int row, guint chars, float xalign, const char *css_class);
void sl_cell_set (GtkWidget *cell, const char *text);

/* Takes everything out of @grid. */
void sl_grid_empty (GtkWidget *grid);
