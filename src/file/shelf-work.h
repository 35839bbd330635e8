/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is done to files on the shelf: added under a free name, copied, renamed, moved to the trash and brought back.
 * Nothing here ever replaces a file. */
#pragma once

#include "file/shelf.h"

/* Saves @profile into @folder as "STEM.sidelong", or "STEM 2.sidelong" and so on if that name is taken. Returns the
 * file, or NULL. */
GFile *sl_shelf_add (GFile *folder, const SlProfile *profile, const char *stem, GCancellable *cancellable,
                     GError **error);

/* A name for a file made from any text: what no file system takes is left out. Never empty. Free with g_free(). */
char *sl_shelf_stem (const char *text);

/* A whole copy of a profile beside it, with an id and a label of its own. Returns the copy. */
GFile *sl_shelf_duplicate (GFile *file, GCancellable *cancellable, GError **error);

/* Gives a profile another label (NULL: keeps it, and then any file can be renamed, sound or not) and its file another
 * name, without ending. Returns the file as it is called now. Fails with G_IO_ERROR_EXISTS where another file has the
 * name; nothing is changed then. */
GFile *sl_shelf_rename (GFile *file, const char *label, const char *stem, GCancellable *cancellable, GError **error);

/* Moves a file to the trash. @kept gets what was in it, for sl_shelf_restore(), or NULL where that is more than a
 * profile can be. Where a share has no trash the file stays, with G_IO_ERROR_NOT_SUPPORTED. */
gboolean sl_shelf_trash (GFile *file, GBytes **kept, GCancellable *cancellable, GError **error);

/* Puts it back where it was; fails with G_IO_ERROR_EXISTS where something else has the name meanwhile. The copy in the
 * trash stays there. */
gboolean sl_shelf_restore (GFile *file, GBytes *kept, GCancellable *cancellable, GError **error);
