/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A list in which the elements of an array are edited, a row each: the row at a place belongs to the element at that
 * place. Controls of the same column are of one width. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_ROW (sl_row_get_type ())
G_DECLARE_FINAL_TYPE (SlRow, sl_row, SL, ROW, GtkBox)

#define SL_TYPE_ROW_LIST (sl_row_list_get_type ())
G_DECLARE_FINAL_TYPE (SlRowList, sl_row_list, SL, ROW_LIST, GtkBox)

struct _SlRow
{
  GtkBox parent_instance;

  gpointer owner, controls; /* for all to read; the latter: the struct, zero at first */

  /* inside */
  SlRowList *list; /* borrowed */
  GtkWidget *line; /* child */
  guint n_columns;
};

typedef void (*SlRowFunc) (SlRow *row);

/* @make adds the controls of a new row; @fill shows in them, and names them and the row by, what is at the row's place
 * now. @size: of the struct in which they keep the row's controls. @owner is theirs. @spacing is between columns. */
GtkWidget *sl_row_list_new (const char *name, int spacing, gsize size, SlRowFunc make, SlRowFunc fill, gpointer owner);

/* Heads of all columns (a button's is ""), up to NULL; shown while there are rows. */
void sl_row_list_set_heads (SlRowList *self, const char *const *heads);

/* Fills the rows; where they are not @n, adds some at the end or takes the last ones away. Of many, a hundred are
 * shown, and the others by a button; one that is added is. */
void sl_row_list_update (SlRowList *self, guint n);

/* Takes out one row; the keyboard, if it is there, goes to the same column of the next. To be followed by an update,
 * once its element is gone too. */
void sl_row_list_remove (SlRow *row);

/* Gives the keyboard to the control in a column of a row, or where that is insensitive to the row's first. */
void sl_row_list_focus (SlRowList *self, guint place, guint column);

guint sl_row_get_place (SlRow *row);

/* Whether what its controls tell comes from a person: not while they are filled or taken away. */
gboolean sl_row_listens (SlRow *row);

/* A control in the next column; what is shown on a line below them. Return it. */
GtkWidget *sl_row_add (SlRow *row, GtkWidget *control);
GtkWidget *sl_row_add_below (SlRow *row, GtkWidget *widget);

/* A length entry in the next column, so many characters wide, and what is wrong with it below. @committed (row, value,
 * entry). Returns @entry. */
GtkWidget *sl_row_add_number (SlRow *row, GtkWidget *entry, int chars, GCallback committed);

/* A flat button in the next column, to be named with sl_name_with_tip(). @clicked (row, button). */
GtkWidget *sl_row_add_button (SlRow *row, const char *icon, GCallback clicked);
