/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/draw.h"

#include "draw/sheets/sheet.h"
#include "words/dates.h"

#define GAP SL_SPACE_PART /* between charts, and round them */
/* For texts of usual size: */
#define HEAD 20.0
#define FOOT 20.0
#define SIDE 34.0         /* for the figures at the left */
#define MARK 3.2          /* half a mark's size */
#define CAP 3.0           /* half the width of an error bar's ends */
#define LEAST_SPAN_MM 0.2 /* a chart never magnifies less than this to its full height */
#define LEAST_SPAN_PERCENT 2.0
#define MARGIN_SHARE 0.12 /* of the span, free above and below */
#define STEPS 24          /* of a band's edge */
#define MOST_TICKS 4
#define ASPECT 1.5       /* of a chart's frame, width to height: our own choice, by looking */
#define LEAST_WIDTH 60.0 /* of a frame: less and its figures run into each other */
#define LEAST_HEIGHT 38.0
#define DAYS_TOLD 120 /* a history shorter than this is told by days, a longer one by months: our own choice */

/* One chart: its frame, and what its edges stand for. */
typedef struct
{
  SlScene *scene;
  gboolean moisture;
  const GArray *history;
  SlHistoryKind kind;
  SlRect frame;
  double x0, x1, y0, y1;
  SlLengths lengths; /* what lengths are written in */
} Chart;

static double
place_x (const Chart *c, double x)
{
  return c->frame.x + (x - c->x0) / (c->x1 - c->x0) * c->frame.width;
}

static double
place_y (const Chart *c, double y)
{
  return c->frame.y + c->frame.height - (y - c->y0) / (c->y1 - c->y0) * c->frame.height;
}

static gboolean
show (const Chart *c, const char *words, double x, double y, double align, SlInk ink, gboolean bold)
{
  SlText text = sl_text (words, SL_TEXT_SIZE_SMALL * c->scene->options->text_scale, bold);

  return sl_scene_text (c->scene, ink, bold, TRUE, words, x, y - text.height / 2, align);
}

/* ---- what is shown ---- */

static const SlHistoryPoint *
point_at (const Chart *c, guint i)
{
  return &g_array_index (c->history, SlHistoryPoint, i);
}

/* NULL where there is none to show: what was only assumed is no part of a history. */
static const SlFigure *
figure_at (const Chart *c, guint i, gboolean bass)
{
  const SlFigure *figure = sl_history_figure (point_at (c, i), c->kind, bass ? point_at (c, i)->n_strings : 1);

  return isfinite (figure->value) && figure->basis != SL_BASIS_ASSUMED ? figure : NULL;
}

static double
expanded (const SlFigure *figure)
{
  return isfinite (figure->u) ? SL_COVERAGE * figure->u : 0;
}

/* NAN where the moisture content is not known. */
static double
x_of (const Chart *c, guint i)
{
  return place_x (c, c->moisture ? point_at (c, i)->moisture.value : (double) point_at (c, i)->time);
}

/* Sets the chart's height to what is to be shown in it. FALSE where there is nothing. */
static gboolean
fit_values (Chart *c)
{
  double low = INFINITY, high = -INFINITY, middle, span;

  for (guint i = 0; i < c->history->len; i++)
    for (int bass = 0; bass <= 1; bass++)
      {
        const SlFigure *figure = figure_at (c, i, bass);

        low = figure != NULL ? MIN (low, figure->value - expanded (figure)) : low;
        high = figure != NULL ? MAX (high, figure->value + expanded (figure)) : high;
      }
  middle = (low + high) / 2;
  span = MAX (high - low, c->kind == SL_HISTORY_MOISTURE ? LEAST_SPAN_PERCENT : LEAST_SPAN_MM) * (1 + 2 * MARGIN_SHARE);
  c->y0 = middle - span / 2;
  c->y1 = middle + span / 2;
  return low <= high;
}

static void
fit_time (Chart *c)
{
  double first = (double) point_at (c, 0)->time, last = (double) point_at (c, c->history->len - 1)->time,
         span = MAX (last - first, 7 * 24 * 3600.0);

  c->x0 = first - MARGIN_SHARE * span;
  c->x1 = first + span * (1 + MARGIN_SHARE);
}

/* FALSE where it was never read. */
static gboolean
fit_moisture (Chart *c)
{
  double low = INFINITY, high = -INFINITY, middle, span;

  for (guint i = 0; i < c->history->len; i++)
    {
      low = fmin (low, point_at (c, i)->moisture.value);
      high = fmax (high, point_at (c, i)->moisture.value);
    }
  span = MAX (high - low, LEAST_SPAN_PERCENT);
  middle = (low + high) / 2;
  c->x0 = middle - span * (0.5 + MARGIN_SHARE);
  c->x1 = middle + span * (0.5 + MARGIN_SHARE);
  return low <= high;
}

/* ---- frame ---- */

static char *
value_text (const Chart *c, double value)
{
  if (c->kind == SL_HISTORY_MOISTURE)
    return sl_plain_format (value, 0, c->scene->options->decimal);
  return sl_length_format (value, c->lengths, 2, c->scene->options->decimal, FALSE);
}

/* Round in what is written: inches are not marked at round millimetres. */
static double
value_step (const Chart *c)
{
  static const struct
  {
    double unit, least;
  } lengths[] = { [SL_LENGTHS_MM] = { 1, 0.01 },
                  [SL_LENGTHS_INCH] = { SL_MM_PER_INCH, 0.001 },
                  [SL_LENGTHS_64THS] = { SL_MM_PER_INCH / 64, 1 } };
  const double span = c->y1 - c->y0, unit = lengths[c->lengths].unit;

  if (c->kind == SL_HISTORY_MOISTURE)
    return MAX (1, sl_sheet_step (span, MOST_TICKS));
  return MAX (lengths[c->lengths].least, sl_sheet_step (span / unit, MOST_TICKS)) * unit;
}

static void
draw_frame (const Chart *c)
{
  double step = value_step (c);

  for (double y = ceil (c->y0 / step) * step; y <= c->y1; y += step)
    {
      double at = place_y (c, y);
      g_autofree char *words = value_text (c, fabs (y) < step / 2 ? 0 : y);

      sl_stroke_line (c->scene, SL_INK_PANEL_EDGE, SL_LINE_THIN, SL_DASH_NONE, c->frame.x, at,
                      c->frame.x + c->frame.width, at);
      show (c, words, c->frame.x - 5, at, 1, SL_INK_QUIET, FALSE);
    }
  cairo_move_to (c->scene->cr, c->frame.x, c->frame.y);
  cairo_line_to (c->scene->cr, c->frame.x, c->frame.y + c->frame.height);
  cairo_line_to (c->scene->cr, c->frame.x + c->frame.width, c->frame.y + c->frame.height);
  sl_stroke (c->scene->cr, c->scene->palette, SL_INK_THIN, SL_LINE_THIN);
}

/* A mark on the lower edge and, where there is room, what it stands for. */
static void
draw_tick (const Chart *c, double x, const char *words)
{
  const double foot = c->frame.y + c->frame.height;

  sl_stroke_line (c->scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_NONE, x, foot, x, foot + CAP);
  show (c, words, x, foot + FOOT / 2 * c->scene->options->text_scale, 0.5, SL_INK_QUIET, FALSE);
}

static void
draw_moisture_scale (const Chart *c)
{
  double step = sl_sheet_step (c->x1 - c->x0, MOST_TICKS);

  for (double x = ceil (c->x0 / step) * step; x <= c->x1; x += step)
    {
      g_autofree char *words = sl_plain_format (x, step < 1 ? 1 : 0, c->scene->options->decimal);
      g_autofree char *percent = g_strdup_printf ("%s\u00a0%%", words);

      draw_tick (c, place_x (c, x), percent);
    }
}

/* When the first and the last were read and, where there is room, those between. */
static void
draw_dates (const Chart *c)
{
  const guint n = c->history->len;
  const gboolean days = point_at (c, n - 1)->time - point_at (c, 0)->time < DAYS_TOLD * 24 * 3600;

  for (guint k = 0; k < n; k++)
    {
      const guint i = k == 1 ? n - 1 : k > 1 ? k - 1 : 0;
      const char *taken = point_at (c, i)->set->taken;
      g_autofree char *date = days ? sl_date_short (taken) : sl_date_month (taken);

      draw_tick (c, x_of (c, i), date);
    }
}

/* ---- points ---- */

static SlInk
mark_ink (gboolean bass)
{
  return bass ? SL_INK_TEXT : SL_INK_PLANNED;
}

/* Treble: a filled disc. Bass: an open square. */
static void
draw_mark (const Chart *c, double x, double y, gboolean bass, SlInk ink)
{
  if (bass)
    {
      cairo_rectangle (c->scene->cr, x - MARK, y - MARK, 2 * MARK, 2 * MARK);
      sl_fill_and_stroke (c->scene->cr, c->scene->palette, SL_INK_PAPER, ink, SL_LINE_THICK);
      return;
    }
  sl_circle (c->scene->cr, x, y, MARK);
  sl_fill (c->scene->cr, c->scene->palette, ink);
}

static void
draw_bar (const Chart *c, double x, const SlFigure *figure, gboolean bass)
{
  double top = place_y (c, figure->value + expanded (figure)), bottom = place_y (c, figure->value - expanded (figure));

  if (bottom - top < 2 * MARK)
    return;
  sl_stroke_line (c->scene, mark_ink (bass), SL_LINE_THIN, SL_DASH_NONE, x, top, x, bottom);
  sl_stroke_line (c->scene, mark_ink (bass), SL_LINE_THIN, SL_DASH_NONE, x - CAP, top, x + CAP, top);
  sl_stroke_line (c->scene, mark_ink (bass), SL_LINE_THIN, SL_DASH_NONE, x - CAP, bottom, x + CAP, bottom);
}

/* "9 Feb 2026, bass: 2.40 ±0.06 mm" */
static void
say_point (const Chart *c, guint i, const SlFigure *figure, gboolean bass)
{
  const SlTextStyle style = { c->lengths, c->scene->options->decimal };
  const gboolean percent = c->kind == SL_HISTORY_MOISTURE;
  g_autofree char *date = sl_date_short (point_at (c, i)->set->taken),
                  *value = percent ? sl_plain_format (figure->value, 1, style.decimal)
                                   : sl_text_fine (&style, figure->value),
                  *uncertain = percent ? g_strdup ("") : sl_text_uncertainty (&style, figure->u),
                  *text = g_strdup_printf ("%s, %s: %s %s %s", date, bass ? _ ("bass") : _ ("treble"), value, uncertain,
                                           percent ? "%" : sl_text_unit (&style));

  sl_scene_mark (c->scene, x_of (c, i), place_y (c, figure->value), text);
}

static void
draw_point (const Chart *c, guint i, gboolean bass)
{
  const SlFigure *figure = figure_at (c, i, bass);
  /* what was read before the last work is behind the slope, but not on the line as it lies now */
  const gboolean past =
      c->moisture && point_at (c, i)->work[c->kind] != point_at (c, c->history->len - 1)->work[c->kind];

  if (figure == NULL || !isfinite (x_of (c, i)))
    return;
  if (!past)
    draw_bar (c, x_of (c, i), figure, bass);
  draw_mark (c, x_of (c, i), place_y (c, figure->value), bass, past ? SL_INK_GHOST : mark_ink (bass));
  say_point (c, i, figure, bass);
}

/* ---- over time ---- */

static void
draw_series (const Chart *c, gboolean bass)
{
  gboolean joined = FALSE;
  guint work = 0;

  cairo_new_path (c->scene->cr);
  for (guint i = 0; i < c->history->len; i++)
    {
      const SlFigure *figure = figure_at (c, i, bass);

      if (figure == NULL)
        continue;
      if (joined && point_at (c, i)->work[c->kind] != work) /* work was done between: that step is no season's */
        cairo_set_dash (c->scene->cr, (double[]){ 2, 3 }, 2, 0);
      else
        cairo_set_dash (c->scene->cr, NULL, 0, 0);
      if (joined)
        {
          cairo_line_to (c->scene->cr, x_of (c, i), place_y (c, figure->value));
          sl_stroke (c->scene->cr, c->scene->palette, mark_ink (bass), SL_LINE_THIN);
        }
      cairo_move_to (c->scene->cr, x_of (c, i), place_y (c, figure->value));
      joined = TRUE;
      work = point_at (c, i)->work[c->kind];
    }
  cairo_new_path (c->scene->cr);
  cairo_set_dash (c->scene->cr, NULL, 0, 0);
  for (guint i = 0; i < c->history->len; i++)
    draw_point (c, i, bass);
}

/* ---- against moisture content ---- */

/* Makes room for a line and its band, too. */
static void
include_line (Chart *c, const SlTrend *trend)
{
  const double ends[] = { trend->least_x, trend->most_x };

  for (gsize i = 0; i < G_N_ELEMENTS (ends); i++)
    {
      double u, y = sl_trend_at (trend, ends[i], &u);

      c->y0 = MIN (c->y0, y - trend->coverage * u);
      c->y1 = MAX (c->y1, y + trend->coverage * u);
    }
}

static void
draw_line (const Chart *c, const SlTrend *trend, gboolean bass)
{
  cairo_new_path (c->scene->cr);
  for (int side = 1; side >= -1; side -= 2)
    for (int i = 0; i <= STEPS; i++)
      {
        int step = side > 0 ? i : STEPS - i;
        double x = trend->least_x + step * (trend->most_x - trend->least_x) / STEPS, u, y = sl_trend_at (trend, x, &u);

        cairo_line_to (c->scene->cr, place_x (c, x), place_y (c, y + side * trend->coverage * u));
      }
  cairo_close_path (c->scene->cr);
  sl_fill (c->scene->cr, c->scene->palette, SL_INK_SWING);
  sl_stroke_line (c->scene, mark_ink (bass), SL_LINE_THICK, SL_DASH_NONE, place_x (c, trend->least_x),
                  place_y (c, sl_trend_at (trend, trend->least_x, NULL)), place_x (c, trend->most_x),
                  place_y (c, sl_trend_at (trend, trend->most_x, NULL)));
}

static void
draw_trends (const Chart *c, const SlTrend *trends, const gboolean *found)
{
  cairo_save (c->scene->cr);
  cairo_rectangle (c->scene->cr, c->frame.x, c->frame.y, c->frame.width, c->frame.height);
  cairo_clip (c->scene->cr);
  for (int bass = 0; bass <= 1; bass++)
    if (found[bass])
      draw_line (c, &trends[bass], bass);
  cairo_restore (c->scene->cr);
  for (guint i = 0; i < c->history->len; i++)
    for (int bass = 0; bass <= 1; bass++)
      draw_point (c, i, bass);
}

/* ---- charts ---- */

/* "Relief, mm" */
static char *
title_of (const SlPictureOptions *options, SlHistoryKind kind)
{
  static const char *const titles[] = {
    NC_ ("chart title", "Action at 12"), NC_ ("chart title", "Relief"),   NC_ ("chart title", "Height at fret 1"),
    NC_ ("chart title", "Exposure"),     NC_ ("chart title", "Moisture"),
  };

  G_STATIC_ASSERT (G_N_ELEMENTS (titles) == SL_N_HISTORIES);
  const SlTextStyle style = { options->lengths, options->decimal };

  return g_strdup_printf ("%s, %s", g_dpgettext2 (GETTEXT_PACKAGE, "chart title", titles[kind]),
                          kind == SL_HISTORY_MOISTURE ? "%" : sl_text_unit (&style));
}

static void
draw_chart (Chart *c)
{
  /* for relief and first gap a 64th is too coarse */
  const gboolean fine = c->kind == SL_HISTORY_RELIEF || c->kind == SL_HISTORY_FIRST_GAP;
  g_autofree char *title = title_of (c->scene->options, c->kind);
  SlTrend trends[2];
  gboolean found[2];

  show (c, title, c->frame.x, c->frame.y - HEAD / 2 * c->scene->options->text_scale, 0, SL_INK_TEXT, TRUE);
  if (!fit_values (c) || (c->moisture && !fit_moisture (c)))
    {
      show (c, c->moisture ? _ ("not read with temperature and humidity") : _ ("not read"),
            c->frame.x + c->frame.width / 2, c->frame.y + c->frame.height / 2, 0.5, SL_INK_QUIET, FALSE);
      return;
    }
  c->lengths = fine && c->scene->options->lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : c->scene->options->lengths;
  if (!c->moisture)
    {
      fit_time (c);
      draw_dates (c);
      draw_frame (c);
      for (int bass = 0; bass <= (c->kind != SL_HISTORY_MOISTURE); bass++)
        draw_series (c, bass);
      return;
    }
  for (int bass = 0; bass <= 1; bass++)
    {
      found[bass] = sl_history_trend (c->history, c->kind, bass ? point_at (c, 0)->n_strings : 1, &trends[bass]) ==
                    SL_TREND_FOUND;
      if (found[bass])
        include_line (c, &trends[bass]);
    }
  draw_frame (c);
  draw_moisture_scale (c);
  draw_trends (c, trends, found);
}

/* The @i-th of @n charts in rows of @columns, above a line for the key. */
static SlRect
frame_in (const SlPictureOptions *options, int i, int n, int columns)
{
  int rows = (n + columns - 1) / columns;
  const double side = SIDE * options->text_scale, head = HEAD * options->text_scale, foot = FOOT * options->text_scale;
  double width = (options->width - GAP) / columns, height = (options->height - GAP - head) / rows;

  return (SlRect){ GAP / 2 + i % columns * width + side, GAP / 2 + i / columns * height + head, width - side - GAP,
                   height - head - foot };
}

/* In how many columns the charts have the best shape; 0 where there is no room for so many. */
static int
best_columns (const SlPictureOptions *options, int n)
{
  double best = INFINITY, least = LEAST_WIDTH;
  int columns = 0;

  for (int i = 0; i < n; i++) /* no title runs into the next one */
    {
      g_autofree char *title = title_of (options, (SlHistoryKind) i);

      least = MAX (least, sl_text (title, SL_TEXT_SIZE_SMALL * options->text_scale, TRUE).width -
                              (SIDE - SL_SPACE) * options->text_scale);
    }
  for (int rows = 1; rows <= n; rows++)
    {
      const int k = (n + rows - 1) / rows; /* no more than the rows need, so that the last one is not left near empty */
      const SlRect frame = frame_in (options, 0, n, k);
      double off = fabs (log (frame.width / frame.height / ASPECT));

      if (frame.width < least || frame.height < LEAST_HEIGHT || off >= best)
        continue;
      best = off;
      columns = k;
    }
  return columns;
}

/* What a mark stands for; returns where the next begins. */
static double
draw_key (const Chart *c, double x, double y, gboolean bass, const char *words)
{
  draw_mark (c, x, y, bass, mark_ink (bass));
  show (c, words, x + 3 * MARK, y, 0, SL_INK_QUIET, FALSE);
  return x + 3 * MARK + sl_text (words, SL_TEXT_SIZE_SMALL * c->scene->options->text_scale, FALSE).width + GAP;
}

static void
draw_charts (Chart *c)
{
  const SlPictureOptions *o = c->scene->options;
  /* against moisture content those that move with it most, which come first */
  int n = c->moisture ? SL_HISTORY_RELIEF + 1 : SL_N_HISTORIES, columns;
  const double y = o->height - GAP / 2 - HEAD / 4 * o->text_scale;
  const char *notes[] = { c->moisture ? _ ("across: moisture of the wood · pale: before work")
                                      : _ ("dotted: work between"),
                          c->moisture ? _ ("pale: before work") : "" };
  double x = draw_key (c, GAP, y, FALSE, _ ("treble"));

  draw_key (c, x, y, TRUE, _ ("bass"));
  if (!show (c, notes[0], o->width - GAP, y, 1, SL_INK_QUIET, FALSE))
    show (c, notes[1], o->width - GAP, y, 1, SL_INK_QUIET, FALSE);
  while ((columns = best_columns (o, n)) == 0 && n > 1) /* those that count most come first */
    n--;
  for (int i = 0; i < n; i++)
    {
      c->kind = (SlHistoryKind) i;
      c->frame = frame_in (o, i, n, MAX (1, columns));
      if (c->frame.width > 1 && c->frame.height > 1)
        draw_chart (c);
    }
}

void
sl_history_draw (cairo_t *cr, const GArray *history, const SlPictureOptions *options, gboolean moisture,
                 SlPictureMap *map)
{
  SlScene scene;
  Chart c = { .scene = &scene, .moisture = moisture, .history = history };

  sl_scene_init (&scene, cr, NULL, options, map, (SlRect){ 0, 0, options->width, options->height });
  if (map != NULL)
    sl_picture_map_empty (map);
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_rectangle (cr, 0, 0, options->width, options->height);
  sl_fill (cr, scene.palette, SL_INK_PAPER);
  if (history->len > 0 && options->width >= 1 && options->height >= 1)
    draw_charts (&c);
  cairo_restore (cr);
  sl_scene_clear (&scene);
}
