/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/style.h"

#include <math.h>
#include <pango/pangocairo.h>

#define RGB(hex)                                                                                                       \
  {                                                                                                                    \
    ((hex) >> 16 & 0xff) / 255.0, ((hex) >> 8 & 0xff) / 255.0, ((hex) &0xff) / 255.0, 1.0                              \
  }

static const SlColour palettes[SL_N_LOOKS][SL_N_INKS] = {
  [SL_LOOK_LIGHT] = {
    [SL_INK_TEXT] = RGB (0x2a2824), [SL_INK_QUIET] = RGB (0x5f5a51),
    [SL_INK_PLANNED] = RGB (0x0b6e6e), [SL_INK_CUT] = RGB (0xa3430f),
    [SL_INK_GHOST] = RGB (0x7d786e), [SL_INK_TRACE] = RGB (0x888277),
    [SL_INK_THIN] = RGB (0x4c4841), [SL_INK_OUTLINE] = RGB (0x3a322b),
    [SL_INK_PAPER] = RGB (0xfaf9f5), [SL_INK_PANEL_EDGE] = RGB (0xddd8ce),
    [SL_INK_NECK] = RGB (0xc99f6a), [SL_INK_BOARD] = RGB (0x5e493b),
    [SL_INK_BRIDGE] = RGB (0x5a4133), [SL_INK_BODY] = RGB (0xf1e6d1),
    [SL_INK_BODY_EDGE] = RGB (0x957a4c), [SL_INK_BONE] = RGB (0xfbf5e4),
    [SL_INK_METAL] = RGB (0xc3c5c8), [SL_INK_ON_NECK] = RGB (0x2a2824),
    [SL_INK_ON_WOOD] = RGB (0xf6f2ea), [SL_INK_ON_BONE] = RGB (0x2a2824),
    [SL_INK_SWING] = { 0x0b / 255.0, 0x6e / 255.0, 0x6e / 255.0, 0.20 },
  },
  [SL_LOOK_DARK] = {
    [SL_INK_TEXT] = RGB (0xece8df), [SL_INK_QUIET] = RGB (0xb3ada1),
    [SL_INK_PLANNED] = RGB (0x56cbc3), [SL_INK_CUT] = RGB (0xf39a66),
    [SL_INK_GHOST] = RGB (0x9a948a), [SL_INK_TRACE] = RGB (0x807b71),
    [SL_INK_THIN] = RGB (0xc4beb2), [SL_INK_OUTLINE] = RGB (0xd0c8ba),
    [SL_INK_PAPER] = RGB (0x1f1e1b), [SL_INK_PANEL_EDGE] = RGB (0x3c3a35),
    [SL_INK_NECK] = RGB (0x76583a), [SL_INK_BOARD] = RGB (0x42342a),
    [SL_INK_BRIDGE] = RGB (0x4b382c), [SL_INK_BODY] = RGB (0x38312a),
    [SL_INK_BODY_EDGE] = RGB (0x917a54), [SL_INK_BONE] = RGB (0xd8cfb9),
    [SL_INK_METAL] = RGB (0x9fa3a7), [SL_INK_ON_NECK] = RGB (0xf6f2ea),
    [SL_INK_ON_WOOD] = RGB (0xf6f2ea), [SL_INK_ON_BONE] = RGB (0x2a2824),
    [SL_INK_SWING] = { 0x56 / 255.0, 0xcb / 255.0, 0xc3 / 255.0, 0.26 },
  },
  [SL_LOOK_CONTRAST_LIGHT] = {
    [SL_INK_TEXT] = RGB (0x000000), [SL_INK_QUIET] = RGB (0x262626),
    [SL_INK_PLANNED] = RGB (0x00504f), [SL_INK_CUT] = RGB (0x7f2600),
    [SL_INK_GHOST] = RGB (0x474747), [SL_INK_TRACE] = RGB (0x5c5c5c),
    [SL_INK_THIN] = RGB (0x000000), [SL_INK_OUTLINE] = RGB (0x000000),
    [SL_INK_PAPER] = RGB (0xffffff), [SL_INK_PANEL_EDGE] = RGB (0x767676),
    [SL_INK_NECK] = RGB (0xefdcbf), [SL_INK_BOARD] = RGB (0x33261d),
    [SL_INK_BRIDGE] = RGB (0x33261d), [SL_INK_BODY] = RGB (0xfaf3e6),
    [SL_INK_BODY_EDGE] = RGB (0x3d2f14), [SL_INK_BONE] = RGB (0xffffff),
    [SL_INK_METAL] = RGB (0xd9dbde), [SL_INK_ON_NECK] = RGB (0x000000),
    [SL_INK_ON_WOOD] = RGB (0xffffff), [SL_INK_ON_BONE] = RGB (0x000000),
    [SL_INK_SWING] = { 0x00 / 255.0, 0x50 / 255.0, 0x4f / 255.0, 0.30 },
  },
  [SL_LOOK_CONTRAST_DARK] = {
    [SL_INK_TEXT] = RGB (0xffffff), [SL_INK_QUIET] = RGB (0xdddddd),
    [SL_INK_PLANNED] = RGB (0x7df5ec), [SL_INK_CUT] = RGB (0xffb98c),
    [SL_INK_GHOST] = RGB (0xc4c4c4), [SL_INK_TRACE] = RGB (0xa8a8a8),
    [SL_INK_THIN] = RGB (0xffffff), [SL_INK_OUTLINE] = RGB (0xffffff),
    [SL_INK_PAPER] = RGB (0x000000), [SL_INK_PANEL_EDGE] = RGB (0x808080),
    [SL_INK_NECK] = RGB (0x4a3520), [SL_INK_BOARD] = RGB (0x2a2019),
    [SL_INK_BRIDGE] = RGB (0x2a2019), [SL_INK_BODY] = RGB (0x1c1813),
    [SL_INK_BODY_EDGE] = RGB (0xd8bf94), [SL_INK_BONE] = RGB (0xf2ead6),
    [SL_INK_METAL] = RGB (0xc9ccd0), [SL_INK_ON_NECK] = RGB (0xffffff),
    [SL_INK_ON_WOOD] = RGB (0xffffff), [SL_INK_ON_BONE] = RGB (0x000000),
    [SL_INK_SWING] = { 0x7d / 255.0, 0xf5 / 255.0, 0xec / 255.0, 0.34 },
  },
};

const SlColour *
sl_palette (SlLook look)
{
  return palettes[look];
}

void
sl_set_ink (cairo_t *cr, const SlColour *palette, SlInk ink)
{
  const SlColour *c = &palette[ink];

  cairo_set_source_rgba (cr, c->r, c->g, c->b, c->a);
}

void
sl_fill (cairo_t *cr, const SlColour *palette, SlInk ink)
{
  sl_set_ink (cr, palette, ink);
  cairo_fill (cr);
}

void
sl_stroke (cairo_t *cr, const SlColour *palette, SlInk ink, double width)
{
  sl_set_ink (cr, palette, ink);
  cairo_set_line_width (cr, width);
  cairo_stroke (cr);
}

void
sl_fill_and_stroke (cairo_t *cr, const SlColour *palette, SlInk fill, SlInk ink, double width)
{
  sl_set_ink (cr, palette, fill);
  cairo_fill_preserve (cr);
  sl_stroke (cr, palette, ink, width);
}

void
sl_circle (cairo_t *cr, double x, double y, double radius)
{
  cairo_new_sub_path (cr);
  cairo_arc (cr, x, y, radius, 0, 2 * G_PI);
}

static GPrivate context_key = G_PRIVATE_INIT (g_object_unref);

PangoContext *
sl_text_context (void)
{
  PangoContext *context = g_private_get (&context_key);

  if (!context)
    {
      cairo_font_options_t *options = cairo_font_options_create ();

      /* No hinting and no subpixel colour: the same text is as wide on screen, on paper and in a file. */
      cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
      cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
      cairo_font_options_set_antialias (options, CAIRO_ANTIALIAS_GRAY);
      context = pango_font_map_create_context (pango_cairo_font_map_get_default ());
      pango_cairo_context_set_font_options (context, options);
      pango_context_set_round_glyph_positions (context, FALSE);
      cairo_font_options_destroy (options);
      g_private_set (&context_key, context);
    }
  return context;
}

PangoFontDescription *
sl_text_font (double size, gboolean bold)
{
  PangoFontDescription *font = pango_font_description_from_string ("Cantarell, Noto Sans, sans-serif");

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  return font;
}

static SlText *
shape (const char *text, double size, gboolean bold)
{
  SlText *line = g_new0 (SlText, 1);
  g_autoptr (PangoFontDescription) font = sl_text_font (size, bold);
  PangoRectangle logical;

  line->layout = pango_layout_new (sl_text_context ());
  pango_layout_set_font_description (line->layout, font);
  pango_layout_set_single_paragraph_mode (line->layout, TRUE);
  pango_layout_set_text (line->layout, text, -1);
  pango_layout_get_extents (line->layout, NULL, &logical);
  line->width = (double) logical.width / PANGO_SCALE;
  line->height = (double) logical.height / PANGO_SCALE;
  line->baseline = (double) pango_layout_get_baseline (line->layout) / PANGO_SCALE;
  return line;
}

static void
text_free (gpointer data)
{
  g_object_unref (((SlText *) data)->layout);
  g_free (data);
}

/* Shaping is the dear part of drawing text, and from frame to frame most texts stay: lines are kept for each thread,
 * all dropped when they become many. What is kept is as large as what it is kept under: how a text comes out doesn't
 * depend on what was drawn before. */
#define CACHE_MOST 600
static GPrivate lines_key = G_PRIVATE_INIT ((GDestroyNotify) g_hash_table_unref);

SlText
sl_text (const char *text, double size, gboolean bold)
{
  GHashTable *lines = g_private_get (&lines_key);
  const int hundredths = (int) lround (size * 100);
  g_autofree char *key = g_strdup_printf ("%d%c%s", hundredths, bold ? 'b' : 'n', text);
  SlText *line;

  if (lines == NULL)
    {
      lines = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, text_free);
      g_private_set (&lines_key, lines);
    }
  line = g_hash_table_lookup (lines, key);
  if (!line)
    {
      if (g_hash_table_size (lines) >= CACHE_MOST)
        g_hash_table_remove_all (lines);
      line = shape (text, hundredths / 100.0, bold);
      g_hash_table_insert (lines, g_steal_pointer (&key), line);
    }
  return *line;
}

void
sl_text_show (cairo_t *cr, const SlText *text, double x, double y)
{
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, text->layout);
}
