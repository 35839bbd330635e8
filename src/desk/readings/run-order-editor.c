/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/run-order-editor.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

struct _SlRunOrderEditor
{
  GtkBox parent_instance;

  GtkWidget *checks[SL_N_RUN_ASKS], *ups[SL_N_RUN_ASKS], *downs[SL_N_RUN_ASKS]; /* by place in the list */
  int asks[SL_N_RUN_ASKS];                                                      /* as they are */
  gboolean asked[SL_N_RUN_ASKS];
  SlBridgeKind kind;
  gboolean updating;
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

static void
show (SlRunOrderEditor *self)
{
  const gboolean one = count_asked (self) == 1;

  self->updating = TRUE;
  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    {
      const char *title = sl_run_ask_title (self->asks[i]);
      g_autofree char *up = g_strdup_printf (_ ("Ask earlier: %s"), title),
                      *down = g_strdup_printf (_ ("Ask later: %s"), title);

      gtk_check_button_set_label (GTK_CHECK_BUTTON (self->checks[i]), title);
      gtk_check_button_set_active (GTK_CHECK_BUTTON (self->checks[i]), self->asked[i]);
      /* at least one is asked for, or there would be no run */
      gtk_widget_set_sensitive (self->checks[i], !(one && self->asked[i]));
      gtk_widget_set_sensitive (self->ups[i], i > 0);
      gtk_widget_set_sensitive (self->downs[i], i + 1 < SL_N_RUN_ASKS);
      gtk_widget_set_tooltip_text (self->ups[i], up);
      gtk_widget_set_tooltip_text (self->downs[i], down);
      sl_set_accessible_label (self->ups[i], up);
      sl_set_accessible_label (self->downs[i], down);
    }
  self->updating = FALSE;
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

static int
place_of (GtkWidget *control)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (control), "place"));
}

static void
on_check (GtkCheckButton *check, SlRunOrderEditor *self)
{
  if (self->updating)
    return;
  self->asked[place_of (GTK_WIDGET (check))] = gtk_check_button_get_active (check);
  keep (self);
}

/* The keyboard goes along with what it moves. */
static void
move (SlRunOrderEditor *self, int from, int by, GtkWidget **buttons)
{
  const int to = from + by, ask = self->asks[from];
  const gboolean asked = self->asked[from];

  self->asks[from] = self->asks[to];
  self->asked[from] = self->asked[to];
  self->asks[to] = ask;
  self->asked[to] = asked;
  keep (self);
  gtk_widget_grab_focus (gtk_widget_is_sensitive (buttons[to]) ? buttons[to] : self->checks[to]);
}

static void
on_up (GtkWidget *button, SlRunOrderEditor *self)
{
  move (self, place_of (button), -1, self->ups);
}

static void
on_down (GtkWidget *button, SlRunOrderEditor *self)
{
  move (self, place_of (button), 1, self->downs);
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

static GtkWidget *
control (GtkWidget *widget, int place)
{
  g_object_set_data (G_OBJECT (widget), "place", GINT_TO_POINTER (place));
  return widget;
}

static void
sl_run_order_editor_init (SlRunOrderEditor *self)
{
  GtkWidget *usual = gtk_button_new_with_label (_ ("Back to the usual order"));

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("What is asked"));
  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    {
      GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 2);

      self->checks[i] = control (gtk_check_button_new_with_label (""), i);              /* named by show() */
      self->ups[i] = control (gtk_button_new_from_icon_name ("go-up-symbolic"), i);     /* named by show() */
      self->downs[i] = control (gtk_button_new_from_icon_name ("go-down-symbolic"), i); /* named by show() */
      gtk_widget_set_hexpand (self->checks[i], TRUE);
      gtk_widget_add_css_class (self->ups[i], "flat");
      gtk_widget_add_css_class (self->downs[i], "flat");
      g_signal_connect (self->checks[i], "toggled", G_CALLBACK (on_check), self);
      g_signal_connect (self->ups[i], "clicked", G_CALLBACK (on_up), self);
      g_signal_connect (self->downs[i], "clicked", G_CALLBACK (on_down), self);
      gtk_box_append (GTK_BOX (line), self->checks[i]);
      gtk_box_append (GTK_BOX (line), self->ups[i]);
      gtk_box_append (GTK_BOX (line), self->downs[i]);
      gtk_box_append (GTK_BOX (self), line);
    }
  gtk_widget_set_halign (usual, GTK_ALIGN_START);
  gtk_widget_set_margin_top (usual, 6);
  g_signal_connect_swapped (usual, "clicked", G_CALLBACK (on_usual), self);
  gtk_box_append (GTK_BOX (self), usual);
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
