/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs that go where their profile goes: each whole or not at all, nothing replaced, no link followed; and while
 * the system fails, as the linker leads the file layer's calls past here. What open(2) and write(2) fail with is listed
 * there. */
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "file/shelf.h"
#include "photo/folder.h"
#include "support.h"

#define PICTURE_BYTES 5000 /* several of the writes that the test lets through */

/* After how many calls one fails, and with what; 0: none does. */
static struct
{
  const char *call;
  int after, number;
} fault;

static gboolean
fails (const char *call)
{
  if (fault.call == NULL || !g_str_equal (fault.call, call) || fault.after-- > 0)
    return FALSE;
  errno = fault.number;
  return TRUE;
}

ssize_t __real_write (int fd, const void *data, size_t length);
ssize_t __wrap_write (int fd, const void *data, size_t length);
int __real_openat64 (int dir, const char *name, int flags, ...);
int __wrap_openat64 (int dir, const char *name, int flags, ...);

ssize_t
__wrap_write (int fd, const void *data, size_t length)
{
  return fails ("write") ? -1 : __real_write (fd, data, MIN (length, 1000));
}

int
__wrap_openat64 (int dir, const char *name, int flags, ...)
{
  va_list rest;
  va_start (rest, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg (rest, mode_t) : 0;
  va_end (rest);
  return (flags & O_CREAT) != 0 && fails ("openat") ? -1 : __real_openat64 (dir, name, flags, mode);
}

typedef struct
{
  char *folder;
  GFile *from, *to; /* only the first is there */
  SlProfile *profile;
  GPtrArray *left;
} Fixture;

static char *
path_in (GFile *folder, const char *name)
{
  return g_build_filename (g_file_peek_path (folder), name, NULL);
}

static void
put (GFile *folder, const char *name, char byte)
{
  g_autofree char *path = path_in (folder, name), *data = g_strnfill (PICTURE_BYTES, byte);
  g_autoptr (GError) error = NULL;

  g_mkdir_with_parents (g_file_peek_path (folder), 0755);
  g_file_set_contents (path, data, PICTURE_BYTES, &error);
  g_assert_no_error (error);
}

/* What a file consists of; 0: there is none. */
static char
byte_of (GFile *folder, const char *name)
{
  g_autofree char *path = path_in (folder, name), *data = NULL;
  gsize length = 0;

  if (!g_file_get_contents (path, &data, &length, NULL))
    return '\0';
  g_assert_cmpuint (length, ==, PICTURE_BYTES);
  for (gsize i = 0; i < length; i++)
    g_assert_cmpint (data[i], ==, data[0]);
  return data[0];
}

static int
n_in (GFile *folder)
{
  g_autoptr (GDir) dir = g_dir_open (g_file_peek_path (folder), 0, NULL);
  int n = 0;

  while (dir != NULL && g_dir_read_name (dir) != NULL)
    n++;
  return dir != NULL ? n : -1;
}

static void
name_photo (SlProfile *profile, const char *file)
{
  SlPhoto photo = sl_photo_init ();

  photo.id = sl_unused_id (profile, "p");
  photo.file = g_strdup (file);
  g_array_append_val (sl_profile_last_visit (profile)->photos, photo);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autofree char *text = test_example (NULL);

  fault.call = NULL;
  f->folder = test_folder ();
  f->from = g_file_new_build_filename (f->folder, "old.photos", NULL);
  f->to = g_file_new_build_filename (f->folder, "new.photos", NULL);
  f->profile = test_parse (text);
  f->left = g_ptr_array_new_with_free_func (g_free);
  name_photo (f->profile, "a.jpg");
  name_photo (f->profile, "b.jpg");
  name_photo (f->profile, "a.jpg");
  put (f->from, "a.jpg", 'a');
  put (f->from, "b.jpg", 'b');
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  fault.call = NULL;
  g_object_unref (f->from);
  g_object_unref (f->to);
  sl_profile_free (f->profile);
  g_ptr_array_unref (f->left);
  test_folder_free (f->folder);
}

static void
carried (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (sl_photos_carry (f->profile, f->from, f->to, f->left, NULL, NULL, &error));
  g_assert_no_error (error);
}

static void
refused (Fixture *f, const char *says)
{
  g_autoptr (GError) error = NULL;

  g_assert_false (sl_photos_carry (f->profile, f->from, f->to, f->left, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
  if (strstr (error->message, says) == NULL)
    g_error ("“%s” does not say “%s”", error->message, says);
}

static void
test_named (Fixture *f, gconstpointer data)
{
  put (f->from, "not-named.jpg", 'n');
  carried (f);
  g_assert_cmpint (byte_of (f->to, "a.jpg"), ==, 'a');
  g_assert_cmpint (byte_of (f->to, "b.jpg"), ==, 'b');
  g_assert_cmpint (n_in (f->to), ==, 2);
  g_assert_cmpint (n_in (f->from), ==, 3);
  g_assert_cmpuint (f->left->len, ==, 0);
  carried (f); /* once more: they are there */
  g_assert_cmpint (n_in (f->to), ==, 2);
  g_assert_true (sl_photos_carry (f->profile, f->from, f->from, f->left, NULL, NULL, NULL));
}

/* What can't be read hinders nothing, and is told. */
static void
test_left (Fixture *f, gconstpointer data)
{
  static const char *const names[] = { "../out.jpg", "gone.jpg", "link.jpg", "folder.jpg", ".hidden.jpg" };
  g_autofree char *secret = g_build_filename (f->folder, "secret", NULL), *link = path_in (f->from, "link.jpg"),
                  *inner = path_in (f->from, "folder.jpg"), *out = g_build_filename (f->folder, "out.jpg", NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    name_photo (f->profile, names[i]);
  g_assert_true (g_file_set_contents (secret, "secret", -1, NULL));
  g_assert_true (g_file_set_contents (out, "out", -1, NULL));
  g_assert_cmpint (symlink (secret, link), ==, 0);
  g_assert_cmpint (g_mkdir (inner, 0755), ==, 0);
  put (f->from, ".hidden.jpg", 'h');
  carried (f);
  g_assert_cmpuint (f->left->len, ==, G_N_ELEMENTS (names));
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    g_assert_true (g_ptr_array_find_with_equal_func (f->left, names[i], g_str_equal, NULL));
  g_assert_cmpint (n_in (f->to), ==, 2);
}

/* Where there is nothing to carry no folder is made; a link to one stays a link. */
static void
test_nothing (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) none = g_file_new_build_filename (f->folder, "none.photos", NULL);
  g_autofree char *real = g_build_filename (f->folder, "other disk", NULL);

  g_assert_true (sl_photos_carry (f->profile, none, f->to, f->left, NULL, NULL, NULL));
  g_assert_cmpuint (f->left->len, ==, 2);
  g_assert_cmpint (n_in (f->to), ==, -1);
  g_assert_cmpint (g_mkdir (real, 0755), ==, 0);
  g_assert_cmpint (symlink (real, g_file_peek_path (f->to)), ==, 0);
  g_assert_true (sl_photos_carry (f->profile, none, f->to, f->left, NULL, NULL, NULL));
  g_assert_true (g_file_test (g_file_peek_path (f->to), G_FILE_TEST_IS_SYMLINK));
  carried (f);
  g_assert_cmpint (byte_of (f->to, "b.jpg"), ==, 'b');
}

/* Another picture under one of the names: nothing is copied, and nothing replaced. */
static void
test_clash (Fixture *f, gconstpointer data)
{
  g_autofree char *outside = g_build_filename (f->folder, "outside", NULL), *link = path_in (f->to, "a.jpg");

  put (f->to, "b.jpg", 'x');
  refused (f, "b.jpg");
  g_assert_cmpint (byte_of (f->to, "b.jpg"), ==, 'x');
  g_assert_cmpint (n_in (f->to), ==, 1);
  put (f->to, "b.jpg", 'b'); /* the same */
  put (f->to, "theirs.jpg", 't');
  g_assert_cmpint (symlink (outside, link), ==, 0); /* which would lead a copy out */
  refused (f, "a.jpg");
  g_assert_false (g_file_test (outside, G_FILE_TEST_EXISTS));
  g_assert_cmpint (g_unlink (link), ==, 0);
  carried (f);
  g_assert_cmpint (byte_of (f->to, "a.jpg"), ==, 'a');
  g_assert_cmpint (byte_of (f->to, "theirs.jpg"), ==, 't');
  /* what is gone here, and there already, is there */
  g_autofree char *gone = path_in (f->from, "a.jpg");
  g_assert_cmpint (g_unlink (gone), ==, 0);
  carried (f);
  g_assert_cmpuint (f->left->len, ==, 0);
}

static void
test_disk (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  static const struct
  {
    const char *call;
    int after, number;
    const char *says;
  } rows[] = { { "write", 0, ENOSPC, "the disk is full" },   { "write", 7, ENOSPC, "the disk is full" },
               { "write", 7, EDQUOT, "the disk is full" },   { "openat", 0, EROFS, "read-only" },
               { "openat", 1, EACCES, "you may not write" }, { "write", 7, EIO, "Input/output error" } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      fault.call = rows[i].call;
      fault.after = rows[i].after;
      fault.number = rows[i].number;
      refused (f, rows[i].says);
      g_assert_cmpint (n_in (f->to), ==, -1); /* neither of both, nor a part */
    }
  fault.call = NULL;
  g_assert_true (g_file_set_contents (g_file_peek_path (f->to), "", 0, NULL));
  g_assert_false (sl_photos_carry (f->profile, f->from, f->to, f->left, NULL, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS);
  g_assert_nonnull (strstr (error->message, "can't be made here"));
  g_assert_cmpint (g_unlink (g_file_peek_path (f->to)), ==, 0);
  carried (f);
}

static void
test_cancelled (Fixture *f, gconstpointer data)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  g_cancellable_cancel (cancellable);
  g_assert_false (sl_photos_carry (f->profile, f->from, f->to, f->left, NULL, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_assert_cmpint (n_in (f->to), ==, -1);
}

/* ---- a profile beside it ---- */

static GFile *
saved (Fixture *f, const char *name)
{
  GFile *file = g_file_new_build_filename (f->folder, name, NULL);
  g_autoptr (GError) error = NULL;

  g_assert_true (sl_document_save (file, f->profile, NULL, TRUE, NULL, &error));
  g_assert_no_error (error);
  return file;
}

static void
test_duplicate (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) file = saved (f, "old.sidelong"), copy = NULL, photos = NULL;
  g_autoptr (GFile) taken = g_file_new_build_filename (f->folder, "old 2.photos", NULL);
  g_autoptr (GError) error = NULL;
  g_autofree char *name = NULL;

  put (taken, "a.jpg", 'x'); /* somebody's: no free name */
  fault.call = "write";
  fault.number = ENOSPC;
  for (fault.after = 0; copy == NULL; fault.after++)
    {
      const int after = fault.after;

      g_clear_error (&error);
      copy = sl_photos_duplicate (file, f->left, NULL, &error);
      g_autoptr (GFile) folder = g_file_new_for_path (f->folder);
      if (copy == NULL)
        g_assert_cmpint (n_in (folder), ==, 3); /* the profile, its pictures, the other's */
      fault.after = after;
    }
  g_assert_no_error (error);
  name = g_file_get_basename (copy);
  g_assert_cmpstr (name, ==, "old 3.sidelong");
  photos = sl_document_photos (copy);
  g_assert_cmpint (byte_of (photos, "a.jpg"), ==, 'a');
  g_assert_cmpint (byte_of (photos, "b.jpg"), ==, 'b');
  g_assert_cmpint (byte_of (taken, "a.jpg"), ==, 'x');
}

/* Two at one file on a share: what one saves leaves the other's pictures where they are. */
static void
test_two (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) file = saved (f, "old.sidelong"), folder = sl_document_photos (file);

  put (folder, "theirs.jpg", 't');
  name_photo (f->profile, "mine.jpg");
  put (folder, "mine.jpg", 'm');
  carried (f);
  g_object_unref (saved (f, "old.sidelong"));
  g_assert_cmpint (byte_of (folder, "theirs.jpg"), ==, 't');
  g_assert_cmpint (byte_of (folder, "mine.jpg"), ==, 'm');
}

/* ---- of a profile never saved ---- */

static void
test_rest (Fixture *f, gconstpointer data)
{
  carried (f);
  put (f->from, "removed.jpg", 'r'); /* undo may bring it back */
  sl_photos_clear_folder (f->from, f->to);
  g_assert_cmpint (byte_of (f->to, "removed.jpg"), ==, 'r');
  g_assert_cmpint (n_in (f->to), ==, 3);
  g_assert_cmpint (n_in (f->from), ==, -1);
  put (f->from, "removed.jpg", 'x'); /* another one */
  sl_photos_clear_folder (f->from, f->to);
  g_assert_cmpint (byte_of (f->to, "removed.jpg"), ==, 'r');
  g_assert_cmpint (byte_of (f->from, "removed.jpg"), ==, 'x');
}

static void
test_remove (Fixture *f, gconstpointer data)
{
  g_autofree char *link = path_in (f->from, "link");

  put (f->to, "kept.jpg", 'k');
  g_assert_cmpint (symlink (g_file_peek_path (f->to), link), ==, 0);
  sl_photos_clear_folder (f->from, NULL);
  g_assert_cmpint (n_in (f->from), ==, -1);
  g_assert_cmpint (byte_of (f->to, "kept.jpg"), ==, 'k');
  sl_photos_clear_folder (f->from, NULL); /* gone already */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(path, function) g_test_add ("/carry/" path, Fixture, NULL, set_up, function, tear_down)
  ADD ("named", test_named);
  ADD ("left", test_left);
  ADD ("nothing", test_nothing);
  ADD ("clash", test_clash);
  ADD ("disk", test_disk);
  ADD ("cancelled", test_cancelled);
  ADD ("duplicate", test_duplicate);
  ADD ("two", test_two);
  ADD ("rest", test_rest);
  ADD ("remove", test_remove);
  return g_test_run ();
}
