/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/kind-chooser.h"

#include "desk/kit/util.h"

GtkWidget *
sl_kind_chooser_new (const char *name)
{
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  GtkWidget *chooser;

  for (int kind = SL_FIRST_KIND; kind <= SL_LAST_KIND; kind++)
    gtk_string_list_append (titles, sl_kind_title ((SlBridgeKind) kind));
  chooser = gtk_drop_down_new (G_LIST_MODEL (g_steal_pointer (&titles)), NULL);
  sl_guard_wheel (chooser);
  sl_set_accessible_label (chooser, name);
  gtk_widget_set_halign (chooser, GTK_ALIGN_START);
  return chooser;
}

SlBridgeKind
sl_kind_chooser_get (GtkWidget *chooser)
{
  return (SlBridgeKind) (SL_FIRST_KIND + gtk_drop_down_get_selected (GTK_DROP_DOWN (chooser)));
}
