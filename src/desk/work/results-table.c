/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/results-table.h"

#include "bench/baseline-watch.h"
#include "desk/kit/figure-table.h"
#include "desk/kit/util.h"
#include "desk/work/baseline-note.h"
#include "words/results.h"

#include <glib/gi18n-lib.h>

#define SL_TYPE_RESULTS_TABLE (sl_results_table_get_type ())
G_DECLARE_FINAL_TYPE (SlResultsTable, sl_results_table, SL, RESULTS_TABLE, GtkBox)

/* The ± of the figure before is much the same as that after, and stands in the row's sentence. */
enum
{
  NAME,
  ASSUMED,
  BEFORE,
  AFTER,
  AFTER_MORE,
  TARGET,
  WORD
};

static const SlColumn columns[] = {
  [NAME] = { NULL, NULL, 0, SL_COLUMN_WIDE, "sl-result-name" },
  [ASSUMED] = { NULL, NULL, 0, SL_COLUMN_FIXED | SL_COLUMN_WORDS, "sl-tiny sl-dim" },
  [BEFORE] = { NC_ ("column", "before"), NC_ ("column", "As last read"), 0, SL_COLUMN_FIXED, "sl-dim" },
  [AFTER] = { NC_ ("column", "planned"), NC_ ("column", "With all the work of the plan, done or still to do"), 0,
              SL_COLUMN_FIXED, "sl-figure sl-accent" },
  [AFTER_MORE] = { NULL, NULL, 0, SL_COLUMN_FIXED | SL_COLUMN_WORDS, "sl-tiny sl-dim" },
  [TARGET] = { NC_ ("column", "target"), NULL, 0, SL_COLUMN_FIXED, "sl-dim" },
  [WORD] = { NULL, NULL, 0, SL_COLUMN_FIXED | SL_COLUMN_WORDS, "sl-tiny" },
};

struct _SlResultsTable
{
  GtkBox parent_instance;

  SlFigureTable *table;

  /* owned */
  SlBench *bench;
  SlBaselineWatch *baselines;
};

G_DEFINE_FINAL_TYPE (SlResultsTable, sl_results_table, GTK_TYPE_BOX)

static void
show_result (SlFigureTable *table, guint row, const SlResult *result)
{
  g_autofree char *word = result->word == SL_WORD_NONE
                              ? g_strdup (result->remark)
                              : g_strdup_printf ("%s %s", sl_word_mark (result->word), sl_word_text (result->word));
  const char *const texts[] = { result->name,  result->assumed ? "≈" : NULL, result->before,
                                result->after, result->after_more,           result->target,
                                word };

  if (!sl_figure_table_set_sentence (table, row, result->sentence))
    return; /* the sentence says it all */
  for (guint c = 0; c < G_N_ELEMENTS (texts); c++)
    sl_figure_table_set (table, row, c, texts[c]);
  sl_figure_table_set_word (table, row, AFTER, result->word);
  sl_figure_table_set_word (table, row, WORD, result->word);
  sl_figure_table_set_beneath (table, row, result->usual);
}

static void
update (SlResultsTable *self)
{
  SlTextStyle style = sl_bench_text_style (self->bench);
  const SlNorms *norms = sl_baseline_watch_norms (self->baselines, sl_bench_get_profile (self->bench)->baseline);
  g_autoptr (GPtrArray) results =
      sl_results (sl_bench_get_analysis (self->bench), sl_bench_get_string (self->bench), norms, &style);

  sl_figure_table_set_rows (self->table, results->len);
  for (guint i = 0; i < results->len; i++)
    show_result (self->table, i, g_ptr_array_index (results, i));
}

static void
sl_results_table_class_init (SlResultsTableClass *class)
{
}

static void
sl_results_table_init (SlResultsTable *self)
{
  GtkWidget *heading = sl_label_new (_ ("What it does"));

  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", 6, NULL);
  gtk_widget_add_css_class (heading, "sl-heading");
  gtk_box_append (GTK_BOX (self), heading);
  self->table = sl_figure_table_new (columns, G_N_ELEMENTS (columns), _ ("What the work does"));
  sl_add_classes (GTK_WIDGET (self->table), "sl-card", "sl-results");
  gtk_box_append (GTK_BOX (self), GTK_WIDGET (self->table));
}

GtkWidget *
sl_results_table_new (SlBench *bench)
{
  SlResultsTable *self = g_object_new (SL_TYPE_RESULTS_TABLE, NULL);
  g_autoptr (SlBaselineWatch) baselines = sl_baseline_watch_get ();

  self->bench = sl_keep (self, bench);
  self->baselines = sl_keep (self, baselines);
  g_signal_connect_object (self->baselines, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING, G_CALLBACK (update), self);
  update (self);
  gtk_box_insert_child_after (GTK_BOX (self), sl_baseline_note_new (bench),
                              gtk_widget_get_first_child (GTK_WIDGET (self))); /* below the heading */
  return GTK_WIDGET (self);
}
