/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#define CLOCK_KEY "sl-passing"
#define PASSING_SECONDS 10 /* long enough to read two lines twice */

static void
remove_row (GtkWidget *row)
{
  GtkWidget *bar = gtk_widget_get_parent (row);

  gtk_box_remove (GTK_BOX (bar), row);
  gtk_widget_set_visible (bar, gtk_widget_get_first_child (bar) != NULL);
}

/* A row has its key as its name. */
void
sl_message_withdraw (GtkWidget *bar, const char *key)
{
  for (GtkWidget *row = gtk_widget_get_first_child (bar); row != NULL; row = gtk_widget_get_next_sibling (row))
    if (g_str_equal (gtk_widget_get_name (row), key))
      {
        remove_row (row);
        return;
      }
}

static gboolean
on_passed (gpointer row)
{
  const GtkStateFlags held = GTK_STATE_FLAG_PRELIGHT | GTK_STATE_FLAG_FOCUS_WITHIN;

  if (gtk_widget_get_state_flags (row) & held)
    return G_SOURCE_CONTINUE;
  g_object_steal_data (row, CLOCK_KEY);
  remove_row (row);
  return G_SOURCE_REMOVE;
}

static void
stop_clock (gpointer source)
{
  g_source_remove (GPOINTER_TO_UINT (source));
}

static void
on_button_clicked (GtkButton *button, GtkWidget *row)
{
  GtkWidget *bar = gtk_widget_get_parent (row);
  const char *action = g_object_get_data (G_OBJECT (button), "action");
  g_autofree char *name = NULL;
  g_autoptr (GVariant) target = NULL;

  if (action != NULL)
    g_action_parse_detailed_name (action, &name, &target, NULL);
  remove_row (row);
  if (name != NULL)
    gtk_widget_activate_action_variant (bar, name, target);
}

typedef struct
{
  GtkWidget *row, *icon, *label, *close; /* bound in this order */
} Row;

void
sl_message_show (GtkWidget *bar, const char *key, SlMessageKind kind, const SlMessageButton *buttons,
                 const char *format, ...)
{
  static const char *const classes[] = { "notice", "warning", "error", "notice" };
  static const char *const icons[] = { "dialog-information-symbolic", "dialog-warning-symbolic",
                                       "dialog-error-symbolic", "dialog-information-symbolic" };
  g_autofree char *text = NULL;
  va_list values;
  Row made;
  GtkWidget *row = sl_build ("message", &made, SL_MEMBERS (Row, row, close), "row icon label close",
                             SL_CALL (on_button_clicked), NULL);

  va_start (values, format);
  text = g_strdup_vprintf (format, values);
  va_end (values);
  gtk_image_set_from_icon_name (GTK_IMAGE (made.icon), icons[kind]);
  sl_set_accessible_label (made.icon, "");
  sl_label_set (made.label, text);
  gtk_widget_add_css_class (row, classes[kind]);
  sl_set_accessible_label (row, text);
  gtk_widget_set_name (row, key);
  for (; buttons != NULL && buttons->label != NULL; buttons++)
    {
      GtkWidget *button = gtk_button_new_with_label (buttons->label);

      gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
      g_object_set_data_full (G_OBJECT (button), "action", g_strdup (buttons->action), g_free);
      g_signal_connect (button, "clicked", G_CALLBACK (on_button_clicked), row);
      gtk_widget_insert_before (button, row, made.close);
    }
  sl_message_withdraw (bar, key);
  if (kind == SL_MESSAGE_PASSING)
    g_object_set_data_full (G_OBJECT (row), CLOCK_KEY,
                            GUINT_TO_POINTER (g_timeout_add_seconds (PASSING_SECONDS, on_passed, row)), stop_clock);
  gtk_box_append (GTK_BOX (bar), row);
  gtk_widget_set_visible (bar, TRUE);
}
