/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keeps the journal of one bench: written within SL_JOURNAL_DELAY_MS of a change, in a thread, as long as something
 * isn't saved, and removed once nothing is. */
#pragma once

#include "bench/bench.h"
#include "bench/journal.h"

#define SL_JOURNAL_DELAY_MS 1000 /* of the two seconds that may be lost, one is left for the disk */

#define SL_TYPE_JOURNAL_KEEPER (sl_journal_keeper_get_type ())
G_DECLARE_FINAL_TYPE (SlJournalKeeper, sl_journal_keeper, SL, JOURNAL_KEEPER, GObject)

/* Signal: "failed", with why it can't be written, translated; once, until it could be. */
SlJournalKeeper *sl_journal_keeper_new (SlBench *bench);

/* Where the document lies and which version was read or written (SlJournal). */
void sl_journal_keeper_set_file (SlJournalKeeper *self, GFile *file, const char *stamp);

/* What is typed and not entered (SlJournal). */
void sl_journal_keeper_set_typed (SlJournalKeeper *self, const char *const *typed);

/* The work comes from the journal at @path, which is written over from now on; that so far goes. */
void sl_journal_keeper_take_over (SlJournalKeeper *self, const char *path);

/* The work is given up on purpose: its journal goes, and none is written any more. */
void sl_journal_keeper_end (SlJournalKeeper *self);

/* Writes every journal that is due and waits until all are on the disk: the program ends. */
void sl_journal_keepers_finish (void);
