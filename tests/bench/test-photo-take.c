/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which files become which photographs: kept byte for byte under names of what they show, once each; what is none is
 * told by its name. The pictures are made here, with gdk-pixbuf. */
#include "bench/photo-take.h"

#include <glib/gstdio.h>

#include "bench/profiles.h"
#include "bench/settings.h"
#include "bench/visit-edit.h"

typedef struct
{
  char *root;
  GFile *folder, *camera; /* of the photographs; where they come from */
  SlBench *bench;
  char *told, *refused;
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
  g_autofree char *file = NULL, *camera = NULL;
  g_autoptr (GFile) document = NULL;

  c->root = g_dir_make_tmp ("photo-take-XXXXXX", NULL);
  file = g_build_filename (c->root, "parlour.sidelong", NULL);
  camera = g_build_filename (c->root, "camera", NULL);
  g_assert_no_errno (g_mkdir (camera, 0700));
  document = g_file_new_for_path (file);
  c->camera = g_file_new_for_path (camera);
  c->bench = sl_bench_new (sl_starting_profile ("flat-top"));
  sl_visit_begin (c->bench);
  sl_photos_set_file (c->bench, document);
  c->folder = sl_photos_folder (c->bench);
  g_signal_connect (c->bench, "told", G_CALLBACK (note), &c->told);
  g_signal_connect (c->bench, "refused", G_CALLBACK (note), &c->refused);
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

  remove_all (root);
  g_free (c->root);
  g_free (c->told);
  g_free (c->refused);
  g_object_unref (c->folder);
  g_object_unref (c->camera);
  g_assert_finalize_object (c->bench);
}

/* A grey picture, of a kind of its own for each @shade; written then. */
static GFile *
picture (Case *c, const char *name, guint8 shade, const char *type, gint64 written)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, 40, 30);
  GFile *file = g_file_get_child (c->camera, name);
  g_autoptr (GError) error = NULL;

  gdk_pixbuf_fill (pixbuf, (guint32) shade << 24 | (guint32) shade << 16 | 0xff);
  gdk_pixbuf_save (pixbuf, g_file_peek_path (file), type, &error, NULL);
  g_assert_no_error (error);
  g_file_set_attribute_uint64 (file, "time::modified", (guint64) written, G_FILE_QUERY_INFO_NONE, NULL, &error);
  g_assert_no_error (error);
  return file;
}

/* Takes files (up to NULL) in; those it is given are freed. */
static void
take (Case *c, const SlPhoto *like, ...)
{
  g_autoptr (GListStore) list = g_list_store_new (G_TYPE_FILE);
  va_list files;

  g_clear_pointer (&c->told, g_free);
  g_clear_pointer (&c->refused, g_free);
  va_start (files, like);
  for (GFile *file; (file = va_arg (files, GFile *)) != NULL;)
    {
      g_list_store_append (list, file);
      g_object_unref (file);
    }
  va_end (files);
  sl_photos_take (c->bench, G_LIST_MODEL (list), NULL, like);
  while (c->refused == NULL && (c->told == NULL || g_str_has_prefix (c->told, "Taking in")))
    g_main_context_iteration (NULL, TRUE);
}

static const SlPhoto *
photo_at (Case *c, guint at)
{
  const GArray *photos = sl_bench_get_visit (c->bench)->photos;

  g_assert_cmpuint (at, <, photos->len);
  return &g_array_index (photos, SlPhoto, at);
}

static void
assert_same_bytes (Case *c, const char *kept, GFile *from)
{
  g_autoptr (GFile) there = g_file_get_child (c->folder, kept);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) one = g_file_load_bytes (there, NULL, NULL, &error),
                     other = g_file_load_bytes (from, NULL, NULL, &error);

  g_assert_no_error (error);
  g_assert_true (g_bytes_equal (one, other));
}

/* What is worked on says what a picture shows, and that its name; several are one step. */
static void
test_taken (Case *c, gconstpointer data)
{
  sl_bench_set_held (c->bench, 3);
  sl_bench_set_string (c->bench, 2);
  SlPhoto like = sl_photo_guess (c->bench, NULL);
  GFile *one = picture (c, "IMG_1.JPG", 10, "jpeg", 1770000000), *two = picture (c, "IMG_2.png", 20, "png", 1770000100);

  g_object_ref (one);
  take (c, &like, one, two, NULL);
  g_assert_cmpstr (c->told, ==, "2 pictures were taken into the visit.");
  g_assert_null (c->refused);
  g_assert_cmpint (photo_at (c, 0)->about, ==, SL_ABOUT_FRET);
  g_assert_cmpint (photo_at (c, 0)->fret, ==, 3);
  g_assert_cmpint (photo_at (c, 0)->string, ==, 2);
  g_assert_cmpstr (photo_at (c, 0)->file, ==, "fret-3-string-2.jpg");
  g_assert_cmpstr (photo_at (c, 1)->file, ==, "fret-3-string-2.png");
  assert_same_bytes (c, "fret-3-string-2.jpg", one);
  g_assert_true (g_file_query_exists (one, NULL)); /* the original stays */
  g_object_unref (one);

  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (photo_at (c, 0)->taken, NULL);

  g_assert_cmpint (g_date_time_to_unix (time), ==, 1770000000); /* no camera wrote a time: the file's */
  sl_bench_undo (c->bench);
  g_assert_cmpuint (sl_bench_get_visit (c->bench)->photos->len, ==, 0);
  sl_photo_clear (&like);
}

/* The same bytes are one file and one photograph, whatever they are called; a file whose photograph was removed is
 * named again. */
static void
test_twice (Case *c, gconstpointer data)
{
  SlPhoto like = sl_photo_guess (c->bench, NULL);

  take (c, &like, picture (c, "a.jpg", 10, "jpeg", 1), picture (c, "b.jpg", 10, "jpeg", 2), NULL);
  g_assert_cmpstr (c->told, ==, "1 picture was taken into the visit.");
  g_assert_nonnull (strstr (c->refused, "“b.jpg”"));
  g_assert_nonnull (strstr (c->refused, "already"));
  take (c, &like, picture (c, "c.jpg", 10, "jpeg", 3), NULL);
  g_assert_null (c->told);
  sl_photo_remove (c->bench, photo_at (c, 0)->id);
  take (c, &like, picture (c, "c.jpg", 10, "jpeg", 3), NULL);
  g_assert_cmpstr (photo_at (c, 0)->file, ==, "picture.jpg");
  sl_photo_clear (&like);
}

/* What can't be taken is named with why; the others are taken. */
static void
test_refused (Case *c, gconstpointer data)
{
  SlPhoto like = sl_photo_guess (c->bench, NULL);
  GFile *text = g_file_get_child (c->camera, "shopping.jpg"), *gone = g_file_get_child (c->camera, "gone.jpg");

  g_file_set_contents (g_file_peek_path (text), "two sheets of 320 paper\n", -1, NULL);
  take (c, &like, text, gone, g_object_ref (c->camera), picture (c, "good.png", 5, "png", 1), NULL);
  g_assert_cmpstr (c->told, ==, "1 picture was taken into the visit.");
  for (int i = 0; i < 3; i++)
    g_assert_nonnull (strstr (c->refused, ((const char *[]){ "“shopping.jpg”", "“gone.jpg”", "“camera”" })[i]));
  g_assert_cmpuint (sl_bench_get_visit (c->bench)->photos->len, ==, 1);
  sl_photo_clear (&like);
}

/* A file that was missing comes back to its photograph, which keeps all else. */
static void
test_found (Case *c, gconstpointer data)
{
  SlPhoto like = sl_photo_guess (c->bench, "Saddle");
  g_autoptr (GFile) original = picture (c, "x.jpg", 10, "jpeg", 1), there = g_file_get_child (c->folder, "saddle.jpg");

  like.note = g_strdup ("Worn at the bass");
  take (c, &like, g_object_ref (original), NULL);
  g_assert_cmpstr (photo_at (c, 0)->file, ==, "saddle.jpg");
  g_assert_true (g_file_delete (there, NULL, NULL));

  SlPhoto lost = sl_photo_copy (photo_at (c, 0));

  take (c, &lost, g_object_ref (original), NULL);
  g_assert_cmpuint (sl_bench_get_visit (c->bench)->photos->len, ==, 1);
  g_assert_cmpstr (photo_at (c, 0)->note, ==, "Worn at the bass");
  assert_same_bytes (c, photo_at (c, 0)->file, original);
  sl_photo_clear (&lost);
  sl_photo_clear (&like);
}

/* The newest first, pictures only, but those that are named. */
static void
test_folder (Case *c, gconstpointer data)
{
  SlPhoto like = sl_photo_guess (c->bench, NULL);
  g_autoptr (GFile) old = picture (c, "z.jpg", 10, "jpeg", 1000), newest = picture (c, "a.PNG", 20, "png", 2000),
                    text = g_file_get_child (c->camera, "notes.txt");
  g_autoptr (GListModel) found = NULL, unnamed = NULL, none = NULL;
  g_autoptr (GFile) left = NULL, first = NULL, unnamed_one = NULL;

  g_file_set_contents (g_file_peek_path (text), "x", -1, NULL);
  found = sl_photos_of_folder (c->camera, NULL);
  g_assert_cmpuint (g_list_model_get_n_items (found), ==, 2);
  first = g_list_model_get_item (found, 0);
  g_assert_true (g_file_equal (first, newest));
  take (c, &like, g_object_ref (old), NULL);
  left = g_file_get_child (c->folder, "left.jpg");
  g_assert_true (g_file_copy (newest, left, G_FILE_COPY_NONE, NULL, NULL, NULL, NULL));
  unnamed = sl_photos_of_folder (c->folder, sl_bench_get_profile (c->bench));
  g_assert_cmpuint (g_list_model_get_n_items (unnamed), ==, 1);
  unnamed_one = g_list_model_get_item (unnamed, 0);
  g_assert_true (g_file_equal (unnamed_one, left));
  none = sl_photos_of_folder (text, NULL);
  g_assert_cmpuint (g_list_model_get_n_items (none), ==, 0);
  sl_photo_clear (&like);
}

/* A line of the shop's list names what is seen, or is a caption; it is there once a picture of it is. */
static void
test_usual (Case *c, gconstpointer data)
{
  g_auto (GStrv) lines = sl_usual_pictures ();
  SlPhoto front = sl_photo_guess (c->bench, lines[0]), fret = sl_photo_guess (c->bench, "Fret 12");

  g_assert_cmpint (front.about, ==, SL_ABOUT_OTHER);
  g_assert_cmpstr (front.note, ==, lines[0]);
  g_assert_cmpint (fret.about, ==, SL_ABOUT_FRET);
  g_assert_cmpint (fret.fret, ==, 12);
  g_assert_null (fret.note);
  g_assert_false (sl_photo_is_there (c->bench, &front));
  take (c, &front, picture (c, "f.jpg", 1, "jpeg", 1), NULL);
  g_assert_true (sl_photo_is_there (c->bench, &front));
  g_assert_false (sl_photo_is_there (c->bench, &fret));
  front.stage = SL_STAGE_FINAL;
  g_assert_false (sl_photo_is_there (c->bench, &front));
  sl_settings_set (SL_SETTING_USUAL_PICTURES, g_variant_new_strv ((const char *[]){ "Label inside", NULL }, -1));

  g_auto (GStrv) own = sl_usual_pictures ();

  g_assert_cmpstr (own[0], ==, "Label inside");
  g_assert_null (own[1]);
  sl_photo_clear (&front);
  sl_photo_clear (&fret);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name) g_test_add ("/photo-take/" #name, Case, NULL, set_up, test_##name, tear_down)
  ADD (taken);
  ADD (twice);
  ADD (refused);
  ADD (found);
  ADD (folder);
  ADD (usual);
  return g_test_run ();
}
