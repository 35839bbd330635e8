/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A table of figures with a column of controls: it is shown and hidden like the others, and what is meant for figures
 * leaves it alone. */
#include "desk/kit/figure-grid.h"

static const SlColumn columns[] = { { "string", NULL, 5 }, { "builds", NULL, 0 }, { "tension", NULL, 7 } };

static void
test_controls (void)
{
  GtkWidget *widget = g_object_ref_sink (sl_figure_grid_new (columns, G_N_ELEMENTS (columns), "Strings")),
            *control = gtk_button_new ();
  SlFigureGrid *grid = SL_FIGURE_GRID (widget);

  sl_figure_grid_set_rows (grid, 2);
  sl_figure_grid_put (grid, 0, 1, control); /* the second row has none yet */
  sl_figure_grid_show_column (grid, 1, FALSE);
  g_assert_false (gtk_widget_get_visible (control));
  sl_figure_grid_show_column (grid, 1, TRUE);
  g_assert_true (gtk_widget_get_visible (control));
  for (guint row = 0; row < 2; row++)
    {
      sl_figure_grid_set (grid, row, 1, "5.0");
      sl_figure_grid_set_class (grid, row, 1, "sl-dim", TRUE);
    }
  sl_figure_grid_set_chars (grid, 1, 9);
  g_assert_true (gtk_widget_has_css_class (control, "sl-dim"));
  sl_figure_grid_set (grid, 1, 2, "71.2");
  g_assert_cmpstr (gtk_inscription_get_text (GTK_INSCRIPTION (gtk_grid_get_child_at (GTK_GRID (grid), 2, 2))), ==,
                   "71.2");
  g_object_unref (widget);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/figure-grid/controls", test_controls);
  return g_test_run ();
}
