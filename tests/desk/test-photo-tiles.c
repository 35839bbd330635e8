/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tiles of photographs: by stage, each with its picture or why there is none, 200 of them at once; the newest picture
 * of a folder, as it comes. Skipped where there is no display. */
#include "desk/photos/photos.h"

#include <glib/gstdio.h>
#include <locale.h>

#include "bench/profiles.h"
#include "bench/settings.h"
#include "bench/visit-edit.h"
#include "desk/kit/kit.h"

#define SKIPPED 77
#define MANY 200
#define MOST_S 60 /* far more than anything here takes */

typedef struct
{
  char *root, *camera;
  SlBench *bench;
  GtkWidget *window, *part;
  char *told;
} Case;

static void
note (SlBench *bench, const char *text, char **place)
{
  g_free (*place);
  *place = g_strdup (text);
}

static void
set_up (Case *c, gconstpointer data)
{
  g_autoptr (GFile) document = NULL;

  c->root = g_dir_make_tmp ("photo-tiles-XXXXXX", NULL);
  c->camera = g_build_filename (c->root, "camera", NULL);
  g_assert_no_errno (g_mkdir (c->camera, 0700));
  c->bench = sl_bench_new (sl_starting_profile ("flat-top"));
  sl_visit_begin (c->bench);
  document = g_file_new_build_filename (c->root, "parlour.sidelong", NULL);
  sl_photos_set_file (c->bench, document);
  g_signal_connect (c->bench, "told", G_CALLBACK (note), &c->told);
  c->part = sl_photo_tiles_new (c->bench);
  c->window = gtk_window_new ();
  gtk_window_set_child (GTK_WINDOW (c->window), sl_scrolled_new (c->part, "tiles"));
  gtk_window_set_default_size (GTK_WINDOW (c->window), 800, 600);
  gtk_window_present (GTK_WINDOW (c->window));
}

static void
remove_all (GFile *file)
{
  g_autoptr (GFileEnumerator) files = g_file_enumerate_children (file, "standard::name", 1, NULL, NULL);
  GFile *child;

  while (files != NULL && g_file_enumerator_iterate (files, NULL, &child, NULL, NULL) && child != NULL)
    remove_all (child);
  g_file_delete (file, NULL, NULL);
}

static void
tear_down (Case *c, gconstpointer data)
{
  g_autoptr (GFile) root = g_file_new_for_path (c->root);

  gtk_window_destroy (GTK_WINDOW (c->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  remove_all (root);
  g_free (c->root);
  g_free (c->camera);
  g_free (c->told);
  g_object_unref (c->bench);
}

/* Whether a label or a button below @root reads as @starts begins, and is seen; that widget. */
static GtkWidget *
reads (GtkWidget *root, const char *starts)
{
  const char *text = GTK_IS_LABEL (root)    ? gtk_label_get_text (GTK_LABEL (root))
                     : GTK_IS_BUTTON (root) ? gtk_button_get_label (GTK_BUTTON (root))
                                            : NULL;
  GtkWidget *found = text != NULL && g_str_has_prefix (text, starts) && gtk_widget_get_mapped (root) ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = reads (child, starts);
  return found;
}

static GtkWidget *
wait_for (GtkWidget *root, const char *starts)
{
  const gint64 end = g_get_monotonic_time () + MOST_S * G_USEC_PER_SEC;
  GtkWidget *found;

  while ((found = reads (root, starts)) == NULL && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  if (found == NULL)
    g_error ("nothing reads “%s”", starts);
  return found;
}

/* How many tiles there are, and of these with a picture. */
static int
count (GtkWidget *root, gboolean shown)
{
  int n = shown ? GTK_IS_PICTURE (root) && gtk_picture_get_paintable (GTK_PICTURE (root)) != NULL
                : GTK_IS_FLOW_BOX_CHILD (root);

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    n += count (child, shown);
  return n;
}

static void
wait_count (Case *c, gboolean shown, int n)
{
  const gint64 end = g_get_monotonic_time () + MOST_S * G_USEC_PER_SEC;

  while (count (c->part, shown) != n && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpint (count (c->part, shown), ==, n);
}

static void
draw (const char *folder, const char *name, int side, guint8 shade)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, side, side * 3 / 4);
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;

  gdk_pixbuf_fill (pixbuf, (guint32) shade << 24 | 0x4080ff);
  gdk_pixbuf_save (pixbuf, path, "jpeg", &error, NULL);
  g_assert_no_error (error);
}

/* A tethered camera's next picture is offered as it comes; taken, it has a tile; removed and undone, again. */
static void
test_newest (Case *c, gconstpointer data)
{
  g_autofree char *uri = g_filename_to_uri (c->camera, NULL, NULL);

  sl_settings_set (SL_SETTING_PICTURE_FOLDER, g_variant_new_string (uri));
  wait_for (c->part, "No new picture yet");
  draw (c->camera, "IMG_0042.jpg", 400, 10);
  g_signal_emit_by_name (wait_for (c->part, "Take IMG_0042.jpg"), "clicked");
  wait_count (c, TRUE, 1);
  g_assert_cmpstr (c->told, ==, "1 picture was taken into the visit.");
  wait_for (c->part, "No new picture yet");
  wait_for (c->part, "Received");
  draw (c->camera, "IMG_0043.jpg", 400, 90);
  wait_for (c->part, "Take IMG_0043.jpg");

  g_autofree char *id = g_strdup (g_array_index (sl_bench_get_visit (c->bench)->photos, SlPhoto, 0).id);

  sl_photo_remove (c->bench, id);
  wait_count (c, FALSE, 0);
  wait_for (c->part, "1 picture in the folder belongs to no visit.");
  sl_bench_undo (c->bench);
  wait_count (c, TRUE, 1);
}

static void
add (Case *c, const char *file, SlStage stage)
{
  SlPhoto photo = sl_photo_init ();

  photo.file = g_strdup (file);
  photo.stage = stage;
  g_free (sl_photo_add (c->bench, &photo));
  sl_photo_clear (&photo);
}

/* A file that is missing, broken or has an impossible name is told on its tile. */
static void
test_faults (Case *c, gconstpointer data)
{
  g_autoptr (GFile) folder = sl_photos_folder (c->bench), broken = g_file_get_child (folder, "broken.jpg");

  g_assert_no_errno (g_mkdir (g_file_peek_path (folder), 0700));
  g_assert_true (g_file_set_contents (g_file_peek_path (broken), "no picture", -1, NULL));
  add (c, "gone.jpg", SL_STAGE_RECEIVED);
  add (c, "broken.jpg", SL_STAGE_DURING);
  add (c, "../other.jpg", SL_STAGE_FINAL);
  wait_count (c, FALSE, 3);
  wait_for (c->part, "gone.jpg");
  g_assert_nonnull (reads (c->part, "Find…"));
  wait_for (c->part, "During");
  wait_for (c->part, "Final");
  wait_for (c->part, "“../other.jpg”");
  g_assert_cmpint (count (c->part, TRUE), ==, 0);
  g_assert_cmpuint (sl_bench_get_visit (c->bench)->photos->len, ==, 3);
}

/* As many as a visit can have: the main loop goes on while they are decoded, and none is decoded twice. */
static void
test_many (Case *c, gconstpointer data)
{
  g_autoptr (GFile) folder = sl_photos_folder (c->bench);

  g_assert_no_errno (g_mkdir (g_file_peek_path (folder), 0700));
  sl_bench_begin_gesture (c->bench, "many");
  for (int i = 0; i < MANY; i++)
    {
      g_autofree char *name = g_strdup_printf ("picture-%d.jpg", i);

      draw (g_file_peek_path (folder), name, 600, (guint8) i);
      add (c, name, i % 3);
    }
  sl_bench_end_gesture (c->bench);
  wait_count (c, TRUE, MANY);
  add (c, "none.jpg", SL_STAGE_FINAL);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_cmpint (count (c->part, FALSE), ==, MANY); /* one more is refused */
  g_assert_cmpint (count (c->part, TRUE), ==, MANY);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
#define ADD(name) g_test_add ("/photo-tiles/" #name, Case, NULL, set_up, test_##name, tear_down)
  ADD (newest);
  ADD (faults);
  ADD (many);
  return g_test_run ();
}
