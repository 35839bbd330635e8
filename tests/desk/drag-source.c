/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A window from which the files named can be dragged, as from a file manager. Says on a line of its own when it is over
 * something that takes them. Ends when the drag does: with success where they were taken. */
#include <gtk/gtk.h>

#define SIDE 100

static GdkContentProvider *
on_prepare (GtkDragSource *source, double x, double y, gpointer data)
{
  g_auto (GValue) files = G_VALUE_INIT;

  g_value_init (&files, GDK_TYPE_FILE_LIST);
  g_value_take_boxed (&files, gdk_file_list_new_from_list (data));
  return gdk_content_provider_new_for_value (&files);
}

static void
on_selected_action (GdkDrag *drag)
{
  if (gdk_drag_get_selected_action (drag) == 0)
    return;
  g_print ("taken\n");
  fflush (stdout);
}

static void
on_drag_begin (GtkDragSource *source, GdkDrag *drag, gpointer data)
{
  g_signal_connect (drag, "notify::selected-action", G_CALLBACK (on_selected_action), NULL);
}

static void
on_drag_end (GtkDragSource *source, GdkDrag *drag, gboolean delete_data, gpointer data)
{
  exit (EXIT_SUCCESS);
}

static gboolean
on_drag_cancel (GtkDragSource *source, GdkDrag *drag, GdkDragCancelReason reason, gpointer data)
{
  exit (EXIT_FAILURE);
}

int
main (int argc, char **argv)
{
  GtkDragSource *source;
  GSList *files = NULL;
  GtkWidget *window;

  gtk_init ();
  for (int i = argc - 1; i > 0; i--)
    files = g_slist_prepend (files, g_file_new_for_commandline_arg (argv[i]));
  window = gtk_window_new ();
  gtk_window_set_title (GTK_WINDOW (window), "Files to drag");
  gtk_window_set_decorated (GTK_WINDOW (window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (window), SIDE, SIDE);
  source = gtk_drag_source_new ();
  g_signal_connect (source, "prepare", G_CALLBACK (on_prepare), files);
  g_signal_connect (source, "drag-begin", G_CALLBACK (on_drag_begin), NULL);
  g_signal_connect (source, "drag-end", G_CALLBACK (on_drag_end), NULL);
  g_signal_connect (source, "drag-cancel", G_CALLBACK (on_drag_cancel), NULL);
  gtk_widget_add_controller (window, GTK_EVENT_CONTROLLER (source));
  gtk_window_present (GTK_WINDOW (window));
  for (;;) /* until the drag ends */
    g_main_context_iteration (NULL, TRUE);
}
