/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The atomic replacement of a file. Private to the file layer. */
#pragma once

#include "file/stamp.h"

/* Writes @bytes to @path (@file is the same) by a temporary file and a rename; @stamp and @overwrite as in
 * sl_document_save(). */
gboolean sl_replace_local (const char *path, GFile *file, GBytes *bytes, const SlDocumentStamp *stamp,
                           gboolean overwrite, GCancellable *cancellable, GError **error);

/* Writes @bytes to @file, whole or not at all, wherever it is; @stamp and @overwrite as in sl_document_save(). */
gboolean sl_replace (GFile *file, GBytes *bytes, const SlDocumentStamp *stamp, gboolean overwrite,
                     GCancellable *cancellable, GError **error);
