/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/pitch-parts.h"

#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define CENT_CHARS 5

static const SlColumn columns[] = { { NC_ ("column", "string"), NULL, 5 } };

typedef struct
{
  SlBench *bench; /* borrowed */
  SlFigureTable *table;
  GtkWidget *planned;
  int n_frets;
} Part;

static void
update (GtkWidget *page)
{
  Part *self = g_object_get_data (G_OBJECT (page), "part");
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlFigures *figures = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->planned))
                                 ? &analysis->planned_figures
                                 : &analysis->measured_figures;

  if (self->n_frets != in->frets)
    {
      sl_figure_table_cut_columns (self->table, 1);
      sl_figure_table_add_frets (self->table, in->frets, CENT_CHARS, SL_COLUMN_FIGURES);
      self->n_frets = in->frets;
    }
  sl_figure_table_set_rows (self->table, (guint) in->n_strings);
  for (int s = 1; s <= in->n_strings; s++)
    {
      sl_figure_table_take (self->table, (guint) s - 1, 0, sl_text_string (sl_bench_get_profile (self->bench), s));
      for (int n = 1; n <= in->frets; n++)
        sl_figure_table_take (self->table, (guint) s - 1, (guint) n,
                              sl_text_plain (&style, figures->pitch_error[s - 1][n].value, 1, TRUE));
    }
}

GtkWidget *
sl_pitch_table_new (SlBench *bench)
{
  Part *self = g_new0 (Part, 1);
  GtkWidget *page = sl_part_new (NULL, self, g_free, bench, SL_CHANGED_FIGURES, update), *measured;

  self->bench = bench;
  self->table =
      sl_figure_table_new (columns, G_N_ELEMENTS (columns), _ ("Cents the model expects of every string and fret"));
  gtk_widget_add_css_class (GTK_WIDGET (self->table), "sl-narrow");
  gtk_box_append (GTK_BOX (page), GTK_WIDGET (self->table));
  sl_set_remark (sl_remark_add (page, "sl-dim"),
                 _ ("How many cents sharp (+) or flat (−) each fret sounds against the open string, by the model."));
  gtk_box_append (GTK_BOX (sl_part_tools (page)),
                  sl_segments_new (_ ("Cents as measured or as planned"), &measured, C_ ("state", "Measured"),
                                   &self->planned, C_ ("state", "Planned")));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->planned), TRUE);
  sl_set_accessible_label (measured, _ ("Cents as measured"));
  sl_set_accessible_label (self->planned, _ ("Cents as planned"));
  g_signal_connect_swapped (self->planned, "toggled", G_CALLBACK (sl_update_seen), page);
  return page;
}
