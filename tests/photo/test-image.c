/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures as cameras write them: upright, of the size that was asked for, with their time, and copies with nothing but
 * the picture in them. */
#define _GNU_SOURCE /* memmem() */
#include <math.h>
#include <string.h>

#include "made-image.h"
#include "photo/image.h"

#define SECRET "Imke Sandvoort, 47 Tern Row"

static const guint8 *
pixel (const GdkPixbuf *picture, int x, int y)
{
  return gdk_pixbuf_read_pixels (picture) + y * gdk_pixbuf_get_rowstride (picture) +
         x * gdk_pixbuf_get_n_channels (picture);
}

/* The largest difference of two pictures of one size. */
static int
apart (const GdkPixbuf *a, const GdkPixbuf *b)
{
  int most = 0;

  g_assert_cmpint (gdk_pixbuf_get_width (a), ==, gdk_pixbuf_get_width (b));
  g_assert_cmpint (gdk_pixbuf_get_height (a), ==, gdk_pixbuf_get_height (b));
  for (int y = 0; y < gdk_pixbuf_get_height (a); y++)
    for (int x = 0; x < gdk_pixbuf_get_width (a); x++)
      for (int i = 0; i < 3; i++)
        most = MAX (most, ABS (pixel (a, x, y)[i] - pixel (b, x, y)[i]));
  return most;
}

static GdkPixbuf *
decoded (GBytes *bytes, int most_side)
{
  g_autoptr (GError) error = NULL;
  GdkPixbuf *picture = sl_image_decode (bytes, most_side, NULL, &error);

  g_assert_no_error (error);
  return picture;
}

static GBytes *
with_exif (GBytes *jpeg, int orientation, const char *taken, const char *offset, const char *secret)
{
  g_autoptr (GByteArray) exif = made_exif (orientation, taken, offset, secret);

  return made_with_segment (jpeg, 0xe1, exif->data, exif->len);
}

/* As a camera turned some way stores @upright: Exif 2.31, 4.6.4.A, says of each orientation on which side of what is
 * seen the first row and the first column lie. */
static GdkPixbuf *
stored (const GdkPixbuf *upright, int orientation)
{
  static const struct
  {
    gboolean on_side, row_from_end, column_from_end; /* of what is seen */
  } sides[] = { { 0, 0, 0 },                         /* top, left */
                { 0, 0, 1 },                         /* top, right */
                { 0, 1, 1 },                         /* bottom, right */
                { 0, 1, 0 },                         /* bottom, left */
                { 1, 0, 0 },                         /* left, top */
                { 1, 1, 0 },                         /* right, top */
                { 1, 1, 1 },                         /* right, bottom */
                { 1, 0, 1 } /* left, bottom */ };
  const gboolean on_side = sides[orientation - 1].on_side;
  const int width = gdk_pixbuf_get_width (upright), height = gdk_pixbuf_get_height (upright),
            rows = on_side ? width : height, columns = on_side ? height : width;
  GdkPixbuf *file = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, columns, rows);

  for (int row = 0; row < rows; row++)
    for (int column = 0; column < columns; column++)
      {
        const int a = sides[orientation - 1].row_from_end ? rows - 1 - row : row,
                  b = sides[orientation - 1].column_from_end ? columns - 1 - column : column;
        guint8 *to = gdk_pixbuf_get_pixels (file) + row * gdk_pixbuf_get_rowstride (file) + 3 * column;

        memcpy (to, on_side ? pixel (upright, a, b) : pixel (upright, b, a), 3);
      }
  return file;
}

static void
test_orientations (void)
{
  g_autoptr (GdkPixbuf) upright = made_fields (96, 64);

  for (int orientation = 0; orientation <= 9; orientation++)
    {
      g_autoptr (GdkPixbuf) lies = stored (upright, CLAMP (orientation, 1, 8) == orientation ? orientation : 1);
      g_autoptr (GBytes) plain = made_file (lies, "jpeg"), file = with_exif (plain, orientation, NULL, NULL, NULL),
                         copy = sl_image_stripped (file, NULL, NULL);
      g_autoptr (GdkPixbuf) seen = decoded (file, 0), small = decoded (file, 48), of_copy = decoded (copy, 0);
      SlImageFacts facts;

      g_assert_true (sl_image_facts (file, &facts, NULL));
      g_assert_cmpstr (facts.ending, ==, "jpg");
      g_assert_cmpint (facts.width, ==, 96);
      g_assert_cmpint (facts.height, ==, 64);
      g_assert_cmpstr (facts.taken, ==, "");
      /* what JPEG leaves of such a picture, by trial */
      g_assert_cmpint (apart (seen, upright), <, 90);
      g_assert_cmpint (gdk_pixbuf_get_width (small), ==, 48);
      g_assert_cmpint (gdk_pixbuf_get_height (small), ==, 32);
      for (int i = 0; i < 4; i++)
        {
          const int x = 24 + i % 2 * 48, y = 16 + i / 2 * 32;

          for (int channel = 0; channel < 3; channel++)
            {
              g_assert_cmpint (ABS (pixel (seen, x, y)[channel] - pixel (upright, x, y)[channel]), <, 8);
              g_assert_cmpint (ABS (pixel (small, x / 2, y / 2)[channel] - pixel (upright, x, y)[channel]), <, 8);
            }
        }
      g_assert_cmpint (apart (of_copy, seen), <, 40);
    }
}

static void
test_sizes (void)
{
  static const int sizes[][2] = {
    { 1, 1 }, { 1, 200 }, { 200, 1 }, { 7, 9 }, { 640, 480 }, { 1601, 1203 }, { 4000, 30 }
  };
  static const int most[] = { 0, 1, 8, 100, 799, 800, 801, 5000 };

  for (gsize i = 0; i < G_N_ELEMENTS (sizes); i++)
    for (gsize k = 0; k < 2; k++)
      {
        const int width = sizes[i][0], height = sizes[i][1], longer = MAX (width, height);
        g_autoptr (GdkPixbuf) whole = made_fields (width, height);
        g_autoptr (GBytes) file = made_file (whole, k == 0 ? "jpeg" : "png");

        for (gsize m = 0; m < G_N_ELEMENTS (most); m++)
          {
            const double scale = most[m] == 0 || longer <= most[m] ? 1 : (double) most[m] / longer;
            g_autoptr (GdkPixbuf) picture = decoded (file, most[m]);
            const int w = gdk_pixbuf_get_width (picture), h = gdk_pixbuf_get_height (picture);

            g_assert_cmpint (MAX (w, h), ==, most[m] == 0 ? longer : MIN (longer, most[m]));
            g_assert_cmpfloat (fabs (w - MAX (1, width * scale)), <=, 1);
            g_assert_cmpfloat (fabs (h - MAX (1, height * scale)), <=, 1);
            if (k == 1 && scale == 1)
              g_assert_cmpint (apart (picture, whole), ==, 0);
          }
      }
}

static void
test_taken (void)
{
  static const struct
  {
    const char *taken, *offset, *wanted;
  } cases[] = {
    { "2026:03:02 10:00:00", "+01:00", "2026-03-02T10:00:00+01:00" },
    { "2026:03:02 10:00:00", "-09:30", "2026-03-02T10:00:00-09:30" },
    { "2026:03:02 10:00:00", NULL, "2026-03-02T10:00:00" },
    { "2026:03:02 10:00:00", "   :  ", "2026-03-02T10:00:00" },
    { "2026:03:02 10:00:00", "Z", "2026-03-02T10:00:00" }, /* four bytes hold it: none to point to */
    { "2026:03:02 10:00:00", "+99:00", "2026-03-02T10:00:00" },
    { "2026:02:30 10:00:00", "+01:00", "" },
    { "2026:13:02 10:00:00", NULL, "" },
    { "2026:03:02 25:00:00", NULL, "" },
    { "0000:00:00 00:00:00", NULL, "" },
    { "0126:03:02 10:00:00", NULL, "" },
    { "    :  :     :  :  ", NULL, "" },
    { "2026-03-02 10:00:00", NULL, "" },
    { "2026:03:02T10:00:00", NULL, "" },
    { "2026:03:02", NULL, "" },
    { "2026:03:02 10:00:00 and more", NULL, "2026-03-02T10:00:00" },
    { "\xff\xfe\x1b[31mabcdefghijkl", NULL, "" },
    { "", NULL, "" },
    { NULL, "+01:00", "" },
  };
  g_autoptr (GdkPixbuf) picture = made_fields (16, 16);
  g_autoptr (GBytes) plain = made_file (picture, "jpeg");

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GBytes) file = with_exif (plain, 1, cases[i].taken, cases[i].offset, NULL);
      SlImageFacts facts;

      g_assert_true (sl_image_facts (file, &facts, NULL));
      g_assert_cmpstr (facts.taken, ==, cases[i].wanted);
    }
}

/* ---- copies ---- */

static gboolean
holds (GBytes *bytes, const char *text)
{
  gsize length;
  const char *data = g_bytes_get_data (bytes, &length);

  return memmem (data, length, text, strlen (text)) != NULL;
}

/* Every place a camera or a program writes such things to. */
static void
test_stripped_jpeg (void)
{
  static const struct
  {
    guint8 mark;
    const char *head;
    gsize length;
  } segments[] = {
    { 0xe1, "http://ns.adobe.com/xap/1.0/\0", 29 }, /* XMP */
    { 0xe2, "ICC_PROFILE\0\1\1", 14 },
    { 0xed,
      "Photoshop 3.0\0"
      "8BIM\4\4\0\0\0\0\0\x20\x1c\2\x50\0\x1b",
      31 }, /* IPTC: the writer's name */
    { 0xef, "", 0 },
    { 0xfe, "", 0 }, /* comment */
  };
  g_autoptr (GdkPixbuf) picture = made_fields (160, 120);
  g_autoptr (GBytes) plain = made_file (picture, "jpeg"),
                     file = with_exif (plain, 6, "2026:03:02 10:00:00", "+01:00", SECRET);

  for (gsize i = 0; i < G_N_ELEMENTS (segments); i++)
    {
      g_autoptr (GByteArray) data = g_byte_array_new ();
      GBytes *before = file;

      g_byte_array_append (data, (const guint8 *) segments[i].head, (guint) segments[i].length);
      g_byte_array_append (data, (const guint8 *) SECRET, strlen (SECRET));
      file = made_with_segment (before, segments[i].mark, data->data, data->len);
      g_bytes_unref (before);
    }
  {
    /* and behind the picture's end */
    g_autoptr (GByteArray) longer = g_bytes_unref_to_array (g_steal_pointer (&file));

    g_byte_array_append (longer, (const guint8 *) SECRET, strlen (SECRET));
    file = g_byte_array_free_to_bytes (g_steal_pointer (&longer));
  }
  g_autoptr (GBytes) copy = sl_image_stripped (file, NULL, NULL);
  g_autoptr (GdkPixbuf) upright = decoded (copy, 0);
  SlImageFacts facts;
  gsize length;
  const guint8 *data = g_bytes_get_data (copy, &length);

  g_assert_true (holds (file, SECRET) && holds (file, "Exif") && holds (file, "2026:03:02"));
  g_assert_true (sl_image_facts (file, &facts, NULL));
  g_assert_cmpstr (facts.taken, ==, "2026-03-02T10:00:00+01:00");
  g_assert_false (holds (copy, "Imke") || holds (copy, "Exif") || holds (copy, "2026") || holds (copy, "8BIM") ||
                  holds (copy, "ICC") || holds (copy, "ns.adobe"));
  g_assert_true (sl_image_facts (copy, &facts, NULL));
  g_assert_cmpstr (facts.ending, ==, "jpg");
  g_assert_cmpstr (facts.taken, ==, "");
  g_assert_cmpint (facts.width, ==, 120);
  g_assert_cmpint (gdk_pixbuf_get_height (upright), ==, 160);
  /* no segments but JFIF's and those of the coding: up to the scan, T.81 B.1.1.3 */
  for (gsize at = 2; data[at + 1] != 0xda; at += 2 + (gsize) (data[at + 2] << 8 | data[at + 3]))
    g_assert_true (data[at] == 0xff && (data[at + 1] == 0xe0 || data[at + 1] < 0xe0));
}

static void
test_stripped_png (void)
{
  g_autoptr (GByteArray) extra = g_byte_array_new ();
  static const char *const types[] = { "tEXt", "iTXt", "eXIf", "sPLT", "tIME", "zxYz" };

  for (gsize i = 0; i < G_N_ELEMENTS (types); i++)
    made_chunk (extra, types[i], "Author\0" SECRET, 7 + strlen (SECRET));
  g_autoptr (GBytes) file = made_png (30, 20, 20 * 31, extra), copy = sl_image_stripped (file, NULL, NULL);
  SlImageFacts facts;

  g_assert_true (holds (file, SECRET));
  g_assert_nonnull (copy);
  g_assert_false (holds (copy, "Imke") || holds (copy, "Author"));
  for (gsize i = 0; i < G_N_ELEMENTS (types); i++)
    g_assert_false (holds (copy, types[i]));
  g_assert_true (sl_image_facts (copy, &facts, NULL));
  g_assert_cmpstr (facts.ending, ==, "png");
  g_assert_cmpint (facts.width, ==, 30);
  g_assert_cmpint (facts.height, ==, 20);
}

/* ---- for Cairo ---- */

static void
test_surface (void)
{
  g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, TRUE, 8, 3, 2);
  const guchar *jpeg;
  gulong length;

  gdk_pixbuf_fill (picture, 0x40800000); /* nothing of it: white */
  memcpy (gdk_pixbuf_get_pixels (picture), "\x40\x80\xc0\xff\x00\x00\x00\x80", 8);
  cairo_surface_t *surface = sl_image_surface (picture, 0);
  const guint32 *row = (const guint32 *) (gpointer) cairo_image_surface_get_data (surface);
  g_assert_cmpint (cairo_image_surface_get_format (surface), ==, CAIRO_FORMAT_RGB24);
  g_assert_cmphex (row[0] & 0xffffff, ==, 0x4080c0);
  g_assert_cmpint (ABS ((int) (row[1] & 0xff) - 127), <=, 1); /* half black, half white */
  g_assert_cmphex (row[2] & 0xffffff, ==, 0xffffff);
  cairo_surface_get_mime_data (surface, CAIRO_MIME_TYPE_JPEG, &jpeg, &length);
  g_assert_null (jpeg);
  cairo_surface_destroy (surface);

  g_autoptr (GdkPixbuf) fields = made_fields (64, 48);
  surface = sl_image_surface (fields, 85);
  cairo_surface_get_mime_data (surface, CAIRO_MIME_TYPE_JPEG, &jpeg, &length);
  g_assert_nonnull (jpeg);
  g_autoptr (GBytes) bytes = g_bytes_new (jpeg, length);
  g_autoptr (GdkPixbuf) back = decoded (bytes, 0);
  g_assert_cmpint (gdk_pixbuf_get_width (back), ==, 64);
  for (int channel = 0; channel < 3; channel++)
    g_assert_cmpint (ABS (pixel (back, 10, 10)[channel] - pixel (fields, 10, 10)[channel]), <, 8);
  cairo_surface_destroy (surface);
}

/* ---- given up ---- */

static gpointer
cancel_soon (gpointer cancellable)
{
  g_usleep (20000);
  g_cancellable_cancel (cancellable);
  return NULL;
}

static void
test_cancelled (void)
{
  g_autoptr (GBytes) slow = made_scans (4000, 4000, TRUE, 90);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  GThread *thread = g_thread_new ("cancels", cancel_soon, cancellable);

  g_assert_null (sl_image_decode (slow, 0, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_thread_join (thread);
  g_clear_error (&error);
  g_assert_null (sl_image_stripped (slow, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/image/orientations", test_orientations);
  g_test_add_func ("/image/sizes", test_sizes);
  g_test_add_func ("/image/taken", test_taken);
  g_test_add_func ("/image/stripped-jpeg", test_stripped_jpeg);
  g_test_add_func ("/image/stripped-png", test_stripped_png);
  g_test_add_func ("/image/surface", test_surface);
  g_test_add_func ("/image/cancelled", test_cancelled);
  return g_test_run ();
}
