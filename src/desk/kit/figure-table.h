/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of figures of every sheet: a heading for each column, a row for each string (or whatever the first column
 * names), a figure, a word, a mark or a control in each cell. Columns that don't fit are scrolled, whole ones at a
 * time, while the first and the fixed ones stay. Cells with a given room keep it while their text changes, so that
 * figures can follow a drag.
 *
 * Assistive technology reads a table of rows of cells: each row as a sentence, each figure with the row and the column
 * it stands in, "≈" as "assumed". One cell takes the focus, and the arrow keys move it; not so in a table with
 * controls, between which Tab moves. */
#pragma once

#include <gtk/gtk.h>

#include "setup/physics/figures.h"

typedef enum
{
  SL_COLUMN_FIGURES = 0,      /* to the right */
  SL_COLUMN_WORDS = 1 << 0,   /* to the left; so are the first column and columns of controls */
  SL_COLUMN_CENTRED = 1 << 1, /* or in the middle */
  SL_COLUMN_FIXED = 1 << 2,   /* stays where others scroll; so does the first column */
  SL_COLUMN_WIDE = 1 << 3,    /* shares the room that is left; where there is too little, words wrap */
  SL_COLUMN_LENGTHS = 1 << 4, /* has the unit of length in its heading */
  SL_COLUMN_SNUG = 1 << 5,    /* as wide as its figures, whose type is smaller where not all columns fit */
} SlColumnFlags;

/* In ui/ a column is a label, with its flags and its cells' classes, which begin with "sl-", as its classes. */
typedef struct
{
  const char *title;
  const char *help; /* what it means, as a tooltip; may be NULL */
  guint chars;      /* room, in characters; 0: as much as the widest cell wants */
  SlColumnFlags flags;
  const char *classes; /* CSS classes of its cells, apart by spaces; may be NULL */
} SlColumn;

#define SL_TYPE_FIGURE_TABLE (sl_figure_table_get_type ())
G_DECLARE_FINAL_TYPE (SlFigureTable, sl_figure_table, SL, FIGURE_TABLE, GtkBox)

/* Column 0 names the row; the tooltip in ui/ is what assistive technology calls the table. Signals: "cursor-moved",
 * and "row-activated" with the row, by Enter, space or a click.
 *
 * Columns headed by the numbers of frets, and those of class "after" in ui/ behind them; and taking out all rows and
 * the columns from @first on. Columns are added while there are no rows. */
void sl_figure_table_add_frets (SlFigureTable *self, int n_frets, guint chars, SlColumnFlags flags);
void sl_figure_table_cut_columns (SlFigureTable *self, guint first);

/* Makes the rows anew unless it has that many already; TRUE where it did. Rows count from 0. */
gboolean sl_figure_table_set_rows (SlFigureTable *self, guint n_rows);

/* Text leaves a control as it is. The latter two free it; the last gives the first columns of a row, up to NULL. */
void sl_figure_table_set (SlFigureTable *self, guint row, guint column, const char *text);
void sl_figure_table_take (SlFigureTable *self, guint row, guint column, char *text);
void sl_figure_table_fill (SlFigureTable *self, guint row, char *first, ...) G_GNUC_NULL_TERMINATED;

/* A control in place of a figure. */
void sl_figure_table_put (SlFigureTable *self, guint row, guint column, GtkWidget *control);

/* The verdict on a figure as its colour; and as a full disc, a half one, an open one, told apart without colour. */
void sl_figure_table_set_word (SlFigureTable *self, guint row, guint column, SlWord word);
const char *sl_word_mark (SlWord word);

/* A class of a cell that there is, of a heading, or of a row. */
#define SL_TABLE_HEAD G_MAXUINT /* in place of the row */
void sl_figure_table_set_class (SlFigureTable *self, guint row, guint column, const char *css_class, gboolean on);
void sl_figure_table_set_row_class (SlFigureTable *self, guint row, const char *css_class, gboolean on);

/* The whole row in words, for assistive technology and as a tooltip; FALSE where it says so already. Without one a row
 * reads its cells. */
gboolean sl_figure_table_set_sentence (SlFigureTable *self, guint row, const char *sentence);

/* A line in small type beneath the row; NULL: none. */
void sl_figure_table_set_beneath (SlFigureTable *self, guint row, const char *text);

/* What each cell says in full, as its description and a tooltip, asked for when it is wanted: free with g_free(); NULL:
 * nothing. */
typedef char *(*SlCellSentence) (gpointer owner, guint row, guint column);
void sl_figure_table_set_sentences (SlFigureTable *self, SlCellSentence sentence, gpointer owner);

/* Where the cell cursor is; FALSE where it is nowhere yet. */
void sl_figure_table_set_cursor (SlFigureTable *self, guint row, guint column);
gboolean sl_figure_table_get_cursor (SlFigureTable *self, guint *row, guint *column);

/* A column that has nothing to say here is hidden. */
void sl_figure_table_show_column (SlFigureTable *self, guint column, gboolean shown);

/* A spare column is seen only where all columns find room. */
void sl_figure_table_set_spare (SlFigureTable *self, guint column, gboolean spare);

/* Another title, and the unit in the headings of lengths. */
void sl_figure_table_set_title (SlFigureTable *self, guint column, const char *title);
void sl_figure_table_set_unit (SlFigureTable *self, const char *unit);
