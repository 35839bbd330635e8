/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/cells.h"

#include "desk/kit/util.h"

GtkWidget *
sl_cell_new (GtkWidget *grid, int column, int row, guint chars, float xalign, const char *css_class)
{
  GtkWidget *cell = gtk_inscription_new ("");

  gtk_inscription_set_min_chars (GTK_INSCRIPTION (cell), chars);
  gtk_inscription_set_nat_chars (GTK_INSCRIPTION (cell), chars);
  gtk_inscription_set_xalign (GTK_INSCRIPTION (cell), xalign);
  gtk_widget_add_css_class (cell, "sl-cell");
  if (css_class != NULL)
    gtk_widget_add_css_class (cell, css_class);
  gtk_grid_attach (GTK_GRID (grid), cell, column, row, 1, 1);
  return cell;
}

/* An inscription takes new text without asking for a new size, which is what keeps a drag smooth. */
void
sl_cell_set (GtkWidget *cell, const char *text)
{
  if (g_strcmp0 (gtk_inscription_get_text (GTK_INSCRIPTION (cell)), text) != 0)
    gtk_inscription_set_text (GTK_INSCRIPTION (cell), text);
}

void
sl_grid_empty (GtkWidget *grid)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (grid)) != NULL)
    gtk_grid_remove (GTK_GRID (grid), child);
}
