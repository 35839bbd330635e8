/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/customer-pages.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define GAP_SHARE 0.35 /* between two sentences, of a line's height */
#define LEAST_LINES 2

/* The labels from @first to before @end; where it is a part of one label, from @offset down. */
typedef struct
{
  guint first, end;
  int offset;
} Page;

struct _SlCustomerPages
{
  GtkBox parent_instance;

  GtkWidget *head, *heading, *turning, *back, *number, *on;
  GtkWidget *sheet; /* a box whose labels place() lays out */

  /* owned */
  GPtrArray *labels;   /* of the sheet */
  GPtrArray *titles;   /* one a label: the heading it has where its section begins below another one */
  GPtrArray *headings; /* strings, one a label */
  GArray *pages;       /* of Page */
  int wanted;          /* the page asked for */
  guint told_id;
};

G_DEFINE_FINAL_TYPE (SlCustomerPages, sl_customer_pages, GTK_TYPE_BOX)

int
sl_customer_pages_get_n (SlCustomerPages *self)
{
  return (int) self->pages->len;
}

int
sl_customer_pages_get_page (SlCustomerPages *self)
{
  return CLAMP (self->wanted, 0, MAX (0, (int) self->pages->len - 1));
}

/* The page shown; NULL where there is none. */
static const Page *
current (SlCustomerPages *self)
{
  return self->pages->len > 0 ? &g_array_index (self->pages, Page, sl_customer_pages_get_page (self)) : NULL;
}

static void
show_page (SlCustomerPages *self)
{
  const int n = sl_customer_pages_get_n (self), shown = sl_customer_pages_get_page (self);
  const Page *page = current (self);
  const char *heading = page != NULL ? g_ptr_array_index (self->headings, page->first) : NULL;
  g_autofree char *number = g_strdup_printf (_ ("%d of %d"), shown + 1, n);

  gtk_label_set_text (GTK_LABEL (self->heading), heading != NULL ? heading : "");
  gtk_label_set_text (GTK_LABEL (self->number), number);
  gtk_widget_set_visible (self->turning, n > 1);
  gtk_widget_set_sensitive (self->back, shown > 0);
  gtk_widget_set_sensitive (self->on, shown + 1 < n);
  sl_set_accessible_label (self->sheet, heading != NULL ? heading : _ ("Work and care"));
}

static gboolean
show_when_idle (gpointer data)
{
  SlCustomerPages *self = data;

  self->told_id = 0;
  show_page (self);
  return G_SOURCE_REMOVE;
}

/* Not at once: it changes sizes, and sizes may be being allocated. */
static void
show_page_soon (SlCustomerPages *self)
{
  if (self->told_id == 0)
    self->told_id = g_idle_add (show_when_idle, self);
}

/* ---- which sentences stand on which page ---- */

/* Of the text, not counting what its style adds around it. */
static int
line_height (GtkWidget *widget)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (widget, "X");
  int height;

  pango_layout_get_pixel_size (layout, NULL, &height);
  return MAX (1, height);
}

static int
height_for (GtkWidget *label, int width)
{
  int height;

  gtk_widget_measure (label, GTK_ORIENTATION_VERTICAL, width, NULL, &height, NULL, NULL);
  return height;
}

static gboolean
begins_section (SlCustomerPages *self, guint i)
{
  return i == 0 || !g_str_equal (g_ptr_array_index (self->headings, i), g_ptr_array_index (self->headings, i - 1));
}

static int
title_height (SlCustomerPages *self, guint i, int width)
{
  return begins_section (self, i) ? height_for (g_ptr_array_index (self->titles, i), width) : 0;
}

/* A label higher than a page: as many whole lines of it a page as there is room for. */
static void
add_slices (SlCustomerPages *self, guint i, int label_height, int height, int line)
{
  const int slice = MAX (1, height / line) * line;

  for (int offset = 0; offset == 0 || offset + line / 2 < label_height; offset += slice)
    {
      Page page = { i, i + 1, offset };

      g_array_append_val (self->pages, page);
    }
}

static void
paginate (SlCustomerPages *self, int width, int height)
{
  Page page = { 0, 0, 0 };
  int y = 0;

  g_array_set_size (self->pages, 0);
  for (guint i = 0; i < self->labels->len; i++)
    {
      GtkWidget *label = g_ptr_array_index (self->labels, i);
      const int line = line_height (label), tall = height_for (label, width);
      int gap = page.end > page.first ? (int) (GAP_SHARE * line) + title_height (self, i, width) : 0;

      if (page.end > page.first && y + gap + tall > height)
        {
          g_array_append_val (self->pages, page);
          page = (Page){ i, i, 0 };
          y = gap = 0;
        }
      if (tall > height)
        {
          add_slices (self, i, tall, height, line);
          page = (Page){ i + 1, i + 1, 0 };
          y = 0;
          continue;
        }
      y += gap + tall;
      page.end = i + 1;
    }
  if (page.end > page.first)
    g_array_append_val (self->pages, page);
}

/* ---- the sheet ---- */

/* Gives a label its place; returns its height. */
static int
put (GtkWidget *label, int width, int y)
{
  const int tall = height_for (label, width);

  gtk_widget_allocate (label, width, tall, -1, gsk_transform_translate (NULL, &GRAPHENE_POINT_INIT (0, (float) y)));
  return tall;
}

static void
place (GtkWidget *sheet, int width, int height, int baseline)
{
  SlCustomerPages *self = SL_CUSTOMER_PAGES (gtk_widget_get_parent (sheet));
  const guint before = self->pages->len;
  const Page *page;
  int y;

  paginate (self, width, height);
  page = current (self);
  y = page != NULL ? -page->offset : 0;
  for (guint i = 0; i < self->labels->len; i++)
    {
      GtkWidget *label = g_ptr_array_index (self->labels, i), *title = g_ptr_array_index (self->titles, i);
      const gboolean shown = page != NULL && i >= page->first && i < page->end;
      const int head = shown && i > page->first ? title_height (self, i, width) : 0;

      gtk_widget_set_child_visible (title, head > 0);
      gtk_widget_set_child_visible (label, shown);
      if (head > 0)
        y += put (title, width, y);
      if (shown)
        y += put (label, width, y) + (int) (GAP_SHARE * line_height (label));
    }
  if (self->pages->len != before)
    show_page_soon (self);
}

static void
measure (GtkWidget *sheet, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
         int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_VERTICAL ? LEAST_LINES * line_height (sheet) : 0;
}

/* A label that goes on over pages ends on each between two lines. */
static void
sl_customer_pages_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  SlCustomerPages *self = SL_CUSTOMER_PAGES (widget);
  const Page *page = current (self);
  GtkWidget *first = page != NULL ? g_ptr_array_index (self->labels, page->first) : NULL;
  const int height = gtk_widget_get_height (self->sheet);
  graphene_rect_t shown;

  gtk_widget_snapshot_child (widget, self->head, snapshot);
  if (!gtk_widget_compute_bounds (self->sheet, widget, &shown))
    return;
  if (first != NULL && gtk_widget_get_height (first) > height)
    shown.size.height = (float) (MAX (1, height / line_height (first)) * line_height (first));
  gtk_snapshot_push_clip (snapshot, &shown);
  gtk_widget_snapshot_child (widget, self->sheet, snapshot);
  gtk_snapshot_pop (snapshot);
}

void
sl_customer_pages_clear (SlCustomerPages *self)
{
  sl_empty_box (self->sheet);
  g_ptr_array_set_size (self->labels, 0);
  g_ptr_array_set_size (self->titles, 0);
  g_ptr_array_set_size (self->headings, 0);
  g_array_set_size (self->pages, 0);
}

void
sl_customer_pages_add (SlCustomerPages *self, const char *heading, const char *text)
{
  g_ptr_array_add (self->titles, sl_text_add (self->sheet, heading, "sl-customer-heading"));
  g_ptr_array_add (self->labels, sl_text_add (self->sheet, text, "sl-customer-words"));
  g_ptr_array_add (self->headings, g_strdup (heading));
  show_page_soon (self);
}

/* ---- turning ---- */

void
sl_customer_pages_turn (SlCustomerPages *self, int by)
{
  self->wanted = CLAMP (sl_customer_pages_get_page (self) + by, 0, MAX (0, sl_customer_pages_get_n (self) - 1));
  gtk_widget_queue_allocate (self->sheet);
  show_page (self);
}

static void
on_turner (SlCustomerPages *self, GtkWidget *button)
{
  sl_customer_pages_turn (self, button == self->on ? 1 : -1);
}

/* As a page of paper is turned: from right to left comes the next one, in writing from right to left the other way
 * round. */
static void
on_swipe (GtkGestureSwipe *gesture, double velocity_x, double velocity_y, SlCustomerPages *self)
{
  const int on = gtk_widget_get_direction (GTK_WIDGET (self)) == GTK_TEXT_DIR_RTL ? -1 : 1;

  if (fabs (velocity_x) > fabs (velocity_y))
    sl_customer_pages_turn (self, velocity_x < 0 ? on : -on);
}

/* ---- building ---- */

static GtkWidget *
new_turner (SlCustomerPages *self, const char *icon, const char *name)
{
  GtkWidget *button = gtk_button_new_from_icon_name (icon);

  sl_name_with_tip (button, name);
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (on_turner), self);
  gtk_box_append (GTK_BOX (self->turning), button);
  return button;
}

static void
sl_customer_pages_dispose (GObject *object)
{
  g_clear_handle_id (&SL_CUSTOMER_PAGES (object)->told_id, g_source_remove);
  G_OBJECT_CLASS (sl_customer_pages_parent_class)->dispose (object);
}

static void
sl_customer_pages_finalize (GObject *object)
{
  SlCustomerPages *self = SL_CUSTOMER_PAGES (object);

  g_ptr_array_unref (self->labels);
  g_ptr_array_unref (self->titles);
  g_ptr_array_unref (self->headings);
  g_array_unref (self->pages);
  G_OBJECT_CLASS (sl_customer_pages_parent_class)->finalize (object);
}

static void
sl_customer_pages_class_init (SlCustomerPagesClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_customer_pages_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_customer_pages_finalize;
  GTK_WIDGET_CLASS (class)->snapshot = sl_customer_pages_snapshot;
}

static void
sl_customer_pages_init (SlCustomerPages *self)
{
  GtkGesture *swipe = gtk_gesture_swipe_new ();

  self->labels = g_ptr_array_new ();
  self->titles = g_ptr_array_new ();
  self->headings = g_ptr_array_new_with_free_func (g_free);
  self->pages = g_array_new (FALSE, FALSE, sizeof (Page));
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-customer-pages");
  self->head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  self->heading = sl_label_new (NULL);
  gtk_label_set_ellipsize (GTK_LABEL (self->heading), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->heading, TRUE);
  gtk_widget_add_css_class (self->heading, "sl-customer-heading");
  self->turning = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->back = new_turner (self, "go-previous-symbolic", _ ("Previous page (Page Up)"));
  self->number = gtk_label_new (NULL);
  gtk_widget_add_css_class (self->number, "sl-numbers");
  gtk_box_append (GTK_BOX (self->turning), self->number);
  self->on = new_turner (self, "go-next-symbolic", _ ("Next page (Page Down)"));
  gtk_box_append (GTK_BOX (self->head), self->heading);
  gtk_box_append (GTK_BOX (self->head), self->turning);
  self->sheet = g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_GROUP, "overflow",
                              GTK_OVERFLOW_HIDDEN, "vexpand", TRUE, NULL);
  gtk_widget_set_layout_manager (self->sheet, gtk_custom_layout_new (NULL, measure, place));
  gtk_box_append (GTK_BOX (self), self->head);
  gtk_box_append (GTK_BOX (self), self->sheet);
  g_signal_connect (swipe, "swipe", G_CALLBACK (on_swipe), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (swipe));
  show_page (self);
}
