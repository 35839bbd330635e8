/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The instruments of the start page, to be opened by a click: each with its name and its side view, small, which a
 * thread draws once the page is there, one after another. */
#pragma once

#include <gtk/gtk.h>

/* One more tile in @grid: of the file at @uri, or where that is NULL of the demonstration profile called @name. */
void sl_start_tile_add (GtkWidget *grid, const char *name, const char *uri);

/* Draws the tiles of @grid, and says on them which files are gone or can't be read. */
void sl_start_tiles_draw (GtkWidget *grid);
