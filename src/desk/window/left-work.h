/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that a program which ended left unsaved: its journal beside what its file holds now, both read in a thread; in
 * words, and in a window that compares the two. */
#pragma once

#include "bench/journal.h"

#include <gtk/gtk.h>

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
