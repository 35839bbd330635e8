/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/style.h"

#include <math.h>
#include <pango/pangocairo.h>

/* Red, green and blue of each ink: light, dark, and both with high contrast. */
static const guint32 inks[SL_N_INKS][SL_N_LOOKS] = {
  [SL_INK_TEXT] = { 0x2a2824, 0xece8df, 0x000000, 0xffffff },
  [SL_INK_QUIET] = { 0x5f5a51, 0xb3ada1, 0x262626, 0xdddddd },
  [SL_INK_PLANNED] = { 0x0b6e6e, 0x56cbc3, 0x00504f, 0x7df5ec },
  [SL_INK_CUT] = { 0xa3430f, 0xf39a66, 0x7f2600, 0xffb98c },
  [SL_INK_GHOST] = { 0x7d786e, 0x9a948a, 0x474747, 0xc4c4c4 },
  [SL_INK_TRACE] = { 0x888277, 0x807b71, 0x5c5c5c, 0xa8a8a8 },
  [SL_INK_THIN] = { 0x4c4841, 0xc4beb2, 0x000000, 0xffffff },
  [SL_INK_OUTLINE] = { 0x3a322b, 0xd0c8ba, 0x000000, 0xffffff },
  [SL_INK_PAPER] = { 0xfaf9f5, 0x1f1e1b, 0xffffff, 0x000000 },
  [SL_INK_PANEL_EDGE] = { 0xddd8ce, 0x3c3a35, 0x767676, 0x808080 },
  [SL_INK_NECK] = { 0xc99f6a, 0x76583a, 0xefdcbf, 0x4a3520 },
  [SL_INK_BOARD] = { 0x5e493b, 0x42342a, 0x33261d, 0x2a2019 },
  [SL_INK_BRIDGE] = { 0x5a4133, 0x4b382c, 0x33261d, 0x2a2019 },
  [SL_INK_BODY] = { 0xf1e6d1, 0x38312a, 0xfaf3e6, 0x1c1813 },
  [SL_INK_BODY_EDGE] = { 0x957a4c, 0x917a54, 0x3d2f14, 0xd8bf94 },
  [SL_INK_BONE] = { 0xfbf5e4, 0xd8cfb9, 0xffffff, 0xf2ead6 },
  [SL_INK_METAL] = { 0xc3c5c8, 0x9fa3a7, 0xd9dbde, 0xc9ccd0 },
  [SL_INK_ON_NECK] = { 0x2a2824, 0xf6f2ea, 0x000000, 0xffffff },
  [SL_INK_ON_WOOD] = { 0xf6f2ea, 0xf6f2ea, 0xffffff, 0xffffff },
  [SL_INK_ON_BONE] = { 0x2a2824, 0x2a2824, 0x000000, 0x000000 },
  [SL_INK_SWING] = { 0x0b6e6e, 0x56cbc3, 0x00504f, 0x7df5ec },
};
static const double swing_opacity[SL_N_LOOKS] = { 0.20, 0.26, 0.30, 0.34 }; /* what lies behind shows through */

const SlColour *
sl_palette (SlLook look)
{
  static SlColour palettes[SL_N_LOOKS][SL_N_INKS];
  static gsize ready;

  if (g_once_init_enter (&ready))
    {
      for (int l = 0; l < SL_N_LOOKS; l++)
        for (int i = 0; i < SL_N_INKS; i++)
          palettes[l][i] = (SlColour){ (inks[i][l] >> 16) / 255.0, (inks[i][l] >> 8 & 0xff) / 255.0,
                                       (inks[i][l] & 0xff) / 255.0, i == SL_INK_SWING ? swing_opacity[l] : 1 };
      g_once_init_leave (&ready, 1);
    }
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
