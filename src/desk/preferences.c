/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences.h"

#include "desk/colour-scheme.h"
#include "desk/settings.h"

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
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string (sl_lengths_name ((SlLengths) gtk_drop_down_get_selected (chooser))));
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

  for (guint i = 0; i < G_N_ELEMENTS (schemes); i++)
    if (g_strcmp0 (schemes[i], sl_colour_scheme_get ()) == 0)
      gtk_drop_down_set_selected (scheme_chooser, i);
  gtk_drop_down_set_selected (lengths_chooser, (guint) sl_lengths_from_name (lengths));
  g_signal_connect (scheme_chooser, "notify::selected", G_CALLBACK (on_scheme_chosen), NULL);
  g_signal_connect (lengths_chooser, "notify::selected", G_CALLBACK (on_lengths_chosen), NULL);
  gtk_shortcut_controller_add_shortcut (GTK_SHORTCUT_CONTROLLER (shortcuts),
                                        gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_callback_action_new (on_escape, NULL, NULL)));
  gtk_widget_add_controller (window, shortcuts);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  sl_colour_scheme_mark (window);
  return window;
}
