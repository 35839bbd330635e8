/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/caution-line.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

static GtkWidget *
caption_new (const char *text)
{
  GtkWidget *label = sl_text_new (text);

  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, "sl-more");
  return label;
}

static void
on_toggled (GtkToggleButton *button, GtkWidget *whole)
{
  const gboolean open = gtk_toggle_button_get_active (button);

  gtk_widget_set_visible (whole, open);
  gtk_accessible_update_state (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_STATE_EXPANDED, open, -1);
}

GtkWidget *
sl_caution_line_new (const char *brief, const char *whole)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
  GtkWidget *icon = gtk_image_new_from_icon_name ("dialog-warning-symbolic"), *button = gtk_toggle_button_new (),
            *text = caption_new (whole);

  gtk_widget_add_css_class (box, "sl-care");
  gtk_widget_add_css_class (button, "sl-care-button");
  gtk_widget_set_halign (button, GTK_ALIGN_START);
  sl_set_accessible_label (icon, C_ ("icon", "caution"));
  gtk_box_append (GTK_BOX (line), icon);
  gtk_box_append (GTK_BOX (line), caption_new (brief));
  gtk_button_set_child (GTK_BUTTON (button), line);
  sl_set_accessible_label (button, brief);
  gtk_widget_set_tooltip_text (button, whole);
  gtk_accessible_update_state (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_STATE_EXPANDED, FALSE, -1);
  gtk_widget_add_css_class (text, "sl-dim");
  gtk_widget_set_visible (text, FALSE);
  g_signal_connect_object (button, "toggled", G_CALLBACK (on_toggled), text, 0);
  gtk_box_append (GTK_BOX (box), button);
  gtk_box_append (GTK_BOX (box), text);
  return box;
}
