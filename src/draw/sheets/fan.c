/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is heard of a plucked string: a fan of lines that opens from the moment it was plucked, a line a partial, phase
 * against time. Phase counts from what is expected, so that a string in tune keeps the fan shut and level, one that is
 * sharp lifts it and one that is flat lowers it, the higher partials the more (model 15.2). Heights go with time: a
 * cent has its angle, whatever the string and however long it sounds. */
#include "draw/draw.h"

#include "draw/sheets/sheet.h"

#define LEAST_TIME_S 3.0   /* shown */
#define ATTACK_S 0.3       /* in which a partial has no phase yet */
#define FULL_TOLERANCES 6  /* that the fundamental may be off before it leaves at the right */
#define FIGURE_SHARE 0.175 /* of the height, that the figure's digits have: read from two metres */
#define FOOT_SHARE 0.26    /* of the height, for figure and words */
#define WORDS_SHARE 0.42   /* of the figure's size, that the words beside it have */
#define THICK_SHARE 0.024  /* of the height, the loudest line */
#define THINNEST 0.9
#define DB_A_DECADE 40.0 /* of thickness: the root of the amplitude, so that quiet partials are seen */
#define MARK_WIDTH 1.5   /* of the digits' height */
#define MARK_GAP 0.5
#define MARK_RISE 0.42
#define UNIT_GAP 0.33 /* between the figure and what stands beside it */
#define UNIT_RISE 0.58
#define BELOW_SHARE 0.33 /* for what hangs below the line */
#define DIGIT_SIZE 100.0 /* to measure digits at */
#define TIME_STEPS 4
#define TURN_STEPS 4
#define CENTS_PLACES 1

typedef struct
{
  SlScene scene;
  SlSheet sheet;
  const SlFanPicture *fan;
  SlRect plot;
  double time, turns; /* at the right edge, at the upper one */
} Fan;

static double
px (const Fan *f, double seconds)
{
  return f->plot.x + f->plot.width * seconds / f->time;
}

static double
py (const Fan *f, double turns)
{
  return f->plot.y + f->plot.height / 2 * (1 - turns / f->turns);
}

/* Turns that the fundamental gains in the time shown where it is off by @cents. */
static double
turns_of (const Fan *f, double cents)
{
  return f->fan->expected_hz * (exp2 (cents / 1200) - 1) * f->time;
}

/* ---- lines ---- */

static double
thickness (const Fan *f, double db)
{
  return MAX (THINNEST, THICK_SHARE * f->scene.options->height * pow (10, MIN (0, db) / DB_A_DECADE));
}

/* A partial that stands in the columns from @from up to @to, as thick as it is loud. */
static void
draw_run (Fan *f, int line, guint from, guint to, SlInk ink)
{
  const SlFanPicture *fan = f->fan;
  const float *turns = fan->turns[line], *level = fan->level[line];
  const guint n = 2 * (to - from);
  g_autofree SlPoint *points = g_new (SlPoint, n);

  for (guint i = from; i < to; i++)
    {
      const guint before = MAX (i, from + 1) - 1, after = MIN (i + 1, to - 1);
      const double x = px (f, i * fan->step_s), y = py (f, turns[i]),
                   dx = px (f, after * fan->step_s) - px (f, before * fan->step_s),
                   dy = py (f, turns[after]) - py (f, turns[before]),
                   half = thickness (f, level[i]) / 2 / MAX (1e-9, hypot (dx, dy));

      points[i - from] = (SlPoint){ x + half * dy, y - half * dx };
      points[n - 1 - (i - from)] = (SlPoint){ x - half * dy, y + half * dx };
    }
  if (from > 0 && from * fan->step_s <= ATTACK_S) /* so soon, it comes from the pluck */
    sl_stroke_line (&f->scene, ink, thickness (f, level[from]), SL_DASH_NONE, px (f, 0), py (f, 0),
                    px (f, from * fan->step_s), py (f, turns[from]));
  sl_polygon (f->scene.cr, (int) n, points);
  sl_fill (f->scene.cr, f->scene.palette, ink);
}

static void
draw_line (Fan *f, int line)
{
  const float *turns = f->fan->turns[line];

  for (guint from = 0, to; from < f->fan->n; from = to + 1)
    {
      for (to = from; to < f->fan->n && isfinite (turns[to]); to++)
        ;
      if (to > from)
        draw_run (f, line, from, to, line == 0 ? SL_INK_TEXT : SL_INK_PLANNED);
    }
}

/* Where the fundamental may run for the string to be in tune. */
static void
draw_tolerance (Fan *f)
{
  const double right = f->plot.x + f->plot.width, middle = py (f, 0),
               off = middle - py (f, turns_of (f, f->fan->tolerance));

  cairo_new_path (f->scene.cr);
  sl_polygon (f->scene.cr, 3, (SlPoint[]){ { f->plot.x, middle }, { right, middle - off }, { right, middle + off } });
  sl_fill (f->scene.cr, f->scene.palette, SL_INK_SWING);
  for (int side = -1; side <= 1; side += 2)
    sl_stroke_line (&f->scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_TRACE, f->plot.x, middle, right, middle + side * off);
}

static void
draw_lines (Fan *f)
{
  cairo_t *cr = f->scene.cr;

  cairo_save (cr);
  cairo_rectangle (cr, f->plot.x, f->plot.y, f->plot.width, f->plot.height);
  cairo_clip (cr);
  draw_tolerance (f);
  for (int line = f->fan->n_lines; line-- > 0;)
    draw_line (f, line);
  cairo_restore (cr);
  sl_circle (cr, f->plot.x, py (f, 0), thickness (f, 0) / 2 + 1);
  sl_fill (cr, f->scene.palette, SL_INK_TEXT);
}

/* ---- scales ---- */

static const char *
tolerance_text (const Fan *f)
{
  return sl_print (&f->scene, _ ("± %s cents"), sl_sheet_number (&f->sheet, f->fan->tolerance, CENTS_PLACES));
}

/* Lets the scales have their room. */
static void
place_plot (Fan *f)
{
  const double row = sl_scene_text_height (&f->scene), foot = FOOT_SHARE * f->scene.options->height,
               left = sl_sheet_width (&f->sheet, FALSE, TRUE, "−0.00") + SL_SPACE,
               right = sl_sheet_width (&f->sheet, FALSE, TRUE, tolerance_text (f)) + SL_SPACE;

  f->time = MAX (LEAST_TIME_S, f->fan->n * f->fan->step_s);
  f->turns = turns_of (f, FULL_TOLERANCES * f->fan->tolerance);
  f->plot = (SlRect){ SL_SPACE_WIDE + left, SL_SPACE_WIDE + row / 2,
                      MAX (10, f->scene.options->width - 2 * SL_SPACE_WIDE - left - right),
                      MAX (10, f->scene.options->height - 2 * SL_SPACE_WIDE - 2 * row - foot) };
}

/* A line across the plot, and a number by it. */
static void
draw_scale (Fan *f, double x0, double y0, double x1, double y1, const char *text, double x, double y, double align)
{
  sl_stroke_line (&f->scene, SL_INK_PANEL_EDGE, SL_LINE_THIN, SL_DASH_NONE, x0, y0, x1, y1);
  sl_scene_text (&f->scene, SL_INK_QUIET, FALSE, TRUE, text, x, y, align);
}

static void
draw_scales (Fan *f)
{
  const SlRect *p = &f->plot;
  const SlTextStyle style = sl_scene_style (&f->scene);
  const double right = p->x + p->width, bottom = p->y + p->height, seconds = sl_sheet_step (f->time, TIME_STEPS),
               step = sl_sheet_step (2 * f->turns, TURN_STEPS);
  const int most = (int) floor (f->turns / step + 1e-9), last = (int) floor (f->time / seconds + 1e-9);

  for (int i = -most; i <= most; i++)
    draw_scale (f, p->x, py (f, i * step), right, py (f, i * step),
                sl_kept (&f->scene, sl_text_plain (&style, i * step, i == 0 ? 0 : sl_sheet_places (step), TRUE)),
                p->x - SL_SPACE, py (f, i * step) - f->sheet.half, 1);
  for (int i = 1; i <= last; i++)
    draw_scale (f, px (f, i * seconds), p->y, px (f, i * seconds), bottom,
                sl_print (&f->scene, C_ ("seconds", "%s s"),
                          sl_sheet_number (&f->sheet, i * seconds, sl_sheet_places (seconds))),
                px (f, i * seconds), bottom + 3, 0.5);
  sl_scene_text (&f->scene, SL_INK_QUIET, FALSE, TRUE, tolerance_text (f), right + SL_SPACE, py (f, 0) - f->sheet.half,
                 0);
  sl_scene_text (&f->scene, SL_INK_QUIET, FALSE, TRUE, _ ("beats since the pluck"), p->x, bottom + 3, 0);
}

/* ---- the figure ---- */

/* Shows a text with its ink's left edge at @x, its baseline at @y, and enters it among the texts; @y NAN: does not. The
 * width of its ink. */
static double
show (Fan *f, SlInk ink, gboolean bold, double size, const char *text, double x, double y)
{
  const SlText line = sl_text (text, size, bold);
  PangoRectangle is;
  SlPictureLabel label;

  pango_layout_get_extents (line.layout, &is, NULL);
  label.rect = (SlRect){ x, y - line.baseline + (double) is.y / PANGO_SCALE, (double) is.width / PANGO_SCALE,
                         (double) is.height / PANGO_SCALE };
  if (isnan (y) || *text == '\0')
    return label.rect.width;
  g_strlcpy (label.text, text, sizeof label.text);
  sl_set_ink (f->scene.cr, f->scene.palette, ink);
  sl_text_show (f->scene.cr, &line, x - (double) is.x / PANGO_SCALE, y - line.baseline);
  g_array_append_val (f->scene.texts, label.rect);
  if (f->scene.map != NULL)
    g_array_append_val (f->scene.map->labels, label);
  return label.rect.width;
}

/* A line between the tolerance's two: level, rising or falling, as the fan does. */
static void
draw_mark (Fan *f, double x, double base, double high, int way)
{
  const double width = MARK_WIDTH * high, middle = base - high / 2, rise = way * MARK_RISE * high;

  for (int side = -1; side <= 1; side += 2)
    sl_stroke_line (&f->scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_NONE, x, middle + side * high / 4, x + width,
                    middle + side * high / 4);
  sl_stroke_line (&f->scene, SL_INK_TEXT, high / 6, SL_DASH_NONE, x, middle + rise, x + width, middle - rise);
}

/* Before there is a figure, what is to be done. */
static void
draw_figure (Fan *f)
{
  const SlFanPicture *fan = f->fan;
  const gboolean heard = isfinite (fan->cents);
  const int way = !heard || fabs (fan->cents) <= fan->tolerance ? 0 : fan->cents > 0 ? 1 : -1;
  const char *const words[] = { C_ ("pitch", "flat"), C_ ("pitch", "in tune"), C_ ("pitch", "sharp") },
                    *word = heard ? words[way + 1] : "";
  const SlTextStyle style = sl_scene_style (&f->scene);
  g_autofree char *range = NULL,
                  *figure = heard ? sl_text_heard (&style, fan->cents, fan->range, &range)
                                  : g_strdup (C_ ("to be done now", "pluck")),
                  *unit = !heard          ? g_strdup ("")
                          : range != NULL ? g_strdup_printf (_ ("± %s cents"), range)
                                          : g_strdup (_ ("cents"));
  const double room = f->scene.options->width - 2 * SL_SPACE_WIDE, bottom = f->scene.options->height - SL_SPACE_WIDE;
  const SlText digit = sl_text ("0", DIGIT_SIZE, TRUE);
  PangoRectangle ink;
  double high = FIGURE_SHARE * f->scene.options->height, size, small, wide = 0, x, base;

  pango_layout_get_extents (digit.layout, &ink, NULL);
  for (int i = 0; i < 2; i++) /* smaller where it is too wide */
    {
      high *= wide > room ? room / wide : 1;
      size = DIGIT_SIZE * high * PANGO_SCALE / ink.height;
      small = WORDS_SHARE * size;
      wide = show (f, SL_INK_TEXT, TRUE, size, figure, 0, NAN) +
             MAX (show (f, SL_INK_TEXT, FALSE, small, unit, 0, NAN), show (f, SL_INK_TEXT, TRUE, small, word, 0, NAN)) +
             (heard ? (MARK_WIDTH + MARK_GAP + UNIT_GAP) * high : 0);
    }
  base = bottom - BELOW_SHARE * high;
  x = SL_SPACE_WIDE + (room - wide) / 2;
  if (heard)
    {
      draw_mark (f, x, base, high, way);
      x += (MARK_WIDTH + MARK_GAP) * high;
    }
  x += show (f, heard ? SL_INK_TEXT : SL_INK_QUIET, TRUE, size, figure, x, base) + UNIT_GAP * high;
  show (f, SL_INK_QUIET, FALSE, small, unit, x, base - UNIT_RISE * high);
  show (f, SL_INK_TEXT, TRUE, small, word, x, base);
}

void
sl_fan_draw (cairo_t *cr, const SlFanPicture *fan, const SlPictureOptions *options, SlPictureMap *map)
{
  Fan f = { .fan = fan };

  sl_scene_init (&f.scene, cr, NULL, options, map, (SlRect){ 0, 0, options->width, options->height });
  sl_sheet_init (&f.sheet, &f.scene);
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_rectangle (cr, 0, 0, options->width, options->height);
  sl_fill (cr, f.scene.palette, SL_INK_PAPER);
  if (isfinite (fan->expected_hz)) /* else nothing is asked */
    {
      place_plot (&f);
      draw_figure (&f);
      draw_scales (&f);
      draw_lines (&f);
    }
  cairo_restore (cr);
  sl_scene_clear (&f.scene);
}
