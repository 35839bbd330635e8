/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The version before, kept beside a file: what was there, with the access rights it had or fewer; an earlier one stays
 * where nothing is saved, and none of it is ever listed on the shelf. */
#define _GNU_SOURCE /* AT_EMPTY_PATH */
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "remote-file.h"
#include "support.h"

#define TWO_HOURS (2 * 3600)
#define DIED 9 /* exit status */

typedef struct
{
  char *folder, *path, *before;
  GFile *file;
  char *old_text, *new_text;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  f->folder = test_folder ();
  f->path = g_build_filename (f->folder, "slipway.sidelong", NULL);
  f->before = g_strconcat (f->path, ".before", NULL);
  f->file = g_file_new_for_path (f->path);
  f->old_text = test_example (NULL);
  f->new_text = test_replace (f->old_text, "<identity label=\"", "<identity label=\"Later ");
  g_assert_true (g_file_set_contents (f->path, f->old_text, -1, NULL));
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  test_folder_free (f->folder);
  g_free (f->path);
  g_free (f->before);
  g_object_unref (f->file);
  g_free (f->old_text);
  g_free (f->new_text);
}

/* ---- these stand before the C library's ---- */

static gboolean dies; /* at the next name that is changed */
static int later;     /* seconds that what is open is younger than all else */

int
rename (const char *from, const char *to)
{
  if (dies)
    _exit (DIED);
  return renameat (AT_FDCWD, from, AT_FDCWD, to);
}

int
fstat (int fd, struct stat *info)
{
  const int result = fstatat (fd, "", info, AT_EMPTY_PATH);

  info->st_ctim.tv_sec += later;
  return result;
}

static void
assert_holds (const char *path, const char *text)
{
  g_autofree char *found = NULL;

  g_assert_true (g_file_get_contents (path, &found, NULL, NULL));
  g_assert_cmpstr (found, ==, text);
}

static guint
count_files (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

/* Saves over @file keeping what was there; with another's stamp it is refused. */
static void
save (Fixture *f, GFile *file, gboolean stale)
{
  g_autoptr (GError) not_kept = NULL, error = NULL;
  g_autoptr (SlProfile) profile = test_parse (f->new_text);
  g_autofree char *stamp = g_compute_checksum_for_string (G_CHECKSUM_SHA256, stale ? "" : f->old_text, -1);

  g_assert_true (sl_document_save_beside (file, profile, &stamp, FALSE, &not_kept, &error) != stale);
  g_assert_true ((error != NULL) == stale);
  g_assert_no_error (not_kept);
}

static void
test_kept (Fixture *f, gconstpointer data)
{
  static const mode_t modes[] = { 0600, 0640, 0664 };
  struct stat info;

  for (gsize i = 0; i < G_N_ELEMENTS (modes); i++)
    {
      g_assert_true (g_file_set_contents (f->path, f->old_text, -1, NULL));
      g_assert_cmpint (chmod (f->path, modes[i]), ==, 0);
      save (f, f->file, FALSE);
      assert_holds (f->path, f->new_text);
      assert_holds (f->before, f->old_text);
      g_assert_cmpint (stat (f->before, &info), ==, 0);
      g_assert_cmpint (info.st_mode & 07777, ==, modes[i]);
      g_assert_cmpuint (info.st_nlink, ==, 1);
    }
  g_assert_cmpuint (count_files (f->folder), ==, 2);
}

static void
test_refused (Fixture *f, gconstpointer data)
{
  g_assert_true (g_file_set_contents (f->before, "earlier", -1, NULL));
  save (f, f->file, TRUE);
  assert_holds (f->path, f->old_text);
  assert_holds (f->before, "earlier");
  g_assert_cmpuint (count_files (f->folder), ==, 2);
}

/* Beside the name that was opened, which stays a link. */
static void
test_link (Fixture *f, gconstpointer data)
{
  g_autofree char *link = g_build_filename (f->folder, "link.sidelong", NULL),
                  *before = g_strconcat (link, ".before", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (link);

  g_assert_cmpint (symlink (f->path, link), ==, 0);
  save (f, file, FALSE);
  g_assert_true (g_file_test (link, G_FILE_TEST_IS_SYMLINK));
  g_assert_false (g_file_test (before, G_FILE_TEST_IS_SYMLINK));
  assert_holds (before, f->old_text);
  assert_holds (link, f->new_text);
}

/* A first save has nothing to keep; where what is there can't be kept, it is told and saved. */
static void
test_not_kept (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) not_kept = NULL, error = NULL;
  g_autoptr (SlProfile) profile = test_parse (f->new_text);
  g_autofree char *stamp = NULL, *inside = g_build_filename (f->before, "inside", NULL);

  g_assert_cmpint (g_unlink (f->path), ==, 0);
  g_assert_true (sl_document_save_beside (f->file, profile, &stamp, FALSE, &not_kept, &error));
  g_assert_no_error (not_kept);
  g_assert_cmpuint (count_files (f->folder), ==, 1);
  g_assert_cmpint (g_mkdir_with_parents (inside, 0700), ==, 0); /* in the way of NAME.before */
  g_assert_true (sl_document_save_beside (f->file, profile, &stamp, FALSE, &not_kept, &error));
  g_assert_no_error (error);
  g_assert_nonnull (not_kept);
  assert_holds (f->path, f->new_text);
  g_assert_cmpuint (count_files (f->folder), ==, 2);
}

/* Killed between the save and the version before getting its name: what lies there goes with a later save. One that is
 * going on keeps its own, however old the version is. */
static void
test_killed (Fixture *f, gconstpointer data)
{
  const struct timespec long_ago[] = { { 1000000000, 0 }, { 1000000000, 0 } };
  g_autoptr (SlProfile) profile = test_parse (f->new_text);
  g_autofree char *stamp = g_compute_checksum_for_string (G_CHECKSUM_SHA256, f->new_text, -1);
  const pid_t pid = fork ();
  int status;

  g_assert_cmpint (pid, >=, 0);
  dies = pid == 0;
  if (pid == 0)
    save (f, f->file, FALSE);
  g_assert_cmpint (waitpid (pid, &status, 0), ==, pid);
  g_assert_cmpint (WEXITSTATUS (status), ==, DIED);
  assert_holds (f->path, f->new_text);
  g_assert_cmpuint (count_files (f->folder), ==, 2);
  later = TWO_HOURS;
  g_assert_true (sl_document_save (f->file, profile, &stamp, FALSE, NULL, NULL));
  later = 0;
  g_assert_cmpuint (count_files (f->folder), ==, 1);

  g_assert_true (g_file_set_contents (f->path, f->old_text, -1, NULL));
  g_assert_cmpint (utimensat (AT_FDCWD, f->path, long_ago, 0), ==, 0);
  save (f, f->file, FALSE);
  assert_holds (f->before, f->old_text);
  g_assert_cmpuint (count_files (f->folder), ==, 2);
}

/* A share has no second names: a copy that only its owner reads. */
static void
test_copied (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) remote = test_remote_file_new (f->file);
  struct stat info;

  g_assert_cmpint (chmod (f->path, 0664), ==, 0);
  save (f, remote, FALSE);
  assert_holds (f->path, f->new_text);
  assert_holds (f->before, f->old_text);
  g_assert_cmpint (stat (f->before, &info), ==, 0);
  g_assert_cmpint (info.st_mode & 0777, ==, 0600);
  g_assert_cmpuint (count_files (f->folder), ==, 2);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/before/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("kept", test_kept);
  ADD ("refused", test_refused);
  ADD ("link", test_link);
  ADD ("not-kept", test_not_kept);
  ADD ("killed", test_killed);
  ADD ("copied", test_copied);
  return g_test_run ();
}
