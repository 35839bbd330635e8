/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#include "bench/settings.h"

#define PALETTES "/org/sidelong/Sidelong/palette-"

/* The settings portal (org.freedesktop.portal.Settings): colour scheme 1 is "prefer dark", 2 "prefer light", 0 no
 * preference; contrast 1 is "higher", 0 no preference. Portals that don't know the contrast yet pass the desktop's own
 * setting on, a boolean. */
#define PORTAL_BUS "org.freedesktop.portal.Desktop"
#define PORTAL_PATH "/org/freedesktop/portal/desktop"
#define PORTAL_INTERFACE "org.freedesktop.portal.Settings"
#define PORTAL_ON 1
#define USUAL_TEXT_PX (10 * 96 / 72.0) /* the toolkit's default font has 10 points, of 96 to the inch on a screen */

enum
{
  DARK,
  CONTRAST,
  CONTRAST_OF_DESKTOP
};
static const char *const asked[][2] = { [DARK] = { "org.freedesktop.appearance", "color-scheme" },
                                        [CONTRAST] = { "org.freedesktop.appearance", "contrast" },
                                        [CONTRAST_OF_DESKTOP] = { "org.gnome.desktop.a11y.interface",
                                                                  "high-contrast" } };

static struct
{
  GtkCssProvider *palette;
  gboolean desktop[G_N_ELEMENTS (asked)];
  SlLook look;
  gboolean loaded;
} scheme;

static gboolean
is_dark (void)
{
  return scheme.look == SL_LOOK_DARK || scheme.look == SL_LOOK_CONTRAST_DARK;
}

SlLook
sl_look (void)
{
  return scheme.look;
}

double
sl_text_scale (GtkWidget *widget)
{
  const PangoFontDescription *font = pango_context_get_font_description (gtk_widget_get_pango_context (widget));
  const double px = font != NULL ? (double) pango_font_description_get_size (font) / PANGO_SCALE : 0;

  return px > 0 ? px / USUAL_TEXT_PX : 1;
}

void
sl_follow_look (GtkWidget *area)
{
  static const char *const which[] = { "notify::gtk-application-prefer-dark-theme", "notify::gtk-xft-dpi",
                                       "notify::gtk-font-name" };

  for (gsize i = 0; i < G_N_ELEMENTS (which); i++)
    g_signal_connect_object (gtk_widget_get_settings (area), which[i], G_CALLBACK (gtk_widget_queue_draw), area,
                             G_CONNECT_SWAPPED);
}

void
sl_colour_scheme_mark (GtkWidget *window)
{
  sl_set_class (window, "dark", is_dark ());
  sl_set_class (window, "light", !is_dark ());
  sl_set_class (window, "contrast", scheme.look >= SL_LOOK_CONTRAST_LIGHT);
}

static void
apply (void)
{
  static const char *const palettes[] = { [SL_LOOK_LIGHT] = PALETTES "light.css",
                                          [SL_LOOK_DARK] = PALETTES "dark.css",
                                          [SL_LOOK_CONTRAST_LIGHT] = PALETTES "contrast-light.css",
                                          [SL_LOOK_CONTRAST_DARK] = PALETTES "contrast-dark.css" };
  g_autofree char *preference = sl_settings_get_string (SL_SETTING_COLOUR_SCHEME, "system"), *theme = NULL;
  GtkSettings *settings = gtk_settings_get_default ();
  GListModel *windows = gtk_window_get_toplevels ();
  gboolean contrast, dark;
  SlLook look;

  /* X11 desktops tell by the name of the theme, and the toolkit itself does on Wayland */
  g_object_get (settings, "gtk-theme-name", &theme, NULL);
  contrast =
      g_str_has_prefix (theme, "HighContrast") || scheme.desktop[CONTRAST] || scheme.desktop[CONTRAST_OF_DESKTOP];
  dark = g_str_equal (preference, "dark") ||
         (!g_str_equal (preference, "light") && (scheme.desktop[DARK] || g_str_equal (theme, "HighContrastInverse")));
  look = contrast ? (dark ? SL_LOOK_CONTRAST_DARK : SL_LOOK_CONTRAST_LIGHT) : (dark ? SL_LOOK_DARK : SL_LOOK_LIGHT);
  if (scheme.loaded && look == scheme.look)
    return;
  scheme.loaded = TRUE;
  scheme.look = look;
  g_object_set (settings, "gtk-application-prefer-dark-theme", dark, NULL);
  gtk_css_provider_load_from_resource (scheme.palette, palettes[look]);
  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWidget) window = g_list_model_get_item (windows, i);

      if (gtk_widget_has_css_class (window, "sidelong"))
        sl_colour_scheme_mark (window);
    }
}

static void
apply_desktop_value (gsize which, GVariant *value)
{
  if (g_variant_is_of_type (value, G_VARIANT_TYPE_VARIANT))
    {
      g_autoptr (GVariant) inner = g_variant_get_variant (value);

      apply_desktop_value (which, inner);
      return;
    }
  if (g_variant_is_of_type (value, G_VARIANT_TYPE_UINT32))
    scheme.desktop[which] = g_variant_get_uint32 (value) == PORTAL_ON;
  else if (g_variant_is_of_type (value, G_VARIANT_TYPE_BOOLEAN))
    scheme.desktop[which] = g_variant_get_boolean (value);
  apply ();
}

static void
on_portal_signal (GDBusProxy *proxy, const char *sender, const char *signal, GVariant *parameters, gpointer data)
{
  const char *name, *key;
  g_autoptr (GVariant) value = NULL;

  if (g_strcmp0 (signal, "SettingChanged") != 0 || !g_variant_is_of_type (parameters, G_VARIANT_TYPE ("(ssv)")))
    return;
  g_variant_get (parameters, "(&s&sv)", &name, &key, &value);
  for (gsize i = 0; i < G_N_ELEMENTS (asked); i++)
    if (g_str_equal (name, asked[i][0]) && g_str_equal (key, asked[i][1]))
      apply_desktop_value (i, value);
}

static void
on_portal_read (GObject *source, GAsyncResult *result, gpointer which)
{
  g_autoptr (GVariant) reply = g_dbus_proxy_call_finish (G_DBUS_PROXY (source), result, NULL);

  if (reply != NULL && g_variant_is_of_type (reply, G_VARIANT_TYPE ("(v)")))
    {
      g_autoptr (GVariant) value = g_variant_get_child_value (reply, 0);

      apply_desktop_value (GPOINTER_TO_SIZE (which), value);
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
  for (gsize i = 0; i < G_N_ELEMENTS (asked); i++)
    g_dbus_proxy_call (proxy, "Read", g_variant_new ("(ss)", asked[i][0], asked[i][1]), G_DBUS_CALL_FLAGS_NO_AUTO_START,
                       -1, NULL, on_portal_read, GSIZE_TO_POINTER (i));
}

void
sl_colour_scheme_start (void)
{
  scheme.palette = gtk_css_provider_new ();
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (scheme.palette),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  apply ();
  sl_settings_follow (SL_SETTING_COLOUR_SCHEME, scheme.palette, G_CALLBACK (apply));
  g_signal_connect (gtk_settings_get_default (), "notify::gtk-theme-name", G_CALLBACK (apply), NULL);
  g_dbus_proxy_new_for_bus (G_BUS_TYPE_SESSION,
                            G_DBUS_PROXY_FLAGS_DO_NOT_LOAD_PROPERTIES | G_DBUS_PROXY_FLAGS_DO_NOT_AUTO_START, NULL,
                            PORTAL_BUS, PORTAL_PATH, PORTAL_INTERFACE, NULL, on_portal_ready, NULL);
}
