/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/start-page.h"

#include "desk/window/left-view.h"
#include "desk/window/recent.h"
#include "bench/starting.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define N_CARDS 4
#define MOST_RECENT 5

struct _SlStartPage
{
  GtkBox parent_instance;

  /* template widgets */
  GtkWidget *cards[N_CARDS];
  GtkWidget *scrolled, *label_entry, *owner_entry, *complaint, *begin_button;
  GtkWidget *left, *recent, *recent_list;
};

G_DEFINE_FINAL_TYPE (SlStartPage, sl_start_page, GTK_TYPE_BOX)

static guint start_signal;

static char *
text_of (GtkWidget *entry)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
}

static void
on_begin (SlStartPage *self)
{
  g_autofree char *label = text_of (self->label_entry);

  if (*label == '\0')
    {
      gtk_widget_set_visible (self->complaint, TRUE);
      gtk_widget_add_css_class (self->label_entry, "error");
      gtk_accessible_update_state (GTK_ACCESSIBLE (self->label_entry), GTK_ACCESSIBLE_STATE_INVALID,
                                   GTK_ACCESSIBLE_INVALID_TRUE, -1);
      gtk_widget_grab_focus (self->label_entry);
      return;
    }
  g_signal_emit (self, start_signal, 0);
}

static void
on_label_changed (SlStartPage *self)
{
  gtk_widget_set_visible (self->complaint, FALSE);
  gtk_widget_remove_css_class (self->label_entry, "error");
  gtk_accessible_reset_state (GTK_ACCESSIBLE (self->label_entry), GTK_ACCESSIBLE_STATE_INVALID);
}

static void
add_recent (SlStartPage *self, GtkRecentInfo *info)
{
  const char *uri = gtk_recent_info_get_uri (info);
  g_autofree char *name = sl_recent_name (info);
  g_autoptr (GFile) file = g_file_new_for_uri (uri);
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autofree char *place = folder == NULL ? g_strdup ("") : g_file_get_parse_name (folder);
  g_autofree char *spoken = g_strdup_printf (_ ("Open %s, in %s"), name, place);
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *name_label = sl_label_new (name);
  GtkWidget *place_label = g_object_new (GTK_TYPE_LABEL, "label", place, "ellipsize", PANGO_ELLIPSIZE_START, NULL);
  GtkWidget *button = g_object_new (GTK_TYPE_BUTTON, "child", line, "action-name", "app.open-recent", "action-target",
                                    g_variant_new_string (uri), NULL);

  g_object_set (name_label, "hexpand", TRUE, "ellipsize", PANGO_ELLIPSIZE_END, NULL);
  sl_add_classes (place_label, "sl-dim", "sl-small");
  gtk_box_append (GTK_BOX (line), name_label);
  gtk_box_append (GTK_BOX (line), place_label);
  gtk_widget_add_css_class (button, "sl-recent");
  sl_set_accessible_label (button, spoken);
  gtk_box_append (GTK_BOX (self->recent_list), button);
}

static void
on_recent_found (GObject *source, GAsyncResult *result, gpointer data)
{
  SlStartPage *self = SL_START_PAGE (source);
  g_autoptr (GPtrArray) profiles = sl_recent_profiles_finish (result);

  if (profiles == NULL || gtk_widget_get_root (GTK_WIDGET (self)) == NULL) /* gone meanwhile */
    return;
  for (guint i = 0; i < profiles->len; i++)
    add_recent (self, g_ptr_array_index (profiles, i));
  gtk_widget_set_visible (self->recent, profiles->len > 0);
}

/* Once the page has been seen: the list is read from a file. */
static gboolean
fill_recent (gpointer data)
{
  if (gtk_widget_get_root (GTK_WIDGET (data)) != NULL) /* else gone already */
    sl_recent_profiles_async (data, MOST_RECENT, on_recent_found);
  return G_SOURCE_REMOVE;
}

static void
sl_start_page_class_init (SlStartPageClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  start_signal = g_signal_new ("start", SL_TYPE_START_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/sidelong/Sidelong/start-page.ui");
  gtk_widget_class_bind_template_child_full (widget_class, "card_0", FALSE, G_STRUCT_OFFSET (SlStartPage, cards[0]));
  gtk_widget_class_bind_template_child_full (widget_class, "card_1", FALSE, G_STRUCT_OFFSET (SlStartPage, cards[1]));
  gtk_widget_class_bind_template_child_full (widget_class, "card_2", FALSE, G_STRUCT_OFFSET (SlStartPage, cards[2]));
  gtk_widget_class_bind_template_child_full (widget_class, "card_3", FALSE, G_STRUCT_OFFSET (SlStartPage, cards[3]));
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, scrolled);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, left);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, recent);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, recent_list);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, label_entry);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, owner_entry);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, complaint);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, begin_button);
}

static void
sl_start_page_init (SlStartPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_name_scrolled (self->scrolled, _ ("What is on the bench?"));
  sl_left_rows_fill (self->left);
  g_idle_add_full (G_PRIORITY_LOW, fill_recent, g_object_ref (self), g_object_unref);
  g_signal_connect_swapped (self->label_entry, "changed", G_CALLBACK (on_label_changed), self);
  g_signal_connect_swapped (self->label_entry, "activate", G_CALLBACK (gtk_widget_grab_focus), self->owner_entry);
  g_signal_connect_swapped (self->owner_entry, "activate", G_CALLBACK (on_begin), self);
  g_signal_connect_swapped (self->begin_button, "clicked", G_CALLBACK (on_begin), self);
}

void
sl_start_page_choose (SlStartPage *self, const char *name)
{
  for (guint i = 0; i < N_CARDS && sl_starting_names[i] != NULL; i++)
    if (g_strcmp0 (sl_starting_names[i], name) == 0)
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->cards[i]), TRUE);
  gtk_widget_grab_focus (self->label_entry);
}

SlProfile *
sl_start_page_make_profile (SlStartPage *self)
{
  const char *name = sl_starting_names[0];
  g_autofree char *owner = text_of (self->owner_entry);
  SlProfile *profile;

  for (guint i = 0; i < N_CARDS && sl_starting_names[i] != NULL; i++)
    if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->cards[i])))
      name = sl_starting_names[i];
  profile = sl_starting_profile (name);
  g_free (profile->identity.label);
  profile->identity.label = text_of (self->label_entry);
  if (*owner != '\0')
    {
      g_free (profile->identity.owner);
      profile->identity.owner = g_steal_pointer (&owner);
    }
  return profile;
}
