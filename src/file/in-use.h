/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Who has a profile open: a note beside its file, written by each program that works on it (docs/format.md). A note is
 * advice only: that no save is lost rests on what saving compares. Everything here may wait for the file system. */
#pragma once

#include <gio/gio.h>

#define SL_IN_USE_BEAT_S 30   /* so often a note says that it still holds */
#define SL_IN_USE_STALE_S 180 /* one that has not said so for so long was left by a program that was cut off */

/* Another's note; each text one line, of bounded length. */
typedef struct
{
  char *file;             /* the name of the profile's file */
  char *person, *machine; /* who, and where */
  char *since;            /* ISO 8601, in the writer's zone */
  gint64 beat_us;         /* when it last said that it holds, by the file system's clock */
  gboolean left;          /* by a program that ended without taking it away */
} SlInUse;

void sl_in_use_free (gpointer in_use);

/* A note of this process's own. */
typedef struct _SlInUseNote SlInUseNote;

/* Notes that this process has the profile in @file open. NULL where that can't be noted: nothing depends on it. Free
 * with sl_in_use_drop(), which takes it away. */
SlInUseNote *sl_in_use_take (GFile *file);
void sl_in_use_drop (SlInUseNote *note);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlInUseNote, sl_in_use_drop)

/* Says that it still holds, and returns the time by the file system's clock; 0 where the note is gone. */
gint64 sl_in_use_beat (SlInUseNote *note);

/* The time by the clock of the file system that @folder is on, us since 1970; 0 where nothing can be written there. */
gint64 sl_in_use_clock (GFile *folder);

/* Others' notes on the profile in @file (of SlInUse); programs of this person on this machine are no others. @now_us by
 * the file system's clock, 0: unknown, then only what this machine can see is taken for left. What was left is removed
 * with @tidy. */
GPtrArray *sl_in_use_look (GFile *file, gint64 now_us, gboolean tidy);

/* The same for every profile in @folder. What sl_in_use_clock() left there where it was killed is removed. */
GPtrArray *sl_in_use_look_at_all (GFile *folder, gint64 now_us, GCancellable *cancellable);

#define SL_IN_USE_MOST 4 /* notes on one profile; who comes later goes without */

/* The name of note @number, from 1, on the profile in a file of this name. Free with g_free(). */
char *sl_in_use_note_name (const char *profile, int number);

/* The name of the profile that a file of this name is a note on; NULL where it is none. Free with g_free(). */
char *sl_in_use_profile (const char *name);

/* ---- one save at a time ----
 *
 * A file beside the profile that only one program can make keeps others' saves out, also those from machines that a
 * lock of the system's doesn't reach. One that was left is taken away: at once where it can be seen that its program is
 * gone, else once it is older than any save takes. */

/* The lock for saving @file, after a few seconds of waiting if need be; NULL where it can't be had: with @busy, since
 * another holds it, else since nothing can be made there. */
SlInUseNote *sl_save_lock_take (GFile *file, GCancellable *cancellable, gboolean *busy);

/* Removes one that was left, where nothing is to be saved. */
void sl_save_lock_tidy (GFile *file);

/* Whether it is still held: to be asked right before the file is put in place. */
gboolean sl_save_lock_holds (SlInUseNote *lock);

/* ---- processes ---- */

/* One process from all others: this boot of the machine, the process's number, and when it started (a number is used
 * again). NULL where no such process runs. Free with g_free(). */
char *sl_process_mark (int pid);

/* Whether the process of this machine with that mark runs. */
gboolean sl_process_runs (const char *mark);
