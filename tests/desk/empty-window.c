/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An application with one empty window of the desktop program's first size: what starting GTK costs by itself. */
#include <gtk/gtk.h>

#define WIDTH 1440
#define HEIGHT 900

static void
on_activate (GtkApplication *app)
{
  GtkWidget *window = gtk_application_window_new (app);

  gtk_window_set_default_size (GTK_WINDOW (window), WIDTH, HEIGHT);
  gtk_window_set_title (GTK_WINDOW (window), "Empty");
  gtk_window_present (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  g_autoptr (GtkApplication) app = gtk_application_new (SL_APP_ID ".Empty", G_APPLICATION_DEFAULT_FLAGS);

  g_signal_connect (app, "activate", G_CALLBACK (on_activate), NULL);
  return g_application_run (G_APPLICATION (app), argc, argv);
}
