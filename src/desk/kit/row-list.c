/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#define MOST_AT_ONCE 100 /* rows: each has half a dozen widgets, and all of a column are measured together */

struct _SlRowList
{
  GtkBox parent_instance;

  GtkWidget *heads, *rows, *rest; /* children */
  guint n;                        /* elements */
  guint first, n_rows;            /* of them that have a row */
  GPtrArray *columns;             /* its data, of size groups */
  SlRowFunc make, fill;
  gsize size;
  gpointer owner;
  int spacing;
  gboolean busy;
};

G_DEFINE_FINAL_TYPE (SlRow, sl_row, GTK_TYPE_BOX)
G_DEFINE_FINAL_TYPE (SlRowList, sl_row_list, GTK_TYPE_BOX)

/* ---- a row ---- */

static guint
place_of (GtkWidget *child)
{
  guint place = 0;

  while ((child = gtk_widget_get_prev_sibling (child)) != NULL)
    place++;
  return place;
}

guint
sl_row_get_place (SlRow *row)
{
  return row->list->first + place_of (GTK_WIDGET (row));
}

gboolean
sl_row_listens (SlRow *row)
{
  return gtk_widget_get_parent (GTK_WIDGET (row)) != NULL && !row->list->busy;
}

static GtkSizeGroup *
column (SlRowList *self, guint number)
{
  while (self->columns->len <= number)
    g_ptr_array_add (self->columns, gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL));
  return g_ptr_array_index (self->columns, number);
}

void
sl_row_build (SlRow *row, const char *file, gsize first, gsize last, const char *names, ...)
{
  va_list handlers;
  guint n = 0;

  va_start (handlers, names);
  row->line = sl_build_for (row, file, row->controls, first, last, names, handlers);
  va_end (handlers);
  sl_flow (row->line, row->list->spacing);
  gtk_box_append (GTK_BOX (row), row->line);
  for (GtkWidget *one = gtk_widget_get_first_child (row->line); one != NULL; one = gtk_widget_get_next_sibling (one))
    {
      gtk_widget_set_valign (one, GTK_ALIGN_CENTER);
      gtk_size_group_add_widget (column (row->list, n++), one);
      if (SL_IS_LENGTH_ENTRY (one))
        gtk_box_append (GTK_BOX (row), sl_length_entry_new_message (SL_LENGTH_ENTRY (one)));
    }
}

static void
sl_row_class_init (SlRowClass *class)
{
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "row");
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_LIST_ITEM);
}

static void
sl_row_init (SlRow *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

/* ---- the list ---- */

static SlRow *
row_at (SlRowList *self, guint place)
{
  GtkWidget *row = gtk_widget_get_first_child (self->rows);

  for (; place > self->first; place--)
    row = gtk_widget_get_next_sibling (row);
  return SL_ROW (row);
}

void
sl_row_list_focus (SlRowList *self, guint place, guint number)
{
  SlRow *row = row_at (self, place);
  GtkWidget *control = gtk_widget_get_first_child (row->line);

  for (guint i = 0; i < number; i++)
    control = gtk_widget_get_next_sibling (control);
  if (!gtk_widget_grab_focus (control))
    gtk_widget_child_focus (GTK_WIDGET (row), GTK_DIR_TAB_FORWARD);
}

void
sl_row_list_remove (SlRow *row)
{
  SlRowList *self = row->list;
  const guint place = sl_row_get_place (row);
  GtkWidget *control = gtk_widget_get_focus_child (row->line);

  self->busy = TRUE;
  if (control != NULL && self->n_rows > 1)
    sl_row_list_focus (self, place + 1 < self->first + self->n_rows ? place + 1 : place - 1, place_of (control));
  else if (control != NULL)
    gtk_widget_child_focus (GTK_WIDGET (gtk_widget_get_root (GTK_WIDGET (self))), GTK_DIR_TAB_FORWARD);
  gtk_box_remove (GTK_BOX (self->rows), GTK_WIDGET (row));
  self->n_rows--;
  self->busy = FALSE;
}

void
sl_row_list_update (SlRowList *self, guint n)
{
  const guint from = n == self->n + 1 ? self->n / MOST_AT_ONCE * MOST_AT_ONCE : self->first,
              first = from < n ? from : 0, end = MIN (n, first + MOST_AT_ONCE), next = end < n ? end : 0;
  g_autofree char *rest = g_strdup_printf (_ ("Show %u to %u of %u"), next + 1, MIN (next + MOST_AT_ONCE, n), n);

  self->busy = TRUE;
  self->n = n;
  self->first = first;
  for (; self->n_rows > end - first; self->n_rows--)
    gtk_box_remove (GTK_BOX (self->rows), gtk_widget_get_last_child (self->rows));
  for (; self->n_rows < end - first; self->n_rows++)
    {
      SlRow *row = g_object_new (SL_TYPE_ROW, NULL);

      row->list = self;
      row->owner = self->owner;
      row->controls = g_malloc0 (self->size);
      g_object_set_data_full (G_OBJECT (row), "controls", row->controls, g_free);
      self->make (row);
      gtk_box_append (GTK_BOX (self->rows), GTK_WIDGET (row));
    }
  for (guint i = first; i < end; i++)
    self->fill (row_at (self, i));
  gtk_button_set_label (GTK_BUTTON (self->rest), rest);
  gtk_widget_set_visible (self->rest, n > MOST_AT_ONCE);
  if (self->heads != NULL)
    gtk_widget_set_visible (self->heads, n > 0);
  self->busy = FALSE;
}

/* What is typed in a row is taken before the row shows another element. After the last come the first ones. */
static void
on_rest (SlRowList *self)
{
  gtk_widget_grab_focus (self->rest);
  self->first += MOST_AT_ONCE;
  sl_row_list_update (self, self->n);
  sl_row_list_focus (self, self->first, 0);
}

void
sl_row_list_set_heads (SlRowList *self, const char *const *heads)
{
  if (self->heads != NULL)
    gtk_box_remove (GTK_BOX (self), self->heads);
  self->heads = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  sl_flow (self->heads, self->spacing); /* they fold as their columns do */
  for (guint i = 0; heads[i] != NULL; i++)
    {
      GtkWidget *head = sl_label_new (heads[i], "sl-dim sl-small");

      gtk_widget_set_hexpand (head, i == 0);
      gtk_size_group_add_widget (column (self, i), head);
      gtk_box_append (GTK_BOX (self->heads), head);
    }
  gtk_box_prepend (GTK_BOX (self), self->heads);
  gtk_widget_add_css_class (self->rows, "sl-apart");
}

static void
sl_row_list_dispose (GObject *object)
{
  SL_ROW_LIST (object)->busy = TRUE;
  G_OBJECT_CLASS (sl_row_list_parent_class)->dispose (object);
}

static void
sl_row_list_class_init (SlRowListClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_row_list_dispose;
}

static void
sl_row_list_init (SlRowList *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  self->columns = g_ptr_array_new_with_free_func (g_object_unref);
  g_object_set_data_full (G_OBJECT (self), "columns", self->columns, (GDestroyNotify) g_ptr_array_unref);
}

GtkWidget *
sl_row_list_new (const char *name, int spacing, gsize size, SlRowFunc make, SlRowFunc fill, gpointer owner)
{
  SlRowList *self = g_object_new (SL_TYPE_ROW_LIST, NULL);

  self->rows = g_object_new (GTK_TYPE_BOX, "css-name", "list", "accessible-role", GTK_ACCESSIBLE_ROLE_LIST,
                             "orientation", GTK_ORIENTATION_VERTICAL, NULL);
  self->rest = gtk_button_new_with_label (""); /* labelled by sl_row_list_update() */
  g_object_set (self->rest, "halign", GTK_ALIGN_START, "visible", FALSE, NULL);
  g_signal_connect_swapped (self->rest, "clicked", G_CALLBACK (on_rest), self);
  self->make = make;
  self->fill = fill;
  self->size = size;
  self->owner = owner;
  self->spacing = spacing;
  sl_set_accessible_label (self->rows, name);
  gtk_widget_add_css_class (self->rows, "sl-rows");
  gtk_box_append (GTK_BOX (self), self->rows);
  gtk_box_append (GTK_BOX (self), self->rest);
  return GTK_WIDGET (self);
}
