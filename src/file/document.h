/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document: a profile as XML, read and written with libxml2 (docs/format.md). Reading refuses what it does not
 * know, any DOCTYPE, and anything over the size cap; writing gives canonical bytes; saving is atomic and notices that
 * someone else saved meanwhile. All input and output goes through GFile. */
#pragma once

#include <gio/gio.h>

#include "setup/profile/profile.h"

#define SL_DOCUMENT_VERSION "1" /* of the format; the namespace ends with it */
#define SL_DOCUMENT_NAMESPACE "urn:sidelong:profile:" SL_DOCUMENT_VERSION
#define SL_DOCUMENT_MEDIA_TYPE "application/x-sidelong+xml"
#define SL_DOCUMENT_EXTENSION ".sidelong"
#define SL_DOCUMENT_MOST_BYTES (8 * 1024 * 1024)

typedef enum
{
  SL_DOCUMENT_ERROR_FAULT,  /* the text is not a valid profile; the message begins with the line */
  SL_DOCUMENT_ERROR_READ,   /* the file can't be read */
  SL_DOCUMENT_ERROR_WRITE,  /* the file can't be written; the old one is whole */
  SL_DOCUMENT_ERROR_CHANGED /* someone else saved since it was read */
} SlDocumentError;
#define SL_DOCUMENT_ERROR (sl_document_error_quark ())
GQuark sl_document_error_quark (void);

/* One fault of a text: its line (0 where none can be named) and what is wrong, naming the element, attribute and value.
 */
typedef struct
{
  int line;
  char *message;
} SlDocumentFault;

/* An array of SlDocumentFault that owns them. */
GPtrArray *sl_document_faults_new (void);

/* The bytes of an ordinary file, at most one more than SL_DOCUMENT_MOST_BYTES, and its entity tag (@etag may be NULL).
 */
GBytes *sl_file_bytes (GFile *file, char **etag, GCancellable *cancellable, GError **error);

/* Writes a file whole or not at all: a complete temporary file beside it, then a rename. @stamp as in
 * sl_document_read(): what the caller last saw, NULL: the file must not exist yet; not looked at with @overwrite. */
gboolean sl_file_replace (GFile *file, GBytes *bytes, const char *stamp, gboolean overwrite, GCancellable *cancellable,
                          GError **error);

/* Parses and validates a whole text (XSD, then ranges and sense). Returns the profile, or NULL with at least one fault
 * in @faults, in line order. */
SlProfile *sl_document_parse (const char *text, gsize length, GPtrArray *faults);

/* The canonical bytes of a profile: what sl_document_parse() read from canonical bytes gives those bytes again. */
GBytes *sl_document_print (const SlProfile *profile);

/* Reads a file whole (at most the size cap) and parses it. @faults (may be NULL) gets every fault; @error's message is
 * one line "LINE: message" for the first.
 * @stamp (may be NULL) gets the SHA-256 of the bytes, by which sl_document_save() notices a change by others; free with
 * g_free(). */
SlProfile *sl_document_read (GFile *file, char **stamp, GPtrArray *faults, GCancellable *cancellable, GError **error);

/* Saves atomically: a complete temporary file beside the target, then a rename; a symbolic link is followed and kept,
 * the mode is kept. @stamp is what the caller last saw (NULL, or of NULL: the file must not exist yet unless
 * @overwrite) and is updated on success. With @overwrite the check for others' saves is left out. Never leaves half a
 * file. */
gboolean sl_document_save (GFile *file, const SlProfile *profile, char **stamp, gboolean overwrite,
                           GCancellable *cancellable, GError **error);

/* Around a save, where the version before is to be kept: holds what is there under a name of its own (NULL: nothing is,
 * or with @error it can't be), and after the save makes that NAME.before, with the access rights it had or fewer; where
 * nothing was saved, it goes, and an earlier NAME.before stays. Takes @held. */
GFile *sl_before_hold (GFile *file, GError **error);
gboolean sl_before_settle (GFile *file, GFile *held, gboolean saved, GError **error);
