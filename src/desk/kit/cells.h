/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Cells of the sheets' tables: figures that keep their place and size while their text changes, so that a table can
 * follow a drag. Setting the same text again costs nothing. */
#pragma once

#include <gtk/gtk.h>

/* An inscription attached to @grid, with room for @chars characters of average width; @css_class may be NULL. Borrowed:
 * the grid owns it. */
GtkWidget *sl_cell_new (GtkWidget *grid, int column, int row, guint chars, float xalign, const char *css_class);
void sl_cell_set (GtkWidget *cell, const char *text);

/* The same for a label, which asks for a new size. */
void sl_label_set (GtkWidget *label, const char *text);

void sl_set_class (GtkWidget *widget, const char *css_class, gboolean on);

/* Takes everything out of @grid. */
void sl_grid_empty (GtkWidget *grid);

/* Two linked buttons of which one is pressed, the group named @name; the first is pressed to start with. */
GtkWidget *sl_segments_new (const char *name, GtkWidget **first, const char *first_label, GtkWidget **second,
                            const char *second_label);
