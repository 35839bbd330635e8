/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures as files. The same picture gives the same bytes: the PDF's date is fixed, no cairo surface is used as a
 * source, as those are numbered through, and the number of its own surface that cairo writes into an SVG is taken out
 * again. */
#include "draw/render.h"

#include <cairo-svg.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#include "draw/draw.h"

#define PDF_DATE "2000-01-01T00:00:00Z"
#define POINT_MM (SL_MM_PER_INCH / 72)

static const char *
title_of (const SlPictureOptions *options)
{
  return options->title && *options->title ? options->title : _ ("Side view");
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
  SlPictureOptions own = *options;
  cairo_t *cr = sl_picture_begin (format, options->width, options->height, scale, error);
  GByteArray *bytes;

  if (cr == NULL)
    return NULL;
  if (format == SL_FORMAT_SVG)
    cairo_svg_surface_set_document_unit (cairo_get_target (cr), CAIRO_SVG_UNIT_PX);
  if (format == SL_FORMAT_PDF)
    {
      sl_picture_set_pdf (cr, title_of (options), PDF_DATE);
      own.unit_mm = POINT_MM;
    }
  sl_picture_draw (cr, analysis, &own, NULL);
  bytes = sl_picture_end (cr, format, _ ("the picture can’t be drawn: %s"), error);
  if (bytes == NULL)
    return NULL;
  return format == SL_FORMAT_SVG ? finish_svg (bytes, options) : g_byte_array_free_to_bytes (bytes);
}
