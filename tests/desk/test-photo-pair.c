/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two photographs over each other: where each of them is, by what is seen pixel by pixel of a red picture and a green
 * one; line, keys, zoom and drag; and what is shown where a file is missing or broken. That pictures of one height have
 * one middle, and that the place under the pointer stays where it is, is plain geometry. */
#include "desk/photos/photo-pair.h"

#include <glib/gstdio.h>
#include <math.h>

#define WIDTH 600
#define HEIGHT 400
#define WAIT_S 60
#define RED 0xd02020ffu
#define GREEN 0x20c040ffu

typedef struct
{
  char *folder;
  SlBench *bench;
  GtkWidget *window;
  SlPhotoPairView *view;
  GtkAdjustment *share;
  GtkWidget *slider;
} Shown;

/* ---- what there is ---- */

static void
write_picture (const char *folder, const char *name, int width, int height, guint32 colour)
{
  g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, width, height);
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;

  gdk_pixbuf_fill (picture, colour);
  gdk_pixbuf_save (picture, path, "png", &error, NULL);
  g_assert_no_error (error);
}

static void
remove_file (const char *folder, const char *name)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);

  g_unlink (path);
}

static SlPhoto
photo_of (const char *file)
{
  SlPhoto photo = sl_photo_init ();

  photo.file = g_strdup (file);
  return photo;
}

/* Whether @id of the view's template is visible. */
static GtkWidget *
part (Shown *shown, const char *id)
{
  return GTK_WIDGET (gtk_widget_get_template_child (GTK_WIDGET (shown->view), SL_TYPE_PHOTO_PAIR_VIEW, id));
}

static void
wait_frames (Shown *shown)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (shown->window);

  for (int i = 0; i < 4; i++)
    {
      const gint64 frame = gdk_frame_clock_get_frame_counter (clock);

      gdk_frame_clock_request_phase (clock, GDK_FRAME_CLOCK_PHASE_PAINT);
      while (gdk_frame_clock_get_frame_counter (clock) == frame)
        g_main_context_iteration (NULL, TRUE);
    }
}

/* Each is shown, in the share that shows both, or said not to be there. */
static gboolean
is_settled (Shown *shown, int n)
{
  const char *faults = gtk_label_get_text (GTK_LABEL (part (shown, "faults")));

  n -= gtk_widget_get_visible (part (shown, "before")) + gtk_widget_get_visible (part (shown, "after"));
  for (; gtk_widget_get_visible (part (shown, "faults")) && faults != NULL; n--)
    faults = strchr (faults + 1, '\n');
  return n <= 0;
}

/* Until each of the two is loaded or said not to be there. */
static void
show (Shown *shown, const char *before, const char *after)
{
  const gint64 end = g_get_monotonic_time () + WAIT_S * G_USEC_PER_SEC;
  SlPhoto first = photo_of (before), second = photo_of (after);

  gtk_adjustment_set_value (shown->share, 0.5);
  sl_photo_pair_view_show (shown->view, before != NULL ? &first : NULL, after != NULL ? &second : NULL,
                           before != NULL ? "Before, 2 March" : NULL, after != NULL ? "After, 9 March" : NULL);
  sl_photo_clear (&first);
  sl_photo_clear (&second);
  while (!is_settled (shown, (before != NULL) + (after != NULL)))
    {
      g_assert_cmpint (g_get_monotonic_time (), <, end);
      wait_frames (shown);
    }
  wait_frames (shown);
}

static void
set_up (Shown *shown, gconstpointer data)
{
  static const char *const names[] = { "wide.png", "tall.png" };
  g_autofree char *path = NULL, *photos = NULL;
  g_autoptr (GFile) file = NULL;

  shown->folder = g_dir_make_tmp ("photo-pair-XXXXXX", NULL);
  path = g_build_filename (shown->folder, "one.sidelong", NULL);
  photos = g_build_filename (shown->folder, "one.photos", NULL);
  file = g_file_new_for_path (path);
  g_assert_cmpint (g_mkdir (photos, 0700), ==, 0);
  write_picture (photos, names[0], 800, 400, RED);
  write_picture (photos, names[1], 300, 600, GREEN);
  path = (g_free (path), g_build_filename (photos, "broken.png", NULL));
  g_assert_true (g_file_set_contents (path, "\x89PNG\r\n\x1a\n and then nothing", -1, NULL));
  shown->bench = sl_bench_new (sl_profile_new ());
  sl_photos_set_file (shown->bench, file);
  shown->share = g_object_ref_sink (gtk_adjustment_new (0.5, 0, 1, 0.05, 0.25, 0));
  shown->window = gtk_window_new ();
  shown->view = sl_photo_pair_view_new (shown->bench, shown->share, &shown->slider);
  gtk_window_set_default_size (GTK_WINDOW (shown->window), WIDTH, HEIGHT);
  gtk_window_set_decorated (GTK_WINDOW (shown->window), FALSE);
  gtk_window_set_child (GTK_WINDOW (shown->window), GTK_WIDGET (shown->view));
  gtk_window_present (GTK_WINDOW (shown->window));
  while (!gtk_widget_get_mapped (shown->window))
    g_main_context_iteration (NULL, TRUE);
}

static void
tear_down (Shown *shown, gconstpointer data)
{
  g_autofree char *photos = g_build_filename (shown->folder, "one.photos", NULL);

  g_object_add_weak_pointer (G_OBJECT (shown->view), (gpointer *) &shown->view);
  gtk_window_destroy (GTK_WINDOW (shown->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_null (shown->view);
  g_assert_finalize_object (shown->share);
  g_object_unref (shown->bench);
  remove_file (photos, "wide.png");
  remove_file (photos, "tall.png");
  remove_file (photos, "broken.png");
  g_rmdir (photos);
  g_rmdir (shown->folder);
  g_free (shown->folder);
}

/* ---- what is seen ---- */

typedef struct
{
  guint n;         /* pixels of the colour */
  int left, right; /* the first and the last column that has it, in the area's middle row */
} Seen;

/* The columns in which the view's middle row has a colour, a little under the labels. */
static Seen
seen (Shown *shown, guint32 colour)
{
  const int width = gtk_widget_get_width (GTK_WIDGET (shown->view)),
            height = gtk_widget_get_height (GTK_WIDGET (shown->view));
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (GTK_WIDGET (shown->view));
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, width, height);
  cairo_t *cr = cairo_create (surface);
  Seen found = { 0, width, -1 };
  GskRenderNode *node;
  const guint32 *row;

  gdk_paintable_snapshot (paintable, snapshot, width, height);
  node = gtk_snapshot_free_to_node (snapshot);
  g_assert_nonnull (node);
  gsk_render_node_draw (node, cr);
  gsk_render_node_unref (node);
  cairo_surface_flush (surface);
  row = (const guint32 *) (gconstpointer) (cairo_image_surface_get_data (surface) +
                                           height / 3 * cairo_image_surface_get_stride (surface));
  for (int x = 0; x < width; x++)
    if ((row[x] & 0xffffff) == colour >> 8)
      {
        found.n++;
        found.left = MIN (found.left, x);
        found.right = x;
      }
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return found;
}

/* How high they are at fit, where the wider one is @aspect times as wide as high: that of the room over the slider. */
static double
fit_height (Shown *shown, double aspect)
{
  GtkWidget *slider = part (shown, "slider");
  const int below = gtk_widget_get_visible (slider) ? gtk_widget_get_height (slider) : 0;

  return MIN (gtk_widget_get_height (part (shown, "area")) - below,
              gtk_widget_get_width (part (shown, "area")) / aspect);
}

/* ---- tests ---- */

static void
test_share (Shown *shown, gconstpointer data)
{
  show (shown, "wide.png", "tall.png");
  const double middle = gtk_widget_get_width (GTK_WIDGET (shown->view)) / 2.0;
  const double half = fit_height (shown, 2) / 4; /* of the tall one's width: 1 : 2 */
  const Seen red = seen (shown, RED), green = seen (shown, GREEN);

  g_assert_true (gtk_widget_get_visible (shown->slider));
  g_assert_cmpfloat_with_epsilon (green.left, middle - half, 2); /* the later one is to the left of the line */
  g_assert_cmpfloat (green.right, <=, middle + 1);
  g_assert_cmpfloat (red.left, >=, middle - 1);
  g_assert_cmpfloat_with_epsilon (red.right, middle + fit_height (shown, 2), 2); /* 2 : 1, as high, and of one middle */
  g_assert_true (gtk_widget_get_visible (part (shown, "before")) && gtk_widget_get_visible (part (shown, "after")));

  gtk_adjustment_set_value (shown->share, 0);
  wait_frames (shown);
  g_assert_cmpuint (seen (shown, GREEN).n, ==, 0);
  g_assert_cmpfloat_with_epsilon (seen (shown, RED).left, middle - fit_height (shown, 2), 2);
  g_assert_false (gtk_widget_get_visible (part (shown, "after"))); /* what isn't seen has no label */

  gtk_adjustment_set_value (shown->share, 1);
  wait_frames (shown);
  g_assert_cmpuint (seen (shown, RED).n, ==, 0);
  g_assert_cmpfloat_with_epsilon (seen (shown, GREEN).right, middle + half, 2);
  g_assert_false (gtk_widget_get_visible (part (shown, "before")));
}

/* A file that is missing or broken: the other one whole, why in a sentence, and no line to drag. */
static void
test_faults (Shown *shown, gconstpointer data)
{
  static const char *const bad[] = { "gone.png", "broken.png", "../wide.png" };

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      show (shown, bad[i], "tall.png");
      g_assert_false (gtk_widget_get_visible (shown->slider));
      g_assert_false (gtk_widget_get_visible (part (shown, "slider")) || gtk_widget_get_visible (part (shown, "line")));
      g_assert_true (gtk_widget_get_visible (part (shown, "faults")));
      g_assert_true (g_str_has_prefix (gtk_label_get_text (GTK_LABEL (part (shown, "faults"))), "Before, 2 March: "));
      g_assert_cmpfloat_with_epsilon (seen (shown, GREEN).n, fit_height (shown, 0.5) / 2, 3);
      g_assert_cmpuint (seen (shown, RED).n, ==, 0);
    }
  show (shown, "gone.png", "broken.png");
  g_assert_nonnull (strchr (gtk_label_get_text (GTK_LABEL (part (shown, "faults"))), '\n')); /* both are told */
  show (shown, "wide.png", NULL);
  g_assert_false (gtk_widget_get_visible (part (shown, "faults")));
  g_assert_false (gtk_widget_get_visible (shown->slider));
  g_assert_cmpuint (seen (shown, RED).n, >, 0);
}

static gboolean
press (Shown *shown, guint key, GdkModifierType modifiers)
{
  const gboolean taken = sl_photo_pair_view_key (shown->view, key, modifiers);

  wait_frames (shown);
  return taken;
}

static void
test_keys (Shown *shown, gconstpointer data)
{
  show (shown, "wide.png", "tall.png");
  const guint fitted = seen (shown, GREEN).n;

  g_assert_false (press (shown, GDK_KEY_Up, 0)); /* there is nothing to move yet */
  g_assert_true (press (shown, GDK_KEY_plus, 0));
  g_assert_cmpfloat_with_epsilon (seen (shown, GREEN).n, 1.25 * fitted, 3);
  g_assert_true (press (shown, GDK_KEY_KP_Add, 0));
  g_assert_true (press (shown, GDK_KEY_minus, 0));
  g_assert_cmpfloat_with_epsilon (seen (shown, GREEN).n, 1.25 * fitted, 3);
  g_assert_true (press (shown, GDK_KEY_Right, GDK_SHIFT_MASK));
  g_assert_false (press (shown, GDK_KEY_Right, 0)); /* the line's */
  g_assert_true (press (shown, GDK_KEY_0, GDK_CONTROL_MASK));
  g_assert_cmpuint (seen (shown, GREEN).n, ==, fitted);
  for (int i = 0; i < 40; i++)
    sl_photo_pair_view_key (shown->view, GDK_KEY_plus, 0);
  for (int i = 0; i < 200; i++)
    sl_photo_pair_view_key (shown->view, GDK_KEY_Right, GDK_SHIFT_MASK);
  wait_frames (shown);
  g_assert_cmpint (seen (shown, RED).right, >=,
                   gtk_widget_get_width (GTK_WIDGET (shown->view)) - 2); /* held to its edge */
  for (int i = 0; i < 40; i++)
    sl_photo_pair_view_key (shown->view, GDK_KEY_minus, 0);
  wait_frames (shown);
  g_assert_cmpuint (seen (shown, GREEN).n, ==, fitted); /* not smaller than all of it */
}

static gpointer
controller_of (GtkWidget *widget, GType type)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);

      if (G_OBJECT_TYPE (controller) == type)
        return controller; /* the widget keeps it */
    }
  g_assert_not_reached ();
}

/* As the toolkit reports hands. */
static void
test_hands (Shown *shown, gconstpointer data)
{
  GtkWidget *area = part (shown, "area");
  gpointer drag = controller_of (area, GTK_TYPE_GESTURE_DRAG),
           wheel = controller_of (area, GTK_TYPE_EVENT_CONTROLLER_SCROLL),
           motion = controller_of (area, GTK_TYPE_EVENT_CONTROLLER_MOTION),
           click = controller_of (area, GTK_TYPE_GESTURE_CLICK);
  gboolean taken = FALSE;

  show (shown, "wide.png", "tall.png");
  const double middle = gtk_widget_get_width (area) / 2.0, left = middle - fit_height (shown, 2);
  const guint fitted = seen (shown, GREEN).n;

  g_signal_emit_by_name (drag, "drag-begin", middle, 100.0);
  g_signal_emit_by_name (drag, "drag-update", -fit_height (shown, 2) / 2, 30.0);
  g_assert_cmpfloat_with_epsilon (gtk_adjustment_get_value (shown->share), 0.25, 0.01);
  g_signal_emit_by_name (drag, "drag-update", -4000.0, 0.0);
  g_assert_cmpfloat (gtk_adjustment_get_value (shown->share), ==, 0);
  gtk_adjustment_set_value (shown->share, 0.5);

  g_signal_emit_by_name (motion, "motion", left, 100.0);
  g_signal_emit_by_name (wheel, "scroll", 0.0, -3.0, &taken);
  wait_frames (shown);
  g_assert_true (taken);
  g_assert_cmpint (seen (shown, RED).right, >=, gtk_widget_get_width (area) - 2);
  g_assert_cmpfloat_with_epsilon (gtk_adjustment_get_value (shown->share), 0.5, 1e-9); /* the wheel leaves the line */
  g_signal_emit_by_name (drag, "drag-begin", 20.0, 100.0); /* far from the line: the picture */
  g_signal_emit_by_name (drag, "drag-update", -200.0, 0.0);
  g_assert_cmpfloat_with_epsilon (gtk_adjustment_get_value (shown->share), 0.5, 1e-9);
  g_signal_emit_by_name (click, "released", 2, 20.0, 100.0);
  wait_frames (shown);
  g_assert_cmpuint (seen (shown, GREEN).n, ==, fitted);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gtk_init ();
#define TEST(name) g_test_add ("/photo-pair/" #name, Shown, NULL, set_up, test_##name, tear_down)
  TEST (share);
  TEST (faults);
  TEST (keys);
  TEST (hands);
  return g_test_run ();
}
