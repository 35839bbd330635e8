/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The customer's view: what was read last told as read, every sentence on some page, pages turned by hand, a drawing
 * that changes at once where the desktop asks for no motion, and the screen it takes; a sentence of a person's own on
 * the sheet that is written; and the picture on the clipboard, pixel by pixel. The PDF's text is taken out by pdftotext
 * of poppler-utils. */
#include "desk/customer/parts.h"
#include "desk/customer/customer-view.h"
#include "bench/explanations.h"
#include "bench/shop-lists.h"
#include "desk/window/window-private.h"
#include "file/document.h"
#include "words/explain.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define WAIT_SECONDS 120
#define FRAMES 5
#define FINAL_READINGS                                                                                                 \
  "<readings id=\"r9\" stage=\"final\" taken=\"2026-03-04T09:30:00Z\">"                                                \
  "<relief string=\"1\" fret=\"7\" gap=\"0.12\"/><relief string=\"6\" fret=\"7\" gap=\"0.14\"/>"                       \
  "<first-gap string=\"1\" gap=\"0.41\"/><first-gap string=\"6\" gap=\"0.52\"/>"                                       \
  "<action string=\"1\" fret=\"12\" gap=\"1.7\"/><action string=\"6\" fret=\"12\" gap=\"2.3\"/></readings>"

static char *
read_example (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  g_autoptr (GError) error = NULL;
  char *text;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static SlBench *
bench_of (const char *text)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile = sl_document_parse (text, strlen (text), faults);

  g_assert_nonnull (profile);
  return sl_bench_new (profile);
}

static SlBench *
planned_bench (void)
{
  g_autofree char *text = read_example ();

  return bench_of (text);
}

/* The same visit with its work done and read again. */
static SlBench *
finished_bench (void)
{
  g_autofree char *text = read_example ();
  g_autoptr (GString) done = g_string_new (text);
  static const char *const operations[] = { "<level-frets ", "<turn-rod ", "<lower-slot ", "<cut-saddle-base ",
                                            "<move-crest " };

  g_string_replace (done, "<plan>", FINAL_READINGS "<plan>", 1);
  for (gsize i = 0; i < G_N_ELEMENTS (operations); i++)
    {
      g_autofree char *with = g_strdup_printf ("%sdone=\"2026-03-03T11:00:00Z\" ", operations[i]);

      g_string_replace (done, operations[i], with, 0);
    }
  return bench_of (done->str);
}

/* ---- widgets ---- */

static void
collect (GtkWidget *widget, GType type, GPtrArray *found)
{
  if (g_type_is_a (G_OBJECT_TYPE (widget), type))
    g_ptr_array_add (found, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    collect (child, type, found);
}

static gboolean
is_seen (GtkWidget *widget)
{
  return gtk_widget_get_mapped (widget) && gtk_widget_get_child_visible (widget);
}

/* The label that shows @text now, or NULL. */
static GtkWidget *
label_with (GtkWidget *root, const char *text)
{
  g_autoptr (GPtrArray) labels = g_ptr_array_new ();

  collect (root, GTK_TYPE_LABEL, labels);
  for (guint i = 0; i < labels->len; i++)
    if (strstr (gtk_label_get_text (g_ptr_array_index (labels, i)), text) != NULL &&
        is_seen (g_ptr_array_index (labels, i)))
      return g_ptr_array_index (labels, i);
  return NULL;
}

static GtkWidget *
only (GtkWidget *root, GType type)
{
  g_autoptr (GPtrArray) found = g_ptr_array_new ();

  collect (root, type, found);
  g_assert_cmpint (found->len, ==, 1);
  return g_ptr_array_index (found, 0);
}

/* What a machine that stands still leaves of a third of a second may be nothing: some frames of each window are drawn
 * as well. */
static void
settle (void)
{
  const gint64 end = g_get_monotonic_time () + G_USEC_PER_SEC / 3;
  GListModel *windows = gtk_window_get_toplevels ();

  while (g_get_monotonic_time () < end)
    if (!g_main_context_iteration (NULL, FALSE))
      g_usleep (2000);
  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWidget) window = g_list_model_get_item (windows, i);
      GdkFrameClock *clock = gtk_widget_get_mapped (window) ? gtk_widget_get_frame_clock (window) : NULL;
      const gint64 first = clock != NULL ? gdk_frame_clock_get_frame_counter (clock) : 0;

      while (clock != NULL && gdk_frame_clock_get_frame_counter (clock) < first + FRAMES)
        {
          gdk_frame_clock_request_phase (clock, GDK_FRAME_CLOCK_PHASE_PAINT);
          g_main_context_iteration (NULL, TRUE);
        }
    }
}

static gboolean
on_late (gpointer data)
{
  *(gboolean *) data = TRUE;
  return G_SOURCE_REMOVE;
}

static SlCustomerView *
show (SlBench *bench)
{
  GtkWidget *parent = gtk_window_new ();
  SlCustomerView *view = SL_CUSTOMER_VIEW (sl_customer_view_new (GTK_WINDOW (parent), bench));
  gboolean late = FALSE;
  guint timer = g_timeout_add_seconds (WAIT_SECONDS, on_late, &late);

  gtk_window_set_transient_for (GTK_WINDOW (view), NULL);
  gtk_window_destroy (GTK_WINDOW (parent));
  gtk_window_present (GTK_WINDOW (view));
  while (!late && sl_customer_pages_get_n (SL_CUSTOMER_PAGES (only (GTK_WIDGET (view), SL_TYPE_CUSTOMER_PAGES))) == 0)
    g_main_context_iteration (NULL, TRUE);
  g_assert_false (late);
  g_source_remove (timer);
  settle ();
  return view;
}

static void
set_motion (gboolean enabled)
{
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", enabled, NULL);
}

static double
share_of (SlCustomerView *view)
{
  g_autoptr (GPtrArray) scales = g_ptr_array_new ();

  collect (GTK_WIDGET (view), GTK_TYPE_SCALE, scales); /* the drawing's comes first */
  return gtk_range_get_value (scales->pdata[0]);
}

static GtkGesture *
gesture_of (GtkWidget *widget, GType type)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);

      if (g_type_is_a (G_OBJECT_TYPE (controller), type))
        return GTK_GESTURE (controller); /* the widget keeps it */
    }
  g_assert_not_reached ();
}

/* ---- what it says ---- */

static void
test_final (void)
{
  g_autoptr (SlBench) bench = finished_bench ();
  SlCustomerView *view = show (bench);
  GtkWidget *root = GTK_WIDGET (view);
  const SlFigures *figures = &sl_bench_get_analysis (bench)->measured_figures;
  g_autofree char *after = g_strdup_printf ("→ %.2f mm", figures->action[5][12].value);

  g_assert_nonnull (label_with (root, "After: as read on 4 March 2026"));
  g_assert_nonnull (label_with (root, "What was done, and why"));
  g_assert_nonnull (label_with (root, after));
  g_assert_cmpfloat_with_epsilon (figures->action[5][12].value, 2.3,
                                  0.1); /* what the final readings say, not what was planned or received */
  g_assert_null (label_with (root, "planned"));
  g_assert_null (label_with (root, "is to be"));
  gtk_window_destroy (GTK_WINDOW (view));
}

/* All that is told of the work and of care, by what is seen page by page. */
static void
test_pages (void)
{
  g_autoptr (SlBench) bench = planned_bench ();
  SlCustomerView *view = show (bench);
  SlCustomerPages *pages = SL_CUSTOMER_PAGES (only (GTK_WIDGET (view), SL_TYPE_CUSTOMER_PAGES));
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GPtrArray) told = NULL, care = NULL;
  SlOutcome outcome;
  g_autofree gboolean *seen = NULL;
  const int n = sl_customer_pages_get_n (pages);

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &SL_SHOP_DEFAULT);
  told = sl_explain_work (&outcome, &speech, TRUE);
  care = sl_explain_care (&outcome, &speech);
  seen = g_new0 (gboolean, told->len + care->len);
  g_assert_cmpint (n, >, 1);
  for (int page = 0; page < n; page++)
    {
      g_assert_cmpint (sl_customer_pages_get_page (pages), ==, page);
      for (guint i = 0; i < told->len + care->len; i++)
        {
          const char *text = i < told->len ? ((SlSentence *) g_ptr_array_index (told, i))->text
                                           : g_ptr_array_index (care, i - told->len);
          GtkWidget *label = label_with (GTK_WIDGET (pages), text);
          graphene_rect_t box;

          if (label == NULL)
            continue;
          seen[i] = TRUE;
          g_assert_true (gtk_widget_compute_bounds (label, GTK_WIDGET (pages), &box));
          g_assert_cmpfloat (box.origin.y + box.size.height, <=,
                             gtk_widget_get_height (GTK_WIDGET (pages)) + 0.5); /* nothing out of sight */
        }
      sl_customer_pages_turn (pages, 1);
      settle ();
    }
  g_assert_cmpint (sl_customer_pages_get_page (pages), ==, n - 1); /* there is none after the last */
  for (guint i = 0; i < told->len + care->len; i++)
    g_assert_true (seen[i]);
  sl_outcome_clear (&outcome);
  gtk_window_destroy (GTK_WINDOW (view));
}

static void
on_put (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  sl_explanation_put_finish (result, &error);
  g_assert_no_error (error);
  *(gboolean *) data = TRUE;
}

/* Until it is written: the next test finds the folder as it was. */
static void
put_words (SlBench *bench, const SlSentence *sentence, const char *text)
{
  gboolean done = FALSE;

  sl_explanation_put (bench, sentence, text, on_put, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
}

/* A text longer than a page goes on over the next ones. */
static void
test_long (void)
{
  g_autoptr (SlBench) bench = planned_bench ();
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GString) text = g_string_new (NULL);
  g_autoptr (GPtrArray) told = NULL;
  SlOutcome outcome;
  int before, after;

  for (int i = 0; i < 60; i++)
    g_string_append_printf (text, "The brace below the bridge was glued again, for the %dth time. ", i);
  SlCustomerView *view = show (bench);

  before = sl_customer_pages_get_n (SL_CUSTOMER_PAGES (only (GTK_WIDGET (view), SL_TYPE_CUSTOMER_PAGES)));
  gtk_window_destroy (GTK_WINDOW (view));
  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &SL_SHOP_DEFAULT);
  told = sl_explain_work (&outcome, &speech, TRUE);
  put_words (bench, g_ptr_array_index (told, 0), text->str);
  view = show (bench);
  after = sl_customer_pages_get_n (SL_CUSTOMER_PAGES (only (GTK_WIDGET (view), SL_TYPE_CUSTOMER_PAGES)));
  g_assert_cmpint (after, >=, before + 3);
  gtk_window_destroy (GTK_WINDOW (view));
  put_words (bench, g_ptr_array_index (told, 0), NULL);
  sl_outcome_clear (&outcome);
}

/* ---- hands ---- */

/* A finger's swipe and tap, as the toolkit reports them. */
static void
test_touch (void)
{
  g_autoptr (SlBench) bench = planned_bench ();
  SlCustomerView *view = show (bench);
  GtkWidget *pages = only (GTK_WIDGET (view), SL_TYPE_CUSTOMER_PAGES),
            *picture = only (GTK_WIDGET (view), GTK_TYPE_DRAWING_AREA);
  GtkGesture *swipe = gesture_of (pages, GTK_TYPE_GESTURE_SWIPE), *tap = gesture_of (picture, GTK_TYPE_GESTURE_CLICK);

  g_signal_emit_by_name (swipe, "swipe", -900.0, 20.0);
  g_assert_cmpint (sl_customer_pages_get_page (SL_CUSTOMER_PAGES (pages)), ==, 1);
  g_signal_emit_by_name (swipe, "swipe", 50.0, 900.0); /* up or down is none */
  g_assert_cmpint (sl_customer_pages_get_page (SL_CUSTOMER_PAGES (pages)), ==, 1);
  g_signal_emit_by_name (swipe, "swipe", 900.0, 20.0);
  g_assert_cmpint (sl_customer_pages_get_page (SL_CUSTOMER_PAGES (pages)), ==, 0);
  set_motion (FALSE);
  g_signal_emit_by_name (tap, "released", 1, 200.0, 80.0);
  g_assert_cmpfloat (share_of (view), ==, 0);
  g_signal_emit_by_name (tap, "released", 1, 200.0, 80.0);
  g_assert_cmpfloat (share_of (view), ==, 1);
  set_motion (TRUE);
  gtk_window_destroy (GTK_WINDOW (view));
}

static void
test_motion (void)
{
  g_autoptr (SlBench) bench = planned_bench ();
  SlCustomerView *view = show (bench);
  GtkGesture *tap = gesture_of (only (GTK_WIDGET (view), GTK_TYPE_DRAWING_AREA), GTK_TYPE_GESTURE_CLICK);
  gboolean between = FALSE, late = FALSE;
  gint64 last = g_get_monotonic_time (), longest = 0;
  guint timer = g_timeout_add_seconds (WAIT_SECONDS, on_late, &late);

  set_motion (TRUE);
  g_signal_emit_by_name (tap, "released", 1, 0.0, 0.0);
  g_assert_cmpfloat (share_of (view), ==, 1); /* it is under way */
  while (!late && share_of (view) > 0)
    {
      between = between || (share_of (view) > 0 && share_of (view) < 1);
      g_main_context_iteration (NULL, TRUE);
      longest = MAX (longest, g_get_monotonic_time () - last);
      last = g_get_monotonic_time ();
    }
  g_assert_false (late);
  g_source_remove (timer);
  if (longest < G_USEC_PER_SEC / 4) /* a machine that stood still may have missed all of it */
    g_assert_true (between);
  set_motion (FALSE);
  g_signal_emit_by_name (tap, "released", 1, 0.0, 0.0);
  g_assert_cmpfloat (share_of (view), ==, 1); /* at once */
  set_motion (TRUE);
  gtk_window_destroy (GTK_WINDOW (view));
}

/* Of several screens the one the bench is not on; of one, that. */
static void
test_monitor (void)
{
  GdkDisplay *display = gdk_display_get_default ();
  g_autoptr (GListStore) monitors = g_list_store_new (GDK_TYPE_MONITOR), none = g_list_store_new (GDK_TYPE_MONITOR);
  g_autoptr (GdkMonitor) first = g_object_new (GDK_TYPE_MONITOR, "display", display, NULL),
                         second = g_object_new (GDK_TYPE_MONITOR, "display", display, NULL);
  g_autoptr (GdkMonitor) chosen = NULL;
  gboolean other;

  g_list_store_append (monitors, first);
  chosen = sl_customer_choose_monitor (G_LIST_MODEL (monitors), first, &other);
  g_assert_true (chosen == first && !other);
  g_list_store_append (monitors, second);
  g_clear_object (&chosen);
  chosen = sl_customer_choose_monitor (G_LIST_MODEL (monitors), first, &other);
  g_assert_true (chosen == second && other);
  g_clear_object (&chosen);
  chosen = sl_customer_choose_monitor (G_LIST_MODEL (monitors), second, &other);
  g_assert_true (chosen == first && other);
  g_clear_object (&chosen);
  chosen = sl_customer_choose_monitor (G_LIST_MODEL (monitors), NULL, &other); /* where the bench is isn't known */
  g_assert_true (chosen == first && !other);
  g_assert_null (sl_customer_choose_monitor (G_LIST_MODEL (none), NULL, &other));
}

/* ---- photographs ---- */

static void
write_picture (const char *folder, const char *name)
{
  g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, 320, 240);
  g_autofree char *path = g_build_filename (folder, name, NULL);

  gdk_pixbuf_fill (picture, 0x806040ff);
  g_assert_true (gdk_pixbuf_save (picture, path, "png", NULL, NULL));
}

/* Photographs in the visit: a pair of fret 3 with a height measured in both (100 px are 10 mm), a nut without a
 * partner, and one whose file is not there. */
static SlBench *
photographed_bench (const char *folder)
{
  g_autofree char *text = read_example (), *photos = g_build_filename (folder, "one.photos", NULL);
  g_autoptr (GString) with = g_string_new (text);
  g_autoptr (GFile) file = g_file_new_build_filename (folder, "one.sidelong", NULL);
  SlBench *bench;

  g_string_replace (with, "</visit>",
                    "<photo id=\"p1\" file=\"a.png\" taken=\"2026-03-02\" stage=\"received\" about=\"fret\" fret=\"3\">"
                    "<note>Pits</note><known x1=\"10\" y1=\"9\" x2=\"110\" y2=\"9\" length=\"10\"/>"
                    "<mark of=\"crown-height\" fret=\"3\" x1=\"50\" y1=\"20\" x2=\"61\" y2=\"20\"/></photo>"
                    "<photo id=\"p2\" file=\"b.png\" taken=\"2026-03-09\" stage=\"final\" about=\"fret\" fret=\"3\">"
                    "<known x1=\"10\" y1=\"9\" x2=\"110\" y2=\"9\" length=\"10\"/>"
                    "<mark of=\"crown-height\" fret=\"3\" x1=\"50\" y1=\"20\" x2=\"59\" y2=\"20\"/></photo>"
                    "<photo id=\"p3\" file=\"a.png\" stage=\"received\" about=\"nut\"><note>Chipped</note></photo>"
                    "<photo id=\"p4\" file=\"gone.png\" stage=\"final\" about=\"bridge\"/></visit>",
                    1);
  g_assert_cmpint (g_mkdir (photos, 0700), ==, 0);
  write_picture (photos, "a.png");
  write_picture (photos, "b.png");
  bench = bench_of (with->str);
  sl_photos_set_file (bench, file);
  return bench;
}

static void
remove_photographs (const char *folder)
{
  static const char *const names[] = { "one.photos/a.png", "one.photos/b.png", "one.photos", "" };

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *path = g_build_filename (folder, names[i], NULL);

      g_remove (path);
    }
}

static GtkWidget *
button_called (GtkWidget *root, const char *label)
{
  g_autoptr (GPtrArray) buttons = g_ptr_array_new ();

  collect (root, GTK_TYPE_BUTTON, buttons);
  for (guint i = 0; i < buttons->len; i++)
    if (g_strcmp0 (gtk_button_get_label (buttons->pdata[i]), label) == 0)
      return buttons->pdata[i];
  g_assert_not_reached ();
}

static gboolean
press (SlCustomerView *view, guint key)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (view));
  gboolean taken = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (controllers) && !taken; i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);

      if (GTK_IS_EVENT_CONTROLLER_KEY (controller) &&
          gtk_event_controller_get_propagation_phase (controller) == GTK_PHASE_CAPTURE)
        g_signal_emit_by_name (controller, "key-pressed", key, 0, 0, &taken);
    }
  settle ();
  return taken;
}

/* Until a label says @text. */
static void
wait_label (GtkWidget *root, const char *text)
{
  gboolean late = FALSE;
  const guint timer = g_timeout_add_seconds (WAIT_SECONDS, on_late, &late);

  settle ();
  while (!late && label_with (root, text) == NULL)
    g_main_context_iteration (NULL, TRUE);
  g_assert_false (late);
  g_source_remove (timer);
}

/* Pairs first, then what has no partner; a picture's words, what was measured in both, and what its file lacks. */
static void
test_photos (void)
{
  g_autofree char *folder = g_dir_make_tmp ("customer-XXXXXX", NULL);
  g_autoptr (SlBench) bench = photographed_bench (folder), without = planned_bench ();
  SlCustomerView *view = show (without);
  GtkWidget *root = GTK_WIDGET (view), *photos;
  SlPhotoPairView *pair;

  g_assert_false (gtk_widget_get_visible (button_called (root, "Photographs"))); /* there are none */
  gtk_window_destroy (GTK_WINDOW (view));
  set_motion (FALSE);
  view = show (bench);
  root = GTK_WIDGET (view);
  photos = button_called (root, "Photographs");
  g_assert_true (gtk_widget_get_mapped (photos));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (photos), TRUE);
  settle ();
  pair = SL_PHOTO_PAIR_VIEW (only (root, SL_TYPE_PHOTO_PAIR_VIEW));
  wait_label (root, "Before, 2 March 2026");
  wait_label (root, "After, 9 March 2026");
  g_assert_false (gtk_widget_get_mapped (only (root, SL_TYPE_CUSTOMER_PAGES)));
  g_assert_nonnull (label_with (root, "1 of 3"));
  g_assert_nonnull (label_with (root, "Fret 3"));
  g_assert_nonnull (label_with (root, "Height of fret 3: 1.1 mm before, 0.9 mm after"));

  GtkRange *slider = GTK_RANGE (only (GTK_WIDGET (pair), GTK_TYPE_SCALE));

  g_assert_cmpfloat (gtk_range_get_value (slider), ==, 0.5); /* both are seen at first */
  g_assert_true (press (view, GDK_KEY_Left));
  g_assert_cmpfloat_with_epsilon (gtk_range_get_value (slider), 0.45, 1e-9);
  g_assert_true (press (view, GDK_KEY_space));
  g_assert_cmpfloat (gtk_range_get_value (slider), ==, 1);
  g_assert_null (label_with (root, "Before, 2 March 2026"));
  g_assert_true (press (view, GDK_KEY_plus));

  g_assert_true (press (view, GDK_KEY_Page_Down));
  wait_label (root, "Chipped");
  g_assert_false (gtk_widget_get_mapped (button_called (root, "Before"))); /* there is nothing to change to */
  g_assert_true (press (view, GDK_KEY_Page_Down));
  wait_label (root, "After: "); /* why it isn't there */
  g_assert_nonnull (label_with (root, "3 of 3"));
  sl_photo_remove (bench, "p4"); /* it follows the bench */
  sl_bench_announce (bench);
  settle ();
  g_assert_nonnull (label_with (root, "2 of 2"));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (photos), FALSE);
  settle ();
  g_assert_true (gtk_widget_get_mapped (only (root, SL_TYPE_CUSTOMER_PAGES)));
  g_assert_nonnull (label_with (root, "After: as planned"));
  set_motion (TRUE);
  gtk_window_destroy (GTK_WINDOW (view));
  remove_photographs (folder);
}

/* ---- what goes out ---- */

static char *
pdf_text (GBytes *pdf)
{
  g_autofree char *folder = g_dir_make_tmp ("customer-XXXXXX", NULL),
                  *path = g_build_filename (folder, "sheet.pdf", NULL);
  const char *const command[] = { "pdftotext", path, "-", NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (GRegex) space = g_regex_new ("\\s+", 0, 0, NULL);
  g_autofree char *said = NULL;

  g_file_set_contents (path, g_bytes_get_data (pdf, NULL), (gssize) g_bytes_get_size (pdf), &error);
  g_assert_no_error (error);
  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &said, NULL, NULL, &error);
  g_assert_no_error (error);
  g_unlink (path);
  g_rmdir (folder);
  return g_regex_replace (space, said, -1, 0, " ", 0, NULL);
}

static char *
sheet_text (SlBench *bench)
{
  SlHandoverOptions *options = sl_handover_options_of_bench (bench);
  g_autoptr (SlPages) pages = sl_handover_new (sl_bench_get_profile (bench), options);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) pdf = sl_pages_pdf (pages, &error);

  sl_handover_options_free (options);
  g_assert_no_error (error);
  return pdf_text (pdf);
}

static void
test_own_words (void)
{
  static const char own[] = "We took the saddle down, as you wished for an easier reach.";
  g_autoptr (SlBench) bench = planned_bench ();
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GPtrArray) told = NULL;
  SlOutcome outcome;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &SL_SHOP_DEFAULT);
  told = sl_explain_work (&outcome, &speech, TRUE);
  const SlSentence *sentence = g_ptr_array_index (told, 3); /* the cut of the saddle's base */
  g_autofree char *before = sheet_text (bench);

  g_assert_nonnull (strstr (before, sentence->text));
  g_assert_null (strstr (before, own));
  put_words (bench, sentence, own);
  g_autofree char *after = sheet_text (bench);

  g_assert_nonnull (strstr (after, own));
  g_assert_null (strstr (after, sentence->text));
  put_words (bench, sentence, ""); /* left out */
  g_autofree char *without = sheet_text (bench);

  g_assert_null (strstr (without, own));
  g_assert_null (strstr (without, sentence->text));
  put_words (bench, sentence, NULL);
  sl_outcome_clear (&outcome);
}

static guint
count_other_pixels (GdkTexture *texture)
{
  const int width = gdk_texture_get_width (texture), height = gdk_texture_get_height (texture);
  g_autofree guint32 *pixels = g_new (guint32, (gsize) width * height);
  guint other = 0;

  gdk_texture_download (texture, (guchar *) pixels, (gsize) width * 4);
  for (gsize i = 1; i < (gsize) width * height; i++)
    other += pixels[i] != pixels[0];
  return other;
}

static void
test_clipboard (void)
{
  g_autoptr (GtkApplication) app = gtk_application_new (NULL, G_APPLICATION_NON_UNIQUE);
  g_autoptr (GError) error = NULL;
  g_autofree char *example = read_example ();
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_auto (GValue) value = G_VALUE_INIT;
  GdkContentProvider *content;
  GdkTexture *texture;
  SlWindow *window;

  g_application_register (G_APPLICATION (app), NULL, &error);
  g_assert_no_error (error);
  window = sl_window_new (app);
  sl_window_put_on_bench (window, sl_document_parse (example, strlen (example), faults));
  sl_window_copy_picture (window);
  while ((content = gdk_clipboard_get_content (gtk_widget_get_clipboard (GTK_WIDGET (window)))) ==
         NULL) /* drawn in a thread */
    g_main_context_iteration (NULL, TRUE);
  g_value_init (&value, GDK_TYPE_TEXTURE);
  g_assert_true (gdk_content_provider_get_value (content, &value, &error));
  g_assert_no_error (error);
  texture = g_value_get_object (&value);
  g_assert_cmpint (gdk_texture_get_width (texture), ==,
                   2800); /* the sheet of an exported picture, 1400 by 900 units, at two pixels each */
  g_assert_cmpint (gdk_texture_get_height (texture), ==, 1800);
  const double share = (double) count_other_pixels (texture) / (2800.0 * 1800.0);

  g_assert_cmpfloat (share, >, 0.05); /* drawn on, and not painted over: wood, strings and words on paper */
  g_assert_cmpfloat (share, <, 0.95);
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gtk_init ();
  g_test_add_func ("/customer/final", test_final);
  g_test_add_func ("/customer/pages", test_pages);
  g_test_add_func ("/customer/long", test_long);
  g_test_add_func ("/customer/touch", test_touch);
  g_test_add_func ("/customer/motion", test_motion);
  g_test_add_func ("/customer/monitor", test_monitor);
  g_test_add_func ("/customer/photos", test_photos);
  g_test_add_func ("/customer/own-words", test_own_words);
  g_test_add_func ("/customer/clipboard", test_clipboard);
  return g_test_run ();
}
