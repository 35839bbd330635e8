/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/documents.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

#define NO_DATE "2000-01-01T00:00:00Z" /* the clock must not show */
#define DAY_CHARS 10

static const char page_fault[] = N_ ("the page can’t be drawn: %s");

const char *const sl_paper_names[] = { "a4", "letter", NULL };

void
sl_paper_size (SlPaper paper, double *width_mm, double *height_mm)
{
  *width_mm = paper == SL_PAPER_LETTER ? 8.5 * SL_MM_PER_INCH : 210;
  *height_mm = paper == SL_PAPER_LETTER ? 11 * SL_MM_PER_INCH : 297;
}

void
sl_pages_size (const SlPages *pages, int page, double *width, double *height)
{
  sl_paper_size (pages->paper, page < pages->n_upright ? width : height, page < pages->n_upright ? height : width);
  *width /= SL_POINT_MM;
  *height /= SL_POINT_MM;
}

void
sl_pages_free (SlPages *pages)
{
  pages->free (pages->data);
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
  GByteArray *bytes;
  g_autofree char *date = whole_date (pages->date);
  double width, height;

  sl_pages_size (pages, 0, &width, &height);
  cairo_t *cr = sl_picture_begin (SL_FORMAT_PDF, width, height, 1, NULL);

  sl_picture_set_pdf (cr, pages->title, date);
  for (int page = 0; page < pages->n_pages; page++)
    {
      sl_pages_size (pages, page, &width, &height);
      cairo_pdf_surface_set_size (cairo_get_target (cr), width, height);
      cairo_save (cr);
      pages->draw (pages->data, cr, page);
      cairo_restore (cr);
      cairo_show_page (cr);
    }
  bytes = sl_picture_end (cr, SL_FORMAT_PDF, _ (page_fault), error);
  if (bytes == NULL)
    return NULL;
  update_catalogue (bytes, pages->full_size);
  return g_byte_array_free_to_bytes (bytes);
}

GBytes *
sl_pages_picture (const SlPages *pages, int page, SlFormat format, double scale, GError **error)
{
  GByteArray *bytes;
  double width, height;

  g_return_val_if_fail (format != SL_FORMAT_PDF && page >= 0 && page < pages->n_pages, NULL);
  sl_pages_size (pages, page, &width, &height);
  cairo_t *cr = sl_picture_begin (format, width, height, scale, error);

  if (cr == NULL)
    return NULL;
  if (format == SL_FORMAT_SVG)
    cairo_svg_surface_set_document_unit (cairo_get_target (cr), CAIRO_SVG_UNIT_PT);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  pages->draw (pages->data, cr, page);
  bytes = sl_picture_end (cr, format, _ (page_fault), error);
  return bytes != NULL ? g_byte_array_free_to_bytes (bytes) : NULL;
}
