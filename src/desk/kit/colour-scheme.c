/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/colour-scheme.h"

#include "bench/settings.h"

#define PALETTES "/org/sidelong/Sidelong/palette-"

/* The settings portal (org.freedesktop.portal.Settings): colour scheme 1 is "prefer dark", 2 "prefer light", 0 no
 * preference. */
#define PORTAL_BUS "org.freedesktop.portal.Desktop"
#define PORTAL_PATH "/org/freedesktop/portal/desktop"
#define PORTAL_INTERFACE "org.freedesktop.portal.Settings"
#define PORTAL_NAMESPACE "org.freedesktop.appearance"
#define PORTAL_KEY "color-scheme"
#define PORTAL_PREFER_DARK 1

static struct
{
  GtkCssProvider *palette;
  gboolean desktop_dark;
  gboolean is_dark, loaded;
} scheme;

void
sl_colour_scheme_mark (GtkWidget *window)
{
  gtk_widget_add_css_class (window, scheme.is_dark ? "dark" : "light");
  gtk_widget_remove_css_class (window, scheme.is_dark ? "light" : "dark");
}

static void
apply (void)
{
  g_autofree char *preference = sl_settings_get_string (SL_SETTING_COLOUR_SCHEME, "system");
  gboolean dark = g_str_equal (preference, "dark") || (!g_str_equal (preference, "light") && scheme.desktop_dark);
  GListModel *windows = gtk_window_get_toplevels ();

  if (scheme.loaded && dark == scheme.is_dark)
    return;
  scheme.loaded = TRUE;
  scheme.is_dark = dark;
  g_object_set (gtk_settings_get_default (), "gtk-application-prefer-dark-theme", dark, NULL);
  gtk_css_provider_load_from_resource (scheme.palette, dark ? PALETTES "dark.css" : PALETTES "light.css");
  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWidget) window = g_list_model_get_item (windows, i);

      if (gtk_widget_has_css_class (window, "sidelong"))
        sl_colour_scheme_mark (window);
    }
}

static void
apply_desktop_value (GVariant *value)
{
  if (g_variant_is_of_type (value, G_VARIANT_TYPE_VARIANT))
    {
      g_autoptr (GVariant) inner = g_variant_get_variant (value);

      apply_desktop_value (inner);
    }
  else if (g_variant_is_of_type (value, G_VARIANT_TYPE_UINT32))
    {
      scheme.desktop_dark = g_variant_get_uint32 (value) == PORTAL_PREFER_DARK;
      apply ();
    }
}

static void
on_portal_signal (GDBusProxy *proxy, const char *sender, const char *signal, GVariant *parameters, gpointer data)
{
  const char *name, *key;
  g_autoptr (GVariant) value = NULL;

  if (g_strcmp0 (signal, "SettingChanged") != 0 || !g_variant_is_of_type (parameters, G_VARIANT_TYPE ("(ssv)")))
    return;
  g_variant_get (parameters, "(&s&sv)", &name, &key, &value);
  if (g_str_equal (name, PORTAL_NAMESPACE) && g_str_equal (key, PORTAL_KEY))
    apply_desktop_value (value);
}

static void
on_portal_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GVariant) reply = g_dbus_proxy_call_finish (G_DBUS_PROXY (source), result, NULL);

  if (reply != NULL && g_variant_is_of_type (reply, G_VARIANT_TYPE ("(v)")))
    {
      g_autoptr (GVariant) value = g_variant_get_child_value (reply, 0);

      apply_desktop_value (value);
    }
}

/* A desktop without the portal has no preference to follow. */
static void
on_portal_ready (GObject *source, GAsyncResult *result, gpointer data)
{
  GDBusProxy *proxy = g_dbus_proxy_new_for_bus_finish (result, NULL); /* kept for the life of the program */

  if (proxy == NULL)
    return;
  g_signal_connect (proxy, "g-signal", G_CALLBACK (on_portal_signal), NULL);
  g_dbus_proxy_call (proxy, "Read", g_variant_new ("(ss)", PORTAL_NAMESPACE, PORTAL_KEY),
                     G_DBUS_CALL_FLAGS_NO_AUTO_START, -1, NULL, on_portal_read, NULL);
}

void
sl_colour_scheme_start (void)
{
  scheme.palette = gtk_css_provider_new ();
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (scheme.palette),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  apply ();
  sl_settings_follow (SL_SETTING_COLOUR_SCHEME, scheme.palette, G_CALLBACK (apply));
  g_dbus_proxy_new_for_bus (G_BUS_TYPE_SESSION,
                            G_DBUS_PROXY_FLAGS_DO_NOT_LOAD_PROPERTIES | G_DBUS_PROXY_FLAGS_DO_NOT_AUTO_START, NULL,
                            PORTAL_BUS, PORTAL_PATH, PORTAL_INTERFACE, NULL, on_portal_ready, NULL);
}
