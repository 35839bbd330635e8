/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "bench/visit-edit.h"
#include "desk/sheets/parts.h"
#include "draw/draw.h"
#include "setup/physics/clearance.h"

#define REACH 13.0       /* how near to a handle's middle a pointer takes it */
#define REACH_TOUCH 24.0 /* and a finger */
#define CLICK_SLOP 4.0   /* a press that moves no further is a click */
#define COARSE_STEPS 10  /* Shift */

/* ---- what it shows, in words, for those who can't see it ---- */

static const char *
picture_name (SlPictureKind kind)
{
  switch (kind)
    {
    case SL_PICTURE_NUT: return _ ("Nut end");
    case SL_PICTURE_FRET_12: return _ ("12th fret");
    case SL_PICTURE_BRIDGE: return _ ("Saddle and bridge");
    case SL_PICTURE_SIDE:
    case SL_PICTURE_ALL:
    case SL_N_PICTURES:
    default: return _ ("Side view");
    }
}

/* A length, or without @style an angle in degrees. */
static char *
figure_text (const SlTextStyle *style, double value)
{
  g_autofree char *number = style != NULL ? NULL : sl_plain_format (value, 1, sl_decimal_sign ());

  return style != NULL ? sl_text_length_unit (style, value) : g_strconcat (number, "°", NULL);
}

/* "action at fret 12 2.48 mm, was 3.10 mm." One sentence a figure; none where it can't be given. */
static void
add_figure (GString *out, const SlTextStyle *style, const char *name, const SlFigure *after, const SlFigure *before)
{
  g_autofree char *now = figure_text (style, after->value), *then = figure_text (style, before->value);

  if (!isfinite (after->value))
    return;
  g_string_append_printf (out, " %s %s", name, now);
  if (isfinite (before->value) && !g_str_equal (then, now))
    g_string_append_printf (out, _ (", was %s"), then);
  if (after->basis == SL_BASIS_ASSUMED)
    g_string_append_printf (out, ", %s", _ ("assumed"));
  g_string_append_c (out, '.');
}

static void
add_string (GString *out, SlBench *bench, SlPictureKind kind, int string)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlFigures *before = &a->measured_figures, *after = a->has_plan ? &a->planned_figures : before;
  const SlTextStyle style = sl_bench_text_style (bench);
  int i = string - 1;

  g_string_append_printf (out, _ ("%sString %d:"), out->len ? " " : "", string);
  if (kind != SL_PICTURE_NUT && kind != SL_PICTURE_BRIDGE && a->instrument.frets >= SL_OCTAVE_FRET)
    add_figure (out, &style, _ ("action at fret 12"), &after->action[i][SL_OCTAVE_FRET],
                &before->action[i][SL_OCTAVE_FRET]);
  if (kind == SL_PICTURE_SIDE)
    {
      add_figure (out, &style, _ ("height at fret 1"), &after->first_gap[i], &before->first_gap[i]);
      add_figure (out, &style, _ ("relief"), &after->relief[i], &before->relief[i]);
    }
  if (kind != SL_PICTURE_FRET_12 && kind != SL_PICTURE_BRIDGE)
    add_figure (out, NULL, _ ("break over the nut"), &after->nut_break[i], &before->nut_break[i]);
  if (kind != SL_PICTURE_FRET_12 && kind != SL_PICTURE_NUT)
    {
      add_figure (out, NULL, _ ("break over the saddle"), &after->saddle_break[i], &before->saddle_break[i]);
      add_figure (out, &style, _ ("exposure"), &after->exposure[i], &before->exposure[i]);
    }
}

static void
add_held (GString *out, SlBench *bench, int string, int held)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlState *state = sl_state_ahead (a);
  double tension = (a->has_plan ? &a->planned_figures : &a->measured_figures)->tension[string - 1].value;
  const SlTextStyle style = sl_bench_text_style (bench);
  SlStringState s;
  SlClearance least;
  int fret;
  g_autofree char *margin = NULL;

  sl_state_string (&a->instrument, state, string, &s);
  fret = sl_closest_fret (&s, tension, held, &least);
  if (fret == 0)
    return;
  margin = sl_text_length_unit (&style, least.margin);
  g_string_append_printf (out,
                          sl_gap_basis (&a->fit, &s, held, fret) == SL_BASIS_ASSUMED
                              ? _ (" Held at fret %d: closest at fret %d, margin %s, assumed.")
                              : _ (" Held at fret %d: closest at fret %d, margin %s."),
                          held, fret, margin);
}

/* What the thin lines are: " As read before: Received, action at fret 12 3.25 mm, relief 0.36 mm; …" */
static void
add_earlier (GString *out, SlBench *bench, int string)
{
  const SlAnalysis *a = sl_bench_get_analysis (bench);
  const SlTextStyle style = sl_bench_text_style (bench);
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint k = 0; a->earlier != NULL && k < a->earlier->len; k++)
    {
      const SlEarlier *earlier = &g_array_index (a->earlier, SlEarlier, k);
      g_autofree char *relief = sl_text_length_unit (&style, sl_state_relief (&earlier->state, string)), *action = NULL;
      SlStringState s;

      sl_state_string (&a->instrument, &earlier->state, string, &s);
      g_string_append_printf (list, "%s%s,", k > 0 ? "; " : "", sl_stage_title (earlier->set->stage));
      if (a->instrument.frets >= SL_OCTAVE_FRET)
        {
          action = sl_text_length_unit (&style, sl_gap (&s, 0, SL_OCTAVE_FRET));
          g_string_append_printf (list, " %s %s,", _ ("action at fret 12"), action);
        }
      g_string_append_printf (list, " %s %s", _ ("relief"), relief);
    }
  if (list->len > 0)
    /* Translators: a list of stages of the visit, each with what was read then */
    g_string_append_printf (out, _ (" As read before: %s."), list->str);
}

char *
sl_picture_describe (SlBench *bench, SlPictureKind kind)
{
  GString *out = g_string_new (NULL);
  int n = sl_bench_get_profile (bench)->n_strings, string = sl_bench_get_string (bench),
      held = sl_bench_get_held (bench);
  const gboolean one = string >= 1 && string <= n; /* else all */

  string = one ? string : n;
  add_string (out, bench, kind, string);
  if (!one && n > 1 && kind == SL_PICTURE_SIDE)
    add_string (out, bench, kind, 1);
  if (kind == SL_PICTURE_SIDE && held > 0)
    add_held (out, bench, string, held);
  if (kind == SL_PICTURE_SIDE)
    add_earlier (out, bench, string);
  return g_string_free (out, FALSE);
}

/* ---- the view ---- */

struct _SlSideView
{
  GtkDrawingArea parent_instance;

  SlBench *bench; /* kept */
  SlPictureKind kind;
  SlPictureMap map;
  SlHandleKind chosen; /* by the keyboard */

  /* a drag under way */
  gboolean dragging;
  SlGrip grip;
  double units_per_mm,
      factor; /* as they were when it began: the picture's scale may follow the drag, the hand's must not */
  double press_x, press_y;
  gboolean moved;
};

G_DEFINE_FINAL_TYPE (SlSideView, sl_side_view, GTK_TYPE_DRAWING_AREA)

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlSideView *self = SL_SIDE_VIEW (area);
  SlPictureOptions options = sl_picture_options_for (self->bench, GTK_WIDGET (self), self->kind, width, height);

  options.held = sl_bench_get_held (self->bench);
  options.height_factor = self->dragging ? self->factor : sl_bench_get_height_factor (self->bench);
  options.focus = gtk_widget_has_visible_focus (GTK_WIDGET (self)) ? (int) self->chosen : -1;
  sl_picture_draw (cr, sl_bench_get_analysis (self->bench), &options, &self->map);
}

/* A slot belongs to one string; with all strings shown there is none to choose. */
static gboolean
has_handle (SlSideView *self, SlHandleKind handle)
{
  return sl_handle_is_there (self->bench, handle) &&
         (handle != SL_HANDLE_SLOT || sl_bench_get_string (self->bench) > 0 ||
          sl_bench_get_profile (self->bench)->n_strings == 1);
}

static void
describe (SlSideView *self)
{
  g_autofree char *shows = sl_picture_describe (self->bench, self->kind), *handle = NULL, *text = NULL;

  if (self->kind == SL_PICTURE_SIDE && has_handle (self, self->chosen))
    {
      handle = sl_handle_describe (self->bench, self->chosen);
      text = g_strdup_printf (_ ("%s Chosen handle, %s."), shows, handle);
    }
  sl_set_accessible_description (GTK_WIDGET (self), text != NULL ? text : shows);
}

static void
on_changed (SlSideView *self)
{
  for (int handle = 0; handle < SL_N_HANDLES && !has_handle (self, self->chosen); handle++)
    self->chosen = (SlHandleKind) handle;
  describe (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* The handle a pointer at (x, y) takes, or −1. */
static int
handle_at (SlSideView *self, double x, double y, double reach)
{
  int nearest = -1;

  for (int h = 0; h < SL_N_HANDLES; h++)
    if (self->map.handles[h].shown)
      {
        double distance = hypot (self->map.handles[h].x - x, self->map.handles[h].y - y);

        if (distance <= reach)
          {
            reach = distance;
            nearest = h;
          }
      }
  return nearest;
}

static gboolean
on_board (SlSideView *self, double x, double y)
{
  const SlRect *b = &self->map.board;

  return x >= b->x && x <= b->x + b->width && y >= b->y && y <= b->y + b->height;
}

static void
end_drag (SlSideView *self)
{
  if (!self->dragging)
    return;
  self->dragging = FALSE;
  sl_bench_end_gesture (self->bench);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
on_drag_begin (GtkGestureDrag *gesture, double x, double y, SlSideView *self)
{
  GdkDevice *device = gtk_event_controller_get_current_event_device (GTK_EVENT_CONTROLLER (gesture));
  const gboolean touch = device != NULL && gdk_device_get_source (device) == GDK_SOURCE_TOUCHSCREEN;
  int handle = handle_at (self, x, y, touch ? REACH_TOUCH : REACH);

  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->press_x = x;
  self->press_y = y;
  self->moved = FALSE;
  if (handle < 0)
    {
      if (!on_board (self, x, y))
        gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  end_drag (self);
  self->chosen = (SlHandleKind) handle;
  self->units_per_mm = self->map.units_per_mm_up;
  self->factor = self->map.height_factor;
  sl_handle_begin (self->bench, self->chosen, &self->grip);
  sl_bench_begin_gesture (self->bench, sl_operation_undo_name (sl_handle_operation (self->bench, self->chosen)));
  self->dragging = TRUE;
  on_changed (self);
}

static void
on_drag_update (GtkGestureDrag *gesture, double dx, double dy, SlSideView *self)
{
  if (hypot (dx, dy) > CLICK_SLOP)
    self->moved = TRUE;
  if (self->dragging && self->moved && self->units_per_mm > 0)
    sl_handle_move (self->bench, &self->grip, -dy / self->units_per_mm);
}

static void
on_drag_end (GtkGestureDrag *gesture, double dx, double dy, SlSideView *self)
{
  gboolean was_handle = self->dragging;

  end_drag (self);
  if (!was_handle && !self->moved && on_board (self, self->press_x, self->press_y))
    {
      /* of the nearest crown that the string can be held at */
      int frets = sl_bench_get_profile (self->bench)->neck.frets, fret = 1;

      for (int n = 2; n < frets; n++)
        if (fabs (self->map.fret_x[n] - self->press_x) < fabs (self->map.fret_x[fret] - self->press_x))
          fret = n;
      sl_bench_set_held (self->bench, fret == sl_bench_get_held (self->bench) ? 0 : fret);
    }
}

static void
on_drag_cancel (GtkGesture *gesture, GdkEventSequence *sequence, SlSideView *self)
{
  self->moved = TRUE;
  end_drag (self);
}

static void
on_motion (GtkEventControllerMotion *controller, double x, double y, SlSideView *self)
{
  if (self->dragging || handle_at (self, x, y, REACH) >= 0)
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), "ns-resize");
  else
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), on_board (self, x, y) ? "pointer" : NULL);
}

/* The next handle to the right of the chosen one, or the left: from the head on slot, neck, crest, the kinds in
 * reverse.
 */
static void
choose (SlSideView *self, int way)
{
  const int step = sl_bench_get_analysis (self->bench)->instrument.left_handed ? way : -way;

  for (int next = (int) self->chosen + step; next >= 0 && next < SL_N_HANDLES; next += step)
    if (has_handle (self, (SlHandleKind) next))
      {
        self->chosen = (SlHandleKind) next;
        break;
      }
  on_changed (self);
}

static void
nudge (SlSideView *self, double up_mm)
{
  SlGrip grip;

  if (!has_handle (self, self->chosen))
    return;
  sl_handle_begin (self->bench, self->chosen, &grip);
  sl_handle_move (self->bench, &grip, up_mm);
}

static void
hold (SlSideView *self, int fret)
{
  sl_bench_set_held (self->bench, CLAMP (fret, 0, sl_bench_get_profile (self->bench)->neck.frets - 1));
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state, SlSideView *self)
{
  double step = SL_HANDLE_STEP_MM * (state & GDK_SHIFT_MASK ? COARSE_STEPS : 1);
  int held = sl_bench_get_held (self->bench);

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  switch (sl_plain_key (key))
    {
    case GDK_KEY_Left: choose (self, -1); return GDK_EVENT_STOP;
    case GDK_KEY_Right: choose (self, 1); return GDK_EVENT_STOP;
    case GDK_KEY_Up: nudge (self, step); return GDK_EVENT_STOP;
    case GDK_KEY_Down: nudge (self, -step); return GDK_EVENT_STOP;
    case GDK_KEY_Page_Up: hold (self, held + 1); return GDK_EVENT_STOP;
    case GDK_KEY_Page_Down: hold (self, held - 1); return GDK_EVENT_STOP;
    case GDK_KEY_Home: hold (self, 0); return GDK_EVENT_STOP;
    case GDK_KEY_End: hold (self, G_MAXINT); return GDK_EVENT_STOP;
    default: return GDK_EVENT_PROPAGATE;
    }
}

static void
on_destroy (SlSideView *self)
{
  end_drag (self);
  sl_picture_map_clear (&self->map);
}

static void
sl_side_view_class_init (SlSideViewClass *class)
{
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "sideview");
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_IMG);
}

static void
sl_side_view_init (SlSideView *self)
{
  self->chosen = SL_HANDLE_CREST;
  sl_picture_map_init (&self->map);
  g_signal_connect (self, "destroy", G_CALLBACK (on_destroy), NULL);
  /* focus gained or lost, window state: the focus ring */
  g_signal_connect (self, "state-flags-changed", G_CALLBACK (gtk_widget_queue_draw), NULL);
}

GtkWidget *
sl_side_view_new (SlBench *bench, SlPictureKind kind)
{
  SlSideView *self = g_object_new (SL_TYPE_SIDE_VIEW, NULL);
  GtkWidget *widget = GTK_WIDGET (self);

  self->bench = sl_keep (self, bench);
  self->kind = kind;
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self), draw, NULL, NULL);
  sl_set_accessible_label (widget, picture_name (kind));
  sl_bench_follow (
      bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING | SL_CHANGED_HELD | SL_CHANGED_HEIGHT_FACTOR,
      G_CALLBACK (on_changed), self);
  sl_follow_look (widget);
  if (kind == SL_PICTURE_SIDE)
    {
      GtkGesture *drag = gtk_gesture_drag_new ();
      GtkEventController *motion = gtk_event_controller_motion_new (), *key = gtk_event_controller_key_new ();

      gtk_widget_set_focusable (widget, TRUE);
      g_signal_connect (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
      g_signal_connect (drag, "drag-update", G_CALLBACK (on_drag_update), self);
      g_signal_connect (drag, "drag-end", G_CALLBACK (on_drag_end), self);
      g_signal_connect (drag, "cancel", G_CALLBACK (on_drag_cancel), self);
      g_signal_connect (motion, "motion", G_CALLBACK (on_motion), self);
      g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
      gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (drag));
      gtk_widget_add_controller (widget, motion);
      gtk_widget_add_controller (widget, key);
    }
  describe (self);
  return widget;
}

const SlPictureMap *
sl_side_view_get_map (SlSideView *self)
{
  return &self->map;
}
