/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The format's name and limits, and what can be wrong with a document: what every step between a file and a profile
 * knows. */
#pragma once

#include <glib.h>

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

#define SL_MOST_FAULTS 200 /* enough to repair a document by; a hostile one must not fill the memory with messages */
#define SL_MOST_SHOWN 80   /* characters of a value or name that a message repeats */

/* Adds one fault, unless there are SL_MOST_FAULTS already. sl_faults_take() adds it anyway, and owns @message
 * from then on. */
void sl_faults_add (GPtrArray *faults, int line, const char *format, ...) G_GNUC_PRINTF (3, 4);
void sl_faults_take (GPtrArray *faults, int line, char *message);

#define SL_MOST_SENTENCE 400 /* characters of a sentence of libxml2's */

/* At most SL_MOST_SHOWN (or @most) characters of @text, on one line. Free with g_free(). */
char *sl_shown (const char *text);
char *sl_shown_within (const char *text, int most);
