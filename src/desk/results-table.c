/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/results-table.h"

#include "desk/results.h"
#include "desk/util.h"

#include <glib/gi18n-lib.h>

/* Room for "59.3 ±0.6 N" under a figure, and for "≥ 1.60". */
#define FIGURE_CHARS 8
#define TARGET_CHARS 6

#define SL_TYPE_RESULTS_TABLE (sl_results_table_get_type ())
G_DECLARE_FINAL_TYPE (SlResultsTable, sl_results_table, SL, RESULTS_TABLE, GtkBox)

/* The widgets of one row. */
typedef struct
{
  GtkWidget *row;
  GtkLabel *name, *mark, *word;
  GtkLabel *before, *before_more, *after, *after_more, *target;
  SlWord shown_word;
  char *sentence; /* as shown */
} Row;

struct _SlResultsTable
{
  GtkBox parent_instance;

  GtkWidget *list;
  GArray *rows; /* of Row */

  SlBench *bench; /* owned */
};

G_DEFINE_FINAL_TYPE (SlResultsTable, sl_results_table, GTK_TYPE_BOX)

/* A full disc, a half one, an open one: told apart without colour. */
static const char *const marks[] = { [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = "●", [SL_WORD_CLOSE] = "◐", [SL_WORD_OUT] = "○" };
static const char *const word_classes[] = { [SL_WORD_NONE] = NULL, [SL_WORD_IN_RANGE] = "sl-good", [SL_WORD_CLOSE] = "sl-close", [SL_WORD_OUT] = "sl-wrong" };

static GtkLabel *
new_label (GtkWidget *box, float xalign, int chars, const char *first_class, const char *second_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), xalign);
  gtk_label_set_justify (GTK_LABEL (label), xalign > 0 ? GTK_JUSTIFY_RIGHT : GTK_JUSTIFY_LEFT);
  if (chars > 0)
    gtk_label_set_width_chars (GTK_LABEL (label), chars);
  gtk_widget_add_css_class (label, first_class);
  if (second_class != NULL)
    gtk_widget_add_css_class (label, second_class);
  gtk_box_append (GTK_BOX (box), label);
  return GTK_LABEL (label);
}

/* A column of one row: a figure, and small beneath it its ±. */
static GtkWidget *
new_column (GtkWidget *row, gboolean expand)
{
  GtkWidget *column = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);

  gtk_widget_set_hexpand (column, expand);
  gtk_box_append (GTK_BOX (row), column);
  return column;
}

static GtkWidget *
new_row_box (GtkAccessibleRole role)
{
  GtkWidget *box = g_object_new (GTK_TYPE_BOX, "accessible-role", role, "spacing", 8, NULL);

  gtk_widget_add_css_class (box, "sl-result");
  return box;
}

static void
row_clear (gpointer data)
{
  g_free (((Row *) data)->sentence);
}

/* Whoever can't read the cut-off words hovers over the row. */
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
build_row (void)
{
  Row row = { .row = new_row_box (GTK_ACCESSIBLE_ROLE_ROW) };
  GtkWidget *column = new_column (row.row, TRUE);
  GtkWidget *line;

  row.name = new_label (column, 0, 0, "sl-result-name", NULL);
  gtk_label_set_ellipsize (row.name, PANGO_ELLIPSIZE_END);
  line = g_object_new (GTK_TYPE_BOX, "spacing", 4, "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
  gtk_box_append (GTK_BOX (column), line);
  row.mark = new_label (line, 0, 0, "sl-small", NULL);
  row.word = new_label (line, 0, 0, "sl-small", NULL);
  gtk_label_set_ellipsize (row.word, PANGO_ELLIPSIZE_END);
  column = new_column (row.row, FALSE);
  row.before = new_label (column, 1, FIGURE_CHARS, "sl-numbers", "sl-dim");
  row.before_more = new_label (column, 1, FIGURE_CHARS, "sl-more", "sl-dim");
  column = new_column (row.row, FALSE);
  row.after = new_label (column, 1, FIGURE_CHARS, "sl-figure", "sl-accent");
  row.after_more = new_label (column, 1, FIGURE_CHARS, "sl-more", "sl-dim");
  column = new_column (row.row, FALSE);
  row.target = new_label (column, 1, TARGET_CHARS, "sl-numbers", "sl-dim");
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
  GtkWidget *widgets[] = { GTK_WIDGET (row->mark), GTK_WIDGET (row->word), GTK_WIDGET (row->after) };

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
show_result (Row *row, const SlResult *result)
{
  gboolean both = result->word != SL_WORD_NONE && result->remark != NULL;
  g_autofree char *words = NULL;

  if (g_strcmp0 (row->sentence, result->sentence) == 0)
    return; /* the sentence says it all */
  g_free (row->sentence);
  row->sentence = g_strdup (result->sentence);
  words = g_strconcat (result->word == SL_WORD_NONE ? "" : sl_word_text (result->word), both ? " · " : "",
                       result->remark == NULL ? "" : result->remark, NULL);
  set_text (row->name, result->name);
  set_text (row->mark, marks[result->word]);
  gtk_widget_set_visible (GTK_WIDGET (row->mark), result->word != SL_WORD_NONE);
  set_text (row->word, words);
  set_text (row->before, result->before);
  set_text (row->before_more, result->before_more);
  set_text (row->after, result->after);
  set_text (row->after_more, result->after_more);
  set_text (row->target, result->target);
  set_word (row, result->word);
  sl_set_accessible_label (row->row, result->sentence);
}

/* As many rows as there are results: they come and go with the strings chosen and read, not while a slider moves. */
static void
fit_rows (SlResultsTable *self, guint n)
{
  while (self->rows->len < n)
    {
      Row row = build_row ();

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
  SlTextStyle style = { sl_bench_get_lengths (self->bench), sl_decimal_sign () };
  g_autoptr (GPtrArray) results = sl_results (sl_bench_get_analysis (self->bench), sl_bench_get_string (self->bench), &style);

  fit_rows (self, results->len);
  for (guint i = 0; i < results->len; i++)
    show_result (&g_array_index (self->rows, Row, i), g_ptr_array_index (results, i));
}

static void
add_header (SlResultsTable *self)
{
  GtkWidget *row = new_row_box (GTK_ACCESSIBLE_ROLE_ROW);
  GtkLabel *name = new_label (row, 0, 0, "sl-more", "sl-dim");

  gtk_widget_set_hexpand (GTK_WIDGET (name), TRUE);
  gtk_label_set_text (new_label (row, 1, FIGURE_CHARS, "sl-more", "sl-dim"), C_ ("column", "before"));
  gtk_label_set_text (new_label (row, 1, FIGURE_CHARS, "sl-more", "sl-dim"), C_ ("column", "after"));
  gtk_label_set_text (new_label (row, 1, TARGET_CHARS, "sl-more", "sl-dim"), C_ ("column", "target"));
  sl_set_accessible_label (row, _("Columns: before, after, target"));
  gtk_box_append (GTK_BOX (self->list), row);
}

static void
sl_results_table_dispose (GObject *object)
{
  SlResultsTable *self = SL_RESULTS_TABLE (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
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
  GtkWidget *heading = gtk_label_new (_("What it does"));

  self->rows = g_array_new (FALSE, TRUE, sizeof (Row));
  g_array_set_clear_func (self->rows, row_clear);
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 6);
  gtk_label_set_xalign (GTK_LABEL (heading), 0);
  gtk_widget_add_css_class (heading, "sl-heading");
  gtk_box_append (GTK_BOX (self), heading);
  self->list = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "accessible-role", GTK_ACCESSIBLE_ROLE_TABLE, NULL);
  gtk_widget_add_css_class (self->list, "sl-card");
  gtk_widget_add_css_class (self->list, "sl-results");
  sl_set_accessible_label (self->list, _("What the work does"));
  gtk_box_append (GTK_BOX (self), self->list);
  add_header (self);
}

GtkWidget *
sl_results_table_new (SlBench *bench)
{
  SlResultsTable *self = g_object_new (SL_TYPE_RESULTS_TABLE, NULL);

  self->bench = g_object_ref (bench);
  g_signal_connect_swapped (bench, "changed", G_CALLBACK (update), self);
  g_signal_connect_swapped (bench, "view-changed", G_CALLBACK (update), self);
  update (self);
  return GTK_WIDGET (self);
}
