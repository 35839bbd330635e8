/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/message-bar.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define ROW_SPACING 12

struct _SlMessageBar
{
  GtkWidget parent_instance;
  GHashTable *rows; /* key → row widget, borrowed: the rows are children */
};

G_DEFINE_FINAL_TYPE (SlMessageBar, sl_message_bar, GTK_TYPE_WIDGET)

static void
sl_message_bar_dispose (GObject *object)
{
  SlMessageBar *self = SL_MESSAGE_BAR (object);
  GtkWidget *child;

  if (self->rows != NULL)
    g_hash_table_remove_all (self->rows);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (sl_message_bar_parent_class)->dispose (object);
}

static void
sl_message_bar_finalize (GObject *object)
{
  g_clear_pointer (&SL_MESSAGE_BAR (object)->rows, g_hash_table_unref);
  G_OBJECT_CLASS (sl_message_bar_parent_class)->finalize (object);
}

static void
sl_message_bar_class_init (SlMessageBarClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_message_bar_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_message_bar_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "messages");
}

static void
sl_message_bar_init (SlMessageBar *self)
{
  self->rows = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  gtk_orientable_set_orientation (GTK_ORIENTABLE (gtk_widget_get_layout_manager (GTK_WIDGET (self))),
                                  GTK_ORIENTATION_VERTICAL);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

void
sl_message_bar_withdraw (SlMessageBar *self, const char *key)
{
  GtkWidget *row = g_hash_table_lookup (self->rows, key);

  if (row == NULL)
    return;
  g_hash_table_remove (self->rows, key);
  gtk_widget_unparent (row);
  gtk_widget_set_visible (GTK_WIDGET (self), g_hash_table_size (self->rows) > 0);
}

/* A button of a message was pressed. Its key may go with the row, so it is copied first. */
static void
on_button_clicked (GtkButton *button, gpointer data)
{
  GtkWidget *row = data;
  SlMessageBar *self = SL_MESSAGE_BAR (gtk_widget_get_parent (row));
  g_autofree char *key = g_strdup (g_object_get_data (G_OBJECT (row), "key"));
  g_autofree char *action = g_strdup (g_object_get_data (G_OBJECT (button), "action"));

  sl_message_bar_withdraw (self, key);
  if (action != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self), action, NULL);
}

static void
add_button (GtkWidget *row, const SlMessageButton *spec)
{
  GtkWidget *button = gtk_button_new_with_label (spec->label);

  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  g_object_set_data_full (G_OBJECT (button), "action", g_strdup (spec->action), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (on_button_clicked), row);
  gtk_box_append (GTK_BOX (row), button);
}

static GtkWidget *
make_row (const char *key, SlMessageKind kind, const char *text, const SlMessageButton *buttons)
{
  static const char *const classes[] = { "notice", "warning", "error" };
  static const char *const icons[] = { "dialog-information-symbolic", "dialog-warning-symbolic",
                                       "dialog-error-symbolic" };
  GtkWidget *row =
      g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_ALERT, "spacing", ROW_SPACING, NULL);
  GtkWidget *icon = gtk_image_new_from_icon_name (icons[kind]);
  GtkWidget *label = gtk_label_new (text);
  GtkWidget *close = gtk_button_new_from_icon_name ("window-close-symbolic");

  gtk_accessible_update_property (GTK_ACCESSIBLE (icon), GTK_ACCESSIBLE_PROPERTY_LABEL, "", -1);
  gtk_widget_add_css_class (row, "message");
  gtk_widget_add_css_class (row, classes[kind]);
  sl_set_accessible_label (row, text);
  g_object_set_data_full (G_OBJECT (row), "key", g_strdup (key), g_free);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_natural_wrap_mode (GTK_LABEL (label), GTK_NATURAL_WRAP_NONE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_set_can_focus (label, FALSE);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), icon);
  gtk_box_append (GTK_BOX (row), label);
  for (; buttons != NULL && buttons->label != NULL; buttons++)
    add_button (row, buttons);
  gtk_widget_add_css_class (close, "flat");
  gtk_widget_set_valign (close, GTK_ALIGN_CENTER);
  sl_name_with_tip (close, _ ("Close message"));
  g_signal_connect (close, "clicked", G_CALLBACK (on_button_clicked), row);
  gtk_box_append (GTK_BOX (row), close);
  return row;
}

void
sl_message_bar_show (SlMessageBar *self, const char *key, SlMessageKind kind, const char *text,
                     const SlMessageButton *buttons)
{
  GtkWidget *row = make_row (key, kind, text, buttons);

  sl_message_bar_withdraw (self, key);
  gtk_widget_set_parent (row, GTK_WIDGET (self));
  g_hash_table_insert (self->rows, g_strdup (key), row);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
}
