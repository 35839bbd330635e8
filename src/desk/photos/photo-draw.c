/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/parts.h"

#define HALO 3.0 /* units wider than the line on it */
#define END 6.0
#define GLASS 176.0 /* the magnifier: units, and how much larger than the picture's pixels */
#define GLASS_ZOOM 8.0
#define CURVE 44.0
#define RINGS 6 /* places of a label round what it speaks of */
#define TURNS 8
#define STEPS 20

char *
sl_measured_text (SlBench *bench, SlMeasure of, double value, double U)
{
  const SlTextStyle style = sl_bench_text_style (bench);
  const int places = isnan (U) ? 2 : sl_measured_places (U);
  const gboolean angle = of == SL_MEASURE_BREAK_ANGLE;
  g_autofree char *figure = angle ? sl_text_plain (&style, value, places, FALSE)
                                  : sl_text_measure (&style, value, places, isnan (U)),
                  *spread =
                      angle ? sl_text_plain (&style, U, places, FALSE) : sl_text_measure (&style, U, places, TRUE);

  return isnan (U) ? g_strconcat (figure, angle ? "°" : "", NULL)
                   : g_strdup_printf (angle ? "%s° ± %s°" : "%s ± %s", figure, spread);
}

/* A light line on a dark one: seen on light and dark pictures. */
static void
stroke (cairo_t *cr, double width, gboolean lit)
{
  cairo_path_t *path = cairo_copy_path (cr);

  cairo_set_line_width (cr, width + HALO);
  cairo_set_source_rgba (cr, 0, 0, 0, 0.7);
  cairo_stroke (cr);
  cairo_append_path (cr, path);
  cairo_path_destroy (path);
  cairo_set_line_width (cr, width);
  cairo_set_source_rgb (cr, 1, lit ? 0.9 : 1, lit ? 0.3 : 1);
  cairo_stroke (cr);
}

char *
sl_photo_shape_text (SlPhotoWindow *self, const SlShape *s)
{
  SlMeasured measured;

  if (s->kind == SL_SHAPE_KNOWN)
    return sl_measured_text (self->bench, SL_MEASURE_ACTION,
                             g_array_index (self->photo.known, SlKnownLength, s->nth).length.v, NAN);
  if (s->kind != SL_SHAPE_MARK)
    return NULL;
  const SlMark *mark = &g_array_index (self->photo.marks, SlMark, s->nth);
  g_autofree char *complaint = sl_photo_measure (&self->photo, mark, &measured);

  return complaint != NULL ? NULL : sl_measured_text (self->bench, mark->of, measured.value, measured.U);
}

/* ---- what is marked ---- */

SlSpot
sl_photo_seen (const SlPhotoWindow *self, const SlShape *s, int end)
{
  return (SlSpot){ self->x + s->x[end].v * self->zoom, self->y + s->y[end].v * self->zoom };
}

/* On an edge: a bar across the line. By hand: a ring. The chosen one has a square round it. */
static void
draw_end (const SlPhotoWindow *self, cairo_t *cr, const SlShape *s, int end, gboolean lit)
{
  const SlSpot at = sl_photo_seen (self, s, end), other = sl_photo_seen (self, s, end == 0 ? 1 : end - 1);
  const double dx = at.x - other.x, dy = at.y - other.y, bar = 1.5 * END / MAX (hypot (dx, dy), 1e-9);

  if (s->u != NULL && sl_number_is_set (s->u[end]))
    {
      cairo_move_to (cr, at.x - dy * bar, at.y + dx * bar);
      cairo_line_to (cr, at.x + dy * bar, at.y - dx * bar);
    }
  else
    sl_circle (cr, at.x, at.y, END);
  if (lit && end == self->end)
    cairo_rectangle (cr, at.x - 2 * END, at.y - 2 * END, 4 * END, 4 * END);
  stroke (cr, SL_LINE_THICK, lit);
}

/* Of a known length the line is broken, as on no other. */
static void
draw_shape (const SlPhotoWindow *self, cairo_t *cr, const SlShape *s, gboolean lit)
{
  const double dashes[] = { 8, 4 };

  for (int end = 0; end < s->n; end++)
    cairo_line_to (cr, sl_photo_seen (self, s, end).x, sl_photo_seen (self, s, end).y);
  if (s->kind == SL_SHAPE_FLAT)
    cairo_close_path (cr);
  cairo_set_dash (cr, dashes, s->kind == SL_SHAPE_KNOWN ? 2 : 0, 0);
  stroke (cr, lit ? SL_LINE_STRING : SL_LINE_THICK, lit);
  cairo_set_dash (cr, NULL, 0, 0);
  for (int end = 0; end < s->n; end++)
    draw_end (self, cr, s, end, lit);
}

/* No label lies on a line. */
static void
keep_free (const SlPhotoWindow *self, cairo_region_t *room, const SlShape *s)
{
  for (int end = 1; end < s->n; end++)
    for (int step = 0; step <= STEPS; step++)
      {
        const SlSpot a = sl_photo_seen (self, s, end - 1), b = sl_photo_seen (self, s, end);
        const double part = (double) step / STEPS;
        const GdkRectangle box = { (int) (a.x + part * (b.x - a.x) - END), (int) (a.y + part * (b.y - a.y) - END),
                                   2 * END, 2 * END };

        cairo_region_subtract_rectangle (room, &box);
      }
}

/* Beside the middle of the shape, as near as there is room; where there is none it stands in the list. */
static void
draw_label (const SlPhotoWindow *self, cairo_t *cr, cairo_region_t *room, const SlShape *s, const char *string)
{
  const SlText text = sl_text (string, SL_TEXT_SIZE * sl_text_scale (self->view), TRUE);
  const SlSpot a = sl_photo_seen (self, s, 0), b = sl_photo_seen (self, s, s->n == 4 ? 2 : s->n - 1);
  GdkRectangle box = { 0, 0, (int) (text.width + 2 * SL_SPACE), (int) (text.height + SL_SPACE) };

  for (int place = 0; place < RINGS * TURNS; place++)
    {
      const double turn = place % TURNS * 2 * G_PI / TURNS, off = (place / TURNS + 1) * 2 * SL_SPACE;

      box.x = (int) ((a.x + b.x - box.width) / 2 + cos (turn) * (off + box.width / 2.0));
      box.y = (int) ((a.y + b.y - box.height) / 2 + sin (turn) * (off + box.height / 2.0));
      if (cairo_region_contains_rectangle (room, &box) != CAIRO_REGION_OVERLAP_IN)
        continue;
      cairo_region_subtract_rectangle (room, &box);
      gdk_cairo_rectangle (cr, &box);
      cairo_set_source_rgba (cr, 0, 0, 0, 0.75);
      cairo_fill (cr);
      cairo_set_source_rgb (cr, 1, 1, 1);
      sl_text_show (cr, &text, box.x + SL_SPACE, box.y + SL_SPACE / 2);
      return;
    }
}

/* ---- the picture ---- */

static void
draw_picture (const SlPhotoWindow *self, cairo_t *cr)
{
  const double zoom = self->zoom * gtk_widget_get_scale_factor (self->view);
  int n = 0;

  while (n + 1 < SL_PHOTO_LEVELS && self->levels[n + 1] != NULL && zoom * (2 << n) <= 1)
    n++;
  cairo_save (cr);
  cairo_translate (cr, self->x, self->y);
  cairo_scale (cr, self->zoom * self->grey->width / cairo_image_surface_get_width (self->levels[n]),
               self->zoom * self->grey->height / cairo_image_surface_get_height (self->levels[n]));
  cairo_set_source_surface (cr, self->levels[n], 0, 0);
  cairo_pattern_set_filter (cairo_get_source (cr),
                            zoom >= GLASS_ZOOM / 2 ? CAIRO_FILTER_NEAREST : CAIRO_FILTER_BILINEAR);
  cairo_paint (cr);
  cairo_restore (cr);
}

/* The light along the line through the chosen end, in the foot of the glass, its middle at that end. */
static void
draw_curve (const SlPhotoWindow *self, cairo_t *cr, const SlShape *s, double left, double foot)
{
  const int first = MAX (self->end - 1, 0);
  const double dx = s->x[first + 1].v - s->x[first].v, dy = s->y[first + 1].v - s->y[first].v,
               length = MAX (hypot (dx, dy), 1e-9);
  const SlGrey *grey = self->grey;

  for (double at = 0; at <= GLASS; at++)
    {
      const double along = (at - GLASS / 2) / GLASS_ZOOM / length;
      const int x = (int) floor (s->x[self->end].v + along * dx), y = (int) floor (s->y[self->end].v + along * dy);

      cairo_line_to (cr, left + at,
                     foot - 4 -
                         (CURVE - 8) *
                             grey->at[CLAMP (y, 0, grey->height - 1) * grey->width + CLAMP (x, 0, grey->width - 1)]);
    }
  stroke (cr, SL_LINE_THICK, TRUE);
}

/* The chosen end enlarged, in the corner farthest from it: never under the pointer that moves it. */
static void
draw_glass (SlPhotoWindow *self, cairo_t *cr, cairo_region_t *room, int width, int height)
{
  SlShape s;

  if (!sl_photo_shape (&self->photo, self->chosen, &s))
    return;
  const SlSpot at = sl_photo_seen (self, &s, self->end);
  const double left = at.x < width / 2 ? width - GLASS - SL_SPACE_WIDE : SL_SPACE_WIDE,
               top = at.y < height / 2 ? height - GLASS - CURVE - SL_SPACE_WIDE : SL_SPACE_WIDE;
  const GdkRectangle box = { (int) left, (int) top, GLASS, GLASS + CURVE };
  SlPhotoWindow there = *self; /* the same picture with its line, at another place */

  cairo_region_subtract_rectangle (room, &box);
  there.zoom = GLASS_ZOOM;
  there.x = left + GLASS / 2 - s.x[self->end].v * GLASS_ZOOM;
  there.y = top + GLASS / 2 - s.y[self->end].v * GLASS_ZOOM;
  cairo_save (cr);
  gdk_cairo_rectangle (cr, &box);
  cairo_set_source_rgb (cr, 0.1, 0.1, 0.1);
  cairo_fill (cr);
  cairo_rectangle (cr, left, top, GLASS, GLASS);
  cairo_clip (cr);
  draw_picture (&there, cr);
  draw_shape (&there, cr, &s, FALSE);
  cairo_restore (cr);
  draw_curve (self, cr, &s, left, top + GLASS + CURVE);
  gdk_cairo_rectangle (cr, &box);
  stroke (cr, SL_LINE_THICK, FALSE);
}

void
sl_photo_draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer window)
{
  const cairo_rectangle_int_t all = { 0, 0, width, height };
  SlPhotoWindow *self = window;
  SlShape s;

  cairo_set_source_rgb (cr, 0.12, 0.12, 0.12);
  cairo_paint (cr);
  if (self->grey == NULL)
    return;
  cairo_region_t *room = cairo_region_create_rectangle (&all); /* for labels */

  if (self->fits)
    {
      self->zoom = MIN ((double) width / self->grey->width, (double) height / self->grey->height);
      self->x = (width - self->grey->width * self->zoom) / 2;
      self->y = (height - self->grey->height * self->zoom) / 2;
    }
  draw_picture (self, cr);
  for (int i = 0; sl_photo_shape (&self->photo, i, &s); i++)
    {
      draw_shape (self, cr, &s, i == self->chosen);
      keep_free (self, room, &s);
    }
  draw_glass (self, cr, room, width, height);
  for (int i = 0; sl_photo_shape (&self->photo, i, &s); i++)
    {
      g_autofree char *string = sl_photo_shape_text (self, &s);

      if (string != NULL)
        draw_label (self, cr, room, &s, string);
    }
  cairo_region_destroy (room);
}
