/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of the shelf's window, shared by the files it is split into: shelf-window.c (what is shown),
 * shelf-actions.c (what can be done to the profiles). */
#pragma once

#include "desk/kit/message-bar.h"
#include "bench/shelf-model.h"
#include "desk/shelf/shelf-side.h"
#include "desk/shelf/shelf-table.h"
#include "desk/shelf/shelf-window.h"

struct _SlShelfWindow
{
  GtkApplicationWindow parent_instance;

  /* template widgets */
  GtkWidget *folder_label, *folder_button, *new_from_button, *messages_slot, *content, *search, *kinds, *visits, *split,
      *pages, *scroller, *empty_label, *empty_button, *side_slot, *count_label, *progress, *stop_button;
  GMenuModel *profile_menu;

  SlMessageBar *messages; /* child */
  SlShelfSide *side;      /* child */

  /* owned */
  SlShelfModel *model;
  SlShelfTable *table;
  GtkFileChooserNative *chooser;
  GMenu *shop_baselines;     /* the shelf's own, in the menu "New from" */
  GCancellable *cancellable; /* for what must not outlive the window */
  GFile *trashed;            /* what was moved to the trash last, and what was in it */
  GBytes *trashed_bytes;
};

/* shelf-window.c */
void sl_shelf_window_say (SlShelfWindow *self, const char *key, SlMessageKind kind, const char *text,
                          const SlMessageButton *buttons);
void sl_shelf_window_open_folder (SlShelfWindow *self, GFile *folder, gboolean remember);

/* What is saved of a window opened from here is offered the shelf's folder first. */
void sl_shelf_window_suggest_folder (SlShelfWindow *self);

/* The file of the chosen item, or NULL. */
GFile *sl_shelf_window_dup_chosen_file (SlShelfWindow *self);

/* shelf-baselines.c: the menu "New from", and what it begins. */
void sl_shelf_window_add_baselines (SlShelfWindow *self);
void sl_shelf_window_begin_from (SlShelfWindow *self, GFile *file);

/* shelf-actions.c */
void sl_shelf_window_add_actions (SlShelfWindow *self);
void sl_shelf_window_refresh_actions (SlShelfWindow *self);
void sl_shelf_window_rename (SlShelfWindow *self, const char *label, const char *stem);
