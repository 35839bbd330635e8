/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "bench/baseline-watch.h"
#include "desk/kit/kit.h"
#include "bench/settings.h"
#include "words/results.h"

/* The ± of the figure before is that of the readings, and stands in the row's sentence. */
enum
{
  NAME,
  BEFORE,
  AFTER,
  AFTER_MORE,
  TARGET,
  WORD
};

typedef struct
{
  SlBench *bench; /* kept by the box, and so are the baselines */
  SlBaselineWatch *baselines;
  SlFigureTable *table;
  GtkWidget *note, *note_text;
  GPtrArray *shown; /* owned: the results in the table */
  SlFigures *told;  /* owned: those of which the last change was told; NULL: of none yet */
  guint telling;    /* until the next is due */
} Results;

#define TELL_MS 400 /* so long must nothing change: a drag is one change */

static void
results_free (Results *self)
{
  g_clear_handle_id (&self->telling, g_source_remove);
  g_free (self->told);
  g_clear_pointer (&self->shown, g_ptr_array_unref);
  g_free (self);
}

static void
tell (Results *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *change = self->told == NULL ? NULL : sl_change_text (analysis, self->told, &style);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self->table));

  if (change != NULL && root != NULL)
    sl_tell_reader (GTK_WINDOW (root), change);
  g_free (self->told);
  self->told = g_memdup2 (&analysis->planned_figures, sizeof analysis->planned_figures);
  self->telling = 0;
}

static void
show_result (SlFigureTable *table, guint row, const SlResult *result)
{
  g_autofree char *word = result->word == SL_WORD_NONE
                              ? g_strdup (result->assumed ? C_ ("results", "assumed") : result->remark)
                              : g_strdup_printf ("%s %s", sl_word_mark (result->word), sl_word_text (result->word));
  const char *const texts[] = { result->name, result->before, result->after, result->after_more, result->target, word };

  if (!sl_figure_table_set_sentence (table, row, result->sentence))
    return; /* the sentence says it all */
  for (guint c = 0; c < G_N_ELEMENTS (texts); c++)
    sl_figure_table_set (table, row, c, texts[c]);
  sl_figure_table_set_word (table, row, AFTER, result->word);
  sl_figure_table_set_word (table, row, WORD, result->word);
  sl_figure_table_set_beneath (table, row, result->usual);
}

static void
update (GtkWidget *box)
{
  Results *self = g_object_get_data (G_OBJECT (box), "own");
  SlTextStyle style = sl_bench_text_style (self->bench);
  const SlNorms *norms = sl_baseline_watch_norms (self->baselines, sl_bench_get_profile (self->bench)->baseline);
  g_autoptr (GPtrArray) results =
      sl_results (sl_bench_get_analysis (self->bench), sl_bench_get_string (self->bench), norms, &style);

  sl_figure_table_set_rows (self->table, results->len);
  for (guint i = 0; i < results->len; i++)
    show_result (self->table, i, g_ptr_array_index (results, i));
  g_clear_pointer (&self->shown, g_ptr_array_unref);
  self->shown = g_steal_pointer (&results);
  g_clear_handle_id (&self->telling, g_source_remove);
  self->telling = g_timeout_add_once (TELL_MS, (GSourceOnceFunc) tell, self);
}

/* By a click on its target, or Enter there. */
static void
on_row (SlFigureTable *table, guint row, Results *self)
{
  const SlResult *result = row < self->shown->len ? self->shown->pdata[row] : NULL;
  guint column;

  if (result != NULL && result->field != NULL && sl_figure_table_get_cursor (table, &row, &column) && column == TARGET)
    gtk_widget_activate_action (GTK_WIDGET (table), "win.targets", "s", result->field);
}

static void
on_targets (GtkWidget *box)
{
  gtk_widget_activate_action (box, "win.targets", "s", "relief");
}

/* Where the differences from the baseline would be, if that isn't on the shelf: what is missing, and what would help.
 */
static void
update_note (GtkWidget *box)
{
  Results *self = g_object_get_data (G_OBJECT (box), "own");
  const char *failure = sl_baseline_watch_get_failure (self->baselines);
  const char *id = sl_bench_get_profile (self->bench)->baseline;
  const gboolean missing =
      sl_baseline_watch_norms (self->baselines, id) == NULL && sl_baseline_watch_is_missing (self->baselines, id);
  g_autoptr (GFile) folder = sl_shelf_folder ();
  g_autofree char *shown = g_file_get_parse_name (folder);
  /* Translators: %s is a folder */
  g_autofree char *more =
      g_strdup_printf (_ ("Put the baseline's file into %s, or choose the folder it is in as the shelf's."), shown);
  const char *text =
      failure != NULL
          ? _ ("The shelf can't be read, so how this differs from its baseline can't be shown.")
          : _ ("Its baseline isn't on the shelf, so how this differs from it can't be shown. It helps to put its file "
               "there.");

  gtk_label_set_label (GTK_LABEL (self->note_text), missing ? text : "");
  gtk_widget_set_tooltip_text (self->note_text, !missing ? NULL : failure != NULL ? failure : more);
  gtk_widget_set_visible (self->note, missing);
}

GtkWidget *
sl_results_table_new (SlBench *bench)
{
  g_autoptr (SlBaselineWatch) baselines = sl_baseline_watch_get ();
  Results *self = g_new0 (Results, 1);
  GtkWidget *targets, *box = sl_built_new ("work.ui", "results", "targets", &targets, "note", &self->note, "note_text",
                                           &self->note_text, "table", &self->table, NULL);

  g_object_set_data_full (G_OBJECT (box), "own", self, (GDestroyNotify) results_free);
  self->bench = sl_keep (box, bench);
  self->baselines = sl_keep (box, baselines);
  g_signal_connect_object (targets, "clicked", G_CALLBACK (on_targets), box, G_CONNECT_SWAPPED);
  g_signal_connect (self->table, "row-activated", G_CALLBACK (on_row), self);
  g_signal_connect_object (baselines, "changed", G_CALLBACK (update), box, G_CONNECT_SWAPPED);
  g_signal_connect_object (baselines, "changed", G_CALLBACK (update_note), box, G_CONNECT_SWAPPED);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING, G_CALLBACK (update), box);
  sl_bench_follow (bench, SL_CHANGED_INSTRUMENT, G_CALLBACK (update_note), box);
  update (box);
  update_note (box);
  return box;
}
