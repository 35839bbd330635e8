/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/pass-bar.h"

#include "desk/kit/util.h"

/* Drawing sizes in the widget's units. */
#define BAR_HEIGHT 6.0
#define WHISKER_HEIGHT 10.0
#define LEAST_WIDTH 60
#define HATCH_PITCH 4.0
#define LINE_WIDTH 1.0
#define TRACK_ALPHA 0.15f

struct _SlPassBar
{
  GtkWidget parent_instance;

  double span, cut, u, first_pass;
};

G_DEFINE_FINAL_TYPE (SlPassBar, sl_pass_bar, GTK_TYPE_WIDGET)

static void
hatch (cairo_t *cr, double x0, double x1, double top)
{
  cairo_save (cr);
  cairo_rectangle (cr, x0, top, x1 - x0, BAR_HEIGHT);
  cairo_stroke_preserve (cr);
  cairo_clip (cr);
  for (double x = x0 - BAR_HEIGHT; x < x1; x += HATCH_PITCH)
    {
      cairo_move_to (cr, x, top + BAR_HEIGHT);
      cairo_line_to (cr, x + BAR_HEIGHT, top);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
whisker (cairo_t *cr, double x0, double x1, double middle)
{
  cairo_move_to (cr, x0, middle);
  cairo_line_to (cr, x1, middle);
  cairo_move_to (cr, x0, middle - WHISKER_HEIGHT / 2);
  cairo_line_to (cr, x0, middle + WHISKER_HEIGHT / 2);
  cairo_move_to (cr, x1, middle - WHISKER_HEIGHT / 2);
  cairo_line_to (cr, x1, middle + WHISKER_HEIGHT / 2);
  cairo_stroke (cr);
}

static void
sl_pass_bar_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  SlPassBar *self = SL_PASS_BAR (widget);
  const double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  const double per_mm = self->span > 0 ? width / self->span : 0;
  const double top = (height - BAR_HEIGHT) / 2;
  GdkRGBA ink;
  cairo_t *cr;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &ink);
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));
  cairo_set_source_rgba (cr, ink.red, ink.green, ink.blue, TRACK_ALPHA);
  cairo_rectangle (cr, 0, top, width, BAR_HEIGHT);
  cairo_fill (cr);
  gdk_cairo_set_source_rgba (cr, &ink);
  cairo_set_line_width (cr, LINE_WIDTH);
  cairo_rectangle (cr, 0, top, self->first_pass * per_mm, BAR_HEIGHT);
  cairo_fill (cr);
  if (self->cut > self->first_pass)
    hatch (cr, self->first_pass * per_mm, MIN (width, self->cut * per_mm), top);
  if (self->cut > 0)
    whisker (cr, MAX (LINE_WIDTH, (self->cut - self->u) * per_mm),
             MIN (width - LINE_WIDTH, (self->cut + self->u) * per_mm), height / 2);
  cairo_destroy (cr);
}

static void
sl_pass_bar_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                     int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? LEAST_WIDTH : (int) WHISKER_HEIGHT + 2;
}

static void
sl_pass_bar_class_init (SlPassBarClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  widget_class->snapshot = sl_pass_bar_snapshot;
  widget_class->measure = sl_pass_bar_measure;
  gtk_widget_class_set_css_name (widget_class, "passbar");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
sl_pass_bar_init (SlPassBar *self)
{
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
}

GtkWidget *
sl_pass_bar_new (void)
{
  return g_object_new (SL_TYPE_PASS_BAR, NULL);
}

void
sl_pass_bar_set (SlPassBar *self, double span_mm, double cut_mm, double u_mm, double first_pass_mm,
                 const char *description)
{
  if (g_strcmp0 (gtk_widget_get_tooltip_text (GTK_WIDGET (self)), description) != 0)
    {
      sl_name_with_tip (GTK_WIDGET (self), description);
    }
  if (self->span == span_mm && self->cut == cut_mm && self->u == u_mm && self->first_pass == first_pass_mm)
    return;
  self->span = span_mm;
  self->cut = cut_mm;
  self->u = u_mm;
  self->first_pass = first_pass_mm;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
