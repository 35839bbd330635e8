/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A language written from right to left, that of ../pseudo.py: widgets and tables mirror, a drawing and the places in
 * it do not, numbers keep their signs, fractions and units in order. What is expected of numbers is what Pango makes of
 * the Unicode bidirectional algorithm (UAX #9). Skipped where there is no display. */
#include "live-window.h"
#include "seen.h"

#include "bench/profiles.h"
#include "desk/kit/figure-table.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/util.h"
#include "words/figures.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <locale.h>

#define SKIPPED 77
#define MARK "\u200e"

static GtkApplication *app;

static void
turn (GtkTextDirection direction)
{
  gtk_widget_set_default_direction (direction);
}

static float
left_of (GtkWidget *widget)
{
  graphene_rect_t is;

  g_assert_true (gtk_widget_compute_bounds (widget, GTK_WIDGET (gtk_widget_get_root (widget)), &is));
  return is.origin.x;
}

/* ---- numbers ---- */

static void
assert_text (char *text, const char *wanted)
{
  g_assert_cmpstr (text, ==, wanted);
  g_free (text);
}

static void
test_marks (void)
{
  const SlTextStyle mm = { SL_LENGTHS_MM, "." }, inches = { SL_LENGTHS_64THS, "." };
  double value;

  assert_text (sl_text_length_unit (&mm, 2.3), MARK "2.30 mm");
  assert_text (sl_text_change (&mm, -0.05), MARK "−0.05");
  assert_text (sl_text_change (&mm, 0.05), MARK "+0.05");
  assert_text (sl_text_uncertainty (&mm, 0.05), MARK "±0.10");
  assert_text (sl_text_spread (&mm, 0.05), " ± " MARK "0.10");
  assert_text (sl_text_length (&inches, 5.0 / 64 * SL_MM_PER_INCH), MARK "5/64" MARK);
  assert_text (sl_text_length (&inches, 67.0 / 64 * SL_MM_PER_INCH), MARK "1 3/64" MARK);
  /* what is copied from there is read again */
  g_assert_true (sl_length_parse (MARK "−2.30 mm", SL_LENGTHS_MM, ".", &value, NULL));
  g_assert_cmpfloat (value, ==, -2.3);
  g_assert_true (sl_length_parse ("\u2066" MARK "5/64" MARK "\u2069", SL_LENGTHS_MM, ".", &value, NULL));
  g_assert_cmpfloat (value, ==, 5.0 / 64 * SL_MM_PER_INCH);
}

/* The letters of @parts follow each other from left to right in a line of the language. */
static void
assert_rightward (const char *text, const char *const *parts)
{
  g_autofree char *line = g_strdup_printf ("%s %s %s", _ ("relief"), text, _ ("action"));
  g_autoptr (GtkWidget) label = g_object_ref_sink (gtk_label_new (NULL));
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (label, line);
  PangoRectangle before = { 0 }, is;
  const char *at = line;

  g_assert_cmpint (pango_layout_get_direction (layout, 0), ==, PANGO_DIRECTION_RTL);
  for (; *parts != NULL; parts++)
    {
      at = strstr (at, *parts);
      g_assert_nonnull (at);
      pango_layout_index_to_pos (layout, (int) (at - line), &is);
      g_assert_cmpint (is.x, >, before.x);
      before = is;
    }
}

static void
test_order (void)
{
  static const char *const sum[] = { "2.3", "mm", "±", "0.1", NULL }, *const change[] = { "−", "0.05", NULL },
                           *const fraction[] = { "1", "3", "/", "64", NULL },
                           *const arrow[] = { "0.33", "→", "0.15", NULL };

  assert_rightward (MARK "2.3 mm ± " MARK "0.1", sum);
  assert_rightward (MARK "−0.05", change);
  assert_rightward (MARK "1 3/64" MARK, fraction);
  assert_rightward (MARK "0.33 → " MARK "0.15 mm", arrow);
}

/* An entry has none of them, and begins on its left. */
static void
test_entry (void)
{
  g_autoptr (GtkWidget) entry = g_object_ref_sink (sl_length_entry_new ());

  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), -0.05);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "−0.05");
  g_assert_cmpint (gtk_widget_get_direction (GTK_WIDGET (gtk_editable_get_delegate (GTK_EDITABLE (entry)))), ==,
                   GTK_TEXT_DIR_LTR);
}

/* ---- drawings ---- */

/* The side view as it is drawn, and the places of its handles and frets in @map. */
static GBytes *
drawn_side (GtkTextDirection direction, SlPictureMap *map)
{
  g_autofree char *path = g_build_filename (g_get_tmp_dir (), "leftward-side.png", NULL);
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *window, *view;
  char *data;
  gsize length;

  turn (direction);
  window = gtk_window_new ();
  view = sl_side_view_new (bench, SL_PICTURE_SIDE);
  gtk_window_set_decorated (GTK_WINDOW (window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (window), 900, 420);
  gtk_window_set_child (GTK_WINDOW (window), view);
  gtk_window_present (GTK_WINDOW (window));
  while (!sl_side_view_get_map (SL_SIDE_VIEW (view))->handles[SL_HANDLE_CREST].shown)
    g_main_context_iteration (NULL, TRUE);
  *map = *sl_side_view_get_map (SL_SIDE_VIEW (view));
  seen_save (window, path);
  gtk_window_destroy (GTK_WINDOW (window));
  g_assert_true (g_file_get_contents (path, &data, &length, NULL));
  g_remove (path);
  return g_bytes_new_take (data, length);
}

/* To the pixel, in one language: a nut on the left stays there, and a click finds what it found. */
static void
test_side (void)
{
  SlPictureMap right, left;
  g_autoptr (GBytes) rightward = drawn_side (GTK_TEXT_DIR_LTR, &right), leftward = drawn_side (GTK_TEXT_DIR_RTL, &left);

  g_assert_true (g_bytes_equal (rightward, leftward));
  for (gsize i = 0; i < G_N_ELEMENTS (left.handles); i++)
    {
      g_assert_cmpint (left.handles[i].shown, ==, right.handles[i].shown);
      g_assert_cmpfloat (left.handles[i].x, ==, right.handles[i].x);
      g_assert_cmpfloat (left.handles[i].y, ==, right.handles[i].y);
    }
  g_assert_cmpfloat (left.handles[SL_HANDLE_SLOT].x, <, left.handles[SL_HANDLE_CREST].x);
}

/* ---- widgets ---- */

/* The first cell after a row's name, and the last. */
static void
find_ends (GtkWidget *table, GtkWidget **name, GtkWidget **last)
{
  GtkWidget *row = gtk_widget_get_next_sibling (gtk_widget_get_first_child (table));

  *name = gtk_widget_get_first_child (row);
  *last = gtk_widget_get_last_child (row);
}

static void
test_window (GtkTextDirection direction)
{
  const gboolean leftward = direction == GTK_TEXT_DIR_RTL;
  SlWindow *window;
  GtkWidget *name, *last;
  guint row, column, next;

  turn (direction);
  window = live_window_new (app);
  SlFigureTable *gaps = SL_FIGURE_TABLE (live_find (window->centre, SL_TYPE_FIGURE_TABLE));

  g_assert_cmpint (left_of (window->readings) > left_of (window->work), ==, leftward);
  find_ends (GTK_WIDGET (gaps), &name, &last);
  g_assert_cmpint (left_of (name) > left_of (last), ==, leftward);
  /* the arrow that points to the next column goes there */
  g_assert_true (sl_figure_table_get_cursor (gaps, &row, &column));
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (gaps));

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);
      gboolean taken;

      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", leftward ? GDK_KEY_Left : GDK_KEY_Right, 0, 0, &taken);
    }
  g_assert_true (sl_figure_table_get_cursor (gaps, &row, &next));
  g_assert_cmpuint (next, >, column);
  gtk_window_destroy (GTK_WINDOW (window));
}

static void
test_mirrored (void)
{
  test_window (GTK_TEXT_DIR_LTR);
  test_window (GTK_TEXT_DIR_RTL);
}

/* Its first button is where a line begins. */
static void
test_dialog (void)
{
  for (int leftward = 0; leftward <= 1; leftward++)
    {
      GtkWidget *parts[4];

      turn (leftward ? GTK_TEXT_DIR_RTL : GTK_TEXT_DIR_LTR);
      gpointer question =
          sl_build ("close-question", parts, 0, sizeof parts - sizeof parts[0], "question close keep save", NULL);

      g_object_set (question, "modal", FALSE, NULL);
      gtk_window_present (question);
      while (!gtk_widget_get_mapped (parts[1]) || gtk_widget_get_width (parts[1]) == 0)
        g_main_context_iteration (NULL, TRUE);
      g_assert_cmpint (left_of (parts[1]) > left_of (parts[3]), ==, leftward);
      gtk_window_destroy (question);
    }
}

int
main (int argc, char **argv)
{
  int status;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, g_getenv ("SIDELONG_LOCALE_DIR"));
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  app = live_app_new ();
  g_test_add_func ("/leftward/marks", test_marks);
  g_test_add_func ("/leftward/order", test_order);
  g_test_add_func ("/leftward/entry", test_entry);
  g_test_add_func ("/leftward/side", test_side);
  g_test_add_func ("/leftward/mirrored", test_mirrored);
  g_test_add_func ("/leftward/dialog", test_dialog);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}
