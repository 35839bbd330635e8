/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/app.h"

#include "file/in-use-keeper.h"
#include "bench/journal.h"
#include "desk/help/help-window.h"
#include "desk/preferences/preferences.h"
#include "bench/settings.h"
#include "desk/shelf/parts.h"
#include "desk/window/window.h"

#include <glib-unix.h>
#include <locale.h>
#include <signal.h>

#define RESOURCES "/org/sidelong/Sidelong/"

/* A window that is still empty. */
static SlWindow *
new_window (GtkApplication *app)
{
  SlWindow *window = sl_window_new (app);

  gtk_window_present (GTK_WINDOW (window));
  return window;
}

static SlWindow *
find_empty_window (GtkApplication *app)
{
  for (GList *l = gtk_application_get_windows (app); l != NULL; l = l->next)
    if (SL_IS_WINDOW (l->data) && sl_window_is_empty (l->data))
      return l->data;
  return NULL;
}

static void
on_new (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  new_window (data);
}

static void
on_open_recent (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GFile) file = g_file_new_for_uri (g_variant_get_string (parameter, NULL));

  sl_window_show_file (data, file, gtk_application_get_active_window (data));
}

/* The parameter names a demonstration profile. */
static void
on_open_example (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *window = find_empty_window (data);

  /* an instrument that is named there already stays in that window */
  if (window == NULL || !sl_typed_take (GTK_WINDOW (window)) || !sl_window_is_empty (window))
    window = new_window (data);
  sl_window_show_example (window, g_variant_get_string (parameter, NULL));
  gtk_window_present (GTK_WINDOW (window));
}

static void
on_preferences (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  static GtkWidget *preferences; /* the window, while it is open */

  if (preferences == NULL)
    g_set_weak_pointer (&preferences, sl_preferences_new (gtk_application_get_active_window (data)));
  if (g_str_equal (g_action_get_name (G_ACTION (action)), "choose-device"))
    sl_preferences_show (preferences, SL_PREFERENCES_LISTENING);
  gtk_window_present (GTK_WINDOW (preferences));
}

static void
on_shelf (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  gtk_window_present (GTK_WINDOW (sl_shelf_window_get (data)));
}

static void
on_help (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_help_show (data);
}

/* What whoever mends a fault has to know of the machine it showed on; to be copied, so not translated. */
static char *
describe_system (GtkWindow *window)
{
  g_autofree char *os = g_get_os_info (G_OS_INFO_KEY_PRETTY_NAME);
  const GskRenderer *const renderer = window != NULL ? gtk_native_get_renderer (GTK_NATIVE (window)) : NULL;

  return g_strdup_printf ("Sidelong %s\n%s\nGTK %u.%u.%u, GLib %u.%u.%u, Pango %s, Cairo %s\n%s, %s\n%s", SL_VERSION,
                          os != NULL ? os : "–", gtk_get_major_version (), gtk_get_minor_version (),
                          gtk_get_micro_version (), glib_major_version, glib_minor_version, glib_micro_version,
                          pango_version_string (), cairo_version_string (),
                          G_OBJECT_TYPE_NAME (gdk_display_get_default ()),
                          renderer != NULL ? G_OBJECT_TYPE_NAME (renderer) : "–", setlocale (LC_ALL, NULL));
}

static void
on_about (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  GtkWindow *const window = gtk_application_get_active_window (data);
  g_autofree char *system = describe_system (window);
  GtkWidget *about = g_object_new (
      GTK_TYPE_ABOUT_DIALOG, "transient-for", window, "modal", TRUE, "program-name", _ ("Sidelong"), "version",
      SL_VERSION, "comments",
      _ ("A bench for setting up fretted instruments. Figures computed here are guidance for a trained technician."),
      "license-type", GTK_LICENSE_GPL_3_0, "logo-icon-name", SL_APP_ID, "system-information", system, NULL);

  gtk_widget_add_css_class (about, "sidelong");
  sl_colour_scheme_mark (about);
  gtk_window_present (GTK_WINDOW (about));
  gtk_window_set_focus (GTK_WINDOW (about), NULL); /* or the name is marked, as if to be copied */
}

/* Each window asks for itself; one that stays open keeps the program running. */
static void
on_quit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GList) windows = sl_typed_take (NULL) ? g_list_copy (gtk_application_get_windows (data)) : NULL;

  for (GList *l = windows; l != NULL; l = l->next)
    if (g_list_find (gtk_application_get_windows (data), l->data) != NULL) /* not gone with the one beneath it */
      gtk_window_close (l->data);
}

static const GActionEntry actions[] = {
  { .name = "new", .activate = on_new },
  { .name = "open-recent", .activate = on_open_recent, .parameter_type = "s" },
  { .name = "open-example", .activate = on_open_example, .parameter_type = "s" },
  { .name = "shelf", .activate = on_shelf },
  { .name = "preferences", .activate = on_preferences },
  { .name = "choose-device", .activate = on_preferences },
  { .name = "help", .activate = on_help },
  { .name = "about", .activate = on_about },
  { .name = "quit", .activate = on_quit },
};

static const struct
{
  const char *action;
  const char *accels[3];
} accelerators[] = {
#include "accelerators-rows.h"
};

/* The program is told to end, as at a shutdown or when the session's bus goes: nobody is there to be asked. */
static gboolean
on_told_to_end (gpointer app)
{
  sl_journal_finish ();
  sl_in_use_finish ();
  g_application_quit (app);
  return G_SOURCE_REMOVE;
}

static void
on_startup (GtkApplication *app)
{
  g_autoptr (GtkCssProvider) style = gtk_css_provider_new ();

  g_unix_signal_add (SIGTERM, on_told_to_end, app);
  g_unix_signal_add (SIGHUP, on_told_to_end, app);
  g_unix_signal_add (SIGINT, on_told_to_end, app);
  sl_colour_scheme_start ();
  gtk_css_provider_load_from_resource (style, RESOURCES "style.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (style),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  gtk_window_set_default_icon_name (SL_APP_ID);
  g_action_map_add_action_entries (G_ACTION_MAP (app), actions, G_N_ELEMENTS (actions), app);
  for (guint i = 0; i < G_N_ELEMENTS (accelerators); i++)
    gtk_application_set_accels_for_action (app, accelerators[i].action, accelerators[i].accels);
}

static void
on_shutdown (void)
{
  sl_journal_finish ();
  sl_in_use_finish ();
  sl_settings_write (); /* g_application_run() waits for the backend after this */
}

static void
on_activate (GtkApplication *app)
{
  GtkWindow *window = gtk_application_get_active_window (app);

  if (window != NULL)
    gtk_window_present (window);
  else
    new_window (app);
}

static void
on_open (GtkApplication *app, GFile **files, int n_files, const char *hint, gpointer data)
{
  GtkWindow *window = GTK_WINDOW (find_empty_window (app));

  if (window == NULL)
    window = gtk_application_get_active_window (app);
  if (window == NULL)
    window = GTK_WINDOW (sl_window_new (app));
  for (int i = 0; i < n_files; i++)
    sl_window_show_file (app, files[i], window);
}

GtkApplication *
sl_app_new (void)
{
  GtkApplication *app = gtk_application_new (SL_APP_ID, G_APPLICATION_HANDLES_OPEN);

  g_object_set (app, "register-session", TRUE, NULL); /* the session says when it ends */
  g_signal_connect (app, "query-end", G_CALLBACK (sl_journal_finish), NULL);
  g_signal_connect (app, "startup", G_CALLBACK (on_startup), NULL);
  g_signal_connect (app, "shutdown", G_CALLBACK (on_shutdown), NULL);
  g_signal_connect (app, "activate", G_CALLBACK (on_activate), NULL);
  g_signal_connect (app, "open", G_CALLBACK (on_open), NULL);
  return app;
}
