/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "bench/settings.h"
#include "desk/readings/readings.h"

#define LIST_WIDTH 215

/* Drop-downs, each named in place of the label before it, which names the drop-down but not the button within. */
static void
bind_choice (GtkBuilder *builder, const char *id, const char *name, const char *key, const char *const *choices)
{
  GtkWidget *chooser = GTK_WIDGET (gtk_builder_get_object (builder, id));

  sl_settings_bind_choice (key, chooser, "selected", choices);
  gtk_accessible_reset_relation (GTK_ACCESSIBLE (chooser), GTK_ACCESSIBLE_RELATION_LABELLED_BY);
  sl_set_accessible_label (chooser, name);
}

static void
bind_general (GtkBuilder *builder)
{
  static const char *const schemes[] = { "system", "light", "dark", NULL };
  GtkTextView *address = GTK_TEXT_VIEW (gtk_builder_get_object (builder, "address_view"));
  GtkWidget *note = GTK_WIDGET (gtk_builder_get_object (builder, "bar_label"));

  bind_choice (builder, "scheme_chooser", _ ("Colours"), SL_SETTING_COLOUR_SCHEME, schemes);
  bind_choice (builder, "lengths_chooser", _ ("Lengths in new windows"), SL_SETTING_LENGTHS, sl_lengths_names);
  bind_choice (builder, "paper_chooser", _ ("Paper"), SL_SETTING_PAPER, sl_paper_names);
  sl_settings_bind (SL_SETTING_SHOW_CHARGES, gtk_builder_get_object (builder, "charges_switch"), "active",
                    G_VARIANT_TYPE_BOOLEAN);
  sl_settings_bind (SL_SETTING_SHOW_PHOTOS, gtk_builder_get_object (builder, "photos_switch"), "active",
                    G_VARIANT_TYPE_BOOLEAN);
  sl_settings_bind (SL_SETTING_KEEP_BEFORE, gtk_builder_get_object (builder, "before_switch"), "active",
                    G_VARIANT_TYPE_BOOLEAN);
  sl_settings_bind (SL_SETTING_SHOP_NAME, gtk_builder_get_object (builder, "shop_entry"), "text",
                    G_VARIANT_TYPE_STRING);
  sl_settings_bind (SL_SETTING_SHOP_ADDRESS, gtk_text_view_get_buffer (address), "text", G_VARIANT_TYPE_STRING);
  sl_bar_entry_bind (GTK_EDITABLE (gtk_builder_get_object (builder, "across_entry")), note, SL_SETTING_CORRECTION_X);
  sl_bar_entry_bind (GTK_EDITABLE (gtk_builder_get_object (builder, "along_entry")), note, SL_SETTING_CORRECTION_Y);
}

/* A page more, which scrolls where it is longer than the window. */
static void
add_page (GtkStack *pages, GtkWidget *child, const char *name, const char *title)
{
  GtkWidget *scrolled = sl_scrolled_new (child, title);

  gtk_widget_add_css_class (child, "sl-page");
  g_object_set (scrolled, "hscrollbar-policy", GTK_POLICY_AUTOMATIC, "overlay-scrolling", FALSE, NULL);
  gtk_stack_add_titled (pages, scrolled, name, title);
}

GtkWidget *
sl_preferences_new (GtkWindow *parent)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/preferences.ui");
  GtkWidget *window = GTK_WIDGET (gtk_builder_get_object (builder, "preferences")), *list;
  GtkStack *pages = GTK_STACK (gtk_builder_get_object (builder, "pages"));

  bind_general (builder);
  add_page (pages, sl_shop_habits_new (), "work", _ ("Work"));
  add_page (pages, sl_tools_editor_new (), "tools", _ ("Tools"));
  add_page (pages, sl_run_options_new (), "run", _ ("Reading run"));
  add_page (pages, sl_listening_new (), SL_PREFERENCES_LISTENING, _ ("Listening"));
  add_page (pages, sl_check_lists_new (), "checks", _ ("Check lists"));
  add_page (pages, sl_usual_charges_editor_new (), "charges", _ ("Charges"));
  list = sl_page_list_new (pages, _ ("Pages"));
  gtk_widget_set_size_request (list, LIST_WIDTH, -1);
  gtk_box_prepend (GTK_BOX (gtk_window_get_child (GTK_WINDOW (window))), list);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_application (GTK_WINDOW (window), parent == NULL ? NULL : gtk_window_get_application (parent));
  sl_typed_guard (GTK_WINDOW (window), NULL);
  sl_colour_scheme_mark (window);
  return window;
}

void
sl_preferences_show (GtkWidget *window, const char *page)
{
  GtkWidget *pages = sl_find_named (window, "pages");

  gtk_stack_set_visible_child_name (GTK_STACK (pages), page);
}
