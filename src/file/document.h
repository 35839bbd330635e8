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
  SL_DOCUMENT_ERROR_FAULT,    /* the text is not a valid profile; the message begins with the line */
  SL_DOCUMENT_ERROR_READ,     /* the file can't be read */
  SL_DOCUMENT_ERROR_WRITE,    /* the file can't be written; the old one is whole */
  SL_DOCUMENT_ERROR_CHANGED,  /* someone else saved since it was read */
  SL_DOCUMENT_ERROR_UNCERTAIN /* written whole, but the system does not confirm that it is on the disk */
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

/* ---- threads: a share may be slow, whoever waits for a person is not ---- */

/* Does @work in a thread with @data, which is freed with @free_data (may be NULL) after @done was called. @source is an
 * object that is kept until then. */
void sl_run_in_thread (gpointer source, GCancellable *cancellable, GTaskThreadFunc work, gpointer data,
                       GDestroyNotify free_data, GAsyncReadyCallback done, gpointer done_data);

/* The same for a task that has its data already. */
void sl_run_task (GTask *task, GTaskThreadFunc work);

/* A thread of another kind begins (called by who starts it, always the same thread), and is done: where the program
 * ends before, it leaves without taking apart what the thread uses. */
void sl_thread_begin (void);
void sl_thread_end (void);

/* As sl_run_in_thread(), in one thread for all such work, so that what is put later is done later; and waits until it
 * is done: the program ends. */
void sl_run_in_turn (gpointer source, GTaskThreadFunc work, gpointer data, GDestroyNotify free_data,
                     GAsyncReadyCallback done, gpointer done_data);
void sl_finish_turns (void);

/* Ends such work, whose result is a boolean: @error, which is taken, or TRUE where it is NULL. */
void sl_thread_return (GTask *task, GError *error);

/* ---- documents ---- */

/* An array of SlDocumentFault that owns them. */
GPtrArray *sl_document_faults_new (void);

/* The bytes of an ordinary file, at most one more than SL_DOCUMENT_MOST_BYTES. */
GBytes *sl_file_bytes (GFile *file, GCancellable *cancellable, GError **error);

/* Writes a file whole or not at all: a complete temporary file beside it, then a rename. @stamp as in
 * sl_document_read(): what the caller last saw, NULL: the file must not exist yet; not looked at with @overwrite. A
 * symbolic link is followed and kept; so are mode, access list and extended attributes, as far as the system lets this
 * person keep them, and nobody ever may do more with the new file than with the old. A new one in a folder that only
 * its owner may enter is the owner's alone. */
gboolean sl_file_replace (GFile *file, GBytes *bytes, const char *stamp, gboolean overwrite, GCancellable *cancellable,
                          GError **error);

/* Whether two paths lead to one file, by whichever links. Asks the file system. */
gboolean sl_file_is (GFile *a, GFile *b);

/* Whether a file's name has the ending of a profile, in whichever case. */
gboolean sl_document_has_name (const char *name);

/* The folder that the photographs of the profile in @file lie in, there or not: "NAME.photos" beside "NAME.sidelong".
 * An ending in another case is looked at on the disk: beside a "NAME.sidelong" its is "NAME.SIDELONG.photos". */
#define SL_DOCUMENT_PHOTOS ".photos"
GFile *sl_document_photos (GFile *file);

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

/* Saves as sl_file_replace() does. @stamp is what the caller last saw (NULL, or of NULL: the file must not exist yet
 * unless @overwrite) and is updated where the file was written. With @overwrite the check for others' saves is left
 * out. Never leaves half a file. */
gboolean sl_document_save (GFile *file, const SlProfile *profile, char **stamp, gboolean overwrite,
                           GCancellable *cancellable, GError **error);

/* The same, and what was there stays as NAME.before, with the access rights it had or fewer; where nothing was saved,
 * an earlier NAME.before stays. @not_kept: why there is none although the save went well; NULL: it is not to be kept.
 */
gboolean sl_document_save_beside (GFile *file, const SlProfile *profile, char **stamp, gboolean overwrite,
                                  GError **not_kept, GError **error);
