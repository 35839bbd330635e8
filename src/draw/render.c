/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures as files. The same picture gives the same bytes: the PDF's date is fixed, no cairo surface is used as a
 * source, as those are numbered through, and the number of its own surface that cairo writes into an SVG is taken out
 * again. */
#include "draw/render.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "draw/draw.h"

#define PDF_DATE "2000-01-01T00:00:00Z"
#define POINT_MM (SL_MM_PER_INCH / 72)
#define MOST_PIXELS 32000.0 /* cairo's image surfaces end at 32767 */

static cairo_status_t
append (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static const char *
title_of (const SlPictureOptions *options)
{
  return options->title && *options->title ? options->title : _ ("Side view");
}

static cairo_surface_t *
make_surface (SlFormat format, const SlPictureOptions *options, double scale, GByteArray *bytes)
{
  cairo_surface_t *surface;

  switch (format)
    {
    case SL_FORMAT_SVG:
      surface = cairo_svg_surface_create_for_stream (append, bytes, options->width, options->height);
      cairo_svg_surface_set_document_unit (surface, CAIRO_SVG_UNIT_PX);
      return surface;
    case SL_FORMAT_PDF:
      surface = cairo_pdf_surface_create_for_stream (append, bytes, options->width, options->height);
      cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title_of (options));
      cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Sidelong");
      cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, PDF_DATE);
      cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_MOD_DATE, PDF_DATE);
      return surface;
    case SL_FORMAT_PNG:
    default:
      return cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) ceil (options->width * scale),
                                         (int) ceil (options->height * scale));
    }
}

/* Puts a title, for those who can't see the picture, where cairo wrote the running number of its surface. */
static GBytes *
finish_svg (GByteArray *bytes, const SlPictureOptions *options)
{
  static const char mark[] = "<g id=\"surface";
  const char *start = g_strstr_len ((const char *) bytes->data, bytes->len, mark), *end = NULL;
  g_autofree char *title = g_markup_printf_escaped ("<g id=\"picture\">\n<title>%s</title>", title_of (options));
  GByteArray *out;

  if (start)
    end = memchr (start, '>', bytes->len - (gsize) (start - (const char *) bytes->data));
  if (!end)
    return g_byte_array_free_to_bytes (bytes);
  out = g_byte_array_sized_new (bytes->len + 200);
  g_byte_array_append (out, bytes->data, (guint) (start - (const char *) bytes->data));
  g_byte_array_append (out, (const guint8 *) title, (guint) strlen (title));
  g_byte_array_append (out, (const guint8 *) end + 1,
                       (guint) (bytes->len - (gsize) (end + 1 - (const char *) bytes->data)));
  g_byte_array_unref (bytes);
  return g_byte_array_free_to_bytes (out);
}

GBytes *
sl_picture_render (const SlAnalysis *analysis, const SlPictureOptions *options, SlFormat format, double scale,
                   GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  SlPictureOptions own = *options;
  cairo_surface_t *surface;
  cairo_status_t status;
  cairo_t *cr;

  if (format != SL_FORMAT_PNG)
    scale = 1;
  if (!(scale > 0) || options->width * scale > MOST_PIXELS || options->height * scale > MOST_PIXELS)
    {
      g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE,
                   _ ("a picture of %g by %g is too large: at most %g either way"), options->width * scale,
                   options->height * scale, MOST_PIXELS);
      return NULL;
    }
  if (format == SL_FORMAT_PDF)
    own.unit_mm = POINT_MM;
  surface = make_surface (format, options, scale, bytes);
  cr = cairo_create (surface);
  cairo_scale (cr, scale, scale);
  sl_picture_draw (cr, analysis, &own, NULL);
  status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS && format == SL_FORMAT_PNG)
    status = cairo_surface_write_to_png_stream (surface, append, bytes);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_CAIRO, _ ("the picture can’t be drawn: %s"),
                   cairo_status_to_string (status));
      return NULL;
    }
  return format == SL_FORMAT_SVG ? finish_svg (g_steal_pointer (&bytes), options)
                                 : g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}
