/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The saddle's top across the bridge, looking toward the nut: crests as planned and as measured, the circle fitted
 * through them against the board's, and the board line (model 10.2). */
#include "draw/sheets/strings-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/nut.h"

#define BEYOND_MM 4.0 /* of the saddle past the outer strings: common practice */
#define MOST_FACTOR 12.0
#define WOOD_LEAST 20.0 /* units of bridge shown under its top */
#define STEPS 48
#define STRING_LEAST_UNITS 2.5

typedef struct
{
  const SlStrings *s;
  SlRect part;
  double y[SL_MAX_STRINGS]; /* places across */
  double crest[SL_MAX_STRINGS], ghost[SL_MAX_STRINGS], top[SL_MAX_STRINGS],
      line[SL_MAX_STRINGS];          /* heights: crest as planned, as measured, bridge top, crown line */
  double radius, rms, board;         /* fitted; the board's at the saddle */
  double middle, across, up, origin; /* units per mm */
} Top;

static double
px (const Top *t, double y_mm)
{
  return t->middle + y_mm * t->across;
}

static double
pz (const Top *t, double z_mm)
{
  return t->origin - z_mm * t->up;
}

static void
heights (Top *t)
{
  const SlSheet *sheet = &t->s->sheet;
  const SlState *before = sheet->scene->before_state, *after = sheet->scene->after_state;
  double a, edge = sheet->in->spread / 2;

  sl_saddle_top (sheet->in, after, t->y, t->crest);
  for (int i = 0; i < sheet->in->n_strings; i++)
    {
      /* the bridge stays at rest: what the plan takes off the exposure is what the crest came down over it */
      t->ghost[i] = t->crest[i] + before->exposure[i] - after->exposure[i];
      t->top[i] = t->crest[i] - after->exposure[i];
      t->line[i] = t->crest[i] - sl_state_crest_height (after, i + 1);
    }
  t->radius = sl_fit_radius (t->y, t->crest, sheet->in->n_strings, &t->rms);
  a = sl_board_arc (sheet->in, sheet->in->scale, edge);
  t->board = a < 0 ? -(a * a + edge * edge) / (2 * a) : INFINITY;
}

static void
scale_to (Top *t, double top, double bottom)
{
  const SlSheet *sheet = &t->s->sheet;
  double least = INFINITY, most = -INFINITY, factor;

  for (int i = 0; i < sheet->in->n_strings; i++)
    {
      most = fmax (most, fmax (t->crest[i], t->ghost[i]));
      least = fmin (least, fmin (t->crest[i], t->line[i]));
      least = fmin (least, t->top[i]);
    }
  t->across = t->part.width / (sheet->in->spread + 2 * BEYOND_MM);
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
  const int n = t->s->sheet.in->n_strings;
  int i = 0;

  if (n < 2 || t->y[0] <= t->y[n - 1])
    return z[0];
  while (i < n - 2 && y < t->y[i + 1])
    i++;
  return z[i] + (z[i + 1] - z[i]) * (y - t->y[i]) / (t->y[i + 1] - t->y[i]);
}

static void
trace (const Top *t, const double *z)
{
  const int n = t->s->sheet.in->n_strings;
  double edge = t->s->sheet.in->spread / 2 + BEYOND_MM;

  cairo_move_to (t->s->sheet.scene->cr, px (t, edge), pz (t, height_at (t, z, edge)));
  for (int i = 0; i < n && n > 1; i++)
    cairo_line_to (t->s->sheet.scene->cr, px (t, t->y[i]), pz (t, z[i]));
  cairo_line_to (t->s->sheet.scene->cr, px (t, -edge), pz (t, height_at (t, z, -edge)));
}

/* The arc of a radius through the crests as closely as possible: height and tilt by least squares. */
static void
stroke_arc (const Top *t, double radius, SlInk ink, SlDash dash)
{
  const int n = t->s->sheet.in->n_strings;
  cairo_t *cr = t->s->sheet.scene->cr;
  double edge = t->s->sheet.in->spread / 2 + BEYOND_MM, sy = 0, syy = 0, sz = 0, syz = 0;

  if (!(fabs (radius) > edge))
    return;
#define DROP(y) (isinf (radius) ? 0 : radius - copysign (sqrt (radius * radius - (y) * (y)), radius))
  for (int i = 0; i < n; i++)
    {
      double z = t->crest[i] + DROP (t->y[i]);

      sy += t->y[i] / n;
      syy += t->y[i] * t->y[i] / n;
      sz += z / n;
      syz += t->y[i] * z / n;
    }
  double spread = syy - sy * sy, tilt = spread > 1e-9 ? (syz - sy * sz) / spread : 0;

  cairo_new_path (cr);
  for (int k = 0; k <= STEPS; k++)
    {
      double y = edge - 2 * edge * k / STEPS;

      cairo_line_to (cr, px (t, y), pz (t, sz + tilt * (y - sy) - DROP (y)));
    }
#undef DROP
  sl_set_dash (cr, dash);
  sl_stroke (cr, t->s->sheet.scene->palette, ink, dash == SL_DASH_NONE ? SL_LINE_THICK : SL_LINE_OUTLINE);
  sl_set_dash (cr, SL_DASH_NONE);
}

static void
stroke_trace (const Top *t, const double *z, SlInk ink, double width, SlDash dash)
{
  cairo_t *cr = t->s->sheet.scene->cr;

  cairo_new_path (cr);
  trace (t, z);
  sl_set_dash (cr, dash);
  sl_stroke (cr, t->s->sheet.scene->palette, ink, width);
  sl_set_dash (cr, SL_DASH_NONE);
}

static void
fill_wood (const Top *t, double bottom)
{
  SlScene *scene = t->s->sheet.scene;
  double edge = t->s->sheet.in->spread / 2 + BEYOND_MM;

  cairo_new_path (scene->cr);
  trace (t, t->top);
  cairo_line_to (scene->cr, px (t, -edge), bottom);
  cairo_line_to (scene->cr, px (t, edge), bottom);
  cairo_close_path (scene->cr);
  sl_set_ink (scene->cr, scene->palette, SL_INK_BRIDGE);
  cairo_fill (scene->cr);
}

static void
fill_bone (const Top *t)
{
  SlScene *scene = t->s->sheet.scene;
  const int n = t->s->sheet.in->n_strings;
  double edge = t->s->sheet.in->spread / 2 + BEYOND_MM;

  cairo_new_path (scene->cr);
  trace (t, t->crest);
  cairo_line_to (scene->cr, px (t, -edge), pz (t, height_at (t, t->top, -edge)));
  for (int i = n - 1; i >= 0 && n > 1; i--)
    cairo_line_to (scene->cr, px (t, t->y[i]), pz (t, t->top[i]));
  cairo_line_to (scene->cr, px (t, edge), pz (t, height_at (t, t->top, edge)));
  cairo_close_path (scene->cr);
  sl_fill_and_stroke (scene->cr, scene->palette, SL_INK_BODY, SL_INK_OUTLINE, SL_LINE_THIN);
}

static void
draw_strings (const Top *t)
{
  SlScene *scene = t->s->sheet.scene;

  for (int i = 0; i < t->s->sheet.in->n_strings; i++)
    {
      double r = MAX (STRING_LEAST_UNITS, t->s->sheet.in->strings[i].outside_mm * t->across / 2);

      cairo_new_sub_path (scene->cr);
      cairo_arc (scene->cr, px (t, t->y[i]), pz (t, t->crest[i]) - r, r, 0, 2 * G_PI);
      sl_set_ink (scene->cr, scene->palette, SL_INK_PLANNED);
      cairo_fill (scene->cr);
    }
}

/* What the lines are, as text. */
static char *
describe (const Top *t)
{
  const SlSheet *sheet = &t->s->sheet;
  const SlTextStyle style = sl_scene_style (sheet->scene);
  g_autofree char *fitted = sl_text_radius (&style, t->radius), *board = sl_text_radius (&style, t->board),
                  *saddle = sl_text_radius (&style, sheet->in->saddle_radius);
  g_autofree char *left = sl_say (sheet->scene, SL_SAY_LENGTH, t->rms);
  GString *text = g_string_new (NULL);

  if (isfinite (t->rms))
    g_string_append_printf (text, _ ("Saddle top fits a radius: %s (off it by %s). "), fitted, left);
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
  const SlSheet *sheet = &t->s->sheet;

  for (int i = 0; i < sheet->in->n_strings; i++)
    {
      double y = pz (t, fmax (t->crest[i], t->ghost[i])) - sheet->row - 2 * STRING_LEAST_UNITS - 2;

      sl_sheet_name (sheet, i + 1, TRUE, px (t, t->y[i]), y + sheet->half, 0.5);
    }
}

static void
draw_board_lines (const Top *t, double y)
{
  const SlSheet *sheet = &t->s->sheet;

  for (int i = sheet->in->n_strings - 1; i >= 0; i--)
    {
      g_autofree char *text = sl_sheet_length (sheet, t->line[i] - t->top[i]);
      g_autofree char *marked = g_strconcat (sheet->scene->before_state->exposure_read ? "" : "≈ ", text, NULL);

      if (isfinite (t->line[i] - t->top[i]))
        sl_sheet_text (sheet, SL_INK_ON_WOOD, FALSE, TRUE, marked, px (t, t->y[i]), y, 0.5);
    }
}

void
sl_strings_draw_saddle (const SlStrings *s, SlRect part)
{
  const SlSheet *sheet = &s->sheet;
  Top t = { .s = s, .part = part };
  double top = part.y + sheet->row + 6, bottom = part.y + part.height, words;
  g_autofree char *text = NULL, *factor = NULL, *remark = NULL;

  heights (&t);
  text = describe (&t);
  words = sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE, text, part.x, top, part.width, 3);
  top += words + sheet->row + 8;
  bottom -= MAX (WOOD_LEAST, sheet->row + 12);
  if (bottom - top < 20)
    return;
  scale_to (&t, top, bottom);
  factor = sl_sheet_number (sheet, t.up / t.across, 1);
  remark = g_strdup_printf (_ ("toward the nut, bass left, heights × %s"), factor);
  sl_sheet_heading (sheet, part, _ ("Saddle top"), remark);
  fill_wood (&t, part.y + part.height);
  fill_bone (&t);
  stroke_trace (&t, t.line, t.line[0] < t.top[0] ? SL_INK_ON_WOOD : SL_INK_THIN, SL_LINE_OUTLINE, SL_DASH_CHAIN);
  if (sheet->scene->ghost)
    stroke_trace (&t, t.ghost, SL_INK_GHOST, SL_LINE_OUTLINE, SL_DASH_GHOST);
  stroke_arc (&t, t.board, SL_INK_TEXT, SL_DASH_TRACE);
  if (!isnan (t.radius))
    stroke_arc (&t, t.radius, SL_INK_PLANNED, SL_DASH_NONE);
  draw_strings (&t);
  draw_names (&t);
  draw_board_lines (&t, part.y + part.height - sheet->row - 1);
}
