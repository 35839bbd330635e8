/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* statx() */
#include "file/folder-poll.h"

#include <dirent.h>
#include <fcntl.h>
#include <linux/magic.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <unistd.h>

#include "file/in-use.h"

/* After a change the folder is looked at this often again, whatever its date: a second one may come within the same
 * tick of the file system's clock (2 s on FAT). */
#define LOOKS_AFTER 3
/* Of a quiet folder every file is looked at so often: one that was changed in its place dates itself alone. At most one
 * part in FULL_SHARE of the time goes into that. */
#define FULL_US (60 * G_USEC_PER_SEC)
#define FULL_SHARE 20
#define ASK_US (200 * 1000)       /* of a second, at a stretch */
#define UNKNOWN_INODE 0xffffffffu /* as libfuse lists a file nobody has asked it for */

/* Shares whose magic numbers linux/magic.h lacks, as in fs/smb and fs/fuse of Linux. */
#define CIFS_MAGIC 0xFF534D42u
#define SMB2_MAGIC 0xFE534D42u
#define FUSE_MAGIC 0x65735546u

/* A file as it was seen. */
typedef struct
{
  guint64 inode; /* as the folder lists it */
  guint64 stamp; /* of size and dates as the file itself says; 0: not asked yet */
  guint round;   /* of looking, in which it was seen last */
} Seen;

struct _SlFolderPoll
{
  GFile *folder;
  const char *path; /* NULL where GIO alone gets there */
  gboolean (*wanted) (const char *name);
  char *only;

  GHashTable *files; /* name → Seen; NULL before the first look */
  guint64 stamp;     /* of the folder; 0: not there */
  guint round, looks_due;
  GPtrArray *to_ask;            /* names of files still to be asked for their stamps */
  gint64 asked_us, ask_took_us; /* when some were last, and how long all of them took */
  int alive_s;                  /* when the file system last answered, s of the monotonic clock; atomic */
};

SlFolderPoll *
sl_folder_poll_new (GFile *folder, gboolean (*wanted) (const char *name), const char *only)
{
  SlFolderPoll *poll = g_new0 (SlFolderPoll, 1);

  poll->folder = g_object_ref (folder);
  poll->path = g_file_is_native (folder) ? g_file_peek_path (folder) : NULL;
  poll->wanted = wanted;
  poll->only = g_strdup (only);
  poll->to_ask = g_ptr_array_new_with_free_func (g_free);
  poll->alive_s = (int) (g_get_monotonic_time () / G_USEC_PER_SEC);
  return poll;
}

void
sl_folder_poll_free (SlFolderPoll *poll)
{
  g_object_unref (poll->folder);
  g_clear_pointer (&poll->files, g_hash_table_unref);
  g_ptr_array_unref (poll->to_ask);
  g_free (poll->only);
  g_free (poll);
}

gboolean
sl_folder_is_shared (GFile *folder)
{
  static const guint32 shares[] = { NFS_SUPER_MAGIC, SMB_SUPER_MAGIC,  CIFS_MAGIC,       SMB2_MAGIC,
                                    FUSE_MAGIC,      AFS_SUPER_MAGIC,  AFS_FS_MAGIC,     CODA_SUPER_MAGIC,
                                    V9FS_MAGIC,      CEPH_SUPER_MAGIC, OCFS2_SUPER_MAGIC };
  const char *path = g_file_is_native (folder) ? g_file_peek_path (folder) : NULL;
  struct statfs info;

  if (path == NULL)
    return TRUE;
  for (gsize i = 0; statfs (path, &info) == 0 && i < G_N_ELEMENTS (shares); i++)
    if ((guint32) info.f_type == shares[i])
      return TRUE;
  return FALSE;
}

/* ---- what a file or folder is now ---- */

/* Never 0: that stands for what is not there. */
static guint64
mix (const guint64 *numbers, gsize n)
{
  guint64 stamp = 14695981039346656037u; /* FNV-1a over whole numbers: only to be told apart from the one before */

  for (gsize i = 0; i < n; i++)
    stamp = (stamp ^ numbers[i]) * 1099511628211u;
  return MAX (stamp, 1);
}

static guint64
stamp_of_info (GFileInfo *info)
{
  const guint64 numbers[] = { (guint64) g_file_info_get_size (info),
                              g_file_info_get_attribute_uint64 (info, G_FILE_ATTRIBUTE_TIME_MODIFIED),
                              g_file_info_get_attribute_uint32 (info, G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC) };

  return mix (numbers, G_N_ELEMENTS (numbers));
}

#define ATTRIBUTES                                                                                                     \
  G_FILE_ATTRIBUTE_STANDARD_NAME "," G_FILE_ATTRIBUTE_STANDARD_SIZE "," G_FILE_ATTRIBUTE_TIME_MODIFIED                 \
                                 "," G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC

/* 0: not there. With @fresh a share is asked itself, not what this machine remembers of it: NFS remembers a folder for
 * half a minute (statx(2), AT_STATX_FORCE_SYNC; nfs(5), acdirmin). */
static guint64
stamp_of (SlFolderPoll *poll, const char *name, gboolean fresh)
{
  g_autofree char *path = poll->path != NULL ? g_build_filename (poll->path, name, NULL) : NULL;
  g_autoptr (GFile) file = path == NULL ? g_file_resolve_relative_path (poll->folder, name) : NULL;
  g_autoptr (GFileInfo) info = NULL;
  struct statx now;

  if (path == NULL)
    {
      info = g_file_query_info (file, ATTRIBUTES, G_FILE_QUERY_INFO_NONE, NULL, NULL);
      return info != NULL ? stamp_of_info (info) : 0;
    }
  if (statx (AT_FDCWD, path, fresh ? AT_STATX_FORCE_SYNC : AT_STATX_SYNC_AS_STAT, STATX_BASIC_STATS, &now) != 0)
    return 0;
  const guint64 numbers[] = { now.stx_size, (guint64) now.stx_mtime.tv_sec, now.stx_mtime.tv_nsec,
                              (guint64) now.stx_ctime.tv_sec, now.stx_ctime.tv_nsec };

  return mix (numbers, G_N_ELEMENTS (numbers));
}

/* ---- comparing ---- */

static void
add_changed (GHashTable *changed, const char *name)
{
  if (changed != NULL)
    g_hash_table_add (changed, g_strdup (name));
}

/* Sees a file: by its inode in the folder's list (0: not known), and by its stamp (0: not asked). Where a file system
 * makes its inodes up, the file itself is asked whether it is another. */
static void
see (SlFolderPoll *poll, const char *name, guint64 inode, guint64 stamp, GHashTable *changed)
{
  Seen *seen = g_hash_table_lookup (poll->files, name);
  const gboolean fresh = seen == NULL, other = !fresh && inode != 0 && seen->inode != 0 && inode != seen->inode;

  g_atomic_int_set (&poll->alive_s, (int) (g_get_monotonic_time () / G_USEC_PER_SEC));
  if (fresh)
    {
      seen = g_new0 (Seen, 1);
      g_hash_table_insert (poll->files, g_strdup (name), seen);
    }
  if (other)
    stamp = stamp_of (poll, name, FALSE);
  if (fresh || (stamp != 0 && stamp != seen->stamp && (seen->stamp != 0 || other)))
    add_changed (changed, name);
  if (inode != 0)
    seen->inode = inode;
  if (stamp != 0)
    seen->stamp = stamp;
  seen->round = poll->round;
}

static void
drop_unseen (SlFolderPoll *poll, GHashTable *changed)
{
  GHashTableIter iter;
  gpointer name, seen;

  g_hash_table_iter_init (&iter, poll->files);
  while (g_hash_table_iter_next (&iter, &name, &seen))
    if (((Seen *) seen)->round != poll->round)
      {
        add_changed (changed, name);
        g_hash_table_iter_remove (&iter);
      }
}

/* Lists the names with their inodes: FALSE where it can't. */
static gboolean
list_local (SlFolderPoll *poll, GHashTable *changed)
{
  DIR *dir = opendir (poll->path);

  if (dir == NULL)
    return FALSE;
  for (struct dirent *entry; (entry = readdir (dir)) != NULL;)
    if (poll->wanted (entry->d_name))
      see (poll, entry->d_name, entry->d_ino != UNKNOWN_INODE ? entry->d_ino : 0, 0, changed);
  closedir (dir);
  return TRUE;
}

/* A share that GIO reaches itself tells what files are with their names. */
static gboolean
list_remote (SlFolderPoll *poll, GHashTable *changed)
{
  g_autoptr (GFileEnumerator) files =
      g_file_enumerate_children (poll->folder, ATTRIBUTES, G_FILE_QUERY_INFO_NONE, NULL, NULL);
  GFileInfo *info;

  if (files == NULL)
    return FALSE;
  while (g_file_enumerator_iterate (files, &info, NULL, NULL, NULL) && info != NULL)
    if (poll->wanted (g_file_info_get_name (info)))
      see (poll, g_file_info_get_name (info), 0, stamp_of_info (info), changed);
  return TRUE;
}

/* Asks files for their stamps, so many as are to be had in a moment; the others in the next looks. */
static void
ask_some (SlFolderPoll *poll, GHashTable *changed)
{
  const gint64 start = g_get_monotonic_time ();

  while (poll->to_ask->len > 0 && g_get_monotonic_time () - start < ASK_US)
    {
      const char *name = g_ptr_array_index (poll->to_ask, poll->to_ask->len - 1);
      const guint64 stamp = stamp_of (poll, name, FALSE);

      if (stamp != 0 && g_hash_table_contains (poll->files, name))
        see (poll, name, 0, stamp, changed);
      g_ptr_array_set_size (poll->to_ask, (int) poll->to_ask->len - 1);
    }
  poll->asked_us = g_get_monotonic_time ();
  poll->ask_took_us += poll->asked_us - start;
}

static void
ask_all (SlFolderPoll *poll)
{
  GHashTableIter iter;
  gpointer name;

  poll->ask_took_us = 0;
  g_hash_table_iter_init (&iter, poll->files);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    g_ptr_array_add (poll->to_ask, g_strdup (name));
}

static void
look_at_folder (SlFolderPoll *poll, gboolean due, GHashTable *changed)
{
  const gint64 rest_us = g_get_monotonic_time () - poll->asked_us;
  const gboolean full = rest_us > MAX (FULL_US, FULL_SHARE * poll->ask_took_us);

  poll->round++;
  if (poll->path == NULL)
    {
      if ((due || full) && list_remote (poll, changed))
        {
          drop_unseen (poll, changed);
          poll->asked_us = g_get_monotonic_time ();
        }
      return;
    }
  if (due && list_local (poll, changed))
    drop_unseen (poll, changed);
  if (changed == NULL) /* the first look, for which a person waits */
    return;
  if (poll->to_ask->len == 0 && (full || (due && rest_us > FULL_SHARE * poll->ask_took_us)))
    ask_all (poll);
  if (poll->to_ask->len > 0)
    ask_some (poll, changed);
}

static void
look_at_one (SlFolderPoll *poll, gboolean due, GHashTable *changed)
{
  poll->round++;
  for (int i = 0; i <= SL_IN_USE_MOST; i++)
    {
      g_autofree char *note = i > 0 ? sl_in_use_note_name (poll->only, i) : NULL;
      const char *name = note != NULL ? note : poll->only;
      const gboolean ask = i == 0 || due; /* notes come and go with the folder's date */
      const guint64 stamp = ask ? stamp_of (poll, name, TRUE) : 0;
      Seen *seen = g_hash_table_lookup (poll->files, name);

      if (stamp != 0)
        see (poll, name, 0, stamp, changed);
      else if (!ask && seen != NULL)
        seen->round = poll->round;
    }
  drop_unseen (poll, changed);
}

gboolean
sl_folder_poll_look (SlFolderPoll *poll, GHashTable *changed)
{
  g_atomic_int_set (&poll->alive_s, (int) (g_get_monotonic_time () / G_USEC_PER_SEC));
  const guint64 stamp = stamp_of (poll, ".", TRUE);
  const gboolean first = poll->files == NULL, due = first || stamp != poll->stamp || poll->looks_due > 0,
                 whole = !first && (stamp == 0) != (poll->stamp == 0);

  if (first)
    poll->files = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  if (stamp != poll->stamp)
    poll->looks_due = LOOKS_AFTER;
  else if (poll->looks_due > 0)
    poll->looks_due--;
  poll->stamp = stamp;
  if (stamp != 0)
    (poll->only != NULL ? look_at_one : look_at_folder) (poll, due, first ? NULL : changed);
  return whole;
}

int
sl_folder_poll_alive (const SlFolderPoll *poll)
{
  return g_atomic_int_get (&poll->alive_s);
}
