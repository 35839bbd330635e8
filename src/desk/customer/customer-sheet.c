/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/customer-sheet.h"

#define GAP_SHARE 0.35 /* between two sentences, of a line's height */
#define LEAST_LINES 2

/* The labels from @first to before @end; where it is a part of one label, from @offset down. */
typedef struct
{
  guint first, end;
  int offset;
} Page;

struct _SlCustomerSheet
{
  GtkWidget parent_instance;

  GPtrArray *labels;   /* borrowed: its children */
  GPtrArray *headings; /* owned strings, one a label */
  GArray *pages;       /* of Page */
  int wanted;          /* the page asked for */
  guint told_id;
};

G_DEFINE_FINAL_TYPE (SlCustomerSheet, sl_customer_sheet, GTK_TYPE_WIDGET)

static guint paged_signal;

static int
height_for (GtkWidget *label, int width)
{
  int height;

  gtk_widget_measure (label, GTK_ORIENTATION_VERTICAL, width, NULL, &height, NULL, NULL);
  return height;
}

/* Of the text, not counting what its style adds around it. */
static int
line_height (GtkWidget *widget)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (widget, "X");
  int height;

  pango_layout_get_pixel_size (layout, NULL, &height);
  return MAX (1, height);
}

static gboolean
begins_section (SlCustomerSheet *self, guint i)
{
  return i == 0 || g_strcmp0 (g_ptr_array_index (self->headings, i), g_ptr_array_index (self->headings, i - 1)) != 0;
}

static int
current (SlCustomerSheet *self)
{
  return CLAMP (self->wanted, 0, MAX (0, (int) self->pages->len - 1));
}

/* A label higher than a page: as many whole lines of it a page as there is room for. */
static void
add_slices (SlCustomerSheet *self, guint i, int label_height, int height, int line)
{
  const int slice = MAX (1, height / line) * line;

  for (int offset = 0; offset == 0 || offset + line / 2 < label_height; offset += slice)
    {
      Page page = { i, i + 1, offset };

      g_array_append_val (self->pages, page);
    }
}

static void
paginate (SlCustomerSheet *self, int width, int height)
{
  Page page = { 0, 0, 0 };
  int y = 0;

  g_array_set_size (self->pages, 0);
  for (guint i = 0; i < self->labels->len; i++)
    {
      GtkWidget *label = g_ptr_array_index (self->labels, i);
      const int line = line_height (label), tall = height_for (label, width),
                gap = page.end > page.first ? (int) (GAP_SHARE * line) : 0;

      if (page.end > page.first && (begins_section (self, i) || y + gap + tall > height))
        {
          g_array_append_val (self->pages, page);
          page = (Page){ i, i, 0 };
          y = 0;
        }
      if (tall > height)
        {
          add_slices (self, i, tall, height, line);
          page = (Page){ i + 1, i + 1, 0 };
          y = 0;
          continue;
        }
      y += (page.end > page.first ? gap : 0) + tall;
      page.end = i + 1;
    }
  if (page.end > page.first)
    g_array_append_val (self->pages, page);
}

static gboolean
emit_paged (gpointer data)
{
  SlCustomerSheet *self = data;

  self->told_id = 0;
  g_signal_emit (self, paged_signal, 0);
  return G_SOURCE_REMOVE;
}

/* Not at once: handlers change sizes, and this may run while sizes are being allocated. */
static void
emit_paged_soon (SlCustomerSheet *self)
{
  if (self->told_id == 0)
    self->told_id = g_idle_add (emit_paged, self);
}

static void
sl_customer_sheet_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  SlCustomerSheet *self = SL_CUSTOMER_SHEET (widget);
  const guint before = self->pages->len;
  const Page *page;
  int y;

  paginate (self, width, height);
  page = self->pages->len > 0 ? &g_array_index (self->pages, Page, current (self)) : NULL;
  y = page != NULL ? -page->offset : 0;
  for (guint i = 0; i < self->labels->len; i++)
    {
      GtkWidget *label = g_ptr_array_index (self->labels, i);
      const gboolean shown = page != NULL && i >= page->first && i < page->end;
      const int tall = shown ? height_for (label, width) : 0;

      gtk_widget_set_child_visible (label, shown);
      if (!shown)
        continue;
      gtk_widget_allocate (label, width, tall, -1, gsk_transform_translate (NULL, &GRAPHENE_POINT_INIT (0, (float) y)));
      y += tall + (int) (GAP_SHARE * line_height (label));
    }
  if (self->pages->len != before)
    emit_paged_soon (self);
}

/* A label that goes on over pages ends on each between two lines. */
static void
sl_customer_sheet_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  SlCustomerSheet *self = SL_CUSTOMER_SHEET (widget);
  GtkWidget *first = self->pages->len > 0
                         ? g_ptr_array_index (self->labels, g_array_index (self->pages, Page, current (self)).first)
                         : NULL;
  const int height = gtk_widget_get_height (widget), line = line_height (first != NULL ? first : widget);
  const int shown = first != NULL && gtk_widget_get_height (first) > height ? MAX (1, height / line) * line : height;

  gtk_snapshot_push_clip (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (widget), (float) shown));
  GTK_WIDGET_CLASS (sl_customer_sheet_parent_class)->snapshot (widget, snapshot);
  gtk_snapshot_pop (snapshot);
}

static void
sl_customer_sheet_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                           int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_VERTICAL ? LEAST_LINES * line_height (widget) : 0;
}

static GtkSizeRequestMode
sl_customer_sheet_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_CONSTANT_SIZE;
}

void
sl_customer_sheet_clear (SlCustomerSheet *self)
{
  for (guint i = 0; i < self->labels->len; i++)
    gtk_widget_unparent (g_ptr_array_index (self->labels, i));
  g_ptr_array_set_size (self->labels, 0);
  g_ptr_array_set_size (self->headings, 0);
  g_array_set_size (self->pages, 0);
}

void
sl_customer_sheet_add (SlCustomerSheet *self, GtkWidget *label, const char *heading)
{
  gtk_widget_set_parent (label, GTK_WIDGET (self));
  g_ptr_array_add (self->labels, label);
  g_ptr_array_add (self->headings, g_strdup (heading));
  emit_paged_soon (self);
}

int
sl_customer_sheet_get_n (SlCustomerSheet *self)
{
  return (int) self->pages->len;
}

int
sl_customer_sheet_get_page (SlCustomerSheet *self)
{
  return current (self);
}

void
sl_customer_sheet_set_page (SlCustomerSheet *self, int page)
{
  self->wanted = page;
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  emit_paged_soon (self);
}

const char *
sl_customer_sheet_get_heading (SlCustomerSheet *self)
{
  return self->pages->len == 0
             ? NULL
             : g_ptr_array_index (self->headings, g_array_index (self->pages, Page, current (self)).first);
}

static void
sl_customer_sheet_dispose (GObject *object)
{
  SlCustomerSheet *self = SL_CUSTOMER_SHEET (object);

  g_clear_handle_id (&self->told_id, g_source_remove);
  sl_customer_sheet_clear (self);
  G_OBJECT_CLASS (sl_customer_sheet_parent_class)->dispose (object);
}

static void
sl_customer_sheet_finalize (GObject *object)
{
  SlCustomerSheet *self = SL_CUSTOMER_SHEET (object);

  g_ptr_array_unref (self->labels);
  g_ptr_array_unref (self->headings);
  g_array_unref (self->pages);
  G_OBJECT_CLASS (sl_customer_sheet_parent_class)->finalize (object);
}

static void
sl_customer_sheet_class_init (SlCustomerSheetClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_customer_sheet_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_customer_sheet_finalize;
  widget_class->size_allocate = sl_customer_sheet_size_allocate;
  widget_class->snapshot = sl_customer_sheet_snapshot;
  widget_class->measure = sl_customer_sheet_measure;
  widget_class->get_request_mode = sl_customer_sheet_get_request_mode;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  paged_signal = g_signal_new ("paged", SL_TYPE_CUSTOMER_SHEET, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_customer_sheet_init (SlCustomerSheet *self)
{
  self->labels = g_ptr_array_new ();
  self->headings = g_ptr_array_new_with_free_func (g_free);
  self->pages = g_array_new (FALSE, FALSE, sizeof (Page));
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
}

GtkWidget *
sl_customer_sheet_new (void)
{
  return g_object_new (SL_TYPE_CUSTOMER_SHEET, NULL);
}
