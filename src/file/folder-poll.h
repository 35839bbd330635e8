/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a folder of files looked like, to be compared with what it looks like now. Cheap enough for every second: a file
 * that is saved as a whole is another file under the old name, and its folder is dated anew. */
#pragma once

#include <gio/gio.h>

typedef struct _SlFolderPoll SlFolderPoll;

/* Files by @wanted names; with @only (may be NULL) just that one and the notes on it, by name. */
SlFolderPoll *sl_folder_poll_new (GFile *folder, gboolean (*wanted) (const char *name), const char *only);
void sl_folder_poll_free (SlFolderPoll *poll);

/* Whether @folder lies where monitors don't tell what others do: on a share, or somewhere nothing is known of. */
gboolean sl_folder_is_shared (GFile *folder);

/* Looks, which may take as long as the file system likes. Names that came, went or changed since the last look are
 * added to @changed (a set that owns them); TRUE where the folder itself went or came. The first look adds none. */
gboolean sl_folder_poll_look (SlFolderPoll *poll, GHashTable *changed);

/* When the file system last answered, in seconds of the monotonic clock: from any thread. */
int sl_folder_poll_alive (const SlFolderPoll *poll);
