/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#include "draw/base/scene.h"

/* Below these the pictures' labels run short of room. */
#define PICTURE_LEAST_WIDTH 470
#define PICTURE_LEAST_HEIGHT 310
#define PICTURE_BENEATH_HEIGHT 380
/* Wider ones have larger text, up to so much. */
#define PLAIN_PICTURE_WIDTH 1000
#define MOST_ENLARGED 1.25
#define SPACING SL_SPACE_WIDE

/* ---- following the bench ---- */

typedef struct
{
  void (*update) (gpointer data);
  gpointer data;
  gboolean stale;
} Follow;

void
sl_update_seen (GtkWidget *widget)
{
  Follow *follow = g_object_get_data (G_OBJECT (widget), "follow");

  follow->stale = !gtk_widget_get_mapped (widget);
  if (!follow->stale)
    follow->update (follow->data);
}

static void
on_map (GtkWidget *widget)
{
  Follow *follow = g_object_get_data (G_OBJECT (widget), "follow");

  if (follow->stale)
    sl_update_seen (widget);
}

void
sl_follow_while_seen (GtkWidget *widget, SlBench *bench, SlChanges which, GCallback update, gpointer data)
{
  Follow *follow = g_new0 (Follow, 1);

  *follow = (Follow){ (void (*) (gpointer)) update, data, TRUE };
  g_object_set_data_full (G_OBJECT (widget), "follow", follow, g_free);
  sl_bench_follow (bench, which, G_CALLBACK (sl_update_seen), widget);
  g_signal_connect (widget, "map", G_CALLBACK (on_map), NULL);
}

void
sl_part_set_tools (GtkWidget *page, GtkWidget *tools)
{
  sl_flow (tools, SL_SPACE);
  g_object_set_data (G_OBJECT (page), "tools", tools);
}

/* ---- pictures and remarks ---- */

SlPictureOptions
sl_picture_options_for (SlBench *bench, GtkWidget *widget, SlPictureKind kind, double width, double height)
{
  SlPictureOptions options;

  sl_picture_options_init (&options);
  options.kind = kind;
  options.width = width;
  options.height = height;
  options.string = sl_bench_get_string (bench);
  options.lengths = sl_bench_get_lengths (bench);
  options.decimal = sl_decimal_sign ();
  options.look = sl_look ();
  options.text_scale = sl_text_scale (widget);
  if (kind > SL_PICTURE_ALL) /* a sheet's own is read from further away where it has the window to itself */
    options.text_scale *= CLAMP (width / (PLAIN_PICTURE_WIDTH * options.text_scale), 1, MOST_ENLARGED);
  return options;
}

static void
map_free (gpointer map)
{
  sl_picture_map_clear (map);
  g_free (map);
}

static gboolean
on_query_tooltip (GtkWidget *area, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  const SlPictureLabel *mark = sl_picture_area_mark (area, x, y);

  if (mark == NULL)
    return FALSE;
  gtk_tooltip_set_text (tooltip, mark->text);
  gtk_tooltip_set_tip_area (tooltip, &(GdkRectangle){ (int) mark->rect.x, (int) mark->rect.y, (int) mark->rect.width,
                                                      (int) mark->rect.height });
  return TRUE;
}

SlPictureMap *
sl_picture_area_map (GtkWidget *area)
{
  SlPictureMap *map = g_object_get_data (G_OBJECT (area), "map");

  if (map == NULL)
    {
      map = g_new (SlPictureMap, 1);
      sl_picture_map_init (map);
      g_object_set_data_full (G_OBJECT (area), "map", map, map_free);
      gtk_widget_set_has_tooltip (area, TRUE);
      g_signal_connect (area, "query-tooltip", G_CALLBACK (on_query_tooltip), NULL);
    }
  return map;
}

const SlPictureLabel *
sl_picture_area_mark (GtkWidget *area, double x, double y)
{
  const SlRect point = { x, y, 0, 0 };

  SL_EACH (const SlPictureLabel, mark, sl_picture_area_map (area)->marks)
    if (sl_rects_meet (&mark->rect, &point, 0))
      return mark;
  return NULL;
}

void
sl_picture_area_init (GtkWidget *area, GtkDrawingAreaDrawFunc draw, gpointer data)
{
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw, data, NULL);
  sl_follow_look (area);
}

/* ---- the frame ---- */

typedef struct
{
  GtkWidget *frame, *head, *segments, *tools, *body, *pages; /* bound in this order */
  int picture_least;
} Frame;

/* What is enough for labels of usual size, for those there are. */
static int
for_text (GtkWidget *body, int enough)
{
  return (int) (enough * sl_text_scale (body));
}

/* The width the parts get where the picture can stand beside them; 0 where it can't. */
static int
width_beside (GtkWidget *body, int width)
{
  const Frame *self = g_object_get_data (G_OBJECT (gtk_widget_get_parent (body)), "frame");
  const int natural = sl_natural_width (self->pages);

  return width >= natural + SPACING + for_text (body, self->picture_least) ? natural : 0;
}

static void
measure_body (GtkWidget *body, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  GtkWidget *pages = gtk_widget_get_first_child (body);
  int beside, height;

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      gtk_widget_measure (pages, orientation, -1, minimum, natural, NULL, NULL);
      return;
    }
  beside = for_size < 0 ? 0 : width_beside (body, for_size);
  height = sl_least (pages, orientation, beside > 0 ? beside : for_size);
  *minimum = *natural = beside > 0 ? MAX (height, for_text (body, PICTURE_LEAST_HEIGHT))
                                   : height + SPACING + for_text (body, PICTURE_BENEATH_HEIGHT);
}

static void
allocate_body (GtkWidget *body, int width, int height, int baseline)
{
  GtkWidget *pages = gtk_widget_get_first_child (body), *picture = gtk_widget_get_next_sibling (pages);
  const int beside = width_beside (body, width), share = sl_least (pages, GTK_ORIENTATION_VERTICAL, width),
            beneath = height - share - SPACING;

  /* where it is larger, as long as its labels have room there */
  if (beside > 0 &&
      (beneath < for_text (body, PICTURE_LEAST_HEIGHT) || beneath * width < height * (width - beside - SPACING)))
    {
      gtk_widget_size_allocate (pages, &(GtkAllocation){ 0, 0, beside, height }, -1);
      gtk_widget_size_allocate (picture, &(GtkAllocation){ beside + SPACING, 0, width - beside - SPACING, height }, -1);
      return;
    }
  gtk_widget_size_allocate (pages, &(GtkAllocation){ 0, 0, width, share }, -1);
  gtk_widget_size_allocate (picture, &(GtkAllocation){ 0, share + SPACING, width, beneath }, -1);
}

static void
on_part_chosen (GtkToggleButton *button, const Frame *self)
{
  GtkWidget *page = g_object_get_data (G_OBJECT (button), "page");

  if (!gtk_toggle_button_get_active (button))
    return;
  gtk_stack_set_visible_child (GTK_STACK (self->pages), page);
  gtk_stack_set_visible_child (GTK_STACK (self->tools), g_object_get_data (G_OBJECT (page), "tools"));
}

void
sl_sheet_frame_add (GtkWidget *frame, const char *title, GtkWidget *page)
{
  Frame *self = g_object_get_data (G_OBJECT (frame), "frame");
  GtkWidget *button = sl_segment_add (self->segments, title), *tools = g_object_get_data (G_OBJECT (page), "tools");

  if (tools == NULL)
    sl_part_set_tools (page, tools = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0));
  /* titles, so that assistive technology does not read what kind of widget a page is */
  gtk_stack_add_titled (GTK_STACK (self->pages), page, NULL, title);
  gtk_stack_add_titled (GTK_STACK (self->tools), tools, NULL, title);
  g_object_set_data (G_OBJECT (button), "page", page);
  g_signal_connect (button, "toggled", G_CALLBACK (on_part_chosen), self);
}

GtkWidget *
sl_sheet_frame_new (const char *name, GtkWidget *picture, int picture_least)
{
  Frame *self = g_new0 (Frame, 1);
  GtkWidget *frame =
      sl_build ("sheet-frame", self, SL_MEMBERS (Frame, frame, pages), "frame head segments tools body pages", NULL);

  g_object_set_data_full (G_OBJECT (frame), "frame", self, g_free);
  sl_set_accessible_label (frame, name);
  self->picture_least = picture_least > 0 ? picture_least : PICTURE_LEAST_WIDTH;
  sl_flow (self->head, SPACING);
  sl_lay_out (self->body, measure_body, allocate_body);
  gtk_box_append (GTK_BOX (self->body), picture);
  return frame;
}

/* ---- a list of pages ---- */

static GtkWidget *
new_page_row (gpointer page, gpointer data)
{
  const char *title = gtk_stack_page_get_title (page);
  GtkWidget *row = g_object_new (GTK_TYPE_LIST_BOX_ROW, "child", sl_label_new (title, NULL), NULL);

  sl_set_accessible_label (row, title);
  return row;
}

static void
on_page_row (GtkSelectionModel *pages, GtkListBoxRow *row)
{
  if (row != NULL)
    gtk_selection_model_select_item (pages, (guint) gtk_list_box_row_get_index (row), TRUE);
}

static void
on_page_shown (GtkListBox *list, GParamSpec *pspec, GtkStack *stack)
{
  g_autoptr (GtkSelectionModel) pages = gtk_stack_get_pages (stack);
  g_autoptr (GtkBitset) shown = gtk_selection_model_get_selection (pages);

  if (!gtk_bitset_is_empty (shown))
    gtk_list_box_select_row (list, gtk_list_box_get_row_at_index (list, (int) gtk_bitset_get_minimum (shown)));
}

/* Tab goes on from the list, not from row to row, each of which would turn to its page; the arrows do. */
gboolean
sl_list_key (GtkWidget *list, guint key)
{
  if (key != GDK_KEY_Tab && key != GDK_KEY_ISO_Left_Tab)
    return GDK_EVENT_PROPAGATE;
  gtk_widget_set_can_focus (list, FALSE); /* passed over meanwhile */
  gtk_widget_child_focus (GTK_WIDGET (gtk_widget_get_root (list)),
                          key == GDK_KEY_Tab ? GTK_DIR_TAB_FORWARD : GTK_DIR_TAB_BACKWARD);
  gtk_widget_set_can_focus (list, TRUE);
  return GDK_EVENT_STOP;
}

GtkWidget *
sl_page_list_new (GtkStack *stack, const char *name)
{
  g_autoptr (GtkSelectionModel) pages = gtk_stack_get_pages (stack);
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkWidget *list = g_object_new (GTK_TYPE_LIST_BOX, "selection-mode", GTK_SELECTION_BROWSE, NULL),
            *scrolled = sl_scrolled_new (list, name);

  sl_set_accessible_label (list, name);
  gtk_widget_add_css_class (list, "navigation-sidebar");
  sl_add_classes (scrolled, "sidebar", "sl-pages");
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (sl_list_key), list);
  gtk_widget_add_controller (list, keys);
  gtk_list_box_bind_model (GTK_LIST_BOX (list), G_LIST_MODEL (pages), new_page_row, NULL, NULL);
  g_signal_connect_object (list, "row-selected", G_CALLBACK (on_page_row), pages, G_CONNECT_SWAPPED);
  g_signal_connect_object (stack, "notify::visible-child", G_CALLBACK (on_page_shown), list, G_CONNECT_SWAPPED);
  on_page_shown (GTK_LIST_BOX (list), NULL, stack);
  return scrolled;
}
