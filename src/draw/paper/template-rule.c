/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A rule of the frets along the whole scale, in tiles that overlap: marks in the overlap show how two tiles join. */
#include "draw/paper/template-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define OVERLAP_MM 16.0
#define SIDE_MM 14.0        /* from the paper's edge to a tile's end: room for a label at the line */
#define BEYOND_MM 6.0       /* of the rule past the last line */
#define STRIP_MM 24.0       /* height of a strip's lines */
#define FIRST_STRIP_MM 60.0 /* from the top of the page to the first strip's upper edge */
#define STRIP_STEP_MM 62.0
#define WHOLE_PAGE_STRIP_MM 82.0
#define LABEL_GAP_MM 1.2
#define CROSS_MM 3.0
#define LEAST_LABEL_MM 3.2 /* frets closer than this are labelled in turns */

static double
tile_length (const SlTemplate *t)
{
  double width, height;

  sl_paper_size (t->options.paper, &width, &height);
  /* a correction above 1 must not push a tile over the edge */
  return (height - 2 * SIDE_MM) / MAX (1, t->options.correction_y);
}

/* Where the rule ends: past the farthest crest. */
static double
rule_end (const SlTemplate *t)
{
  double end = t->analysis->instrument.scale;

  for (int i = 0; i < t->analysis->instrument.n_strings; i++)
    end = MAX (end, t->analysis->instrument.scale + t->analysis->planned.setback[i]);
  return end + BEYOND_MM;
}

static double
tile_start (const SlTemplate *t, int tile)
{
  return tile * (tile_length (t) - OVERLAP_MM) - BEYOND_MM;
}

int
sl_template_rule_tiles (const SlTemplate *template)
{
  double length = tile_length (template), all = rule_end (template) + BEYOND_MM;

  return all <= length ? 1 : (int) ceil ((all - OVERLAP_MM) / (length - OVERLAP_MM));
}

int
sl_template_tiles_a_page (const SlTemplate *template)
{
  return template->options.half_tiles ? 2 : 1;
}

typedef struct
{
  const SlTemplateSheet *sheet;
  double start, end; /* of the tile, along the neck */
  double top, bottom;
} Strip;

static double
place (const Strip *strip, double x)
{
  return SIDE_MM + x - strip->start;
}

static void
draw_mark (const Strip *strip, double x, SlStroke stroke, const char *label, const char *distance)
{
  if (x < strip->start || x > strip->end)
    return;
  sl_template_line (strip->sheet, stroke, place (strip, x), strip->top, place (strip, x), strip->bottom);
  if (label != NULL)
    sl_template_text (strip->sheet, label, SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_TEXT, place (strip, x), strip->bottom + 3,
                      0.5, FALSE);
  if (distance != NULL)
    sl_template_text (strip->sheet, distance, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_TEXT, place (strip, x),
                      strip->top - LABEL_GAP_MM, 0, TRUE);
}

static void
draw_frets (const Strip *strip)
{
  const SlInstrument *in = strip->sheet->instrument;
  double labelled = -INFINITY;

  for (int n = 1; n <= in->frets; n++)
    {
      g_autofree char *number = g_strdup_printf ("%d", n), *distance = sl_template_length (strip->sheet, in->x[n]);
      gboolean room = in->x[n] - labelled >= LEAST_LABEL_MM;

      draw_mark (strip, in->x[n], SL_STROKE_HAIR, room ? number : NULL, room ? distance : NULL);
      if (room)
        labelled = in->x[n];
    }
}

/* The nut's front edge and the nominal scale length. */
static void
draw_ends (const Strip *strip)
{
  g_autofree char *scale = sl_template_length (strip->sheet, strip->sheet->instrument->scale);

  draw_mark (strip, 0, SL_STROKE_LINE, _ ("nut"), "0");
  draw_mark (strip, strip->sheet->instrument->scale, SL_STROKE_LINE, _ ("scale"), scale);
}

/* A cross in a ring's place, with a letter: the same in both tiles. */
static void
draw_cross (const Strip *strip, double x, int letter)
{
  g_autofree char *label = g_strdup_printf ("%c", 'A' + letter);
  const double heights[] = { strip->top + CROSS_MM + 1, strip->bottom - CROSS_MM - 1 };

  for (gsize i = 0; i < G_N_ELEMENTS (heights); i++)
    {
      sl_template_line (strip->sheet, SL_STROKE_HAIR, place (strip, x) - CROSS_MM, heights[i],
                        place (strip, x) + CROSS_MM, heights[i]);
      sl_template_line (strip->sheet, SL_STROKE_HAIR, place (strip, x), heights[i] - CROSS_MM, place (strip, x),
                        heights[i] + CROSS_MM);
    }
  sl_template_text (strip->sheet, label, SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_CUT, place (strip, x),
                    (heights[0] + heights[1]) / 2, 0.5, FALSE);
}

static void
draw_tile (const SlTemplateSheet *sheet, int tile, double top)
{
  const SlTemplate *t = sheet->template;
  const int tiles = sl_template_rule_tiles (t);
  Strip strip = { .sheet = sheet, .start = tile_start (t, tile), .top = top, .bottom = top + STRIP_MM };

  strip.end = MIN (strip.start + tile_length (t), rule_end (t));
  sl_template_line (sheet, SL_STROKE_HAIR, place (&strip, strip.start), strip.bottom, place (&strip, strip.end),
                    strip.bottom);
  sl_template_line (sheet, SL_STROKE_HAIR, place (&strip, strip.start), strip.top, place (&strip, strip.end),
                    strip.top);
  draw_frets (&strip);
  draw_ends (&strip);
  if (tile > 0)
    draw_cross (&strip, strip.start + OVERLAP_MM / 2, tile - 1);
  if (tile + 1 < tiles)
    draw_cross (&strip, tile_start (t, tile + 1) + OVERLAP_MM / 2, tile);
}

void
sl_template_draw_rule (const SlTemplateSheet *sheet, int first_tile)
{
  const int tiles = sl_template_rule_tiles (sheet->template), here = sl_template_tiles_a_page (sheet->template);

  for (int i = 0; i < here && first_tile + i < tiles; i++)
    draw_tile (sheet, first_tile + i, here > 1 ? FIRST_STRIP_MM + i * STRIP_STEP_MM : WHOLE_PAGE_STRIP_MM);
  if (tiles > 1)
    sl_template_text (sheet,
                      _ ("Lay tiles over each other so that crosses of one letter meet. Distances are from the front "
                         "of the nut; each is right by itself, nothing adds up."),
                      SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, SL_TEMPLATE_MARGIN_MM,
                      sheet->height - SL_TEMPLATE_FOOT_MM - 4, 0, FALSE);
}
