/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a window, shared by the files it is split into: window.c (what is shown), window-actions.c (what can be
 * asked of it), window-files.c (opening, saving, and others' saves). */
#pragma once

#include "desk/window/export-job.h"
#include "desk/kit/message-bar.h"
#include "desk/window/window.h"

#include "file/document.h"

struct _SlWindow
{
  GtkApplicationWindow parent_instance;

  /* template widgets */
  GtkWidget *title_button, *title_label, *subtitle_label;
  GtkWidget *new_button, *undo_button, *redo_button, *save_button, *menu_button;
  GtkWidget *messages_slot, *content_slot;

  /* made when first needed; children of the slots */
  SlMessageBar *messages;
  GtkWidget *start_page;
  GtkWidget *regions, *readings, *form, *centre, *work;

  /* owned */
  SlBench *bench; /* NULL while the bench is empty */
  GFile *file;    /* NULL while it was never saved */
  char *file_id;  /* which file that is, by whichever path; NULL where unknown */
  SlDocumentStamp stamp;
  GFileMonitor *monitor;
  GCancellable *cancellable; /* for what must not outlive the window */
  GCancellable *exporting;   /* of the export under way, which may; NULL: none is */
  char *export_name;         /* of the file it goes to, for messages */
  GtkFileChooserNative *chooser;
  GtkWidget *instrument, *shortcuts, *question, *customer, *export_options; /* windows of this one, while open */

  SlExportChoices picture_choices, sheet_choices, template_choices; /* what was chosen last */

  guint watch_source; /* a look at the file that is due */
  guint opening;      /* files being read for this window */
  guint unopened;     /* how many of those asked for together failed; each has a message */
  gboolean saving;
  gboolean close_when_saved;
};

/* window.c */
void sl_window_show_start_page (SlWindow *self);
void sl_window_refresh_history (SlWindow *self);
void sl_window_say (SlWindow *self, const char *key, SlMessageKind kind, const char *text,
                    const SlMessageButton *buttons);
void sl_window_unsay (SlWindow *self, const char *key);

/* window-actions.c */
void sl_window_add_actions (SlWindow *self);
void sl_window_set_action_enabled (SlWindow *self, const char *name, gboolean enabled);

/* window-files.c */
void sl_window_choose_open (SlWindow *self);
void sl_window_save (SlWindow *self);
void sl_window_choose_save (SlWindow *self);
void sl_window_save_over_theirs (SlWindow *self);
void sl_window_take_theirs (SlWindow *self);
void sl_window_forget_files (SlWindow *self);

/* window-export.c */
void sl_window_choose_export (SlWindow *self, SlExportKind kind);
/* Asks for options over the window; @go_on is called with it and @what. */
void sl_window_ask_options (SlWindow *self, const SlExportQuestion *question, SlExportChoices *choices,
                            void (*go_on) (GtkWindow *parent, int what), int what);
/* Says so where the sheet carries a sentence that was edited before the plan changed. */
void sl_window_say_outdated (SlWindow *self);
void sl_window_stop_export (SlWindow *self);
void sl_window_copy_picture (SlWindow *self);
void sl_window_copy_table (SlWindow *self);

/* window-print.c */
void sl_window_print_sheet (SlWindow *self);
void sl_window_print_templates (SlWindow *self);
