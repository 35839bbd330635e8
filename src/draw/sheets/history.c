/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/sheets/history.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "draw/sheets/sheet.h"
#include "words/dates.h"

#define GAP 16.0 /* between charts, and round them */
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
#define ASPECT 1.5        /* of a chart's frame, width to height: our own choice, by looking */
#define LEAST_HEIGHT 44.0 /* of a frame: less and its figures run into each other */
#define PARTS_PER_INCH 64.0

/* One chart: its frame, and what its edges stand for. */
typedef struct
{
  cairo_t *cr;
  const SlColour *palette;
  const SlChartOptions *options;
  SlRect frame;
  double x0, x1, y0, y1;
  gboolean percent;  /* values are %, not lengths */
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

static void
show (const Chart *c, const char *words, double x, double y, double align, SlInk ink, gboolean bold)
{
  SlText text = sl_text (words, SL_TEXT_SIZE_SMALL * c->options->text_scale, bold);

  sl_set_ink (c->cr, c->palette, ink);
  sl_text_show (c->cr, &text, x - align * text.width, y - text.height / 2);
}

static const char *
title_of (SlHistoryKind kind)
{
  switch (kind)
    {
    case SL_HISTORY_ACTION: return C_ ("chart title", "Action at 12");
    case SL_HISTORY_RELIEF: return C_ ("chart title", "Relief");
    case SL_HISTORY_FIRST_GAP: return C_ ("chart title", "String height at fret 1");
    case SL_HISTORY_EXPOSURE: return C_ ("chart title", "Exposure");
    default: return C_ ("chart title", "Moisture, %");
    }
}

/* What lengths of a kind are written in: for relief and first gap a 64th is too coarse. */
static SlLengths
lengths_for (const SlChartOptions *options, SlHistoryKind kind)
{
  gboolean fine = kind == SL_HISTORY_RELIEF || kind == SL_HISTORY_FIRST_GAP;

  return options->lengths == SL_LENGTHS_64THS && fine ? SL_LENGTHS_INCH : options->lengths;
}

static char *
value_text (const Chart *c, double value)
{
  if (c->percent)
    return sl_plain_format (value, 0, c->options->decimal);
  return sl_length_format (value, c->lengths, 2, c->options->decimal, FALSE);
}

/* Round in what is written: inches are not marked at round millimetres. */
static double
value_step (const Chart *c)
{
  double span = c->y1 - c->y0;

  if (c->percent)
    return MAX (1, sl_sheet_step (span, MOST_TICKS));
  switch (c->lengths)
    {
    case SL_LENGTHS_INCH: return MAX (0.001, sl_sheet_step (span / SL_MM_PER_INCH, MOST_TICKS)) * SL_MM_PER_INCH;
    case SL_LENGTHS_64THS:
      return MAX (1, sl_sheet_step (span * PARTS_PER_INCH / SL_MM_PER_INCH, MOST_TICKS)) * SL_MM_PER_INCH /
             PARTS_PER_INCH;
    default: return MAX (0.01, sl_sheet_step (span, MOST_TICKS));
    }
}

static void
draw_frame (const Chart *c, const char *title)
{
  double step = value_step (c);

  show (c, title, c->frame.x, c->frame.y - HEAD / 2, 0, SL_INK_TEXT, TRUE);
  cairo_set_line_width (c->cr, SL_LINE_THIN);
  for (double y = ceil (c->y0 / step) * step; y <= c->y1; y += step)
    {
      double at = place_y (c, y);
      g_autofree char *words = value_text (c, fabs (y) < step / 2 ? 0 : y);

      sl_set_ink (c->cr, c->palette, SL_INK_PANEL_EDGE);
      cairo_move_to (c->cr, c->frame.x, at);
      cairo_line_to (c->cr, c->frame.x + c->frame.width, at);
      cairo_stroke (c->cr);
      show (c, words, c->frame.x - 5, at, 1, SL_INK_QUIET, FALSE);
    }
  sl_set_ink (c->cr, c->palette, SL_INK_THIN);
  cairo_move_to (c->cr, c->frame.x, c->frame.y);
  cairo_line_to (c->cr, c->frame.x, c->frame.y + c->frame.height);
  cairo_line_to (c->cr, c->frame.x + c->frame.width, c->frame.y + c->frame.height);
  cairo_stroke (c->cr);
}

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
      cairo_rectangle (c->cr, x - MARK, y - MARK, 2 * MARK, 2 * MARK);
      sl_fill_and_stroke (c->cr, c->palette, SL_INK_PAPER, ink, SL_LINE_THICK);
      return;
    }
  cairo_arc (c->cr, x, y, MARK, 0, 2 * G_PI);
  sl_set_ink (c->cr, c->palette, ink);
  cairo_fill (c->cr);
}

static void
draw_bar (const Chart *c, double x, double y, double U, gboolean bass)
{
  double top = place_y (c, y + U), bottom = place_y (c, y - U);

  if (!(U > 0) || bottom - top < 2 * MARK)
    return;
  sl_set_ink (c->cr, c->palette, mark_ink (bass));
  cairo_set_line_width (c->cr, SL_LINE_THIN);
  cairo_move_to (c->cr, x, top);
  cairo_line_to (c->cr, x, bottom);
  cairo_move_to (c->cr, x - CAP, top);
  cairo_line_to (c->cr, x + CAP, top);
  cairo_move_to (c->cr, x - CAP, bottom);
  cairo_line_to (c->cr, x + CAP, bottom);
  cairo_stroke (c->cr);
}

static double
expanded (const SlFigure *figure)
{
  return isfinite (figure->u) ? SL_COVERAGE * figure->u : 0;
}

/* What was only assumed is no part of a history. */
static gboolean
is_shown (const SlFigure *figure)
{
  return isfinite (figure->value) && figure->basis != SL_BASIS_ASSUMED;
}

static int
string_of (const SlHistoryPoint *point, gboolean bass)
{
  return bass ? point->n_strings : 1;
}

/* Sets the chart's height to what is to be shown in it. FALSE where there is nothing. */
static gboolean
fit_values (Chart *c, const GArray *history, SlHistoryKind kind, double least_span)
{
  double low = INFINITY, high = -INFINITY, middle, span;

  for (guint i = 0; i < history->len; i++)
    for (int bass = 0; bass <= 1; bass++)
      {
        const SlHistoryPoint *point = &g_array_index (history, SlHistoryPoint, i);
        const SlFigure *figure = sl_history_figure (point, kind, string_of (point, bass));

        if (!is_shown (figure))
          continue;
        low = MIN (low, figure->value - expanded (figure));
        high = MAX (high, figure->value + expanded (figure));
      }
  if (low > high)
    return FALSE;
  middle = (low + high) / 2;
  span = MAX (high - low, least_span) * (1 + 2 * MARGIN_SHARE);
  c->y0 = middle - span / 2;
  c->y1 = middle + span / 2;
  return TRUE;
}

/* ---- over time ---- */

static void
draw_series (const Chart *c, const GArray *history, SlHistoryKind kind, gboolean bass)
{
  gboolean joined = FALSE;
  guint work = 0;

  cairo_new_path (c->cr);
  for (guint i = 0; i < history->len; i++)
    {
      const SlHistoryPoint *point = &g_array_index (history, SlHistoryPoint, i);
      const SlFigure *figure = sl_history_figure (point, kind, string_of (point, bass));
      double x = place_x (c, (double) point->time), y = place_y (c, figure->value);

      if (!is_shown (figure))
        continue;
      if (joined && point->work[kind] != work) /* work was done between: that step is no season's */
        cairo_set_dash (c->cr, (double[]){ 2, 3 }, 2, 0);
      else
        cairo_set_dash (c->cr, NULL, 0, 0);
      if (joined)
        {
          cairo_line_to (c->cr, x, y);
          sl_stroke (c->cr, c->palette, mark_ink (bass), SL_LINE_OUTLINE);
        }
      cairo_move_to (c->cr, x, y);
      joined = TRUE;
      work = point->work[kind];
    }
  cairo_new_path (c->cr);
  cairo_set_dash (c->cr, NULL, 0, 0);
  for (guint i = 0; i < history->len; i++)
    {
      const SlHistoryPoint *point = &g_array_index (history, SlHistoryPoint, i);
      const SlFigure *figure = sl_history_figure (point, kind, string_of (point, bass));

      if (!is_shown (figure))
        continue;
      draw_bar (c, place_x (c, (double) point->time), figure->value, expanded (figure), bass);
      draw_mark (c, place_x (c, (double) point->time), place_y (c, figure->value), bass, mark_ink (bass));
    }
}

static void
draw_over_time (Chart *c, const GArray *history, SlHistoryKind kind)
{
  gint64 first = g_array_index (history, SlHistoryPoint, 0).time,
         last = g_array_index (history, SlHistoryPoint, history->len - 1).time;
  double span = MAX ((double) (last - first), 7 * 24 * 3600.0);

  c->percent = kind == SL_HISTORY_MOISTURE;
  c->lengths = lengths_for (c->options, kind);
  c->x0 = (double) first - MARGIN_SHARE * span;
  c->x1 = (double) first + span * (1 + MARGIN_SHARE);
  if (!fit_values (c, history, kind, c->percent ? LEAST_SPAN_PERCENT : LEAST_SPAN_MM))
    {
      show (c, title_of (kind), c->frame.x, c->frame.y - HEAD / 2, 0, SL_INK_TEXT, TRUE);
      show (c, _ ("not read"), c->frame.x + c->frame.width / 2, c->frame.y + c->frame.height / 2, 0.5, SL_INK_QUIET,
            FALSE);
      return;
    }
  draw_frame (c, title_of (kind));
  draw_series (c, history, kind, FALSE);
  if (!c->percent)
    draw_series (c, history, kind, TRUE);
}

static void
begin (cairo_t *cr, const SlChartOptions *options)
{
  cairo_new_path (cr);
  sl_set_ink (cr, sl_palette (options->dark), SL_INK_PAPER);
  cairo_rectangle (cr, 0, 0, options->width, options->height);
  cairo_fill (cr);
}

/* The @i-th of @n charts in rows of @columns, above a line for the key. */
static Chart
chart_in (cairo_t *cr, const SlChartOptions *options, int i, int n, int columns)
{
  int rows = (n + columns - 1) / columns;
  double width = (options->width - GAP) / columns, height = (options->height - GAP - HEAD) / rows;

  return (Chart){ .cr = cr,
                  .palette = sl_palette (options->dark),
                  .options = options,
                  .frame = { GAP / 2 + i % columns * width + SIDE, GAP / 2 + i / columns * height + HEAD,
                             width - SIDE - GAP, height - HEAD - FOOT } };
}

/* The same in as many columns as give the charts the best shape. */
static Chart
chart_at (cairo_t *cr, const SlChartOptions *options, int i, int n)
{
  double best = INFINITY;
  int columns = n;

  for (int rows = 1; rows <= n; rows++)
    {
      const int k = (n + rows - 1) / rows; /* no more than the rows need, so that the last one is not left near empty */
      const SlRect frame = chart_in (cr, options, 0, n, k).frame;
      double off = fabs (log (frame.width / frame.height / ASPECT));

      if (frame.width < 1 || frame.height < LEAST_HEIGHT || off >= best)
        continue;
      best = off;
      columns = k;
    }
  return chart_in (cr, options, i, n, columns);
}

/* Marks, and the time all charts go over. */
static void
draw_key (cairo_t *cr, const GArray *history, const SlChartOptions *options)
{
  g_autofree char *from = sl_date_month (g_array_index (history, SlHistoryPoint, 0).set->taken);
  g_autofree char *to = sl_date_month (g_array_index (history, SlHistoryPoint, history->len - 1).set->taken);
  g_autofree char *span = g_strcmp0 (from, to) == 0 ? g_strdup (from) : g_strdup_printf (_ ("%s to %s"), from, to);
  Chart c = chart_at (cr, options, 0, 1);
  double y = options->height - GAP / 2 - HEAD / 4, x = SIDE + GAP / 2;

  draw_mark (&c, x, y, FALSE, mark_ink (FALSE));
  show (&c, _ ("treble"), x + 10, y, 0, SL_INK_QUIET, FALSE);
  draw_mark (&c, x + 70, y, TRUE, mark_ink (TRUE));
  show (&c, _ ("bass"), x + 80, y, 0, SL_INK_QUIET, FALSE);
  show (&c, span, x + 124, y, 0, SL_INK_QUIET, FALSE);
  show (&c, _ ("dotted: work between"), options->width - GAP, y, 1, SL_INK_QUIET, FALSE);
}

void
sl_history_draw (cairo_t *cr, const GArray *history, const SlChartOptions *options)
{
  begin (cr, options);
  if (history->len == 0 || options->width < 1 || options->height < 1)
    return;
  cairo_save (cr);
  for (int kind = 0; kind < SL_N_HISTORIES; kind++)
    {
      Chart c = chart_at (cr, options, kind, SL_N_HISTORIES);

      if (c.frame.width > 1 && c.frame.height > 1)
        draw_over_time (&c, history, (SlHistoryKind) kind);
    }
  draw_key (cr, history, options);
  cairo_restore (cr);
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
  double u, y;

  cairo_new_path (c->cr);
  for (int i = 0; i <= STEPS; i++)
    {
      double x = trend->least_x + i * (trend->most_x - trend->least_x) / STEPS;

      y = sl_trend_at (trend, x, &u);
      cairo_line_to (c->cr, place_x (c, x), place_y (c, y + trend->coverage * u));
    }
  for (int i = STEPS; i >= 0; i--)
    {
      double x = trend->least_x + i * (trend->most_x - trend->least_x) / STEPS;

      y = sl_trend_at (trend, x, &u);
      cairo_line_to (c->cr, place_x (c, x), place_y (c, y - trend->coverage * u));
    }
  cairo_close_path (c->cr);
  sl_set_ink (c->cr, c->palette, SL_INK_SWING);
  cairo_fill (c->cr);
  cairo_move_to (c->cr, place_x (c, trend->least_x), place_y (c, sl_trend_at (trend, trend->least_x, NULL)));
  cairo_line_to (c->cr, place_x (c, trend->most_x), place_y (c, sl_trend_at (trend, trend->most_x, NULL)));
  sl_stroke (c->cr, c->palette, mark_ink (bass), SL_LINE_THICK);
}

static void
draw_against_moisture (Chart *c, const GArray *history, SlHistoryKind kind)
{
  const guint now = g_array_index (history, SlHistoryPoint, history->len - 1).work[kind];
  double low = INFINITY, high = -INFINITY;

  for (guint i = 0; i < history->len; i++)
    {
      double moisture = g_array_index (history, SlHistoryPoint, i).moisture.value;

      if (isfinite (moisture))
        {
          low = MIN (low, moisture);
          high = MAX (high, moisture);
        }
    }
  if (low > high || !fit_values (c, history, kind, LEAST_SPAN_MM))
    {
      show (c, title_of (kind), c->frame.x, c->frame.y - HEAD / 2, 0, SL_INK_TEXT, TRUE);
      show (c, _ ("not read with temperature and humidity"), c->frame.x + c->frame.width / 2,
            c->frame.y + c->frame.height / 2, 0.5, SL_INK_QUIET, FALSE);
      return;
    }
  c->lengths = lengths_for (c->options, kind);
  double span = MAX (high - low, LEAST_SPAN_PERCENT), middle = (low + high) / 2;
  c->x0 = middle - span * (0.5 + MARGIN_SHARE);
  c->x1 = middle + span * (0.5 + MARGIN_SHARE);
  SlTrend trends[2];
  gboolean found[2];
  for (int bass = 0; bass <= 1; bass++)
    {
      found[bass] = sl_history_trend (history, kind, string_of (&g_array_index (history, SlHistoryPoint, 0), bass),
                                      &trends[bass]) == SL_TREND_FOUND;
      if (found[bass])
        include_line (c, &trends[bass]);
    }
  draw_frame (c, title_of (kind));
  double step = sl_sheet_step (c->x1 - c->x0, MOST_TICKS);
  for (double x = ceil (c->x0 / step) * step; x <= c->x1; x += step)
    {
      g_autofree char *words = sl_plain_format (x, step < 1 ? 1 : 0, c->options->decimal);

      show (c, words, place_x (c, x), c->frame.y + c->frame.height + FOOT / 2, 0.5, SL_INK_QUIET, FALSE);
    }
  cairo_save (c->cr);
  cairo_rectangle (c->cr, c->frame.x, c->frame.y, c->frame.width, c->frame.height);
  cairo_clip (c->cr);
  for (int bass = 0; bass <= 1; bass++)
    if (found[bass])
      draw_line (c, &trends[bass], bass);
  cairo_restore (c->cr);
  for (guint i = 0; i < history->len; i++)
    for (int bass = 0; bass <= 1; bass++)
      {
        const SlHistoryPoint *point = &g_array_index (history, SlHistoryPoint, i);
        const SlFigure *figure = sl_history_figure (point, kind, string_of (point, bass));

        if (!is_shown (figure) || !isfinite (point->moisture.value))
          continue;
        /* what was read before the last work is behind the slope, but not on the line as it lies now */
        if (point->work[kind] == now)
          draw_bar (c, place_x (c, point->moisture.value), figure->value, expanded (figure), bass);
        draw_mark (c, place_x (c, point->moisture.value), place_y (c, figure->value), bass,
                   point->work[kind] == now ? mark_ink (bass) : SL_INK_GHOST);
      }
}

void
sl_climate_draw (cairo_t *cr, const GArray *history, const SlChartOptions *options)
{
  static const SlHistoryKind kinds[] = { SL_HISTORY_ACTION, SL_HISTORY_RELIEF };

  begin (cr, options);
  if (history->len == 0 || options->width < 1 || options->height < 1)
    return;
  cairo_save (cr);
  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      Chart c = chart_at (cr, options, (int) i, G_N_ELEMENTS (kinds));

      if (c.frame.width > 1 && c.frame.height > 1)
        draw_against_moisture (&c, history, kinds[i]);
    }
  Chart whole = chart_at (cr, options, 0, 1);
  show (&whole, _ ("moisture, % · pale: before work"), options->width - GAP, options->height - GAP / 2 - HEAD / 4, 1,
        SL_INK_QUIET, FALSE);
  cairo_restore (cr);
}
