/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The nut: from above with slots, strings and the blank's outline, and from the board's end with the slots' floors over
 * the board. */
#include "draw/paper/template-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "draw/side/side.h"

#define ABOVE_MM 46.0         /* from the top of the page to the blank */
#define FRONT_MM 96.0         /* to the board's top in the middle */
#define CENTRE_OVER_MM 4.0    /* centre lines beyond the blank, away from the board */
#define STRING_BEYOND_MM 12.0 /* strings' edges beyond it, over the board */
#define TOP_ALLOWANCE_MM 1.0  /* of the blank over the strings' tops: our own choice */
#define BOARD_SHOWN_MM 5.0
#define ARC_STEPS 48
#define TABLE_MM 112.0
#define DEGREE (180 / G_PI)

/* Places across come from the middle of the page: the treble on the right, seen from the bridge. */
static double
place (const SlTemplateSheet *sheet, double y)
{
  return sheet->width / 2 + y;
}

static void
draw_rectangle (const SlTemplateSheet *sheet, SlStroke stroke, double x0, double y0, double x1, double y1)
{
  const double points[][2] = { { x0, y0 }, { x1, y0 }, { x1, y1 }, { x0, y1 } };

  sl_template_polyline (sheet, stroke, points, 4, TRUE);
}

static void
draw_from_above (const SlTemplateSheet *sheet)
{
  const SlInstrument *in = sheet->instrument;
  double half = in->nut_width / 2, top = ABOVE_MM, bottom = ABOVE_MM + SL_NUT_MM;

  draw_rectangle (sheet, SL_STROKE_LINE, place (sheet, -half), top, place (sheet, half), bottom);
  for (int s = 1; s <= in->n_strings; s++)
    {
      g_autofree char *number = g_strdup_printf ("%d", s);
      double radius = in->strings[s - 1].outside_mm / 2;
      SlSlot slot;

      sl_slot (in, sheet->state, s, &slot);
      double x = place (sheet, slot.centre), w = slot.width / 2;
      const double cut[][2] = { { x - w, top }, { x + w, top }, { x + w, bottom }, { x - w, bottom } };

      sl_template_fill (sheet, SL_INK_PANEL_EDGE, cut, 4);
      draw_rectangle (sheet, SL_STROKE_HAIR, x - w, top, x + w, bottom);
      sl_template_line (sheet, SL_STROKE_CHAIN, x, top - CENTRE_OVER_MM, x, bottom);
      sl_template_line (sheet, SL_STROKE_HAIR, x - radius, bottom, x - radius, bottom + STRING_BEYOND_MM);
      sl_template_line (sheet, SL_STROKE_HAIR, x + radius, bottom, x + radius, bottom + STRING_BEYOND_MM);
      sl_template_text (sheet, number, SL_TEMPLATE_SMALL_MM, TRUE, SL_INK_TEXT, x, top - CENTRE_OVER_MM - 2, 0.5,
                        FALSE);
    }
  sl_template_text (sheet, _ ("From above"), SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_TEXT, SL_TEMPLATE_MARGIN_MM,
                    top - CENTRE_OVER_MM - 6, 0, FALSE);
  sl_template_text (sheet, _ ("bass"), SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, place (sheet, -half) - 4,
                    (top + bottom) / 2, 1, FALSE);
  sl_template_text (sheet, _ ("board"), SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, place (sheet, -half) - 4,
                    bottom + STRING_BEYOND_MM / 2, 1, FALSE);
  sl_template_text (sheet, _ ("treble"), SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, place (sheet, half) + 4,
                    (top + bottom) / 2, 0, FALSE);
}

/* The board's top at the nut. */
static void
draw_arc (const SlTemplateSheet *sheet, SlStroke stroke)
{
  double points[ARC_STEPS + 1][2], half = sheet->instrument->nut_width / 2;

  for (int i = 0; i <= ARC_STEPS; i++)
    {
      double y = -half + 2 * half * i / ARC_STEPS;

      points[i][0] = place (sheet, y);
      points[i][1] = FRONT_MM - sl_board_arc (sheet->instrument, 0, y);
    }
  sl_template_polyline (sheet, stroke, (const double (*)[2]) points, ARC_STEPS + 1, FALSE);
}

static void
draw_from_front (const SlTemplateSheet *sheet)
{
  const SlInstrument *in = sheet->instrument;
  double half = in->nut_width / 2, edge = FRONT_MM - sl_board_arc (in, 0, half), top = FRONT_MM;
  SlSlot slots[SL_MAX_STRINGS];

  for (int i = 0; i < in->n_strings; i++)
    {
      sl_slot (in, sheet->state, i + 1, &slots[i]);
      top = MIN (top, FRONT_MM - sl_board_arc (in, 0, slots[i].centre) - slots[i].floor - in->strings[i].outside_mm);
    }
  top -= TOP_ALLOWANCE_MM;
  draw_arc (sheet, SL_STROKE_LINE);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, -half), top, place (sheet, -half), edge + BOARD_SHOWN_MM);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, half), top, place (sheet, half), edge + BOARD_SHOWN_MM);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, -half), top, place (sheet, half), top);
  for (int i = 0; i < in->n_strings; i++)
    {
      g_autofree char *number = g_strdup_printf ("%d", i + 1);
      double x = place (sheet, slots[i].centre), w = slots[i].width / 2,
             floor = FRONT_MM - sl_board_arc (in, 0, slots[i].centre) - slots[i].floor;
      const double cut[][2] = { { x - w, top }, { x - w, floor }, { x + w, floor }, { x + w, top } };

      sl_template_polyline (sheet, SL_STROKE_HAIR, cut, 4, FALSE);
      sl_template_text (sheet, number, SL_TEMPLATE_SMALL_MM, TRUE, SL_INK_TEXT, x, top - 2.5, 0.5, FALSE);
    }
  sl_template_text (sheet, _ ("From the board’s end"), SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_TEXT, SL_TEMPLATE_MARGIN_MM,
                    top - 6, 0, FALSE);
  sl_template_text (sheet, _ ("board"), SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, place (sheet, -half) - 4,
                    edge + BOARD_SHOWN_MM / 2, 1, FALSE);
}

static void
add_row (const SlTemplateSheet *sheet, SlTable *table, int string)
{
  const SlInstrument *in = sheet->instrument;
  SlSlot slot, next = { .centre = NAN };

  sl_slot (in, sheet->state, string, &slot);
  if (string < in->n_strings)
    sl_slot (in, sheet->state, string + 1, &next);
  sl_table_cells (table, g_strdup_printf ("%d", string), sl_template_length (sheet, slot.centre + in->nut_width / 2),
                  sl_template_length (sheet, slot.centre - next.centre), sl_template_length (sheet, slot.width),
                  sl_template_length (sheet, slot.floor),
                  slot.has_angle ? sl_plain_format (slot.floor_angle * DEGREE, 1, sheet->template->options.decimal)
                                 : g_strdup ("–"),
                  NULL);
}

void
sl_template_draw_nut (const SlTemplateSheet *sheet)
{
  gboolean mm = sheet->template->options.lengths == SL_LENGTHS_MM;
  g_autofree char *outline =
      g_strdup_printf (_ ("The outline is %s thick along the strings: a usual size, trace your own blank. Slots are "
                          "drawn at the width that the string and its allowance ask for. Deepen them to their floors "
                          "last, a little at a time, and measure the string height at fret 1 in between."),
                       mm ? _ ("6 mm") : _ ("0.24 in"));
  g_auto (SlTable) table = { .n_columns = 0 };

  draw_from_above (sheet);
  draw_from_front (sheet);
  sl_table_column (&table, _ ("string"), 0.1, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("centre from the bass edge, mm") : _ ("centre from the bass edge, in"), 0.2,
                   SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("to the next centre, mm") : _ ("to the next centre, in"), 0.18, SL_ALIGN_RIGHT,
                   FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("slot width, mm") : _ ("slot width, in"), 0.16, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("floor over the board, mm") : _ ("floor over the board, in"), 0.18, SL_ALIGN_RIGHT,
                   TRUE, SL_INK_TEXT);
  sl_table_column (&table, _ ("floor falls back, degrees"), 0.18, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  for (int s = 1; s <= sheet->instrument->n_strings; s++)
    add_row (sheet, &table, s);
  sl_template_paragraph (sheet, outline, sl_template_table (sheet, &table, TABLE_MM) + 4);
}
