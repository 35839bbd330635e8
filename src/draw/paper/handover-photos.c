/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs on the sheet: side by side in rows, what each shows below it; a before and its after under one title. */
#include "draw/paper/handover-parts.h"
#include "setup/record/photos.h"
#include "words/dates.h"
#include "words/photos.h"

#define GAP 8.0 /* between photographs, and below a row */
#define TEXT_SIZE 8.5
#define TEXT_GAP 2.0
#define MOST_TITLE_LINES 2
#define NARROWEST 4    /* columns there may be */
#define OWN_COLUMNS 2  /* on pages of their own */
#define OWN_SHARE 0.23 /* of what a page holds: three rows with what stands below them */

static cairo_surface_t *
surface_of (const SlHandover *h, const SlPhoto *photo)
{
  return h->options.pictures != NULL ? g_hash_table_lookup (h->options.pictures, photo->id) : NULL;
}

GPtrArray *
sl_handover_photos (const SlHandover *h)
{
  GPtrArray *photos = sl_photos_on_sheet (h->outcome.visit);

  for (guint i = photos->len; i-- > 0;)
    if (surface_of (h, photos->pdata[i]) == NULL)
      g_ptr_array_remove_index (photos, i);
  return photos;
}

/* The note, where it isn't the title; stage and day; what was measured in it. */
static char *
details_of (const SlHandover *h, const SlPhoto *photo)
{
  static const char *const stages[] = { NC_ ("photograph", "as received"), NC_ ("photograph", "during the work"),
                                        NC_ ("photograph", "as finished") };
  const char *stage = g_dpgettext2 (GETTEXT_PACKAGE, "photograph", stages[photo->stage]),
             *measured = h->options.measured != NULL ? g_hash_table_lookup (h->options.measured, photo->id) : NULL;
  g_autofree char *day = sl_date_short (photo->taken), *title = sl_photo_title (photo),
                  *note = sl_photo_caption (photo);
  const gboolean noted = photo->note != NULL && !g_str_equal (note, title);

  /* the comma stands in dates of every language */
  return g_strconcat (noted ? note : "", noted ? "\n" : "", stage, day != NULL ? ", " : "", day != NULL ? day : "",
                      measured != NULL ? "\n" : "", measured, NULL);
}

typedef struct
{
  const SlPhoto *const *photos;
  guint n;
  double column, height; /* of a column with the gap beside it; no photograph is higher */
} Row;

static gboolean
is_pair (const Row *row, guint i)
{
  return i + 1 < row->n && sl_photo_is_before (row->photos[i], row->photos[i + 1]);
}

/* What a pixel of it has on paper: as large as its column and the row let it be. */
static double
scale_of (cairo_surface_t *surface, const Row *row)
{
  return MIN ((row->column - GAP) / cairo_image_surface_get_width (surface),
              row->height / cairo_image_surface_get_height (surface));
}

/* With its lower left corner at (x, y). */
static void
put_surface (cairo_surface_t *surface, SlFlow *flow, double scale, double x, double y)
{
  if (!sl_flow_draws (flow))
    return;
  cairo_save (flow->cr);
  cairo_translate (flow->cr, x, y);
  cairo_scale (flow->cr, scale, scale);
  cairo_set_source_surface (flow->cr, surface, 0, -cairo_image_surface_get_height (surface));
  cairo_paint (flow->cr);
  cairo_restore (flow->cr);
}

/* The photographs on one line, below them their titles, below these the rest. Returns how high it all is. */
static double
put_row (const SlHandover *h, SlFlow *flow, const Row *row)
{
  const SlType bold = { .size = TEXT_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .most_lines = MOST_TITLE_LINES },
               quiet = { .size = TEXT_SIZE, .ink = SL_INK_QUIET };
  double column = flow->width / NARROWEST, pictures = 0, titles = 0, rest = 0;

  for (guint i = 0; i < row->n; i++)
    {
      cairo_surface_t *surface = surface_of (h, row->photos[i]);
      const double scale = scale_of (surface, row);

      column = MAX (column, scale * cairo_image_surface_get_width (surface) + GAP);
      pictures = MAX (pictures, scale * cairo_image_surface_get_height (surface));
    }
  for (guint i = 0; i < row->n; i++)
    {
      const gboolean pair = is_pair (row, i), after = i > 0 && is_pair (row, i - 1);
      const double x = flow->left + i * column, width = (pair ? 2 : 1) * column - GAP;
      g_autofree char *title = sl_photo_title (row->photos[i]),
                      *shown = after ? NULL : g_strdup_printf (pair ? _ ("%s: before and after") : "%s", title);
      double own = sl_flow_put (flow, shown, &bold, x, flow->y + pictures + TEXT_GAP, width);

      cairo_surface_t *surface = surface_of (h, row->photos[i]);
      put_surface (surface, flow, scale_of (surface, row), x, flow->y + pictures);
      titles = MAX (titles, own);
    }
  for (guint i = 0; i < row->n; i++)
    {
      g_autofree char *text = details_of (h, row->photos[i]);
      double own = sl_flow_put (flow, text, &quiet, flow->left + i * column, flow->y + pictures + TEXT_GAP + titles,
                                column - GAP);

      rest = MAX (rest, own);
    }
  return pictures + TEXT_GAP + titles + rest;
}

void
sl_handover_put_photos (const SlHandover *h, SlFlow *flow)
{
  g_autoptr (GPtrArray) photos = sl_handover_photos (h);
  const gboolean own = h->photo_page > 0;
  const guint columns = own ? OWN_COLUMNS : photos->len < SL_SHEET_PHOTOS ? MAX (2, photos->len) : h->tight.columns;
  const double height = (flow->bottom - flow->top) * (own ? OWN_SHARE : h->tight.share);

  for (guint i = 0; i < photos->len; i += columns) /* pairs come first: none is torn apart */
    {
      const Row row = { (const SlPhoto *const *) &photos->pdata[i], MIN (columns, photos->len - i),
                        (flow->width + GAP) / columns, height };
      SlFlow trial = *flow;

      trial.cr = NULL;
      double needed = put_row (h, &trial, &row);

      if (i == 0)
        sl_flow_heading (flow, _ ("Photographs"), needed);
      else
        sl_flow_skip (flow, GAP);
      sl_flow_need (flow, needed);
      put_row (h, flow, &row);
      flow->y += needed;
    }
}
