/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Saving while the system fails, call by call: the linker leads the calls of the file layer past here. Whatever fails,
 * and with whatever error (open(2), write(2), fsync(2), rename(2) list them), the file is the old one, whole, nothing
 * is left beside it, and what is said tells the person what to do. */
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "remote-file.h"
#include "support.h"

/* The call that fails next, how often, and with what. */
static struct
{
  const char *call;
  int times, number;
} fault;

static char *folder, *path;

static gboolean
fails (const char *call)
{
  if (fault.call == NULL || fault.times == 0 || !g_str_equal (fault.call, call))
    return FALSE;
  fault.times--;
  errno = fault.number;
  return TRUE;
}

int __real_openat64 (int dir, const char *name, int flags, ...);
int __real_open64 (const char *name, int flags, ...);
ssize_t __real_write (int fd, const void *data, size_t length);
int __real_fsync (int fd);
int __real_close (int fd);
int __real_fchmod (int fd, mode_t mode);
int __real_fchown (int fd, uid_t user, gid_t group);
int __real_renameat (int from, const char *a, int to, const char *b);
int __real_renameat2 (int from, const char *a, int to, const char *b, unsigned flags);
int __real_flock (int fd, int how);
int __real_faccessat (int dir, const char *name, int mode, int flags);
int __wrap_openat64 (int dir, const char *name, int flags, ...);
int __wrap_open64 (const char *name, int flags, ...);
ssize_t __wrap_write (int fd, const void *data, size_t length);
int __wrap_fsync (int fd);
int __wrap_close (int fd);
int __wrap_fchmod (int fd, mode_t mode);
int __wrap_fchown (int fd, uid_t user, gid_t group);
int __wrap_renameat (int from, const char *a, int to, const char *b);
int __wrap_renameat2 (int from, const char *a, int to, const char *b, unsigned flags);
int __wrap_flock (int fd, int how);
int __wrap_faccessat (int dir, const char *name, int mode, int flags);

int
__wrap_openat64 (int dir, const char *name, int flags, ...)
{
  va_list rest;
  va_start (rest, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg (rest, mode_t) : 0;
  va_end (rest);
  /* only of the file to be written */
  return (flags & O_CREAT) != 0 && fails ("openat") ? -1 : __real_openat64 (dir, name, flags, mode);
}

int
__wrap_open64 (const char *name, int flags, ...)
{
  return fails ("open") ? -1 : __real_open64 (name, flags, 0600);
}

ssize_t
__wrap_write (int fd, const void *data, size_t length)
{
  /* a disk that is full takes what it still can first */
  return fails ("write") ? -1 : __real_write (fd, data, MIN (length, 1000));
}

int
__wrap_fsync (int fd)
{
  return fails ("fsync") ? -1 : __real_fsync (fd);
}

int
__wrap_close (int fd)
{
  const gboolean failing = fails ("close");
  const int number = errno, result = __real_close (fd); /* it is closed all the same: close(2) */

  if (failing)
    errno = number;
  return failing ? -1 : result;
}

int
__wrap_fchmod (int fd, mode_t mode)
{
  return fails ("fchmod") ? -1 : __real_fchmod (fd, mode);
}

int
__wrap_fchown (int fd, uid_t user, gid_t group)
{
  return fails ("fchown") ? -1 : __real_fchown (fd, user, group);
}

int
__wrap_renameat (int from, const char *a, int to, const char *b)
{
  return fails ("renameat") ? -1 : __real_renameat (from, a, to, b);
}

int
__wrap_renameat2 (int from, const char *a, int to, const char *b, unsigned flags)
{
  return fails ("renameat2") ? -1 : __real_renameat2 (from, a, to, b, flags);
}

int
__wrap_flock (int fd, int how)
{
  return fails ("flock") ? -1 : __real_flock (fd, how);
}

int
__wrap_faccessat (int dir, const char *name, int mode, int flags)
{
  return fails ("faccessat") ? -1 : __real_faccessat (dir, name, mode, flags);
}

static SlProfile *
example (const char *label)
{
  g_autofree char *text = test_example (NULL);
  SlProfile *profile = test_parse (text);

  g_free (profile->identity.label);
  profile->identity.label = g_strdup (label);
  return profile;
}

static int
count_files (void)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  int n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

static void
assert_label (GFile *file, const char *label)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (profile->identity.label, ==, label);
}

typedef struct
{
  GFile *file;
  char *stamp;
} Saved;

static Saved
begin (void)
{
  g_autoptr (SlProfile) old = example ("old");
  g_autoptr (GError) error = NULL;
  Saved saved;

  folder = test_folder ();
  path = g_build_filename (folder, "slipway.sidelong", NULL);
  saved = (Saved){ g_file_new_for_path (path), NULL };
  sl_document_save (saved.file, old, &saved.stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  return saved;
}

static void
end (Saved *saved)
{
  fault.call = NULL;
  g_object_unref (saved->file);
  g_free (saved->stamp);
  g_free (path);
  test_folder_free (folder);
}

/* One call fails for good: not saved, with this to say. */
static void
test_failures (void)
{
  static const struct
  {
    const char *call;
    int number;
    const char *says;
  } rows[] = {
    { "openat", ENOSPC, "the disk is full" },
    { "openat", EDQUOT, "the disk is full" },
    { "openat", EACCES, "you may not write there" },
    { "openat", EROFS, "the disk or share is read-only" },
    { "openat", ENAMETOOLONG, "the name is too long" },
    { "openat", EEXIST, "Not saved" }, /* every name is taken */
    { "open", ENOENT, "the folder is not there" },
    { "open", EMFILE, "try again, or save in another place" },
    { "faccessat", EACCES, "you may not write there" },
    { "fchmod", EPERM, "you may not write there" },
    { "write", ENOSPC, "the disk is full" },
    { "write", EFBIG, "larger than this system allows" },
    { "write", EIO, "try again, or save in another place" },
    { "fsync", EIO, "try again, or save in another place" },
    { "close", EDQUOT, "the disk is full" },
    { "renameat", EIO, "What was on disk is unchanged" },
    { "renameat", EPERM, "you may not write there" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      Saved saved = begin ();
      g_autoptr (SlProfile) profile = example ("new");
      g_autofree char *stamp = g_strdup (saved.stamp);
      g_autoptr (GError) error = NULL;
      /* the mode has to be taken over for fchmod() to matter */
      g_assert_cmpint (g_chmod (path, 0640), ==, 0);

      g_test_message ("%s: %s", rows[i].call, g_strerror (rows[i].number));
      fault.call = rows[i].call;
      fault.number = rows[i].number;
      fault.times = -1;
      g_assert_false (sl_document_save (saved.file, profile, &saved.stamp, FALSE, NULL, &error));
      fault.call = NULL;
      g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
      if (strstr (error->message, rows[i].says) == NULL)
        g_error ("%s says: %s", rows[i].call, error->message);
      g_assert_cmpstr (saved.stamp, ==, stamp);
      assert_label (saved.file, "old");
      g_assert_cmpint (count_files (), ==, 1);
      /* the next one goes through */
      g_assert_true (sl_document_save (saved.file, profile, &saved.stamp, FALSE, NULL, NULL));
      assert_label (saved.file, "new");
      end (&saved);
    }
}

/* What a share can't do is done without; what was interrupted is done again. */
static void
test_made_up_for (void)
{
  static const struct
  {
    const char *call;
    int times, number;
    gboolean fresh;
  } rows[] = {
    { "write", 1, EINTR, FALSE },     { "openat", 1, EEXIST, FALSE },     { "fchown", -1, EPERM, FALSE },
    { "flock", -1, ENOLCK, FALSE },   { "flock", 2, EWOULDBLOCK, FALSE }, { "renameat2", 1, EINVAL, TRUE },
    { "renameat2", 1, ENOSYS, TRUE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      Saved saved = begin ();
      g_autoptr (SlProfile) profile = example ("new");
      g_autoptr (GError) error = NULL;

      if (rows[i].fresh)
        {
          g_assert_cmpint (g_unlink (path), ==, 0);
          g_clear_pointer (&saved.stamp, g_free);
        }
      fault.call = rows[i].call;
      fault.number = rows[i].number;
      fault.times = rows[i].times;
      sl_document_save (saved.file, profile, &saved.stamp, FALSE, NULL, &error);
      g_assert_no_error (error);
      fault.call = NULL;
      assert_label (saved.file, "new");
      g_assert_cmpint (count_files (), ==, 1);
      end (&saved);
    }
}

/* A mode that can't be set is no loss where it is as it was already: shares without modes. */
static void
test_mode_kept (void)
{
  Saved saved = begin ();
  g_autoptr (SlProfile) profile = example ("new");
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (g_chmod (path, 0600), ==, 0);
  fault.call = "fchmod";
  fault.number = EPERM;
  fault.times = -1;
  sl_document_save (saved.file, profile, &saved.stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  assert_label (saved.file, "new");
  end (&saved);
}

/* Another machine takes the name at the moment of the rename: renameat2(2) with RENAME_NOREPLACE says EEXIST. */
static void
test_taken_meanwhile (void)
{
  Saved saved = begin ();
  g_autoptr (SlProfile) profile = example ("new");
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (g_unlink (path), ==, 0);
  g_clear_pointer (&saved.stamp, g_free);
  fault.call = "renameat2";
  fault.number = EEXIST;
  fault.times = 1;
  g_assert_false (sl_document_save (saved.file, profile, &saved.stamp, FALSE, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED);
  g_assert_nonnull (strstr (error->message, "at the same moment"));
  g_assert_cmpint (count_files (), ==, 0);
  end (&saved);
}

static void
test_cancelled_at_lock (void)
{
  Saved saved = begin ();
  g_autoptr (SlProfile) profile = example ("new");
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  g_cancellable_cancel (cancellable);
  g_assert_false (sl_document_save (saved.file, profile, &saved.stamp, FALSE, cancellable, &error));
  g_assert_nonnull (error);
  assert_label (saved.file, "old");
  g_assert_cmpint (count_files (), ==, 1);
  end (&saved);
}

/* On a share without a path: given up while it is written, the old file stays. */
static void
test_remote_given_up (void)
{
  Saved saved = begin ();
  g_autoptr (SlProfile) profile = example ("new");
  g_autoptr (GFile) remote = test_remote_file_new (saved.file);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  test_remote_file_cancel_at_write (cancellable);
  g_assert_false (sl_document_save (remote, profile, &saved.stamp, FALSE, cancellable, &error));
  test_remote_file_cancel_at_write (NULL);
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  assert_label (saved.file, "old");
  g_assert_cmpint (count_files (), ==, 1);
  end (&saved);
}

/* A folder stands where the file was: what is there can't be compared with what was read, and is left alone. */
static void
test_no_file (void)
{
  Saved saved = begin ();
  g_autoptr (SlProfile) profile = example ("new");
  g_autoptr (GFile) remote = test_remote_file_new (saved.file);
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (g_unlink (path), ==, 0);
  g_assert_cmpint (g_mkdir (path, 0700), ==, 0);
  g_assert_false (sl_document_save (remote, profile, &saved.stamp, FALSE, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
  g_assert_nonnull (strstr (error->message, "what is there now can't be read"));
  g_assert_true (g_file_test (path, G_FILE_TEST_IS_DIR));
  end (&saved);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/save-faults/failures", test_failures);
  g_test_add_func ("/save-faults/made-up-for", test_made_up_for);
  g_test_add_func ("/save-faults/mode-kept", test_mode_kept);
  g_test_add_func ("/save-faults/taken-meanwhile", test_taken_meanwhile);
  g_test_add_func ("/save-faults/cancelled-at-lock", test_cancelled_at_lock);
  g_test_add_func ("/save-faults/remote-given-up", test_remote_given_up);
  g_test_add_func ("/save-faults/no-file", test_no_file);
  return g_test_run ();
}
