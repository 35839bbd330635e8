/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "photo/sheet-pictures.h"

#include "photo/measure.h"
#include "setup/record/photos.h"
#include "words/one-line.h"
#include "words/photos.h"

#define MOST_SIDE 1040        /* px: 300 an inch of the 87 mm a photograph is wide at most, on A4 */
#define MOST_SIDE_OF_MORE 700 /* 200 an inch, where they have pages of their own */
#define JPEG_QUALITY 85
#define MOST_MEASURED 4 /* lines below a photograph */

/* A line for each mark that says something, in words of the sheet; NULL where none does. */
static char *
measured_in (const SlPhoto *photo, const SlTextStyle *style)
{
  GString *out = g_string_new (NULL);

  for (guint i = 0; i < MIN (photo->marks->len, MOST_MEASURED); i++)
    {
      const SlMark *mark = &g_array_index (photo->marks, SlMark, i);
      SlMeasured measured;
      g_autofree char *why = sl_photo_measure (photo, mark, &measured), *number = NULL;

      if (why != NULL)
        continue;
      number = mark->of == SL_MEASURE_BREAK_ANGLE ? g_strdup_printf ("%.0f°", measured.value)
                                                  : sl_text_measure (style, measured.value, 2, TRUE);
      g_string_append (out, out->len > 0 ? "\n" : "");
      g_string_append (out, sl_measure_told (mark->of));
      if (mark->string > 0)
        g_string_append_printf (out, C_ ("measured for a customer", ", string %d"), mark->string);
      if (mark->fret > 0)
        g_string_append_printf (out, C_ ("measured for a customer", ", fret %d"), mark->fret);
      g_string_append_printf (out, ": %s", number);
    }
  return g_string_free (out, out->len == 0);
}

char *
sl_sheet_pictures_load (const SlProfile *profile, GFile *folder, const SlTextStyle *style, GCancellable *cancellable,
                        GHashTable **pictures, GHashTable **measured)
{
  g_autoptr (GPtrArray) photos = sl_photos_on_sheet (sl_profile_last_visit (profile));
  const int most_side = photos->len > SL_SHEET_PHOTOS ? MOST_SIDE_OF_MORE : MOST_SIDE;
  GString *left_out = g_string_new (NULL);

  *pictures = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) cairo_surface_destroy);
  *measured = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  SL_EACH_OF (const SlPhoto, photo, photos)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GBytes) bytes = sl_photo_bytes (folder, photo->file, cancellable, &error);
      g_autoptr (GdkPixbuf) picture = bytes != NULL ? sl_image_decode (bytes, most_side, cancellable, &error) : NULL;

      if (picture != NULL)
        {
          g_hash_table_insert (*pictures, g_strdup (photo->id), sl_image_surface (picture, JPEG_QUALITY));
          g_hash_table_insert (*measured, g_strdup (photo->id), measured_in (photo, style));
        }
      else if (!g_cancellable_is_cancelled (cancellable))
        {
          g_autofree char *name = sl_one_line (photo->file);

          g_string_append (left_out, left_out->len > 0 ? " " : "");
          g_string_append_printf (left_out, _ ("The hand-over sheet is without the photograph “%1$s”. %2$s"), name,
                                  error->message);
        }
    }
  return g_string_free (left_out, left_out->len == 0);
}
