/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files made to do harm under a photograph's name, and pictures that harm has been done to: each is refused with a
 * sentence, or seen, within so much time and memory. A row for each is printed. */
#include <locale.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "../rounds.h"
#include "made-image.h"
#include "photo/folder.h"

#define MOST_BYTES (32 * 1024 * 1024) /* above what the file and its copy have, of what is refused or small */
#define MOST_S 2.0                    /* of a processor, not optimised; the promise is SL_IMAGE_MOST_S */
#define SEEN (-1)                     /* in place of a fault: it is shown */
#define EITHER (-2)                   /* refused or seen, within bounds */

static GFile *folder;

static double
processor_s (void)
{
  struct timespec now;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec + (double) now.tv_nsec / 1e9;
}

/* Lets the address space grow by so much from now on; 0: by anything. */
static void
limit_memory (gsize bytes)
{
#if !defined(__SANITIZE_ADDRESS__) /* which takes address space of its own, and looks at every access instead */
  struct rlimit limit;
  unsigned long long pages = 0;
  g_autofree char *status = NULL;

  g_assert_true (g_file_get_contents ("/proc/self/statm", &status, NULL, NULL));
  g_assert_cmpint (sscanf (status, "%llu", &pages), ==, 1);
  getrlimit (RLIMIT_AS, &limit);
  limit.rlim_cur = bytes > 0 ? (rlim_t) pages * (rlim_t) sysconf (_SC_PAGESIZE) + bytes : limit.rlim_max;
  g_assert_cmpint (setrlimit (RLIMIT_AS, &limit), ==, 0);
#endif
}

static const char *
fault_name (int fault)
{
  static const char *const names[] = { "missing", "foreign", "no kind", "broken", "too large" };

  return fault == SEEN ? "seen" : names[fault];
}

/* Looks at a file of the folder as the program does. */
static int
look_at (const char *name, gsize size, gboolean told, char **sentence)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = NULL;
  g_autoptr (GdkPixbuf) picture = NULL;
  SlImageFacts facts;
  const double start = processor_s ();
  double took;

  limit_memory (MOST_BYTES + 2 * size);
  bytes = sl_photo_bytes (folder, name, NULL, &error);
  if (bytes != NULL && sl_image_facts (bytes, &facts, &error))
    picture = sl_image_decode (bytes, 0, NULL, &error);
  limit_memory (0);
  took = processor_s () - start;
  g_assert_true ((picture != NULL) == (error == NULL));
  if (error != NULL)
    {
      g_assert_true (error->domain == SL_IMAGE_ERROR);
      g_assert_true (g_utf8_validate (error->message, -1, NULL) && strchr (error->message, '\n') == NULL);
      g_assert_cmpuint (strlen (error->message), >, 20);
    }
#if !defined(__SANITIZE_ADDRESS__)
  g_assert_cmpfloat (took, <, MOST_S);
#endif
  if (sentence != NULL)
    *sentence = g_strdup (error != NULL ? error->message : "");
  if (told)
    g_test_message ("| %zu | %.0f ms | %s | %s |", size, 1000 * took, fault_name (error != NULL ? error->code : SEEN),
                    error != NULL ? error->message : "");
  return error != NULL ? error->code : SEEN;
}

static char *
path_of (const char *name)
{
  return g_build_filename (g_file_peek_path (folder), name, NULL);
}

static void
put (const char *name, GBytes *bytes)
{
  g_autofree char *path = path_of (name);
  g_autoptr (GError) error = NULL;
  gsize length;
  const char *data = g_bytes_get_data (bytes, &length);

  g_remove (path); /* or the rest of a longer one would stay */
  g_file_set_contents_full (path, data, (gssize) length, G_FILE_SET_CONTENTS_NONE, 0600, &error);
  g_assert_no_error (error);
}

/* Takes @bytes; @says has to stand in the sentence. */
static void
try_bytes (const char *what, GBytes *bytes, int wanted, const char *says)
{
  g_autofree char *sentence = NULL;

  put ("x.jpg", bytes);
  g_test_message ("%s", what);
  const int fault = look_at ("x.jpg", g_bytes_get_size (bytes), TRUE, &sentence);
  if (wanted != EITHER)
    g_assert_cmpint (fault, ==, wanted);
  g_assert_nonnull (strstr (sentence, says));
  g_bytes_unref (bytes);
}

static GBytes *
text (const char *data, gsize length)
{
  return g_bytes_new (data, length);
}
#define TEXT(literal) text (literal, sizeof literal - 1)

static void
test_kinds (void)
{
  g_autoptr (GdkPixbuf) picture = made_fields (40, 30);
  g_autoptr (GByteArray) noise = g_byte_array_new ();

  try_bytes ("nothing", TEXT (""), SL_IMAGE_BROKEN, "empty");
  try_bytes ("one byte", TEXT ("\xff"), SL_IMAGE_NO_KIND, "JPEG");
  try_bytes ("PDF", TEXT ("%PDF-1.7\n1 0 obj\n"), SL_IMAGE_NO_KIND, "PDF");
  try_bytes ("SVG", TEXT ("<svg xmlns=\"http://www.w3.org/2000/svg\"><image href=\"/etc/passwd\"/></svg>"),
             SL_IMAGE_NO_KIND, "SVG");
  try_bytes ("XML with an entity",
             TEXT ("<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY e SYSTEM \"file:///etc/passwd\">]><svg>&e;</svg>"),
             SL_IMAGE_NO_KIND, "XML");
  try_bytes ("GIF", TEXT ("GIF89a\1\0\1\0\x80\0\0\0\0\0\xff\xff\xff,\0\0\0\0\1\0\1\0\0\2\2D\1\0;"), SL_IMAGE_NO_KIND,
             "GIF");
  try_bytes ("TIFF", made_file (picture, "tiff"), SL_IMAGE_NO_KIND, "TIFF");
  try_bytes ("BMP", made_file (picture, "bmp"), SL_IMAGE_NO_KIND, "BMP");
  try_bytes ("WebP", TEXT ("RIFF\x24\0\0\0WEBPVP8 \x18\0\0\0"), SL_IMAGE_NO_KIND, "WebP");
  try_bytes ("HEIC",
             TEXT ("\0\0\0\x18"
                   "ftypheic\0\0\0\0mif1heic"),
             SL_IMAGE_NO_KIND, "HEIC");
  try_bytes ("program", TEXT ("\177ELF\2\1\1\0\0\0\0\0\0\0\0\0\2\0\x3e\0\1\0\0\0"), SL_IMAGE_NO_KIND, "ELF");
  try_bytes ("HTML", TEXT ("<!DOCTYPE html><html><script>alert(1)</script></html>"), SL_IMAGE_NO_KIND, "HTML");
  g_byte_array_set_size (noise, 5000000);
  memset (noise->data, 0, noise->len);
  try_bytes ("zeros", text ((char *) noise->data, noise->len), SL_IMAGE_NO_KIND, "JPEG");
}

static void
test_sizes (void)
{
  g_autoptr (GByteArray) large = g_byte_array_new ();

  try_bytes ("PNG of 50,000 × 50,000 in a few kB", made_png (50000, 50000, 5000000, NULL), SL_IMAGE_TOO_LARGE,
             "50000 × 50000");
  try_bytes ("PNG of 2³¹−1 px a side", made_png (G_MAXINT, G_MAXINT, 100, NULL), SL_IMAGE_TOO_LARGE, "2147483647");
  try_bytes ("PNG of 2³² px a side", made_png (G_MAXUINT, G_MAXUINT, 100, NULL), SL_IMAGE_TOO_LARGE, "px");
  try_bytes ("PNG without height", made_png (100, 0, 100, NULL), SL_IMAGE_BROKEN, "damaged");
  try_bytes ("JPEG of 65,535 × 65,535", made_scans (65535, 65535, FALSE, 1), SL_IMAGE_TOO_LARGE, "65535 × 65535");
  try_bytes ("JPEG of 32,768 × 10", made_scans (32768, 10, FALSE, 1), SL_IMAGE_TOO_LARGE, "32767 px a side");
  try_bytes ("JPEG of 64,008,000 px", made_scans (8001, 8000, TRUE, 1), SL_IMAGE_TOO_LARGE, "64 megapixels");
  try_bytes ("JPEG without height", made_scans (100, 0, FALSE, 1), SL_IMAGE_BROKEN, "damaged");
  try_bytes ("JPEG without a scan", made_scans (100, 100, FALSE, 0), SL_IMAGE_BROKEN, "damaged");
  g_byte_array_set_size (large, SL_IMAGE_MOST_BYTES + 1);
  memset (large->data, 0, large->len);
  memcpy (large->data, "\xff\xd8\xff", 3);
  g_autoptr (GBytes) bytes = g_byte_array_free_to_bytes (g_steal_pointer (&large));
  g_autoptr (GError) error = NULL;
  SlImageFacts facts;
  g_assert_false (sl_image_facts (bytes, &facts, &error));
  g_assert_error (error, SL_IMAGE_ERROR, SL_IMAGE_TOO_LARGE);
  try_bytes ("64 MiB and a byte", g_steal_pointer (&bytes), SL_IMAGE_TOO_LARGE, "64 MiB");
}

/* What costs time or memory where a decoder is given all of it. */
static void
test_bombs (void)
{
  g_autoptr (GdkPixbuf) picture = made_fields (40, 30);
  g_autoptr (GByteArray) inside = g_byte_array_new (), texts = g_byte_array_new (), profile = g_byte_array_new (),
                         deflated = made_deflated (7900000), segment = g_byte_array_new (), small = g_byte_array_new ();
  GBytes *jpeg = made_file (picture, "jpeg");

  try_bytes ("PNG with far too many rows deflated", made_png (10, 10, 400000000, NULL), EITHER, "");
  try_bytes ("PNG with too few rows", made_png (100, 100, 50 * 101, NULL), SL_IMAGE_BROKEN, "damaged");
  /* a text may become 8 MB, and there may be 1,000 (libpng 1.6, png.h: its own bounds) */
  g_byte_array_append (inside, (const guint8 *) "Comment\0", 9);
  g_byte_array_append (inside, deflated->data, deflated->len);
  for (int i = 0; i < 900; i++)
    made_chunk (texts, "zTXt", inside->data, inside->len);
  try_bytes ("PNG with 900 texts of 7.9 MB, deflated", made_png (10, 10, 110, texts), SEEN, "");
  made_chunk (profile, "iCCP", inside->data, inside->len);
  try_bytes ("PNG with a profile of 7.9 MB, deflated", made_png (10, 10, 110, profile), SEEN, "");
  for (int i = 0; i < 200000; i++)
    made_chunk (small, "IDAT", NULL, 0);
  try_bytes ("PNG in 200,000 empty chunks", made_png (10, 10, 110, small), EITHER, "");

  try_bytes ("JPEG of 5,000 scans", made_scans (4000, 4000, TRUE, 5000), SL_IMAGE_TOO_LARGE, "5000 scans");
  try_bytes ("JPEG of 100 scans", made_scans (600, 600, TRUE, 100), SEEN, "");
  g_byte_array_set_size (segment, 65533);
  memset (segment->data, 'x', segment->len);
  memcpy (segment->data, "ICC_PROFILE\0\1\xff", 14);
  for (int i = 0; i < 400; i++)
    {
      GBytes *before = jpeg;

      jpeg = made_with_segment (before, i % 2 == 0 ? 0xe2 : 0xfe, segment->data, segment->len);
      g_bytes_unref (before);
    }
  try_bytes ("JPEG with 26 MB of profile and comments", jpeg, SEEN, "");
}

/* Exif whose directories lead to themselves, and count what isn't there. */
static void
test_exif (void)
{
  g_autoptr (GdkPixbuf) picture = made_fields (40, 30);
  g_autoptr (GBytes) jpeg = made_file (picture, "jpeg");
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  int rounds = test_rounds (3000);

  for (int i = 0; i < rounds; i++)
    {
      g_autoptr (GByteArray) exif = made_exif (6, "2026:03:02 10:00:00", "+01:00", "Imke Sandvoort");
      SlImageFacts facts;

      for (int n = g_rand_int_range (rand, 1, 12); n > 0; n--)
        exif->data[g_rand_int_range (rand, 6, 150)] = (guint8) g_rand_int_range (rand, 0, i % 2 == 0 ? 256 : 20);
      g_autoptr (GBytes) bytes = made_with_segment (jpeg, 0xe1, exif->data, exif->len);
      g_assert_true (sl_image_facts (bytes, &facts, NULL));
      g_assert_true (facts.width * facts.height == 40 * 30);
    }
  /* the directory of the second picture is the first */
  g_autoptr (GByteArray) round = made_exif (6, NULL, NULL, NULL);
  round->data[6 + 8 + 2 + 2 * 12] = 8;
  try_bytes ("JPEG whose Exif goes in a circle", made_with_segment (jpeg, 0xe1, round->data, round->len), SEEN, "");
}

static void
test_truncated (void)
{
  static const char *const kinds[] = { "jpeg", "png" };
  g_autoptr (GdkPixbuf) picture = made_fields (60, 40);

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autoptr (GBytes) whole = made_file (picture, kinds[i]);
      gsize length;
      const char *data = g_bytes_get_data (whole, &length);
      int broken = 0;

      for (gsize cut = 1; cut < length; cut++)
        {
          /* nothing behind it, so that a sanitizer sees a read beyond its end */
          g_autoptr (GBytes) part = g_bytes_new_take (g_memdup2 (data, cut), cut);
          g_autoptr (GError) error = NULL;
          g_autoptr (GdkPixbuf) seen = sl_image_decode (part, 0, NULL, &error);

          g_assert_null (seen);
          g_assert_true (error->domain == SL_IMAGE_ERROR &&
                         (error->code == SL_IMAGE_BROKEN || (cut < 8 && error->code == SL_IMAGE_NO_KIND)));
          broken += error->code == SL_IMAGE_BROKEN;
        }
      g_test_message ("%s cut at each of %zu places: %d broken, the others too short to tell a kind", kinds[i],
                      length - 1, broken);
      try_bytes ("cut in the middle", g_bytes_new (data, length / 2), SL_IMAGE_BROKEN, "cut short");
    }
}

/* Bytes changed by chance: seen or refused, with what is seen of the size that was said. */
static void
test_changed (void)
{
  static const char *const kinds[] = { "jpeg", "png" };
  g_autoptr (GdkPixbuf) picture = made_fields (60, 40);
  g_autoptr (GRand) rand = g_rand_new_with_seed (6);
  const int rounds = test_rounds (4000);
  int seen = 0;

  for (int i = 0; i < rounds; i++)
    {
      g_autoptr (GBytes) whole = made_file (picture, kinds[i % 2]);
      g_autoptr (GByteArray) changed = g_bytes_unref_to_array (g_steal_pointer (&whole));
      /* random from the third byte on */
      const gboolean noise = i % 10 > 7;

      for (int n = noise ? (int) changed->len : g_rand_int_range (rand, 1, 6); n > 0; n--)
        changed->data[g_rand_int_range (rand, i % 2 == 0 ? 3 : 8, (gint32) changed->len)] =
            (guint8) g_rand_int_range (rand, 0, 256);
      g_autoptr (GBytes) bytes = g_byte_array_free_to_bytes (g_steal_pointer (&changed));
      g_autoptr (GError) error = NULL;
      SlImageFacts facts;
      g_autoptr (GdkPixbuf) got = sl_image_decode (bytes, 0, NULL, &error);

      g_assert_true ((got != NULL) == (error == NULL) && (error == NULL || error->domain == SL_IMAGE_ERROR));
      if (got == NULL)
        continue;
      seen++;
      g_assert_true (sl_image_facts (bytes, &facts, NULL));
      g_assert_cmpint (facts.width, ==, gdk_pixbuf_get_width (got));
      g_assert_cmpint (facts.height, ==, gdk_pixbuf_get_height (got));
    }
  g_test_message ("%d of %d changed pictures were still seen, the others refused", seen, rounds);
}

/* ---- files that are none ---- */

static void
try_name (const char *what, const char *name, gsize size, int wanted, const char *says)
{
  g_autofree char *sentence = NULL;

  g_test_message ("%s", what);
  g_assert_cmpint (look_at (name, size, TRUE, &sentence), ==, wanted);
  g_assert_nonnull (strstr (sentence, says));
}

static void
try_link (const char *what, const char *to)
{
  g_autofree char *path = path_of ("link.jpg");

  g_assert_cmpint (symlink (to, path), ==, 0);
  try_name (what, "link.jpg", 0, SL_IMAGE_FOREIGN, "link");
  g_remove (path);
}

static void
test_files (void)
{
  g_autofree char *pipe_path = path_of ("pipe.jpg"), *folder_path = path_of ("folder.jpg"),
                  *device_path = path_of ("device.jpg"), *sparse_path = path_of ("sparse.jpg"),
                  *long_name = g_strnfill (300, 'a');
  g_autoptr (GdkPixbuf) picture = made_fields (40, 30);
  g_autoptr (GBytes) sound = made_file (picture, "jpeg");

  put ("sound.jpg", sound);
  try_name ("a sound one", "sound.jpg", g_bytes_get_size (sound), SEEN, "");
  try_name ("not there", "y.jpg", 0, SL_IMAGE_MISSING, g_file_peek_path (folder));
  try_link ("link to /etc/passwd", "/etc/passwd");
  try_link ("link to a picture beside it", "sound.jpg");
  try_link ("link to itself", "link.jpg");
  try_link ("link to nothing", "/nowhere/at/all");
  try_link ("link to /dev/zero", "/dev/zero");
  g_assert_cmpint (mkfifo (pipe_path, 0600), ==, 0);
  try_name ("pipe", "pipe.jpg", 0, SL_IMAGE_FOREIGN, "ordinary");
  if (mknod (device_path, S_IFCHR | 0600, (dev_t) (1 << 8 | 5)) == 0)
    try_name ("/dev/zero under another name", "device.jpg", 0, SL_IMAGE_FOREIGN, "ordinary");
  g_remove (device_path);
  g_assert_cmpint (g_mkdir (folder_path, 0700), ==, 0);
  try_name ("folder", "folder.jpg", 0, SL_IMAGE_FOREIGN, "ordinary");
  g_rmdir (folder_path);
  g_assert_true (g_file_set_contents (sparse_path, "\xff\xd8\xff", 3, NULL));
  g_assert_cmpint (truncate (sparse_path, (off_t) 1 << 40), ==, 0);
  try_name ("a tebibyte of holes", "sparse.jpg", 0, SL_IMAGE_TOO_LARGE, "64 MiB");
  try_name ("name with a slash", "a/b.jpg", 0, SL_IMAGE_FOREIGN, "a/b.jpg");
  try_name ("absolute name", "/etc/passwd", 0, SL_IMAGE_FOREIGN, "no name");
  try_name ("name that leads up", "../x.jpg", 0, SL_IMAGE_FOREIGN, "no name");
  try_name ("..", "..", 0, SL_IMAGE_FOREIGN, "no name");
  try_name ("hidden name", ".x.jpg", 0, SL_IMAGE_FOREIGN, "no name");
  try_name ("name with a line feed", "a\nb.jpg", 0, SL_IMAGE_FOREIGN, "a\\nb.jpg");
  try_name ("name of 300 characters", long_name, 0, SL_IMAGE_FOREIGN, "no name");
  try_name ("no name", "", 0, SL_IMAGE_FOREIGN, "no name");
}

/* The heaviest that are let in, left to --full: they take as long as a picture may, or nearly. */
static void
test_clock (void)
{
  if (test_rounds (2) < 3)
    {
      g_test_skip ("takes 20 s: only with more rounds");
      return;
    }
  g_autoptr (GBytes) scans = made_scans (8000, 8000, TRUE, 100), small = made_scans (8, 8, FALSE, 1);
  g_autoptr (GByteArray) tables = g_byte_array_new ();
  gsize length;
  const guint8 *data = g_bytes_get_data (small, &length);

  g_byte_array_append (tables, data, 2);
  while (tables->len < SL_IMAGE_MOST_BYTES - length - 6)
    g_byte_array_append (tables, (const guint8 *) "\xff\xdd\0\4\0\0", 6);
  g_byte_array_append (tables, data + 2, (guint) length - 2);
  GBytes *files[] = { scans, g_byte_array_free_to_bytes (g_steal_pointer (&tables)) };
  for (int i = 0; i < 2; i++)
    {
      g_autoptr (GError) error = NULL;
      const double start = processor_s ();
      g_autoptr (GdkPixbuf) picture = sl_image_decode (files[i], 0, NULL, &error);

      g_assert_true (picture != NULL || g_error_matches (error, SL_IMAGE_ERROR, SL_IMAGE_TOO_LARGE));
      g_test_message ("| %s | %.1f s | %s |", i == 0 ? "100 scans of 64 megapixels" : "64 MiB of tables",
                      processor_s () - start, error != NULL ? error->message : "seen");
      g_assert_cmpfloat (processor_s () - start, <, SL_IMAGE_MOST_S + 5);
    }
  g_bytes_unref (files[1]);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  int failed;

  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_autofree char *path = g_dir_make_tmp ("sidelong-hostile-XXXXXX", &error);
  g_assert_no_error (error);
  folder = g_file_new_for_path (path);
  g_test_add_func ("/hostile/kinds", test_kinds);
  g_test_add_func ("/hostile/sizes", test_sizes);
  g_test_add_func ("/hostile/bombs", test_bombs);
  g_test_add_func ("/hostile/exif", test_exif);
  g_test_add_func ("/hostile/truncated", test_truncated);
  g_test_add_func ("/hostile/changed", test_changed);
  g_test_add_func ("/hostile/files", test_files);
  g_test_add_func ("/hostile/clock", test_clock);
  failed = g_test_run ();
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *child = path_of (name);

      g_remove (child);
    }
  g_rmdir (path);
  g_object_unref (folder);
  return failed;
}
