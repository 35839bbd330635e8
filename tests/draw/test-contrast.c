/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Contrast, measured in the palettes themselves: the drawings' (style.c) and the window's (ui/palette-*.css). What is
 * asked for is level AA of WCAG 2.2: 4.5:1 of text (success criterion 1.4.3; no text here counts on being large), 3:1
 * of what has to be seen to work a control or to understand a drawing (1.4.11), which is asked of the mark of the focus
 * too (1.4.11 with 2.4.7). With high contrast 7:1 of text, which is 1.4.6 of level AAA, and 4.5:1 of the rest, our own
 * choice. Left out, as 1.4.3 and 1.4.11 have it: what is disabled, and lines that only adorn. */
#include <math.h>

#include "draw/base/style.h"

static const char *const names[] = { "light", "dark", "contrast-light", "contrast-dark" };

static gboolean
is_contrast (int look)
{
  return look >= SL_LOOK_CONTRAST_LIGHT;
}

/* WCAG 2.2, "relative luminance". */
static double
linear_light (double channel)
{
  return channel <= 0.04045 ? channel / 12.92 : pow ((channel + 0.055) / 1.055, 2.4);
}

static double
luminance (const SlColour *c)
{
  return 0.2126 * linear_light (c->r) + 0.7152 * linear_light (c->g) + 0.0722 * linear_light (c->b);
}

/* WCAG 2.2, "contrast ratio": of two opaque colours, 1 to 21. */
static double
contrast (const SlColour *a, const SlColour *b)
{
  double la = luminance (a), lb = luminance (b);

  return (MAX (la, lb) + 0.05) / (MIN (la, lb) + 0.05);
}

/* What is seen of a translucent colour on a ground. */
static SlColour
over (const SlColour *top, double alpha, const SlColour *ground)
{
  return (SlColour){ top->r * alpha + ground->r * (1 - alpha), top->g * alpha + ground->g * (1 - alpha),
                     top->b * alpha + ground->b * (1 - alpha), 1 };
}

static void
check (int look, const char *what, const SlColour *a, const char *ground, const SlColour *b, gboolean text)
{
  const double least = is_contrast (look) ? (text ? 7 : 4.5) : (text ? 4.5 : 3), is = contrast (a, b);

  if (is < least)
    {
      g_test_message ("%s: %s on %s has %.2f : 1, less than %g : 1", names[look], what, ground, is, least);
      g_test_fail ();
    }
}

/* WCAG 2.2: black on white has 21:1. That #767676 is the lightest grey to reach 4.5:1 on white is from memory. */
static void
test_measure (void)
{
  const SlColour black = { 0, 0, 0, 1 }, white = { 1, 1, 1, 1 }, grey = { 0x76 / 255.0, 0x76 / 255.0, 0x76 / 255.0, 1 },
                 lighter = { 0x77 / 255.0, 0x77 / 255.0, 0x77 / 255.0, 1 };

  g_assert_cmpfloat_with_epsilon (contrast (&black, &white), 21, 1e-9);
  g_assert_cmpfloat (contrast (&grey, &white), >=, 4.5);
  g_assert_cmpfloat (contrast (&lighter, &white), <, 4.5);
}

/* ---- drawings ---- */

typedef struct
{
  SlInk ink, ground;
  gboolean text;
  const char *what;
} Pair;

static const Pair pairs[] = {
  { SL_INK_TEXT, SL_INK_PAPER, TRUE, "text on paper" },
  { SL_INK_QUIET, SL_INK_PAPER, TRUE, "second lines on paper" },
  { SL_INK_PLANNED, SL_INK_PAPER, TRUE, "planned values and strings on paper" },
  { SL_INK_CUT, SL_INK_PAPER, TRUE, "what comes off on paper" },
  { SL_INK_TEXT, SL_INK_BODY, TRUE, "text on the body" },
  { SL_INK_QUIET, SL_INK_BODY, TRUE, "second lines on the body" },
  { SL_INK_PLANNED, SL_INK_BODY, TRUE, "planned values on the body" },
  { SL_INK_CUT, SL_INK_BODY, TRUE, "what comes off on the body" },
  { SL_INK_ON_NECK, SL_INK_NECK, TRUE, "fret numbers on the neck" },
  { SL_INK_ON_WOOD, SL_INK_BRIDGE, TRUE, "text on the bridge" },
  { SL_INK_ON_WOOD, SL_INK_BOARD, TRUE, "strings on the board, from the front" },
  { SL_INK_ON_BONE, SL_INK_BONE, TRUE, "text on bone" },
  { SL_INK_GHOST, SL_INK_PAPER, FALSE, "lines as measured on paper" },
  { SL_INK_GHOST, SL_INK_BODY, FALSE, "lines as measured on the body" },
  { SL_INK_TRACE, SL_INK_PAPER, FALSE, "lines as read before on paper" },
  { SL_INK_THIN, SL_INK_PAPER, FALSE, "dimension lines on paper" },
  { SL_INK_THIN, SL_INK_BODY, FALSE, "leaders on the body" },
  { SL_INK_OUTLINE, SL_INK_PAPER, FALSE, "outlines on paper" },
  { SL_INK_OUTLINE, SL_INK_BODY, FALSE, "outlines on the body" },
  { SL_INK_OUTLINE, SL_INK_NECK, FALSE, "outlines on the neck" },
  { SL_INK_BODY_EDGE, SL_INK_PAPER, FALSE, "the body’s edge on paper" },
  { SL_INK_METAL, SL_INK_BOARD, FALSE, "frets on the board" },
  { SL_INK_BONE, SL_INK_BRIDGE, FALSE, "the saddle in the bridge" },
};

static void
test_drawings (void)
{
  for (int look = 0; look < SL_N_LOOKS; look++)
    {
      const SlColour *p = sl_palette (look);

      for (guint i = 0; i < G_N_ELEMENTS (pairs); i++)
        check (look, pairs[i].what, &p[pairs[i].ink], "its ground", &p[pairs[i].ground], pairs[i].text);
      /* the band of a swinging string, and the dashed line round it */
      SlColour band = over (&p[SL_INK_SWING], p[SL_INK_SWING].a, &p[SL_INK_PAPER]);

      check (look, "the string in its swing", &p[SL_INK_PLANNED], "the band", &band, FALSE);
    }
}

/* ---- the window ---- */

static char *
read_ui (const char *name)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "ui", name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

/* Name to colour, of a palette's file. */
static GHashTable *
read_palette (int look)
{
  g_autofree char *name = g_strdup_printf ("palette-%s.css", names[look]), *css = read_ui (name);
  g_autoptr (GRegex) define = g_regex_new ("@define-color sl_(\\w+) #([0-9a-fA-F]{6});", 0, 0, NULL);
  g_autoptr (GMatchInfo) found = NULL;
  GHashTable *palette = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (g_regex_match (define, css, 0, &found); g_match_info_matches (found); g_match_info_next (found, NULL))
    {
      g_autofree char *hex = g_match_info_fetch (found, 2);
      const guint64 rgb = g_ascii_strtoull (hex, NULL, 16);
      const SlColour colour = { (rgb >> 16 & 0xff) / 255.0, (rgb >> 8 & 0xff) / 255.0, (rgb & 0xff) / 255.0, 1 };

      g_hash_table_insert (palette, g_match_info_fetch (found, 1), g_memdup2 (&colour, sizeof colour));
    }
  return palette;
}

static const SlColour *
colour_of (GHashTable *palette, const char *name)
{
  const SlColour *colour = g_hash_table_lookup (palette, name);

  if (colour == NULL)
    g_error ("no colour “%s” in the palette", name);
  return colour;
}

static void
test_window (void)
{
  static const char *const grounds[] = { "ground", "bar", "card", "field", "paper", "hover" };
  static const char *const texts[] = { "ink", "dim", "accent", "wrong", "good", "close" };
  static const char *const edges[] = { "border", "accent", "wrong", "close" }; /* controls, focus, bars of messages */

  for (int look = 0; look < SL_N_LOOKS; look++)
    {
      g_autoptr (GHashTable) p = read_palette (look);

      for (guint g = 0; g < G_N_ELEMENTS (grounds); g++)
        {
          const SlColour *ground = colour_of (p, grounds[g]);

          for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
            check (look, texts[i], colour_of (p, texts[i]), grounds[g], ground, TRUE);
          for (guint i = 0; i < G_N_ELEMENTS (edges); i++)
            check (look, edges[i], colour_of (p, edges[i]), grounds[g], ground, FALSE);
        }
      check (look, "on_accent", colour_of (p, "on_accent"), "accent_ground", colour_of (p, "accent_ground"), TRUE);
      check (look, "on_pressed", colour_of (p, "on_pressed"), "pressed", colour_of (p, "pressed"), TRUE);
      check (look, "pressed", colour_of (p, "pressed"), "card", colour_of (p, "card"), FALSE);
      check (look, "accent_ground", colour_of (p, "accent_ground"), "card", colour_of (p, "card"), FALSE);
      /* text on rows that are tinted: .sl-chosen, and a row of the shelf that is selected */
      SlColour chosen = over (colour_of (p, "accent"), 0.12, colour_of (p, "card")),
               selected = over (colour_of (p, "accent_ground"), 0.22, colour_of (p, "ground"));

      check (look, "ink", colour_of (p, "ink"), "a chosen row", &chosen, TRUE);
      check (look, "accent", colour_of (p, "accent"), "a chosen row", &chosen, TRUE);
      check (look, "ink", colour_of (p, "ink"), "a selected row", &selected, TRUE);
    }
}

/* Every palette has the same names, and the style sheets write no colour of their own. */
static void
test_complete (void)
{
  static const char *const sheets[] = { "style.css", "customer-view.css" };
  g_autoptr (GHashTable) light = read_palette (SL_LOOK_LIGHT);
  g_autoptr (GRegex) literal =
      g_regex_new (":[^;{}]*(#[0-9a-fA-F]{3,8}\\b|\\brgba? *\\(|\\bblack\\b|\\bwhite\\b)", 0, 0, NULL);

  for (int look = 1; look < SL_N_LOOKS; look++)
    {
      g_autoptr (GHashTable) p = read_palette (look);
      GHashTableIter iter;
      gpointer name;

      g_assert_cmpuint (g_hash_table_size (p), ==, g_hash_table_size (light));
      g_hash_table_iter_init (&iter, light);
      while (g_hash_table_iter_next (&iter, &name, NULL))
        colour_of (p, name);
    }
  for (guint i = 0; i < G_N_ELEMENTS (sheets); i++)
    {
      g_autofree char *css = read_ui (sheets[i]);

      g_assert_false (g_regex_match (literal, css, 0, NULL));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/contrast/measure", test_measure);
  g_test_add_func ("/draw/contrast/drawings", test_drawings);
  g_test_add_func ("/draw/contrast/window", test_window);
  g_test_add_func ("/draw/contrast/complete", test_complete);
  return g_test_run ();
}
