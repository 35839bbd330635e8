/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strings sheet, and its parts but the bars. The saddle's top across the bridge, looking toward the nut: crests as
 * planned and as measured, the circle fitted through them against the board's, and the board line (model 10.2). The nut
 * from above, the head away from the viewer: slots in their true places and widths, the strings in them; the other
 * set's slots below. */
#include "draw/sheets/sheet.h"
#include "draw/side/hardware.h"

#include "setup/physics/nut.h"

#define BARS_SHARE 0.6   /* of the sheet's width */
#define SLOTS_SHARE 0.46 /* of its height, at the right */
#define GAP SL_SPACE_PAGE
#define HATCH_SPACING 3.5
#define STRING_OVER 5.0 /* units a string shows before and behind the nut */

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
  sl_fill (scene->cr, scene->palette, SL_INK_PLANNED);
}

/* Seen from above or toward the nut, a right-handed instrument's treble lies on the right. */
static double
toward_treble (const SlSheet *sheet, double y)
{
  return sheet->in->left_handed ? -y : y;
}

static double
at (const Slots *p, double y_mm)
{
  return p->middle + toward_treble (&p->s->sheet, y_mm) * p->scale;
}

/* One nut with its slots; @y its upper edge. */
static void
draw_nut (const Slots *p, const SlInstrument *in, const double *centres, gboolean other, double y)
{
  SlScene *scene = p->s->sheet.scene;
  cairo_t *cr = scene->cr;
  double half = in->nut_width / 2;

  cairo_rectangle (cr, p->middle - half * p->scale, y, 2 * half * p->scale, p->depth);
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

/* Widths of the slots or where they lie from the bass edge, one over or under each; where they don't fit side by side
 * in one row, in two, then some left out. Returns the rows taken. */
static int
draw_numbers (const Slots *p, const SlInstrument *in, const double *centres, gboolean widths, SlInk ink, double y,
              double second)
{
  int rows = 1;

  for (int i = in->n_strings - 1; i >= 0; i--)
    {
      const char *text =
          sl_sheet_length (&p->s->sheet, widths ? sl_slot_width (in, i + 1) : in->nut_width / 2 + centres[i]);
      const gboolean bold = ink == SL_INK_PLANNED;

      if (!sl_scene_text (p->s->sheet.scene, ink, bold, TRUE, text, at (p, centres[i]), y, 0.5) && second != 0 &&
          sl_scene_text (p->s->sheet.scene, ink, bold, TRUE, text, at (p, centres[i]), y + second, 0.5))
        rows = 2;
    }
  return rows;
}

static void
draw_caption (const Slots *p, const SlInstrument *in, const double *centres, double y, double most)
{
  const SlSheet *sheet = &p->s->sheet;
  int next = 1;

  while (next + 1 < in->n_strings && in->course[next] == in->course[0])
    next++;
  /* between the edges of neighbouring strings, or courses: the same everywhere */
  const double clear =
      centres[next - 1] - centres[next] - (in->strings[next - 1].outside_mm + in->strings[next].outside_mm) / 2;
  g_autoptr (GString) text = g_string_new (NULL);

  if (in->n_strings > 1)
    g_string_append_printf (
        text, in->courses < in->n_strings ? _ ("%s clear between courses. ") : _ ("%s clear between any two strings. "),
        sl_say (sheet->scene, SL_SAY_LENGTH, clear));
  g_string_append (text, _ ("Above: slot widths; below: slot middles from the bass edge."));
  if (sl_frets_slant (in))
    g_string_append (text, _ (" Measured square across: the nut’s template has them along the slant."));
  if (p->s->other != NULL)
    g_string_append_printf (text, _ (" Hatched: %s."), p->s->other_name);
  sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE, text->str, p->part.x, y, p->part.width, (int) (most / sheet->row));
}

static void
draw_nuts (Slots *p, const double *centres, const double *other_centres, double top, double bottom)
{
  const SlSheet *sheet = &p->s->sheet;
  const SlInstrument *in = sheet->in, *other = other_centres != NULL ? &p->s->comparison->instrument : NULL;
  double row = sheet->row, y = top + 2 * row + STRING_OVER;
  double room = bottom - y - 3 * row - (other != NULL ? 2 * row : 0);

  p->depth = CLAMP (room / (other != NULL ? 2 : 1) - 2 * STRING_OVER, 8, SL_NUT_MM * p->scale);
  draw_numbers (p, in, centres, TRUE, SL_INK_PLANNED, y - STRING_OVER - row, -row);
  draw_nut (p, in, centres, FALSE, y);
  y += p->depth + STRING_OVER;
  y += draw_numbers (p, in, centres, FALSE, SL_INK_TEXT, y + 2, row) * row + SL_SPACE_WIDE / 2;
  if (other != NULL && y + p->depth + 2 * STRING_OVER + 2 * row <= bottom)
    {
      draw_nut (p, other, other_centres, TRUE, y + STRING_OVER);
      y += p->depth + 2 * STRING_OVER;
      y += draw_numbers (p, other, other_centres, TRUE, SL_INK_QUIET, y + 2, row) * row + 2;
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
  top =
      part.y + sl_sheet_heading (
                   sheet, part, _ ("Slots at the nut"),
                   sl_print (sheet->scene,
                             sheet->in->left_handed ? _ ("from above, bass right, true proportions × %s")
                                                    : _ ("from above, bass left, true proportions × %s"),
                             sl_sheet_number (sheet, magnified, fabs (magnified - round (magnified)) < 1e-9 ? 0 : 1)));
  draw_nuts (&p, centres, s->other != NULL && sl_slot_centres (&s->comparison->instrument, other) ? other : NULL, top,
             part.y + part.height);
}

/* ---- saddle ---- */

#define BEYOND_MM 4.0 /* of the saddle past the outer strings: common practice */
#define MOST_FACTOR 12.0
#define WOOD_LEAST 20.0 /* units of bridge shown under its top */
#define STEPS 48
#define STRING_LEAST_UNITS 2.5

typedef struct
{
  const SlSheet *sheet;
  cairo_t *cr;
  SlRect part;
  int n;                    /* strings */
  double edge;              /* of the saddle, across from the middle */
  double y[SL_MAX_STRINGS]; /* places across */
  double crest[SL_MAX_STRINGS], ghost[SL_MAX_STRINGS], top[SL_MAX_STRINGS],
      line[SL_MAX_STRINGS];          /* heights: crest as planned, as measured, bridge top, crown line */
  double radius, rms, board;         /* fitted; the board's at the saddle */
  double middle, across, up, origin; /* units per mm */
} Top;

static double
px (const Top *t, double y_mm)
{
  return t->middle + toward_treble (t->sheet, y_mm) * t->across;
}

static double
pz (const Top *t, double z_mm)
{
  return t->origin - z_mm * t->up;
}

static void
heights (Top *t)
{
  const SlSheet *sheet = t->sheet;
  const SlState *before = sheet->scene->before_state, *after = sheet->scene->after_state;
  double a, edge = sheet->in->spread / 2;

  sl_saddle_top (sheet->in, after, t->y, t->crest);
  for (int i = 0; i < t->n; i++)
    {
      /* the bridge stays at rest: what the plan takes off the exposure is what the crest came down over it */
      t->ghost[i] = t->crest[i] + before->exposure[i] - after->exposure[i];
      t->top[i] = t->crest[i] - after->exposure[i];
      t->line[i] = t->crest[i] - sl_state_crest_height (after, i + 1);
    }
  t->radius = sl_fit_radius (t->y, t->crest, t->n, &t->rms);
  a = sl_board_arc (sheet->in, 1, sheet->in->scale[0], edge);
  t->board = a < 0 ? -(a * a + edge * edge) / (2 * a) : INFINITY;
}

static void
scale_to (Top *t, double top, double bottom)
{
  double least = INFINITY, most = -INFINITY, factor;

  for (int i = 0; i < t->n; i++)
    {
      most = fmax (most, fmax (t->crest[i], t->ghost[i]));
      least = fmin (least, fmin (t->crest[i], t->line[i]));
      least = fmin (least, t->top[i]);
    }
  t->across = t->part.width / (2 * t->edge);
  t->middle = t->part.x + t->part.width / 2;
  factor = (bottom - top) / (MAX (0.5, most - least) * t->across);
  factor = CLAMP (factor >= 2 ? floor (factor * 2) / 2 : floor (factor * 10) / 10, 0.1, MOST_FACTOR);
  t->up = factor * t->across;
  t->origin = bottom + least * t->up;
}

/* A height at any place across, from the strings' heights: straight between neighbours, carried on past the outer ones.
 */
static double
height_at (const Top *t, const double *z, double y)
{
  const int n = t->n;
  int i = 0;

  if (n < 2 || t->y[0] <= t->y[n - 1])
    return z[0];
  while (i < n - 2 && y < t->y[i + 1])
    i++;
  return z[i] + (z[i + 1] - z[i]) * (y - t->y[i]) / (t->y[i + 1] - t->y[i]);
}

/* Adds heights over the whole saddle to the path, from the treble end to the bass end or back. */
static void
trace (const Top *t, const double *z, gboolean back)
{
  const int bass = t->n > 1 ? t->n + 1 : 1;

  for (int k = 0; k <= bass; k++)
    {
      int i = back ? bass - k : k;
      double y = i == 0 ? t->edge : i == bass ? -t->edge : t->y[i - 1];

      cairo_line_to (t->cr, px (t, y), pz (t, height_at (t, z, y)));
    }
}

/* How far an arc of a radius lies below its top. */
static double
drop (double radius, double y)
{
  return isinf (radius) ? 0 : radius - copysign (sqrt (radius * radius - y * y), radius);
}

/* The arc of a radius through the crests as closely as possible: height and tilt by least squares. */
static void
stroke_arc (const Top *t, double radius, SlInk ink, SlDash dash)
{
  double sy = 0, syy = 0, sz = 0, syz = 0;

  if (!(fabs (radius) > t->edge))
    return;
  for (int i = 0; i < t->n; i++)
    {
      double z = t->crest[i] + drop (radius, t->y[i]);

      sy += t->y[i] / t->n;
      syy += t->y[i] * t->y[i] / t->n;
      sz += z / t->n;
      syz += t->y[i] * z / t->n;
    }
  double spread = syy - sy * sy, tilt = spread > 1e-9 ? (syz - sy * sz) / spread : 0;

  cairo_new_path (t->cr);
  for (int k = 0; k <= STEPS; k++)
    {
      double y = t->edge - 2 * t->edge * k / STEPS;

      cairo_line_to (t->cr, px (t, y), pz (t, sz + tilt * (y - sy) - drop (radius, y)));
    }
  sl_stroke_path (t->sheet->scene, ink, dash == SL_DASH_NONE ? SL_LINE_THICK : SL_LINE_THIN, dash);
}

static void
stroke_trace (const Top *t, const double *z, SlInk ink, SlDash dash)
{
  cairo_new_path (t->cr);
  trace (t, z, FALSE);
  sl_stroke_path (t->sheet->scene, ink, SL_LINE_THIN, dash);
}

/* The bridge's wood below its top, and the saddle's bone above it. */
static void
fill_bodies (const Top *t, double bottom)
{
  const SlColour *palette = t->sheet->scene->palette;

  cairo_new_path (t->cr);
  trace (t, t->top, FALSE);
  cairo_line_to (t->cr, px (t, -t->edge), bottom);
  cairo_line_to (t->cr, px (t, t->edge), bottom);
  cairo_close_path (t->cr);
  sl_fill (t->cr, palette, SL_INK_BRIDGE);
  trace (t, t->crest, FALSE);
  trace (t, t->top, TRUE);
  cairo_close_path (t->cr);
  sl_fill_and_stroke (t->cr, palette, SL_INK_BODY, SL_INK_OUTLINE, SL_LINE_THIN);
}

static void
draw_strings (const Top *t)
{
  for (int i = 0; i < t->n; i++)
    {
      double r = MAX (STRING_LEAST_UNITS, t->sheet->in->strings[i].outside_mm * t->across / 2);

      sl_circle (t->cr, px (t, t->y[i]), pz (t, t->crest[i]) - r, r);
      sl_fill (t->cr, t->sheet->scene->palette, SL_INK_PLANNED);
    }
}

/* What the lines are, as text. */
static char *
describe (const Top *t)
{
  const SlSheet *sheet = t->sheet;
  const SlTextStyle style = sl_scene_style (sheet->scene);
  g_autofree char *fitted = sl_text_radius (&style, t->radius), *board = sl_text_radius (&style, t->board),
                  *saddle = sl_text_radius (&style, sheet->in->saddle_radius);
  GString *text = g_string_new (NULL);

  if (isfinite (t->rms))
    g_string_append_printf (text, _ ("Saddle top fits a radius: %s (off it by %s). "), fitted,
                            sl_say (sheet->scene, SL_SAY_LENGTH, t->rms));
  g_string_append_printf (text, _ ("Board’s, dotted: %s. "), board);
  if (isfinite (sheet->in->saddle_radius))
    g_string_append_printf (text, _ ("Saddle’s own: %s. "), saddle);
  g_string_append (text, sheet->scene->before_state->exposure_read
                             ? _ ("Below: straightedge (chain line) over the bridge top.")
                             : _ ("Exposure was not read: the bridge top is assumed (≈)."));
  return g_string_free (text, FALSE);
}

static void
draw_names (const Top *t)
{
  const SlSheet *sheet = t->sheet;

  for (int i = 0; i < t->n; i++)
    {
      double y = pz (t, fmax (t->crest[i], t->ghost[i])) - sheet->row - 2 * STRING_LEAST_UNITS - 2;

      sl_sheet_name (sheet, i + 1, TRUE, px (t, t->y[i]), y + sheet->half, 0.5);
    }
}

static void
draw_board_lines (const Top *t, double y)
{
  const SlSheet *sheet = t->sheet;

  for (int i = t->n - 1; i >= 0; i--)
    {
      const char *text = sl_print (sheet->scene, "%s%s", sheet->scene->before_state->exposure_read ? "" : "≈ ",
                                   sl_sheet_length (sheet, t->line[i] - t->top[i]));

      if (isfinite (t->line[i] - t->top[i]))
        sl_scene_text (sheet->scene, SL_INK_ON_WOOD, FALSE, TRUE, text, px (t, t->y[i]), y, 0.5);
    }
}

static void
draw_saddle (const SlStrings *s, SlRect part)
{
  const SlSheet *sheet = &s->sheet;
  Top t = { .sheet = sheet,
            .cr = sheet->scene->cr,
            .part = part,
            .n = sheet->in->n_strings,
            .edge = sheet->in->spread / 2 + BEYOND_MM };
  double top = part.y + sheet->row + 6, bottom = part.y + part.height, words;

  heights (&t);
  words = sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE, sl_kept (sheet->scene, describe (&t)), part.x, top,
                              part.width, 3);
  top += words + sheet->row + 8;
  bottom -= MAX (WOOD_LEAST, sheet->row + 12);
  if (bottom - top < 20)
    return;
  scale_to (&t, top, bottom);
  sl_sheet_heading (sheet, part, _ ("Saddle top"),
                    sl_print (sheet->scene,
                              sheet->in->left_handed ? _ ("toward the nut, bass right, heights × %s")
                                                     : _ ("toward the nut, bass left, heights × %s"),
                              sl_sheet_number (sheet, t.up / t.across, 1)));
  fill_bodies (&t, part.y + part.height);
  stroke_trace (&t, t.line, t.line[0] < t.top[0] ? SL_INK_ON_WOOD : SL_INK_THIN, SL_DASH_CHAIN);
  if (sheet->scene->ghost)
    stroke_trace (&t, t.ghost, SL_INK_GHOST, SL_DASH_GHOST);
  stroke_arc (&t, t.board, SL_INK_TEXT, SL_DASH_TRACE);
  if (!isnan (t.radius))
    stroke_arc (&t, t.radius, SL_INK_PLANNED, SL_DASH_NONE);
  draw_strings (&t);
  draw_names (&t);
  draw_board_lines (&t, part.y + part.height - sheet->row - 1);
}

/* ---- the sheet ---- */

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
  draw_saddle (&s, (SlRect){ right_x, stage.y + slots + GAP, right, stage.height - slots - GAP });
  sl_scene_place (scene);
}
