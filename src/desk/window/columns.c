/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/columns.h"

#include "desk/kit/colour-scheme.h"
#include "desk/kit/util.h"

/* Widths at plain text; larger text takes more. Below the first there is a drawer. */
#define DRAWER_BELOW (1280 - FRAME)
#define SPARE_BELOW 1180
#define LEAST_SPARE_BELOW 640
#define FRAME 16 /* what a window's own frame takes of a screen's width, at most */
#define READINGS_WIDTH 296
#define WORK_WIDTH 368
/* What the side columns take of the width that is beyond this, and no more than so much each. */
#define GROWS_FROM 1440
#define READINGS_SHARE 0.12
#define READINGS_MOST 460
#define WORK_SHARE 0.22
#define WORK_MOST 640

typedef struct
{
  SlColumns is;
  gboolean moved_regions, moved_inner; /* by hand */
  int width;                           /* as arranged, and for which text */
  int inner_width;                     /* when the work beside the drawing was laid out last; 0: never */
  double scale;
} Columns;

static Columns *
columns_of (GtkWidget *box)
{
  return g_object_get_data (G_OBJECT (box), "columns");
}

/* ---- arranging ---- */

static void
place_dividers (Columns *self)
{
  const double more = MAX (self->width / self->scale - GROWS_FROM, 0);
  const int readings = (int) (self->scale * MIN (READINGS_WIDTH + READINGS_SHARE * more, READINGS_MOST)),
            work = (int) (self->scale * MIN (WORK_WIDTH + WORK_SHARE * more, WORK_MOST));
  int beside = 0, position;

  if (!self->moved_regions)
    gtk_paned_set_position (GTK_PANED (self->is.regions), readings);
  if (gtk_widget_get_visible (self->is.readings))
    beside = gtk_paned_get_position (GTK_PANED (self->is.regions));
  position = self->width - beside - work;
  if (self->inner_width > 0) /* what it grows by since then is added to that */
    position -= self->width - beside - self->inner_width;
  if (!self->moved_inner)
    gtk_paned_set_position (GTK_PANED (self->is.inner), MAX (position, 0));
}

/* Shows one side column and hides the other, or both; the focus goes with them. */
static void
show_columns (Columns *self, gboolean narrow)
{
  GtkRoot *root = gtk_widget_get_root (self->is.box);
  GtkWidget *focus = root == NULL ? NULL : gtk_root_get_focus (root);
  const gboolean open = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->is.drawer));
  GtkWidget *hidden = open ? self->is.readings : self->is.work, *shown = open ? self->is.work : self->is.readings;
  const gboolean follows = narrow && focus != NULL && gtk_widget_is_ancestor (focus, hidden);

  gtk_widget_set_visible (self->is.drawer, narrow && gtk_widget_get_visible (self->is.regions));
  gtk_widget_set_visible (shown, TRUE);
  gtk_widget_set_visible (hidden, !narrow);
  if (follows)
    gtk_widget_child_focus (shown, GTK_DIR_TAB_FORWARD);
}

void
sl_columns_arrange (GtkWidget *box, int width)
{
  Columns *self = columns_of (box);

  self->width = width;
  self->scale = sl_text_scale (box);
  gtk_widget_set_visible (self->is.spare, width >= SPARE_BELOW * self->scale);
  gtk_widget_set_visible (self->is.least_spare, width >= LEAST_SPARE_BELOW * self->scale);
  show_columns (self, width < DRAWER_BELOW * self->scale);
  place_dividers (self);
}

static void
on_drawer (GtkWidget *box)
{
  sl_columns_arrange (box, columns_of (box)->width);
}

static gboolean
arrange (GtkWidget *box, GdkFrameClock *clock, gpointer data)
{
  sl_columns_arrange (box, gtk_widget_get_width (box));
  return G_SOURCE_REMOVE;
}

/* ---- laying out ---- */

static GtkSizeRequestMode
height_for_width (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static int
least (GtkWidget *widget, GtkOrientation orientation, int for_size)
{
  int minimum;

  gtk_widget_measure (widget, orientation, for_size, &minimum, NULL, NULL, NULL);
  return minimum;
}

/* A window may always become as narrow as two of the three columns allow. */
static void
measure_columns (GtkWidget *box, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                 int *minimum_baseline, int *natural_baseline)
{
  const Columns *self = columns_of (box);
  const int all = least (self->is.regions, GTK_ORIENTATION_HORIZONTAL, -1),
            readings = least (self->is.readings, GTK_ORIENTATION_HORIZONTAL, -1),
            work = least (self->is.work, GTK_ORIENTATION_HORIZONTAL, -1);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      gtk_widget_measure (self->is.regions, orientation, -1, NULL, natural, NULL, NULL);
      *minimum = all - MIN (readings, work);
    }
  else
    *minimum = *natural = least (self->is.regions, orientation, for_size < 0 ? -1 : MAX (for_size, all));
}

/* Columns can't be shown or hidden while they are laid out: that is left to the next frame. */
static void
allocate_columns (GtkWidget *box, int width, int height, int baseline)
{
  Columns *self = columns_of (box);

  gtk_widget_size_allocate (
      self->is.regions,
      &(GtkAllocation){ 0, 0, MAX (width, least (self->is.regions, GTK_ORIENTATION_HORIZONTAL, -1)), height }, -1);
  if (gtk_widget_get_visible (self->is.work))
    self->inner_width = gtk_widget_get_width (self->is.inner);
  if (width != self->width || sl_text_scale (box) != self->scale)
    gtk_widget_add_tick_callback (box, arrange, NULL, NULL);
}

/* ---- dividers moved by hand stay where they are ---- */

static void
on_pressed (GtkGestureClick *gesture, int presses, double x, double y, gboolean *moved)
{
  GtkWidget *paned = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (gesture)),
            *picked = gtk_widget_pick (paned, x, y, GTK_PICK_DEFAULT);

  if (picked != NULL && gtk_widget_get_parent (picked) == paned &&
      picked != gtk_paned_get_start_child (GTK_PANED (paned)) && picked != gtk_paned_get_end_child (GTK_PANED (paned)))
    *moved = TRUE;
}

static gboolean
on_keys (GtkPaned *paned, GtkScrollType how, gboolean *moved)
{
  *moved = TRUE;
  return FALSE;
}

static void
watch_divider (GtkWidget *paned, gboolean *moved)
{
  GtkGesture *press = gtk_gesture_click_new ();

  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (press), GTK_PHASE_CAPTURE);
  g_signal_connect (press, "pressed", G_CALLBACK (on_pressed), moved);
  g_signal_connect (paned, "move-handle", G_CALLBACK (on_keys), moved);
  gtk_widget_add_controller (paned, GTK_EVENT_CONTROLLER (press));
}

void
sl_columns_manage (const SlColumns *columns)
{
  Columns *self = g_new0 (Columns, 1);

  self->is = *columns;
  g_object_set_data_full (G_OBJECT (columns->box), "columns", self, g_free);
  gtk_widget_set_layout_manager (columns->box,
                                 gtk_custom_layout_new (height_for_width, measure_columns, allocate_columns));
  g_signal_connect_object (columns->drawer, "toggled", G_CALLBACK (on_drawer), columns->box, G_CONNECT_SWAPPED);
  watch_divider (columns->regions, &self->moved_regions);
  watch_divider (columns->inner, &self->moved_inner);
}
