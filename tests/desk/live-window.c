/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "live-window.h"

#include "desk/app.h"
#include "file/document.h"

#define QUIET_FRAMES 40

GtkApplication *
live_app_new (void)
{
  GtkApplication *app = sl_app_new ();

  g_application_set_flags (G_APPLICATION (app),
                           g_application_get_flags (G_APPLICATION (app)) | G_APPLICATION_NON_UNIQUE);
  g_assert_true (g_application_register (G_APPLICATION (app), NULL, NULL));
  return app;
}

GtkWidget *
live_find (GtkWidget *from, GType type)
{
  GtkWidget *found = NULL;

  if (!gtk_widget_get_mapped (from))
    return NULL;
  if (G_TYPE_CHECK_INSTANCE_TYPE (from, type))
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = live_find (child, type);
  return found;
}

static void
note (gboolean *flag)
{
  *flag = TRUE;
}

void
live_wait_frame (SlWindow *window)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (window));
  gboolean painted = FALSE;
  gulong handler = g_signal_connect_swapped (clock, "after-paint", G_CALLBACK (note), &painted);

  gdk_frame_clock_request_phase (clock, GDK_FRAME_CLOCK_PHASE_PAINT);
  while (!painted)
    g_main_context_iteration (NULL, TRUE);
  g_signal_handler_disconnect (clock, handler);
}

void
live_settle (SlWindow *window)
{
  for (int i = 0; i < QUIET_FRAMES; i++)
    live_wait_frame (window);
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

SlWindow *
live_window_new (GtkApplication *app)
{
  g_autofree char *path =
      g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", "anchor-street-flat-top.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);
  SlWindow *window = sl_window_new (app);

  g_assert_no_error (error);
  sl_window_put_on_bench (window, profile);
  gtk_window_set_default_size (GTK_WINDOW (window), LIVE_WIDTH, LIVE_HEIGHT);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (GTK_WIDGET (window)))
    g_main_context_iteration (NULL, TRUE);
  live_settle (window);
  return window;
}

static void
emit (SlSideView *view, const char *signal, double x, double y)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (GTK_WIDGET (view));

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (all, i);

      if (GTK_IS_GESTURE_DRAG (controller))
        g_signal_emit_by_name (controller, signal, x, y);
    }
}

void
live_press (SlSideView *view)
{
  const SlPictureMap *map = sl_side_view_get_map (view);

  g_assert_true (map->handles[SL_HANDLE_CREST].shown);
  emit (view, "drag-begin", map->handles[SL_HANDLE_CREST].x, map->handles[SL_HANDLE_CREST].y);
}

void
live_move (SlSideView *view, double down)
{
  emit (view, "drag-update", 0, down);
}

void
live_release (SlSideView *view, double down)
{
  emit (view, "drag-end", 0, down);
}
