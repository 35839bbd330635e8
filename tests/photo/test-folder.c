/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The folder of photographs: where it is, what names are let in, and that keeping a picture is whole or not at all and
 * never in place of another, also while others keep theirs and while the system fails: the linker leads write(2) and
 * mkdir(2) past here. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "made-image.h"
#include "photo/folder.h"
#include "remote-file.h"
#include "support.h"

static int write_fails, mkdir_fails; /* with what; 0: they don't */

ssize_t __real_write (int fd, const void *data, size_t length);
ssize_t __wrap_write (int fd, const void *data, size_t length);
int __real_mkdir (const char *path, mode_t mode);
int __wrap_mkdir (const char *path, mode_t mode);

ssize_t
__wrap_write (int fd, const void *data, size_t length)
{
  if (write_fails == 0)
    return __real_write (fd, data, length);
  errno = write_fails;
  return -1;
}

int
__wrap_mkdir (const char *path, mode_t mode)
{
  if (mkdir_fails == 0)
    return __real_mkdir (path, mode);
  errno = mkdir_fails;
  return -1;
}

static GBytes *
picture (int width, const char *kind)
{
  g_autoptr (GdkPixbuf) fields = made_fields (width, 20);

  return made_file (fields, kind);
}

static void
remove_all (GFile *folder)
{
  g_autoptr (GFileEnumerator) children =
      g_file_enumerate_children (folder, "standard::name", G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);

  for (GFile *child;
       children != NULL && g_file_enumerator_iterate (children, NULL, &child, NULL, NULL) && child != NULL;)
    remove_all (child);
  g_file_delete (folder, NULL, NULL);
}

static guint
count (GFile *folder)
{
  g_autoptr (GDir) dir = g_dir_open (g_file_peek_path (folder), 0, NULL);
  guint n = 0;

  while (dir != NULL && g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

/* A folder of its own, and in it, not there yet, the one for photographs. */
static GFile *
above (GFile **photos)
{
  g_autofree char *path = test_folder ();
  GFile *folder = g_file_new_for_path (path);

  *photos = g_file_get_child (folder, "Gull & sons.photos");
  return folder;
}

static void
test_places (void)
{
  static const char *const cases[][2] = {
    { "/a/oak.sidelong", "/a/oak.photos" },
    { "/a/oak.SIDELONG", "/a/oak.photos" },
    { "/a/oak", "/a/oak.photos" },
    { "/a/oak.xml", "/a/oak.xml.photos" },
    { "/a/oak.v2.sidelong", "/a/oak.v2.photos" },
    { "/a/.sidelong", "/a/.sidelong.photos" },
    { "/a/b.c/oak", "/a/b.c/oak.photos" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GFile) file = g_file_new_for_path (cases[i][0]), folder = sl_document_photos (file);

      g_assert_cmpstr (g_file_peek_path (folder), ==, cases[i][1]);
    }
  g_autoptr (GFile) resource = g_file_new_for_uri ("resource:///org/sidelong/oak.sidelong"),
                    inside = sl_document_photos (resource);
  g_autofree char *uri = g_file_get_uri (inside);
  g_assert_cmpstr (uri, ==, "resource:///org/sidelong/oak.photos");
  g_autoptr (GFile) local = g_file_new_for_path ("/a/oak.sidelong"), remote = test_remote_file_new (local),
                    beside = sl_document_photos (remote);
  g_autofree char *name = g_file_get_basename (beside);
  g_assert_cmpstr (name, ==, "oak.photos");
  g_assert_null (g_file_peek_path (beside));
  /* two whose names differ in the ending alone share no folder, whichever was there first */
  char *place = test_folder ();
  g_autofree char *plain = g_build_filename (place, "oak.sidelong", NULL),
                  *shouted = g_build_filename (place, "oak.SIDELONG", NULL), *two = NULL, *alone = NULL;
  g_autoptr (GFile) loud = g_file_new_for_path (shouted), before = sl_document_photos (loud), after = NULL,
                    still = NULL;

  g_assert_true (g_file_set_contents (plain, "", 0, NULL));
  after = sl_document_photos (loud);
  two = g_file_get_basename (after);
  g_assert_cmpstr (two, ==, "oak.SIDELONG.photos");
  g_assert_true (g_file_make_directory (after, NULL, NULL));
  g_assert_cmpint (g_unlink (plain), ==, 0);
  still = sl_document_photos (loud);
  g_assert_true (g_file_equal (still, after));
  g_assert_true (g_file_delete (after, NULL, NULL));
  alone = g_file_get_basename (before);
  g_assert_cmpstr (alone, ==, "oak.photos");
  test_folder_free (place);
}

static void
test_names (void)
{
  static const char *const safe[] = { "fret-3.jpg", "a", "Bünde.jpg", "a b.png", "x..jpg", "-x.jpg", "CON.jpg" },
                           *const unsafe[] = { "",       ".",    "..",       ".x.jpg",     "a/b.jpg",
                                               "/x.jpg", "../x", "a\\b.jpg", "a\nb.jpg",   "a\x1b[2J.jpg",
                                               "a\x7f",  "a\tb", "\xff.jpg", "a\xc2\x85z", "x/" };
  g_autofree char *longest = g_strnfill (255, 'a'), *too_long = g_strnfill (256, 'a');

  for (gsize i = 0; i < G_N_ELEMENTS (safe); i++)
    g_assert_true (sl_photo_name_is_safe (safe[i]));
  for (gsize i = 0; i < G_N_ELEMENTS (unsafe); i++)
    g_assert_false (sl_photo_name_is_safe (unsafe[i]));
  g_assert_true (sl_photo_name_is_safe (longest));
  g_assert_false (sl_photo_name_is_safe (too_long));
}

static void
test_kept (void)
{
  static const struct
  {
    const char *stem, *name;
  } cases[] = {
    { "fret-3", "fret-3.jpg" },
    { "fret-3", "fret-3-2.jpg" },
    { "fret-3", "fret-3-3.jpg" },
    { "IMG_0042.JPG", "IMG-0042-JPG.jpg" },
    { "../../etc/passwd", "etc-passwd.jpg" },
    { "Bünde & Sattel", "B-nde-Sattel.jpg" },
    { "", "photo.jpg" },
    { "...", "photo-2.jpg" },
    { "日本", "photo-3.jpg" },
    { "con", "photo-con.jpg" },
    { "LPT1", "photo-LPT1.jpg" },
    { "console", "console.jpg" },
    { "a\nb\x1b", "a-b.jpg" },
    { "x-- --y", "x-y.jpg" },
    { "0123456789012345678901234567890123456789012345678901234567890123456789",
      "0123456789012345678901234567890123456789012345678901234567890123.jpg" },
  };
  g_autoptr (GFile) photos = NULL, folder = above (&photos);
  const mode_t mask = umask (0022);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GBytes) bytes = picture (20 + (int) i, "jpeg"), back = NULL;
      g_autoptr (GError) error = NULL;
      g_autofree char *name = sl_photo_keep (photos, cases[i].stem, bytes, NULL, &error);

      g_assert_no_error (error);
      g_assert_cmpstr (name, ==, cases[i].name);
      g_assert_true (sl_photo_name_is_safe (name));
      back = sl_photo_bytes (photos, name, NULL, &error);
      g_assert_no_error (error);
      g_assert_true (g_bytes_equal (back, bytes));
    }
  g_assert_cmpuint (count (photos), ==, G_N_ELEMENTS (cases));
  g_autoptr (GBytes) png = picture (20, "png");
  g_autofree char *name = sl_photo_keep (photos, "fret-3", png, NULL, NULL);
  g_assert_cmpstr (name, ==, "fret-3.png");
  umask (mask);
  remove_all (folder);
}

/* A link of that name is no free name, wherever it leads; nor is a folder. */
static void
test_taken_names (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos), outside = g_file_get_child (folder, "outside.jpg"),
                    link = NULL, inner = NULL;
  g_autoptr (GBytes) bytes = picture (20, "jpeg");

  g_assert_cmpint (g_mkdir (g_file_peek_path (photos), 0700), ==, 0);
  link = g_file_get_child (photos, "nut.jpg");
  inner = g_file_get_child (photos, "nut-2.jpg");
  g_assert_cmpint (symlink (g_file_peek_path (outside), g_file_peek_path (link)), ==, 0);
  g_assert_cmpint (g_mkdir (g_file_peek_path (inner), 0700), ==, 0);
  g_autofree char *name = sl_photo_keep (photos, "nut", bytes, NULL, NULL);
  g_assert_cmpstr (name, ==, "nut-3.jpg");
  g_assert_false (g_file_query_exists (outside, NULL));
  remove_all (folder);
}

static void
test_private (void)
{
  static const mode_t modes[][2] = { { 0700, 0700 }, { 0755, 0755 }, { 0750, 0750 }, { 0777, 0755 } };
  g_autoptr (GBytes) bytes = picture (20, "jpeg");
  const mode_t mask = umask (0022);

  for (gsize i = 0; i < G_N_ELEMENTS (modes); i++)
    {
      g_autoptr (GFile) photos = NULL, folder = above (&photos);
      g_autofree char *name = NULL;
      struct stat info;

      g_assert_cmpint (g_chmod (g_file_peek_path (folder), (int) modes[i][0]), ==, 0);
      name = sl_photo_keep (photos, "nut", bytes, NULL, NULL);
      g_assert_nonnull (name);
      g_assert_cmpint (g_stat (g_file_peek_path (photos), &info), ==, 0);
      g_assert_cmpint (info.st_mode & 0777, ==, modes[i][1]);
      remove_all (folder);
    }
  umask (mask);
}

/* A folder that is gone is not made anew, but the one for profiles never saved is, with all above it. */
static void
test_nothing_above (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos), deep = g_file_get_child (photos, "a"),
                    state = g_file_new_build_filename (g_get_user_state_dir (), "sidelong", "photos", NULL),
                    unsaved = g_file_get_child (state, "id");
  g_autoptr (GBytes) bytes = picture (20, "jpeg");
  g_autoptr (GError) error = NULL;
  g_autofree char *name = NULL;
  struct stat info;

  g_assert_null (sl_photo_keep (deep, "nut", bytes, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
  g_assert_nonnull (strstr (error->message, g_file_peek_path (deep)));
  name = sl_photo_keep (unsaved, "nut", bytes, NULL, NULL);
  g_assert_nonnull (name);
  g_assert_cmpint (g_stat (g_file_peek_path (state), &info), ==, 0);
  g_assert_cmpint (info.st_mode & 0777, ==, 0700);
  remove_all (folder);
}

/* ---- together ---- */

#define KEEPERS 8
#define EACH 12

typedef struct
{
  GFile *photos;
  GBytes *bytes;
  char *names[EACH];
} Keeper;

static gpointer
keep_many (gpointer data)
{
  Keeper *keeper = data;

  for (int i = 0; i < EACH; i++)
    keeper->names[i] = sl_photo_keep (keeper->photos, "fret-1", keeper->bytes, NULL, NULL);
  return NULL;
}

static void
test_races (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos);
  Keeper keepers[KEEPERS];
  GThread *threads[KEEPERS];

  for (int i = 0; i < KEEPERS; i++)
    {
      keepers[i] = (Keeper){ photos, picture (20 + i, "jpeg") };
      threads[i] = g_thread_new ("keeps", keep_many, &keepers[i]);
    }
  for (int i = 0; i < KEEPERS; i++)
    g_thread_join (threads[i]);
  g_assert_cmpuint (count (photos), ==, KEEPERS * EACH);
  for (int i = 0; i < KEEPERS; i++)
    {
      for (int k = 0; k < EACH; k++)
        {
          g_autoptr (GBytes) back = sl_photo_bytes (photos, keepers[i].names[k], NULL, NULL);

          g_assert_true (back != NULL && g_bytes_equal (back, keepers[i].bytes));
          g_free (keepers[i].names[k]);
        }
      g_bytes_unref (keepers[i].bytes);
    }
  remove_all (folder);
}

/* ---- while the system fails ---- */

static void
assert_not_kept (GFile *photos, const char *says)
{
  g_autoptr (GBytes) bytes = picture (20, "jpeg");
  g_autoptr (GError) error = NULL;

  g_assert_null (sl_photo_keep (photos, "nut", bytes, NULL, &error));
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, g_file_peek_path (photos)));
  g_assert_nonnull (strstr (error->message, says));
  write_fails = mkdir_fails = 0;
}

static void
test_failing (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos);
  g_autoptr (GBytes) bytes = picture (20, "jpeg");
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  mkdir_fails = EACCES;
  assert_not_kept (photos, "Permission denied");
  mkdir_fails = EROFS;
  assert_not_kept (photos, "Read-only file system");
  mkdir_fails = ENOSPC;
  assert_not_kept (photos, "No space left");
  g_assert_true (g_file_set_contents (g_file_peek_path (photos), "no folder", -1, NULL));
  assert_not_kept (photos, "File exists");
  g_remove (g_file_peek_path (photos));
  write_fails = ENOSPC;
  assert_not_kept (photos, "the disk is full");
  write_fails = EIO;
  assert_not_kept (photos, "Input/output error");
  g_assert_cmpuint (count (photos), ==, 0);
  g_cancellable_cancel (cancellable);
  g_assert_null (sl_photo_keep (photos, "nut", bytes, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_assert_cmpuint (count (photos), ==, 0);
  if (geteuid () != 0) /* who may write anywhere */
    {
      g_chmod (g_file_peek_path (photos), 0500);
      assert_not_kept (photos, "Permission denied");
    }
  g_clear_error (&error);
  g_autoptr (GBytes) none = g_bytes_new_static ("GIF89a", 6);
  g_assert_null (sl_photo_keep (photos, "nut", none, NULL, &error));
  g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_NO_KIND);
  remove_all (folder);
}

/* ---- not to be read ---- */

/* Of a file that can't be read the message says why, in the system's words, once. */
static void
test_unreadable (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos);
  g_autoptr (GError) error = NULL;

  g_assert_true (g_file_set_contents (g_file_peek_path (photos), "no folder", -1, NULL));
  g_assert_null (sl_photo_bytes (photos, "nut.jpg", NULL, &error));
  g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_MISSING);
  g_assert_nonnull (strstr (error->message, "can’t be read: "));
  g_assert_true (strstr (error->message, "can’t be read: ") == g_strrstr (error->message, "can’t be read: "));
  g_assert_nonnull (strstr (error->message, g_strerror (ENOTDIR)));
  g_clear_error (&error);
  if (geteuid () != 0) /* who may read anything */
    {
      g_remove (g_file_peek_path (photos));
      g_assert_cmpint (g_mkdir (g_file_peek_path (photos), 0), ==, 0);
      g_assert_null (sl_photo_bytes (photos, "nut.jpg", NULL, &error));
      g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_MISSING);
      g_assert_nonnull (strstr (error->message, "Permission denied"));
    }
  remove_all (folder);
}

/* ---- elsewhere ---- */

static void
test_elsewhere (void)
{
  g_autoptr (GFile) photos = NULL, folder = above (&photos),
                    resource = g_file_new_for_uri ("resource:///org/sidelong/file"),
                    remote = test_remote_file_new (photos);
  g_autoptr (GBytes) jpeg = picture (20, "jpeg"), schema = sl_photo_bytes (resource, "profile.xsd", NULL, NULL),
                     back = NULL;
  g_autoptr (GError) error = NULL;

  /* any file of a resource; there is no picture in this test's */
  g_assert_cmpuint (g_bytes_get_size (schema), >, 1000);
  g_assert_null (sl_photo_bytes (resource, "nut.jpg", NULL, &error));
  g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_MISSING);
  g_clear_error (&error);
  for (int mount = 0; mount < 2; mount++)
    {
      test_remote_file_slow (mount == 1, 0, 0);
      g_assert_cmpint (g_mkdir (g_file_peek_path (photos), 0700), ==, 0);
      for (int i = 0; i < 2; i++)
        {
          g_autofree char *name = sl_photo_keep (remote, "nut", jpeg, NULL, &error);

          g_assert_no_error (error);
          g_assert_cmpstr (name, ==, i == 0 ? "nut.jpg" : "nut-2.jpg");
          g_clear_pointer (&back, g_bytes_unref);
          back = sl_photo_bytes (remote, name, NULL, &error);
          g_assert_no_error (error);
          g_assert_true (g_bytes_equal (back, jpeg));
        }
      g_autoptr (GFile) link = g_file_get_child (photos, "link.jpg");
      g_assert_cmpint (symlink ("nut.jpg", g_file_peek_path (link)), ==, 0);
      g_assert_null (sl_photo_bytes (remote, "link.jpg", NULL, &error));
      g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_FOREIGN);
      g_clear_error (&error);
      remove_all (photos);
    }
  test_remote_file_slow (FALSE, 0, 0);
  remove_all (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_autofree char *path = test_folder ();
  g_autoptr (GFile) state = g_file_new_for_path (path);
  g_setenv ("XDG_STATE_HOME", path, TRUE);
  g_test_add_func ("/folder/places", test_places);
  g_test_add_func ("/folder/names", test_names);
  g_test_add_func ("/folder/kept", test_kept);
  g_test_add_func ("/folder/taken-names", test_taken_names);
  g_test_add_func ("/folder/private", test_private);
  g_test_add_func ("/folder/nothing-above", test_nothing_above);
  g_test_add_func ("/folder/races", test_races);
  g_test_add_func ("/folder/failing", test_failing);
  g_test_add_func ("/folder/unreadable", test_unreadable);
  g_test_add_func ("/folder/elsewhere", test_elsewhere);
  const int failed = g_test_run ();
  remove_all (state);
  return failed;
}
