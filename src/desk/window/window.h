/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window of one profile: readings, side view and work side by side, messages above them. A window begins with an
 * empty bench: the page a new instrument starts from, or a file is opened into. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

#define SL_TYPE_WINDOW (sl_window_get_type ())
G_DECLARE_FINAL_TYPE (SlWindow, sl_window, SL, WINDOW, GtkApplicationWindow)

SlWindow *sl_window_new (GtkApplication *app);

/* Whether this window's bench is empty and nothing is being read for it. */
gboolean sl_window_is_empty (SlWindow *self);

/* The window of @app that has @file open, or NULL; by whichever path where the file id (G_FILE_ATTRIBUTE_ID_FILE) is
 * known, else @id is NULL. */
SlWindow *sl_window_showing (GtkApplication *app, GFile *file, const char *id);

/* Shows @file: raises the window of @app that has it open, else reads it into @window where that is one of ours with
 * nothing on its bench, else into a new one. Why it could not be read is said in @window (NULL: in an empty one). */
void sl_window_show_file (GtkApplication *app, GFile *file, GtkWindow *window);

/* The same, and offers to merge what is in @other, another file of that instrument, into it. */
void sl_window_merge_files (GtkApplication *app, GFile *file, GFile *other);

/* Puts a new profile, not saved anywhere yet, on an empty bench. Takes @profile. */
void sl_window_put_on_bench (SlWindow *self, SlProfile *profile);

/* Shows a copy of a demonstration profile in an empty window; unchanged, there is nothing of it to save. */
void sl_window_show_example (SlWindow *self, const char *name);
