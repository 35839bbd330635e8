/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/run-order-editor.h"

#include "desk/kit/row-list.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

struct _SlRunOrderEditor
{
  GtkBox parent_instance;

  GtkWidget *list;         /* child */
  int asks[SL_N_RUN_ASKS]; /* in their order */
  gboolean asked[SL_N_RUN_ASKS];
  SlBridgeKind kind;
};

G_DEFINE_FINAL_TYPE (SlRunOrderEditor, sl_run_order_editor, GTK_TYPE_BOX)

enum
{
  ORDER_CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

static int
count_asked (SlRunOrderEditor *self)
{
  int n = 0;

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    n += self->asked[i];
  return n;
}

typedef struct
{
  GtkWidget *check, *up, *down;
} AskRow;

enum
{
  UP_COLUMN = 1,
  DOWN_COLUMN
};

static void
fill_row (SlRow *row)
{
  AskRow *controls = sl_row_get_controls (row);
  SlRunOrderEditor *self = sl_row_get_owner (row);
  const guint place = sl_row_get_place (row);
  const char *title = sl_run_ask_title (self->asks[place]);
  g_autofree char *up = g_strdup_printf (_ ("Ask earlier: %s"), title),
                  *down = g_strdup_printf (_ ("Ask later: %s"), title);

  gtk_check_button_set_label (GTK_CHECK_BUTTON (controls->check), title);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (controls->check), self->asked[place]);
  /* at least one is asked for, or there would be no run */
  gtk_widget_set_sensitive (controls->check, !(count_asked (self) == 1 && self->asked[place]));
  gtk_widget_set_sensitive (controls->up, place > 0);
  gtk_widget_set_sensitive (controls->down, place + 1 < SL_N_RUN_ASKS);
  sl_set_accessible_label (GTK_WIDGET (row), title);
  sl_name_with_tip (controls->up, up);
  sl_name_with_tip (controls->down, down);
}

static void
show (SlRunOrderEditor *self)
{
  sl_row_list_update (SL_ROW_LIST (self->list), SL_N_RUN_ASKS);
}

/* As kept: what is asked in its order, then the rest in the order of measuring. */
static void
read_order (SlRunOrderEditor *self)
{
  g_autoptr (GArray) order = sl_run_order (self->kind);
  int n = 0;

  for (guint i = 0; i < order->len; i++, n++)
    {
      self->asks[n] = g_array_index (order, int, i);
      self->asked[n] = TRUE;
    }
  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    {
      gboolean there = FALSE;

      for (guint k = 0; k < order->len; k++)
        there |= g_array_index (order, int, k) == sl_run_asks[i];
      if (there)
        continue;
      self->asks[n] = sl_run_asks[i];
      self->asked[n++] = FALSE;
    }
  show (self);
}

static void
keep (SlRunOrderEditor *self)
{
  g_autoptr (GArray) order = g_array_new (FALSE, FALSE, sizeof (int));

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    if (self->asked[i])
      g_array_append_val (order, self->asks[i]);
  sl_run_order_keep (self->kind, order);
  show (self);
  g_signal_emit (self, signals[ORDER_CHANGED], 0);
}

static void
on_check (SlRow *row)
{
  AskRow *controls = sl_row_get_controls (row);
  SlRunOrderEditor *self = sl_row_get_owner (row);

  if (!sl_row_listens (row))
    return;
  self->asked[sl_row_get_place (row)] = gtk_check_button_get_active (GTK_CHECK_BUTTON (controls->check));
  keep (self);
}

/* The keyboard goes along with what it moves. */
static void
move (SlRow *row, int by, guint column)
{
  SlRunOrderEditor *self = sl_row_get_owner (row);
  const guint from = sl_row_get_place (row), to = from + (guint) by;
  const int ask = self->asks[from];
  const gboolean asked = self->asked[from];

  self->asks[from] = self->asks[to];
  self->asked[from] = self->asked[to];
  self->asks[to] = ask;
  self->asked[to] = asked;
  keep (self);
  sl_row_list_focus (SL_ROW_LIST (self->list), to, column);
}

static void
on_up (SlRow *row)
{
  move (row, -1, UP_COLUMN);
}

static void
on_down (SlRow *row)
{
  move (row, 1, DOWN_COLUMN);
}

static void
make_row (SlRow *row)
{
  AskRow *controls = sl_row_get_controls (row);

  controls->check = sl_row_add (row, gtk_check_button_new_with_label ("")); /* named in fill_row() */
  gtk_widget_set_hexpand (controls->check, TRUE);
  g_signal_connect_swapped (controls->check, "toggled", G_CALLBACK (on_check), row);
  controls->up = sl_row_add_button (row, "go-up-symbolic", G_CALLBACK (on_up));
  controls->down = sl_row_add_button (row, "go-down-symbolic", G_CALLBACK (on_down));
}

static void
on_usual (SlRunOrderEditor *self)
{
  sl_run_order_keep (self->kind, NULL);
  read_order (self);
  g_signal_emit (self, signals[ORDER_CHANGED], 0);
}

static void
sl_run_order_editor_class_init (SlRunOrderEditorClass *class)
{
  signals[ORDER_CHANGED] =
      g_signal_new ("order-changed", SL_TYPE_RUN_ORDER_EDITOR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_run_order_editor_init (SlRunOrderEditor *self)
{
  GtkWidget *usual;

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("What is asked"));
  self->list = sl_row_list_new (_ ("What is asked"), 2, sizeof (AskRow), make_row, fill_row, self);
  gtk_box_append (GTK_BOX (self), self->list);
  usual = sl_button_add (GTK_WIDGET (self), _ ("Back to the usual order"), NULL, G_CALLBACK (on_usual), self);
  gtk_widget_set_halign (usual, GTK_ALIGN_START);
  gtk_widget_set_margin_top (usual, 6);
}

void
sl_run_order_editor_set_kind (SlRunOrderEditor *self, SlBridgeKind kind)
{
  self->kind = kind;
  read_order (self);
}

GtkWidget *
sl_run_order_editor_new (SlBridgeKind kind)
{
  SlRunOrderEditor *self = g_object_new (SL_TYPE_RUN_ORDER_EDITOR, NULL);

  sl_run_order_editor_set_kind (self, kind);
  return GTK_WIDGET (self);
}
