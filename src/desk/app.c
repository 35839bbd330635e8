/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/app.h"

#include "desk/kit/colour-scheme.h"
#include "bench/explanations.h"
#include "desk/preferences/preferences.h"
#include "bench/settings.h"
#include "desk/shelf/shelf-window.h"
#include "desk/window/window.h"

#include <glib/gi18n-lib.h>

#define RESOURCES "/org/sidelong/Sidelong/"

struct _SlApp
{
  GtkApplication parent_instance;

  /* owned */
  GtkWidget *preferences; /* its window, while it is open */
};

G_DEFINE_FINAL_TYPE (SlApp, sl_app, GTK_TYPE_APPLICATION)

/* A window that is still empty. */
static SlWindow *
new_window (SlApp *self)
{
  SlWindow *window = sl_window_new (GTK_APPLICATION (self));

  gtk_window_present (GTK_WINDOW (window));
  return window;
}

static SlWindow *
find_empty_window (SlApp *self)
{
  for (GList *l = gtk_application_get_windows (GTK_APPLICATION (self)); l != NULL; l = l->next)
    if (SL_IS_WINDOW (l->data) && sl_window_is_empty (l->data))
      return l->data;
  return NULL;
}

static void
on_new (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  new_window (data);
}

/* The parameter names a starting profile. */
static void
on_new_from (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlApp *self = data;
  SlWindow *window = find_empty_window (self);

  if (window == NULL)
    window = new_window (self);
  sl_window_choose_starting (window, g_variant_get_string (parameter, NULL));
  gtk_window_present (GTK_WINDOW (window));
}

static void
on_open_recent (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlApp *self = data;
  g_autoptr (GFile) file = g_file_new_for_uri (g_variant_get_string (parameter, NULL));

  sl_window_show_file (GTK_APPLICATION (self), file, gtk_application_get_active_window (GTK_APPLICATION (self)));
}

static void
on_preferences (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlApp *self = data;

  if (self->preferences == NULL)
    {
      self->preferences = sl_preferences_new (gtk_application_get_active_window (GTK_APPLICATION (self)));
      g_object_add_weak_pointer (G_OBJECT (self->preferences), (gpointer *) &self->preferences);
    }
  gtk_window_present (GTK_WINDOW (self->preferences));
}

static void
on_shelf (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  gtk_window_present (GTK_WINDOW (sl_shelf_window_get (data)));
}

static void
on_about (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  gtk_show_about_dialog (
      gtk_application_get_active_window (data), "program-name", _ ("Sidelong"), "version", SL_VERSION, "comments",
      _ ("A bench for setting up fretted instruments. Figures computed here are guidance for a trained technician."),
      "license-type", GTK_LICENSE_GPL_3_0, "logo-icon-name", SL_APP_ID, NULL);
}

/* Each window asks for itself; one that stays open keeps the program running. */
static void
on_quit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GList) windows = g_list_copy (gtk_application_get_windows (data));

  for (GList *l = windows; l != NULL; l = l->next)
    gtk_window_close (l->data);
}

static const GActionEntry actions[] = {
  { .name = "new", .activate = on_new },
  { .name = "new-from", .activate = on_new_from, .parameter_type = "s" },
  { .name = "open-recent", .activate = on_open_recent, .parameter_type = "s" },
  { .name = "shelf", .activate = on_shelf },
  { .name = "preferences", .activate = on_preferences },
  { .name = "about", .activate = on_about },
  { .name = "quit", .activate = on_quit },
};

static const struct
{
  const char *action;
  const char *accels[3];
} accelerators[] = {
  { "app.new", { "<Control>n" } },
  { "app.shelf", { "<Control>l" } },
  { "app.quit", { "<Control>q" } },
  { "app.preferences", { "<Control>comma" } },
  { "win.open", { "<Control>o" } },
  { "win.save", { "<Control>s" } },
  { "win.save-as", { "<Control><Shift>s" } },
  { "win.export", { "<Control>e" } },
  { "win.instrument", { "<Control>i" } },
  { "win.show-customer", { "F5" } },
  { "win.undo", { "<Control>z" } },
  { "win.redo", { "<Control><Shift>z", "<Control>y" } },
  { "win.shortcuts", { "<Control>question", "<Control>slash" } },
  { "win.cycle-lengths", { "<Control>u" } },
  { "win.focus-region::readings", { "<Control>1" } },
  { "win.focus-region::side-view", { "<Control>2" } },
  { "win.focus-region::work", { "<Control>3" } },
  { "window.close", { "<Control>w" } },
};

static void
load_style (void)
{
  g_autoptr (GtkCssProvider) provider = gtk_css_provider_new ();

  gtk_css_provider_load_from_resource (provider, RESOURCES "style.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (provider),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
}

static void
sl_app_startup (GApplication *application)
{
  SlApp *self = SL_APP (application);

  G_APPLICATION_CLASS (sl_app_parent_class)->startup (application);
  sl_colour_scheme_start ();
  load_style ();
  gtk_window_set_default_icon_name (SL_APP_ID);
  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  for (guint i = 0; i < G_N_ELEMENTS (accelerators); i++)
    gtk_application_set_accels_for_action (GTK_APPLICATION (self), accelerators[i].action, accelerators[i].accels);
}

static void
sl_app_shutdown (GApplication *application)
{
  sl_explanations_finish ();
  sl_settings_write (); /* g_application_run() waits for the backend after this */
  G_APPLICATION_CLASS (sl_app_parent_class)->shutdown (application);
}

static void
sl_app_activate (GApplication *application)
{
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (application));

  if (window != NULL)
    gtk_window_present (window);
  else
    new_window (SL_APP (application));
}

static void
sl_app_open (GApplication *application, GFile **files, int n_files, const char *hint)
{
  SlApp *self = SL_APP (application);

  GtkWindow *window = GTK_WINDOW (find_empty_window (self));

  if (window == NULL)
    window = gtk_application_get_active_window (GTK_APPLICATION (self));
  if (window == NULL)
    window = GTK_WINDOW (sl_window_new (GTK_APPLICATION (self)));
  for (int i = 0; i < n_files; i++)
    sl_window_show_file (GTK_APPLICATION (self), files[i], window);
}

static void
sl_app_class_init (SlAppClass *class)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (class);

  application_class->startup = sl_app_startup;
  application_class->shutdown = sl_app_shutdown;
  application_class->activate = sl_app_activate;
  application_class->open = sl_app_open;
}

static void
sl_app_init (SlApp *self)
{
}

SlApp *
sl_app_new (void)
{
  return g_object_new (SL_TYPE_APP, "application-id", SL_APP_ID, "flags", G_APPLICATION_HANDLES_OPEN, NULL);
}
