/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/picture.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

#define SHEET_WIDTH 1600.0
#define SHEET_HEIGHT 940.0
#define UNIT_MM (SL_MM_PER_INCH / 96) /* CSS pixel: CSS Values 3, 5.2 */

#define MOST_PIXELS 32000.0 /* cairo's image surfaces end at 32767 */
/* pixels: a width chosen in pixels comes back from its scale with rounding, which must not add one */
#define ROUNDING 1e-6

G_DEFINE_QUARK (sl_picture_error_quark, sl_picture_error)

void
sl_picture_options_init (SlPictureOptions *options)
{
  *options = (SlPictureOptions){
    .kind = SL_PICTURE_ALL,
    .width = SHEET_WIDTH,
    .height = SHEET_HEIGHT,
    .string = SL_ALL_STRINGS,
    .lengths = SL_LENGTHS_MM,
    .decimal = ".",
    .text_scale = 1,
    .focus = -1,
    .unit_mm = UNIT_MM,
  };
}

void
sl_picture_map_init (SlPictureMap *map)
{
  *map = (SlPictureMap){ .labels = g_array_new (FALSE, FALSE, sizeof (SlPictureLabel)),
                         .marks = g_array_new (FALSE, FALSE, sizeof (SlPictureLabel)) };
}

void
sl_picture_map_empty (SlPictureMap *map)
{
  *map = (SlPictureMap){ .labels = map->labels, .marks = map->marks };
  g_array_set_size (map->labels, 0);
  g_array_set_size (map->marks, 0);
}

void
sl_picture_map_clear (SlPictureMap *map)
{
  g_array_unref (map->labels);
  g_array_unref (map->marks);
  *map = (SlPictureMap){ .labels = NULL };
}

gboolean
sl_format_from_name (const char *name, SlFormat *format)
{
  static const char *const endings[] = { [SL_FORMAT_SVG] = ".svg", [SL_FORMAT_PNG] = ".png", [SL_FORMAT_PDF] = ".pdf" };
  const char *ending = strrchr (name, '.');

  for (gsize i = 0; ending != NULL && ending > name && i < G_N_ELEMENTS (endings); i++)
    if (g_ascii_strcasecmp (ending, endings[i]) == 0)
      {
        *format = (SlFormat) i;
        return TRUE;
      }
  return FALSE;
}

static const cairo_user_data_key_t bytes_key;

static cairo_status_t
append (void *bytes, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (bytes, data, length);
  return CAIRO_STATUS_SUCCESS;
}

cairo_t *
sl_picture_begin (SlFormat format, double width, double height, double scale, GError **error)
{
  GByteArray *bytes;
  cairo_surface_t *surface;

  if (format != SL_FORMAT_PNG)
    scale = 1;
  if (!(scale > 0) || width * scale > MOST_PIXELS || height * scale > MOST_PIXELS)
    {
      g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE,
                   _ ("a picture of %g by %g is too large: at most %g either way"), width * scale, height * scale,
                   MOST_PIXELS);
      return NULL;
    }
  bytes = g_byte_array_new ();
  if (format == SL_FORMAT_SVG)
    surface = cairo_svg_surface_create_for_stream (append, bytes, width, height);
  else if (format == SL_FORMAT_PDF)
    surface = cairo_pdf_surface_create_for_stream (append, bytes, width, height);
  else
    surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) ceil (width * scale - ROUNDING),
                                          (int) ceil (height * scale - ROUNDING));
  cairo_t *cr = cairo_create (surface);

  cairo_surface_set_user_data (surface, &bytes_key, bytes, NULL);
  cairo_surface_destroy (surface);
  cairo_scale (cr, scale, scale);
  return cr;
}

void
sl_picture_set_pdf (cairo_t *cr, const char *title, const char *date)
{
  cairo_surface_t *surface = cairo_get_target (cr);

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Sidelong");
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_MOD_DATE, date);
}

GByteArray *
sl_picture_end (cairo_t *cr, SlFormat format, const char *fault, GError **error)
{
  cairo_surface_t *surface = cairo_surface_reference (cairo_get_target (cr));
  g_autoptr (GByteArray) bytes = cairo_surface_get_user_data (surface, &bytes_key);
  cairo_status_t status = cairo_status (cr);

  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS && format == SL_FORMAT_PNG)
    status = cairo_surface_write_to_png_stream (surface, append, bytes);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    return g_steal_pointer (&bytes);
  g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_CAIRO, fault, cairo_status_to_string (status));
  return NULL;
}
