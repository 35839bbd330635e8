/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/figure-table-private.h"

#include "desk/kit/util.h"

/* Out of sight, past whatever padding a row has; in order even there, by which Tab goes. */
#define BEYOND_EDGE 32

#define SMALL 0.84  /* of the usual size of type */
#define AIR 8       /* between figures of usual size, beside what the style has around each */
#define CLOSE_AIR 4 /* between small ones; wider than CLOSE they need more, a third of what they are wider */
#define CLOSE 24

SlFigureColumn *
sl_figure_column (SlFigureTable *self, guint c)
{
  return &g_array_index (self->columns, SlFigureColumn, c);
}

SlFigureRow *
sl_figure_row (SlFigureTable *self, guint r)
{
  return r < self->rows->len ? g_ptr_array_index (self->rows, r) : self->head;
}

static gboolean
scrolls (SlFigureTable *self, guint c)
{
  return c > 0 && (sl_figure_column (self, c)->is.flags & SL_COLUMN_FIXED) == 0;
}

gboolean
sl_figure_wraps (SlFigureTable *self, guint c)
{
  const SlColumn *is = &sl_figure_column (self, c)->is;

  return is->chars == 0 && (is->flags & SL_COLUMN_WIDE) != 0;
}

const char *
sl_figure_text (const SlFigureRow *row, guint c)
{
  GtkWidget *cell = row->cells[c];

  return cell == NULL                ? NULL
         : GTK_IS_LABEL (cell)       ? gtk_label_get_text (GTK_LABEL (cell))
         : GTK_IS_INSCRIPTION (cell) ? gtk_inscription_get_text (GTK_INSCRIPTION (cell))
                                     : NULL;
}

/* ---- where cells stand ---- */

/* The width is the table's affair. */
static void
measure_row (GtkWidget *box, GtkOrientation orientation, int for_size, int *minimum, int *natural,
             int *minimum_baseline, int *natural_baseline)
{
  for (GtkWidget *cell = gtk_widget_get_first_child (box); cell != NULL && orientation == GTK_ORIENTATION_VERTICAL;
       cell = gtk_widget_get_next_sibling (cell))
    *minimum = *natural = MAX (*natural, sl_natural_height (cell, -1));
}

/* 1, or −1 where the table goes from right to left: columns count from their beginning. */
static int
onward (GtkWidget *widget)
{
  return gtk_widget_get_direction (widget) == GTK_TEXT_DIR_RTL ? -1 : 1;
}

static void
allocate_row (GtkWidget *box, int width, int height, int baseline)
{
  SlFigureTable *self = SL_FIGURE_TABLE (gtk_widget_get_parent (box));
  const SlFigureRow *row = g_object_get_data (G_OBJECT (box), "figure-row");

  for (guint c = 0; c < self->columns->len; c++)
    if (row->cells[c] != NULL)
      {
        const SlFigureColumn *column = sl_figure_column (self, c);
        const int x = onward (box) > 0 ? column->x : width - column->x - column->width;

        if ((column->is.flags & SL_COLUMN_SNUG) != 0 && row != self->head)
          gtk_inscription_set_attributes (GTK_INSCRIPTION (row->cells[c]), self->is_small ? self->small : NULL);
        gtk_widget_set_child_visible (row->cells[c], column->seen || !column->spare);
        gtk_widget_size_allocate (row->cells[c], &(GtkAllocation){ x, 0, column->width, height }, -1);
      }
}

/* What a snug column's longest figure takes. */
static int
figure_width (SlFigureTable *self, guint c)
{
  SlFigureColumn *column = sl_figure_column (self, c);
  g_autoptr (PangoLayout) layout = NULL;
  const char *longest = "", *text;
  GtkWidget *cell = self->head->cells[c];
  int width;

  for (guint r = 0; r < self->rows->len; r++)
    if ((text = sl_figure_text (sl_figure_row (self, r), c)) != NULL && strlen (text) > strlen (longest))
      {
        longest = text;
        cell = sl_figure_row (self, r)->cells[c];
      }
  column->longest = strlen (longest);
  layout = gtk_widget_create_pango_layout (cell, longest);
  pango_layout_set_attributes (layout, self->is_small ? self->small : NULL);
  pango_layout_get_pixel_size (layout, &width, NULL);
  return width + sl_least (cell, GTK_ORIENTATION_HORIZONTAL, -1) +
         (self->is_small ? CLOSE_AIR + MAX (width - CLOSE, 0) / 3 : AIR);
}

/* What the cells of a column ask for. */
static void
measure_column (SlFigureTable *self, guint c, int *wants)
{
  SlFigureColumn *column = sl_figure_column (self, c);
  int least, natural;

  column->least = 0;
  for (guint r = 0; r <= self->rows->len; r++)
    if (sl_figure_row (self, r)->cells[c] != NULL)
      {
        gtk_widget_measure (sl_figure_row (self, r)->cells[c], GTK_ORIENTATION_HORIZONTAL, -1, &least, &natural, NULL,
                            NULL);
        column->least = MAX (column->least, (column->is.flags & SL_COLUMN_WIDE) != 0 ? least : natural);
        *wants = MAX (*wants, natural);
      }
  if ((column->is.flags & SL_COLUMN_SNUG) != 0 && !column->hidden)
    column->least = MAX (column->least, figure_width (self, c));
  *wants = MAX (*wants, column->least);
}

/* What the columns ask for, and all of them with what the rows have around theirs. */
static void
measure_columns (SlFigureTable *self, gboolean small)
{
  int offset = 0, spare = 0;

  self->is_small = small;
  self->fixed = self->natural = sl_least (self->head->box, GTK_ORIENTATION_HORIZONTAL, -1);
  self->widest = 0;
  for (guint c = 0; c < self->columns->len; c++)
    {
      SlFigureColumn *column = sl_figure_column (self, c);
      int wants = 0;

      measure_column (self, c, &wants);
      column->offset = offset;
      self->natural += wants;
      if (column->spare)
        spare += column->least;
      else if (scrolls (self, c))
        {
          offset += column->least;
          self->widest = MAX (self->widest, column->least);
        }
      else
        self->fixed += column->least;
    }
  self->least = self->fixed + offset;
  self->full = self->least + spare;
}

/* In small type where plain type does not fit. */
static void
fit_columns (SlFigureTable *self, int width)
{
  measure_columns (self, FALSE);
  if (width >= 0 && width < self->least)
    measure_columns (self, TRUE);
}

/* The wide ones share what is left. Where not all fit, whole ones from where the bar stands, the fixed ones around
 * them.
 */
static void
place_columns (SlFigureTable *self, int width)
{
  const int room = width - self->fixed, from = (int) gtk_adjustment_get_value (self->at);
  int x = 0, used = 0, kept = 0, left = room, n_wide = 0;

  for (guint c = 0; c < self->columns->len; c++)
    {
      SlFigureColumn *column = sl_figure_column (self, c);
      const gboolean moves = scrolls (self, c);

      column->seen = column->spare ? width >= self->full
                     : moves && width < self->least
                         ? column->offset >= from && (used == 0 || used + column->least <= room)
                         : !column->hidden;
      used += moves && !column->spare && column->offset >= from ? column->least : 0;
      left -= moves && column->seen ? column->least : 0;
      n_wide += column->seen && (column->is.flags & SL_COLUMN_WIDE) != 0;
    }
  for (guint c = 0; c < self->columns->len; c++)
    {
      SlFigureColumn *column = sl_figure_column (self, c);
      const int more = column->seen && (column->is.flags & SL_COLUMN_WIDE) != 0 ? MAX (left, 0) / n_wide-- : 0;

      column->width = column->least + more;
      column->x = column->offset + (column->offset < from ? -self->least - BEYOND_EDGE : width + BEYOND_EDGE);
      left -= more;
      if (!column->seen)
        continue;
      if (c > 0 && scrolls (self, c - 1) && !scrolls (self, c))
        x = MAX (x, kept + room); /* at the far end */
      column->x = x;
      x += column->width;
      kept += scrolls (self, c) ? 0 : column->least;
    }
}

/* The height of a row, or of what is not one: a name that wraps is as tall as the width of its column makes it. */
static int
child_height (SlFigureTable *self, GtkWidget *child, int width)
{
  const SlFigureRow *row = g_object_get_data (G_OBJECT (child), "figure-row");
  const int tall = sl_least (child, GTK_ORIENTATION_VERTICAL, row == NULL ? width : -1);
  int plain = 0, wrapped = 0;

  for (guint c = 0; row != NULL && self->wraps && c < self->columns->len; c++)
    if (row->cells[c] != NULL && gtk_widget_should_layout (row->cells[c]))
      {
        const int room = sl_figure_wraps (self, c) && width >= 0 ? sl_figure_column (self, c)->width : -1;

        plain = MAX (plain, sl_natural_height (row->cells[c], -1));
        wrapped = MAX (wrapped, sl_natural_height (row->cells[c], room));
      }
  return tall - plain + wrapped;
}

static void
measure_table (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
               int *minimum_baseline, int *natural_baseline)
{
  SlFigureTable *self = SL_FIGURE_TABLE (widget);

  fit_columns (self, for_size);
  if (for_size >= 0)
    place_columns (self, for_size);
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? self->fixed + self->widest : 0;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && orientation == GTK_ORIENTATION_VERTICAL;
       child = gtk_widget_get_next_sibling (child))
    if (child == self->bar ? for_size >= 0 && for_size < self->least : gtk_widget_should_layout (child))
      *minimum += child_height (self, child, for_size);
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? self->natural : *minimum;
}

static void
allocate_table (GtkWidget *widget, int width, int height, int baseline)
{
  SlFigureTable *self = SL_FIGURE_TABLE (widget);
  int room, all, y = 0, tall;
  gboolean other;

  fit_columns (self, width);
  room = width - self->fixed;
  all = self->least - self->fixed;
  other = MIN (room, all) != (int) gtk_adjustment_get_page_size (self->at) ||
          all != (int) gtk_adjustment_get_upper (self->at);
  gtk_adjustment_configure (self->at, CLAMP (gtk_adjustment_get_value (self->at), 0, MAX (all - room, 0)), 0, all,
                            self->widest, room, MIN (room, all));
  gtk_widget_set_child_visible (self->bar, room < all);
  place_columns (self, width);
  if (other && self->cursor_row >= 0)
    {
      sl_figure_scroll_to (self, (guint) self->cursor_column);
      place_columns (self, width);
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      if (!gtk_widget_should_layout (child))
        continue;
      tall = child_height (self, child, width);
      gtk_widget_queue_allocate (child); /* its columns may have moved though it has not */
      gtk_widget_size_allocate (child, &(GtkAllocation){ 0, y, width, tall }, -1);
      y += tall;
    }
}

void
sl_figure_scroll_to (SlFigureTable *self, guint c)
{
  const SlFigureColumn *column = sl_figure_column (self, c);

  if (scrolls (self, c) && (column->x < 0 || column->x + column->width > gtk_widget_get_width (self->head->box)))
    gtk_adjustment_set_value (self->at, column->offset < gtk_adjustment_get_value (self->at)
                                            ? column->offset
                                            : column->offset + column->least - gtk_adjustment_get_page_size (self->at));
}

/* A wheel that turns sideways, or with Shift. */
static gboolean
on_scroll (GtkEventControllerScroll *controller, double dx, double dy, SlFigureTable *self)
{
  if ((gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller)) & GDK_SHIFT_MASK) != 0)
    dx += dy;
  if (dx == 0 || !gtk_widget_get_child_visible (self->bar))
    return GDK_EVENT_PROPAGATE;
  gtk_adjustment_set_value (self->at,
                            gtk_adjustment_get_value (self->at) + dx * onward (GTK_WIDGET (self)) * self->widest);
  return GDK_EVENT_STOP;
}

SlFigureRow *
sl_figure_row_new (SlFigureTable *self)
{
  SlFigureRow *row = g_new0 (SlFigureRow, 1);

  row->box =
      g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_ROW, "overflow", GTK_OVERFLOW_HIDDEN, NULL);
  sl_lay_out (row->box, measure_row, allocate_row);
  gtk_widget_add_css_class (row->box, "sl-table-row");
  row->cells = g_new0 (GtkWidget *, self->columns->len);
  g_object_set_data (G_OBJECT (row->box), "figure-row", row);
  gtk_widget_insert_before (row->box, GTK_WIDGET (self), self->bar);
  return row;
}

/* ---- the cell cursor ---- */

/* One cell at a time takes the focus, so that Tab passes the table in one step and the arrow keys walk in it. */
static void
move_cursor (SlFigureTable *self, int r, int c, gboolean focus)
{
  GtkWidget *old = self->cursor_row < 0 ? NULL
                                        : sl_figure_row (self, (guint) self->cursor_row)->cells[self->cursor_column],
            *cell = sl_figure_row (self, (guint) r)->cells[c];

  self->cursor_row = r;
  self->cursor_column = c;
  gtk_widget_set_focusable (cell, TRUE);
  sl_figure_scroll_to (self, (guint) c);
  if (focus)
    gtk_widget_grab_focus (cell);
  if (old != NULL && old != cell)
    {
      gtk_widget_set_focusable (old, FALSE);
      gtk_widget_remove_css_class (old, "sl-cursor");
    }
  gtk_widget_add_css_class (cell, "sl-cursor");
  g_signal_emit_by_name (self, "cursor-moved");
}

void
sl_figure_seek (SlFigureTable *self, int r, int c, int by_row, int by_column, gboolean focus)
{
  for (; r >= 0 && r < (int) self->rows->len && c > 0 && c < (int) self->columns->len; r += by_row, c += by_column)
    {
      const char *text = sl_figure_text (sl_figure_row (self, (guint) r), (guint) c);

      if (text == NULL || text[0] == '\0' || sl_figure_column (self, (guint) c)->hidden ||
          (sl_figure_column (self, (guint) c)->spare && !sl_figure_column (self, (guint) c)->seen))
        continue;
      move_cursor (self, r, c, focus);
      return;
    }
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state, SlFigureTable *self)
{
  const int r = self->cursor_row, c = self->cursor_column, on = onward (GTK_WIDGET (self));

  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SHIFT_MASK)) != 0 || r < 0)
    return GDK_EVENT_PROPAGATE;
  switch (sl_plain_key (key))
    {
    case GDK_KEY_Left: sl_figure_seek (self, r, c - on, 0, -on, TRUE); break;
    case GDK_KEY_Right: sl_figure_seek (self, r, c + on, 0, on, TRUE); break;
    case GDK_KEY_Up: sl_figure_seek (self, r - 1, c, -1, 0, TRUE); break;
    case GDK_KEY_Down: sl_figure_seek (self, r + 1, c, 1, 0, TRUE); break;
    case GDK_KEY_Home: sl_figure_seek (self, r, 1, 0, 1, TRUE); break;
    case GDK_KEY_End: sl_figure_seek (self, r, (int) self->columns->len - 1, 0, -1, TRUE); break;
    case GDK_KEY_Return:
    case GDK_KEY_space: g_signal_emit_by_name (self, "row-activated", (guint) r); break;
    default: return GDK_EVENT_PROPAGATE;
    }
  return GDK_EVENT_STOP;
}

gboolean
sl_figure_find (SlFigureTable *self, GtkWidget *widget, guint *row, guint *column)
{
  *column = 0;
  for (GtkWidget *box; widget != NULL && widget != GTK_WIDGET (self); widget = box)
    {
      SlFigureRow *in = g_object_get_data (G_OBJECT (widget), "figure-row");

      box = gtk_widget_get_parent (widget);
      if (in != NULL)
        return g_ptr_array_find (self->rows, in, row);
      in = g_object_get_data (G_OBJECT (box), "figure-row");
      for (guint c = 0; in != NULL && c < self->columns->len; c++)
        if (in->cells[c] == widget)
          *column = c;
    }
  return FALSE;
}

static void
on_click (GtkGestureClick *gesture, int presses, double x, double y, SlFigureTable *self)
{
  guint r, c;

  if (!sl_figure_find (self, gtk_widget_pick (GTK_WIDGET (self), x, y, GTK_PICK_DEFAULT), &r, &c))
    return;
  if (self->cursor_row >= 0)
    sl_figure_seek (self, (int) r, (int) c, 0, (int) self->columns->len, TRUE);
  g_signal_emit_by_name (self, "row-activated", r);
}

void
sl_figure_table_set_cursor (SlFigureTable *self, guint row, guint column)
{
  sl_figure_seek (self, (int) row, (int) column, 0, 1, FALSE);
}

gboolean
sl_figure_table_get_cursor (SlFigureTable *self, guint *row, guint *column)
{
  *row = (guint) self->cursor_row;
  *column = (guint) self->cursor_column;
  return self->cursor_row >= 0;
}

/* The whole of it in words, for whoever rests on a row or a cell. */
static gboolean
on_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, SlFigureTable *self)
{
  guint r, c;
  g_autofree char *text = NULL;

  if (keyboard ? !sl_figure_table_get_cursor (self, &r, &c)
               : !sl_figure_find (self, gtk_widget_pick (widget, x, y, GTK_PICK_DEFAULT), &r, &c))
    return FALSE;
  text = self->sentence != NULL ? self->sentence (self->owner, r, c) : g_strdup (sl_figure_row (self, r)->sentence);
  gtk_tooltip_set_text (tooltip, text);
  return text != NULL;
}

void
sl_figure_place (SlFigureTable *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *keys = gtk_event_controller_key_new (),
                     *wheel = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);

  self->small = pango_attr_list_new ();
  pango_attr_list_insert (self->small, pango_attr_scale_new (SMALL));
  self->at = gtk_adjustment_new (0, 0, 0, 1, 1, 0);
  self->bar = gtk_scrollbar_new (GTK_ORIENTATION_HORIZONTAL, self->at); /* named with the table */
  gtk_box_append (GTK_BOX (self), self->bar);
  sl_lay_out (GTK_WIDGET (self), measure_table, allocate_table);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  g_signal_connect_swapped (self->at, "value-changed", G_CALLBACK (gtk_widget_queue_allocate), self);
  g_signal_connect (self, "query-tooltip", G_CALLBACK (on_tooltip), self);
  g_signal_connect (wheel, "scroll", G_CALLBACK (on_scroll), self);
  g_signal_connect (click, "pressed", G_CALLBACK (on_click), self);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), wheel);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}
