/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-image.h"

#include <gio/gio.h>
#include <string.h>

GdkPixbuf *
made_fields (int width, int height)
{
  static const guint32 colours[] = { 0xc02020ff, 0x20a020ff, 0x2020c0ff, 0x808080ff };
  GdkPixbuf *picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, width, height);

  for (int i = 0; i < 4; i++)
    {
      const int x = i % 2 * (width / 2), y = i / 2 * (height / 2);
      g_autoptr (GdkPixbuf) field = gdk_pixbuf_new_subpixbuf (picture, x, y, width - x, height - y);

      gdk_pixbuf_fill (field, colours[i]);
    }
  return picture;
}

GBytes *
made_file (GdkPixbuf *picture, const char *kind)
{
  g_autoptr (GError) error = NULL;
  char *data;
  gsize length;

  gdk_pixbuf_save_to_buffer (picture, &data, &length, kind, &error, NULL);
  g_assert_no_error (error);
  return g_bytes_new_take (data, length);
}

static void
add (GByteArray *to, guint64 value, int bytes, gboolean little)
{
  for (int i = 0; i < bytes; i++)
    {
      const guint8 byte = (guint8) (value >> 8 * (little ? i : bytes - 1 - i));

      g_byte_array_append (to, &byte, 1);
    }
}

static void
add_segment (GByteArray *to, guint8 mark, gconstpointer data, gsize length)
{
  add (to, 0xff00u | mark, 2, FALSE);
  add (to, length + 2, 2, FALSE);
  g_byte_array_append (to, data, (guint) length);
}

GBytes *
made_with_segment (GBytes *jpeg, guint8 mark, gconstpointer data, gsize length)
{
  gsize size;
  const guint8 *old = g_bytes_get_data (jpeg, &size);
  GByteArray *with = g_byte_array_new ();

  g_byte_array_append (with, old, 2);
  add_segment (with, mark, data, length);
  g_byte_array_append (with, old + 2, (guint) size - 2);
  return g_byte_array_free_to_bytes (with);
}

/* ---- Exif ---- */

#define TIFF_START 6 /* offsets count from behind "Exif" and two zeros */
#define ASCII 2
#define SHORT 3
#define LONG 4
#define RATIONAL 5

/* An entry whose value is @value, or text that goes behind the directory, where @later is. */
static void
add_entry (GByteArray *to, GByteArray *later, guint later_at, int tag, int type, guint count, guint value,
           gconstpointer bytes, gsize length)
{
  add (to, (guint) tag, 2, TRUE);
  add (to, (guint) type, 2, TRUE);
  add (to, count, 4, TRUE);
  add (to, length > 4 ? later_at + later->len : value, 4, TRUE);
  if (length > 4)
    g_byte_array_append (later, bytes, (guint) length);
}

static void
add_text (GByteArray *to, GByteArray *later, guint later_at, int tag, const char *text)
{
  add_entry (to, later, later_at, tag, ASCII, (guint) strlen (text) + 1, 0, text, strlen (text) + 1);
}

GByteArray *
made_exif (int orientation, const char *taken, const char *offset, const char *secret)
{
  /* each directory has its place, whatever is in it */
  enum
  {
    FIRST = 8,
    OWN = 300,
    POSITION = 600,
    THUMBNAIL = 900,
    ENTRIES = 100 /* bytes until what doesn't fit into them */
  };
  GByteArray *exif = g_byte_array_new ();
  const guint8 nothing[THUMBNAIL + 300] = { 0 };
  const guint32 degrees[6] = { 47, 1, 22, 1, 1357, 100 };
  struct
  {
    guint at, n;
    GByteArray *entries, *later;
  } parts[] = { { FIRST, 0 }, { OWN, 0 }, { POSITION, 0 }, { THUMBNAIL, 0 } };

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      parts[i].entries = g_byte_array_new ();
      parts[i].later = g_byte_array_new ();
    }
#define ENTRY(i, tag, type, count, value, bytes, length)                                                               \
  (parts[i].n++,                                                                                                       \
   add_entry (parts[i].entries, parts[i].later, parts[i].at + ENTRIES, tag, type, count, value, bytes, length))
#define TEXT(i, tag, text) (parts[i].n++, add_text (parts[i].entries, parts[i].later, parts[i].at + ENTRIES, tag, text))
  if (orientation > 0)
    ENTRY (0, 0x0112, SHORT, 1, (guint) orientation, NULL, 0);
  if (secret != NULL)
    TEXT (0, 0x013b, secret); /* Artist */
  ENTRY (0, 0x8769, LONG, 1, OWN, NULL, 0);
  if (taken != NULL)
    TEXT (1, 0x9003, taken);
  if (offset != NULL)
    TEXT (1, 0x9011, offset);
  if (secret != NULL)
    {
      ENTRY (0, 0x8825, LONG, 1, POSITION, NULL, 0);
      TEXT (1, 0xa430, secret); /* CameraOwnerName */
      ENTRY (2, 0x0001, ASCII, 2, 'N', NULL, 0);
      ENTRY (2, 0x0002, RATIONAL, 3, 0, degrees, sizeof degrees);
      ENTRY (3, 0x0201, LONG, 1, THUMBNAIL + ENTRIES, NULL, 0);
      ENTRY (3, 0x0202, LONG, 1, (guint) strlen (secret), NULL, 0);
      g_byte_array_append (parts[3].later, (const guint8 *) secret, (guint) strlen (secret));
    }
  g_byte_array_append (exif, (const guint8 *) "Exif\0\0II*\0\x08\0\0\0", TIFF_START + 8);
  g_byte_array_append (exif, nothing, sizeof nothing);
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autoptr (GByteArray) head = g_byte_array_new ();

      add (head, parts[i].n, 2, TRUE);
      g_byte_array_append (head, parts[i].entries->data, parts[i].entries->len);
      add (head, i == 0 && secret != NULL ? THUMBNAIL : 0, 4, TRUE);
      g_assert_cmpuint (head->len, <=, ENTRIES);
      memcpy (exif->data + TIFF_START + parts[i].at, head->data, head->len);
      if (parts[i].later->len > 0)
        memcpy (exif->data + TIFF_START + parts[i].at + ENTRIES, parts[i].later->data, parts[i].later->len);
      g_byte_array_unref (parts[i].entries);
      g_byte_array_unref (parts[i].later);
    }
  return exif;
}

/* ---- made to cost ---- */

GBytes *
made_scans (guint width, guint height, gboolean progressive, int scans)
{
  GByteArray *jpeg = g_byte_array_new ();
  guint8 table[65] = { 0 };
  /* one code of one bit: no difference, or the block's end */
  const guint8 huffman[] = { 0x00, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
                             0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0 };
  const guint8 frame[] = { 8,
                           (guint8) (height >> 8),
                           (guint8) height,
                           (guint8) (width >> 8),
                           (guint8) width,
                           3,
                           1,
                           0x11,
                           0,
                           2,
                           0x11,
                           0,
                           3,
                           0x11,
                           0 };

  memset (table + 1, 1, 64);
  add (jpeg, 0xffd8, 2, FALSE);
  add_segment (jpeg, 0xdb, table, sizeof table);
  add_segment (jpeg, progressive ? 0xc2 : 0xc0, frame, sizeof frame);
  add_segment (jpeg, 0xc4, huffman, sizeof huffman);
  for (int i = 0; i < scans; i++)
    {
      /* all of the first coefficient, then a bit more of it */
      const guint8 scan[] = { 3, 1, 0, 2, 0, 3, 0, 0, progressive ? 0 : 63, progressive && i > 0 ? 0x10 : 0 };

      add_segment (jpeg, 0xda, scan, sizeof scan);
      add (jpeg, 0, 2, FALSE);
    }
  add (jpeg, 0xffd9, 2, FALSE);
  return g_byte_array_free_to_bytes (jpeg);
}

/* W3C PNG, annex D. */
static guint32
check_sum (const guint8 *data, gsize length)
{
  guint32 sum = 0xffffffff;

  for (gsize i = 0; i < length; i++)
    {
      sum ^= data[i];
      for (int bit = 0; bit < 8; bit++)
        sum = sum & 1 ? 0xedb88320 ^ sum >> 1 : sum >> 1;
    }
  return ~sum;
}

void
made_chunk (GByteArray *png, const char *type, gconstpointer data, gsize length)
{
  const guint start = png->len + 4;

  add (png, length, 4, FALSE);
  g_byte_array_append (png, (const guint8 *) type, 4);
  if (length > 0)
    g_byte_array_append (png, data, (guint) length);
  add (png, check_sum (png->data + start, length + 4), 4, FALSE);
}

GByteArray *
made_deflated (gsize length)
{
  g_autoptr (GZlibCompressor) compressor = g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_ZLIB, 9);
  static const guint8 nothing[65536];
  guint8 room[65536];
  GByteArray *deflated = g_byte_array_new ();
  GConverterResult result;

  do
    {
      g_autoptr (GError) error = NULL;
      const gsize given = MIN (length, sizeof nothing);
      gsize taken, made;

      result = g_converter_convert (G_CONVERTER (compressor), nothing, given, room, sizeof room,
                                    given == length ? G_CONVERTER_INPUT_AT_END : G_CONVERTER_NO_FLAGS, &taken, &made,
                                    &error);
      g_assert_no_error (error);
      length -= taken;
      g_byte_array_append (deflated, room, (guint) made);
    }
  while (result != G_CONVERTER_FINISHED);
  return deflated;
}

GBytes *
made_png (guint width, guint height, gsize rows, const GByteArray *extra)
{
  GByteArray *png = g_byte_array_new ();
  g_autoptr (GByteArray) head = g_byte_array_new (), deflated = made_deflated (rows);
  const guint8 rest[] = { 8, 0, 0, 0, 0 }; /* eight bits of grey */

  add (head, width, 4, FALSE);
  add (head, height, 4, FALSE);
  g_byte_array_append (head, rest, sizeof rest);
  g_byte_array_append (png, (const guint8 *) "\x89PNG\r\n\x1a\n", 8);
  made_chunk (png, "IHDR", head->data, head->len);
  if (extra != NULL)
    g_byte_array_append (png, extra->data, extra->len);
  made_chunk (png, "IDAT", deflated->data, deflated->len);
  made_chunk (png, "IEND", NULL, 0);
  return g_byte_array_free_to_bytes (png);
}
