/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Saving: atomic, and never over what someone else saved meanwhile. A local file is replaced by code of our own: GLib's
 * turns a symbolic link into a plain file and a mode of 0600 into 0644; and it can't be told to look at the file again
 * with the new one already complete beside it. */
#define _GNU_SOURCE /* renameat2() */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include "file/document.h"
#include "file/document-private.h"
#include "file/in-use.h"
#include "setup/profile/bounds.h"

#define MOST_LINKS 40      /* links followed before they are taken for a circle, as Linux does */
#define MOST_NAMES 100     /* temporary names tried */
#define NEW_FILE_MODE 0666 /* the umask takes from it */
#define PRIVATE_MODE 0600  /* in a folder for its owner alone, and until a file gets the mode of the one it replaces */
#define PERMISSION_BITS 0777
#define ACCESS_LIST "system.posix_acl_access" /* acl(5), as an extended attribute */
#define STALE_SECONDS 3600 /* a save takes milliseconds: an hour-old temporary file belongs to a killed program */
#define WAIT_MICROSECONDS 10000
#define MOST_WAITS 500 /* five seconds: a save takes milliseconds, so whoever still holds the lock is stuck */
#define TEMPORARY_MARK ".sidelong-save-"
#define MOST_NAME_BYTES 100 /* of the file's, that a temporary one repeats */

/* ---- what the file was ---- */

static gboolean
refuse (GError **error, SlDocumentError code, const char *message)
{
  g_set_error_literal (error, SL_DOCUMENT_ERROR, code, message);
  return FALSE;
}

/* Someone else changed what is there. */
static gboolean
set_changed (GError **error, const char *message)
{
  return refuse (error, SL_DOCUMENT_ERROR_CHANGED, message);
}

/* Whether the file is still what @stamp says, NULL: not there. */
static gboolean
check_stamp (GFile *file, const char *stamp, GCancellable *cancellable, GError **error)
{
  g_autoptr (GError) inner = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, cancellable, &inner);
  if (bytes == NULL && !g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_NOT_FOUND))
    {
      g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
                   _ ("Not saved: what is there now can't be read: %s. Save under another name"), inner->message);
      return FALSE;
    }
  if (stamp == NULL)
    return bytes == NULL || set_changed (error, _ ("Not saved: there is already a file of this name"));
  if (bytes == NULL)
    return set_changed (error, _ ("Not saved: the file was moved or deleted since it was opened"));
  g_autofree char *checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
  /* The bytes decide: a clock as coarse as a file system's gives two saves in a row one tag, and a touched file another
   * although nothing changed. */
  return g_str_equal (checksum, stamp) ||
         set_changed (error, _ ("Not saved: someone else saved this file since it was opened"));
}

static const char *
busy_words (void)
{
  return _ (
      "Not saved: another program has been saving into this folder for some seconds. Try again, or save in another "
      "place");
}

/* ---- a local file ---- */

/* Locks a folder against other saves into it, waiting a few seconds; @held: whether it could be. The lock ends when
 * @folder_fd is closed, also when the program is killed, and leaves nothing behind. */
static gboolean
lock_folder (int folder_fd, gboolean *held, GCancellable *cancellable, GError **error)
{
  for (int i = 0; i < MOST_WAITS; i++)
    {
      if (g_cancellable_set_error_if_cancelled (cancellable, error))
        return FALSE;
      *held = flock (folder_fd, LOCK_EX | LOCK_NB) == 0;
      if (*held || (errno != EWOULDBLOCK && errno != EINTR))
        return TRUE; /* many shares can't lock a folder: saving goes on without */
      g_usleep (WAIT_MICROSECONDS);
    }
  return refuse (error, SL_DOCUMENT_ERROR_WRITE, busy_words ());
}

/* A save on its way. */
typedef struct
{
  char *folder, *name; /* of the real file, links resolved */
  int folder_fd;
  gboolean exists;
  struct stat before; /* where it exists */
  char *temporary;    /* name in the folder, while there is one */
  int fd;             /* of the temporary file, −1 when closed */
} Save;

static void
save_clear (Save *save)
{
  if (save->fd >= 0)
    close (save->fd);
  if (save->temporary != NULL)
    unlinkat (save->folder_fd, save->temporary, 0);
  if (save->folder_fd >= 0)
    close (save->folder_fd);
  g_free (save->temporary);
  g_free (save->folder);
  g_free (save->name);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Save, save_clear)

static const char *
advice (int number)
{
  switch (number)
    {
    case ENOSPC:
    case EDQUOT: return _ ("the disk is full. Free some space, or save in another place");
    case EFBIG: return _ ("the file would be larger than this system allows. Save in another place");
    case EACCES:
    case EPERM: return _ ("you may not write there. Save in another place, or ask whoever owns the folder");
    case EROFS: return _ ("the disk or share is read-only. Save in another place");
    case ENOENT:
    case ENOTDIR: return _ ("the folder is not there. Save in another place, or connect the share again");
    case ELOOP: return _ ("the symbolic links lead in a circle. Save under another name");
    case ENAMETOOLONG: return _ ("the name is too long. Save under a shorter name");
    default: return NULL;
    }
}

/* SL_DOCUMENT_ERROR_WRITE for an errno, saying what the person can do; FALSE. */
static gboolean
fail (GError **error, int number)
{
  const char *words = advice (number);
  if (words != NULL)
    g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE, _ ("Not saved: %s. What was on disk is unchanged"),
                 words);
  else
    g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
                 _ ("Not saved: %s. What was on disk is unchanged; try again, or save in another place"),
                 g_strerror (number));
  return FALSE;
}

/* The path at the end of all symbolic links, also where nothing is there yet. */
static char *
resolve (const char *path, GError **error)
{
  g_autofree char *current = g_strdup (path);
  for (int i = 0; i < MOST_LINKS; i++)
    {
      g_autoptr (GError) inner = NULL;
      g_autofree char *link = g_file_read_link (current, &inner);
      if (link == NULL)
        return g_steal_pointer (&current);
      g_autofree char *folder = g_path_get_dirname (current);
      char *next = g_path_is_absolute (link) ? g_strdup (link) : g_build_filename (folder, link, NULL);
      g_free (current);
      current = next;
    }
  fail (error, ELOOP);
  return NULL;
}

static gboolean
open_folder (Save *save, const char *path, GError **error)
{
  g_autofree char *real = resolve (path, error);
  if (real == NULL)
    return FALSE;
  save->folder = g_path_get_dirname (real);
  save->name = g_path_get_basename (real);
  save->folder_fd = open (save->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  return save->folder_fd >= 0 || fail (error, errno);
}

static gboolean
look_at_target (Save *save, GError **error)
{
  if (fstatat (save->folder_fd, save->name, &save->before, 0) != 0)
    return errno == ENOENT || fail (error, errno);
  save->exists = TRUE;
  if (!S_ISREG (save->before.st_mode))
    return refuse (error, SL_DOCUMENT_ERROR_WRITE,
                   _ ("Not saved: what has this name is not an ordinary file. Save under another name"));
  /* A rename would also replace a file that is marked read-only, which is not what the mark asks for. */
  return faccessat (save->folder_fd, save->name, W_OK, AT_EACCESS) == 0 || fail (error, errno);
}

/* What the names of temporary files beside a file of this name begin with: of a long one as much as are whole
 * characters. */
static char *
temporary_prefix (const char *name)
{
  gsize n = strlen (name);
  if (n > MOST_NAME_BYTES)
    for (n = MOST_NAME_BYTES; n > 0 && (name[n] & 0xC0) == 0x80;) /* a byte within a character of UTF-8 */
      n--;
  return g_strdup_printf (".%.*s" TEMPORARY_MARK, (int) n, name);
}

GFile *
sl_file_beside (GFile *file)
{
  g_autofree char *name = g_file_get_basename (file), *prefix = temporary_prefix (name),
                  *own = g_strdup_printf ("%s%08x", prefix, g_random_int ());
  g_autoptr (GFile) folder = g_file_get_parent (file);

  return g_file_get_child (folder, own);
}

static gboolean
create_temporary (Save *save, GError **error)
{
  g_autofree char *prefix = temporary_prefix (save->name);
  struct stat folder;
  const gboolean private = save->exists || (fstat (save->folder_fd, &folder) == 0 && (folder.st_mode & 077) == 0);
  for (int i = 0; i < MOST_NAMES; i++)
    {
      g_autofree char *name = g_strdup_printf ("%s%08x", prefix, g_random_int ());
      save->fd = openat (save->folder_fd, name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                         private ? PRIVATE_MODE : NEW_FILE_MODE);
      if (save->fd >= 0)
        {
          save->temporary = g_steal_pointer (&name);
          return TRUE;
        }
      if (errno != EEXIST)
        return fail (error, errno);
    }
  return fail (error, EEXIST);
}

/* Gives the new file the extended attributes of the one at @path, its access list among them; FALSE where it now has
 * another list than that. */
static gboolean
copy_attributes (const char *path, int fd)
{
  gboolean listed = FALSE, kept = TRUE;
  const ssize_t room = listxattr (path, NULL, 0);
  g_autofree char *names = g_malloc0 ((gsize) MAX (room, 0) + 1);
  const ssize_t length = room > 0 ? listxattr (path, names, (gsize) room) : 0;
  for (const char *name = names; name - names < length; name += strlen (name) + 1)
    {
      ssize_t size = getxattr (path, name, NULL, 0);
      g_autofree char *value = g_malloc0 ((gsize) MAX (size, 0) + 1);
      /* others are the system's own, of these bytes or of this place */
      if (!g_str_has_prefix (name, "user.") && !g_str_has_prefix (name, "system."))
        continue;
      size = size > 0 ? getxattr (path, name, value, (gsize) size) : size;
      const gboolean set = size >= 0 && fsetxattr (fd, name, value, (gsize) size, 0) == 0;
      if (g_str_equal (name, ACCESS_LIST))
        {
          listed = TRUE;
          kept = set;
        }
    }
  /* one that the folder gives to new files could let in whom the old file kept out */
  return listed ? kept : fremovexattr (fd, ACCESS_LIST) == 0 || errno == ENODATA || errno == ENOTSUP || errno == ENOSYS;
}

/* The owner and group as far as this user may set them; the mode without fail, or less: nobody may do more with the new
 * file than with the old one. */
static gboolean
take_over_access (Save *save, GError **error)
{
  if (!save->exists)
    return TRUE;
  g_autofree char *path = g_build_filename (save->folder, save->name, NULL);
  mode_t mode = save->before.st_mode & PERMISSION_BITS;
  const gboolean same_group = fchown (save->fd, save->before.st_uid, save->before.st_gid) == 0 ||
                              fchown (save->fd, (uid_t) -1, save->before.st_gid) == 0;
  if (!copy_attributes (path, save->fd))
    mode &= S_IRWXU; /* the group's bits were a limit for those on the list */
  else if (!same_group)
    {
      /* The group's place is another's now, and the old group is among the others: what both might do. */
      const mode_t both = mode & mode >> 3 & S_IRWXO;
      mode = (mode & S_IRWXU) | both << 3 | both;
    }
  if (fchmod (save->fd, mode) == 0)
    return TRUE;
  /* Shares without modes refuse: then there is none to lose, if it is already as it was. */
  struct stat now;
  int number = errno;
  if (fstat (save->fd, &now) == 0 && (now.st_mode & PERMISSION_BITS) == mode)
    return TRUE;
  return fail (error, number);
}

static gboolean
write_all (Save *save, GBytes *bytes, GError **error)
{
  gsize length;
  const char *data = g_bytes_get_data (bytes, &length);
  while (length > 0)
    {
      gssize n = write (save->fd, data, length);
      if (n < 0 && errno == EINTR)
        continue;
      if (n < 0)
        return fail (error, errno);
      data += n;
      length -= (gsize) n;
    }
  if (fsync (save->fd) != 0)
    return fail (error, errno);
  /* Shares report a full disk as late as here. */
  int closed = close (save->fd);
  save->fd = -1;
  return closed == 0 || fail (error, errno);
}

static gboolean
set_changed_now (GError **error)
{
  return set_changed (error, _ ("Not saved: someone else saved this file at the same moment"));
}

/* Where the lock does not reach (another machine, another program), the file may have changed since it was checked. */
static gboolean
still_the_same (Save *save, GError **error)
{
  struct stat now;
  if (fstatat (save->folder_fd, save->name, &now, 0) != 0)
    return !save->exists || set_changed_now (error);
  if (save->exists && now.st_ino == save->before.st_ino && now.st_dev == save->before.st_dev &&
      now.st_size == save->before.st_size && now.st_mtim.tv_sec == save->before.st_mtim.tv_sec &&
      now.st_mtim.tv_nsec == save->before.st_mtim.tv_nsec)
    return TRUE;
  return set_changed_now (error);
}

/* Puts the temporary file in place; @fresh: only where nothing of that name is there, which the kernel decides. */
static gboolean
put_in_place (Save *save, gboolean fresh, GError **error)
{
  int result = -1;
  if (fresh)
    {
      result = renameat2 (save->folder_fd, save->temporary, save->folder_fd, save->name, RENAME_NOREPLACE);
      if (result != 0 && errno == EEXIST)
        return set_changed_now (error);
    }
  /* EINVAL, ENOSYS: this file system only has the plain rename */
  if (!fresh || (result != 0 && (errno == EINVAL || errno == ENOSYS)))
    result = renameat (save->folder_fd, save->temporary, save->folder_fd, save->name);
  if (result != 0)
    return fail (error, errno);
  g_clear_pointer (&save->temporary, g_free);
  /* The new name is on disk only when the folder is. Where a file system can't sync a folder (EINVAL and the like),
   * there is no more to be done. */
  if (fsync (save->folder_fd) == 0 || errno == EINVAL || errno == EBADF || errno == ENOSYS || errno == ENOTSUP)
    return TRUE;
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN,
               _ ("Written, but the disk does not confirm it (%s), and the next power cut may bring the old file back. "
                  "Save again, or in another place"),
               g_strerror (errno));
  return FALSE;
}

/* Removes what killed saves of this file left behind, once it is older than any save can take. Only under the lock. */
static void
remove_stale (Save *save)
{
  g_autofree char *prefix = temporary_prefix (save->name);
  struct stat ours, theirs;
  int fd = openat (save->folder_fd, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  DIR *folder = fd >= 0 ? fdopendir (fd) : NULL;
  if (folder == NULL)
    {
      if (fd >= 0)
        close (fd);
      return;
    }
  /* The age is taken by the file system's clock, not this machine's; from when the name was given: what is kept of a
   * version before is as old as that. */
  for (struct dirent *entry; fstat (save->fd, &ours) == 0 && (entry = readdir (folder)) != NULL;)
    if (g_str_has_prefix (entry->d_name, prefix) && !g_str_equal (entry->d_name, save->temporary) &&
        fstatat (save->folder_fd, entry->d_name, &theirs, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG (theirs.st_mode) &&
        ours.st_ctim.tv_sec - theirs.st_ctim.tv_sec > STALE_SECONDS)
      unlinkat (save->folder_fd, entry->d_name, 0);
  closedir (folder);
}

/* Others' saves are kept out as far as @lock holds (NULL: there is none). */
static gboolean
still_locked (SlInUseNote *lock, GError **error)
{
  return lock == NULL || sl_save_lock_holds (lock) || refuse (error, SL_DOCUMENT_ERROR_WRITE, busy_words ());
}

/* Writes @bytes to @path (@file is the same) by a temporary file and a rename. */
static gboolean
replace_local (const char *path, GFile *file, GBytes *bytes, const char *stamp, gboolean overwrite, SlInUseNote *lock,
               GCancellable *cancellable, GError **error)
{
  g_auto (Save) save = { .folder_fd = -1, .fd = -1 };
  gboolean locked;
  if (!open_folder (&save, path, error) || !lock_folder (save.folder_fd, &locked, cancellable, error))
    return FALSE;
  if (!look_at_target (&save, error) || (!overwrite && !check_stamp (file, stamp, cancellable, error)))
    return FALSE;
  if (!create_temporary (&save, error))
    return FALSE;
  if (locked)
    remove_stale (&save);
  if (!take_over_access (&save, error) || !write_all (&save, bytes, error))
    return FALSE;
  if ((!overwrite && !still_the_same (&save, error)) || !still_locked (lock, error))
    return FALSE;
  return put_in_place (&save, !overwrite && !save.exists, error);
}

/* ---- any file ---- */

/* Gives the new file the mode of the one it replaces, where the share has modes. */
static void
take_over_mode (GFile *file, GFile *whole)
{
  g_autoptr (GFileInfo) info = g_file_query_info (file, G_FILE_ATTRIBUTE_UNIX_MODE, G_FILE_QUERY_INFO_NONE, NULL, NULL);

  if (info != NULL && g_file_info_has_attribute (info, G_FILE_ATTRIBUTE_UNIX_MODE))
    g_file_set_attribute_uint32 (whole, G_FILE_ATTRIBUTE_UNIX_MODE,
                                 g_file_info_get_attribute_uint32 (info, G_FILE_ATTRIBUTE_UNIX_MODE) & PERMISSION_BITS,
                                 G_FILE_QUERY_INFO_NONE, NULL, NULL);
}

/* What a symbolic link leads to, or the file itself. */
static GFile *
followed (GFile *file)
{
  const char *const what = G_FILE_ATTRIBUTE_STANDARD_SYMLINK_TARGET;
  g_autoptr (GFileInfo) info = g_file_query_info (file, what, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);
  const char *target = info != NULL ? g_file_info_get_attribute_byte_string (info, what) : NULL;
  g_autoptr (GFile) folder = g_file_get_parent (file);

  return target != NULL ? g_file_resolve_relative_path (folder, target) : g_object_ref (file);
}

static gboolean
write_whole (GFile *whole, GBytes *bytes, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileOutputStream) stream = g_file_create (whole, G_FILE_CREATE_NONE, cancellable, error);
  gsize length;
  const void *data = g_bytes_get_data (bytes, &length);

  return stream != NULL &&
         g_output_stream_write_all (G_OUTPUT_STREAM (stream), data, length, NULL, cancellable, error) &&
         g_output_stream_close (G_OUTPUT_STREAM (stream), cancellable, error);
}

/* Not through a path: a share that GIO reaches itself. GIO's own replacement won't do: where this program ends in the
 * middle of it, the service that talks to the server closes the file for it, and puts what came so far, mostly nothing,
 * in place of the whole. So a file is made beside, and moved. */
static gboolean
replace_remote (GFile *given, GBytes *bytes, const char *stamp, gboolean overwrite, SlInUseNote *lock,
                GCancellable *cancellable, GError **error)
{
  const gboolean fresh = !overwrite && stamp == NULL;
  const GFileCopyFlags flags = fresh ? G_FILE_COPY_NONE : G_FILE_COPY_OVERWRITE;
  g_autoptr (GFile) file = followed (given), whole = sl_file_beside (file);
  g_autoptr (GError) inner = NULL;
  gboolean moving = FALSE;

  if (write_whole (whole, bytes, cancellable, &inner))
    {
      take_over_mode (file, whole);
      moving = (overwrite || check_stamp (file, stamp, cancellable, &inner)) && still_locked (lock, &inner);
    }
  if (moving && g_file_move (whole, file, flags, cancellable, NULL, NULL, &inner))
    return TRUE;
  /* some take the old file away before they move, and may then have failed: the new one is the only one */
  if (!moving || fresh || g_file_query_exists (file, NULL))
    g_file_delete (whole, NULL, NULL);
  if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_CANCELLED) || inner->domain == SL_DOCUMENT_ERROR)
    {
      g_propagate_error (error, g_steal_pointer (&inner));
      return FALSE;
    }
  if (fresh && g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_EXISTS))
    return set_changed (error, _ ("Not saved: there is already a file of this name"));
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
               _ ("Not saved: %s. Try again, or save in another place"), inner->message);
  return FALSE;
}

gboolean
sl_file_replace (GFile *file, GBytes *bytes, const char *stamp, gboolean overwrite, GCancellable *cancellable,
                 GError **error)
{
  g_autofree char *path = g_file_is_native (file) ? g_file_get_path (file) : NULL, *name = g_file_get_basename (file);
  gboolean busy = FALSE;
  g_autoptr (SlInUseNote) lock = sl_document_has_name (name) ? sl_save_lock_take (file, cancellable, &busy) : NULL;

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (busy)
    return refuse (error, SL_DOCUMENT_ERROR_WRITE, busy_words ());
  return path != NULL ? replace_local (path, file, bytes, stamp, overwrite, lock, cancellable, error)
                      : replace_remote (file, bytes, stamp, overwrite, lock, cancellable, error);
}

/* What could not be read again must not be written; of too much in it, the profile tells best. */
static gboolean
check_readable (const SlProfile *profile, GBytes *bytes, GError **error)
{
  g_autoptr (GPtrArray) overfull = sl_profile_overfull (profile), faults = sl_document_faults_new ();
  gsize length;
  const char *text = g_bytes_get_data (bytes, &length);
  g_autoptr (SlProfile) back = sl_document_parse (text, length, faults);
  if (back != NULL)
    return TRUE;
  const SlDocumentFault *first = faults->pdata[0];
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT, _ ("Not saved: %s"),
               overfull->len > 0 ? ((const SlFault *) overfull->pdata[0])->message : first->message);
  return FALSE;
}

gboolean
sl_document_save (GFile *file, const SlProfile *profile, char **stamp, gboolean overwrite, GCancellable *cancellable,
                  GError **error)
{
  g_autoptr (GBytes) bytes = sl_document_print (profile);
  if (!check_readable (profile, bytes, error) || g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  g_autoptr (GError) inner = NULL;
  const gboolean saved = sl_file_replace (file, bytes, stamp != NULL ? *stamp : NULL, overwrite, cancellable, &inner);
  if (saved || g_error_matches (inner, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
    sl_stamp_set (stamp, bytes);
  if (!saved)
    g_propagate_error (error, g_steal_pointer (&inner));
  return saved;
}
