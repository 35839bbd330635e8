/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "desk/readings/parts.h"

#define AGE_SECONDS 60 /* ages of carried values are updated every minute */

/* A range of assumed values is shown coarser than a reading: its ± is wide. */
#define RANGE_PLACES 1
#define GAP_RANGE_PLACES 2

/* A heading with the tools' button, a card of rows, and behind an expander the rows that are asked for less often, made
 * only when they are first looked at. */
typedef struct
{
  GtkWidget *box, *title, *expander, *more_range;
  GtkWidget *main, *more; /* boxes of rows, in order: the card's and the expander's */
  GArray *more_questions; /* of SlQuestion */
} Group;

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

  GtkWidget *header, *end;
  Group groups[SL_N_GROUPS]; /* by SlQuestionGroup */
};

G_DEFINE_FINAL_TYPE (SlReadingsForm, sl_readings_form, GTK_TYPE_BOX)

/* ---- what is asked ---- */

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
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  g_autoptr (GArray) usual = sl_questions_usual (profile), before = sl_questions_before (self->bench, usual);
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));

  collect_extra (self, usual);
  g_array_append_vals (questions, self->extra->data, self->extra->len);
  for (guint i = questions->len; i-- > 0;)
    if (!sl_question_is_asked (set, &g_array_index (questions, SlQuestion, i)))
      g_array_remove_index (questions, i);
  SL_EACH (const SlQuestion, question, before)
    if (sl_question_is_asked (set, question) && !sl_questions_hold (questions, question) && can_ask (profile, question))
      g_array_append_vals (questions, question, 1);
  SL_EACH (const SlQuestion, question, usual)
    if (sl_question_is_asked (set, question) && is_needed (self, question, before) &&
        !sl_questions_hold (questions, question))
      g_array_append_vals (questions, question, 1);
  g_array_sort (questions, sl_question_compare);
  return questions;
}

/* ---- from row to row ---- */

static void follow (SlReadingsForm *self);

static gboolean
is_open (const Group *group)
{
  return gtk_expander_get_expanded (GTK_EXPANDER (group->expander));
}

/* The rows that can be seen, in order, borrowed. */
static GPtrArray *
seen_rows (SlReadingsForm *self)
{
  GPtrArray *rows = g_ptr_array_new ();

  for (int i = 0; i < SL_N_GROUPS; i++)
    {
      const Group *group = &self->groups[i];

      for (GtkWidget *row = gtk_widget_get_first_child (group->main); row; row = gtk_widget_get_next_sibling (row))
        g_ptr_array_add (rows, row);
      for (GtkWidget *row = is_open (group) ? gtk_widget_get_first_child (group->more) : NULL; row;
           row = gtk_widget_get_next_sibling (row))
        g_ptr_array_add (rows, row);
    }
  return rows;
}

/* Past the last row the keyboard goes to the end mark, where further input of a gauge does no harm. */
static void
on_step (SlLengthEntry *entry, int by, SlReadingsForm *self)
{
  g_autoptr (GPtrArray) rows = seen_rows (self);

  for (guint i = 0; i < rows->len; i++)
    if (SL_LENGTH_ENTRY (SL_READING_ROW (rows->pdata[i])->entry) == entry)
      {
        int to = (int) i + by;
        if (to >= 0 && to < (int) rows->len)
          gtk_widget_grab_focus (SL_READING_ROW (rows->pdata[to])->entry);
        else if (to > 0)
          gtk_widget_grab_focus (self->end);
        return;
      }
}

static void
on_removed (SlReadingRow *row, SlReadingsForm *self)
{
  for (guint i = 0; i < self->extra->len; i++)
    if (sl_question_equal (&g_array_index (self->extra, SlQuestion, i), &row->question))
      {
        on_step (SL_LENGTH_ENTRY (row->entry), 1, self);
        g_array_remove_index (self->extra, i);
        follow (self);
        return;
      }
}

/* ---- the groups ---- */

static SlReadingRow *
find_row (GtkWidget *box, const SlQuestion *question)
{
  for (GtkWidget *row = gtk_widget_get_first_child (box); row != NULL; row = gtk_widget_get_next_sibling (row))
    if (sl_question_equal (&SL_READING_ROW (row)->question, question))
      return SL_READING_ROW (row);
  return NULL;
}

/* Makes the box's rows those of @questions. A row that stays is never taken out, so that it keeps the keyboard and what
 * is being typed. */
static void
fill_box (SlReadingsForm *self, GtkWidget *box, GArray *questions)
{
  GtkWidget *previous = NULL, *left;

  SL_EACH (const SlQuestion, question, questions)
    {
      SlReadingRow *row = find_row (box, question);

      if (row != NULL)
        gtk_box_reorder_child_after (GTK_BOX (box), GTK_WIDGET (row), previous);
      else
        {
          row = SL_READING_ROW (sl_reading_row_new (self->bench, question));
          gtk_size_group_add_widget (self->tolerances, row->tolerance);
          g_signal_connect_object (row->entry, "step", G_CALLBACK (on_step), self, 0);
          g_signal_connect_object (row, "removed", G_CALLBACK (on_removed), self, 0);
          gtk_box_insert_child_after (GTK_BOX (box), GTK_WIDGET (row), previous);
        }
      previous = GTK_WIDGET (row);
    }
  while ((left = previous != NULL ? gtk_widget_get_next_sibling (previous) : gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), left);
  for (GtkWidget *row = gtk_widget_get_first_child (box); row != NULL; row = gtk_widget_get_next_sibling (row))
    sl_reading_row_update (SL_READING_ROW (row), sl_questions_hold (self->extra, &SL_READING_ROW (row)->question));
}

/* Inner strings not read, and crowns, are asked behind the expander. A row stays where it is while the expander is
 * open, so that it does not jump away while one types. */
static gboolean
belongs_to_more (SlReadingsForm *self, const Group *group, const SlQuestion *question)
{
  int n = sl_bench_get_profile (self->bench)->n_strings;
  if (question->ask == SL_READ_CROWN_GAP || question->ask == SL_READ_CROWN_HEIGHT ||
      question->ask == SL_READ_CROWN_WEAR)
    return TRUE;
  if (question->string <= 1 || question->string >= n || sl_questions_hold (self->extra, question))
    return FALSE;
  if (is_open (group) && find_row (group->more, question))
    return TRUE;
  return isnan (sl_question_value (sl_bench_get_set (self->bench), question));
}

/* What the first gap or action of a string not read is taken to be, from the state as measured; and whether that is
 * only assumed, rather than known from other readings or from earlier ones of the visit. */
static double
assumed_value (SlReadingsForm *self, const SlQuestion *question, gboolean *assumed)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  int i = question->string - 1;

  *assumed = TRUE;
  if (i < 0 || i >= analysis->instrument.n_strings)
    return NAN;
  switch (question->ask)
    {
    case SL_READ_FIRST_GAP:
      *assumed = analysis->fit.first_gap_assumed[i];
      return analysis->measured_figures.first_gap[i].value;
    case SL_READ_ACTION:
      *assumed = analysis->fit.action_assumed[i];
      return analysis->measured_figures.action[i][question->fret].value;
    case SL_READ_EXPOSURE: return analysis->measured.exposure_read ? analysis->measured.exposure[i] : NAN;
    default: return NAN;
    }
}

/* "2.6–3.1 assumed" for what is behind the expander, or how many of it were read. */
static char *
range_text (SlReadingsForm *self, SlQuestionGroup which)
{
  const GArray *questions = self->groups[which].more_questions;
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  double least = INFINITY, most = -INFINITY;
  gboolean assumed = FALSE;
  int read = 0, places = which == SL_GROUP_NUT ? GAP_RANGE_PLACES : RANGE_PLACES;

  SL_EACH (const SlQuestion, question, questions)
    {
      gboolean only_assumed;
      double value = assumed_value (self, question, &only_assumed);

      if (!isnan (sl_question_value (set, question)))
        read++;
      else if (!isnan (value) && (which != SL_GROUP_SADDLE || question->ask == SL_READ_EXPOSURE))
        {
          least = MIN (least, value);
          most = MAX (most, value);
          assumed |= only_assumed;
        }
    }
  if (read > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d read", "%d read", (gulong) read), read);
  if (!isfinite (least))
    return g_strdup (_ ("not read"));
  /* heights at fret 1 are too fine for 64ths */
  const SlLengths chosen = sl_bench_get_lengths (self->bench),
                  lengths = which == SL_GROUP_NUT && chosen == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : chosen;
  g_autofree char *low = sl_length_format (least, lengths, places, sl_decimal_sign (), FALSE),
                  *high = sl_length_format (most, lengths, places, sl_decimal_sign (), FALSE);

  if (g_str_equal (low, high))
    return g_strdup_printf (assumed ? _ ("%s assumed") : _ ("%s expected"), low);
  /* Translators: a range, such as "2.6–3.1 assumed" */
  return g_strdup_printf (assumed ? _ ("%s–%s assumed") : _ ("%s–%s expected"), low, high);
}

static const char *
title_of_more (SlQuestionGroup which)
{
  return which == SL_GROUP_NECK ? _ ("Crowns") : _ ("Other strings");
}

static void
sync_group (SlReadingsForm *self, SlQuestionGroup which, const GArray *questions)
{
  Group *group = &self->groups[which];
  g_autoptr (GArray) main = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  g_autofree char *range = NULL, *whole = NULL;
  const char *title;

  g_array_set_size (group->more_questions, 0);
  for (guint i = 0; i < questions->len; i++)
    {
      SlQuestion question = g_array_index (questions, SlQuestion, i);

      if (sl_question_group (&question) == which)
        g_array_append_val (belongs_to_more (self, group, &question) ? group->more_questions : main, question);
    }
  fill_box (self, group->main, main);
  range = range_text (self, which);
  gtk_widget_set_visible (group->expander, group->more_questions->len > 0);
  sl_label_set (group->more_range, range);
  title = sl_question_group_title (which, sl_bench_get_profile (self->bench));
  sl_label_set (group->title, title);
  sl_set_accessible_label (group->box, title);
  whole = g_strdup_printf ("%s, %s: %s", title, title_of_more (which), range);
  sl_set_accessible_label (group->expander, whole);
  if (is_open (group) || gtk_widget_get_first_child (group->more) != NULL)
    fill_box (self, group->more, group->more_questions);
  gtk_widget_set_visible (group->box, main->len + group->more_questions->len > 0);
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
      sl_readings_header_update (self->header);
      for (int group = 0; group < SL_N_GROUPS; group++)
        sync_group (self, (SlQuestionGroup) group, questions);
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

/* The row of @question, opening the expander for it where needed; NULL where there is none. */
static SlReadingRow *
reveal (SlReadingsForm *self, const SlQuestion *question)
{
  const Group *group = &self->groups[sl_question_group (question)];
  SlReadingRow *row = find_row (group->main, question);

  if (row == NULL && sl_questions_hold (group->more_questions, question))
    {
      gtk_expander_set_expanded (GTK_EXPANDER (group->expander), TRUE); /* which fills it */
      row = find_row (group->more, question);
    }
  return row;
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
    gtk_widget_grab_focus (row->entry);
}

static void
sl_readings_form_dispose (GObject *object)
{
  SlReadingsForm *self = SL_READINGS_FORM (object);
  g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_handle_id (&self->ageing, g_source_remove);
  G_OBJECT_CLASS (sl_readings_form_parent_class)->dispose (object);
  for (int group = 0; group < SL_N_GROUPS; group++)
    g_clear_pointer (&self->groups[group].more_questions, g_array_unref);
  g_clear_pointer (&self->extra, g_array_unref);
  g_clear_object (&self->tolerances);
  g_clear_pointer (&self->set_id, g_free);
}

/* The keyboard given to the form goes to the first reading. */
static gboolean
sl_readings_form_grab_focus (GtkWidget *widget)
{
  g_autoptr (GPtrArray) rows = seen_rows (SL_READINGS_FORM (widget));

  return rows->len > 0 && gtk_widget_grab_focus (SL_READING_ROW (rows->pdata[0])->entry);
}

static void
sl_readings_form_class_init (SlReadingsFormClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_readings_form_dispose;
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
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", SL_SPACE, NULL);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Readings"));
}

static GtkWidget *
group_new (SlReadingsForm *self, SlQuestionGroup which)
{
  Group *group = &self->groups[which];
  GtkWidget *tools, *card, *line, *more_title;

  group->box = sl_built_new ("readings.ui", "group", "title", &group->title, "tools_button", &tools, "card", &card,
                             "main", &group->main, "expander", &group->expander, "line", &line, "more_title",
                             &more_title, "more_range", &group->more_range, "more", &group->more, NULL);
  group->more_questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  sl_flow (line, SL_SPACE);
  sl_label_set (more_title, title_of_more (which));
  gtk_widget_set_layout_manager (group->expander, gtk_bin_layout_new ()); /* its own asks for no width */
  g_signal_connect_object (group->expander, "notify::expanded", G_CALLBACK (follow), self, G_CONNECT_SWAPPED);
  sl_box_add (card, which == SL_GROUP_AIR ? sl_readings_air_new (self->bench) : NULL, NULL);
  sl_readings_tools_init (tools, self->bench, which);
  return group->box;
}

GtkWidget *
sl_readings_form_new (SlBench *bench)
{
  SlReadingsForm *self = g_object_new (SL_TYPE_READINGS_FORM, NULL);
  GtkWidget *content = gtk_box_new (GTK_ORIENTATION_VERTICAL, SL_SPACE);
  GtkWidget *adder, *foot = sl_built_new ("readings.ui", "foot", "adder", &adder, "end", &self->end, NULL);

  self->bench = sl_keep (self, bench);
  self->header = sl_readings_header_new (bench);
  for (int group = 0; group < SL_N_GROUPS; group++)
    gtk_box_append (GTK_BOX (content), group_new (self, (SlQuestionGroup) group));
  /* "Add a reading…", and the mark at which Enter ends: not a label, for one that can't be selected takes no focus */
  gtk_inscription_set_nat_chars (GTK_INSCRIPTION (self->end),
                                 (guint) g_utf8_strlen (gtk_inscription_get_text (GTK_INSCRIPTION (self->end)), -1));
  sl_readings_add_init (adder, bench, on_question, self);
  sl_flow (foot, SL_SPACE);
  gtk_box_append (GTK_BOX (content), foot);
  gtk_widget_add_css_class (content, "content");
  sl_box_add (GTK_WIDGET (self), self->header, sl_scrolled_new (content, _ ("Readings")), NULL);
  follow (self);
  sl_bench_follow (bench, (SL_CHANGED_FIGURES & ~SL_CHANGED_PLAN) | SL_CHANGED_VISIT | SL_CHANGED_LENGTHS,
                   G_CALLBACK (follow), self);
  return GTK_WIDGET (self);
}
