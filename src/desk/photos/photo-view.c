/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/parts.h"

#include "file/document.h"
#include "words/photos.h"

#define HIT 24.0 /* units: how near a pointer takes an end */
#define CLICK 4.0
#define REACH 12.0 /* units: how far from where an end was put its edge is looked for, */
#define LEAST_REACH_PX 4.0
#define MOST_REACH_PX 40.0
#define CORNER_WAY_PX 20.0 /* how far to each side of a string's turn */
#define STEP_PX 0.1
#define PAN 40.0
#define MOST_ZOOM 64.0
#define LEAST_ZOOM 0.01
#define WHEEL 1.2

gboolean
sl_photo_shape (const SlPhoto *photo, int nth, SlShape *out)
{
  const int n_known = (int) photo->known->len, n_flat = photo->flat.given ? 1 : 0, m = nth - n_known - n_flat;

  if (nth < 0 || m >= (int) photo->marks->len)
    return FALSE;
  if (nth < n_known)
    {
      SlKnownLength *known = &g_array_index (photo->known, SlKnownLength, nth);

      *out = (SlShape){ SL_SHAPE_KNOWN, (guint) nth, 2, known->x, known->y, known->u, &known->blur };
    }
  else if (m < 0)
    *out = (SlShape){ SL_SHAPE_FLAT, 0, 4, (SlNumber *) photo->flat.x, (SlNumber *) photo->flat.y, NULL, NULL };
  else
    {
      SlMark *mark = &g_array_index (photo->marks, SlMark, m);

      *out = (SlShape){ SL_SHAPE_MARK, (guint) m,  mark->of == SL_MEASURE_BREAK_ANGLE ? 3 : 2, mark->x, mark->y,
                        mark->u,       &mark->blur };
    }
  return TRUE;
}

char *
sl_photo_shape_name (const SlPhoto *photo, const SlShape *s)
{
  return s->kind == SL_SHAPE_MARK ? sl_mark_title (&g_array_index (photo->marks, SlMark, s->nth))
                                  : g_strdup (s->kind == SL_SHAPE_FLAT ? _ ("Four corners") : _ ("Known length"));
}

char *
sl_photo_end_said (SlPhotoWindow *self)
{
  SlShape s;

  if (!sl_photo_shape (&self->photo, self->chosen, &s))
    return g_strdup (_ ("Nothing is chosen. In the picture Tab goes from end to end of what is marked."));
  const gboolean found = s.u != NULL && sl_number_is_set (s.u[self->end]);
  g_autofree char *name = sl_photo_shape_name (&self->photo, &s),
                  *x = sl_plain_format (s.x[self->end].v, 1, sl_decimal_sign ()),
                  *y = sl_plain_format (s.y[self->end].v, 1, sl_decimal_sign ());

  /* Translators: what is marked, which end of it, and where in the picture it is, pixels to the right and down: "Known
   * length, end 1 at 512.3; 80.1, on an edge" */
  return g_strdup_printf (found ? _ ("%s, end %d at %s; %s, on an edge") : _ ("%s, end %d at %s; %s, set by hand"),
                          name, self->end + 1, x, y);
}

/* ---- ends ---- */

static SlSpot
spot (const SlShape *s, int end)
{
  return (SlSpot){ s->x[end].v, s->y[end].v };
}

/* By hand, to hundredths of a pixel, within the picture. */
static void
put (SlPhotoWindow *self, const SlShape *s, int end, double x, double y)
{
  const double most[] = { self->grey != NULL ? self->grey->width : SL_IMAGE_MOST_SIDE,
                          self->grey != NULL ? self->grey->height : SL_IMAGE_MOST_SIDE };

  s->x[end] = sl_number (round (100 * CLAMP (x, 0, most[0])) / 100);
  s->y[end] = sl_number (round (100 * CLAMP (y, 0, most[1])) / 100);
  if (s->u != NULL)
    s->u[end] = SL_NUMBER_ABSENT;
}

/* Onto the edge near it on the shape's line; at an angle, across the leg beside it. Of a known length the middle of a
 * graduation is meant, but not where both ends lie on one such line, as on a string of known size. */
static void
snap (SlPhotoWindow *self, const SlShape *s, int end)
{
  const SlSpot a = spot (s, s->n == 3 && end == 2 ? 1 : 0), b = spot (s, s->n == 3 && end != 0 ? 2 : 1),
               at = spot (s, end), other = spot (s, end == 0 ? 1 : 0);
  const double length = hypot (b.x - a.x, b.y - a.y), reach = CLAMP (REACH / self->zoom, LEAST_REACH_PX, MOST_REACH_PX),
               dx = (a.y - b.y) / length * CORNER_WAY_PX, dy = (b.x - a.x) / length * CORNER_WAY_PX;
  const SlSpot from = s->n == 2 ? a : (SlSpot){ at.x - dx, at.y - dy },
               to = s->n == 2 ? b : (SlSpot){ at.x + dx, at.y + dy };
  SlEdge edge;

  if (self->grey == NULL || s->u == NULL || length < 1 ||
      !sl_edge_find (self->grey, from, to, s->n == 3 ? CORNER_WAY_PX : end * length, MIN (reach, length / 2), &edge))
    return;
  const gboolean middle = s->kind == SL_SHAPE_KNOWN && edge.line_px > 0 &&
                          hypot (edge.middle.x - other.x, edge.middle.y - other.y) > edge.line_px;
  const SlSpot found = middle ? edge.middle : edge.at;

  put (self, s, end, found.x, found.y);
  s->u[end] = sl_number (round (1e4 * (middle ? edge.middle_u_px : edge.u_px)) / 1e4);
  *s->blur = sl_number (round (100 * MAX (edge.blur_px, sl_number_or (*s->blur, 0))) / 100);
}

static gboolean
chosen (SlPhotoWindow *self, SlShape *s)
{
  return sl_photo_shape (&self->photo, self->chosen, s);
}

/* What is drawn, from where it began to @to. */
static void
stretch (SlPhotoWindow *self, SlSpot to, gboolean by_hand)
{
  static const double along[5][4] = { [2] = { 0, 1 }, [3] = { 0, 0.5, 1 }, [4] = { 0, 1, 1, 0 } },
                      down[5][4] = { [2] = { 0, 1 }, [3] = { 0, 0.5, 1 }, [4] = { 0, 0, 1, 1 } };
  SlShape s;

  if (!chosen (self, &s))
    return;
  for (int end = 0; end < s.n; end++)
    put (self, &s, end, self->origin.x + (to.x - self->origin.x) * along[s.n][end],
         self->origin.y + (to.y - self->origin.y) * down[s.n][end]);
  if (s.blur != NULL)
    *s.blur = SL_NUMBER_ABSENT;
  for (int end = 0; end < s.n && !by_hand; end++)
    snap (self, &s, end);
}

/* A new shape there, chosen; FALSE: there can be no more. Of known lengths the last one is drawn again. */
static gboolean
begin_shape (SlPhotoWindow *self, SlShapeKind kind, SlSpot from)
{
  const guint most = sl_amount_most ("photo", kind == SL_SHAPE_KNOWN ? "known" : "mark");
  GArray *known = self->photo.known;
  SlMark mark = self->mark;
  SlShape s;

  sl_photo_fit_mark (&mark);
  if (kind == SL_SHAPE_MARK && self->photo.marks->len >= most)
    return FALSE;
  if (kind == SL_SHAPE_FLAT)
    self->photo.flat = self->flat;
  else if (kind == SL_SHAPE_MARK)
    g_array_append_val (self->photo.marks, mark);
  else
    g_array_append_val (g_array_set_size (known, MIN (known->len, most - 1)), self->known);
  self->chosen = (int) known->len - 1; /* the last of its kind */
  if (kind != SL_SHAPE_KNOWN)
    self->chosen += (self->photo.flat.given ? 1 : 0) + (kind == SL_SHAPE_MARK ? (int) self->photo.marks->len : 0);
  chosen (self, &s);
  for (int end = 0; end < s.n; end++) /* a press that is broken off leaves no end without its place */
    put (self, &s, end, from.x, from.y);
  self->end = s.n == 2 ? 1 : 2;
  self->origin = from;
  self->editing = TRUE;
  return TRUE;
}

void
sl_photo_view_choose (SlPhotoWindow *self, int shape, int end)
{
  SlShape s;

  self->chosen = sl_photo_shape (&self->photo, shape, &s) ? shape : -1;
  self->end = self->chosen < 0 ? 0 : CLAMP (end, 0, s.n - 1);
  sl_photo_window_moved (self);
}

static void
finish (SlPhotoWindow *self)
{
  self->space = FALSE;
  if (self->editing)
    sl_photo_window_keep (self, C_ ("undo step", "mark in a photograph"));
}

void
sl_photo_view_remove (SlPhotoWindow *self, int shape)
{
  SlShape s;

  if (!sl_photo_shape (&self->photo, shape, &s))
    return;
  if (s.kind == SL_SHAPE_FLAT)
    self->photo.flat.given = FALSE;
  else
    g_array_remove_index (s.kind == SL_SHAPE_KNOWN ? self->photo.known : self->photo.marks, s.nth);
  self->chosen = self->chosen == shape ? -1 : self->chosen - (self->chosen > shape ? 1 : 0);
  sl_photo_window_keep (self, C_ ("undo step", "remove a mark"));
}

static SlSpot
place (SlPhotoWindow *self, double x, double y)
{
  return (SlSpot){ (x - self->x) / self->zoom, (y - self->y) / self->zoom };
}

/* What is to be drawn, across the middle of what is seen. */
static void
draw_in_middle (SlPhotoWindow *self)
{
  const double width = gtk_widget_get_width (self->view), height = gtk_widget_get_height (self->view);

  if (self->grey == NULL || !begin_shape (self, self->drawing, place (self, width / 3, height / 3)))
    return;
  stretch (self, place (self, width * 2 / 3, self->drawing == SL_SHAPE_FLAT ? height * 2 / 3 : height / 3), TRUE);
  self->end = 0;
  self->drawing = SL_SHAPE_NONE;
  finish (self);
}

/* ---- looking ---- */

static void
pan (SlPhotoWindow *self, double x, double y)
{
  self->fits = FALSE;
  self->x = x;
  self->y = y;
  gtk_widget_queue_draw (self->view);
}

void
sl_photo_view_zoom (SlPhotoWindow *self, double by, double x, double y)
{
  const double zoom = CLAMP (self->zoom * by, LEAST_ZOOM, MOST_ZOOM), real = zoom / self->zoom;

  pan (self, x - (x - self->x) * real, y - (y - self->y) * real);
  self->zoom = zoom;
  self->fits = by == 0;
}

static gboolean
on_scroll (GtkEventControllerScroll *scroll, double dx, double dy, SlPhotoWindow *self)
{
  sl_photo_view_zoom (self, pow (WHEEL, -dy), self->at_x, self->at_y);
  return GDK_EVENT_STOP;
}

static void
on_pinch_begin (GtkGesture *gesture, GdkEventSequence *sequence, SlPhotoWindow *self)
{
  self->was = self->zoom;
}

static void
on_pinch (GtkGesture *gesture, double scale, SlPhotoWindow *self)
{
  double x = 0, y = 0;

  gtk_gesture_get_bounding_box_center (gesture, &x, &y);
  sl_photo_view_zoom (self, self->was * scale / self->zoom, x, y);
}

static void
on_motion (GtkEventControllerMotion *motion, double x, double y, SlPhotoWindow *self)
{
  self->at_x = x;
  self->at_y = y;
}

/* ---- by pointer ---- */

/* Chooses the end nearest to a place of the view. */
static gboolean
choose_at (SlPhotoWindow *self, double x, double y)
{
  double reach = HIT / 2;
  int nearest = -1, nearest_end = 0;
  SlShape s;

  for (int i = 0; sl_photo_shape (&self->photo, i, &s); i++)
    for (int end = 0; end < s.n; end++)
      {
        const SlSpot at = sl_photo_seen (self, &s, end);
        const double off = hypot (at.x - x, at.y - y);

        if (off > reach)
          continue;
        reach = off;
        nearest = i;
        nearest_end = end;
      }
  if (nearest >= 0)
    sl_photo_view_choose (self, nearest, nearest_end);
  return nearest >= 0;
}

static void
on_drag_begin (GtkGestureDrag *gesture, double x, double y, SlPhotoWindow *self)
{
  self->pans = self->space || self->grey == NULL ||
               gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture)) == GDK_BUTTON_MIDDLE;
  gtk_widget_grab_focus (self->view);
  self->began_x = x;
  self->began_y = y;
  if (!self->pans && self->drawing != SL_SHAPE_NONE)
    self->pans = !begin_shape (self, self->drawing, place (self, x, y));
  else if (!self->pans)
    self->pans = !choose_at (self, x, y);
  if (self->pans)
    self->origin = (SlSpot){ self->x, self->y };
}

static void
on_drag (GtkGestureDrag *gesture, double dx, double dy, SlPhotoWindow *self)
{
  const SlSpot at = place (self, self->began_x + dx, self->began_y + dy);
  const GdkModifierType held = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  const gboolean by_hand = (held & GDK_SHIFT_MASK) != 0 || !sl_is_on (self->snaps);
  SlShape s;

  if (self->pans)
    {
      pan (self, self->origin.x + dx, self->origin.y + dy);
      return;
    }
  if ((!self->editing && hypot (dx, dy) < CLICK) || !chosen (self, &s))
    return;
  self->editing = TRUE;
  if (self->drawing != SL_SHAPE_NONE)
    stretch (self, at, by_hand);
  else
    {
      put (self, &s, self->end, at.x, at.y);
      if (!by_hand)
        snap (self, &s, self->end);
    }
  sl_photo_window_moved (self);
}

/* A click draws nothing; on nothing it chooses nothing. */
static void
on_drag_end (GtkGestureDrag *gesture, double dx, double dy, SlPhotoWindow *self)
{
  const gboolean click = hypot (dx, dy) < CLICK;

  if (click && self->drawing != SL_SHAPE_NONE && self->editing)
    sl_photo_window_keep (self, NULL);
  else if (click && self->pans)
    sl_photo_view_choose (self, -1, 0);
  else if (!self->pans)
    {
      self->drawing = SL_SHAPE_NONE;
      finish (self);
    }
}

/* ---- by keyboard ---- */

/* To the next end of all, or the one before; FALSE: there is none. */
static gboolean
go_on (SlPhotoWindow *self, int by)
{
  int shape = self->chosen, end = self->end + by, n = 0;
  SlShape s;

  while (sl_photo_shape (&self->photo, n, &s))
    n++;
  if (!chosen (self, &s) || end < 0 || end >= s.n)
    {
      shape = shape < 0 && by < 0 ? n - 1 : shape + by;
      if (!sl_photo_shape (&self->photo, shape, &s))
        return FALSE;
      end = by > 0 ? 0 : s.n - 1;
    }
  finish (self);
  sl_photo_view_choose (self, shape, end);
  return TRUE;
}

/* The chosen end by tenths of a pixel, pixels or tens of them; with nothing chosen the view over the picture. */
static void
move (SlPhotoWindow *self, int dx, int dy, GdkModifierType state)
{
  const double step = STEP_PX * ((state & GDK_CONTROL_MASK) != 0 ? 100 : (state & GDK_SHIFT_MASK) != 0 ? 10 : 1);
  SlShape s;

  if (!chosen (self, &s))
    {
      pan (self, self->x - dx * PAN, self->y - dy * PAN);
      return;
    }
  self->editing = TRUE;
  put (self, &s, self->end, s.x[self->end].v + dx * step, s.y[self->end].v + dy * step);
  sl_photo_window_moved (self);
}

static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, SlPhotoWindow *self)
{
  const guint key = sl_plain_key (value);
  const int dx = (key == GDK_KEY_Right) - (key == GDK_KEY_Left), dy = (key == GDK_KEY_Down) - (key == GDK_KEY_Up);
  SlShape s;

  if (dx != 0 || dy != 0)
    move (self, dx, dy, state);
  else if (key == GDK_KEY_Tab || key == GDK_KEY_ISO_Left_Tab)
    return go_on (self, key == GDK_KEY_Tab && (state & GDK_SHIFT_MASK) == 0 ? 1 : -1);
  else if (key == GDK_KEY_Return && self->drawing != SL_SHAPE_NONE)
    draw_in_middle (self);
  else if (key == GDK_KEY_Return && chosen (self, &s))
    {
      self->editing = TRUE;
      snap (self, &s, self->end);
      finish (self);
    }
  else if (key == GDK_KEY_Delete)
    sl_photo_view_remove (self, self->chosen);
  else if (key == GDK_KEY_space)
    self->space = TRUE;
  else if (key == GDK_KEY_Escape && (self->drawing != SL_SHAPE_NONE || self->chosen >= 0))
    {
      self->drawing = SL_SHAPE_NONE;
      sl_photo_view_choose (self, -1, 0);
    }
  else
    return GDK_EVENT_PROPAGATE;
  return GDK_EVENT_STOP;
}

/* ---- the picture ---- */

typedef struct
{
  SlGrey *grey;
  cairo_surface_t *levels[SL_PHOTO_LEVELS];
} Prepared;

static void
prepare (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Prepared *prepared = g_new0 (Prepared, 1);
  g_autoptr (GdkPixbuf) picture = g_object_ref (data);

  prepared->grey = sl_grey_new (picture);
  for (int n = 0; n < SL_PHOTO_LEVELS && picture != NULL; n++)
    {
      const int width = gdk_pixbuf_get_width (picture) / 2, height = gdk_pixbuf_get_height (picture) / 2;
      g_autoptr (GdkPixbuf) half =
          MIN (width, height) > 0 ? gdk_pixbuf_scale_simple (picture, width, height, GDK_INTERP_BILINEAR) : NULL;

      prepared->levels[n] = sl_image_surface (picture, 0);
      g_set_object (&picture, half);
    }
  g_task_return_pointer (task, prepared, g_free);
}

static void
on_prepared (GObject *source, GAsyncResult *result, gpointer data)
{
  SlPhotoWindow *self = SL_PHOTO_WINDOW (source);
  g_autofree Prepared *prepared = g_task_propagate_pointer (G_TASK (result), NULL);

  self->grey = prepared->grey;
  memcpy (self->levels, prepared->levels, sizeof self->levels);
  if (self->view != NULL) /* not closed meanwhile */
    sl_photo_window_moved (self);
}

void
sl_photo_view_set_picture (SlPhotoWindow *self, GdkPixbuf *picture)
{
  sl_run_in_thread (self, NULL, prepare, g_object_ref (picture), g_object_unref, on_prepared, NULL);
}

void
sl_photo_view_bind (gpointer class)
{
  sl_template_bind (class, "photo-window", SL_MEMBERS (SlPhotoWindow, trouble, hint), "trouble view waiting hint",
                    SL_CALL (on_scroll), SL_CALL (on_pinch_begin), SL_CALL (on_pinch), SL_CALL (on_motion),
                    SL_CALL (on_drag_begin), SL_CALL (on_drag), SL_CALL (on_drag_end), SL_CALL (on_key),
                    SL_CALL (finish), NULL);
}
