/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-sheet.h"

#include "desk/photos/photos.h"
#include "desk/readings/readings.h"
#include "desk/kit/kit.h"
#include "bench/visit-edit.h"
#include "words/caution.h"
#include "setup/record/stages.h"
#include "words/dates.h"

#define DAY_CHARS 10    /* of a date as it is typed: 2026-03-02 */
#define MOST_WORD 250   /* characters that are kept on one line */
#define MOST_SHOWN 4000 /* characters of the note that are seen without scrolling in it */

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *sheet, *stages, *line, *again, *finish, *remarks, *compare_note, *left, *note_part, *note, *measured,
      *opened, *opened_note, *ahead, *ahead_text, *ahead_button, *close, *begin, *cautions, *cautions_text, *right;
  SlFigureTable *compare;
  GtkWidget *read_again;
  gboolean updating;
} VisitSheet;

/* ---- the time line ---- */

static void
on_stage (GtkToggleButton *button, VisitSheet *self)
{
  if (!self->updating && gtk_toggle_button_get_active (button))
    sl_bench_show_set (self->bench, g_object_get_data (G_OBJECT (button), "set"));
}

/* How much work was done between two moments. */
static int
count_done (const SlVisit *visit, const char *from, const char *to)
{
  int n = 0;

  SL_EACH (const SlOperation, operation, visit->plan)
    n += to != NULL ? sl_operation_between (operation, from, to)
                    : operation->done != NULL && !sl_operation_is_past (operation, from);
  return n;
}

static void
add_work_mark (VisitSheet *self, int n)
{
  g_autofree char *text =
      g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "— ✓ %d step —", "— ✓ %d steps —", (gulong) n), n);

  gtk_box_append (GTK_BOX (self->line), sl_label_new (n > 0 ? text : "—", "sl-dim sl-small"));
}

static void
build_line (VisitSheet *self, const SlVisit *visit)
{
  const SlReadingSet *shown = sl_bench_get_set (self->bench);
  GtkWidget *previous = NULL;

  sl_empty_box (self->line);
  for (guint i = 0; visit != NULL && i < visit->sets->len; i++)
    {
      const SlReadingSet *set = &g_array_index (visit->sets, SlReadingSet, i);
      const SlReadingSet *next = i + 1 < visit->sets->len ? set + 1 : NULL;
      g_autofree char *when = sl_date_and_time (set->taken),
                      *text = g_strdup_printf ("%s\n%s", sl_stage_title (set->stage), when);
      GtkWidget *button = gtk_toggle_button_new_with_label (text);

      gtk_label_set_justify (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button))), GTK_JUSTIFY_CENTER);
      gtk_widget_add_css_class (button, "sl-small");
      sl_name_as (button, _ ("Show the readings: %s, %s"), sl_stage_title (set->stage), when);
      g_object_set_data_full (G_OBJECT (button), "set", g_strdup (set->id), g_free);
      if (previous != NULL)
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (previous));
      previous = button;
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), set == shown);
      g_signal_connect (button, "toggled", G_CALLBACK (on_stage), self);
      gtk_box_append (GTK_BOX (self->line), button);
      int done = count_done (visit, set->taken, next != NULL ? next->taken : NULL);

      if (next != NULL || done > 0)
        add_work_mark (self, done);
    }
  if (previous == NULL)
    gtk_box_append (GTK_BOX (self->line), gtk_label_new (_ ("Nothing read yet in this visit")));
}

/* ---- predicted against read ---- */

static void
show_compare (VisitSheet *self, const SlAnalysis *analysis, const GArray *rows)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);

  gtk_widget_set_visible (GTK_WIDGET (self->compare), rows->len > 0);
  gtk_widget_set_visible (self->compare_note, rows->len == 0);
  sl_figure_table_set_rows (self->compare, rows->len);
  for (guint i = 0; i < rows->len; i++)
    {
      const SlForeseen *row = &g_array_index (rows, SlForeseen, i);
      SlQuestion question = sl_question_of_reading (analysis->set, row->reading);
      g_autofree char *change = sl_text_change (&style, row->read - row->predicted),
                      *u = sl_text_uncertainty (&style, row->u);

      sl_figure_table_fill (self->compare, i, sl_question_full_name (&question), sl_text_fine (&style, row->predicted),
                            sl_text_fine (&style, row->read), g_strdup_printf ("%s %s", change, u),
                            g_strdup (sl_predicted_text (row->word)), NULL);
      sl_figure_table_set_word (self->compare, i, 4, row->word);
    }
}

/* ---- keeping up ---- */

/* The note takes no more than the document: what is pasted beyond that stays on the clipboard. */
static void
on_insert (GtkTextBuffer *buffer, GtkTextIter *at, char *text, int length, VisitSheet *self)
{
  const glong n = gtk_text_buffer_get_char_count (buffer) + g_utf8_strlen (text, length);
  const guint most = sl_amount_most ("visit", "note");
  g_autofree char *why = NULL;

  if (n <= (glong) most)
    return;
  why = g_strdup_printf (_ ("The note would be %ld characters long; it can have %u."), n, most);
  g_signal_stop_emission_by_name (buffer, "insert-text");
  g_signal_emit_by_name (self->bench, "refused", why);
}

/* A note is shown as tall as it is up to a length, beyond it has a bar: Pango takes the square of how many paragraphs a
 * label has. One with too many characters in a row between which no line may end is broken at any: Pango goes through
 * them all again for each line of theirs. */
static void
on_words (GtkTextBuffer *words, VisitSheet *self)
{
  g_autofree char *text = NULL, *shown = NULL;
  g_object_get (words, "text", &text, NULL);
  const int n = gtk_text_buffer_get_char_count (words);
  g_autofree PangoLogAttr *breaks = g_new0 (PangoLogAttr, n + 1);
  int row = 0, longest = 0;

  pango_get_log_attrs (text, -1, -1, pango_language_get_default (), breaks, n + 1);
  for (int i = 0; i <= n; i++)
    {
      row = breaks[i].is_line_break ? 0 : row + 1;
      longest = MAX (longest, row);
    }
  shown = g_utf8_substring (text, 0, MIN (n, MOST_SHOWN));
  g_object_set (self->note, "wrap-mode", longest > MOST_WORD ? GTK_WRAP_CHAR : GTK_WRAP_WORD_CHAR, NULL);
  g_object_set (self->measured, "label", shown, "wrap-mode",
                longest > MOST_WORD ? PANGO_WRAP_CHAR : PANGO_WRAP_WORD_CHAR, NULL);
  g_object_set (gtk_widget_get_parent (self->note), "vscrollbar-policy",
                n > MOST_SHOWN ? GTK_POLICY_ALWAYS : GTK_POLICY_EXTERNAL, NULL);
}

/* The day the visit was opened; one that is still to come is told, with the one that would be right. */
static void
show_opened (VisitSheet *self, const SlVisit *visit)
{
  g_autofree char *right = sl_visit_right_day (self->bench),
                  *day = g_strndup (visit != NULL ? visit->opened : "", DAY_CHARS);

  sl_typed_show (self->opened, day);
  gtk_widget_set_sensitive (self->opened, visit != NULL);
  gtk_widget_set_visible (self->ahead, right != NULL);
  if (right != NULL)
    {
      g_autofree char *then = sl_date_text (visit->opened), *better = sl_date_text (right);
      /* Translators: %s is a date */
      g_autofree char *label = g_strdup_printf (_ ("Change to %s"), better);

      sl_label_say (self->ahead_text, _ ("By its date, this visit was opened on %s, which is still to come."), then);
      gtk_button_set_label (GTK_BUTTON (self->ahead_button), label);
    }
}

/* The line, the remarks and the table are made anew: nothing planned shows in them. */
static void
update_readings (VisitSheet *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  g_autoptr (GArray) rows = sl_predictions (analysis);
  g_autoptr (GPtrArray) remarks = sl_set_remarks (analysis, visit, sl_bench_get_set (self->bench));

  self->updating = TRUE;
  build_line (self, visit);
  sl_empty_box (self->remarks);
  for (guint i = 0; i < remarks->len; i++)
    gtk_box_append (GTK_BOX (self->remarks), sl_text_new (remarks->pdata[i], "sl-notice sl-warn"));
  gtk_widget_set_visible (self->remarks, remarks->len > 0);
  show_compare (self, analysis, rows);
  self->updating = FALSE;
}

static void
update (VisitSheet *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  const gboolean closed = visit != NULL && visit->closed != NULL;

  gtk_widget_set_sensitive (self->again, !closed);
  gtk_widget_set_sensitive (self->finish, !closed && visit != NULL);
  gtk_widget_set_sensitive (self->close, visit != NULL);
  gtk_button_set_label (GTK_BUTTON (self->close), closed ? _ ("Open again") : _ ("Close visit"));
  sl_again_line_update (self->read_again);
  /* what the steps still to be done want minded, each once */
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;
  const guint cautions = visit == NULL || instrument->n_strings < 1
                             ? 0
                             : sl_visit_cautions (instrument, visit, sl_bench_get_proposal (self->bench)->findings);
  g_autofree char *text = sl_cautions_text (cautions, "\n");

  gtk_widget_set_visible (self->cautions, cautions != 0);
  sl_label_set (self->cautions_text, text);
  sl_typed_show (self->note, visit == NULL ? NULL : visit->note);
  show_opened (self, visit);
}

/* ---- building ---- */

static void
on_read_again (VisitSheet *self, GtkWidget *button)
{
  sl_bench_read_again (self->bench, button == self->finish);
}

static void
on_close (VisitSheet *self)
{
  sl_visit_set_closed (self->bench, sl_bench_get_visit (self->bench)->closed == NULL);
}

static gboolean
take_opened (gpointer sheet, const char *day, GtkWidget *entry)
{
  VisitSheet *self = sheet;
  g_autofree char *wrong = sl_bench_get_visit (self->bench) != NULL ? sl_visit_set_opened (self->bench, day) : NULL;

  sl_set_remark (self->opened_note, wrong);
  if (wrong == NULL) /* what is refused stays, to be mended */
    show_opened (self, sl_bench_get_visit (self->bench));
  return wrong == NULL;
}

static void
on_set_right (VisitSheet *self)
{
  g_autofree char *right = sl_visit_right_day (self->bench);

  gtk_editable_set_text (GTK_EDITABLE (self->opened), right);
  sl_typed_take_one (self->opened);
}

static gboolean
take_note (gpointer bench, const char *text, GtkWidget *entry)
{
  sl_visit_set_note (bench, text);
  return TRUE;
}

GtkWidget *
sl_visit_sheet_new (SlBench *bench)
{
  VisitSheet *self =
      sl_part_new (bench, SL_PART (VisitSheet, sheet, compare), g_free, "visit-sheet",
                   "sheet stages line again finish remarks compare_note left note_part note measured opened "
                   "opened_note ahead ahead_text ahead_button close begin cautions cautions_text right compare",
                   SL_CALL (on_read_again), SL_CALL (on_close), SL_CALL (on_set_right), NULL);

  sl_name_scrolled (self->stages, _ ("Stages of the visit"));
  sl_flow (gtk_widget_get_parent (self->again), SL_SPACE);
  sl_flow (gtk_widget_get_parent (self->close), SL_SPACE);
  sl_flow (gtk_widget_get_parent (self->left), SL_SPACE_PART);
  sl_set_accessible_label (self->opened, _ ("Day the visit was opened: year, month, day"));
  sl_set_accessible_label (self->note, _ ("What the player asked for"));
  sl_name_scrolled (gtk_widget_get_parent (self->note), _ ("What the player asked for"));
  self->read_again = sl_again_line_new (bench, SL_N_OPS);
  gtk_box_insert_child_after (GTK_BOX (self->sheet), self->read_again, self->remarks);
  gtk_box_insert_child_after (GTK_BOX (self->left), sl_visit_charges_new (bench), self->note_part);
  sl_box_add (self->right, sl_visit_checks_new (bench), sl_visit_plan_new (bench), NULL);
  gtk_box_append (GTK_BOX (self->sheet), sl_photo_tiles_new (bench));
  sl_typed_bind (self->opened, take_opened, self);
  sl_typed_bind (self->note, take_note, bench);
  g_object_connect (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->note)), "signal::insert-text", on_insert, self,
                    "signal::changed", on_words, self, NULL);
  g_signal_connect_object (self->begin, "clicked", G_CALLBACK (sl_visit_begin), bench, G_CONNECT_SWAPPED);
  sl_follow_while_seen (self->line, bench, (SL_CHANGED_FIGURES & ~SL_CHANGED_PLAN) | SL_CHANGED_LENGTHS,
                        G_CALLBACK (update_readings), self);
  sl_follow_while_seen (self->sheet, bench, SL_CHANGED_FIGURES | SL_CHANGED_VISIT | SL_CHANGED_LENGTHS,
                        G_CALLBACK (update), self);
  return self->sheet;
}
