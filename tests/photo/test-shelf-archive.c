/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A shelf packed and taken in again: every byte there and back, nothing replaced, nothing half there whenever it is
 * killed; and archives that mean harm, made with libarchive by the test itself. What an archive may not do is common
 * knowledge of those who read them (CWE-22, path traversal; CWE-59, links; CWE-409, decompression bombs). */
#include <archive.h>
#include <archive_entry.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "../rounds.h"
#include "file/shelf.h"
#include "made-image.h"
#include "photo/shelf-archive.h"
#include "support.h"

typedef struct
{
  char *here, *there; /* folders */
  GFile *from, *to, *zip;
  GPtrArray *fates;
  SlHowFar how_far;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autofree char *zip = NULL;

  f->here = test_folder ();
  f->there = test_folder ();
  zip = g_build_filename (f->there, "shelf.zip", NULL);
  f->from = g_file_new_for_path (f->here);
  f->zip = g_file_new_for_path (zip);
  f->to = g_file_new_build_filename (f->there, "in", NULL);
  g_mkdir (g_file_peek_path (f->to), 0700);
  f->fates = sl_fates_new ();
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  test_folder_free (f->here);
  test_folder_free (f->there);
  g_object_unref (f->from);
  g_object_unref (f->to);
  g_object_unref (f->zip);
  g_ptr_array_unref (f->fates);
}

static void
write_file (const char *folder, const char *name, const char *data, gsize length)
{
  g_autofree char *path = g_build_filename (folder, name, NULL), *above = g_path_get_dirname (path);

  g_mkdir_with_parents (above, 0700);
  g_assert_true (g_file_set_contents (path, data, (gssize) length, NULL));
}

/* A profile of the example with an id and a label of its own. */
static char *
profile_text (guint n, const char *label)
{
  g_autofree char *text = test_example (NULL), *id = g_strdup_printf ("%08x-0a43", n);
  g_autofree char *with_id = test_replace (text, "e2f2b9f4-0a43", id);

  return test_replace (with_id, "Worked example", label);
}

/* So many profiles, every second one with so many pictures. */
static void
make_shelf (Fixture *f, guint n_profiles, guint n_pictures)
{
  for (guint n = 1; n <= n_profiles; n++)
    {
      g_autofree char *text = profile_text (n, "Boat “Ærø”"), *name = g_strdup_printf ("bøat %04u.sidelong", n);

      write_file (f->here, name, text, strlen (text));
      for (guint i = 0; n % 2 == 0 && i < n_pictures; i++)
        {
          g_autoptr (GdkPixbuf) fields = made_fields ((int) (16 + n % 50), (int) (16 + i));
          g_autoptr (GBytes) bytes = made_file (fields, i % 2 == 0 ? "jpeg" : "png");
          g_autofree char *path = g_strdup_printf ("bøat %04u.photos/fret-%u.%s", n, i, i % 2 == 0 ? "jpg" : "png");

          write_file (f->here, path, g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
        }
    }
}

static void
pack (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  sl_shelf_pack (f->from, NULL, f->zip, f->fates, &f->how_far, NULL, &error);
  g_assert_no_error (error);
}

static gboolean
unpack (Fixture *f, GError **error)
{
  const SlShop shop = SL_SHOP_DEFAULT;

  g_ptr_array_set_size (f->fates, 0);
  return sl_shelf_unpack (f->zip, f->to, NULL, &shop, f->fates, &f->how_far, NULL, error);
}

static guint
count (const Fixture *f, SlFate fate)
{
  guint n = 0;

  SL_EACH_OF (const SlFateOf, one, f->fates)
    {
      if (one->fate == SL_FATE_REFUSED)
        g_test_message ("%s: %s", one->name, one->why);
      n += one->fate == fate;
    }
  return n;
}

/* Both folders hold the same files, byte for byte. */
static void
assert_same (const char *a, const char *b)
{
  g_autofree char *command = g_strdup_printf ("diff -r '%s' '%s'", a, b), *out = NULL;

  g_assert_true (g_spawn_command_line_sync (command, &out, NULL, NULL, NULL));
  g_assert_cmpstr (out, ==, "");
}

static void
test_round_trip (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  const guint n = (guint) test_rounds (100);
  g_autoptr (GBytes) first = NULL, second = NULL;

  make_shelf (f, n, 3);
  pack (f);
  g_assert_cmpuint (f->fates->len, ==, 0);
  g_assert_true (unpack (f, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (count (f, SL_FATE_TAKEN), ==, n);
  g_assert_cmpuint (f->fates->len, ==, n);
  assert_same (f->here, g_file_peek_path (f->to));

  /* once more: all of it is there already; and the same files make the same bytes */
  g_assert_true (unpack (f, &error));
  g_assert_cmpuint (count (f, SL_FATE_THERE), ==, n);
  assert_same (f->here, g_file_peek_path (f->to));
  first = g_file_load_bytes (f->zip, NULL, NULL, NULL);
  pack (f);
  second = g_file_load_bytes (f->zip, NULL, NULL, NULL);
  g_assert_true (g_bytes_equal (first, second));
}

/* Another version of a profile that is there comes beside it; neither is touched. */
static void
test_beside (Fixture *f, gconstpointer data)
{
  g_autofree char *mine = profile_text (7, "Mine"), *theirs = profile_text (7, "Theirs"), *there = NULL;
  g_autofree char *first = g_build_filename (g_file_peek_path (f->to), "boat.sidelong", NULL),
                  *second = g_build_filename (g_file_peek_path (f->to), "boat 2.sidelong", NULL);
  const SlFateOf *fate;

  write_file (f->here, "boat.sidelong", theirs, strlen (theirs));
  write_file (g_file_peek_path (f->to), "boat.sidelong", mine, strlen (mine));
  pack (f);
  g_assert_true (unpack (f, NULL));
  g_assert_cmpuint (f->fates->len, ==, 1);
  fate = f->fates->pdata[0];
  g_assert_cmpint (fate->fate, ==, SL_FATE_BESIDE);
  g_assert_cmpstr (fate->other, ==, "boat.sidelong");
  g_assert_cmpstr (fate->now, ==, "boat 2.sidelong");
  g_assert_true (g_file_get_contents (first, &there, NULL, NULL));
  g_assert_cmpstr (there, ==, mine);
  g_free (there);
  g_assert_true (g_file_get_contents (second, &there, NULL, NULL));
  g_assert_cmpstr (there, ==, theirs);
}

/* ---- archives that mean harm ---- */

typedef struct
{
  const char *path;
  int type;         /* 0: a file */
  const char *link; /* of a link */
  const char *data; /* NULL: the example; else this text; of a picture "" is a small one */
  gsize zeros;      /* or so many bytes of nothing */
} Entry;

static void
write_archive (Fixture *f, const Entry *entries, gboolean zip, gboolean gzip)
{
  struct archive *archive = archive_write_new ();
  g_autofree char *zeros = g_malloc0 (1 << 20);

  if (zip)
    archive_write_set_format_zip (archive);
  else
    archive_write_set_format_pax_restricted (archive);
  if (gzip)
    archive_write_add_filter_gzip (archive);
  g_assert_cmpint (archive_write_open_filename (archive, g_file_peek_path (f->zip)), ==, ARCHIVE_OK);
  for (const Entry *e = entries; e->path != NULL; e++)
    {
      struct archive_entry *entry = archive_entry_new ();
      g_autofree char *example = test_example (NULL);
      const char *text = e->data != NULL ? e->data : example;
      gsize left = e->zeros;

      archive_entry_set_pathname (entry, e->path);
      archive_entry_set_filetype (entry, e->type != 0 ? (unsigned) e->type : AE_IFREG);
      archive_entry_set_perm (entry, 0644);
      if (e->link != NULL && e->type == AE_IFLNK)
        archive_entry_set_symlink (entry, e->link);
      else if (e->link != NULL)
        archive_entry_set_hardlink (entry, e->link);
      else if (e->type == 0)
        archive_entry_set_size (entry, (la_int64_t) (left > 0 ? left : strlen (text)));
      if (archive_write_header (archive, entry) < ARCHIVE_WARN) /* a ZIP can't hold it */
        {
          archive_entry_free (entry);
          continue;
        }
      for (; left > 0; left -= MIN (left, 1 << 20))
        archive_write_data (archive, zeros, MIN (left, 1 << 20));
      if (e->zeros == 0 && e->type == 0 && e->link == NULL)
        archive_write_data (archive, text, strlen (text));
      archive_entry_free (entry);
    }
  g_assert_cmpint (archive_write_close (archive), ==, ARCHIVE_OK);
  archive_write_free (archive);
}

/* Nothing outside the folder, nothing hidden in it, no link. */
static guint
count_files (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  for (const char *name; (name = g_dir_read_name (dir)) != NULL; n++)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);

      g_assert_false (g_file_test (path, G_FILE_TEST_IS_SYMLINK));
      g_assert_cmpint (*name, !=, '.');
    }
  return n;
}

static const Entry names[] = {
  { "/tmp/absolute.sidelong" },
  { "../above.sidelong" },
  { "in/../../above.sidelong" },
  { "./dot.sidelong" },
  { "back\\slash.sidelong" },
  { ".hidden.sidelong" },
  { "link.sidelong", AE_IFLNK, "/etc/passwd" },
  { "hard.sidelong", 0, "good.sidelong" },
  { "pipe.sidelong", AE_IFIFO },
  { "device.sidelong", AE_IFCHR },
  { "stray.photos/nut.jpg", 0, NULL, "no picture" },
  { "letter.txt", 0, NULL, "no profile" },
  { "broken.sidelong", 0, NULL, "<profile" },
  { "doctype.sidelong", 0, NULL,
    "<!DOCTYPE p [<!ENTITY e SYSTEM \"file:///etc/passwd\">]><profile xmlns=\"urn:sidelong:profile:1\">&e;</profile>" },
  { "huge.sidelong", 0, NULL, NULL, 9 << 20 },
  { "good.sidelong" },
  { "good.photos/not.jpg", 0, NULL, "no picture" },
  { "good.photos/../escape.jpg", 0, NULL, "no picture" },
  { "GOOD.sidelong" }, /* the same bytes: there already */
  { NULL },
};

static void
test_names (Fixture *f, gconstpointer zip)
{
  g_autoptr (GError) error = NULL;

  write_archive (f, names, zip != NULL, FALSE);
  g_assert_true (unpack (f, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (count (f, SL_FATE_TAKEN), ==, 1);
  /* a ZIP can't hold pipes and devices, and its "\\" is read as "/" */
  g_assert_cmpuint (count (f, SL_FATE_THERE), ==, zip != NULL ? 2 : 1);
  g_assert_cmpuint (count (f, SL_FATE_REFUSED), ==, G_N_ELEMENTS (names) - 1 - (zip != NULL ? 5 : 2));
  g_assert_cmpuint (count_files (g_file_peek_path (f->to)), ==, 1);
  g_assert_cmpuint (count_files (f->there), ==, 2);
  g_assert_false (g_file_test ("/tmp/absolute.sidelong", G_FILE_TEST_EXISTS));
}

/* 128 MiB of nothing, packed to a thousandth; many files that are each small enough. */
static void
test_bombs (Fixture *f, gconstpointer data)
{
  static const Entry one[] = { { "good.sidelong" }, { "big.bin", 0, NULL, NULL, (gsize) 1 << 27 }, { NULL } };
  Entry many[21] = { { NULL } };
  g_autoptr (GError) error = NULL;

  write_archive (f, one, FALSE, TRUE);
  g_assert_false (unpack (f, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA);
  g_clear_error (&error);
  write_archive (f, one, TRUE, FALSE); /* of a ZIP it is not even unpacked */
  g_assert_true (unpack (f, &error));
  g_assert_no_error (error);

  for (gsize i = 0; i + 1 < G_N_ELEMENTS (many); i++)
    many[i] = (Entry){ "zeros.sidelong", 0, NULL, NULL, 8 << 20 };
  write_archive (f, many, TRUE, FALSE);
  g_assert_false (unpack (f, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA);
  g_assert_cmpuint (count_files (g_file_peek_path (f->to)), ==, 1);
}

/* Cut short anywhere, or with any byte another: what comes in is whole, and it ends. */
static void
test_damaged (Fixture *f, gconstpointer data)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  g_autoptr (GBytes) whole = NULL;
  gsize length;
  const char *bytes;

  make_shelf (f, 4, 2);
  pack (f);
  whole = g_file_load_bytes (f->zip, NULL, NULL, NULL);
  bytes = g_bytes_get_data (whole, &length);
  for (int round = test_rounds (60); round > 0; round--)
    {
      g_autofree char *copy = g_memdup2 (bytes, length);
      const gsize cut = round % 2 == 0 ? (gsize) g_rand_int_range (rand, 0, (int) length) : length;
      g_autoptr (GPtrArray) entries = NULL;
      const SlShop shop = SL_SHOP_DEFAULT;

      for (int i = 0; i < 3 && round % 2 == 1; i++)
        copy[g_rand_int_range (rand, 0, (int) length)] ^= (char) g_rand_int_range (rand, 1, 256);
      g_assert_true (g_file_set_contents (g_file_peek_path (f->zip), copy, (gssize) cut, NULL));
      unpack (f, NULL);
      entries = sl_shelf_read (f->to, NULL, &shop, NULL, NULL, NULL, NULL);
      SL_EACH_OF (const SlShelfEntry, entry, entries)
        g_assert_null (entry->fault);
    }
}

/* Killed whenever, what is there is whole, and the next call goes on to the end. */
static void
test_killed (Fixture *f, gconstpointer data)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (11);
  g_autoptr (GError) error = NULL;
  const SlShop shop = SL_SHOP_DEFAULT;

  make_shelf (f, 30, 2);
  pack (f);
  for (int round = test_rounds (8); round > 0; round--)
    {
      g_autoptr (GPtrArray) entries = NULL;
      const pid_t child = fork ();

      if (child == 0)
        {
          unpack (f, NULL);
          _exit (0);
        }
      g_usleep ((gulong) g_rand_int_range (rand, 1000, 60000));
      kill (child, SIGKILL);
      g_assert_cmpint (waitpid (child, NULL, 0), ==, child);
      entries = sl_shelf_read (f->to, NULL, &shop, NULL, NULL, NULL, NULL);
      g_test_message ("%u there", entries->len);
      SL_EACH_OF (const SlShelfEntry, entry, entries)
        g_assert_null (entry->fault);
    }
  g_assert_true (unpack (f, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (f->fates->len, ==, 30);
  {
    g_autofree char *command = g_strdup_printf ("find '%s' -name '.*.sidelong-sav*' -delete", f->there);

    g_assert_true (
        g_spawn_command_line_sync (command, NULL, NULL, NULL, NULL)); /* of saves that were killed, and their locks */
  }
  assert_same (f->here, g_file_peek_path (f->to));
}

static void
test_stopped (Fixture *f, gconstpointer data)
{
  g_autoptr (GCancellable) stop = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  const SlShop shop = SL_SHOP_DEFAULT;

  make_shelf (f, 3, 1);
  pack (f);
  g_cancellable_cancel (stop);
  g_assert_false (sl_shelf_unpack (f->zip, f->to, NULL, &shop, f->fates, &f->how_far, stop, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_clear_error (&error);
  g_assert_false (sl_shelf_pack (f->from, NULL, f->zip, f->fates, &f->how_far, stop, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_assert_true (unpack (f, NULL)); /* what was there is whole */
  g_assert_cmpuint (count (f, SL_FATE_TAKEN), ==, 3);
}

int
main (int argc, char **argv)
{
#define ADD(name, data, function) g_test_add (name, Fixture, data, set_up, function, tear_down)
  g_test_init (&argc, &argv, NULL);
  ADD ("/shelf-archive/round-trip", NULL, test_round_trip);
  ADD ("/shelf-archive/beside", NULL, test_beside);
  ADD ("/shelf-archive/names/tar", NULL, test_names);
  ADD ("/shelf-archive/names/zip", "zip", test_names);
  ADD ("/shelf-archive/bombs", NULL, test_bombs);
  ADD ("/shelf-archive/damaged", NULL, test_damaged);
  ADD ("/shelf-archive/stopped", NULL, test_stopped);
  ADD ("/shelf-archive/killed", NULL, test_killed);
  return g_test_run ();
}
