/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "desk/kit/bar-entry.h"
#include "desk/preferences/check-lists.h"
#include "desk/kit/colour-scheme.h"
#include "bench/handover-options.h"
#include "bench/settings.h"
#include "desk/readings/run-options.h"
#include "desk/preferences/shop-habits.h"
#include "desk/preferences/tools-editor.h"
#include "desk/preferences/charges-editor.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define PAGE_MARGIN 20

/* In the order of the choices. */
static const char *const schemes[] = { "system", "light", "dark" };

static void
on_scheme_chosen (GtkDropDown *chooser, GParamSpec *pspec, gpointer data)
{
  const char *preference = schemes[gtk_drop_down_get_selected (chooser)];

  sl_settings_set (SL_SETTING_COLOUR_SCHEME, g_variant_new_string (preference));
  sl_colour_scheme_prefer (preference);
}

static void
on_lengths_chosen (GtkDropDown *chooser, GParamSpec *pspec, gpointer data)
{
  sl_settings_set (SL_SETTING_LENGTHS,
                   g_variant_new_string (sl_lengths_name ((SlLengths) gtk_drop_down_get_selected (chooser))));
}

/* ---- hand-over sheet and templates ---- */

static void
on_shop_changed (GtkEditable *entry, gpointer data)
{
  sl_settings_set (SL_SETTING_SHOP_NAME, g_variant_new_string (gtk_editable_get_text (entry)));
}

static void
on_address_changed (GtkTextBuffer *buffer, gpointer data)
{
  g_autofree char *text = NULL;

  g_object_get (buffer, "text", &text, NULL);
  sl_settings_set (SL_SETTING_SHOP_ADDRESS, g_variant_new_string (text));
}

static void
on_paper_chosen (GtkDropDown *chooser, GParamSpec *pspec, gpointer data)
{
  sl_settings_set (SL_SETTING_PAPER, g_variant_new_string (sl_paper_names[gtk_drop_down_get_selected (chooser)]));
}

static void
on_charges_switched (GtkSwitch *widget, GParamSpec *pspec, gpointer data)
{
  sl_settings_set (SL_SETTING_SHOW_CHARGES, g_variant_new_boolean (gtk_switch_get_active (widget)));
}

static void
show_handover (GtkBuilder *builder)
{
  GtkEditable *shop = GTK_EDITABLE (gtk_builder_get_object (builder, "shop_entry"));
  GtkTextBuffer *address = gtk_text_view_get_buffer (GTK_TEXT_VIEW (gtk_builder_get_object (builder, "address_view")));
  GtkDropDown *paper = GTK_DROP_DOWN (gtk_builder_get_object (builder, "paper_chooser"));
  GtkSwitch *charges = GTK_SWITCH (gtk_builder_get_object (builder, "charges_switch"));
  GtkWidget *note = GTK_WIDGET (gtk_builder_get_object (builder, "bar_label"));
  g_autofree char *name = sl_settings_get_string (SL_SETTING_SHOP_NAME, ""),
                  *lines = sl_settings_get_string (SL_SETTING_SHOP_ADDRESS, "");

  gtk_editable_set_text (shop, name);
  gtk_text_buffer_set_text (address, lines, -1);
  gtk_drop_down_set_selected (paper, (guint) sl_handover_paper ());
  gtk_switch_set_active (charges, sl_settings_get_boolean (SL_SETTING_SHOW_CHARGES, FALSE));
  sl_bar_entry_bind (GTK_EDITABLE (gtk_builder_get_object (builder, "across_entry")), note, SL_SETTING_CORRECTION_X);
  sl_bar_entry_bind (GTK_EDITABLE (gtk_builder_get_object (builder, "along_entry")), note, SL_SETTING_CORRECTION_Y);
  g_signal_connect (shop, "changed", G_CALLBACK (on_shop_changed), NULL);
  g_signal_connect (address, "changed", G_CALLBACK (on_address_changed), NULL);
  g_signal_connect (paper, "notify::selected", G_CALLBACK (on_paper_chosen), NULL);
  g_signal_connect (charges, "notify::active", G_CALLBACK (on_charges_switched), NULL);
}

/* A drop-down is named by the label before it, but not the button within. */
static void
name_button (GtkDropDown *chooser, const char *name)
{
  sl_set_accessible_label (gtk_widget_get_first_child (GTK_WIDGET (chooser)), name);
}

/* A page more, which scrolls where it is longer than the window. */
static void
add_page (GtkStack *pages, GtkWidget *child, const char *name, const char *title)
{
  GtkWidget *scrolled =
      g_object_new (GTK_TYPE_SCROLLED_WINDOW, "hscrollbar-policy", GTK_POLICY_NEVER, "child", child, NULL);

  g_object_set (child, "margin-top", PAGE_MARGIN, "margin-bottom", PAGE_MARGIN, "margin-start", PAGE_MARGIN,
                "margin-end", PAGE_MARGIN, NULL);
  sl_name_scrolled (scrolled, title);
  gtk_stack_add_titled (pages, scrolled, name, title);
}

static GtkWidget *
find_list (GtkWidget *widget)
{
  GtkWidget *found = GTK_IS_LIST_BOX (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_list (child);
  return found;
}

/* The toolkit's list of pages shows their titles, but its rows are not called by them. */
static void
name_pages (GtkWidget *sidebar, GtkStack *pages)
{
  GtkWidget *list = find_list (sidebar);
  g_autoptr (GtkSelectionModel) model = gtk_stack_get_pages (pages);

  sl_set_accessible_label (sidebar, _ ("Pages"));
  if (GTK_IS_SCROLLED_WINDOW (gtk_widget_get_first_child (sidebar)))
    sl_name_scrolled (gtk_widget_get_first_child (sidebar), _ ("Pages"));
  for (guint i = 0; list != NULL && i < g_list_model_get_n_items (G_LIST_MODEL (model)); i++)
    {
      g_autoptr (GObject) page = g_list_model_get_item (G_LIST_MODEL (model), i);
      GtkListBoxRow *row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (list), (int) i);

      if (row != NULL)
        sl_set_accessible_label (GTK_WIDGET (row), gtk_stack_page_get_title (GTK_STACK_PAGE (page)));
    }
}

static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  gtk_window_close (GTK_WINDOW (widget));
  return TRUE;
}

GtkWidget *
sl_preferences_new (GtkWindow *parent)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/preferences.ui");
  GtkWidget *window = GTK_WIDGET (gtk_builder_get_object (builder, "preferences"));
  GtkDropDown *scheme_chooser = GTK_DROP_DOWN (gtk_builder_get_object (builder, "scheme_chooser"));
  GtkDropDown *lengths_chooser = GTK_DROP_DOWN (gtk_builder_get_object (builder, "lengths_chooser"));
  g_autofree char *lengths = sl_settings_get_string (SL_SETTING_LENGTHS, sl_lengths_name (SL_LENGTHS_MM));
  GtkEventController *shortcuts = gtk_shortcut_controller_new ();
  GtkStack *pages = GTK_STACK (gtk_builder_get_object (builder, "pages"));
  GtkWidget *sidebar = GTK_WIDGET (gtk_builder_get_object (builder, "sidebar"));

  for (guint i = 0; i < G_N_ELEMENTS (schemes); i++)
    if (g_strcmp0 (schemes[i], sl_colour_scheme_get ()) == 0)
      gtk_drop_down_set_selected (scheme_chooser, i);
  gtk_drop_down_set_selected (lengths_chooser, (guint) sl_lengths_from_name (lengths));
  g_signal_connect (scheme_chooser, "notify::selected", G_CALLBACK (on_scheme_chosen), NULL);
  g_signal_connect (lengths_chooser, "notify::selected", G_CALLBACK (on_lengths_chosen), NULL);
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (shortcuts),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_callback_action_new (on_escape, NULL, NULL)));
  gtk_widget_add_controller (window, shortcuts);
  show_handover (builder);
  name_button (scheme_chooser, _ ("Colours"));
  name_button (lengths_chooser, _ ("Lengths in new windows"));
  name_button (GTK_DROP_DOWN (gtk_builder_get_object (builder, "paper_chooser")), _ ("Paper"));
  add_page (pages, sl_shop_habits_new (), "work", _ ("Work"));
  add_page (pages, sl_tools_editor_new (), "tools", _ ("Tools"));
  add_page (pages, sl_run_options_new (), "run", _ ("Reading run"));
  add_page (pages, sl_check_lists_new (), "checks", _ ("Check lists"));
  add_page (pages, sl_usual_charges_editor_new (), "charges", _ ("Charges"));
  name_pages (sidebar, pages);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  sl_colour_scheme_mark (window);
  return window;
}
