/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files as bytes: what reading and saving share. Private to the file layer. */
#pragma once

#include "file/document.h"

/* The bytes of an ordinary file, at most one more than SL_DOCUMENT_MOST_BYTES, and its entity tag (@etag may be NULL).
 */
GBytes *sl_file_bytes (GFile *file, char **etag, GCancellable *cancellable, GError **error);

/* Fills @stamp (may be NULL) with what a file is now. */
void sl_stamp_set (SlDocumentStamp *stamp, const char *etag, GBytes *bytes);

/* Whether the file is still what @stamp says, NULL or empty: not there. Returns FALSE with SL_DOCUMENT_ERROR_CHANGED
 * where it is not. @etag (may be NULL) gets its present entity tag. */
gboolean sl_stamp_check (GFile *file, const SlDocumentStamp *stamp, char **etag, GCancellable *cancellable,
                         GError **error);

/* SL_DOCUMENT_ERROR_WRITE for an errno, saying what the person can do. */
void sl_set_write_error (GError **error, int number);

typedef enum
{
  SL_LOCK_HELD,
  SL_LOCK_UNSUPPORTED, /* many shares can't lock a folder: saving goes on without */
  SL_LOCK_BUSY
} SlLock;

/* Locks a folder against other saves into it, waiting a few seconds. The lock ends when @folder_fd is closed, also when
 * the program is killed, and leaves nothing behind. */
SlLock sl_lock_folder (int folder_fd, GCancellable *cancellable);

/* Replaces a local file atomically. */
gboolean sl_replace_local (const char *path, GFile *file, GBytes *bytes, const SlDocumentStamp *stamp,
                           gboolean overwrite, GCancellable *cancellable, GError **error);
