/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The steps between a text and a profile, in the order they run: load, validate (in read.c), convert. Private to
 * the file layer. */
#pragma once

#include <libxml/tree.h>

#include "file/document.h"

#define SL_MOST_FAULTS 200 /* enough to repair a document by; a hostile one must not fill the memory with messages */

/* Adds one fault, unless there are SL_MOST_FAULTS already. */
void sl_faults_add (GPtrArray *faults, int line, const char *format, ...) G_GNUC_PRINTF (3, 4);

#define SL_MOST_SHOWN 80     /* characters of a value or name that a message repeats */
#define SL_MOST_SENTENCE 400 /* characters of a sentence of libxml2's */

/* At most SL_MOST_SHOWN (or @most) characters of @text, on one line. Free with g_free(). */
char *sl_shown (const char *text);
char *sl_shown_within (const char *text, int most);

/* Looks through the bytes and parses the XML. White space between elements, comments and processing instructions are
 * left out; each element's line is kept for sl_node_line(). Refuses a DOCTYPE, foreign namespaces, deep nesting, text
 * outside prose, and documents that would take too much memory. NULL with a fault where the document can't be loaded;
 * text that does not belong is a fault, but the document is still returned. */
xmlDoc *sl_load (const char *text, gsize length, GPtrArray *faults);

/* The line an element's start tag ends on. */
int sl_node_line (const xmlNode *node);

/* Turns the loaded document into a profile. @places are for sl_place_line(); they become NULL where a value was missing
 * or could not be read, so that checking the values against each other would blame the wrong one. Never NULL. */
SlProfile *sl_convert (const xmlNode *root, GPtrArray *faults, GArray **places);

/* The line of the element that the struct @where of the profile was read from, the profile's own where there is none.
 */
int sl_place_line (const GArray *places, const void *where);

/* Makes @stamp (may be NULL) that of @bytes. */
void sl_stamp_set (char **stamp, GBytes *bytes);

/* A file beside @file that nobody else has; what is left of it goes as what killed saves leave does. */
GFile *sl_file_beside (GFile *file);
