/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs while something else happens: a save moves their folder, the window closes, the profile is exchanged
 * under an open window, a press is broken off, a string goes; things that are no pictures are dropped. Nothing is lost,
 * and nothing falls. Skipped where there is no display. */
#include "live-window.h"

#include <glib/gstdio.h>
#include <locale.h>

#include "desk/photos/parts.h"
#include "bench/visit-edit.h"

#define SKIPPED 77
#define SIDE 240 /* px */
#define MANY 12

static GtkApplication *app;
static char *root;

typedef struct
{
  SlWindow *window;
  SlBench *bench;
  char *told;
} Fixture;

static void
note (SlBench *bench, const char *text, Fixture *f)
{
  g_free (f->told);
  f->told = g_strdup (text);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->window = live_window_new (app);
  f->bench = g_object_ref (f->window->bench);
  sl_photos_set_file (f->bench, NULL);
  g_signal_connect (f->bench, "refused", G_CALLBACK (note), f);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  for (GList *l = gtk_window_list_toplevels (); l != NULL; l = g_list_delete_link (l, l))
    if (l->data == f->window)
      gtk_window_destroy (l->data);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_signal_handlers_disconnect_by_data (f->bench, f);
  g_object_unref (f->bench);
  g_free (f->told);
}

/* Pictures that differ, in a folder of a camera. */
static GListModel *
pictures (guint n)
{
  GListStore *list = g_list_store_new (G_TYPE_FILE);

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, SIDE, SIDE);
      g_autofree char *name = g_strdup_printf ("<b>\u05d0&%u.png", i), *path = g_build_filename (root, name, NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);

      gdk_pixbuf_fill (picture, 0x01010100 * (i + 1) | 0xff);
      g_assert_true (gdk_pixbuf_save (picture, path, "png", NULL, NULL));
      g_list_store_append (list, file);
    }
  return G_LIST_MODEL (list);
}

static void
wait_taken (Fixture *f)
{
  while (sl_photos_being_taken (f->bench))
    g_main_context_iteration (NULL, TRUE);
}

static guint
count (Fixture *f)
{
  return sl_bench_get_visit (f->bench)->photos->len;
}

static const SlPhoto *
last (Fixture *f)
{
  return &g_array_index (sl_bench_get_visit (f->bench)->photos, SlPhoto, count (f) - 1);
}

/* What a save does to the folder while they are on their way to the old one. */
static void
test_saved_meanwhile (Fixture *f, gconstpointer data)
{
  g_autoptr (GListModel) files = pictures (MANY);
  g_autoptr (GFile) document = g_file_new_build_filename (root, "moved.sidelong", NULL), folder = NULL;
  const guint before = count (f);

  sl_photos_take (f->bench, files, NULL, NULL);
  sl_photos_set_file (f->bench, document);
  wait_taken (f);
  folder = sl_photos_folder (f->bench);
  g_assert_cmpuint (count (f), ==, before + MANY);
  for (guint i = before; i < count (f); i++)
    {
      g_autoptr (GFile) file =
          g_file_get_child (folder, g_array_index (sl_bench_get_visit (f->bench)->photos, SlPhoto, i).file);

      g_assert_true (g_file_query_exists (file, NULL));
    }
  sl_photos_take (f->bench, files, NULL, NULL); /* the same again */
  wait_taken (f);
  g_assert_cmpuint (count (f), ==, before + MANY);
  sl_bench_undo (f->bench); /* one step for all */
  g_assert_cmpuint (count (f), ==, before);
  sl_bench_redo (f->bench);
  g_assert_cmpuint (count (f), ==, before + MANY);
  live_settle (f->window);
}

/* Closed while they are on their way: said once; closed again, it goes, and what comes then harms nobody. */
static void
test_closed_meanwhile (Fixture *f, gconstpointer data)
{
  g_autoptr (GListModel) files = pictures (MANY);

  sl_bench_mark_saved (f->bench, sl_bench_get_revision (f->bench));
  sl_photos_take (f->bench, files, NULL, NULL);
  gtk_window_close (GTK_WINDOW (f->window));
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (f->window)));
  g_assert_true (f->window->told_taking);
  gtk_window_destroy (GTK_WINDOW (f->window));
  wait_taken (f);
}

/* No pictures: folders, what is gone, places that no path leads to. */
static void
test_dropped (Fixture *f, gconstpointer data)
{
  static const char *const uris[] = {
    "x-nothing:a.jpg",           "x-nothing:", "https://example.invalid/a.jpg", "file:///", "file:///proc/self/mem",
    "data:image/png;base64,AAAA"
  };
  g_autoptr (GListStore) list = g_list_store_new (G_TYPE_FILE);
  const guint before = count (f);

  for (guint i = 0; i < G_N_ELEMENTS (uris); i++)
    {
      g_autoptr (GFile) file = g_file_new_for_uri (uris[i]);

      g_list_store_append (list, file);
    }
  sl_photos_take (f->bench, G_LIST_MODEL (list), NULL, NULL);
  wait_taken (f);
  g_assert_cmpuint (count (f), ==, before);
  g_assert_nonnull (f->told);
  sl_window_show_all (f->window, G_LIST_MODEL (list));
  wait_taken (f);
  live_settle (f->window);
}

/* NULL: none is open. */
static SlPhotoWindow *
find_open (void)
{
  SlPhotoWindow *child = NULL;

  for (GList *l = gtk_window_list_toplevels (); l != NULL; l = g_list_delete_link (l, l))
    if (SL_IS_PHOTO_WINDOW (l->data) && gtk_widget_get_mapped (l->data))
      child = l->data;
  return child;
}

static SlPhotoWindow *
open_last (Fixture *f)
{
  g_autoptr (GListModel) files = pictures (1);

  sl_photos_take (f->bench, files, NULL, NULL);
  wait_taken (f);
  sl_photo_window_present (GTK_WINDOW (f->window), f->bench, last (f)->id);
  return find_open ();
}

/* Its photograph goes while its picture is decoded, and later. */
static void
test_gone (Fixture *f, gconstpointer data)
{
  for (int later = 0; later <= 1; later++)
    {
      SlPhotoWindow *child = open_last (f);

      while (later && child->grey == NULL)
        g_main_context_iteration (NULL, TRUE);
      sl_bench_undo (f->bench);
      g_assert_null (find_open ());
      live_settle (f->window);
      sl_bench_redo (f->bench);
      sl_bench_undo (f->bench);
      live_settle (f->window);
    }
}

static void
send (SlPhotoWindow *child, GType type, const char *signal, double x, double y)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (child->view);
  gboolean stopped;

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GtkEventController) one = g_list_model_get_item (all, i);

      if (!G_TYPE_CHECK_INSTANCE_TYPE (one, type))
        continue;
      if (type == GTK_TYPE_GESTURE_DRAG)
        g_signal_emit_by_name (one, signal, x, y);
      else
        g_signal_emit_by_name (one, signal, (guint) x, 0, 0, &stopped);
      return;
    }
}

/* The pointer is pressed and never let go; the keyboard goes on. */
static void
test_broken_off (Fixture *f, gconstpointer data)
{
  SlPhotoWindow *child = open_last (f);

  while (child->grey == NULL)
    g_main_context_iteration (NULL, TRUE);
  live_settle (f->window);
  gtk_widget_activate_action (GTK_WIDGET (child), "photo.draw", "i", (int) SL_SHAPE_KNOWN);
  send (child, GTK_TYPE_GESTURE_DRAG, "drag-begin", 50, 50);
  send (child, GTK_TYPE_EVENT_CONTROLLER_KEY, "key-pressed", GDK_KEY_Tab, 0);
  SL_EACH (const SlKnownLength, known, last (f)->known)
    for (int end = 0; end < 2; end++)
      g_assert_true (sl_number_is_set (known->x[end]) && sl_number_is_set (known->y[end]));
  live_settle (f->window);
  gtk_window_close (GTK_WINDOW (child));
}

/* A mark of a string and a fret that the instrument no longer has keeps both while something else of it changes. */
static void
test_string_gone (Fixture *f, gconstpointer data)
{
  SlPhotoWindow *child = open_last (f);
  const char *step = "test";
  SlPhoto photo = sl_photo_copy (last (f));
  SlMark mark = sl_mark_init (SL_MEASURE_ACTION);

  gtk_window_destroy (GTK_WINDOW (child));
  mark.string = SL_MAX_STRINGS;
  mark.fret = SL_MAX_FRETS;
  for (int end = 0; end < 2; end++)
    mark.x[end] = mark.y[end] = sl_number (SIDE * end); /* at its bounds */
  g_array_append_val (photo.marks, mark);
  sl_photo_replace (f->bench, step, &photo);
  sl_photo_window_present (GTK_WINDOW (f->window), f->bench, photo.id);
  child = find_open ();
  while (child->grey == NULL)
    g_main_context_iteration (NULL, TRUE);
  sl_photo_view_choose (child, 0, 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (child->held), 1);
  const SlMark *after = &g_array_index (last (f)->marks, SlMark, 0);
  g_assert_cmpint (after->held, !=, SL_HELD_DEFAULT);
  g_assert_cmpint (after->string, ==, SL_MAX_STRINGS);
  g_assert_cmpint (after->fret, ==, SL_MAX_FRETS);
  gtk_window_close (GTK_WINDOW (child));
  sl_photo_clear (&photo);
}

int
main (int argc, char **argv)
{
  static const char *const strict[] = { "GLib", "GLib-GIO", "GLib-GObject", "sidelong" };
  int status;

  setlocale (LC_ALL, "");
  root = g_dir_make_tmp ("sidelong-trouble-XXXXXX", NULL);
  g_test_init (&argc, &argv, NULL);
  /* GTK 4.8 warns of short labels that wrap */
  g_log_set_always_fatal (G_LOG_FATAL_MASK);
  for (guint i = 0; i < G_N_ELEMENTS (strict); i++)
    g_log_set_fatal_mask (strict[i], G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  g_setenv ("XDG_DATA_HOME", root, TRUE);
  g_setenv ("XDG_STATE_HOME", root, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  app = live_app_new ();
  g_test_add ("/photo-trouble/saved-meanwhile", Fixture, NULL, set_up, test_saved_meanwhile, tear_down);
  g_test_add ("/photo-trouble/closed-meanwhile", Fixture, NULL, set_up, test_closed_meanwhile, tear_down);
  g_test_add ("/photo-trouble/dropped", Fixture, NULL, set_up, test_dropped, tear_down);
  g_test_add ("/photo-trouble/gone", Fixture, NULL, set_up, test_gone, tear_down);
  g_test_add ("/photo-trouble/broken-off", Fixture, NULL, set_up, test_broken_off, tear_down);
  g_test_add ("/photo-trouble/string-gone", Fixture, NULL, set_up, test_string_gone, tear_down);
  status = g_test_run ();
  g_object_unref (app);
  g_free (root);
  return status;
}
