/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of the shelf's window, shared by the files it is split into: shelf-window.c (what is shown) and
 * shelf-actions.c (what can be done to the profiles). */
#pragma once

#include "desk/kit/kit.h"
#include "bench/shelf-model.h"
#include "desk/shelf/parts.h"
#include "desk/shelf/shelf-window.h"
#include "setup/physics/figures.h"

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

/* The file of the chosen item, or NULL. */
GFile *sl_shelf_window_dup_chosen_file (SlShelfWindow *self);

void sl_shelf_window_open_folder (SlShelfWindow *self, GFile *folder, gboolean remember);

/* Opens the entries for another name. */
void sl_shelf_side_ask_name (SlShelfWindow *self);

/* shelf-actions.c */
void sl_shelf_window_class_add_actions (GtkWidgetClass *class);
void sl_shelf_window_refresh_actions (SlShelfWindow *self);

/* Fills the menu of baselines to begin from with those the shelf has. */
void sl_shelf_window_list_baselines (SlShelfWindow *self);

/* Gives the chosen profile another label (NULL: keeps it) and its file another name, without ending. */
void sl_shelf_window_rename (SlShelfWindow *self, const char *label, const char *stem);
