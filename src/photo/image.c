/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A file is walked through part by part (JPEG: ITU-T T.81, annex B; PNG: W3C, section 5) before anything is decoded,
 * and of its parts the decoder gets those that make the picture, no others: texts, profiles and thumbnails cost
 * nothing, however many there are and however large they would become. */
#include <libexif/exif-data.h>
#include <string.h>
#include <time.h>

#include "photo/image.h"
#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"

#define PIECE 65536    /* bytes given to the decoder at a time; the clock is looked at between them */
#define MOST_SCANS 100 /* of a JPEG; cameras write 1, programs about 10. Each costs a pass over the whole picture */
#define OLDEST "1900"  /* a year before is no camera's */
#define COPY_QUALITY "90"
#define COPY_COMPRESSION "3" /* of PNG, 0 to 9: more takes twice the time for some percent */

G_DEFINE_QUARK (sl - image - error - quark, sl_image_error)

gboolean
sl_image_refuse (GError **error, SlImageFault fault, const char *format, ...)
{
  va_list args;

  va_start (args, format);
  GError *made = g_error_new_valist (SL_IMAGE_ERROR, fault, format, args); /* @args may be the message of @error */
  va_end (args);
  g_clear_error (error);
  g_propagate_error (error, made);
  return FALSE;
}

static const guint8 png_mark[] = { 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n' };
static const guint8 jpeg_mark[] = { 0xff, 0xd8, 0xff };

/* Other files: where what tells them stands, what it is, and what they are called; the first that fits. */
static const char *const others[] = {
  "4ftyphei", "HEIC", "4ftypmif1", "HEIC", "4ftypavif",       "AVIF", "4ftyp",   "MP4", "0GIF8",    "GIF",
  "0II*",     "TIFF", "0MM",       "TIFF", "8WEBP",           "WebP", "0BM",     "BMP", "0%PDF",    "PDF",
  "0<svg",    "SVG",  "0<?xml",    "XML",  "0<!DOCTYPE html", "HTML", "0PK\3\4", "ZIP", "0\177ELF", "ELF"
};

static gboolean
refuse_kind (const guint8 *data, gsize length, GError **error)
{
  if (length == 0)
    return sl_image_refuse (error, SL_IMAGE_BROKEN, _ ("The file is empty. Copy it from the camera again"));
  for (gsize i = 0; i < G_N_ELEMENTS (others); i += 2)
    {
      const gsize at = (gsize) (others[i][0] - '0'), n = strlen (others[i] + 1);

      if (at + n <= length && memcmp (data + at, others[i] + 1, n) == 0)
        /* Translators: %s is the kind of a file, such as "HEIC" or "PDF". */
        return sl_image_refuse (error, SL_IMAGE_NO_KIND,
                                _ ("This is a file of the kind %s, not JPEG or PNG. Save it as JPEG, and take that"),
                                others[i + 1]);
    }
  return sl_image_refuse (error, SL_IMAGE_NO_KIND,
                          _ ("This is no JPEG or PNG picture. If it is a picture, save it as JPEG, and take that"));
}

/* ---- its parts ---- */

#define FIRST_RESTART 0xd0
#define END_OF_IMAGE 0xd9
#define START_OF_SCAN 0xda
#define APP0 0xe0  /* JFIF */
#define APP1 0xe1  /* Exif, among others */
#define APP14 0xee /* whether colours were transformed */
#define APP15 0xef
#define COMMENT 0xfe
#define CHUNK(a, b, c, d) ((guint32) (a) << 24 | (b) << 16 | (c) << 8 | (d))

typedef struct
{
  const guint8 *data;
  gsize length, at; /* where the next part begins */
  gboolean png;
} Walk;

/* A marker segment with the scan's data that follows it, or a chunk. */
typedef struct
{
  const guint8 *start;
  gsize length;
  guint32 mark; /* the marker's second byte, or the chunk's four */
} Part;

static guint32
big_endian (const guint8 *at, int bytes)
{
  guint32 value = 0;

  while (bytes-- > 0)
    value = value << 8 | *at++;
  return value;
}

/* The next place from @at on where 0xFF is followed by a marker's byte; in a scan restarts are no markers. The end
 * where there is none. */
static gsize
next_marker (const Walk *walk, gsize at, gboolean in_scan)
{
  while (at + 1 < walk->length)
    {
      const guint8 *found = memchr (walk->data + at, 0xff, walk->length - at - 1);

      if (found == NULL)
        break;
      at = (gsize) (found - walk->data);
      if (found[1] != 0xff && found[1] != 0 && !(in_scan && (found[1] & ~7) == FIRST_RESTART))
        return at;
      at++;
    }
  return walk->length;
}

static gboolean
next_segment (Walk *walk, Part *part)
{
  const gsize at = next_marker (walk, walk->at, FALSE);
  gsize length = 2;

  if (at + length > walk->length)
    return FALSE;
  part->start = walk->data + at;
  part->mark = part->start[1];
  if (part->mark != 1 && (part->mark < FIRST_RESTART || part->mark > END_OF_IMAGE)) /* those stand alone */
    {
      if (at + 4 > walk->length)
        return FALSE;
      length += MAX (2, big_endian (part->start + 2, 2));
    }
  if (length > walk->length - at)
    return FALSE;
  if (part->mark == START_OF_SCAN)
    length = next_marker (walk, at + length, TRUE) - at;
  part->length = length;
  walk->at = at + length;
  return TRUE;
}

/* FALSE: the file ends before the part does. */
static gboolean
next_part (Walk *walk, Part *part)
{
  const gsize around = 12, left = walk->length - walk->at; /* a chunk's length, type and check sum */

  if (!walk->png)
    return next_segment (walk, part);
  if (left < around || big_endian (walk->data + walk->at, 4) > left - around)
    return FALSE;
  part->start = walk->data + walk->at;
  part->length = around + big_endian (part->start, 4);
  part->mark = big_endian (part->start + 4, 4);
  walk->at += part->length;
  return TRUE;
}

static gboolean
is_last (const Walk *walk, const Part *part)
{
  return part->mark == (walk->png ? CHUNK ('I', 'E', 'N', 'D') : END_OF_IMAGE);
}

static gboolean
is_of_picture (const Walk *walk, const Part *part)
{
  if (!walk->png)
    return part->mark == APP0 || part->mark == APP14 ||
           !(part->mark == COMMENT || (part->mark > APP0 && part->mark <= APP15));
  return part->mark == CHUNK ('t', 'R', 'N', 'S') || (part->start[4] & 0x20) == 0; /* a capital: a critical chunk */
}

/* ---- what they say ---- */

static void
exif_text (ExifData *exif, ExifTag tag, char *text, gsize room)
{
  const ExifEntry *entry = exif_content_get_entry (exif->ifd[EXIF_IFD_EXIF], tag);

  text[0] = '\0';
  if (entry != NULL && entry->format == EXIF_FORMAT_ASCII && entry->data != NULL)
    g_snprintf (text, room, "%.*s", (int) MIN (room - 1, entry->size),
                (const char *) entry->data); /* it may lack a 0 */
}

/* DateTimeOriginal, "2026:03:02 10:00:00", and its offset from UTC (Exif 2.31, 4.6.5), where both make sense. */
static void
read_taken (ExifData *exif, char taken[32])
{
  char text[20], offset[7];

  exif_text (exif, EXIF_TAG_DATE_TIME_ORIGINAL, text, sizeof text);
  exif_text (exif, EXIF_TAG_OFFSET_TIME_ORIGINAL, offset, sizeof offset);
  if (strlen (text) != sizeof text - 1 || text[4] != ':' || text[7] != ':' || text[10] != ' ')
    return;
  text[4] = text[7] = '-';
  text[10] = 'T';
  g_snprintf (taken, 32, "%s%s", text, offset);
  if (!sl_is_iso8601 (taken))
    g_strlcpy (taken, text, 32);
  if (!sl_is_iso8601 (taken) || strcmp (taken, OLDEST) < 0)
    taken[0] = '\0';
}

/* Of one segment: its length, 64 KiB at most, is all that libexif can take time for. */
static void
read_exif (const Part *part, int *orientation, char taken[32])
{
  ExifData *exif = exif_data_new ();
  const ExifEntry *entry;

  exif_data_unset_option (exif, EXIF_DATA_OPTION_FOLLOW_SPECIFICATION); /* it would write into it */
  exif_data_load_data (exif, part->start + 4, (unsigned) part->length - 4);
  entry = exif_content_get_entry (exif->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
  if (entry != NULL && entry->format == EXIF_FORMAT_SHORT && entry->size >= 2)
    *orientation = exif_get_short (entry->data, exif_data_get_byte_order (exif));
  if (*orientation < 1 || *orientation > 8)
    *orientation = 1;
  read_taken (exif, taken);
  exif_data_unref (exif);
}

/* A file walked through. */
typedef struct
{
  Walk walk; /* at its beginning */
  SlImageFacts facts;
  int orientation; /* Exif 2.31, 4.6.4: 1 to 8 */
  guint scans;
  gboolean whole;
} Look;

static void
look_at_part (Look *look, const Part *part)
{
  const guint8 *at = part->start;
  const gboolean png = look->walk.png,
                 frame = (part->mark & ~15u) == 0xc0 && part->mark != 0xc4 && part->mark != 0xc8 && part->mark != 0xcc;

  if (png ? part->mark == CHUNK ('I', 'H', 'D', 'R') && part->length >= 16 : frame && part->length >= 9)
    {
      look->facts.width = (int) MIN (png ? big_endian (at + 8, 4) : big_endian (at + 7, 2), G_MAXINT);
      look->facts.height = (int) MIN (png ? big_endian (at + 12, 4) : big_endian (at + 5, 2), G_MAXINT);
    }
  else if (!png && part->mark == APP1 && look->orientation == 0 && part->length > 10 &&
           memcmp (at + 4, "Exif\0", 6) == 0)
    read_exif (part, &look->orientation, look->facts.taken);
  look->scans += !png && part->mark == START_OF_SCAN;
  look->whole = is_last (&look->walk, part);
}

static gboolean
look_through (GBytes *bytes, Look *look, GError **error)
{
  gsize length;
  const guint8 *data = g_bytes_get_data (bytes, &length);
  Walk walk = { data, length, 0, length >= sizeof png_mark && memcmp (data, png_mark, sizeof png_mark) == 0 };
  SlImageFacts *facts = &look->facts;
  Part part;

  if (length > SL_IMAGE_MOST_BYTES)
    return sl_image_refuse (error, SL_IMAGE_TOO_LARGE, _ ("The file is larger than %d MiB: save it smaller"),
                            SL_IMAGE_MOST_BYTES >> 20);
  if (!walk.png && (length < sizeof jpeg_mark || memcmp (data, jpeg_mark, sizeof jpeg_mark) != 0))
    return refuse_kind (data, length, error);
  walk.at = walk.png ? sizeof png_mark : 0;
  *look = (Look){ .walk = walk, .facts.ending = walk.png ? "png" : "jpg" };
  while (!look->whole && next_part (&walk, &part))
    look_at_part (look, &part);
  /* what is too large is said also of a file that is cut short */
  if (MAX (facts->width, facts->height) > SL_IMAGE_MOST_SIDE ||
      (gint64) facts->width * facts->height > SL_IMAGE_MOST_PIXELS)
    return sl_image_refuse (
        error, SL_IMAGE_TOO_LARGE,
        _ ("The picture has %d × %d px. At most %d megapixels and %d px a side can be shown: save it smaller"),
        facts->width, facts->height, SL_IMAGE_MOST_PIXELS / 1000000, SL_IMAGE_MOST_SIDE);
  if (look->scans > MOST_SCANS)
    return sl_image_refuse (error, SL_IMAGE_TOO_LARGE,
                            _ ("The picture is made of %u scans, more than %d: save it anew as an ordinary JPEG"),
                            look->scans, MOST_SCANS);
  if (!look->whole || facts->width == 0 || facts->height == 0)
    return sl_image_refuse (error, SL_IMAGE_BROKEN,
                            _ ("The picture is cut short or damaged. Copy it from the camera again"));
  if (look->orientation >= 5)
    {
      const int height = facts->width;

      facts->width = facts->height;
      facts->height = height;
    }
  return TRUE;
}

gboolean
sl_image_facts (GBytes *bytes, SlImageFacts *facts, GError **error)
{
  Look look;
  const gboolean sound = look_through (bytes, &look, error);

  if (sound)
    *facts = look.facts;
  return sound;
}

/* ---- decoding ---- */

/* Of this thread alone: others that keep the machine busy don't count. */
static double
thread_s (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec + (double) now.tv_nsec / 1e9;
}

/* How the picture comes out of the decoder. */
typedef struct
{
  const Look *look;
  int most_side, bottom; /* row below the last that was written */
} Coming;

/* A JPEG is decoded at 1/2, 1/4 or 1/8 of its size where that is still large enough, as T.81's blocks allow: with any
 * other size the loader would scale by itself, and not tell how far it came. */
static void
on_size (GdkPixbufLoader *loader, int width, int height, gpointer data)
{
  const Coming *coming = data;
  int part = 1;

  if ((gint64) width * height != (gint64) coming->look->facts.width * coming->look->facts.height)
    part = 0; /* the decoder sees another picture than was looked at */
  else if (!coming->look->walk.png && coming->most_side > 0)
    while (part < 8 && MAX (width, height) / (2 * part) >= coming->most_side)
      part *= 2;
  gdk_pixbuf_loader_set_size (loader, part > 0 ? (width + part - 1) / part : 0,
                              part > 0 ? (height + part - 1) / part : 0);
}

static void
on_rows (GdkPixbufLoader *loader, int x, int y, int width, int height, gpointer data)
{
  Coming *coming = data;

  coming->bottom = MAX (coming->bottom, y + height);
}

static gboolean
feed (GdkPixbufLoader *loader, Walk walk, GCancellable *cancellable, GError **error)
{
  const double end_s = thread_s () + SL_IMAGE_MOST_S;
  gboolean fed = !walk.png || gdk_pixbuf_loader_write (loader, png_mark, sizeof png_mark, error);

  /* a part holds one scan at most, and so does what goes on between two looks at the clock */
  for (Part part = { 0 }; fed && !is_last (&walk, &part) && next_part (&walk, &part);)
    for (gsize at = 0, n; fed && is_of_picture (&walk, &part) && at < part.length; at += n)
      {
        n = MIN (PIECE, part.length - at);
        fed = !g_cancellable_set_error_if_cancelled (cancellable, error) &&
              (thread_s () <= end_s ||
               sl_image_refuse (error, SL_IMAGE_TOO_LARGE,
                                _ ("The picture takes longer than %d s to decode: save it anew as an ordinary JPEG"),
                                SL_IMAGE_MOST_S)) &&
              gdk_pixbuf_loader_write (loader, part.start + at, n, error);
      }
  return fed;
}

/* What the decoder says, in our words; NULL: nothing, but something is missing. */
static void
explain (GError **error, const GError *inner)
{
  if (g_error_matches (inner, GDK_PIXBUF_ERROR, GDK_PIXBUF_ERROR_INSUFFICIENT_MEMORY))
    sl_image_refuse (error, SL_IMAGE_TOO_LARGE, _ ("There is too little memory for this picture: save it smaller"));
  else if (inner == NULL ||
           (inner->domain != SL_IMAGE_ERROR && !g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_CANCELLED)))
    sl_image_refuse (error, SL_IMAGE_BROKEN, _ ("The picture is damaged. Copy it from the camera again"));
  else if (error != NULL)
    *error = g_error_copy (inner);
}

/* No side longer than @most_side, and upright; takes @picture. NULL: no memory. */
static GdkPixbuf *
finish (GdkPixbuf *picture, int most_side, int orientation)
{
  const int width = gdk_pixbuf_get_width (picture), height = gdk_pixbuf_get_height (picture),
            longer = MAX (width, height);

  if (most_side > 0 && longer > most_side)
    {
      GdkPixbuf *whole = picture;

      picture = gdk_pixbuf_scale_simple (whole, MAX (1, (int) ((gint64) width * most_side / longer)),
                                         MAX (1, (int) ((gint64) height * most_side / longer)), GDK_INTERP_BILINEAR);
      g_object_unref (whole);
    }
  if (picture == NULL || orientation <= 1)
    return picture;
  gdk_pixbuf_set_option (picture, "orientation", (const char[]){ (char) ('0' + orientation), '\0' });
  GdkPixbuf *upright = gdk_pixbuf_apply_embedded_orientation (picture);
  g_object_unref (picture);
  return upright;
}

GdkPixbuf *
sl_image_decode (GBytes *bytes, int most_side, GCancellable *cancellable, GError **error)
{
  Look look;
  g_autoptr (GError) inner = NULL;
  g_autoptr (GdkPixbufLoader) loader = NULL;
  Coming coming = { &look, most_side, 0 };
  GdkPixbuf *picture = NULL;

  if (!look_through (bytes, &look, error))
    return NULL;
  loader = gdk_pixbuf_loader_new_with_type (look.walk.png ? "png" : "jpeg", &inner);
  if (loader != NULL)
    {
      g_signal_connect (loader, "size-prepared", G_CALLBACK (on_size), &coming);
      g_signal_connect (loader, "area-updated", G_CALLBACK (on_rows), &coming);
      const gboolean fed = feed (loader, look.walk, cancellable, &inner),
                     closed = gdk_pixbuf_loader_close (loader, fed ? &inner : NULL);
      picture = fed && closed ? gdk_pixbuf_loader_get_pixbuf (loader) : NULL;
    }
  /* rows that never came would show what was in memory before */
  if (picture != NULL && coming.bottom >= gdk_pixbuf_get_height (picture))
    {
      g_object_ref (picture);
      g_clear_object (&loader);
      picture = finish (picture, most_side, look.orientation);
      if (picture != NULL)
        return picture;
      g_set_error_literal (&inner, GDK_PIXBUF_ERROR, GDK_PIXBUF_ERROR_INSUFFICIENT_MEMORY, "");
    }
  explain (error, inner);
  return NULL;
}

/* ---- encoding ---- */

cairo_surface_t *
sl_image_surface (GdkPixbuf *picture, int jpeg_quality)
{
  const int width = gdk_pixbuf_get_width (picture), height = gdk_pixbuf_get_height (picture);
  g_autoptr (GdkPixbuf) flat =
      gdk_pixbuf_get_has_alpha (picture)
          ? gdk_pixbuf_composite_color_simple (picture, width, height, GDK_INTERP_NEAREST, 255, 16, 0xffffff, 0xffffff)
          : g_object_ref (picture);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  guint8 *to = cairo_image_surface_get_data (surface);
  g_autofree char *quality = g_strdup_printf ("%d", jpeg_quality);
  char *jpeg;
  gsize length;

  if (to == NULL || flat == NULL)
    return surface;
  const int channels = gdk_pixbuf_get_n_channels (flat), stride = cairo_image_surface_get_stride (surface);
  for (int y = 0; y < height; y++)
    {
      const guint8 *from = gdk_pixbuf_read_pixels (flat) + (gsize) y * (gsize) gdk_pixbuf_get_rowstride (flat);
      guint32 *row = (guint32 *) (gpointer) (to + (gsize) y * (gsize) stride);

      for (int x = 0; x < width; x++, from += channels)
        row[x] = big_endian (from, 3);
    }
  cairo_surface_mark_dirty (surface);
  if (jpeg_quality > 0 && gdk_pixbuf_save_to_buffer (flat, &jpeg, &length, "jpeg", NULL, "quality", quality, NULL) &&
      cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_JPEG, (guchar *) jpeg, length, g_free, jpeg) !=
          CAIRO_STATUS_SUCCESS)
    g_free (jpeg);
  return surface;
}

GBytes *
sl_image_stripped (GBytes *bytes, GCancellable *cancellable, GError **error)
{
  g_autoptr (GdkPixbuf) picture = sl_image_decode (bytes, 0, cancellable, error);
  const gboolean png = picture != NULL && *(const guint8 *) g_bytes_get_data (bytes, NULL) == png_mark[0];
  g_autoptr (GError) inner = NULL;
  char *data;
  gsize length;

  if (picture == NULL)
    return NULL;
  if (gdk_pixbuf_save_to_buffer (picture, &data, &length, png ? "png" : "jpeg", &inner, png ? "compression" : "quality",
                                 png ? COPY_COMPRESSION : COPY_QUALITY, NULL))
    return g_bytes_new_take (data, length);
  explain (error, inner);
  return NULL;
}
