/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * As a file the same picture gives the same bytes: the PDF's date is fixed, no cairo surface is used as a source, as
 * those are numbered through, and the number of its own surface that cairo writes into an SVG is taken out again. */
#include "draw/draw.h"

#include <cairo-svg.h>

#include "draw/closeup/closeup-frame.h"
#include "draw/sheets/sheet.h"
#include "draw/side/side.h"

#define MARGIN 16.0 /* round a picture */
#define SHEET_MARGIN 24.0
#define SHEET_GAP 14.0
#define SIDE_SHARE 0.62 /* of a sheet's height */
#define PANEL_CORNER 8.0
#define PDF_DATE "2000-01-01T00:00:00Z"
#define POINT_MM (SL_MM_PER_INCH / 72)

/* The others are close-ups. */
static void (*const draw_kind[SL_N_PICTURES]) (SlScene *scene) = {
  [SL_PICTURE_SIDE] = sl_side_draw,   [SL_PICTURE_STRINGS] = sl_strings_draw, [SL_PICTURE_PITCH] = sl_pitch_draw,
  [SL_PICTURE_FRETS] = sl_frets_draw, [SL_PICTURE_GAPS] = sl_gaps_draw,
};

static void
draw_panel (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map,
            SlPictureKind kind, SlRect panel)
{
  SlScene scene;
  SlRect inner = { panel.x + MARGIN, panel.y + MARGIN * 0.75, MAX (1, panel.width - 2 * MARGIN),
                   MAX (1, panel.height - 1.5 * MARGIN) };

  cairo_save (cr);
  cairo_rectangle (cr, panel.x, panel.y, panel.width, panel.height);
  cairo_clip (cr);
  cairo_new_path (cr);
  sl_scene_init (&scene, cr, analysis, options, map, inner);
  if (draw_kind[kind] != NULL)
    draw_kind[kind](&scene);
  else
    sl_closeup_draw (&scene, kind);
  sl_scene_clear (&scene);
  cairo_restore (cr);
}

static void
frame_panel (cairo_t *cr, const SlColour *palette, SlRect r)
{
  double c = PANEL_CORNER;

  cairo_new_sub_path (cr);
  cairo_arc (cr, r.x + c, r.y + c, c, G_PI, 1.5 * G_PI);
  cairo_arc (cr, r.x + r.width - c, r.y + c, c, 1.5 * G_PI, 2 * G_PI);
  cairo_arc (cr, r.x + r.width - c, r.y + r.height - c, c, 0, 0.5 * G_PI);
  cairo_arc (cr, r.x + c, r.y + r.height - c, c, 0.5 * G_PI, G_PI);
  cairo_close_path (cr);
  sl_stroke (cr, palette, SL_INK_PANEL_EDGE, SL_LINE_OUTLINE);
}

/* Title, side view, three close-ups in a row below. */
static void
draw_sheet (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map)
{
  static const SlPictureKind kinds[] = { SL_PICTURE_NUT, SL_PICTURE_FRET_12, SL_PICTURE_BRIDGE };
  const SlColour *palette = sl_palette (options->look);
  double m = SHEET_MARGIN, top = m, side_height, panel_width = (options->width - 2 * m - 2 * SHEET_GAP) / 3, panel_top;
  SlRect side;

  if (options->title && *options->title)
    {
      SlText text = sl_text (options->title, SL_TEXT_SIZE_SHEET * options->text_scale, TRUE);

      sl_set_ink (cr, palette, SL_INK_TEXT);
      cairo_save (cr);
      cairo_rectangle (cr, m, 0, options->width - 2 * m, m + text.height);
      cairo_clip (cr);
      sl_text_show (cr, &text, m, m * 0.6);
      cairo_restore (cr);
      top = m * 0.6 + text.height + 10;
    }
  side_height = (options->height - top - m - SHEET_GAP) * SIDE_SHARE;
  side = (SlRect){ m, top, options->width - 2 * m, side_height };
  frame_panel (cr, palette, side);
  draw_panel (cr, analysis, options, map, SL_PICTURE_SIDE, side);
  panel_top = top + side_height + SHEET_GAP;
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      SlRect panel = { m + i * (panel_width + SHEET_GAP), panel_top, panel_width, options->height - m - panel_top };

      frame_panel (cr, palette, panel);
      draw_panel (cr, analysis, options, map, kinds[i], panel);
    }
}

void
sl_picture_draw (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map)
{
  if (options->width < 1 || options->height < 1 || analysis->instrument.n_strings < 1)
    return;
  if (map && map->labels)
    g_array_set_size (map->labels, 0);
  if (map)
    *map = (SlPictureMap){ .labels = map->labels };
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_rectangle (cr, 0, 0, options->width, options->height);
  sl_fill (cr, sl_palette (options->look), SL_INK_PAPER);
  if (options->kind == SL_PICTURE_ALL)
    draw_sheet (cr, analysis, options, map);
  else
    draw_panel (cr, analysis, options, map, options->kind, (SlRect){ 0, 0, options->width, options->height });
  cairo_restore (cr);
}

static const char *
title_of (const SlPictureOptions *options)
{
  return options->title && *options->title ? options->title : _ ("Side view");
}

/* Puts a title, for those who can't see the picture, where cairo wrote the running number of its surface. */
static GBytes *
finish_svg (GByteArray *bytes, const SlPictureOptions *options)
{
  GString *svg = g_string_new_len ((const char *) bytes->data, (gssize) bytes->len);
  const char *start = strstr (svg->str, "<g id=\"surface"), *end = start != NULL ? strchr (start, '>') : NULL;
  g_autofree char *title = g_markup_printf_escaped ("<g id=\"picture\">\n<title>%s</title>", title_of (options));

  g_byte_array_unref (bytes);
  if (end != NULL)
    {
      const gssize at = start - svg->str;

      g_string_erase (svg, at, end + 1 - start);
      g_string_insert (svg, at, title);
    }
  return g_string_free_to_bytes (svg);
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
