/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Saving: whole or not at all, mode and symbolic link kept, changes by others noticed, nothing left behind. */
#define _GNU_SOURCE /* AT_EMPTY_PATH */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <sys/xattr.h>
#include <unistd.h>

#include "remote-file.h"
#include "support.h"

typedef struct
{
  char *folder, *path;
  GFile *file;
  SlProfile *profile;
  char *stamp; /* of the file as set_up() saved it */
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autofree char *text = test_example (NULL);
  g_autoptr (GError) error = NULL;
  f->folder = test_folder ();
  f->path = g_build_filename (f->folder, "slipway.sidelong", NULL);
  f->file = g_file_new_for_path (f->path);
  f->profile = test_parse (text);
  sl_document_save (f->file, f->profile, &f->stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->stamp, g_free);
  sl_profile_free (f->profile);
  g_object_unref (f->file);
  g_free (f->path);
  chmod (f->folder, 0700);
  test_folder_free (f->folder);
}

#define TWO_HOURS (2 * 3600)

/* ---- a system that refuses: these stand before the C library's ---- */

static int sync_error;                /* errno of fsync() of a folder; 0: it works */
static gboolean lists_off, owner_off; /* no access list, no other owner or group can be set */
static int later;                     /* seconds that what is open is younger than all else */

int
fstat (int fd, struct stat *info)
{
  const int result = fstatat (fd, "", info, AT_EMPTY_PATH);
  info->st_ctim.tv_sec += later;
  return result;
}

int
fsync (int fd)
{
  struct stat what;
  if (sync_error != 0 && fstat (fd, &what) == 0 && S_ISDIR (what.st_mode))
    {
      errno = sync_error;
      return -1;
    }
  return (int) syscall (SYS_fsync, fd);
}

int
fsetxattr (int fd, const char *name, const void *value, size_t size, int flags)
{
  if (lists_off && g_str_has_prefix (name, "system."))
    {
      errno = EPERM;
      return -1;
    }
  return (int) syscall (SYS_fsetxattr, fd, name, value, size, flags);
}

int
fchown (int fd, uid_t owner, gid_t group)
{
  if (owner_off)
    {
      errno = EPERM;
      return -1;
    }
  return (int) syscall (SYS_fchown, fd, owner, group);
}

static void
set_label (SlProfile *profile, const char *label)
{
  g_free (profile->identity.label);
  profile->identity.label = g_strdup (label);
}

static int
count_files (const char *folder)
{
  int n = 0;
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

/* The file is a whole document with this label. */
static void
assert_label (GFile *file, const char *label)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = sl_document_read (file, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (profile->identity.label, ==, label);
}

static void
assert_saved (Fixture *f, gboolean overwrite)
{
  g_autoptr (GError) error = NULL;
  gboolean saved = sl_document_save (f->file, f->profile, &f->stamp, overwrite, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (saved);
}

/* Refused with @code; the stamp stays what it was. */
static void
assert_not_saved (Fixture *f, SlDocumentError code, const char *says)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *checksum = g_strdup (f->stamp);
  g_assert_false (sl_document_save (f->file, f->profile, &f->stamp, FALSE, NULL, &error));
  g_test_message ("%s", error->message);
  g_assert_error (error, SL_DOCUMENT_ERROR, (int) code);
  g_assert_nonnull (strstr (error->message, says));
  g_assert_cmpstr (f->stamp, ==, checksum);
}

static void
test_bytes (Fixture *f, gconstpointer data)
{
  g_autofree char *text = test_example (NULL), *saved = NULL;
  g_assert_true (g_file_get_contents (f->path, &saved, NULL, NULL));
  g_assert_cmpstr (saved, ==, text);
  g_assert_cmpint (count_files (f->folder), ==, 1);
  g_autofree char *checksum = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_assert_cmpstr (f->stamp, ==, checksum);
  /* Again and again with the stamp that saving left. */
  for (int i = 0; i < 3; i++)
    {
      g_autofree char *label = g_strdup_printf ("label %d", i);
      set_label (f->profile, label);
      assert_saved (f, FALSE);
      assert_label (f->file, label);
    }
}

static void
test_mode (Fixture *f, gconstpointer data)
{
  static const mode_t modes[] = { 0600, 0640, 0664, 0644, 0666 };
  mode_t mask = umask (022);
  for (gsize i = 0; i < G_N_ELEMENTS (modes); i++)
    {
      struct stat now;
      g_assert_cmpint (chmod (f->path, modes[i]), ==, 0);
      assert_saved (f, FALSE);
      g_assert_cmpint (stat (f->path, &now), ==, 0);
      g_assert_cmpint (now.st_mode & 07777, ==, modes[i]);
    }
  /* A new file gets what the umask leaves, in a folder for its owner alone only that. */
  static const mode_t folders[][2] = { { 0755, 0644 }, { 0750, 0644 }, { 0700, 0600 } };
  for (gsize i = 0; i < G_N_ELEMENTS (folders); i++)
    {
      struct stat fresh;
      g_autofree char *path = g_build_filename (f->folder, "new.sidelong", NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      g_assert_cmpint (chmod (f->folder, folders[i][0]), ==, 0);
      g_assert_true (sl_document_save (file, f->profile, NULL, FALSE, NULL, NULL));
      g_assert_cmpint (stat (path, &fresh), ==, 0);
      g_assert_cmpint (fresh.st_mode & 07777, ==, folders[i][1]);
      g_assert_cmpint (g_remove (path), ==, 0);
    }
  umask (mask);
}

/* ---- access lists and other attributes ---- */

#define LIST "system.posix_acl_access"
#define FOLDER_LIST "system.posix_acl_default"
#define NAMED_USER 12345 /* by number: nobody need have it */

/* An access list as the kernel takes it (linux/posix_acl_xattr.h): a version, then tag, permissions and id of each
 * entry, tags in rising order (acl(5): owner 1, a user 2, the group 4, the mask 16, others 32). */
typedef struct
{
  guint32 version;
  struct
  {
    guint16 tag, permissions;
    guint32 id;
  } entries[5];
} AccessList;

static AccessList
access_list (guint16 user, guint16 group, guint16 mask, guint16 others)
{
  const guint32 none = G_MAXUINT32;
  return (AccessList){
    GUINT32_TO_LE (2),
    { { 1, 6, none }, { 2, user, NAMED_USER }, { 4, group, none }, { 16, mask, none }, { 32, others, none } }
  };
}

static gboolean
lists_are_kept_here (Fixture *f)
{
  const AccessList list = access_list (6, 0, 6, 0);
  if (setxattr (f->path, LIST, &list, sizeof list, 0) == 0 && setxattr (f->path, "user.job", "47", 2, 0) == 0)
    return TRUE;
  g_test_skip ("this file system keeps no access lists, or no attributes");
  return FALSE;
}

static mode_t
mode_of (const char *path)
{
  struct stat now;
  g_assert_cmpint (stat (path, &now), ==, 0);
  return now.st_mode & 07777;
}

static void
test_attributes (Fixture *f, gconstpointer data)
{
  const AccessList list = access_list (6, 0, 6, 0);
  AccessList now;
  char job[8] = "";
  if (!lists_are_kept_here (f))
    return;
  g_assert_cmpint (mode_of (f->path), ==, 0660); /* the group's bits are the mask of the list (acl(5)) */
  assert_saved (f, FALSE);
  g_assert_cmpint (getxattr (f->path, LIST, &now, sizeof now), ==, sizeof now);
  g_assert_cmpmem (&now, sizeof now, &list, sizeof list);
  g_assert_cmpint (getxattr (f->path, "user.job", job, sizeof job), ==, 2);
  g_assert_cmpstr (job, ==, "47");
  g_assert_cmpint (mode_of (f->path), ==, 0660);
  /* Where the list can't be set, the group must not get what its mask allowed others. */
  lists_off = TRUE;
  assert_saved (f, FALSE);
  lists_off = FALSE;
  g_assert_cmpint (getxattr (f->path, LIST, NULL, 0), ==, -1);
  g_assert_cmpint (mode_of (f->path), ==, 0600);
}

/* A list that the folder gives to new files lets nobody into a file that had none. */
static void
test_inherited_list (Fixture *f, gconstpointer data)
{
  const AccessList list = access_list (6, 6, 6, 0);
  if (!lists_are_kept_here (f))
    return;
  g_assert_cmpint (removexattr (f->path, LIST), ==, 0);
  g_assert_cmpint (chmod (f->path, 0640), ==, 0);
  g_assert_cmpint (setxattr (f->folder, FOLDER_LIST, &list, sizeof list, 0), ==, 0);
  assert_saved (f, FALSE);
  g_assert_cmpint (getxattr (f->path, LIST, NULL, 0), ==, -1);
  g_assert_cmpint (mode_of (f->path), ==, 0640);
}

/* In another group than the old file, a new one gives to group and others what both had. */
static void
test_other_group (Fixture *f, gconstpointer data)
{
  static const mode_t modes[][2] = { { 0640, 0600 }, { 0664, 0644 }, { 0606, 0600 }, { 0666, 0666 } };
  owner_off = TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (modes); i++)
    {
      g_assert_cmpint (chmod (f->path, modes[i][0]), ==, 0);
      assert_saved (f, FALSE);
      g_assert_cmpint (mode_of (f->path), ==, modes[i][1]);
    }
  owner_off = FALSE;
}

static void
test_symbolic_link (Fixture *f, gconstpointer data)
{
  g_autofree char *far = g_build_filename (f->folder, "far", NULL);
  g_autofree char *first = g_build_filename (f->folder, "first.sidelong", NULL);
  g_autofree char *second = g_build_filename (far, "second.sidelong", NULL);
  g_assert_cmpint (g_mkdir (far, 0700), ==, 0);
  g_assert_cmpint (symlink ("far/second.sidelong", first), ==, 0);
  g_assert_cmpint (symlink ("../slipway.sidelong", second), ==, 0);
  g_autoptr (GFile) file = g_file_new_for_path (first);
  set_label (f->profile, "through two links");
  g_autoptr (GError) error = NULL;
  sl_document_save (file, f->profile, &f->stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (g_file_test (first, G_FILE_TEST_IS_SYMLINK));
  g_assert_true (g_file_test (second, G_FILE_TEST_IS_SYMLINK));
  g_assert_false (g_file_test (f->path, G_FILE_TEST_IS_SYMLINK));
  assert_label (f->file, "through two links");
  /* A link to nothing yet: the file it names comes to be. */
  g_autofree char *dangling = g_build_filename (f->folder, "dangling.sidelong", NULL);
  g_autofree char *target = g_build_filename (far, "target.sidelong", NULL);
  g_assert_cmpint (symlink ("far/target.sidelong", dangling), ==, 0);
  g_autoptr (GFile) link = g_file_new_for_path (dangling);
  g_assert_true (sl_document_save (link, f->profile, NULL, FALSE, NULL, NULL));
  g_assert_true (g_file_test (dangling, G_FILE_TEST_IS_SYMLINK));
  g_assert_true (g_file_test (target, G_FILE_TEST_IS_REGULAR));
  /* A circle is said to be one. */
  g_autofree char *circle = g_build_filename (f->folder, "circle.sidelong", NULL);
  g_assert_cmpint (symlink ("circle.sidelong", circle), ==, 0);
  g_autoptr (GFile) round = g_file_new_for_path (circle);
  g_assert_false (sl_document_save (round, f->profile, NULL, TRUE, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
}

static void
test_changed_by_others (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *theirs = NULL;
  g_autoptr (SlProfile) other = sl_document_read (f->file, &theirs, NULL, NULL, &error);
  g_assert_no_error (error);
  set_label (other, "theirs");
  g_assert_true (sl_document_save (f->file, other, &theirs, FALSE, NULL, &error));
  set_label (f->profile, "ours");
  assert_not_saved (f, SL_DOCUMENT_ERROR_CHANGED, "someone else");
  assert_label (f->file, "theirs");
  g_assert_cmpint (count_files (f->folder), ==, 1);
  /* Asked to all the same, it does. */
  assert_saved (f, TRUE);
  assert_label (f->file, "ours");
  assert_saved (f, FALSE);
}

/* The same bytes, written at another time, are no change; other bytes within one tick of the clock are one. */
static void
test_bytes_decide (Fixture *f, gconstpointer data)
{
  struct timespec times[2] = { { 1000000000, 0 }, { 1000000000, 0 } };
  struct stat before;
  g_assert_cmpint (utimensat (AT_FDCWD, f->path, times, 0), ==, 0);
  assert_saved (f, FALSE);
  g_assert_cmpint (stat (f->path, &before), ==, 0);
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents (f->path, &text, NULL, NULL));
  g_autofree char *changed = test_replace (text, "Worked", "Wroked");
  g_assert_true (g_file_set_contents (f->path, changed, -1, NULL));
  times[0] = before.st_atim;
  times[1] = before.st_mtim;
  g_assert_cmpint (utimensat (AT_FDCWD, f->path, times, 0), ==, 0);
  assert_not_saved (f, SL_DOCUMENT_ERROR_CHANGED, "someone else");
}

static void
test_exists_already (Fixture *f, gconstpointer data)
{
  char *kept = f->stamp;
  f->stamp = NULL;
  set_label (f->profile, "new");
  assert_not_saved (f, SL_DOCUMENT_ERROR_CHANGED, "already");
  assert_label (f->file, "Worked example");
  f->stamp = kept;
}

static void
test_moved_away (Fixture *f, gconstpointer data)
{
  g_assert_cmpint (g_remove (f->path), ==, 0);
  assert_not_saved (f, SL_DOCUMENT_ERROR_CHANGED, "moved or deleted");
  assert_saved (f, TRUE);
  assert_label (f->file, "Worked example");
}

/* A folder that is not there, a folder as target, a name that is too long. */
static void
test_impossible_places (Fixture *f, gconstpointer data)
{
  g_autofree char *long_name = g_strnfill (300, 'x');
  const char *const names[] = { "missing/a.sidelong", "slipway.sidelong/a.sidelong", ".", long_name };
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *path = g_build_filename (f->folder, names[i], NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      g_autoptr (GError) error = NULL;
      g_assert_false (sl_document_save (file, f->profile, NULL, TRUE, NULL, &error));
      g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
      g_test_message ("%s", error->message);
      g_assert_true (g_str_has_prefix (error->message, "Not saved: "));
    }
  g_assert_cmpint (count_files (f->folder), ==, 1);
}

/* What could not be read again is not written. */
static void
test_unsound_profile (Fixture *f, gconstpointer data)
{
  f->profile->neck.scale_length = sl_number (1e6);
  assert_not_saved (f, SL_DOCUMENT_ERROR_FAULT, "100 to 2000 mm");
  assert_label (f->file, "Worked example");
}

static void
test_cancelled (Fixture *f, gconstpointer data)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  g_cancellable_cancel (cancellable);
  set_label (f->profile, "never");
  g_assert_false (sl_document_save (f->file, f->profile, &f->stamp, FALSE, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  assert_label (f->file, "Worked example");
}

/* Runs @work in a forked process; its exit status, or −1 where a signal ended it. */
static int
in_child (void (*work) (Fixture *f, int number), Fixture *f, int number)
{
  pid_t pid = fork ();
  g_assert_cmpint (pid, >=, 0);
  if (pid == 0)
    {
      work (f, number);
      _exit (0);
    }
  int status;
  g_assert_cmpint (waitpid (pid, &status, 0), ==, pid);
  return WIFEXITED (status) ? WEXITSTATUS (status) : -1;
}

/* Root may write everywhere: the child goes on as nobody in particular. */
#define NOBODY 65534

static void
save_where_forbidden (Fixture *f, int number)
{
  g_autoptr (GError) error = NULL;
  if (geteuid () == 0 && setuid (NOBODY) != 0)
    _exit (2);
  if (sl_document_save (f->file, f->profile, &f->stamp, number, NULL, &error))
    _exit (3);
  if (!g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE) ||
      strstr (error->message, "may not write") == NULL)
    _exit (4);
}

static void
test_read_only (Fixture *f, gconstpointer data)
{
  set_label (f->profile, "not to be");
  /* A file marked read-only in a folder that is not. */
  g_assert_cmpint (chmod (f->path, 0444), ==, 0);
  g_assert_cmpint (chmod (f->folder, 0777), ==, 0);
  g_assert_cmpint (in_child (save_where_forbidden, f, FALSE), ==, 0);
  g_assert_cmpint (in_child (save_where_forbidden, f, TRUE), ==, 0);
  /* A file anybody may write in a folder that nobody may. */
  g_assert_cmpint (chmod (f->path, 0666), ==, 0);
  g_assert_cmpint (chmod (f->folder, 0555), ==, 0);
  g_assert_cmpint (in_child (save_where_forbidden, f, FALSE), ==, 0);
  g_assert_cmpint (in_child (save_where_forbidden, f, TRUE), ==, 0);
  g_assert_cmpint (chmod (f->folder, 0755), ==, 0);
  g_assert_cmpint (count_files (f->folder), ==, 1);
  assert_label (f->file, "Worked example");
}

/* As on a disk with @bytes left: the system refuses to write on. */
static void
save_with_room_for (Fixture *f, int bytes)
{
  struct rlimit limit = { (rlim_t) bytes, (rlim_t) bytes };
  g_autoptr (GError) error = NULL;
  signal (SIGXFSZ, SIG_IGN);
  if (setrlimit (RLIMIT_FSIZE, &limit) != 0)
    _exit (2);
  if (sl_document_save (f->file, f->profile, &f->stamp, FALSE, NULL, &error))
    _exit (3);
  if (!g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE) ||
      strstr (error->message, "unchanged") == NULL)
    _exit (4);
}

static void
test_full_disk (Fixture *f, gconstpointer data)
{
  set_label (f->profile, "does not fit");
  for (int bytes = 0; bytes < 3000; bytes += 700)
    {
      g_assert_cmpint (in_child (save_with_room_for, f, bytes), ==, 0);
      assert_label (f->file, "Worked example");
      g_assert_cmpint (count_files (f->folder), ==, 1);
    }
}

/* Where the folder does not reach the disk, nobody is told that all is well; but it is known what is in the file. */
static void
test_folder_not_synced (Fixture *f, gconstpointer data)
{
  static const struct
  {
    int number;
    gboolean told;
  } errors[] = { { EIO, TRUE }, { ENOSPC, TRUE }, { EINVAL, FALSE } }; /* EINVAL: not for folders here (fsync(2)) */
  for (gsize i = 0; i < G_N_ELEMENTS (errors); i++)
    {
      g_autofree char *label = g_strdup_printf ("not confirmed %d", errors[i].number);
      g_autoptr (GError) error = NULL;
      set_label (f->profile, label);
      sync_error = errors[i].number;
      g_assert_cmpint (sl_document_save (f->file, f->profile, &f->stamp, FALSE, NULL, &error), ==, !errors[i].told);
      sync_error = 0;
      if (errors[i].told)
        g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN);
      assert_label (f->file, label);
      assert_saved (f, FALSE); /* nobody else's, by its stamp */
      g_assert_cmpint (count_files (f->folder), ==, 1);
    }
}

/* What a killed save of a long name left is known again: the part of the name it repeats is whole characters. */
static void
test_long_name (Fixture *f, gconstpointer data)
{
  GString *name = g_string_new ("x");
  for (int i = 0; i < 60; i++)
    g_string_append (name, "ä"); /* two bytes each: the 100th is the first of one */
  g_autofree char *left = g_strdup_printf (".%.99s.sidelong-save-00c0ffee", name->str);
  g_autofree char *left_path = g_build_filename (f->folder, left, NULL);
  g_autofree char *path = g_strconcat (f->folder, "/", name->str, SL_DOCUMENT_EXTENSION, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_assert_true (g_utf8_validate (left, -1, NULL));
  g_assert_true (g_file_set_contents (left_path, "left", -1, NULL));
  later = TWO_HOURS;
  g_assert_true (sl_document_save (file, f->profile, NULL, FALSE, NULL, NULL));
  later = 0;
  g_assert_cmpint (count_files (f->folder), ==, 2);
  g_string_free (name, TRUE);
}

/* Saves on and on, the label counting up, until it is killed. */
static void
save_for_ever (Fixture *f, int number)
{
  for (int i = 0;; i++)
    {
      g_autofree char *label = g_strdup_printf ("round %d", i);
      set_label (f->profile, label);
      /* Of varying length, so that a mixture of two would be seen. */
      g_free (f->profile->identity.note);
      f->profile->identity.note = g_strnfill ((gsize) (i % 7) * 2500, 'x');
      if (!sl_document_save (f->file, f->profile, &f->stamp, FALSE, NULL, NULL))
        _exit (5);
    }
}

/* A killed save leaves the old or the new file, whole; a temporary file it may leave is removed by a later save. */
static void
test_killed (Fixture *f, gconstpointer data)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (9);
  for (int i = 0; i < 40; i++)
    {
      pid_t pid = fork ();
      int status;
      g_assert_cmpint (pid, >=, 0);
      if (pid == 0)
        save_for_ever (f, 0);
      g_usleep ((gulong) g_rand_int_range (rand, 500, 20000));
      kill (pid, SIGKILL);
      g_assert_cmpint (waitpid (pid, &status, 0), ==, pid);
      g_assert_true (WIFSIGNALED (status));
      g_autoptr (GError) error = NULL;
      g_clear_pointer (&f->stamp, g_free);
      g_autoptr (SlProfile) whole = sl_document_read (f->file, &f->stamp, NULL, NULL, &error);
      g_assert_no_error (error);
      g_assert_nonnull (whole);
    }
  /* As if the hour after which a temporary file counts as left behind had passed. */
  later = TWO_HOURS;
  assert_saved (f, FALSE);
  later = 0;
  g_assert_cmpint (count_files (f->folder), ==, 1);
}

#define SAVERS 3
#define ROUNDS 25

/* Adds @ROUNDS visits one by one, each on top of what is there: told that someone else saved, it reads again. */
static void
add_visits (Fixture *f, int number)
{
  for (int i = 0; i < ROUNDS;)
    {
      g_autofree char *stamp = NULL;
      g_autoptr (GError) error = NULL;
      g_autoptr (SlProfile) profile = sl_document_read (f->file, &stamp, NULL, NULL, &error);
      if (profile == NULL)
        _exit (6);
      SlVisit visit = sl_visit_init ();
      visit.id = g_strdup_printf ("saver-%d-%d", number, i);
      visit.opened = g_strdup ("2026-03-02");
      g_array_append_val (profile->visits, visit);
      if (sl_document_save (f->file, profile, &stamp, FALSE, NULL, &error))
        i++;
      else if (!g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED))
        _exit (7);
    }
}

/* Several programs save one file at once: not one visit is lost. */
static void
test_savers_at_once (Fixture *f, gconstpointer data)
{
  pid_t pids[SAVERS];
  for (int i = 0; i < SAVERS; i++)
    {
      pids[i] = fork ();
      g_assert_cmpint (pids[i], >=, 0);
      if (pids[i] == 0)
        {
          add_visits (f, i);
          _exit (0);
        }
    }
  for (int i = 0; i < SAVERS; i++)
    {
      int status;
      g_assert_cmpint (waitpid (pids[i], &status, 0), ==, pids[i]);
      g_assert_true (WIFEXITED (status));
      g_assert_cmpint (WEXITSTATUS (status), ==, 0);
    }
  g_autoptr (SlProfile) profile = sl_document_read (f->file, NULL, NULL, NULL, NULL);
  g_assert_nonnull (profile);
  g_assert_cmpuint (profile->visits->len, ==, 1 + SAVERS * ROUNDS);
  g_assert_cmpint (count_files (f->folder), ==, 1);
}

/* Only one of several programs that make the same new file may do so. */
static void
make_new (Fixture *f, int number)
{
  g_autofree char *path = g_build_filename (f->folder, "new.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  if (!sl_document_save (file, f->profile, NULL, FALSE, NULL, &error))
    _exit (g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED) ? 1 : 2);
}

static void
test_new_file_once (Fixture *f, gconstpointer data)
{
  g_assert_cmpint (in_child (make_new, f, 0), ==, 0);
  g_assert_cmpint (in_child (make_new, f, 1), ==, 1);
}

/* A share that GIO reaches without a path: the same promises, by GIO's own means. */
static void
test_remote (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) remote = test_remote_file_new (f->file);
  g_autoptr (GError) error = NULL;
  g_autofree char *stamp = NULL;
  g_assert_false (g_file_is_native (remote));
  g_autoptr (SlProfile) profile = sl_document_read (remote, &stamp, NULL, NULL, &error);
  g_assert_no_error (error);
  set_label (profile, "over there");
  sl_document_save (remote, profile, &stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  assert_label (f->file, "over there");
  set_label (profile, "twice");
  sl_document_save (remote, profile, &stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  assert_label (f->file, "twice");
  g_autofree char *target = g_build_filename (f->folder, "elsewhere.sidelong", NULL);
  g_assert_cmpint (g_rename (f->path, target), ==, 0);
  g_assert_cmpint (symlink ("elsewhere.sidelong", f->path), ==, 0);
  sl_document_save (remote, profile, &stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (g_file_test (f->path, G_FILE_TEST_IS_SYMLINK)); /* stays one */
  g_assert_cmpint (g_rename (target, f->path), ==, 0);
  /* f's stamp is older than both. */
  g_assert_false (sl_document_save (remote, f->profile, &f->stamp, FALSE, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED);
  assert_label (f->file, "twice");
  g_clear_error (&error);
  g_assert_false (sl_document_save (remote, f->profile, NULL, FALSE, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED);
  g_clear_error (&error);
  g_assert_cmpint (g_remove (f->path), ==, 0);
  g_clear_pointer (&stamp, g_free);
  sl_document_save (remote, f->profile, &stamp, FALSE, NULL, &error);
  g_assert_no_error (error);
  assert_label (f->file, "Worked example");
}

/* Killed while it writes: the old file stays whole. The lock of the save, which is written first, is none here. */
static void
end_while_saving (Fixture *f, int number)
{
  g_autoptr (GFile) remote = test_remote_file_new (f->file);
  g_autoptr (GBytes) bytes = g_bytes_new_static ("new", 3);

  test_remote_file_end_at_write ();
  sl_file_replace (remote, bytes, NULL, TRUE, NULL, NULL);
  _exit (5);
}

static void
test_remote_ended (Fixture *f, gconstpointer data)
{
  g_autofree char *path = g_build_filename (f->folder, "sheet.csv", NULL), *text = NULL;

  g_assert_cmpint (g_rename (f->path, path), ==, 0);
  g_clear_object (&f->file);
  f->file = g_file_new_for_path (path);
  g_assert_cmpint (in_child (end_while_saving, f, 0), ==, 0);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_nonnull (strstr (text, "</"));
}

/* A share that is full: nothing is left in the place of a new file, so that the next try finds it free. */
static void
make_remote_with_room_for (Fixture *f, int bytes)
{
  struct rlimit limit = { (rlim_t) bytes, (rlim_t) bytes };
  g_autoptr (GFile) remote = test_remote_file_new (f->file);
  g_autoptr (GError) error = NULL;
  signal (SIGXFSZ, SIG_IGN);
  if (g_remove (f->path) != 0 || setrlimit (RLIMIT_FSIZE, &limit) != 0)
    _exit (2);
  if (sl_document_save (remote, f->profile, NULL, FALSE, NULL, &error))
    _exit (3);
  if (!g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE))
    _exit (4);
}

static void
test_remote_full (Fixture *f, gconstpointer data)
{
  for (int bytes = 0; bytes < 1500; bytes += 700)
    {
      g_assert_cmpint (in_child (make_remote_with_room_for, f, bytes), ==, 0);
      g_assert_cmpint (count_files (f->folder), ==, 0);
      g_assert_true (sl_document_save (f->file, f->profile, NULL, FALSE, NULL, NULL));
    }
}

/* Another program holding the folder for good is said to, and does not hang the save for good. */
static void
test_lock_held (Fixture *f, gconstpointer data)
{
  int fd = open (f->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  g_assert_cmpint (fd, >=, 0);
  if (flock (fd, LOCK_EX | LOCK_NB) != 0)
    g_test_skip ("folders can't be locked here");
  else
    assert_not_saved (f, SL_DOCUMENT_ERROR_WRITE, "another program");
  close (fd);
  assert_saved (f, FALSE);
}

#define ADD(name, function) g_test_add ("/save/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("bytes", test_bytes);
  ADD ("mode", test_mode);
  ADD ("attributes", test_attributes);
  ADD ("inherited-list", test_inherited_list);
  ADD ("other-group", test_other_group);
  ADD ("folder-not-synced", test_folder_not_synced);
  ADD ("long-name", test_long_name);
  ADD ("symbolic-link", test_symbolic_link);
  ADD ("changed-by-others", test_changed_by_others);
  ADD ("bytes-decide", test_bytes_decide);
  ADD ("exists-already", test_exists_already);
  ADD ("moved-away", test_moved_away);
  ADD ("impossible-places", test_impossible_places);
  ADD ("read-only", test_read_only);
  ADD ("unsound-profile", test_unsound_profile);
  ADD ("cancelled", test_cancelled);
  ADD ("full-disk", test_full_disk);
  ADD ("killed", test_killed);
  ADD ("savers-at-once", test_savers_at_once);
  ADD ("new-file-once", test_new_file_once);
  ADD ("lock-held", test_lock_held);
  ADD ("remote", test_remote);
  ADD ("remote-ended", test_remote_ended);
  ADD ("remote-full", test_remote_full);
  return g_test_run ();
}
