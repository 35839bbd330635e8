/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strings sheet, and its slots at the nut: from above, the head away from the viewer: slots in their true places
 * and widths, the strings in them; the other set's slots below. */
#include "draw/sheets/strings-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/nut.h"

#define BARS_SHARE 0.6   /* of the sheet's width */
#define SLOTS_SHARE 0.46 /* of its height, at the right */
#define GAP 26.0
#define HATCH_SPACING 3.5
#define NUT_MM 6.0      /* thickness of a nut: common practice; the document has none */
#define STRING_OVER 5.0 /* units a string shows before and behind the nut */
#define STRIP_GAP 12.0

typedef struct
{
  const SlStrings *s;
  SlRect part;
  double middle, scale, depth; /* the board's middle, units per mm, drawn depth of a nut */
} Slots;

void
sl_strings_fill (const SlStrings *s, gboolean other, double x, double y, double width, double height)
{
  SlScene *scene = s->sheet.scene;

  if (!(width > 0) || !(height > 0))
    return;
  cairo_rectangle (scene->cr, x, y, width, height);
  if (other)
    {
      sl_hatch (scene, SL_INK_QUIET, HATCH_SPACING);
      return;
    }
  sl_set_ink (scene->cr, scene->palette, SL_INK_PLANNED);
  cairo_fill (scene->cr);
}

static double
at (const Slots *p, double y_mm)
{
  return p->middle + y_mm * p->scale;
}

/* One nut with its slots; @y its upper edge. */
static void
draw_nut (const Slots *p, const SlInstrument *in, const double *centres, gboolean other, double y)
{
  SlScene *scene = p->s->sheet.scene;
  cairo_t *cr = scene->cr;
  double half = in->nut_width / 2;

  cairo_rectangle (cr, at (p, -half), y, 2 * half * p->scale, p->depth);
  sl_fill_shape (scene, SL_INK_BONE);
  for (int i = 0; i < in->n_strings; i++)
    {
      double slot = sl_slot_width (in, i + 1) * p->scale, string = in->strings[i].outside_mm * p->scale,
             x = at (p, centres[i]);

      cairo_rectangle (cr, x - slot / 2, y, slot, p->depth);
      sl_fill_and_stroke (cr, scene->palette, SL_INK_PAPER, SL_INK_OUTLINE, SL_LINE_THIN);
      sl_strings_fill (p->s, other, x - string / 2, y - STRING_OVER, string, p->depth + 2 * STRING_OVER);
    }
}

/* Numbers, one over or under each slot; where they don't fit side by side in one row, in two, then some left out.
 * Returns the rows taken. */
static int
draw_numbers (const Slots *p, const SlInstrument *in, const double *centres, const double *values, SlInk ink,
              gboolean bold, double y, double second)
{
  int rows = 1;

  for (int i = in->n_strings - 1; i >= 0; i--)
    {
      g_autofree char *text = sl_sheet_length (&p->s->sheet, values[i]);

      if (!sl_sheet_text (&p->s->sheet, ink, bold, TRUE, text, at (p, centres[i]), y, 0.5) && second != 0 &&
          sl_sheet_text (&p->s->sheet, ink, bold, TRUE, text, at (p, centres[i]), y + second, 0.5))
        rows = 2;
    }
  return rows;
}

static void
slot_widths (const SlInstrument *in, double widths[SL_MAX_STRINGS])
{
  for (int s = 1; s <= in->n_strings; s++)
    widths[s - 1] = sl_slot_width (in, s);
}

/* Clear distance between neighbouring strings' edges: the same everywhere. */
static double
gap_between (const SlInstrument *in, const double *centres)
{
  return centres[0] - centres[1] - (in->strings[0].outside_mm + in->strings[1].outside_mm) / 2;
}

static void
draw_caption (const Slots *p, const SlInstrument *in, const double *centres, double y, double most)
{
  const SlSheet *sheet = &p->s->sheet;
  g_autofree char *gap = in->n_strings > 1 ? sl_say (sheet->scene, SL_SAY_LENGTH, gap_between (in, centres)) : NULL;
  g_autoptr (GString) text = g_string_new (NULL);

  if (gap != NULL)
    g_string_append_printf (text, _ ("%s clear between any two strings. "), gap);
  g_string_append (text, _ ("Above: slot widths; below: slot middles from the bass edge."));
  if (p->s->other != NULL)
    g_string_append_printf (text, _ (" Hatched: %s."), p->s->other_name);
  sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE, text->str, p->part.x, y, p->part.width, (int) (most / sheet->row));
}

static void
draw_nuts (Slots *p, const double *centres, const double *other_centres, double top, double bottom)
{
  const SlSheet *sheet = &p->s->sheet;
  const SlInstrument *in = sheet->in, *other = other_centres != NULL ? &p->s->comparison->instrument : NULL;
  double widths[SL_MAX_STRINGS], from_edge[SL_MAX_STRINGS], row = sheet->row, y = top + 2 * row + STRING_OVER;
  double room = bottom - y - 3 * row - (other != NULL ? 2 * row : 0);

  p->depth = CLAMP (room / (other != NULL ? 2 : 1) - 2 * STRING_OVER, 8, NUT_MM * p->scale);
  slot_widths (in, widths);
  draw_numbers (p, in, centres, widths, SL_INK_PLANNED, TRUE, y - STRING_OVER - row, -row);
  draw_nut (p, in, centres, FALSE, y);
  y += p->depth + STRING_OVER;
  for (int i = 0; i < in->n_strings; i++)
    from_edge[i] = in->nut_width / 2 + centres[i];
  y += draw_numbers (p, in, centres, from_edge, SL_INK_TEXT, FALSE, y + 2, row) * row + STRIP_GAP / 2;
  if (other != NULL && y + p->depth + 2 * STRING_OVER + 2 * row <= bottom)
    {
      draw_nut (p, other, other_centres, TRUE, y + STRING_OVER);
      y += p->depth + 2 * STRING_OVER;
      slot_widths (other, widths);
      y += draw_numbers (p, other, other_centres, widths, SL_INK_QUIET, FALSE, y + 2, row) * row + 2;
    }
  draw_caption (p, in, centres, y + 4, bottom - y - 4);
}

static void
draw_slots (const SlStrings *s, SlRect part)
{
  const SlSheet *sheet = &s->sheet;
  Slots p = { .s = s, .part = part };
  double centres[SL_MAX_STRINGS], other[SL_MAX_STRINGS], magnified, top;
  const SlPictureOptions *o = sheet->scene->options;
  g_autofree char *factor = NULL, *remark = NULL;

  if (!sl_slot_centres (sheet->in, centres))
    {
      top = part.y + sl_sheet_heading (sheet, part, _ ("Slots at the nut"), NULL);
      sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE,
                          isnan (sheet->in->nut_width)
                              ? _ ("The nut’s width is not given: without it the slots have no places.")
                              : _ ("These strings and edge margins don’t fit the nut’s width."),
                          part.x, top, part.width, 3);
      return;
    }
  magnified = MAX (0.1, floor (part.width / sheet->in->nut_width * o->unit_mm * 10) / 10);
  p.scale = magnified / o->unit_mm;
  p.middle = part.x + part.width / 2;
  factor = sl_sheet_number (sheet, magnified, fabs (magnified - round (magnified)) < 1e-9 ? 0 : 1);
  remark = g_strdup_printf (_ ("from above, bass left, true proportions × %s"), factor);
  top = part.y + sl_sheet_heading (sheet, part, _ ("Slots at the nut"), remark);
  draw_nuts (&p, centres, s->other != NULL && sl_slot_centres (&s->comparison->instrument, other) ? other : NULL, top,
             part.y + part.height);
}

void
sl_strings_draw (SlScene *scene)
{
  const SlRect stage = scene->stage;
  const SlPictureOptions *o = scene->options;
  double left = (stage.width - GAP) * BARS_SHARE, right_x = stage.x + left + GAP, right = stage.width - left - GAP;
  double slots = (stage.height - GAP) * SLOTS_SHARE;
  SlStrings s = { .other = NULL };

  sl_sheet_init (&s.sheet, scene);
  sl_set_worth (s.sheet.in, s.sheet.scene->after_state, &s.present);
  if (o->other != NULL && o->other->other.n_strings == s.present.n_strings)
    {
      s.comparison = o->other;
      s.other = &o->other->other;
      s.other_name = o->other_name != NULL ? o->other_name : _ ("other strings");
    }
  sl_strings_draw_bars (&s, (SlRect){ stage.x, stage.y, left, stage.height });
  draw_slots (&s, (SlRect){ right_x, stage.y, right, slots });
  sl_strings_draw_saddle (&s, (SlRect){ right_x, stage.y + slots + GAP, right, stage.height - slots - GAP });
  sl_scene_place (scene);
}
