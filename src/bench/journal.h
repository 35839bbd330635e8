/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Journals: what stands on a bench and is not saved, a file each in a private folder (docs/format.md). One is written
 * while work goes on (journal-keeper.h), and offered at the next start where the program that wrote it ended without
 * saving. Every function may wait for the disk. */
#pragma once

#include <gio/gio.h>

#include "setup/profile/profile.h"

/* What all journals may come to. For room the oldest discarded ones go first, then the oldest of those that were left
 * for longer than SL_JOURNAL_KEPT_DAYS; never a younger one that nobody has decided on. */
#define SL_JOURNAL_MOST 100
#define SL_JOURNAL_MOST_BYTES (256 * 1024 * 1024)
#define SL_JOURNAL_KEPT_DAYS 30

typedef struct
{
  char *path;
  SlProfile *profile;
  GFile *file;   /* NULL: never saved */
  char *stamp;   /* of the version of the file that the work began from (sl_document_read()), NULL: none */
  char *written; /* ISO 8601 */
  char **typed;  /* typed and not entered: name of an entry, its text, …; ended by NULL; NULL: nothing */
} SlJournal;

void sl_journal_free (gpointer journal);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlJournal, sl_journal_free)

/* The path of a journal that does not exist yet; free with g_free(). */
char *sl_journal_new_path (void);

/* Writes one as this process's, whole or not at all, and onto the disk; @written is not looked at. */
gboolean sl_journal_write (const SlJournal *journal, GError **error);

/* Reads one that was left behind. NULL with @error where it is none, NULL alone where the program that wrote it may
 * still run. */
SlJournal *sl_journal_read (const char *path, GError **error);

/* The paths of all, read or not, the newest first. Those that were put aside before the program started are removed. */
GPtrArray *sl_journal_list (void);

/* Puts one aside, so that it is offered no more, or back. */
gboolean sl_journal_put_aside (const char *path, gboolean back);
