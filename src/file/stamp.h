/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files as bytes, and what a file was when it was read or written last. */
#pragma once

#include <gio/gio.h>

/* What a file was when it was read or written last, to notice a change by others. */
typedef struct
{
  char *etag;     /* GFile's entity tag; NULL for a file not there yet */
  char *checksum; /* SHA-256 of its bytes */
} SlDocumentStamp;
void sl_document_stamp_clear (SlDocumentStamp *stamp);

/* The bytes of an ordinary file, at most one more than SL_DOCUMENT_MOST_BYTES, and its entity tag (@etag may be NULL).
 */
GBytes *sl_file_bytes (GFile *file, char **etag, GCancellable *cancellable, GError **error);

/* Fills @stamp (may be NULL) with what a file is now. */
void sl_stamp_set (SlDocumentStamp *stamp, const char *etag, GBytes *bytes);

/* Whether @stamp (may be NULL) is of a file not there yet. */
gboolean sl_stamp_is_empty (const SlDocumentStamp *stamp);

/* Whether the file is still what @stamp says, NULL or empty: not there. Returns FALSE with SL_DOCUMENT_ERROR_CHANGED
 * where it is not. @etag (may be NULL) gets its present entity tag. */
gboolean sl_stamp_check (GFile *file, const SlDocumentStamp *stamp, char **etag, GCancellable *cancellable,
                         GError **error);

/* SL_DOCUMENT_ERROR_CHANGED with this message; FALSE. */
gboolean sl_set_changed (GError **error, const char *message);
