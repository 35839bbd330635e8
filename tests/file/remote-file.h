/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A stand-in for a file on a mounted share: a GFile without a path that GIO does not call native and that passes
 * everything on to a local file. */
#pragma once

#include <gio/gio.h>

GFile *test_remote_file_new (GFile *local);

/* How often the file system was asked for anything by @thread since this was called for it last. */
guint test_remote_file_calls (GThread *thread);

/* From now on each question to the file system waits until @together are under way at once (for some seconds, should
 * they not come) and takes @delay_us; with @mount the share is one that the system mounts, which GIO calls native.
 * Returns how many were under way at once since this was called last. */
guint test_remote_file_slow (gboolean mount, guint together, guint delay_us);

/* @cancellable is cancelled when a file is next about to be written; NULL: none. */
void test_remote_file_cancel_at_write (GCancellable *cancellable);

/* The program ends where a file is next opened to be written, and what serves the share closes it, as GVfs does. */
void test_remote_file_end_at_write (void);
