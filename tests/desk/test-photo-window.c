/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window of one photograph: a picture of known geometry is measured in by the keyboard and by drags, to a tenth of
 * a pixel; what is measured is taken as a reading, undone, and taken off; a file that is none is said, its marks stay.
 * With --pictures FOLDER what it looks like. Skipped where there is no display. */
#include "live-window.h"
#include "seen.h"

#include "bench/settings.h"
#include "desk/photos/parts.h"

#include <locale.h>

#define SKIPPED 77
#define WIDTH 1200
#define HEIGHT 800
#define PX_PER_MM 40 /* of the rule drawn: a graduation a millimetre */

typedef struct
{
  SlWindow *window;
  SlBench *bench;
  SlPhotoWindow *child;
  char *id;
} Fixture;

static GtkApplication *app;
static char *pictures, *scheme;

static void
fill (GdkPixbuf *picture, int x, int y, int width, int height, guint32 grey)
{
  g_autoptr (GdkPixbuf) part = gdk_pixbuf_new_subpixbuf (picture, x, y, width, height);

  gdk_pixbuf_fill (part, grey << 24 | grey << 16 | grey << 8 | 0xff);
}

/* A rule along the foot, a string as a bar 60 px high at 300, a crown's top at 432: 72 px, 1.80 mm, between them. */
static GBytes *
make_picture (void)
{
  g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, WIDTH, HEIGHT);
  g_autofree char *data = NULL;
  gsize length;

  fill (picture, 0, 0, WIDTH, HEIGHT, 0x60);
  fill (picture, 0, 300, WIDTH, 60, 0xd0);
  fill (picture, 500, 432, 200, 120, 0xc0);
  fill (picture, 0, 640, WIDTH, 160, 0xd8);
  for (int mm = 0; mm < 20; mm++)
    fill (picture, 198 + mm * PX_PER_MM, 640, 4, mm % 5 == 0 ? 100 : 60, 0x20);
  g_assert_true (gdk_pixbuf_save_to_buffer (picture, &data, &length, "png", NULL, NULL));
  return g_bytes_new_take (g_steal_pointer (&data), length);
}

static void
open_photo (Fixture *f, const char *file)
{
  SlPhoto photo = sl_photo_init ();

  photo.file = g_strdup (file);
  photo.about = SL_ABOUT_FRET;
  photo.fret = 12;
  photo.string = 6;
  f->id = sl_photo_add (f->bench, &photo);
  sl_photo_clear (&photo);
  sl_photo_window_present (GTK_WINDOW (f->window), f->bench, f->id);
  for (GList *l = gtk_window_list_toplevels (); l != NULL; l = g_list_delete_link (l, l))
    if (SL_IS_PHOTO_WINDOW (l->data))
      f->child = l->data;
  g_assert_nonnull (f->child);
  while (f->child->grey == NULL && !gtk_widget_get_visible (f->child->trouble))
    g_main_context_iteration (NULL, TRUE);
  live_settle (f->window);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->window = live_window_new (app);
  f->bench = f->window->bench;
  sl_photos_set_file (f->bench, NULL);
  if (data == NULL)
    {
      g_autoptr (GFile) folder = sl_photos_folder (f->bench);
      g_autoptr (GBytes) bytes = make_picture ();
      g_autoptr (GError) error = NULL;
      g_autofree char *name = sl_photo_keep (folder, "fret-12", bytes, NULL, &error);

      g_assert_no_error (error);
      open_photo (f, name);
    }
  else
    open_photo (f, data);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->child));
  gtk_window_destroy (GTK_WINDOW (f->window));
  g_free (f->id);
}

static void
save (const Fixture *f, const char *name)
{
  g_autofree char *base = g_strconcat (name, ".png", NULL), *path = NULL;

  if (pictures == NULL)
    return;
  path = g_build_filename (pictures, base, NULL);
  live_settle (f->window);
  seen_save (GTK_WIDGET (f->child), path);
}

static const SlPhoto *
photo_of (const Fixture *f)
{
  return sl_photo_find (sl_bench_get_profile (f->bench), f->id, NULL);
}

static GtkEventController *
controller (const Fixture *f, GType type)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (f->child->view);

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GtkEventController) one = g_list_model_get_item (all, i);

      if (G_TYPE_CHECK_INSTANCE_TYPE (one, type))
        return one;
    }
  g_assert_not_reached ();
}

static gboolean
press (const Fixture *f, guint key, GdkModifierType state)
{
  GtkEventController *keys = controller (f, GTK_TYPE_EVENT_CONTROLLER_KEY);
  gboolean stopped = FALSE;

  g_signal_emit_by_name (keys, "key-pressed", key, 0, state, &stopped);
  g_signal_emit_by_name (keys, "key-released", key, 0, state);
  return stopped;
}

/* From one place of the picture to another, with the pointer. */
static void
drag (const Fixture *f, double x1, double y1, double x2, double y2)
{
  GtkEventController *gesture = controller (f, GTK_TYPE_GESTURE_DRAG);
  const double zoom = f->child->zoom;

  g_signal_emit_by_name (gesture, "drag-begin", f->child->x + x1 * zoom, f->child->y + y1 * zoom);
  g_signal_emit_by_name (gesture, "drag-update", (x2 - x1) * zoom / 2, (y2 - y1) * zoom / 2);
  g_signal_emit_by_name (gesture, "drag-update", (x2 - x1) * zoom, (y2 - y1) * zoom);
  g_signal_emit_by_name (gesture, "drag-end", (x2 - x1) * zoom, (y2 - y1) * zoom);
  live_settle (f->window);
}

static void
draw (const Fixture *f, SlShapeKind kind, double x1, double y1, double x2, double y2)
{
  gtk_widget_activate_action (GTK_WIDGET (f->child), "photo.draw", "i", (int) kind);
  drag (f, x1, y1, x2, y2);
}

static const char *
says (GtkWidget *label)
{
  return gtk_label_get_text (GTK_LABEL (label));
}

/* 10 mm of the rule, then string over crown: found on the edges though drawn a little off, said with its U, taken. */
static void
test_measure (Fixture *f, gconstpointer data)
{
  const SlReadingSet *into = NULL;
  const SlVisit *visit;
  const SlMark *mark;
  const SlReading *read;

  save (f, "1-open");
  g_assert_nonnull (strstr (says (f->child->scale), "No length"));
  draw (f, SL_SHAPE_KNOWN, 203, 680, 597, 680);
  g_assert_cmpuint (photo_of (f)->known->len, ==, 1);
  const SlKnownLength *known = &g_array_index (photo_of (f)->known, SlKnownLength, 0);
  g_assert_cmpfloat_with_epsilon (known->x[0].v, 200, 0.15); /* the middles of its graduations */
  g_assert_cmpfloat_with_epsilon (known->x[1].v, 600, 0.15);
  g_assert_nonnull (strstr (says (f->child->scale), "40.0 px per mm"));
  save (f, "2-known");
  draw (f, SL_SHAPE_MARK, 600, 357, 600, 436);
  mark = &g_array_index (photo_of (f)->marks, SlMark, 0);
  g_assert_cmpfloat_with_epsilon (mark->y[0].v, 360, 0.15);
  g_assert_cmpfloat_with_epsilon (mark->y[1].v, 432, 0.15);
  g_assert_true (sl_number_is_set (mark->u[0]) && sl_number_is_set (mark->u[1]));
  g_assert_cmpint (mark->string, ==, 6); /* as the photograph has it */
  g_assert_cmpint (mark->fret, ==, 12);
  g_assert_true (g_str_has_prefix (says (f->child->result), "1.80 ± "));
  g_assert_true (g_str_has_prefix (says (f->child->model), "The model has "));
  save (f, "3-measured");
  gtk_widget_activate_action (GTK_WIDGET (f->child), "photo.take", NULL);
  g_assert_true (g_str_has_prefix (says (f->child->told), "Taken into "));
  sl_photo_find (sl_bench_get_profile (f->bench), f->id, &visit);
  mark = &g_array_index (photo_of (f)->marks, SlMark, 0);
  read = sl_mark_reading (visit, photo_of (f), mark, &into);
  g_assert_nonnull (read);
  g_assert_cmpfloat_with_epsilon (read->value.v, 1.8, 0.011);
  save (f, "4-taken");
  gtk_widget_activate_action (GTK_WIDGET (f->child), "win.undo", NULL);
  g_assert_null (g_array_index (photo_of (f)->marks, SlMark, 0).readings);
  gtk_widget_activate_action (GTK_WIDGET (f->child), "win.undo", NULL);
  g_assert_cmpuint (photo_of (f)->marks->len, ==, 0);
  gtk_widget_activate_action (GTK_WIDGET (f->child), "win.undo", NULL);
  g_assert_cmpuint (photo_of (f)->known->len, ==, 0);
}

/* By the keyboard alone: put in the middle, its ends moved by tenths, pixels and tens; said; on an edge; taken away. */
static void
test_keys (Fixture *f, gconstpointer data)
{
  gtk_widget_activate_action (GTK_WIDGET (f->child), "photo.draw", "i", (int) SL_SHAPE_KNOWN);
  g_assert_true (press (f, GDK_KEY_Return, 0));
  g_assert_cmpuint (photo_of (f)->known->len, ==, 1);
  const double x = g_array_index (photo_of (f)->known, SlKnownLength, 0).x[0].v;

  press (f, GDK_KEY_Right, 0);
  g_assert_cmpfloat_with_epsilon (g_array_index (photo_of (f)->known, SlKnownLength, 0).x[0].v, x + 0.1, 1e-9);
  press (f, GDK_KEY_Right, GDK_SHIFT_MASK);
  g_assert_cmpfloat_with_epsilon (g_array_index (photo_of (f)->known, SlKnownLength, 0).x[0].v, x + 1.1, 1e-9);
  press (f, GDK_KEY_Left, GDK_CONTROL_MASK);
  g_assert_cmpfloat_with_epsilon (g_array_index (photo_of (f)->known, SlKnownLength, 0).x[0].v, x - 8.9, 1e-9);
  g_autofree char *said = sl_photo_end_said (f->child);
  g_assert_true (g_str_has_prefix (said, "Known length, end 1 at "));
  g_assert_true (g_str_has_suffix (said, "set by hand"));
  gtk_test_accessible_assert_property (f->child->view, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, said);
  g_assert_true (press (f, GDK_KEY_Tab, 0));
  g_assert_cmpint (f->child->end, ==, 1);
  g_assert_false (press (f, GDK_KEY_Tab, 0)); /* past the last the keyboard goes on */
  g_assert_true (press (f, GDK_KEY_Tab, GDK_SHIFT_MASK));
  g_assert_cmpint (f->child->end, ==, 0);
  sl_bench_undo (f->bench);
  g_assert_cmpfloat_with_epsilon (g_array_index (photo_of (f)->known, SlKnownLength, 0).x[0].v, x + 1.1, 1e-9);
  press (f, GDK_KEY_Delete, 0);
  g_assert_cmpuint (photo_of (f)->known->len, ==, 0);
  g_assert_true (press (f, GDK_KEY_Left, 0)); /* the view over the picture */
  g_assert_false (f->child->fits);
}

/* Corners are drawn as a rectangle and pulled to their places; a break angle has three ends; a click draws nothing. */
static void
test_shapes (Fixture *f, gconstpointer data)
{
  draw (f, SL_SHAPE_FLAT, 100, 100, 900, 500);
  g_assert_true (photo_of (f)->flat.given);
  g_assert_cmpfloat_with_epsilon (photo_of (f)->flat.x[2].v, 900, 0.1);
  drag (f, 900, 500, 950, 550);
  g_assert_cmpfloat_with_epsilon (photo_of (f)->flat.x[2].v, 950, 0.1);
  press (f, GDK_KEY_Escape, 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (f->child->of), SL_MEASURE_BREAK_ANGLE);
  draw (f, SL_SHAPE_MARK, 200, 200, 800, 240);
  g_assert_true (sl_number_is_set (g_array_index (photo_of (f)->marks, SlMark, 0).x[2]));
  g_assert_false (gtk_widget_get_visible (f->child->take));
  g_assert_nonnull (strstr (says (f->child->told), "stays with the picture"));
  save (f, "5-shapes");
  draw (f, SL_SHAPE_MARK, 300, 300, 300, 300);
  g_assert_cmpuint (photo_of (f)->marks->len, ==, 1);
}

/* No such file, and names that lead out of the folder: said, and what is marked can still be seen in the list. */
static void
test_trouble (Fixture *f, gconstpointer data)
{
  g_assert_true (gtk_widget_get_visible (f->child->trouble));
  g_assert_cmpstr (says (f->child->trouble), !=, "");
  g_assert_false (gtk_widget_get_visible (f->child->waiting));
  save (f, "6-trouble");
}

int
main (int argc, char **argv)
{
  const GOptionEntry options[] = {
    { "pictures", 0, 0, G_OPTION_ARG_FILENAME, &pictures, "draw the window into FOLDER", "FOLDER" },
    { "scheme", 0, 0, G_OPTION_ARG_STRING, &scheme, "light or dark", "SCHEME" },
    { NULL, 0, 0, 0, NULL, NULL, NULL },
  };
  g_autofree char *folder = g_dir_make_tmp ("sidelong-photos-XXXXXX", NULL);
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  int status;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, g_getenv ("SIDELONG_LOCALE_DIR"));
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_test_init (&argc, &argv, NULL);
  g_option_context_add_main_entries (context, options, NULL);
  g_assert_true (g_option_context_parse (context, &argc, &argv, NULL));
  if (pictures != NULL) /* in any language */
    g_test_set_nonfatal_assertions ();
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  app = live_app_new ();
  if (scheme != NULL)
    sl_settings_set (SL_SETTING_COLOUR_SCHEME, g_variant_new_string (scheme));
  g_test_add ("/photo-window/measure", Fixture, NULL, set_up, test_measure, tear_down);
  g_test_add ("/photo-window/keys", Fixture, NULL, set_up, test_keys, tear_down);
  g_test_add ("/photo-window/shapes", Fixture, NULL, set_up, test_shapes, tear_down);
  g_test_add ("/photo-window/missing", Fixture, "missing.jpg", set_up, test_trouble, tear_down);
  g_test_add ("/photo-window/foreign", Fixture, "../anchor-street-flat-top.sidelong", set_up, test_trouble, tear_down);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}
