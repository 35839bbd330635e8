/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/parts.h"

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

  /* template widgets, in the order they are bound in */
  GtkWidget *head, *heading, *turning, *back, *number, *on;
  GtkWidget *sheet; /* a box whose labels place() lays out */

  /* owned */
  GPtrArray *labels; /* of the sheet */
  GPtrArray *titles; /* one a label: the heading it has where its section begins below another one */
  GArray *pages;     /* of Page */
  int wanted;        /* the page asked for */
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

static const char *
heading_of (SlCustomerPages *self, guint i)
{
  return gtk_label_get_text (g_ptr_array_index (self->titles, i));
}

static void
show_page (SlCustomerPages *self)
{
  const int n = sl_customer_pages_get_n (self), shown = sl_customer_pages_get_page (self);
  const Page *page = current (self);
  const char *heading = page != NULL ? heading_of (self, page->first) : NULL;

  g_clear_handle_id (&self->told_id, g_source_remove);
  sl_label_set (self->heading, heading != NULL ? heading : "");
  sl_label_say (self->number, _ ("%d of %d"), shown + 1, n);
  gtk_widget_set_visible (self->turning, n > 1);
  gtk_widget_set_sensitive (self->back, shown > 0);
  gtk_widget_set_sensitive (self->on, shown + 1 < n);
  sl_set_accessible_label (self->sheet, heading != NULL ? heading : _ ("Work and care"));
}

/* Not at once: it changes sizes, and sizes may be being allocated. */
static void
show_page_soon (SlCustomerPages *self)
{
  if (self->told_id == 0)
    self->told_id = g_idle_add_once ((GSourceOnceFunc) show_page, self);
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

/* Of the one a section begins with; else 0. */
static int
title_height (SlCustomerPages *self, guint i, int width)
{
  const gboolean begins = i == 0 || !g_str_equal (heading_of (self, i), heading_of (self, i - 1));

  return begins ? sl_natural_height (g_ptr_array_index (self->titles, i), width) : 0;
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
      const int line = line_height (label), tall = sl_natural_height (label, width);
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
  const int tall = sl_natural_height (label, width);

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
  g_array_set_size (self->pages, 0);
}

void
sl_customer_pages_add (SlCustomerPages *self, const char *heading, const char *text)
{
  g_ptr_array_add (self->titles, sl_text_add (self->sheet, heading, "sl-customer-heading"));
  g_ptr_array_add (self->labels, sl_text_add (self->sheet, text, "sl-customer-words"));
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

static void
sl_customer_pages_dispose (GObject *object)
{
  SlCustomerPages *self = SL_CUSTOMER_PAGES (object);

  g_clear_handle_id (&self->told_id, g_source_remove);
  G_OBJECT_CLASS (sl_customer_pages_parent_class)->dispose (object);
  g_clear_pointer (&self->labels, g_ptr_array_unref);
  g_clear_pointer (&self->titles, g_ptr_array_unref);
  g_clear_pointer (&self->pages, g_array_unref);
}

static void
sl_customer_pages_class_init (SlCustomerPagesClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_customer_pages_dispose;
  GTK_WIDGET_CLASS (class)->snapshot = sl_customer_pages_snapshot;
  sl_template_bind (class, "customer-pages", SL_MEMBERS (SlCustomerPages, head, sheet),
                    "head heading turning back number on sheet", SL_CALL (on_turner), SL_CALL (on_swipe), NULL);
}

static void
sl_customer_pages_init (SlCustomerPages *self)
{
  self->labels = g_ptr_array_new ();
  self->titles = g_ptr_array_new ();
  self->pages = g_array_new (FALSE, FALSE, sizeof (Page));
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_layout_manager (self->sheet, gtk_custom_layout_new (NULL, measure, place));
  show_page (self);
}
