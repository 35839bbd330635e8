/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/page.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define NO_DATE "2000-01-01T00:00:00Z" /* the clock must not show */
#define DAY_CHARS 10
#define MOST_PIXELS 32000.0 /* cairo's image surfaces end at 32767 */
/* pixels: a width chosen in pixels comes back from its scale with rounding, which must not add one */
#define ROUNDING 1e-6

const char *const sl_paper_names[] = { "a4", "letter", NULL };

void
sl_paper_size (SlPaper paper, double *width_mm, double *height_mm)
{
  *width_mm = paper == SL_PAPER_LETTER ? 8.5 * SL_MM_PER_INCH : 210;
  *height_mm = paper == SL_PAPER_LETTER ? 11 * SL_MM_PER_INCH : 297;
}

static cairo_status_t
append (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static gboolean
good (cairo_status_t status, GError **error)
{
  if (status == CAIRO_STATUS_SUCCESS)
    return TRUE;
  g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_CAIRO, _ ("the page can’t be drawn: %s"),
               cairo_status_to_string (status));
  return FALSE;
}

/* ---- what cairo can't say in a PDF ---- */

/* The last place of @what in a file that holds anything. */
static const char *
find_last (const GByteArray *bytes, const char *what)
{
  gsize length = strlen (what);

  for (gsize at = bytes->len >= length ? bytes->len - length + 1 : 0; at-- > 0;)
    if (memcmp (bytes->data + at, what, length) == 0)
      return (const char *) bytes->data + at;
  return NULL;
}

/* What stands between the brackets of the dictionary that begins at or after @at, up to the first end of one: neither
 * of those looked at here holds another. */
static char *
dictionary (const GByteArray *bytes, const char *at)
{
  const char *end = (const char *) bytes->data + bytes->len;
  const char *open = g_strstr_len (at, end - at, "<<"),
             *close = open != NULL ? g_strstr_len (open, end - open, ">>") : NULL;

  return close != NULL ? g_strndup (open + 2, (gsize) (close - open - 2)) : NULL;
}

/* Adds language and viewer preferences (ISO 32000-1, 14.9.2 and 12.2) as an incremental update (7.5.6): a new catalogue
 * object and a cross-reference section that points back to the old one. A file not laid out as expected is left as it
 * is. */
static void
update_catalogue (GByteArray *bytes, gboolean full_size)
{
  const char *trailer = find_last (bytes, "trailer"), *start = find_last (bytes, "startxref"), *object;
  g_autofree char *trailer_dict = trailer != NULL ? dictionary (bytes, trailer) : NULL, *catalogue = NULL, *head = NULL;
  const char *root = trailer_dict != NULL ? strstr (trailer_dict, "/Root ") : NULL;
  guint64 number = root != NULL ? g_ascii_strtoull (root + strlen ("/Root "), NULL, 10) : 0;

  if (number == 0 || start == NULL)
    return;
  head = g_strdup_printf ("\n%" G_GUINT64_FORMAT " 0 obj", number);
  object = find_last (bytes, head);
  catalogue = object != NULL ? dictionary (bytes, object) : NULL;
  if (catalogue == NULL || strstr (catalogue, "/Catalog") == NULL)
    return;

  guint64 before = g_ascii_strtoull (start + strlen ("startxref") + 1, NULL, 10);
  guint at = bytes->len;
  /* Translators: the language these texts are in, as a BCP 47 tag: "de", "pt-BR" */
  const char *language = C_ ("language tag", "en");
  g_autoptr (GString) out = g_string_new (NULL);

  g_string_append_printf (
      out,
      "%" G_GUINT64_FORMAT
      " 0 obj\n<<%s   /Lang (%s)\n   /ViewerPreferences << /DisplayDocTitle true%s >>\n>>\nendobj\n",
      number, catalogue, language, full_size ? " /PrintScaling /None" : "");
  gsize table = at + out->len;

  g_string_append_printf (out,
                          "xref\n%" G_GUINT64_FORMAT " 1\n%010u 00000 n \ntrailer\n<<%s   /Prev %" G_GUINT64_FORMAT
                          "\n>>\nstartxref\n%" G_GSIZE_FORMAT "\n%%%%EOF\n",
                          number, at, trailer_dict, before, table);
  g_byte_array_append (bytes, (const guint8 *) out->str, (guint) out->len);
}

/* Cairo wants a whole date and time. */
static char *
whole_date (const char *date)
{
  if (date == NULL || strlen (date) < DAY_CHARS)
    return g_strdup (NO_DATE);
  return strlen (date) > DAY_CHARS ? g_strdup (date) : g_strdup_printf ("%sT00:00:00Z", date);
}

GBytes *
sl_pages_pdf (const SlPages *pages, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  g_autofree char *date = whole_date (pages->date);
  double width, height;

  pages->size (pages->data, 0, &width, &height);
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (append, bytes, width, height);

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, pages->title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Sidelong");
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_MOD_DATE, date);
  cairo_t *cr = cairo_create (surface);

  for (int page = 0; page < pages->n_pages; page++)
    {
      pages->size (pages->data, page, &width, &height);
      cairo_pdf_surface_set_size (surface, width, height);
      cairo_save (cr);
      pages->draw (pages->data, cr, page);
      cairo_restore (cr);
      cairo_show_page (cr);
    }
  cairo_status_t status = cairo_status (cr);

  cairo_destroy (cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (!good (status, error))
    return NULL;
  update_catalogue (bytes, pages->full_size);
  return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

GBytes *
sl_pages_picture (const SlPages *pages, int page, SlFormat format, double scale, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  gboolean png = format == SL_FORMAT_PNG;
  cairo_surface_t *surface;
  double width, height;

  g_return_val_if_fail (format != SL_FORMAT_PDF && page >= 0 && page < pages->n_pages, NULL);
  pages->size (pages->data, page, &width, &height);
  if (!png)
    scale = 1;
  if (!(scale > 0) || width * scale > MOST_PIXELS || height * scale > MOST_PIXELS)
    {
      g_set_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE,
                   _ ("a picture of %g by %g is too large: at most %g either way"), width * scale, height * scale,
                   MOST_PIXELS);
      return NULL;
    }
  if (png)
    surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) ceil (width * scale - ROUNDING),
                                          (int) ceil (height * scale - ROUNDING));
  else
    {
      surface = cairo_svg_surface_create_for_stream (append, bytes, width, height);
      cairo_svg_surface_set_document_unit (surface, CAIRO_SVG_UNIT_PT);
    }
  cairo_t *cr = cairo_create (surface);

  cairo_scale (cr, scale, scale);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  pages->draw (pages->data, cr, page);
  cairo_status_t status = cairo_status (cr);

  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS && png)
    status = cairo_surface_write_to_png_stream (surface, append, bytes);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return good (status, error) ? g_byte_array_free_to_bytes (g_steal_pointer (&bytes)) : NULL;
}
