/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A table of figures on a sheet: a heading for each column, a row for each string, and optionally one for all of them.
 * Cells keep their place and size while their text changes, so that figures can follow a drag. Assistive technology
 * reads each figure with the string and the column it stands in. */
#pragma once

#include <gtk/gtk.h>

typedef struct
{
  const char *title; /* untranslated, with context "column" */
  const char *help;  /* untranslated, with context "column"; what it means, as a tooltip; may be NULL */
  guint chars;       /* room, in characters; 0 for columns of controls */
} SlColumn;

#define SL_TYPE_FIGURE_GRID (sl_figure_grid_get_type ())
G_DECLARE_FINAL_TYPE (SlFigureGrid, sl_figure_grid, SL, FIGURE_GRID, GtkGrid)

/* @columns must outlive it. Column 0 names the row. */
GtkWidget *sl_figure_grid_new (const SlColumn *columns, guint n_columns, const char *name);

/* Makes the rows again unless it has that many already; TRUE where it did. Rows count from 0. */
gboolean sl_figure_grid_set_rows (SlFigureGrid *self, guint n_rows);

/* Text does not change a column of controls; a class and a column's visibility also apply to its controls. */
void sl_figure_grid_set (SlFigureGrid *self, guint row, guint column, const char *text);
void sl_figure_grid_take (SlFigureGrid *self, guint row, guint column, char *text); /* frees @text */
void sl_figure_grid_set_class (SlFigureGrid *self, guint row, guint column, const char *css_class, gboolean on);

/* A control in place of a figure, in a column without room for one. */
void sl_figure_grid_put (SlFigureGrid *self, guint row, guint column, GtkWidget *control);

/* Hides a column that has nothing to show. */
void sl_figure_grid_show_column (SlFigureGrid *self, guint column, gboolean shown);

/* Another room for a column's figures than it began with. */
void sl_figure_grid_set_chars (SlFigureGrid *self, guint column, guint chars);

/* A unit after a column's title; NULL: none. */
void sl_figure_grid_set_unit (SlFigureGrid *self, guint column, const char *unit);
