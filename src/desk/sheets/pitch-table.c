/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/pitch-parts.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define CENT_CHARS 5

/* Frets head the columns of this table, in numbers; what it has beside them. */
typedef struct
{
  SlBench *bench; /* borrowed */
  GtkWidget *page, *scroller, *grid, *planned, *remark;
  SlColumn columns[SL_MAX_FRETS + 1];
  char *titles[SL_MAX_FRETS + 1];
  int n_frets;
} Table;

static void
build_grid (Table *self, int n_frets)
{
  self->n_frets = n_frets;
  self->columns[0] = (SlColumn){ NC_ ("column", "string"), NULL, 5 };
  for (int n = 1; n <= n_frets; n++)
    {
      g_free (self->titles[n]);
      self->titles[n] = g_strdup_printf ("%d", n);
      self->columns[n] = (SlColumn){ self->titles[n], NULL, CENT_CHARS };
    }
  self->grid =
      sl_figure_grid_new (self->columns, (guint) n_frets + 1, _ ("Cents the model expects of every string and fret"));
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 2);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->grid);
}

static void
update (GtkWidget *page)
{
  Table *self = g_object_get_data (G_OBJECT (page), "part");
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlFigures *figures = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->planned))
                                 ? &analysis->planned_figures
                                 : &analysis->measured_figures;

  if (self->n_frets != in->frets)
    build_grid (self, in->frets);
  sl_figure_grid_set_rows (SL_FIGURE_GRID (self->grid), (guint) in->n_strings);
  for (int s = 1; s <= in->n_strings; s++)
    {
      sl_figure_grid_take (SL_FIGURE_GRID (self->grid), (guint) s - 1, 0,
                           sl_text_string (sl_bench_get_profile (self->bench), s));
      for (int n = 1; n <= in->frets; n++)
        sl_figure_grid_take (SL_FIGURE_GRID (self->grid), (guint) s - 1, (guint) n,
                             sl_text_plain (&style, figures->pitch_error[s - 1][n].value, 1, TRUE));
    }
}

static GtkWidget *
new_tools (Table *self)
{
  GtkWidget *segments = g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_GROUP, NULL);
  GtkWidget *measured = gtk_toggle_button_new_with_label (C_ ("state", "Measured"));

  self->planned = gtk_toggle_button_new_with_label (C_ ("state", "Planned"));
  gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (measured), GTK_TOGGLE_BUTTON (self->planned));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->planned), TRUE);
  sl_set_accessible_label (segments, _ ("Cents as measured or as planned"));
  sl_set_accessible_label (measured, _ ("Cents as measured"));
  sl_set_accessible_label (self->planned, _ ("Cents as planned"));
  gtk_widget_add_css_class (segments, "linked");
  gtk_widget_add_css_class (segments, "sl-segments");
  g_signal_connect_swapped (self->planned, "toggled", G_CALLBACK (sl_update_seen), self->page);
  gtk_box_append (GTK_BOX (segments), measured);
  gtk_box_append (GTK_BOX (segments), self->planned);
  return segments;
}

static void
free_table (gpointer data)
{
  Table *self = data;

  for (int n = 0; n <= SL_MAX_FRETS; n++)
    g_free (self->titles[n]);
  g_free (self);
}

GtkWidget *
sl_pitch_table_new (SlBench *bench, GtkWidget **tools)
{
  GtkWidget *page = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  Table *self = g_new0 (Table, 1);

  self->bench = bench;
  self->page = page;
  self->remark = sl_new_remark ();
  gtk_widget_add_css_class (self->remark, "sl-dim");
  sl_set_remark (self->remark,
                 _ ("How many cents sharp (+) or flat (−) each fret sounds against the open string, by the model."));
  self->scroller = sl_sheet_wide_new (NULL, _ ("Cents the model expects of every string and fret"));
  gtk_box_append (GTK_BOX (page), self->scroller);
  gtk_box_append (GTK_BOX (page), self->remark);
  g_object_set_data_full (G_OBJECT (page), "part", self, free_table);
  *tools = new_tools (self);
  sl_follow_while_seen (page, bench, SL_CHANGED_FIGURES, update);
  return page;
}
