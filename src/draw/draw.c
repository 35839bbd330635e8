/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * As a file the same picture gives the same bytes: the PDF's date is fixed, no cairo surface is used as a source, as
 * those are numbered through, and the number of its own surface that cairo writes into an SVG is taken out again. */
#include "draw/draw.h"

#include <cairo-svg.h>

#include "draw/closeup/closeup-frame.h"
#include "draw/sheets/sheet.h"
#include "draw/side/side.h"
#include "words/dates.h"

#define MARGIN SL_SPACE_WIDE /* round a picture */
#define SHEET_MARGIN SL_SPACE_PAGE
#define SHEET_GAP SL_SPACE_WIDE
#define LEAST_WITH_BLOCK 10 /* times its title block's height, or it has none; our own choice */
#define SIDE_SHARE 0.62     /* of a sheet's height */
#define PANEL_CORNER 8.0
#define MOST_CHARS 29L /* of a text in a map, which holds as many in any script */
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
  sl_stroke (cr, palette, SL_INK_PANEL_EDGE, SL_LINE_THIN);
}

/* The first and the second line of a cell of the title block. */
static SlText
line_of (const char *text, const SlPictureOptions *options, int line)
{
  return sl_text (text, (line == 0 ? SL_TEXT_SIZE_TITLE : SL_TEXT_SIZE_SMALL) * options->text_scale, line == 0);
}

/* What is scaled of it is known from @map. Owner and date as ISO 7200 asks for them, scale as ISO 5455. */
static void
draw_title_block (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, const SlPictureMap *map,
                  SlRect block)
{
  const SlColour *palette = sl_palette (options->look);
  const SlProfile *profile = analysis->profile;
  g_autofree char *date = analysis->visit != NULL ? sl_date_text (analysis->visit->opened) : NULL,
                  *reduced =
                      sl_plain_format (1 / (fabs (map->units_per_mm_along) * options->unit_mm), 1, options->decimal),
                  *scale = g_strdup_printf (_ ("1 : %s along the neck"), reduced),
                  *factor = sl_plain_format (map->height_factor, map->height_factor < 3 ? 1 : 0, options->decimal),
                  *heights = g_strdup_printf (_ ("heights × %s"), factor);
  const gboolean scaled = map->height_factor > 0;
  const char *const cells[][2] = { { scaled ? scale : NULL, heights },
                                   { date, _ ("Received") },
                                   { options->title, profile != NULL ? profile->identity.owner : NULL } };
  double right = block.x + block.width;

  cairo_rectangle (cr, block.x, block.y, block.width, block.height);
  sl_stroke (cr, palette, SL_INK_OUTLINE, SL_LINE_THICK);
  for (gsize i = 0; i < G_N_ELEMENTS (cells); i++)
    {
      const gboolean last = i == G_N_ELEMENTS (cells) - 1;
      double width = last ? right - block.x : 0, y = block.y + SL_SPACE;

      if (cells[i][0] == NULL)
        continue;
      for (int line = 0; line < 2 && !last; line++)
        width = MAX (width, line_of (cells[i][line], options, line).width + 2 * SL_SPACE_WIDE);
      right -= width;
      cairo_save (cr);
      cairo_rectangle (cr, right, block.y, width, block.height);
      cairo_clip (cr);
      for (int line = 0; line < 2 && cells[i][line] != NULL; line++)
        {
          const SlText text = line_of (cells[i][line], options, line);

          SlPictureLabel label = { .rect = { right + SL_SPACE_WIDE, y, MIN (text.width, width - 2 * SL_SPACE_WIDE),
                                             text.height } };

          g_utf8_strncpy (label.text, cells[i][line], MIN (g_utf8_strlen (cells[i][line], -1), MOST_CHARS));
          g_array_append_val (map->labels, label);
          sl_set_ink (cr, palette, line == 0 ? SL_INK_TEXT : SL_INK_QUIET);
          sl_text_show (cr, &text, label.rect.x, y);
          y += text.height;
        }
      cairo_restore (cr);
      cairo_move_to (cr, right, block.y);
      cairo_line_to (cr, right, block.y + block.height);
      sl_stroke (cr, palette, SL_INK_OUTLINE, SL_LINE_THIN);
    }
}

/* Side view, three close-ups in a row below. */
static void
draw_sheet (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map)
{
  static const SlPictureKind kinds[] = { SL_PICTURE_NUT, SL_PICTURE_FRET_12, SL_PICTURE_BRIDGE };
  const SlColour *palette = sl_palette (options->look);
  const double m = SHEET_MARGIN, top = m, side_height = (options->height - top - m - SHEET_GAP) * SIDE_SHARE,
               panel_width = (options->width - 2 * m - 2 * SHEET_GAP) / 3;
  double panel_top;
  SlRect side;

  side = (SlRect){ m, top, options->width - 2 * m, side_height };
  panel_top = top + side_height + SHEET_GAP;
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      SlRect panel = { m + i * (panel_width + SHEET_GAP), panel_top, panel_width, options->height - m - panel_top };

      frame_panel (cr, palette, panel);
      draw_panel (cr, analysis, options, map, kinds[i], panel);
    }
  /* last: the map is the side view's */
  frame_panel (cr, palette, side);
  draw_panel (cr, analysis, options, map, SL_PICTURE_SIDE, side);
}

void
sl_picture_draw (cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map)
{
  const double m = options->kind == SL_PICTURE_ALL ? SHEET_MARGIN : MARGIN;
  SlPictureOptions own = *options;
  double block = 0;

  if (options->width < 1 || options->height < 1 || analysis->instrument.n_strings < 1)
    return;
  if (map != NULL)
    sl_picture_map_empty (map);
  if (options->title != NULL && map != NULL)
    block = line_of ("0", options, 0).height + line_of ("0", options, 1).height + 2 * SL_SPACE + m;
  if (options->height < LEAST_WITH_BLOCK * block)
    block = 0;
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_rectangle (cr, 0, 0, options->width, options->height);
  sl_fill (cr, sl_palette (options->look), SL_INK_PAPER);
  if (block > 0)
    own.height -= block;
  if (options->kind == SL_PICTURE_ALL)
    draw_sheet (cr, analysis, &own, map);
  else
    draw_panel (cr, analysis, &own, map, options->kind, (SlRect){ 0, 0, own.width, own.height });
  if (block > 0)
    draw_title_block (cr, analysis, options, map, (SlRect){ m, own.height, own.width - 2 * m, block - m });
  cairo_restore (cr);
}

/* Puts a title, for those who can't see the picture, where cairo wrote the running number of its surface. */
static GBytes *
finish_svg (GByteArray *bytes, const SlPictureOptions *options)
{
  GString *svg = g_string_new_len ((const char *) bytes->data, (gssize) bytes->len);
  const char *start = strstr (svg->str, "<g id=\"surface"), *end = start != NULL ? strchr (start, '>') : NULL;
  g_autofree char *title = g_markup_printf_escaped ("<g id=\"picture\">\n<title>%s</title>", options->title);

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
  SlPictureMap map;
  cairo_t *cr = sl_picture_begin (format, options->width, options->height, scale, error);
  GByteArray *bytes;

  if (cr == NULL)
    return NULL;
  if (own.title == NULL)
    own.title = analysis->profile != NULL ? analysis->profile->identity.label : _ ("Side view");
  if (format == SL_FORMAT_SVG)
    cairo_svg_surface_set_document_unit (cairo_get_target (cr), CAIRO_SVG_UNIT_PX);
  if (format == SL_FORMAT_PDF)
    {
      sl_picture_set_pdf (cr, own.title, PDF_DATE);
      own.unit_mm = POINT_MM;
    }
  sl_picture_map_init (&map);
  sl_picture_draw (cr, analysis, &own, &map);
  sl_picture_map_clear (&map);
  bytes = sl_picture_end (cr, format, _ ("the picture can’t be drawn: %s"), error);
  if (bytes == NULL)
    return NULL;
  return format == SL_FORMAT_SVG ? finish_svg (bytes, &own) : g_byte_array_free_to_bytes (bytes);
}
