/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/start-page.h"

#include "desk/starting.h"

#include <glib/gi18n-lib.h>

#define N_CARDS 4

struct _SlStartPage
{
  GtkBox parent_instance;

  /* template widgets */
  GtkWidget *cards[N_CARDS];
  GtkWidget *label_entry, *owner_entry, *complaint, *begin_button;
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
      gtk_label_set_label (GTK_LABEL (self->complaint), _ ("Give the instrument a name first: it heads the window, the file and the sheet."));
      gtk_widget_set_visible (self->complaint, TRUE);
      gtk_widget_add_css_class (self->label_entry, "error");
      gtk_accessible_update_state (GTK_ACCESSIBLE (self->label_entry), GTK_ACCESSIBLE_STATE_INVALID, GTK_ACCESSIBLE_INVALID_TRUE, -1);
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
on_label_activated (SlStartPage *self)
{
  gtk_widget_grab_focus (self->owner_entry);
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
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, label_entry);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, owner_entry);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, complaint);
  gtk_widget_class_bind_template_child (widget_class, SlStartPage, begin_button);
}

static void
sl_start_page_init (SlStartPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  g_signal_connect_swapped (self->label_entry, "changed", G_CALLBACK (on_label_changed), self);
  g_signal_connect_swapped (self->label_entry, "activate", G_CALLBACK (on_label_activated), self);
  g_signal_connect_swapped (self->owner_entry, "activate", G_CALLBACK (on_begin), self);
  g_signal_connect_swapped (self->begin_button, "clicked", G_CALLBACK (on_begin), self);
}

GtkWidget *
sl_start_page_new (void)
{
  return g_object_new (SL_TYPE_START_PAGE, NULL);
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
