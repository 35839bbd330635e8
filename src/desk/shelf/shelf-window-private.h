/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of the shelf's window, shared by the files it is split into: shelf-window.c (what is shown), shelf-side.c
 * (the chosen profile, beside the table), shelf-actions.c (what can be done to the profiles). */
#pragma once

#include "desk/kit/message-bar.h"
#include "desk/kit/util.h"
#include "bench/shelf-model.h"
#include "desk/shelf/shelf-table.h"
#include "desk/shelf/shelf-window.h"
#include "setup/physics/figures.h"

/* Of the template: the table's, and after them those beside it. */
#define SL_SHELF_PARTS(P)                                                                                              \
  P (folder_label), P (search), P (kinds), P (visits), P (split), P (pages), P (scroller), P (empty_label),            \
      P (empty_button), P (count_label), P (progress), P (stop_button), P (side), P (nothing), P (chosen),             \
      P (picture), P (title_label), P (note_label), P (side_buttons), P (names), P (label_entry), P (file_entry),      \
      P (facts)

struct _SlShelfWindow
{
  GtkApplicationWindow parent_instance;

  GtkWidget SL_SHELF_PARTS (SL_PART);

  /* of the template too */
  SlMessageBar *messages;
  GMenu *shop_baselines, *built_in_baselines, *profile_menu;
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

/* shelf-side.c */
void sl_shelf_side_class_init (GtkWidgetClass *class);
void sl_shelf_side_init (SlShelfWindow *self);
void sl_shelf_side_clear (SlShelfWindow *self);

/* Shows what is chosen, or that nothing is. */
void sl_shelf_side_show (SlShelfWindow *self);

/* Writes the figures again: lengths are shown in another unit. */
void sl_shelf_side_refill (SlShelfWindow *self);

/* Opens the entries for another name. */
void sl_shelf_side_ask_name (SlShelfWindow *self);

/* shelf-actions.c */
void sl_shelf_window_class_add_actions (GtkWidgetClass *class);
void sl_shelf_window_refresh_actions (SlShelfWindow *self);

/* Fills the menu of baselines to begin from. */
void sl_shelf_window_add_baselines (SlShelfWindow *self);

/* Gives the chosen profile another label (NULL: keeps it) and its file another name, without ending. */
void sl_shelf_window_rename (SlShelfWindow *self, const char *label, const char *stem);
