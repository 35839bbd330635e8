/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the desktop asks for is what the window has: high contrast by the toolkit's theme, as X11 desktops tell it, and
 * by the settings portal (a stand-in on the test's own bus, by the interface org.freedesktop.portal.Settings
 * describes); light or dark; and the size of texts, in pictures too. Skipped where there is no display. */
#include "bench/settings.h"
#include "bench/profiles.h"
#include "desk/kit/kit.h"
#include "desk/sheets/sheets.h"

#include <string.h>

#define SKIPPED 77
#define LONGEST_WAIT_US (60 * G_USEC_PER_SEC) /* only a fault takes so long */

/* ---- the portal ---- */

static const char portal_xml[] =
    "<node><interface name='org.freedesktop.portal.Settings'>"
    "<method name='Read'><arg type='s' direction='in'/><arg type='s' direction='in'/><arg type='v' direction='out'/>"
    "</method><signal name='SettingChanged'><arg type='s'/><arg type='s'/><arg type='v'/></signal>"
    "</interface></node>";
static GDBusConnection *bus;
static guint reads;

/* As portals before 1.17 do, it knows no contrast, and passes the desktop's own setting on. */
static void
on_call (GDBusConnection *connection, const char *sender, const char *path, const char *interface, const char *method,
         GVariant *parameters, GDBusMethodInvocation *invocation, gpointer data)
{
  const char *name, *key;

  g_variant_get (parameters, "(&s&s)", &name, &key);
  reads++;
  if (g_str_equal (key, "color-scheme"))
    g_dbus_method_invocation_return_value (invocation,
                                           g_variant_new ("(v)", g_variant_new_variant (g_variant_new_uint32 (0))));
  else if (g_str_equal (name, "org.gnome.desktop.a11y.interface") && g_str_equal (key, "high-contrast"))
    g_dbus_method_invocation_return_value (
        invocation, g_variant_new ("(v)", g_variant_new_variant (g_variant_new_boolean (FALSE))));
  else
    g_dbus_method_invocation_return_dbus_error (invocation, "org.freedesktop.portal.Error.NotFound", key);
}

static void
put_portal (void)
{
  static const GDBusInterfaceVTable table = { on_call, NULL, NULL, { 0 } };
  g_autoptr (GDBusNodeInfo) info = g_dbus_node_info_new_for_xml (portal_xml, NULL);
  g_autoptr (GVariant) owned = NULL;

  bus = g_bus_get_sync (G_BUS_TYPE_SESSION, NULL, NULL);
  g_assert_nonnull (bus);
  g_dbus_connection_register_object (bus, "/org/freedesktop/portal/desktop", info->interfaces[0], &table, NULL, NULL,
                                     NULL);
  owned = g_dbus_connection_call_sync (bus, "org.freedesktop.DBus", "/org/freedesktop/DBus", "org.freedesktop.DBus",
                                       "RequestName", g_variant_new ("(su)", "org.freedesktop.portal.Desktop", 4), NULL,
                                       G_DBUS_CALL_FLAGS_NONE, -1, NULL, NULL);
  g_assert_nonnull (owned);
}

static void
tell (const char *name, const char *key, GVariant *value)
{
  g_dbus_connection_emit_signal (bus, NULL, "/org/freedesktop/portal/desktop", "org.freedesktop.portal.Settings",
                                 "SettingChanged", g_variant_new ("(ssv)", name, key, value), NULL);
}

/* ---- looks ---- */

static GtkWidget *window;

static void
wait_for_look (SlLook look)
{
  const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;

  while (sl_look () != look && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpint (sl_look (), ==, look);
}

/* The palette the style sheet draws from: its colour of edges is black or white only with high contrast. */
static void
check_window (SlLook look, const char *border)
{
  GdkRGBA is, wanted;

  g_assert_true (gtk_widget_has_css_class (window, "contrast") == (look >= SL_LOOK_CONTRAST_LIGHT));
  g_assert_true (gtk_widget_has_css_class (window, "dark") == (look == SL_LOOK_DARK || look == SL_LOOK_CONTRAST_DARK));
  g_assert_true (gtk_widget_has_css_class (window, "dark") != gtk_widget_has_css_class (window, "light"));
  g_assert_true (gtk_style_context_lookup_color (gtk_widget_get_style_context (window), "sl_border", &is));
  g_assert_true (gdk_rgba_parse (&wanted, border));
  g_assert_true (gdk_rgba_equal (&is, &wanted));
}

static void
test_theme (void)
{
  static const struct
  {
    const char *theme, *preference;
    SlLook look;
    const char *border;
  } rows[] = {
    { "HighContrast", "system", SL_LOOK_CONTRAST_LIGHT, "#000000" },
    { "HighContrast", "dark", SL_LOOK_CONTRAST_DARK, "#ffffff" },
    { "HighContrastInverse", "system", SL_LOOK_CONTRAST_DARK, "#ffffff" },
    { "HighContrastInverse", "light", SL_LOOK_CONTRAST_LIGHT, "#000000" },
    { "Default", "system", SL_LOOK_LIGHT, "#857f6f" },
    { "Default", "dark", SL_LOOK_DARK, "#857f72" },
    { "Default", "system", SL_LOOK_LIGHT, "#857f6f" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_object_set (gtk_settings_get_default (), "gtk-theme-name", rows[i].theme, NULL);
      sl_settings_set (SL_SETTING_COLOUR_SCHEME, g_variant_new_string (rows[i].preference));
      wait_for_look (rows[i].look);
      check_window (rows[i].look, rows[i].border);
    }
}

static void
test_portal (void)
{
  const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;

  while (reads < 3 && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpuint (reads, ==, 3);
  wait_for_look (SL_LOOK_LIGHT);
  tell ("org.freedesktop.appearance", "contrast", g_variant_new_uint32 (1));
  wait_for_look (SL_LOOK_CONTRAST_LIGHT);
  tell ("org.freedesktop.appearance", "color-scheme", g_variant_new_uint32 (1));
  wait_for_look (SL_LOOK_CONTRAST_DARK);
  check_window (SL_LOOK_CONTRAST_DARK, "#ffffff");
  tell ("org.freedesktop.appearance", "contrast", g_variant_new_uint32 (0));
  wait_for_look (SL_LOOK_DARK);
  tell ("org.gnome.desktop.a11y.interface", "high-contrast", g_variant_new_boolean (TRUE));
  wait_for_look (SL_LOOK_CONTRAST_DARK);
  tell ("org.gnome.desktop.a11y.interface", "high-contrast", g_variant_new_boolean (FALSE));
  tell ("org.freedesktop.appearance", "color-scheme", g_variant_new_uint32 (0));
  wait_for_look (SL_LOOK_LIGHT);
  check_window (SL_LOOK_LIGHT, "#857f6f");
}

/* ---- texts ---- */

/* Of the view's caption as it was drawn last; 0 before. */
static double
caption_height (SlSideView *view)
{
  const SlPictureMap *map = sl_side_view_get_map (view);

  for (guint i = 0; i < map->labels->len; i++)
    if (g_str_has_prefix (g_array_index (map->labels, SlPictureLabel, i).text, "String "))
      return g_array_index (map->labels, SlPictureLabel, i).rect.height;
  return 0;
}

/* A picture's texts are as many times as large as the toolkit's. */
static void
test_text_size (void)
{
  static const double sizes[] = { 1.25, 1.5, 2, 1 };
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *view = sl_side_view_new (bench, SL_PICTURE_SIDE);
  GtkSettings *settings = gtk_settings_get_default ();
  const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;
  int dpi;
  double usual;

  g_object_get (settings, "gtk-xft-dpi", &dpi, NULL);
  sl_bench_set_string (bench, 6);
  gtk_window_set_child (GTK_WINDOW (window), view);
  while ((usual = caption_height (SL_SIDE_VIEW (view))) <= 0 && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpfloat (usual, >, 0);
  for (gsize i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      double is = 0;

      g_object_set (settings, "gtk-xft-dpi", (int) (dpi * sizes[i]), NULL);
      while (ABS (is / usual - sizes[i]) > 0.03 && g_get_monotonic_time () < end)
        {
          g_main_context_iteration (NULL, FALSE);
          is = caption_height (SL_SIDE_VIEW (view));
        }
      g_assert_cmpfloat_with_epsilon (is / usual, sizes[i], 0.03);
    }
  gtk_window_set_child (GTK_WINDOW (window), NULL);
}

int
main (int argc, char **argv)
{
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  put_portal ();
  window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (window), 900, 500);
  gtk_widget_add_css_class (window, "sidelong");
  sl_colour_scheme_start ();
  sl_colour_scheme_mark (window);
  gtk_window_present (GTK_WINDOW (window));
  g_test_add_func ("/desk/look/theme", test_theme);
  g_test_add_func ("/desk/look/portal", test_portal);
  g_test_add_func ("/desk/look/text-size", test_text_size);
  return g_test_run ();
}
