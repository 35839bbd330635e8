/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the window shows before there is anything on the bench, and what it does beside it. */
#pragma once

#include <gtk/gtk.h>

#include "bench/journal.h"
#include "draw/paper/documents.h"

/* ---- start-page ----
 *
 * The page of a window with an empty bench: a new instrument from a starting profile, or a file. Emits "start" when an
 * instrument was chosen and named. */

#define SL_TYPE_START_PAGE (sl_start_page_get_type ())
G_DECLARE_FINAL_TYPE (SlStartPage, sl_start_page, SL, START_PAGE, GtkBox)

/* The profile that was chosen, with the name and owner typed in. */
SlProfile *sl_start_page_make_profile (SlStartPage *self);

/* ---- start-tiles ----
 *
 * The instruments of the start page, to be opened by a click: each with its name and its side view, small, which a
 * thread draws once the page is there, one after another. */

/* One more tile in @grid: of the file at @uri, or where that is NULL of the demonstration profile called @name. */
void sl_start_tile_add (GtkWidget *grid, const char *name, const char *uri);

/* Draws the tiles of @grid, and says on them which files are gone or can't be read. */
void sl_start_tiles_draw (GtkWidget *grid);

/* ---- recent ----
 *
 * Recently opened profiles, shared with the desktop's list of recent files. */

/* A menu of the latest profiles, each activating app.open-recent with its URI; it follows the list. Filled when the
 * program is idle. */
GMenu *sl_recent_menu_new (void);

/* Looks for the latest profiles that are still there (or, with @missing_too, were once), @most of them, in a thread, as
 * some may lie on a share; @done is called with @source, an object that is kept until then. The result is an array of
 * GtkRecentInfo; NULL where @source has begun to look again since. */
void sl_recent_profiles_async (gpointer source, guint most, gboolean missing_too, GAsyncReadyCallback done);
GPtrArray *sl_recent_profiles_finish (GAsyncResult *result);

/* The name of one: its file's, without the extension. */
char *sl_recent_name (GtkRecentInfo *info);

void sl_recent_add (GFile *file);

/* ---- left-work ----
 *
 * Work that a program which ended left unsaved: its journal beside what its file holds now, both read in a thread; in
 * words, and in a window that compares the two. */

typedef struct
{
  SlJournal *journal;
  SlProfile *now;     /* what its file holds; NULL: never saved, or it can't be read */
  char *trouble;      /* why it can't be read; NULL */
  gboolean replaced;  /* the file is another version than the work began from */
  GPtrArray *changes; /* of SlProfileChange, what it has against the file; NULL without one */
} SlLeftWork;

void sl_left_work_free (gpointer left);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlLeftWork, sl_left_work_free)

/* Reads what the journal at @path left; or what each left, with a call of @done each. Finishing gives NULL where a
 * journal is gone or broken, where somebody works on it, and where its file has all of it. */
void sl_left_work_load (gpointer source, const char *path, GAsyncReadyCallback done);
void sl_left_work_load_all (gpointer source, GAsyncReadyCallback done);
SlLeftWork *sl_left_work_finish (GAsyncResult *result);

/* Whose and of when it is; and what it holds against its file, in sentences, of which at most so many tell single
 * things (0: only what is beside them). Free with g_free(). */
char *sl_left_work_title (const SlLeftWork *left);
char *sl_left_work_text (const SlLeftWork *left, guint most_changes);

/* All differences, and the side view of both, one over the other. */
GtkWidget *sl_left_window_new (GtkWindow *parent, const SlLeftWork *left);

/* ---- export-job ----
 *
 * An export: worked out from a copy of what is on a bench and written, all in a thread, so that neither a large
 * document nor a slow share holds up the window. */

typedef enum
{
  SL_EXPORT_PICTURE,
  SL_EXPORT_SHEET,
  SL_EXPORT_TEMPLATES,
  SL_EXPORT_TABLE
} SlExportKind;

/* What is chosen, and kept for the next time. */
typedef struct
{
  int png_width;       /* 0: as proposed */
  gboolean half_tiles; /* two strips of the fret rule on a page */
} SlExportChoices;

/* The sheet a picture is drawn on, and how many pixels a unit has as PNG unless a width is chosen. */
#define SL_EXPORT_SHEET_WIDTH 1400
#define SL_EXPORT_SHEET_HEIGHT 900
#define SL_EXPORT_PNG_SCALE 2.0
#define SL_EXPORT_PAGE_PNG_SCALE (200.0 / 72) /* pages at 200 dots an inch */

/* Where it goes, and as what. */
typedef struct
{
  GFile *file;             /* NULL: into the outcome; another may have been there */
  GFile *profile;          /* what is on the bench, which is never written over; NULL: it was not saved yet */
  SlFormat format;         /* a table has only one */
  gboolean replaces_pages; /* several files stand for pages: these may be there already */
  gboolean as_pages;       /* of the hand-over sheet: into the outcome, to be printed */
} SlExportTarget;

/* What came of it. */
typedef struct
{
  int n_pages;      /* files, of which several stand for pages: "sheet.svg" becomes "sheet-1.svg", "sheet-2.svg" */
  GPtrArray *files; /* of GFile: those written */
  GBytes *bytes;    /* where no file was given: what would stand in it */
  SlPages *pages;   /* as_pages: to be freed by whoever is told */
  char *left_out; /* templates that can't be drawn, photographs that can't be shown, and why, as a sentence; NULL: none
                   */
} SlExportOutcome;

/* Exports what is on @bench now, with its units and its view. @done is called with @source, an object that is kept
 * until then. Once @cancellable is cancelled no further page is written; a file that is not whole is not put in place.
 */
void sl_export_async (gpointer source, SlBench *bench, SlExportKind kind, const SlExportTarget *target,
                      const SlExportChoices *choices, GCancellable *cancellable, GAsyncReadyCallback done,
                      gpointer data);

/* The outcome is the result's, also where it failed half-way: FALSE with @error (SL_PICTURE_ERROR, SL_DOCUMENT_ERROR,
 * G_IO_ERROR: EXISTS where pages are in the way, which it names, and nothing was written). */
gboolean sl_export_finish (GAsyncResult *result, const SlExportOutcome **outcome, GError **error);

/* The table as text; free with g_free(). */
char *sl_export_table (const SlProfile *profile, const SlShop *shop, char separator);

/* ---- centre ----
 *
 * The middle of the window: the side view with the choice of what it shows, three close-ups below, and one sheet of
 * figures at a time. */

#define SL_TYPE_CENTRE (sl_centre_get_type ())
G_DECLARE_FINAL_TYPE (SlCentre, sl_centre, SL, CENTRE, GtkBox)

GtkWidget *sl_centre_new (SlBench *bench);

/* While it is pressed the sheet is shown larger, and wants the columns' room too. */
GtkToggleButton *sl_centre_get_larger (SlCentre *self);

/* Shows a sheet by its name ("gaps"), or the "side-view", and returns it; NULL where there is none of that name. */
GtkWidget *sl_centre_show_sheet (GtkWidget *centre, const char *name);
