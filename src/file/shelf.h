/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf: what a folder of profiles holds, one entry a file, read in threads and remembered in an index, so that
 * thousands of profiles are listed at once. The index is only a memory: it lies in the person's cache folder, is
 * deleted at any time without loss, and is not believed where it is damaged, of another version, or where a file is no
 * longer what it was. Files that are no profiles are entries too, with what is wrong with them. */
#pragma once

#include "file/document.h"
#include "setup/profile/shop.h"

/* ---- one file on the shelf: what is listed and searched of it ---- */

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

/* ---- all of them ---- */

/* Told of every lot of entries while they are read: the entries (of SlShelfEntry, borrowed), and how many of how many
 * files are done. */
typedef void (*SlShelfProgress) (const GPtrArray *lot, guint done, guint total, gpointer data);

/* Reads the profiles of a folder (what is in folders within it is not on this shelf): those the index knows at once,
 * the others in several threads. @index_folder is where indexes lie (NULL: none is used; one made for another shop is
 * not believed); sl_shelf_index_folder() is the usual place. Returns the entries, in order of name, or NULL with
 * G_IO_ERROR where the folder can't be read or reading was cancelled; what was read by then has been told of, and is
 * remembered. */
GPtrArray *sl_shelf_read (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                          gpointer data, GCancellable *cancellable, GError **error);

/* The same in a thread, which gets a copy of @shop; @progress is called in the caller's main context, never after
 * @done. */
void sl_shelf_read_async (GFile *folder, GFile *index_folder, const SlShop *shop, SlShelfProgress progress,
                          gpointer progress_data, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data);
GPtrArray *sl_shelf_read_finish (GAsyncResult *result, GError **error);

GFile *sl_shelf_index_folder (void);

/* The file that remembers a folder. */
GFile *sl_shelf_index_file (GFile *folder, GFile *index_folder);

/* Entries whose id another one has too: table from entry to the other's name (both borrowed). Copying a file in a file
 * manager makes such twins; each is a whole profile, but a baseline named by that id could be either. */
GHashTable *sl_shelf_twins (const GPtrArray *entries);

/* ---- work on them ----
 *
 * What is done to files on the shelf: added under a free name, copied, renamed, moved to the trash and brought back.
 * Nothing here ever replaces a file. A profile's photographs (sl_document_photos()) go with it: both or neither. */

/* Saves @profile into @folder as "STEM.sidelong", or "STEM 2.sidelong" and so on if that name, or a folder of
 * photographs of that name, is taken. Returns the file, or NULL. */
GFile *sl_shelf_add (GFile *folder, const SlProfile *profile, const char *stem, GCancellable *cancellable,
                     GError **error);

/* The same with a profile's file, byte for byte. */
GFile *sl_shelf_add_bytes (GFile *folder, GBytes *bytes, const char *stem, GCancellable *cancellable, GError **error);

/* A name for a file made from any text: what no file system takes is left out. Never empty. Free with g_free(). */
char *sl_shelf_stem (const char *text);

/* A whole copy of a profile beside it, with an id and a label of its own, as yet without its photographs
 * (sl_photos_duplicate()). Returns the copy. */
GFile *sl_shelf_duplicate (GFile *file, GCancellable *cancellable, GError **error);

/* Gives a profile another label (NULL: keeps it, and then any file can be renamed, sound or not) and its file another
 * name, without ending. Returns the file as it is called now. Fails with G_IO_ERROR_EXISTS where another file, or a
 * folder of photographs, has the name; nothing is changed then. */
GFile *sl_shelf_rename (GFile *file, const char *label, const char *stem, GCancellable *cancellable, GError **error);

/* Moves a file and its folder of photographs to the trash. For sl_shelf_restore() @kept gets what was in the file, or
 * NULL where that is more than a profile can be, and @pictures by what the folder is found in the trash, NULL where
 * there was none; free with g_free(). Where a share has no trash both stay, with G_IO_ERROR_NOT_SUPPORTED. */
gboolean sl_shelf_trash (GFile *file, GBytes **kept, char **pictures, GCancellable *cancellable, GError **error);

/* Puts it back where it was, the file as it was kept (the copy in the trash stays there), the folder itself, out of the
 * trash; without the folder where the trash was emptied meanwhile. Fails where something else has one of the names. */
gboolean sl_shelf_restore (GFile *file, GBytes *kept, const char *pictures, GCancellable *cancellable, GError **error);
