/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the shelf is made of. */
#pragma once

#include "bench/shelf-model.h"
#include "desk/kit/kit.h"

/* ---- shelf-rows ----
 *
 * The rows of the shelf's table as a list model: a list's items sorted and filtered, each in a row object that stays
 * while what it shows changes. A list of rows that last needs no new widgets when others are found, and so keeps up
 * with typing among ten thousand items: rows on the screen change at once, those outside it in small steps afterwards.
 * Meanwhile there may be fewer rows than items, or empty ones at the end. */

#define SL_TYPE_SHELF_ROW (sl_shelf_row_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfRow, sl_shelf_row, SL, SHELF_ROW, GObject)

struct _SlShelfRow
{
  GObject parent_instance;

  SlShelfItem *item;                      /* owned; NULL: empty */
  GtkListItem *cells[SL_SHELF_N_COLUMNS]; /* those it is shown in, set while they are bound; NULL where it isn't */
  gboolean stale;                         /* the cells show what the row was before */
};

#define SL_TYPE_SHELF_ROWS (sl_shelf_rows_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfRows, sl_shelf_rows, SL, SHELF_ROWS, GObject)

/* Whom the rows are for; each function is given the same data. */
typedef struct
{
  /* whether @item is among those wanted */
  gboolean (*wants) (SlShelfItem *item, gpointer data);
  /* writes a row's item into its cells */
  void (*fill) (SlShelfRow *row, gpointer data);
  /* which rows are on the screen: the first, and how many there is room for */
  void (*screen) (guint *first, guint *n, gpointer data);
  /* which items are wanted, or their order, changed, and the rows on the screen show it already; or rows came or went
   */
  void (*arranged) (gpointer data);
} SlShelfRowsUser;

struct _SlShelfRows
{
  GObject parent_instance;

  GPtrArray *wanted; /* for all to read: the items wanted, in their order; there may not be rows for all of them yet */

  /* inside, owned */
  GListModel *items;
  GtkSorter *sorter;
  GPtrArray *mirror; /* the items as they are in the list; holds the references for the others */
  GPtrArray *sorted; /* all of them */
  GPtrArray *rows;

  const SlShelfRowsUser *user;
  gpointer data; /* of the user */
  guint step_source;
};

/* @items holds SlShelfItems, which @sorter compares. To be disposed of before @data goes. */
SlShelfRows *sl_shelf_rows_new (GListModel *items, GtkSorter *sorter, const SlShelfRowsUser *user, gpointer data);

/* Asks again which items are wanted; where @narrower only among those that were. */
void sl_shelf_rows_refilter (SlShelfRows *self, gboolean narrower);

/* Fills all cells again. */
void sl_shelf_rows_refill (SlShelfRows *self);

/* ---- shelf-table ----
 *
 * The shelf's table: sorted, searched and filtered rows of a shelf's items, one of them chosen. */

#define SL_TYPE_SHELF_TABLE (sl_shelf_table_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfTable, sl_shelf_table, SL, SHELF_TABLE, GObject)

typedef enum
{
  SL_SHELF_ALL,
  SL_SHELF_INSTRUMENTS,
  SL_SHELF_BASELINES,
  SL_SHELF_AT_FAULT,
  SL_SHELF_IN_USE /* somebody else has it open */
} SlShelfKinds;

typedef enum
{
  SL_SHELF_ANY_VISIT,
  SL_SHELF_OPEN_VISITS,
  SL_SHELF_CLOSED_VISITS,
  SL_SHELF_WITHOUT_VISIT
} SlShelfVisits;

struct _SlShelfTable
{
  GObject parent_instance;

  /* for all to read, owned */
  GtkWidget *view;
  SlShelfItem *chosen; /* NULL while it isn't among those shown */
  SlShelfRows *rows;

  /* inside, owned */
  GtkSingleSelection *selection; /* follows the chosen item, which may have no row yet */
  char **words;
  char *chosen_name; /* of the chosen item, which may be replaced while it is chosen */

  SlShelfKinds kinds;
  SlShelfVisits visits;
  char *fitted_before; /* day; NULL: strings of any age */
  SlLengths lengths;
};

/* Signals: "chosen" (another item is chosen, or none), "activated" (the chosen one is to be opened), "shown" (which
 * items are shown changed).
 * @list holds SlShelfItems. */
SlShelfTable *sl_shelf_table_new (GListModel *list);

void sl_shelf_table_search (SlShelfTable *self, const char *typed);
/* @months: strings on for longer than that alone; 0: any. */
void sl_shelf_table_filter (SlShelfTable *self, SlShelfKinds kinds, SlShelfVisits visits, int months);
void sl_shelf_table_set_lengths (SlShelfTable *self, SlLengths lengths);

gboolean sl_shelf_table_is_narrowed (SlShelfTable *self); /* a search or filter is on */
void sl_shelf_table_choose (SlShelfTable *self, const char *name);

/* The one whose row is at a place of the view; none where there is no row. */
void sl_shelf_table_choose_at (SlShelfTable *self, double x, double y);

/* ---- shelf-window ----
 *
 * The shelf's window: the profiles of a folder, searched, opened, copied, renamed, moved to the trash, and made
 * baselines of. */

#define SL_TYPE_SHELF_WINDOW (sl_shelf_window_get_type ())
G_DECLARE_FINAL_TYPE (SlShelfWindow, sl_shelf_window, SL, SHELF_WINDOW, GtkApplicationWindow)

/* The shelf's window of @app, made if there is none. */
GtkWidget *sl_shelf_window_get (GtkApplication *app);

/* Its inside, shared by shelf-window.c (what is shown) and shelf-actions.c (what can be done to the profiles). */
struct _SlShelfWindow
{
  GtkApplicationWindow parent_instance;

  /* template widgets and menus, in the order they are bound in */
  GtkWidget *folder_label, *search, *kinds, *visits, *ages, *split, *pages, *scroller, *empty_label, *empty_button,
      *count_label, *progress, *stop_button;
  GtkWidget *messages;
  GMenu *shop_baselines, *profile_menu;
  /* beside the table */
  GtkWidget *side, *nothing, *chosen, *picture, *title_label, *note_label, *side_buttons, *names, *label_entry,
      *file_entry, *facts;
  GtkWidget *menu; /* of the chosen one, over the table */

  /* owned */
  SlShelfModel *model;
  SlShelfTable *table;
  GtkFileChooserNative *chooser;
  GCancellable *cancellable; /* for what must not outlive the window */

  /* beside the table, owned */
  SlShelfItem *item;     /* the chosen one, or NULL */
  GCancellable *loading; /* of its file */
  SlProfile *profile;    /* what the picture shows; NULL while there is none */
  SlAnalysis *analysis;  /* of it */
};

/* "3 of 50 profiles" where a search or filter is on, "50 profiles" where not. Free with g_free(). */
char *sl_shelf_window_count (SlShelfWindow *self);

/* The file of the chosen item, or NULL. */
GFile *sl_shelf_window_dup_chosen_file (SlShelfWindow *self);

void sl_shelf_window_open_folder (SlShelfWindow *self, GFile *folder, gboolean remember);

/* Opens the entries for another name. */
void sl_shelf_side_ask_name (SlShelfWindow *self);

/* shelf-actions.c */
void sl_shelf_window_class_add_actions (GtkWidgetClass *class);
void sl_shelf_window_refresh_actions (SlShelfWindow *self);

/* shelf-archive.c: actions; and archives that are dropped. FALSE: there is nothing to stop. */
void sl_shelf_window_choose_archive (GtkWidget *widget, const char *action, GVariant *parameter);
void sl_shelf_window_merge_twins (GtkWidget *widget, const char *action, GVariant *parameter);
void sl_shelf_window_take_drops (SlShelfWindow *self);
gboolean sl_shelf_window_stop_archive (SlShelfWindow *self);

/* Fills the menu of baselines to begin from with those the shelf has. */
void sl_shelf_window_list_baselines (SlShelfWindow *self);

/* Gives the chosen profile another label (NULL: keeps it) and its file another name, without ending. */
void sl_shelf_window_rename (SlShelfWindow *self, const char *label, const char *stem);
