/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The folder of a profile's photographs, "NAME.photos" beside it: files as the camera wrote them, under names of our
 * own. A file is never replaced. All of this waits for the disk. */
#pragma once

#include "photo/image.h"
#include "setup/profile/profile.h"

/* Whether a name in a document can be a file's in the folder: no way out of it, nothing hidden, no control characters.
 */
gboolean sl_photo_name_is_safe (const char *name);

/* Makes the folder where it is not there, as private as the one it is in. That one has to be there (a share that is not
 * connected must not be made anew), but for the person's state folder. */
gboolean sl_photo_need_folder (GFile *folder, GCancellable *cancellable, GError **error);

/* Keeps a picture's bytes in the folder (made where it is not there) under a safe name made of @stem ("fret-3") and the
 * ending of its kind, numbered where that is taken: whole or not at all, and never in place of another. Refuses what
 * sl_image_facts() does. Returns the name; free with g_free(). */
char *sl_photo_keep (GFile *folder, const char *stem, GBytes *bytes, GCancellable *cancellable, GError **error);

/* The bytes of a photograph, bounded: SL_IMAGE_MISSING (or not to be read), _FOREIGN, _TOO_LARGE. A link is not
 * followed, and nothing but an ordinary file is opened; the folder itself may be a link. */
GBytes *sl_photo_bytes (GFile *folder, const char *name, GCancellable *cancellable, GError **error);

/* Copies what @profile's photographs name and @to has not, from one folder to another, byte for byte, each whole or not
 * at all; nothing else in either folder is touched, and no link is followed. What @from has not, or not as a picture
 * that can be read, is named in @left (array of char *) and hinders nothing. FALSE with
 * SL_DOCUMENT_ERROR_WRITE where the folder can't be made or written to, or has another file under one of the names
 * (nothing is copied then): the names in the document have to stay true. Adds what it made to @made (of GFile,
 * may be NULL). */
gboolean sl_photos_carry (const SlProfile *profile, GFile *from, GFile *to, GPtrArray *left, GPtrArray *made,
                          GCancellable *cancellable, GError **error);

/* Removes what was made for a document that then was not saved. */
void sl_photos_take_back (GPtrArray *made);

/* For a merge: renames in @theirs the pictures, which lie in @from, that the folder @mine has others under the name of;
 * returns their names there by those they have now, of char *. Then copies of what a merge took of them to where its
 * profile will look, added to @made (may be NULL); what can't be read is left out. */
GHashTable *sl_photos_name_apart (SlProfile *theirs, GFile *from, GFile *mine);
gboolean sl_photos_bring (const SlProfile *merged, GHashTable *names, GFile *from, GFile *to, GPtrArray *made,
                          GError **error);

/* sl_shelf_duplicate(), with the pictures: both or neither. */
GFile *sl_photos_duplicate (GFile *file, GPtrArray *left, GCancellable *cancellable, GError **error);

/* Removes a folder of a profile never saved with the files in it, which are moved to @to where that has none of the
 * name (NULL: they go, too); links are not followed. What can't be moved stays. */
void sl_photos_clear_folder (GFile *folder, GFile *to);
