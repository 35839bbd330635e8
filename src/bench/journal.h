/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Journals: what stands on a bench and is not saved, a file each in a private folder (docs/format.md). One is kept for
 * each bench while work goes on, and offered at the next start where the program that kept it ended without saving. */
#pragma once

#include "bench/bench.h"

/* At most so many, each no larger than a document. For room the oldest discarded ones go first, then the oldest of
 * those that were left for longer than SL_JOURNAL_KEPT_DAYS; never a younger one that nobody has decided on. */
#define SL_JOURNAL_MOST 32
#define SL_JOURNAL_KEPT_DAYS 30

/* ---- those that lie in the folder; each of these may wait for the disk ---- */

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

/* The paths of all, read or not, the newest first. Those that were put aside before the program started are removed,
 * with the photographs of what was never saved. */
GPtrArray *sl_journal_list (void);

/* Puts one that was left behind aside, so that it is offered no more, or back. FALSE also where a program has taken it
 * over meanwhile. */
gboolean sl_journal_put_aside (const char *path, gboolean back);

/* ---- that of an open bench, written in a thread ---- */

#define SL_JOURNAL_DELAY_MS 1000 /* of the two seconds that may be lost, one is left for the disk */

/* From now on what isn't saved on @bench is written within SL_JOURNAL_DELAY_MS of a change, and the journal removed
 * once nothing is. @fresh: a profile without a file is unsaved as it is. @failed is told why it can't be written,
 * translated; once, until it could be. */
typedef void (*SlJournalFailed) (gpointer data, const char *reason);
void sl_journal_keep (SlBench *bench, gboolean fresh, SlJournalFailed failed, gpointer data);

/* Where its document lies, and which version was read or written. */
void sl_journal_set_file (SlBench *bench, GFile *file, const char *stamp);

/* The work comes from the journal at @path, which is written over from now on; that so far goes. */
void sl_journal_take_over (SlBench *bench, const char *path);

/* No more is written; @done: nothing on the bench is worth keeping, and the journal goes, with the photographs of what
 * was never saved. */
void sl_journal_stop (SlBench *bench, gboolean done);

/* Writes every journal that is due and waits until all that is done in turn is on the disk: the program ends. */
void sl_journal_finish (void);
