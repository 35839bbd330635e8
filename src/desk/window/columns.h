/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window's columns: readings, drawing and work side by side; where there is too little room for three, two, and the
 * work in a drawer that takes the place of the readings. The side columns widen with the room and with the text, until
 * a divider is moved by hand. */
#pragma once

#include <gtk/gtk.h>

typedef struct
{
  GtkWidget *box;             /* lays out @regions, its only child */
  GtkWidget *regions, *inner; /* dividers: readings and the rest, drawing and work */
  GtkWidget *readings, *work;
  GtkWidget *drawer;              /* the button that opens the drawer; hidden where there is none */
  GtkWidget *spare, *least_spare; /* what the title bar leaves out in a narrow window, and in a very narrow one */
} SlColumns;

/* Takes a copy. Widgets are the window's. */
void sl_columns_manage (const SlColumns *columns);

/* As a width of @width wants it, before the window is seen; afterwards it follows by itself. */
void sl_columns_arrange (GtkWidget *box, int width);
