/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/results-table.h"

#include "desk/work/baseline-note.h"
#include "bench/baseline-watch.h"
#include "words/results.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define COLUMN_SPACING 4

#define SL_TYPE_RESULTS_TABLE (sl_results_table_get_type ())
G_DECLARE_FINAL_TYPE (SlResultsTable, sl_results_table, SL, RESULTS_TABLE, GtkBox)

/* The columns of figures, each as wide as its widest cell. */
enum
{
  BEFORE,
  AFTER,
  TARGET,
  WORD,
  N_COLUMNS
};

/* The widgets of one row. */
typedef struct
{
  GtkWidget *row, *before_cell;
  GtkLabel *name, *before, *after, *after_more, *target, *word;
  GtkLabel *assumed; /* left of the figure before; NULL where it never was */
  GtkLabel *usual;   /* below the others; NULL where there never was anything usual */
  SlWord shown_word;
  char *sentence; /* as shown */
} Row;

struct _SlResultsTable
{
  GtkBox parent_instance;

  GtkWidget *list;
  GArray *rows; /* of Row */

  /* owned */
  GtkSizeGroup *columns[N_COLUMNS];
  SlBench *bench;
  SlBaselineWatch *baselines;
};

G_DEFINE_FINAL_TYPE (SlResultsTable, sl_results_table, GTK_TYPE_BOX)

/* A full disc, a half one, an open one: distinct without colour. */
static const char *const marks[] = {
  [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = "●", [SL_WORD_CLOSE] = "◐", [SL_WORD_OUT] = "○"
};
static const char *const word_classes[] = {
  [SL_WORD_NONE] = NULL, [SL_WORD_IN_RANGE] = "sl-good", [SL_WORD_CLOSE] = "sl-close", [SL_WORD_OUT] = "sl-wrong"
};

static GtkLabel *
new_label (GtkWidget *box, float xalign, const char *first_class, const char *second_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), xalign);
  gtk_widget_set_valign (label, GTK_ALIGN_BASELINE);
  gtk_widget_add_css_class (label, first_class);
  if (second_class != NULL)
    gtk_widget_add_css_class (label, second_class);
  gtk_box_append (GTK_BOX (box), label);
  return GTK_LABEL (label);
}

/* The cell of one row in a column: a figure, and in the column of those after the work small beside it its ±. The ± of
 * the figure before is much the same, and is in the row's sentence. */
static GtkWidget *
new_cell (SlResultsTable *self, GtkWidget *row, int column)
{
  GtkWidget *cell =
      g_object_new (GTK_TYPE_BOX, "spacing", 3, "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);

  gtk_widget_set_hexpand (cell, FALSE); /* or the figure in it would take its room from the name */
  gtk_size_group_add_widget (self->columns[column], cell);
  gtk_box_append (GTK_BOX (row), cell);
  return cell;
}

/* What is narrower than its cell stands at its right end. */
static GtkLabel *
new_figure (GtkWidget *cell, const char *first_class, const char *second_class)
{
  GtkLabel *label = new_label (cell, 1, first_class, second_class);

  gtk_widget_set_hexpand (GTK_WIDGET (label), TRUE);
  return label;
}

/* A cell with a single label is the label: a table has dozens. */
static GtkLabel *
new_lone (SlResultsTable *self, GtkWidget *row, int column, float xalign, const char *first_class,
          const char *second_class)
{
  GtkLabel *label = new_label (row, xalign, first_class, second_class);

  gtk_size_group_add_widget (self->columns[column], GTK_WIDGET (label));
  return label;
}

static GtkWidget *
new_row_box (GtkAccessibleRole role)
{
  GtkWidget *box = g_object_new (GTK_TYPE_BOX, "accessible-role", role, "spacing", COLUMN_SPACING, NULL);

  gtk_widget_add_css_class (box, "sl-result");
  return box;
}

static void
row_clear (gpointer data)
{
  g_free (((Row *) data)->sentence);
}

/* The whole of it in words, for whoever hovers over the row. */
static gboolean
on_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, SlResultsTable *self)
{
  for (guint i = 0; i < self->rows->len; i++)
    if (g_array_index (self->rows, Row, i).row == widget)
      {
        gtk_tooltip_set_text (tooltip, g_array_index (self->rows, Row, i).sentence);
        return TRUE;
      }
  return FALSE;
}

static Row
build_row (SlResultsTable *self)
{
  Row row = { .row = new_row_box (GTK_ACCESSIBLE_ROLE_ROW) };
  GtkWidget *line = g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, "spacing",
                                  COLUMN_SPACING, NULL),
            *cell;

  gtk_orientable_set_orientation (GTK_ORIENTABLE (row.row), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (row.row), 0);
  gtk_box_append (GTK_BOX (row.row), line);
  row.name = new_label (line, 0, "sl-result-name", NULL);
  gtk_label_set_ellipsize (row.name, PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (GTK_WIDGET (row.name), TRUE);
  row.before_cell = new_cell (self, line, BEFORE);
  row.before = new_figure (row.before_cell, "sl-numbers", "sl-dim");
  cell = new_cell (self, line, AFTER);
  row.after = new_figure (cell, "sl-figure", "sl-accent");
  row.after_more = new_label (cell, 0, "sl-tiny", "sl-dim");
  row.target = new_lone (self, line, TARGET, 1, "sl-numbers", "sl-dim");
  row.word = new_lone (self, line, WORD, 0, "sl-tiny", NULL);
  return row;
}

static void
set_text (GtkLabel *label, const char *text)
{
  if (text == NULL)
    text = "";
  if (g_strcmp0 (gtk_label_get_text (label), text) != 0)
    gtk_label_set_text (label, text);
}

static void
set_word (Row *row, SlWord word)
{
  GtkWidget *widgets[] = { GTK_WIDGET (row->word), GTK_WIDGET (row->after) };

  if (row->shown_word == word)
    return;
  for (guint i = 0; i < G_N_ELEMENTS (widgets); i++)
    {
      if (word_classes[row->shown_word] != NULL)
        gtk_widget_remove_css_class (widgets[i], word_classes[row->shown_word]);
      if (word_classes[word] != NULL)
        gtk_widget_add_css_class (widgets[i], word_classes[word]);
    }
  row->shown_word = word;
}

static void
show_assumed (Row *row, gboolean assumed)
{
  if (assumed && row->assumed == NULL)
    {
      row->assumed = new_label (row->before_cell, 0, "sl-tiny", "sl-dim");
      gtk_box_reorder_child_after (GTK_BOX (row->before_cell), GTK_WIDGET (row->assumed), NULL);
      gtk_label_set_text (row->assumed, "≈"); /* as the sheet of gaps marks it */
      gtk_widget_set_tooltip_text (GTK_WIDGET (row->assumed), _ ("assumed"));
    }
  if (row->assumed != NULL)
    gtk_widget_set_visible (GTK_WIDGET (row->assumed), assumed);
}

static void
show_usual (Row *row, const char *usual)
{
  if (usual != NULL && row->usual == NULL)
    {
      row->usual = new_label (row->row, 0, "sl-tiny", "sl-dim");
      gtk_label_set_ellipsize (row->usual, PANGO_ELLIPSIZE_END);
    }
  if (row->usual == NULL)
    return;
  set_text (row->usual, usual);
  gtk_widget_set_visible (GTK_WIDGET (row->usual), usual != NULL);
}

static void
show_word (Row *row, const SlResult *result)
{
  g_autofree char *text = result->word == SL_WORD_NONE
                              ? g_strdup (result->remark)
                              : g_strdup_printf ("%s %s", marks[result->word], sl_word_text (result->word));

  set_text (row->word, text);
  set_word (row, result->word);
}

static void
show_result (Row *row, const SlResult *result)
{
  if (g_strcmp0 (row->sentence, result->sentence) == 0)
    return; /* the sentence says it all */
  g_free (row->sentence);
  row->sentence = g_strdup (result->sentence);
  show_assumed (row, result->assumed);
  set_text (row->name, result->name);
  set_text (row->before, result->before);
  set_text (row->after, result->after);
  set_text (row->after_more, result->after_more);
  set_text (row->target, result->target);
  show_usual (row, result->usual);
  show_word (row, result);
  sl_set_accessible_label (row->row, result->sentence);
}

/* As many rows as there are results: they come and go with the strings chosen and read, not while a slider moves. */
static void
fit_rows (SlResultsTable *self, guint n)
{
  while (self->rows->len < n)
    {
      Row row = build_row (self);

      gtk_widget_set_has_tooltip (row.row, TRUE);
      g_signal_connect (row.row, "query-tooltip", G_CALLBACK (on_tooltip), self);
      gtk_box_append (GTK_BOX (self->list), row.row);
      g_array_append_val (self->rows, row);
    }
  while (self->rows->len > n)
    {
      Row *last = &g_array_index (self->rows, Row, self->rows->len - 1);

      gtk_box_remove (GTK_BOX (self->list), last->row);
      g_array_set_size (self->rows, self->rows->len - 1);
    }
}

static void
update (SlResultsTable *self)
{
  SlTextStyle style = sl_bench_text_style (self->bench);
  const SlNorms *norms = sl_baseline_watch_norms (self->baselines, sl_bench_get_profile (self->bench)->baseline);
  g_autoptr (GPtrArray) results =
      sl_results (sl_bench_get_analysis (self->bench), sl_bench_get_string (self->bench), norms, &style);

  fit_rows (self, results->len);
  for (guint i = 0; i < results->len; i++)
    show_result (&g_array_index (self->rows, Row, i), g_ptr_array_index (results, i));
}

static void
add_header (SlResultsTable *self)
{
  GtkWidget *row = new_row_box (GTK_ACCESSIBLE_ROLE_ROW);
  const char *helps[] = { [BEFORE] = _ ("As last read"),
                          [AFTER] = _ ("With all the work of the plan, done or still to do"),
                          [TARGET] = NULL,
                          [WORD] = NULL };
  const char *titles[] = { [BEFORE] = C_ ("column", "before"),
                           [AFTER] = C_ ("column", "planned"),
                           [TARGET] = C_ ("column", "target"),
                           [WORD] = NULL };
  GtkLabel *name = new_label (row, 0, "sl-more", "sl-dim");

  gtk_widget_set_hexpand (GTK_WIDGET (name), TRUE);
  for (int i = 0; i < N_COLUMNS; i++)
    {
      GtkLabel *title = new_lone (self, row, i, 1, "sl-more", "sl-dim");

      set_text (title, titles[i]);
      gtk_widget_set_tooltip_text (GTK_WIDGET (title), helps[i]);
    }
  sl_set_accessible_label (row, _ ("Columns: before, with all the work of the plan, target"));
  gtk_box_append (GTK_BOX (self->list), row);
}

static void
sl_results_table_dispose (GObject *object)
{
  SlResultsTable *self = SL_RESULTS_TABLE (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_object (&self->baselines);
  for (int i = 0; i < N_COLUMNS; i++)
    g_clear_object (&self->columns[i]);
  G_OBJECT_CLASS (sl_results_table_parent_class)->dispose (object);
}

static void
sl_results_table_finalize (GObject *object)
{
  SlResultsTable *self = SL_RESULTS_TABLE (object);

  g_array_unref (self->rows);
  G_OBJECT_CLASS (sl_results_table_parent_class)->finalize (object);
}

static void
sl_results_table_class_init (SlResultsTableClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_results_table_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_results_table_finalize;
}

static void
sl_results_table_init (SlResultsTable *self)
{
  GtkWidget *heading = gtk_label_new (_ ("What it does"));

  for (int i = 0; i < N_COLUMNS; i++)
    self->columns[i] = gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL);
  self->rows = g_array_new (FALSE, TRUE, sizeof (Row));
  g_array_set_clear_func (self->rows, row_clear);
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 6);
  gtk_label_set_xalign (GTK_LABEL (heading), 0);
  gtk_widget_add_css_class (heading, "sl-heading");
  gtk_box_append (GTK_BOX (self), heading);
  self->list = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "accessible-role",
                             GTK_ACCESSIBLE_ROLE_TABLE, NULL);
  gtk_widget_add_css_class (self->list, "sl-card");
  gtk_widget_add_css_class (self->list, "sl-results");
  sl_set_accessible_label (self->list, _ ("What the work does"));
  gtk_box_append (GTK_BOX (self), self->list);
  add_header (self);
}

GtkWidget *
sl_results_table_new (SlBench *bench)
{
  SlResultsTable *self = g_object_new (SL_TYPE_RESULTS_TABLE, NULL);

  self->bench = g_object_ref (bench);
  self->baselines = sl_baseline_watch_get ();
  g_signal_connect_object (self->baselines, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING, G_CALLBACK (update), self);
  update (self);
  gtk_box_insert_child_after (GTK_BOX (self), sl_baseline_note_new (bench),
                              gtk_widget_get_first_child (GTK_WIDGET (self))); /* below the heading */
  return GTK_WIDGET (self);
}
