/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photo-pair.h"

#include "desk/kit/kit.h"

#define MOST_ZOOM 8.0f
#define ZOOM_STEP 1.25f /* a key, or a notch of the wheel */
#define MOVE_STEP 0.1f  /* of what is seen, a key */
#define NEAR_PX 28      /* so near the line a drag takes it: our own choice, for a finger */
#define MOST_PX 4096    /* no larger: every renderer takes it in one piece */

enum
{
  BEFORE,
  AFTER
};

typedef struct
{
  char *file, *fault; /* NULL: there is none; why it isn't shown */
  GdkTexture *picture;
  float aspect;   /* its width to its height; 0: not loaded */
  int asked;      /* px its longer side was asked for with; 0: not yet */
  GObject *token; /* who waits for it: what comes for an earlier one finds nobody */
} Side;

struct _SlPhotoPairView
{
  GtkBox parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *overlay, *area, *line, *labels[2], *slider, *faults;
  GtkGesture *drag;

  SlBench *bench; /* kept */
  Side sides[2];
  float zoom, x, y; /* of what stands in the middle: shares of the frame */
  float pointer_x, pointer_y, start_zoom, start_x, start_y;
  gboolean drags_line;
};

G_DEFINE_FINAL_TYPE (SlPhotoPairView, sl_photo_pair_view, GTK_TYPE_BOX)

/* ---- where what is ---- */

static gboolean
is_there (const Side *side)
{
  return side->file != NULL && side->fault == NULL;
}

static gboolean
has_both (SlPhotoPairView *self)
{
  return is_there (&self->sides[BEFORE]) && is_there (&self->sides[AFTER]);
}

/* Of one alone all is seen. */
static float
get_share (SlPhotoPairView *self)
{
  return has_both (self) ? (float) gtk_range_get_value (GTK_RANGE (self->slider)) : is_there (&self->sides[AFTER]);
}

/* Of the area: what the slider leaves, what the wider picture takes of it as it is zoomed, what is seen of that, and
 * the line. */
typedef struct
{
  graphene_rect_t room, frame, seen;
  float line;
} Places;

static Places
places_of (SlPhotoPairView *self)
{
  const int below = gtk_widget_get_visible (self->slider) ? sl_least (self->slider, GTK_ORIENTATION_VERTICAL, -1) : 0;
  const float width = (float) gtk_widget_get_width (self->area),
              height = (float) MAX (0, gtk_widget_get_height (self->area) - below),
              wider = MAX (self->sides[BEFORE].aspect, self->sides[AFTER].aspect),
              tall = wider > 0 ? MIN (height, width / wider) * self->zoom : 0, wide = tall * wider;
  Places p = { GRAPHENE_RECT_INIT (0, 0, width, height),
               GRAPHENE_RECT_INIT (width / 2 - self->x * wide, height / 2 - self->y * tall, wide, tall) };

  graphene_rect_intersection (&p.frame, &p.room, &p.seen);
  p.line = p.seen.origin.x + get_share (self) * p.seen.size.width;
  return p;
}

/* ---- what is shown ---- */

/* The later one stands to the left of the line, and so does its label. */
static void
show (SlPhotoPairView *self)
{
  const float share = get_share (self);
  const gboolean both = has_both (self), seen[] = { share != 1, share != 0 };
  g_autoptr (GString) name = g_string_new (NULL), faults = g_string_new (NULL);

  for (int i = AFTER; i >= BEFORE; i--)
    {
      const Side *side = &self->sides[i];
      const char *label = gtk_label_get_text (GTK_LABEL (self->labels[i]));

      gtk_widget_set_visible (self->labels[i], side->picture != NULL && seen[i]);
      if (seen[i])
        g_string_append_printf (name, "%s%s", name->len > 0 ? " · " : "", label);
      if (side->fault != NULL)
        g_string_append_printf (faults, "%s%s: %s", faults->len > 0 ? "\n" : "", label, side->fault);
    }
  gtk_widget_set_visible (self->slider, both);
  gtk_widget_set_visible (self->line, both);
  sl_set_remark (self->faults, faults->len > 0 ? faults->str : NULL);
  sl_set_accessible_label (self->area, name->str);
  gtk_widget_queue_allocate (self->overlay);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
on_loaded (gpointer token, GdkPixbuf *picture, const GError *error)
{
  Side *side = g_object_get_data (token, "side");
  SlPhotoPairView *self = g_object_get_data (token, "view");

  g_clear_object (&side->token);
  if (picture != NULL)
    {
      g_clear_object (&side->picture);
      side->picture = gdk_texture_new_for_pixbuf (picture);
      side->aspect = (float) gdk_paintable_get_intrinsic_aspect_ratio (GDK_PAINTABLE (side->picture));
    }
  else if (side->picture == NULL) /* else the smaller one stays */
    side->fault = g_strdup (g_error_matches (error, SL_IMAGE_ERROR, SL_IMAGE_MISSING)
                                ? _ ("The picture isn’t here.") /* a customer looks: no path */
                                : _ ("The picture can’t be shown."));
  show (self);
}

/* Has it loaded as large as the screen wants it, and larger once it is zoomed. */
static void
want (SlPhotoPairView *self, Side *side, const graphene_size_t *room)
{
  const float px = MAX (room->width, room->height) * (float) gtk_widget_get_scale_factor (self->area);
  const int asked = self->zoom > 1 ? MOST_PX : MIN (MOST_PX, (int) ceilf (px));

  if (!is_there (side) || side->token != NULL || asked <= side->asked)
    return;
  side->asked = asked;
  side->token = g_object_new (G_TYPE_OBJECT, NULL);
  g_object_set_data (side->token, "side", side);
  g_object_set_data (side->token, "view", self);
  sl_photo_load (self->bench, side->file, asked, side->token, on_loaded);
}

static void
sl_photo_pair_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  SlPhotoPairView *self = SL_PHOTO_PAIR_VIEW (widget);
  const Places p = places_of (self);

  for (int i = BEFORE; i <= AFTER; i++) /* the area begins where the view does */
    {
      Side *side = &self->sides[i];
      const float wide = side->aspect * p.frame.size.height;
      const graphene_rect_t place = GRAPHENE_RECT_INIT (p.frame.origin.x + (p.frame.size.width - wide) / 2,
                                                        p.frame.origin.y, wide, p.frame.size.height);
      const float from = i == AFTER ? 0 : p.line, to = i == AFTER ? p.line : p.room.size.width;

      want (self, side, &p.room.size);
      if (side->picture == NULL || to <= from)
        continue;
      gtk_snapshot_push_clip (snapshot, &GRAPHENE_RECT_INIT (from, 0, to - from, p.room.size.height));
      gtk_snapshot_append_texture (snapshot, side->picture, &place);
      gtk_snapshot_pop (snapshot);
    }
  GTK_WIDGET_CLASS (sl_photo_pair_view_parent_class)->snapshot (widget, snapshot);
}

/* The labels stand at the area's corners, as the template has them. */
static gboolean
on_place (SlPhotoPairView *self, GtkWidget *child, GdkRectangle *place)
{
  const Places p = places_of (self);
  const int least = sl_least (child, GTK_ORIENTATION_HORIZONTAL, -1),
            tall = sl_least (child, GTK_ORIENTATION_VERTICAL, -1);

  if (child == self->slider)
    *place =
        (GdkRectangle){ (int) p.seen.origin.x, (int) p.room.size.height, MAX (least, (int) p.seen.size.width), tall };
  else
    *place =
        (GdkRectangle){ (int) p.line - least / 2, (int) p.seen.origin.y, least, MAX ((int) p.seen.size.height, tall) };
  return child == self->slider || child == self->line;
}

/* ---- zooming and moving ---- */

/* Nothing is moved out of sight that has room in it. */
static float
held (float middle, float room, float frame)
{
  return frame <= room ? 0.5f : CLAMP (middle, room / 2 / frame, 1 - room / 2 / frame);
}

static gboolean
move_to (SlPhotoPairView *self, float x, float y)
{
  const Places p = places_of (self);

  self->x = held (x, p.room.size.width, p.frame.size.width);
  self->y = held (y, p.room.size.height, p.frame.size.height);
  show (self);
  return TRUE;
}

/* What is at (@x, @y) of the area stays there. */
static gboolean
zoom_at (SlPhotoPairView *self, float zoom, float x, float y)
{
  const Places p = places_of (self);
  const float wide = MAX (1, p.frame.size.width), tall = MAX (1, p.frame.size.height),
              held_zoom = CLAMP (zoom, 1, MOST_ZOOM), less = self->zoom / held_zoom;

  self->zoom = held_zoom;
  return move_to (self, (x - p.frame.origin.x - (x - p.room.size.width / 2) * less) / wide,
                  (y - p.frame.origin.y - (y - p.room.size.height / 2) * less) / tall);
}

gboolean
sl_photo_pair_view_key (SlPhotoPairView *self, guint key, GdkModifierType modifiers)
{
  const graphene_rect_t room = places_of (self).room;
  const guint plain = sl_plain_key (key);
  const gboolean back = plain == GDK_KEY_Up || plain == GDK_KEY_Left,
                 upright = plain == GDK_KEY_Up || plain == GDK_KEY_Down,
                 level = (modifiers & GDK_SHIFT_MASK) != 0 && (plain == GDK_KEY_Left || plain == GDK_KEY_Right);
  const float step = (back ? -MOVE_STEP : MOVE_STEP) / self->zoom;
  float zoom = self->zoom;

  if (key == GDK_KEY_plus || key == GDK_KEY_equal || key == GDK_KEY_KP_Add)
    zoom *= ZOOM_STEP;
  else if (key == GDK_KEY_minus || key == GDK_KEY_KP_Subtract)
    zoom /= ZOOM_STEP;
  else if ((modifiers & GDK_CONTROL_MASK) != 0 && (key == GDK_KEY_0 || key == GDK_KEY_KP_0))
    zoom = 1;
  else /* without Shift, left and right are the line's */
    return zoom > 1 && (upright || level) &&
           move_to (self, self->x + (level ? step : 0), self->y + (upright ? step : 0));
  return zoom_at (self, zoom, room.size.width / 2, room.size.height / 2);
}

static gboolean
on_scroll (GtkEventControllerScroll *controller, double dx, double dy, SlPhotoPairView *self)
{
  return zoom_at (self, self->zoom * powf (ZOOM_STEP, (float) -dy), self->pointer_x, self->pointer_y);
}

static void
on_pinch_begin (GtkGesture *gesture, GdkEventSequence *sequence, SlPhotoPairView *self)
{
  gtk_gesture_set_state (self->drag, GTK_EVENT_SEQUENCE_DENIED);
  self->start_zoom = self->zoom;
}

static void
on_pinch (GtkGesture *gesture, double scale, SlPhotoPairView *self)
{
  double x = 0, y = 0;

  gtk_gesture_get_bounding_box_center (gesture, &x, &y);
  zoom_at (self, self->start_zoom * (float) scale, (float) x, (float) y);
}

static void
on_click (GtkGestureClick *gesture, int n_press, double x, double y, SlPhotoPairView *self)
{
  if (n_press == 2)
    zoom_at (self, 1, 0, 0);
}

static void
on_motion (GtkEventControllerMotion *controller, double x, double y, SlPhotoPairView *self)
{
  self->pointer_x = (float) x;
  self->pointer_y = (float) y;
}

/* Where all is seen there is nothing to move, and any drag takes the line along. */
static void
on_drag_begin (GtkGestureDrag *gesture, double x, double y, SlPhotoPairView *self)
{
  self->drags_line = has_both (self) && (self->zoom <= 1 || fabs (x - places_of (self).line) < NEAR_PX);
  self->start_x = self->drags_line ? (float) x : self->x;
  self->start_y = self->y;
}

static void
on_drag (GtkGestureDrag *gesture, double dx, double dy, SlPhotoPairView *self)
{
  const Places p = places_of (self);
  gboolean taken;

  if (p.frame.size.width <= 0)
    return;
  if (self->drags_line) /* as if the slider were dragged */
    g_signal_emit_by_name (self->slider, "change-value", GTK_SCROLL_JUMP,
                           CLAMP ((self->start_x + dx - p.seen.origin.x) / p.seen.size.width, 0, 1), &taken);
  else
    move_to (self, self->start_x - (float) dx / p.frame.size.width, self->start_y - (float) dy / p.frame.size.height);
}

/* ---- building ---- */

static void
side_clear (Side *side)
{
  g_clear_object (&side->token);
  g_clear_object (&side->picture);
  g_free (side->file);
  g_free (side->fault);
  *side = (Side){ NULL };
}

void
sl_photo_pair_view_show (SlPhotoPairView *self, const SlPhoto *before, const SlPhoto *after, const char *before_label,
                         const char *after_label)
{
  const SlPhoto *photos[] = { before, after };
  const char *const labels[] = { before_label, after_label };

  for (int i = BEFORE; i <= AFTER; i++)
    {
      Side *side = &self->sides[i];
      const char *file = photos[i] != NULL ? photos[i]->file : NULL;

      if (g_strcmp0 (side->file, file) != 0 || side->fault != NULL)
        {
          side_clear (side);
          side->file = g_strdup (file);
          self->zoom = 1;
          self->x = self->y = 0.5;
        }
      sl_label_set (self->labels[i], labels[i] != NULL ? labels[i] : "");
    }
  show (self);
}

static void
sl_photo_pair_view_dispose (GObject *object)
{
  side_clear (&SL_PHOTO_PAIR_VIEW (object)->sides[BEFORE]);
  side_clear (&SL_PHOTO_PAIR_VIEW (object)->sides[AFTER]);
  G_OBJECT_CLASS (sl_photo_pair_view_parent_class)->dispose (object);
}

static void
sl_photo_pair_view_class_init (SlPhotoPairViewClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_photo_pair_view_dispose;
  GTK_WIDGET_CLASS (class)->snapshot = sl_photo_pair_view_snapshot;
  sl_template_bind (class, "photo-pair", SL_MEMBERS (SlPhotoPairView, overlay, drag),
                    "overlay area line before after slider faults drag", SL_CALL (show), SL_CALL (on_place),
                    SL_CALL (on_scroll), SL_CALL (on_pinch_begin), SL_CALL (on_pinch), SL_CALL (on_click),
                    SL_CALL (on_motion), SL_CALL (on_drag_begin), SL_CALL (on_drag), NULL);
}

static void
sl_photo_pair_view_init (SlPhotoPairView *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_guard_wheel (self->slider);
}

SlPhotoPairView *
sl_photo_pair_view_new (SlBench *bench, GtkAdjustment *share, GtkWidget **slider)
{
  SlPhotoPairView *self = g_object_new (SL_TYPE_PHOTO_PAIR_VIEW, NULL);

  self->bench = sl_keep (self, bench);
  gtk_range_set_adjustment (GTK_RANGE (self->slider), share);
  *slider = self->slider;
  return self;
}
