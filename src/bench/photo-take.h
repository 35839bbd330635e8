/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Taking pictures in: which file becomes which photograph, and what a shop usually takes pictures of. */
#pragma once

#include "bench/photo-edit.h"

#define SL_SETTING_PICTURE_FOLDER "picture-folder"
#define SL_SETTING_USUAL_PICTURES "usual-pictures"

/* What a picture taken in now shows, as far as what is worked on says it: the stage of the set that is shown, the fret
 * that is held, the string; with @line, that line of the shop's list: "Saddle", "Fret 3", or else a caption. Free with
 * sl_photo_clear(). */
SlPhoto sl_photo_guess (SlBench *bench, const char *line);

/* Takes pictures in, from @files (of GFile) or, where that is NULL, from @bytes: each is kept in a thread, unless it is
 * there already, and then all go into the document as @like shows them (NULL: as guessed), one step; where that has the
 * id of a photograph, what was kept becomes its file. Says through the bench what came of it: "told", "refused". */
void sl_photos_take (SlBench *bench, GListModel *files, GBytes *bytes, const SlPhoto *like);

/* Whether some are on their way into the folder and not yet in the document. */
gboolean sl_photos_being_taken (SlBench *bench);

/* Whether a name has the ending of a picture that can be kept. */
gboolean sl_photo_has_ending (const char *name);

/* The pictures of a folder but those that photographs of @profile (may be NULL) name, those written last first: GFiles,
 * each with "written" as data: when, µs since 1970 (gint64 *). New reference. Waits for the disk. */
GListModel *sl_photos_of_folder (GFile *folder, const SlProfile *profile);

/* The same in a thread: @done has the list as the pointer of its task. */
void sl_photos_look (GFile *folder, const SlProfile *profile, GAsyncReadyCallback done, gpointer data);

/* What the shop usually takes pictures of, a line each; free with g_strfreev(). And whether the visit has the one that
 * @photo shows. */
char **sl_usual_pictures (void);
gboolean sl_photo_is_there (SlBench *bench, const SlPhoto *photo);
