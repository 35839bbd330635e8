/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document: a profile as XML, read and written with libxml2 (docs/format.md). Reading refuses what it does not
 * know, any DOCTYPE, and anything over the size cap; writing gives canonical bytes; saving is atomic and notices that
 * someone else saved meanwhile. All input and output goes through GFile. */
#pragma once

#include <gio/gio.h>

#include "file/faults.h"
#include "file/stamp.h"
#include "setup/profile/profile.h"

/* Parses and validates a whole text (XSD, then ranges and sense). Returns the profile, or NULL with at least one fault
 * in @faults, in line order. */
SlProfile *sl_document_parse (const char *text, gsize length, GPtrArray *faults);

/* The canonical bytes of a profile: what sl_document_parse() read from canonical bytes gives those bytes again. */
GBytes *sl_document_print (const SlProfile *profile);

/* Reads a file whole (at most the size cap) and parses it. @faults (may be NULL) gets every fault; @error's message is
 * one line "LINE: message" for the first.
 * @stamp may be NULL. */
SlProfile *sl_document_read (GFile *file, SlDocumentStamp *stamp, GPtrArray *faults, GCancellable *cancellable,
                             GError **error);

/* Saves atomically: a complete temporary file beside the target, then a rename; a symbolic link is followed and kept,
 * the mode is kept. @stamp is what the caller last saw (NULL, or empty: the file must not exist yet unless @overwrite)
 * and is updated on success. With @overwrite the check for others' saves is left out. Never leaves half a file. */
gboolean sl_document_save (GFile *file, const SlProfile *profile, SlDocumentStamp *stamp, gboolean overwrite,
                           GCancellable *cancellable, GError **error);
