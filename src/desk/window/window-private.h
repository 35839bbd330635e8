/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a window, shared by the files it is split into: window.c (what is shown), window-actions.c (what can be
 * asked of it), window-files.c (opening, saving, and others' saves), window-shared.c (who else has the file). */
#pragma once

#include "desk/window/parts.h"
#include "desk/kit/kit.h"
#include "desk/window/window.h"

#include "bench/folder-watch.h"
#include "file/in-use-keeper.h"
#include "file/document.h"

struct _SlWindow
{
  GtkApplicationWindow parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *title_button, *title_label, *subtitle_label;
  GtkWidget *undo_button, *redo_button, *menu_button;
  GtkWidget *content_slot;
  GtkWidget *messages, *passing; /* above the bench; over its lower edge, which stays where it is */
  GtkWidget *file_buttons, *drawer_button, *units;
  GtkWidget *columns, *regions, *readings, *inner, *work; /* empty until there is something on the bench */

  /* made when first needed; children of the slots */
  GtkWidget *start_page;
  GtkWidget *form, *centre, *column;

  /* owned */
  SlBench *bench; /* NULL while the bench is empty */
  GFile *file;    /* NULL while it was never saved */
  char *file_id;  /* which file that is, by whichever path; NULL where unknown */
  char *stamp;
  SlFolderWatch *watch;      /* of the file, made with the first */
  SlInUseKeeper *in_use;     /* the note that it is open here */
  char *in_use_said;         /* who else has it open, as last told */
  gboolean in_use_left;      /* by a program that was cut off */
  GCancellable *cancellable; /* for what must not outlive the window */
  GCancellable *exporting;   /* of the export under way, which may; NULL: none is */
  SlExportKind export_kind;  /* of the last one, and the file it goes to */
  GFile *export_file;
  SlJournal *left; /* to be put on the bench once its file has been read; NULL: none */
  GtkFileChooserNative *chooser;
  GtkWidget *instrument, *shortcuts, *question, *customer, *export_options; /* windows of this one, while open */

  SlExportChoices choices[SL_EXPORT_TABLE + 1]; /* what was chosen last, by SlExportKind; nothing of a table */

  int width, inner_width;              /* as arranged; when the work beside the drawing was laid out last, 0: never */
  double scale;                        /* of text, as arranged */
  gboolean regions_moved, inner_moved; /* by hand; not while arranging */
  gboolean arranging;

  guint opening;       /* files being read for this window */
  guint unopened;      /* how many of those asked for together failed; each has a message */
  guint inhibited;     /* the log-out is, by this cookie; 0: it is not */
  gboolean is_example; /* shows a copy of a demonstration profile */
  gboolean saving;
  gboolean close_when_saved;
  gboolean told_taking; /* that pictures are still being taken in, when it was to be closed */
};

/* window.c */
void sl_window_show_start_page (SlWindow *self);
void sl_window_refresh_history (SlWindow *self);

/* window-columns.c */
void sl_window_manage_columns (SlWindow *self);
void sl_window_arrange (SlWindow *self);
void sl_window_refresh_drawer (SlWindow *self);

/* window-actions.c */
void sl_window_add_actions (SlWindow *self);
void sl_window_set_action_enabled (SlWindow *self, const char *name, gboolean enabled);

/* window-files.c */
void sl_window_choose_open (SlWindow *self);
void sl_window_choose_recording (SlWindow *self);

/* Files that were chosen or dropped: a recording is listened to for what is on the bench, pictures are taken into its
 * visit, anything else is opened. */
void sl_window_show_all (SlWindow *self, GListModel *files);
void sl_window_save (SlWindow *self);
void sl_window_choose_save (SlWindow *self);
void sl_window_save_over_theirs (SlWindow *self);
void sl_window_take_theirs (SlWindow *self);
#define MESSAGE_THEIRS "theirs" /* key of the message that somebody else saved */
void sl_window_forget_files (SlWindow *self);
void sl_window_look_at_file (gpointer self); /* whether somebody else saved it */

/* window-merge.c */
void sl_window_set_base (SlWindow *self, const SlProfile *profile); /* what the file holds; NULL: not known */
void sl_window_merge (SlWindow *self);                              /* with what is in the window's file now */
void sl_window_begin_merge (SlWindow *self);                        /* that was asked for, now that it has its file */

/* window-shared.c: what others do to the file, and who has it open */
void sl_window_follow_file (SlWindow *self); /* which is another one now */
void sl_window_leave_file (SlWindow *self);

/* window-photos.c */
void sl_window_say_left_photos (SlWindow *self, const GPtrArray *names, const GError *error); /* not taken along */
/* Copies photographs of what is on the bench from @from to where they are to lie. */
void sl_window_fetch_photos (SlWindow *self, GFile *from);

/* window-journal.c */
void sl_window_begin_journal (SlWindow *self);
void sl_window_say_not_kept (SlWindow *self, const GError *error); /* the version before a save; NULL: it is */
void sl_window_inhibit_end (SlWindow *self, gboolean unsaved);     /* asks the session not to end */
void sl_window_offer_left (
    SlWindow *self); /* left unsaved: on the file now on the bench, or to be put there; on any before */
/* Actions; the parameter is the path of a journal. */
void sl_window_keep_left (GSimpleAction *action, GVariant *path, gpointer self);
void sl_window_compare_left (GSimpleAction *action, GVariant *path, gpointer self);
void sl_window_discard_left (GSimpleAction *action, GVariant *path, gpointer self);

/* A modal dialog for a file, the window's, in place of an earlier one, that begins in @folder (NULL: anywhere).
 * @on_response (dialog, response, window). */
GtkFileChooser *sl_window_new_chooser (SlWindow *self, const char *title, GtkFileChooserAction action,
                                       const char *accept, GFile *folder, GCallback on_response);
void sl_chooser_add_filter (GtkFileChooser *chooser, const char *name, const char *suffix); /* NULL: any file */
void sl_chooser_propose (GtkFileChooser *chooser, const char *name); /* what of it a file's name can have */

/* window-export.c */
void sl_window_choose_export (SlWindow *self, SlExportKind kind);
void sl_window_replace_pages (SlWindow *self);
void sl_window_stop_export (SlWindow *self);
void sl_window_copy_picture (SlWindow *self);
void sl_window_copy_table (SlWindow *self);
void sl_window_print_sheet (SlWindow *self);
void sl_window_print_templates (SlWindow *self);

/* An operation that prints @pages, which must outlive it: each lying its own way, at full size, margins left to the
 * pages themselves. The caller runs it. */
GtkPrintOperation *sl_print_pages (const SlPages *pages, SlPaper paper);

/* A template that a printer would cut off is no template. What is wrong with a printer whose own margins are these (in
 * any order), translated; NULL: nothing. Free with g_free(). */
char *sl_template_margin_complaint (const double margins_mm[4]);
