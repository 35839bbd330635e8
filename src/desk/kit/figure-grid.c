/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/figure-grid.h"

#include "desk/kit/cells.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* Names for assistive technology follow when the figures have stood still this long. */
#define NAME_MS 250

struct _SlFigureGrid
{
  GtkGrid parent_instance;

  const SlColumn *columns;
  guint n_columns, n_rows;
  GtkWidget **heads; /* owned array of borrowed cells */
  GtkWidget **cells; /* the same, row by row; NULL where a control stands */
  gboolean *unnamed; /* owned array: whose figure is not yet in its name */
  guint name_id;
};

G_DEFINE_FINAL_TYPE (SlFigureGrid, sl_figure_grid, GTK_TYPE_GRID)

static const char *
title_of (const SlColumn *column)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "column", column->title);
}

static GtkWidget *
new_cell (SlFigureGrid *self, guint column, int row)
{
  GtkWidget *cell =
      sl_cell_new (GTK_WIDGET (self), (int) column, row, self->columns[column].chars, column == 0 ? 0.0f : 1.0f, NULL);

  gtk_widget_set_valign (cell, GTK_ALIGN_CENTER);
  return cell;
}

/* A heading is a label, so that its column is at least as wide as its title in any language. */
static GtkWidget *
new_head (SlFigureGrid *self, guint column)
{
  const SlColumn *heading = &self->columns[column];
  GtkWidget *head = gtk_label_new (title_of (heading));

  gtk_label_set_xalign (GTK_LABEL (head), column == 0 || heading->chars == 0 ? 0.0f : 1.0f);
  gtk_label_set_justify (GTK_LABEL (head), column == 0 || heading->chars == 0 ? GTK_JUSTIFY_LEFT : GTK_JUSTIFY_RIGHT);
  gtk_widget_set_valign (head, GTK_ALIGN_END);
  gtk_widget_add_css_class (head, "sl-cell");
  gtk_widget_add_css_class (head, "sl-dim");
  if (heading->help != NULL)
    gtk_widget_set_tooltip_text (head, g_dpgettext2 (GETTEXT_PACKAGE, "column", heading->help));
  gtk_grid_attach (GTK_GRID (self), head, (int) column, 0, 1, 1);
  return head;
}

static gboolean
name_cells (gpointer data)
{
  SlFigureGrid *self = data;

  self->name_id = 0;
  for (guint row = 0; row < self->n_rows; row++)
    for (guint column = 1; column < self->n_columns; column++)
      {
        GtkWidget *cell = self->cells[row * self->n_columns + column], *first = self->cells[row * self->n_columns];
        g_autofree char *name = NULL;

        if (cell == NULL || !self->unnamed[row * self->n_columns + column])
          continue;
        self->unnamed[row * self->n_columns + column] = FALSE;
        /* Translators: row of a table, column, figure */
        name = g_strdup_printf (_ ("%s, %s: %s"), gtk_inscription_get_text (GTK_INSCRIPTION (first)),
                                gtk_label_get_text (GTK_LABEL (self->heads[column])),
                                gtk_inscription_get_text (GTK_INSCRIPTION (cell)));
        g_strdelimit (name, "\n", ' ');
        sl_set_accessible_label (cell, name);
      }
  return G_SOURCE_REMOVE;
}

static void
unname (SlFigureGrid *self, guint row, guint column)
{
  self->unnamed[row * self->n_columns + column] = TRUE;
}

static void
name_soon (SlFigureGrid *self)
{
  g_clear_handle_id (&self->name_id, g_source_remove);
  self->name_id = g_timeout_add (NAME_MS, name_cells, self);
}

gboolean
sl_figure_grid_set_rows (SlFigureGrid *self, guint n_rows)
{
  if (self->cells != NULL && self->n_rows == n_rows)
    return FALSE;
  for (guint i = 0; i < self->n_rows; i++)
    gtk_grid_remove_row (GTK_GRID (self), 1);
  g_free (self->cells);
  g_free (self->unnamed);
  self->n_rows = n_rows;
  self->cells = g_new0 (GtkWidget *, n_rows * self->n_columns + 1);
  self->unnamed = g_new0 (gboolean, n_rows * self->n_columns + 1);
  for (guint row = 0; row < n_rows; row++)
    for (guint column = 0; column < self->n_columns; column++)
      if (self->columns[column].chars > 0)
        self->cells[row * self->n_columns + column] = new_cell (self, column, (int) row + 1);
  return TRUE;
}

void
sl_figure_grid_set (SlFigureGrid *self, guint row, guint column, const char *text)
{
  GtkInscription *cell = (GtkInscription *) self->cells[row * self->n_columns + column];

  if (cell == NULL || g_strcmp0 (gtk_inscription_get_text (cell), text) == 0)
    return;
  gtk_inscription_set_text (cell, text);
  unname (self, row, column);
  for (guint other = 1; column == 0 && other < self->n_columns; other++)
    unname (self, row, other);
  name_soon (self);
}

void
sl_figure_grid_take (SlFigureGrid *self, guint row, guint column, char *text)
{
  sl_figure_grid_set (self, row, column, text);
  g_free (text);
}

/* The control where one was put; NULL where a control is still to come. */
static GtkWidget *
cell_or_control (SlFigureGrid *self, guint row, guint column)
{
  return gtk_grid_get_child_at (GTK_GRID (self), (int) column, (int) row + 1);
}

void
sl_figure_grid_set_class (SlFigureGrid *self, guint row, guint column, const char *css_class, gboolean on)
{
  GtkWidget *cell = cell_or_control (self, row, column);

  if (cell != NULL)
    sl_set_class (cell, css_class, on);
}

void
sl_figure_grid_put (SlFigureGrid *self, guint row, guint column, GtkWidget *control)
{
  gtk_grid_attach (GTK_GRID (self), control, (int) column, (int) row + 1, 1, 1);
}

void
sl_figure_grid_show_column (SlFigureGrid *self, guint column, gboolean shown)
{
  gtk_widget_set_visible (self->heads[column], shown);
  for (guint row = 0; row < self->n_rows; row++)
    {
      GtkWidget *cell = cell_or_control (self, row, column);

      if (cell != NULL)
        gtk_widget_set_visible (cell, shown);
    }
}

void
sl_figure_grid_set_chars (SlFigureGrid *self, guint column, guint chars)
{
  for (guint row = 0; row < self->n_rows && self->columns[column].chars > 0; row++)
    {
      GtkInscription *cell = GTK_INSCRIPTION (self->cells[row * self->n_columns + column]);

      gtk_inscription_set_min_chars (cell, chars);
      gtk_inscription_set_nat_chars (cell, chars);
    }
}

void
sl_figure_grid_set_unit (SlFigureGrid *self, guint column, const char *unit)
{
  const char *title = title_of (&self->columns[column]);
  g_autofree char *text =
      unit == NULL ? g_strdup (title) : g_strdup_printf (C_ ("column title and unit", "%s, %s"), title, unit);

  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (self->heads[column])), text) == 0)
    return;
  gtk_label_set_text (GTK_LABEL (self->heads[column]), text);
  for (guint row = 0; row < self->n_rows; row++)
    unname (self, row, column);
  name_soon (self);
}

static void
sl_figure_grid_dispose (GObject *object)
{
  g_clear_handle_id (&SL_FIGURE_GRID (object)->name_id, g_source_remove);
  G_OBJECT_CLASS (sl_figure_grid_parent_class)->dispose (object);
}

static void
sl_figure_grid_finalize (GObject *object)
{
  SlFigureGrid *self = SL_FIGURE_GRID (object);

  g_free (self->heads);
  g_free (self->cells);
  g_free (self->unnamed);
  G_OBJECT_CLASS (sl_figure_grid_parent_class)->finalize (object);
}

static void
sl_figure_grid_class_init (SlFigureGridClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_figure_grid_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_figure_grid_finalize;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_figure_grid_init (SlFigureGrid *self)
{
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-figures");
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_START);
  gtk_widget_set_halign (GTK_WIDGET (self), GTK_ALIGN_START);
  gtk_grid_set_column_spacing (GTK_GRID (self), 4);
}

GtkWidget *
sl_figure_grid_new (const SlColumn *columns, guint n_columns, const char *name)
{
  SlFigureGrid *self = g_object_new (SL_TYPE_FIGURE_GRID, NULL);

  self->columns = columns;
  self->n_columns = n_columns;
  self->heads = g_new0 (GtkWidget *, n_columns);
  for (guint column = 0; column < n_columns; column++)
    self->heads[column] = new_head (self, column);
  sl_set_accessible_label (GTK_WIDGET (self), name);
  return GTK_WIDGET (self);
}
