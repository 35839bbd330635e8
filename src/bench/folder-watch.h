/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Follows a folder of profiles: collects which of its files changed until it has been quiet for a moment, since a save
 * makes several events in a row. A monitor tells of them; where that can't see what others do (shares, and whatever
 * else tells nothing), the folder is looked at every second as well, in a thread of its own, which a server that is
 * gone may hold up as long as it likes. */
#pragma once

#include <gio/gio.h>

typedef struct _SlFolderWatch SlFolderWatch;

/* @names: names of profiles that came, went or changed, to keep with g_hash_table_ref() if need be; NULL: the folder
 * itself did, and nothing known of it holds. */
typedef void (*SlFolderChanged) (GHashTable *names, gpointer data);

/* The folder is watched from now on: whatever is read of it from here on, changes to it will be reported. */
typedef void (*SlFolderFollowed) (gpointer data);

/* The folder has not answered for some seconds, or does again. */
typedef void (*SlFolderSilent) (gboolean silent, gpointer data);

/* Whom a watch tells, and of what: of files by names that are @wanted (NULL: profiles), once nothing has happened for
 * @quiet_ms. @silent may be NULL. */
typedef struct
{
  guint quiet_ms;
  SlFolderChanged changed;
  SlFolderFollowed followed;
  SlFolderSilent silent;
  gboolean (*wanted) (const char *name);
} SlFolderUser;

SlFolderWatch *sl_folder_watch_new (const SlFolderUser *user, gpointer data);
void sl_folder_watch_free (SlFolderWatch *self);

/* Follows @folder, which is made first with @make, instead of what was followed before; changes not reported yet are
 * forgotten. Begun in a thread, as a share may be slow: then `followed` is called. */
void sl_folder_watch_follow (SlFolderWatch *self, GFile *folder, gboolean make);

/* The same of one file, with the notes of who has it open (file/in-use.h), and of nothing else beside it. */
void sl_folder_watch_follow_file (SlFolderWatch *self, GFile *file);

/* Reports now whatever waits, and of @file if it is a profile in the folder. */
void sl_folder_watch_tell (SlFolderWatch *self, GFile *file);
