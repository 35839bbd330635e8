/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window's columns: readings, drawing and work side by side; where there is too little room for three, two, and the
 * work in a drawer that takes the place of the readings. The side columns widen with the room and with the text, until
 * a divider is moved by hand. */
#include "desk/window/window-private.h"

/* Widths at plain text; larger text takes more. Below the first there is a drawer; below the others the title bar
 * leaves out what the menu has too. */
#define FRAME 16 /* what a window's own frame takes of a screen's width, at most */
#define DRAWER_BELOW (1280 - FRAME)
#define FILE_BUTTONS_BELOW 1180
#define UNITS_BELOW 640

/* The side columns' width at this one, what they take of what is beyond it and give of what is short of it, between
 * limits, and no more than so much of the window. */
#define PLAIN_WIDTH 1440
#define MOST_SHARE 0.44
typedef struct
{
  double width, share, least, most;
} Column;
static const Column readings_column = { 332, 0.25, 292, 480 }, work_column = { 368, 0.22, 352, 640 };

/* ---- arranging ---- */

static int
width_of (const SlWindow *self, const Column *column)
{
  const double width = self->width / self->scale,
               wanted = CLAMP (column->width + column->share * (width - PLAIN_WIDTH), column->least, column->most);

  return (int) (self->scale * MIN (MOST_SHARE * width, wanted));
}

/* Shows one side column and hides the other, or both, or none; the focus goes with them. */
static void
show_columns (SlWindow *self, gboolean narrow)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));
  const gboolean open = sl_is_on (self->drawer_button),
                 alone = self->centre != NULL &&
                         gtk_toggle_button_get_active (sl_centre_get_larger (SL_CENTRE (self->centre)));
  GtkWidget *hidden = open ? self->readings : self->work, *shown = open ? self->work : self->readings;
  const gboolean follows = narrow && !alone && focus != NULL && gtk_widget_is_ancestor (focus, hidden);

  gtk_widget_set_visible (self->drawer_button, narrow && !alone && self->bench != NULL);
  gtk_widget_set_visible (shown, !alone);
  gtk_widget_set_visible (hidden, !narrow && !alone);
  if (follows)
    gtk_widget_child_focus (shown, GTK_DIR_TAB_FORWARD);
}

/* Before the window is seen by its width to come. */
void
sl_window_arrange (SlWindow *self)
{
  int height;

  self->arranging = TRUE;
  self->width = gtk_widget_get_width (self->columns);
  if (self->width == 0)
    gtk_window_get_default_size (GTK_WINDOW (self), &self->width, &height);
  self->scale = sl_text_scale (self->columns);
  gtk_widget_set_visible (self->file_buttons, self->width >= FILE_BUTTONS_BELOW * self->scale);
  gtk_widget_set_visible (self->units, self->width >= UNITS_BELOW * self->scale);
  show_columns (self, self->width < DRAWER_BELOW * self->scale);
  const int readings = width_of (self, &readings_column), work = width_of (self, &work_column);
  int beside = 0, position;

  if (!self->regions_moved)
    gtk_paned_set_position (GTK_PANED (self->regions), readings);
  if (gtk_widget_get_visible (self->readings))
    beside = gtk_paned_get_position (GTK_PANED (self->regions));
  position = self->width - beside - work;
  if (self->inner_width > 0) /* what it grows by since then is added to that */
    position -= self->width - beside - self->inner_width;
  if (!self->inner_moved)
    gtk_paned_set_position (GTK_PANED (self->inner), MAX (position, 0));
  self->arranging = FALSE;
}

static gboolean
arrange_late (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  sl_window_arrange (SL_WINDOW (widget));
  return G_SOURCE_REMOVE;
}

static void
on_default_width (SlWindow *self)
{
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)))
    sl_window_arrange (self);
}

/* "Work (6)": a closed drawer says how much is in it. */
void
sl_window_refresh_drawer (SlWindow *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  const guint findings = sl_bench_get_proposal (self->bench)->findings->len;
  g_autofree char *label = NULL, *steps_text = NULL, *findings_text = NULL, *tip = NULL;
  guint steps = 0;

  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    steps += g_array_index (visit->plan, SlOperation, i).done == NULL;
  steps_text = g_strdup_printf (ngettext ("%u step to do", "%u steps to do", steps), steps);
  findings_text = g_strdup_printf (ngettext ("%u finding", "%u findings", findings), findings);
  /* Translators: the drawer's tooltip: "4 steps to do", "2 findings" */
  tip = g_strdup_printf (_ ("Work in place of the readings: %s, %s (F9)"), steps_text, findings_text);
  if (g_strcmp0 (gtk_widget_get_tooltip_text (self->drawer_button), tip) == 0)
    return;
  label = g_strdup_printf (C_ ("drawer", "Work (%u)"), steps + findings);
  gtk_button_set_label (GTK_BUTTON (self->drawer_button), label);
  sl_name_with_tip (self->drawer_button, "%s", tip);
}

/* ---- laying out ---- */

/* A window may always become as narrow as two of the three columns allow. */
static void
measure (GtkWidget *box, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
         int *natural_baseline)
{
  const SlWindow *self = SL_WINDOW (gtk_widget_get_root (box));
  const int all = sl_least (self->regions, GTK_ORIENTATION_HORIZONTAL, -1);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *natural = sl_natural_width (self->regions);
      *minimum = all - MIN (sl_least (self->readings, orientation, -1), sl_least (self->work, orientation, -1));
    }
  else /* a divider may leave the drawing little of a width that no window has */
    *minimum = *natural =
        sl_least (self->regions, orientation, for_size < 0 || for_size > self->width ? -1 : MAX (for_size, all));
}

/* Columns can't be shown or hidden while they are laid out: that is left to the next frame. */
static void
allocate (GtkWidget *box, int width, int height, int baseline)
{
  SlWindow *self = SL_WINDOW (gtk_widget_get_root (box));
  const int least = sl_least (self->regions, GTK_ORIENTATION_HORIZONTAL, -1);

  self->arranging = TRUE;
  gtk_widget_size_allocate (self->regions, &(GtkAllocation){ 0, 0, MAX (width, least), height }, -1);
  self->arranging = FALSE;
  sl_clear_handle (self->regions);
  sl_clear_handle (self->inner);
  if (gtk_widget_get_visible (self->work))
    self->inner_width = gtk_widget_get_width (self->inner);
  if (width != self->width || sl_text_scale (box) != self->scale)
    gtk_widget_add_tick_callback (GTK_WIDGET (self), arrange_late, NULL, NULL);
}

/* ---- dividers moved by hand stay where they are ---- */

static void
on_position (GtkPaned *paned, GParamSpec *pspec, SlWindow *self)
{
  if (!self->arranging)
    *(GTK_WIDGET (paned) == self->regions ? &self->regions_moved : &self->inner_moved) = TRUE;
}

void
sl_window_manage_columns (SlWindow *self)
{
  sl_lay_out (self->columns, measure, allocate);
  g_signal_connect (self, "notify::default-width", G_CALLBACK (on_default_width), NULL);
  g_signal_connect_object (self->drawer_button, "toggled", G_CALLBACK (sl_window_arrange), self, G_CONNECT_SWAPPED);
  g_signal_connect (self->regions, "notify::position", G_CALLBACK (on_position), self);
  g_signal_connect (self->inner, "notify::position", G_CALLBACK (on_position), self);
}
