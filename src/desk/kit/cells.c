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
sl_label_set (GtkWidget *label, const char *text)
{
  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (label)), text) != 0)
    gtk_label_set_text (GTK_LABEL (label), text);
}

void
sl_set_class (GtkWidget *widget, const char *css_class, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (widget, css_class);
  else
    gtk_widget_remove_css_class (widget, css_class);
}

void
sl_grid_empty (GtkWidget *grid)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (grid)) != NULL)
    gtk_grid_remove (GTK_GRID (grid), child);
}

GtkWidget *
sl_segments_new (const char *name, GtkWidget **first, const char *first_label, GtkWidget **second,
                 const char *second_label)
{
  GtkWidget *segments = g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_GROUP, NULL);

  *first = gtk_toggle_button_new_with_label (first_label);
  *second = gtk_toggle_button_new_with_label (second_label);
  gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (*first), GTK_TOGGLE_BUTTON (*second));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (*first), TRUE);
  sl_set_accessible_label (segments, name);
  gtk_widget_add_css_class (segments, "linked");
  gtk_widget_add_css_class (segments, "sl-segments");
  gtk_box_append (GTK_BOX (segments), *first);
  gtk_box_append (GTK_BOX (segments), *second);
  return segments;
}
