/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings-form.h"

#include "desk/readings/readings-add.h"
#include "desk/readings/readings-group.h"
#include "desk/readings/readings-header.h"
#include "desk/readings/readings-known.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define GROUP_GAP 8
#define ENTRY_GAP 6
#define AGE_SECONDS 60 /* ages of carried values are updated every minute */

struct _SlReadingsForm
{
  GtkBox parent_instance;

  SlBench *bench; /* owned */
  GArray *extra;  /* of SlQuestion: asked beyond the usual, kept while the set is on the bench so that an emptied row
                     stays */
  char *set_id;
  GtkSizeGroup *tolerances; /* one column of ± down the whole form */
  gboolean syncing, again;
  guint ageing; /* source, while the form is seen */

  GtkWidget *header, *groups[SL_N_GROUPS], *end;
};

G_DEFINE_FINAL_TYPE (SlReadingsForm, sl_readings_form, GTK_TYPE_BOX)

/* Whether the instrument can be asked it: an edit may have taken strings or frets away. */
static gboolean
can_ask (const SlProfile *profile, const SlQuestion *question)
{
  return question->string <= profile->n_strings && question->fret <= profile->neck.frets;
}

/* A new reading set starts from the usual questions and what the visit was asked before; within one, every reading seen
 * beyond them keeps its row. */
static void
collect_extra (SlReadingsForm *self, GArray *usual)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);

  if (g_strcmp0 (self->set_id, set ? set->id : NULL) != 0)
    {
      if (self->set_id != NULL)
        g_array_set_size (self->extra, 0);
      g_free (self->set_id);
      self->set_id = g_strdup (set ? set->id : NULL);
    }
  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    {
      SlQuestion question = sl_question_of_reading (set, i);
      if (!sl_questions_hold (usual, &question) && !sl_questions_hold (self->extra, &question))
        g_array_append_val (self->extra, question);
    }
  for (guint i = self->extra->len; i-- > 0;)
    if (!can_ask (sl_bench_get_profile (self->bench), &g_array_index (self->extra, SlQuestion, i)))
      g_array_remove_index (self->extra, i);
}

static gboolean
one_stands_for (const GArray *questions, const SlQuestion *usual)
{
  for (guint i = 0; i < questions->len; i++)
    if (sl_question_stands_for (&g_array_index (questions, SlQuestion, i), usual))
      return TRUE;
  return FALSE;
}

/* A usual question gives way to one that stands for it, unless it was answered too. */
static gboolean
is_needed (SlReadingsForm *self, const SlQuestion *usual, const GArray *before)
{
  g_autoptr (GArray) answers = NULL;

  if (!isnan (sl_question_value (sl_bench_get_set (self->bench), usual)))
    return TRUE;
  answers = sl_answers_before (self->bench, usual);
  return answers->len > 0 || (!one_stands_for (self->extra, usual) && !one_stands_for (before, usual));
}

static GArray *
collect_questions (SlReadingsForm *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  g_autoptr (GArray) usual = sl_questions_usual (profile), before = sl_questions_before (self->bench, usual);
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));

  collect_extra (self, usual);
  g_array_append_vals (questions, self->extra->data, self->extra->len);
  for (guint i = 0; i < before->len; i++)
    {
      const SlQuestion *question = &g_array_index (before, SlQuestion, i);
      if (!sl_questions_hold (questions, question) && can_ask (profile, question))
        g_array_append_vals (questions, question, 1);
    }
  for (guint i = 0; i < usual->len; i++)
    {
      const SlQuestion *question = &g_array_index (usual, SlQuestion, i);
      if (is_needed (self, question, before) && !sl_questions_hold (questions, question))
        g_array_append_vals (questions, question, 1);
    }
  g_array_sort (questions, sl_question_compare);
  return questions;
}

/* Removing a row can accept its text, which changes the bench and calls this again: then it runs once more afterwards.
 */
static void
follow (SlReadingsForm *self)
{
  self->again = TRUE;
  if (self->syncing)
    return;
  self->syncing = TRUE;
  while (self->again)
    {
      g_autoptr (GArray) questions = collect_questions (self);
      self->again = FALSE;
      sl_readings_header_update (SL_READINGS_HEADER (self->header));
      for (int group = 0; group < SL_N_GROUPS; group++)
        sl_readings_group_sync (SL_READINGS_GROUP (self->groups[group]), questions, self->extra);
    }
  self->syncing = FALSE;
}

static gboolean
on_age (gpointer data)
{
  follow (data);
  return G_SOURCE_CONTINUE;
}

static void
sl_readings_form_map (GtkWidget *widget)
{
  SlReadingsForm *self = SL_READINGS_FORM (widget);
  GTK_WIDGET_CLASS (sl_readings_form_parent_class)->map (widget);
  self->ageing = g_timeout_add_seconds (AGE_SECONDS, on_age, self);
}

static void
sl_readings_form_unmap (GtkWidget *widget)
{
  g_clear_handle_id (&SL_READINGS_FORM (widget)->ageing, g_source_remove);
  GTK_WIDGET_CLASS (sl_readings_form_parent_class)->unmap (widget);
}

/* Past the last row the keyboard goes to the end mark, where further input of a gauge does no harm. */
static void
step_from (SlReadingsForm *self, SlLengthEntry *entry, int by)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();
  for (int group = 0; group < SL_N_GROUPS; group++)
    sl_readings_group_list (SL_READINGS_GROUP (self->groups[group]), rows);
  for (guint i = 0; i < rows->len; i++)
    if (sl_reading_row_get_entry (rows->pdata[i]) == entry)
      {
        int to = (int) i + by;
        if (to >= 0 && to < (int) rows->len)
          gtk_widget_grab_focus (GTK_WIDGET (sl_reading_row_get_entry (rows->pdata[to])));
        else if (to > 0)
          gtk_widget_grab_focus (self->end);
        return;
      }
}

static void
on_step_next (SlLengthEntry *entry, SlReadingsForm *self)
{
  step_from (self, entry, 1);
}

static void
on_step_previous (SlLengthEntry *entry, SlReadingsForm *self)
{
  step_from (self, entry, -1);
}

static void
on_removed (SlReadingRow *row, SlReadingsForm *self)
{
  for (guint i = 0; i < self->extra->len; i++)
    if (sl_question_equal (&g_array_index (self->extra, SlQuestion, i), sl_reading_row_get_question (row)))
      {
        step_from (self, sl_reading_row_get_entry (row), 1);
        g_array_remove_index (self->extra, i);
        follow (self);
        return;
      }
}

static void
on_row_added (SlReadingsGroup *group, SlReadingRow *row, SlReadingsForm *self)
{
  SlLengthEntry *entry = sl_reading_row_get_entry (row);
  gtk_size_group_add_widget (self->tolerances, sl_reading_row_get_tolerance (row));
  g_signal_connect_object (entry, "step-next", G_CALLBACK (on_step_next), self, 0);
  g_signal_connect_object (entry, "step-previous", G_CALLBACK (on_step_previous), self, 0);
  g_signal_connect_object (row, "removed", G_CALLBACK (on_removed), self, 0);
}

static SlReadingRow *
reveal (SlReadingsForm *self, const SlQuestion *question)
{
  return sl_readings_group_reveal (SL_READINGS_GROUP (self->groups[sl_question_group (question)]), question);
}

/* An empty row that asks it already gets the keyboard; a question already answered is asked once more, as a repeated
 * reading. */
static void
on_question (gpointer owner, const SlQuestion *asked)
{
  SlReadingsForm *self = owner;
  SlQuestion question = *asked;
  SlReadingRow *row;

  while (sl_question_find (sl_bench_get_set (self->bench), &question) >= 0)
    question.nth++;
  row = reveal (self, &question);
  if (row == NULL)
    {
      g_array_append_val (self->extra, question);
      follow (self);
      row = reveal (self, &question);
    }
  if (row)
    gtk_widget_grab_focus (GTK_WIDGET (sl_reading_row_get_entry (row)));
}

static void
sl_readings_form_dispose (GObject *object)
{
  SlReadingsForm *self = SL_READINGS_FORM (object);
  g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_handle_id (&self->ageing, g_source_remove);
  G_OBJECT_CLASS (sl_readings_form_parent_class)->dispose (object);
}

static void
sl_readings_form_finalize (GObject *object)
{
  SlReadingsForm *self = SL_READINGS_FORM (object);
  g_clear_pointer (&self->extra, g_array_unref);
  g_clear_object (&self->tolerances);
  g_free (self->set_id);
  G_OBJECT_CLASS (sl_readings_form_parent_class)->finalize (object);
}

/* The keyboard given to the form goes to the first reading. */
static gboolean
sl_readings_form_grab_focus (GtkWidget *widget)
{
  SlReadingsForm *self = SL_READINGS_FORM (widget);
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();
  for (int group = 0; group < SL_N_GROUPS; group++)
    sl_readings_group_list (SL_READINGS_GROUP (self->groups[group]), rows);
  return rows->len > 0 && gtk_widget_grab_focus (GTK_WIDGET (sl_reading_row_get_entry (rows->pdata[0])));
}

static void
sl_readings_form_class_init (SlReadingsFormClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_readings_form_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_readings_form_finalize;
  GTK_WIDGET_CLASS (class)->grab_focus = sl_readings_form_grab_focus;
  GTK_WIDGET_CLASS (class)->map = sl_readings_form_map;
  GTK_WIDGET_CLASS (class)->unmap = sl_readings_form_unmap;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "readings");
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_FORM);
}

static void
sl_readings_form_init (SlReadingsForm *self)
{
  self->extra = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  self->tolerances = gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL);
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", ENTRY_GAP, NULL);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Readings"));
}

/* "Add a reading…", and the mark at which Enter ends. */
static GtkWidget *
foot_new (SlReadingsForm *self)
{
  const char *end = _ ("end of the readings");

  /* Not a label: one that can't be selected takes no focus. */
  self->end = g_object_new (GTK_TYPE_INSCRIPTION, "text", end, "nat-chars", (guint) g_utf8_strlen (end, -1),
                            "text-overflow", GTK_INSCRIPTION_OVERFLOW_ELLIPSIZE_END, "xalign", 1.0, "focusable", TRUE,
                            "hexpand", TRUE, "halign", GTK_ALIGN_END, NULL);
  sl_set_accessible_label (self->end, end);
  gtk_widget_add_css_class (self->end, "end");
  return sl_box_add (gtk_box_new (GTK_ORIENTATION_HORIZONTAL, ENTRY_GAP),
                     sl_readings_add_new (self->bench, on_question, self), self->end, NULL);
}

GtkWidget *
sl_readings_form_new (SlBench *bench)
{
  SlReadingsForm *self = g_object_new (SL_TYPE_READINGS_FORM, NULL);
  GtkWidget *content = gtk_box_new (GTK_ORIENTATION_VERTICAL, GROUP_GAP);

  self->bench = sl_keep (self, bench);
  self->header = sl_readings_header_new (bench);
  for (int group = 0; group < SL_N_GROUPS; group++)
    {
      self->groups[group] = sl_readings_group_new (bench, (SlQuestionGroup) group);
      g_signal_connect_object (self->groups[group], "row-added", G_CALLBACK (on_row_added), self, 0);
      g_signal_connect_object (self->groups[group], "expanded", G_CALLBACK (follow), self, G_CONNECT_SWAPPED);
      gtk_box_append (GTK_BOX (content), self->groups[group]);
    }
  gtk_box_append (GTK_BOX (content), foot_new (self));
  gtk_widget_add_css_class (content, "content");
  sl_box_add (GTK_WIDGET (self), self->header, sl_scrolled_new (content, _ ("Readings")), NULL);
  follow (self);
  sl_bench_follow (bench, (SL_CHANGED_FIGURES & ~SL_CHANGED_PLAN) | SL_CHANGED_VISIT | SL_CHANGED_LENGTHS,
                   G_CALLBACK (follow), self);
  return GTK_WIDGET (self);
}
