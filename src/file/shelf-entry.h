/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One file on the shelf: what is listed and searched of it. */
#pragma once

#include "file/document.h"
#include "setup/profile/shop.h"

typedef enum
{
  SL_SHELF_NO_VISIT,
  SL_SHELF_VISIT_OPEN, /* the last visit is not closed */
  SL_SHELF_VISIT_CLOSED
} SlShelfVisit;

/* One file. Never changes once made, so threads share it; the texts are never NULL, empty where the document has none.
 */
typedef struct
{
  char *name;              /* of the file in its folder, as the system spells it */
  char *fault;             /* NULL for a sound profile; else what is wrong, and everything below is empty */
  gboolean fault_has_line; /* @fault is of the text, and begins with its line: "12: …" */

  char *id, *baseline;
  SlKind kind;
  char *label, *owner, *contact, *maker, *model, *serial, *year;
  char *last_visit; /* day it was opened, as the document has it */
  char *fitted;     /* since when its strings are on, as the document has it */
  SlShelfVisit visit;
  guint n_visits;
  /* The state now: the last readings, with the work done since. NAN where it was not read. mm */
  double action_treble, action_bass, relief;
  char *search; /* every text of the profile, notes too, folded (compatibility forms, case); its first
                   SL_SHELF_SEARCH_BYTES */

  /* What the file was when it was read. */
  guint64 size, inode;
  gint64 modified_us, changed_us,
      read_us; /* since 1970 UTC; changed: contents, name or rights, a time nobody can set */
} SlShelfEntry;

#define SL_SHELF_SEARCH_BYTES 32768

SlShelfEntry *sl_shelf_entry_ref (const SlShelfEntry *entry);
void sl_shelf_entry_unref (SlShelfEntry *entry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlShelfEntry, sl_shelf_entry_unref)

/* Reads one file, with the state now as @shop would have it. NULL only where there is no such file, or reading was
 * cancelled. */
SlShelfEntry *sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable);

/* A file's name, without its ending, for people. Free with g_free(). */
char *sl_shelf_display_name (const char *name);

#define SL_SHELF_ATTRIBUTES                                                                                            \
  G_FILE_ATTRIBUTE_STANDARD_NAME "," G_FILE_ATTRIBUTE_STANDARD_SIZE "," G_FILE_ATTRIBUTE_TIME_MODIFIED                 \
                                 "," G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC "," G_FILE_ATTRIBUTE_TIME_CHANGED             \
                                 "," G_FILE_ATTRIBUTE_TIME_CHANGED_USEC "," G_FILE_ATTRIBUTE_UNIX_INODE

/* An entry with nothing in it but a name. */
SlShelfEntry *sl_shelf_entry_new (const char *name);

/* Whether the file is still, by its SL_SHELF_ATTRIBUTES, what it was when it was read. */
gboolean sl_shelf_entry_is_current (const SlShelfEntry *entry, GFileInfo *info);

/* Reads a file whose information is known. NULL where it is gone or reading was cancelled. */
SlShelfEntry *sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);

/* What a person types, as folded words ended by NULL; free with g_strfreev(). An entry is found if every word stands
 * somewhere in its text or file name. */
char **sl_shelf_words (const char *typed);
gboolean sl_shelf_entry_matches (const SlShelfEntry *entry, char **words);

/* Whether its strings are known to have been on since before @day, "2026-02-09". */
gboolean sl_shelf_entry_has_strings_before (const SlShelfEntry *entry, const char *day);
