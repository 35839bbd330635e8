/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of figures by itself: a column of controls is shown and hidden like the others, and what is meant for
 * figures leaves it alone; the cursor goes from figure to figure; what is too wide scrolls by whole columns. Skipped
 * where there is no display. */
#include "desk/kit/figure-table.h"

#define SKIPPED 77
#define N_FRETS 20

static const SlColumn columns[] = { { "string", NULL, 5 }, { "builds", NULL, 0 }, { "tension", NULL, 7 } };

/* As ui/ describes them. */
static SlFigureTable *
new_table (guint n_columns, const char *name)
{
  g_autoptr (GString) xml = g_string_new ("<interface><object class=\"SlFigureTable\" id=\"table\">");
  g_autoptr (GtkBuilder) builder = gtk_builder_new ();
  g_autoptr (GError) error = NULL;

  g_string_append_printf (xml, "<property name=\"tooltip-text\">%s</property>", name);
  for (guint c = 0; c < n_columns; c++)
    g_string_append_printf (xml,
                            "<child><object class=\"GtkLabel\"><property name=\"label\">%s</property>"
                            "<property name=\"width-chars\">%u</property></object></child>",
                            columns[c].title, columns[c].chars);
  g_string_append (xml, "</object></interface>");
  g_type_ensure (SL_TYPE_FIGURE_TABLE);
  g_assert_true (gtk_builder_add_from_string (builder, xml->str, -1, &error));
  g_assert_no_error (error);
  gpointer table = g_object_ref (gtk_builder_get_object (builder, "table"));

  g_object_force_floating (table);
  return table;
}

/* What row @row has in @column, of which each before it has something as well. */
static GtkWidget *
cell_at (SlFigureTable *table, guint row, guint column)
{
  GtkWidget *cell = gtk_widget_get_first_child (GTK_WIDGET (table)); /* the headings */

  for (guint r = 0; r <= row; r++)
    cell = gtk_widget_get_next_sibling (cell);
  cell = gtk_widget_get_first_child (cell);
  for (guint c = 0; c < column; c++)
    cell = gtk_widget_get_next_sibling (cell);
  return cell;
}

static void
test_controls (void)
{
  SlFigureTable *table = g_object_ref_sink (new_table (G_N_ELEMENTS (columns), "Strings"));
  GtkWidget *control = gtk_button_new ();

  g_assert_true (sl_figure_table_set_rows (table, 2));
  g_assert_false (sl_figure_table_set_rows (table, 2));
  sl_figure_table_set (table, 0, 0, "1 E");
  sl_figure_table_put (table, 0, 1, control); /* the second row has none yet */
  sl_figure_table_show_column (table, 1, FALSE);
  g_assert_false (gtk_widget_get_visible (control));
  sl_figure_table_show_column (table, 1, TRUE);
  g_assert_true (gtk_widget_get_visible (control));
  sl_figure_table_set (table, 0, 1, "5.0");
  sl_figure_table_set_class (table, 0, 1, "sl-dim", TRUE);
  sl_figure_table_set_class (table, 1, 1, "sl-dim", TRUE);
  g_assert_true (gtk_widget_has_css_class (control, "sl-dim"));
  sl_figure_table_set (table, 0, 2, "71.2");
  g_assert_true (cell_at (table, 0, 1) == control);
  g_assert_cmpstr (gtk_inscription_get_text (GTK_INSCRIPTION (cell_at (table, 0, 2))), ==, "71.2");
  g_assert_finalize_object (table);
}

static GtkWidget *
show (SlFigureTable *table, int width)
{
  GtkWidget *window = gtk_window_new ();

  gtk_widget_set_halign (GTK_WIDGET (table), GTK_ALIGN_FILL);
  gtk_window_set_default_size (GTK_WINDOW (window), width, -1);
  gtk_window_set_child (GTK_WINDOW (window), GTK_WIDGET (table));
  gtk_window_present (GTK_WINDOW (window));
  while (gtk_widget_get_width (GTK_WIDGET (table)) == 0 || g_main_context_pending (NULL))
    g_main_context_iteration (NULL, TRUE);
  return window;
}

static void
press (SlFigureTable *table, guint key)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (table));
  gboolean handled = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);

      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", key, 0, 0, &handled);
    }
  g_assert_true (handled);
}

static SlFigureTable *
new_frets (void)
{
  SlFigureTable *table = new_table (1, "Gaps");

  sl_figure_table_add_frets (table, N_FRETS, 5, SL_COLUMN_FIGURES);
  sl_figure_table_set_rows (table, 2);
  for (guint row = 0; row < 2; row++)
    for (guint column = 0; column <= N_FRETS; column++)
      sl_figure_table_set (table, row, column, row == 1 && column == 3 ? "" : "0.50");
  return table;
}

static void
assert_cursor (SlFigureTable *table, guint row, guint column)
{
  guint r, c;

  g_assert_true (sl_figure_table_get_cursor (table, &r, &c));
  g_assert_cmpuint (r, ==, row);
  g_assert_cmpuint (c, ==, column);
}

static void
note_row (SlFigureTable *table, guint row, guint *activated)
{
  *activated = row;
}

/* Arrow keys pass over what is empty or hidden, and stay where there is nothing further. */
static void
test_cursor (void)
{
  SlFigureTable *table = new_frets ();
  GtkWidget *window = show (table, 300);
  guint activated = 9;

  g_signal_connect (table, "row-activated", G_CALLBACK (note_row), &activated);
  sl_figure_table_set_cursor (table, 1, 2);
  press (table, GDK_KEY_Right);
  assert_cursor (table, 1, 4); /* there is nothing in 3 */
  press (table, GDK_KEY_Down);
  assert_cursor (table, 1, 4);
  press (table, GDK_KEY_Up);
  press (table, GDK_KEY_Left);
  assert_cursor (table, 0, 3);
  g_assert_true (gtk_widget_is_focus (cell_at (table, 0, 3)));
  g_assert_false (gtk_widget_get_focusable (cell_at (table, 0, 4)));
  press (table, GDK_KEY_Down);
  assert_cursor (table, 0, 3);
  sl_figure_table_show_column (table, 3, FALSE);
  assert_cursor (table, 0, 4);
  press (table, GDK_KEY_Return);
  g_assert_cmpuint (activated, ==, 0);
  press (table, GDK_KEY_End);
  assert_cursor (table, 0, N_FRETS);
  press (table, GDK_KEY_Home);
  assert_cursor (table, 0, 1);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Whether a cell lies inside of its row, whole. */
static gboolean
is_seen (SlFigureTable *table, guint column)
{
  graphene_rect_t cell;

  g_assert_true (gtk_widget_compute_bounds (cell_at (table, 0, column), GTK_WIDGET (table), &cell));
  return cell.origin.x >= 0 && cell.origin.x + cell.size.width <= (float) gtk_widget_get_width (GTK_WIDGET (table));
}

static void
settle (SlFigureTable *table)
{
  gtk_widget_queue_allocate (GTK_WIDGET (table));
  gtk_test_widget_wait_for_draw (GTK_WIDGET (table));
}

/* The cursor brings its column into sight; the first one, which names the row, stays. */
static void
test_scrolling (void)
{
  SlFigureTable *table = new_frets ();
  GtkWidget *window = show (table, 300), *bar = gtk_widget_get_last_child (GTK_WIDGET (table));

  g_assert_true (GTK_IS_SCROLLBAR (bar) && gtk_widget_get_child_visible (bar));
  g_assert_true (is_seen (table, 0) && is_seen (table, 1));
  g_assert_false (is_seen (table, N_FRETS));
  sl_figure_table_set_cursor (table, 0, N_FRETS);
  settle (table);
  g_assert_true (is_seen (table, 0) && is_seen (table, N_FRETS));
  g_assert_false (is_seen (table, 1));
  sl_figure_table_set_cursor (table, 0, 1);
  settle (table);
  g_assert_true (is_seen (table, 0) && is_seen (table, 1));
  gtk_window_destroy (GTK_WINDOW (window));

  table = new_frets ();
  window = show (table, 3000);
  g_assert_false (gtk_widget_get_child_visible (gtk_widget_get_last_child (GTK_WIDGET (table))));
  g_assert_true (is_seen (table, N_FRETS));
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Tab goes to every control of each row in turn, also to those that are out of sight until then. */
static void
test_tab (void)
{
  SlFigureTable *table = new_frets ();
  GtkWidget *window, *controls[2 * N_FRETS];

  sl_figure_table_set_rows (table, 4);
  for (guint i = 0; i < G_N_ELEMENTS (controls); i++)
    {
      controls[i] = gtk_button_new_with_label ("0.50");
      sl_figure_table_put (table, 2 + i / N_FRETS, 1 + i % N_FRETS, controls[i]);
    }
  window = show (table, 300);
  gtk_widget_grab_focus (controls[0]);
  for (guint i = 1; i < G_N_ELEMENTS (controls); i++)
    {
      settle (table);
      g_assert_true (gtk_widget_child_focus (window, GTK_DIR_TAB_FORWARD));
      g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == controls[i]);
    }
  for (guint i = G_N_ELEMENTS (controls) - 1; i-- > 0;)
    {
      settle (table);
      g_assert_true (gtk_widget_child_focus (window, GTK_DIR_TAB_BACKWARD));
      g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == controls[i]);
    }
  gtk_window_destroy (GTK_WINDOW (window));
}

static SlFigureTable *
new_snug (void)
{
  SlFigureTable *table = new_table (1, "Snug");

  sl_figure_table_add_frets (table, N_FRETS, 0, SL_COLUMN_SNUG);
  sl_figure_table_set_rows (table, 1);
  sl_figure_table_set (table, 0, 0, "E");
  for (guint c = 1; c <= N_FRETS; c++)
    sl_figure_table_set (table, 0, c, "0.52");
  return table;
}

/* Columns as wide as their figures are narrower where not all fit, and wider once a figure is longer; the cursor's
 * stays in sight. */
static void
test_snug (void)
{
  SlFigureTable *table = new_snug ();
  GtkWidget *window;
  int plain, small;

  window = show (table, 3000);
  plain = gtk_widget_get_width (cell_at (table, 0, 2));
  g_assert_null (gtk_inscription_get_attributes (GTK_INSCRIPTION (cell_at (table, 0, 2))));
  gtk_window_destroy (GTK_WINDOW (window));

  table = new_snug ();
  sl_figure_table_set_cursor (table, 0, N_FRETS);
  window = show (table, 3 * plain);
  small = gtk_widget_get_width (cell_at (table, 0, 2));
  g_assert_cmpint (small, <, plain);
  g_assert_nonnull (gtk_inscription_get_attributes (GTK_INSCRIPTION (cell_at (table, 0, 2))));
  g_assert_true (is_seen (table, N_FRETS));
  g_assert_false (is_seen (table, 1));
  sl_figure_table_set (table, 0, 2, "−0.52");
  settle (table);
  g_assert_cmpint (gtk_widget_get_width (cell_at (table, 0, 2)), >, small);
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_add_func ("/figure-table/controls", test_controls);
  g_test_add_func ("/figure-table/cursor", test_cursor);
  g_test_add_func ("/figure-table/scrolling", test_scrolling);
  g_test_add_func ("/figure-table/tab", test_tab);
  g_test_add_func ("/figure-table/snug", test_snug);
  return g_test_run ();
}
