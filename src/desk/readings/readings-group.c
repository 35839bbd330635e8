/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings-group.h"

#include "desk/readings/readings-tools.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* A range of assumed values is shown coarser than a reading: its ± is wide. */
#define RANGE_PLACES 1
#define GAP_RANGE_PLACES 2

/* Rows of one card, in order. */
typedef struct
{
  GtkWidget *box;
  GPtrArray *rows; /* of SlReadingRow, borrowed from the box */
} Card;

struct _SlReadingsGroup
{
  GtkBox parent_instance;

  SlBench *bench; /* kept */
  SlQuestionGroup group;
  GArray *more_questions, *extra; /* of SlQuestion */

  GtkWidget *heading, *frame, *expander, *more_title, *more_range;
  Card main, more;
};

G_DEFINE_FINAL_TYPE (SlReadingsGroup, sl_readings_group, GTK_TYPE_BOX)

enum
{
  EXPANDED,
  ROW_ADDED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

static SlReadingRow *
find_row (Card *card, const SlQuestion *question)
{
  for (guint i = 0; i < card->rows->len; i++)
    if (sl_question_equal (sl_reading_row_get_question (card->rows->pdata[i]), question))
      return card->rows->pdata[i];
  return NULL;
}

static SlReadingRow *
add_row (SlReadingsGroup *self, const SlQuestion *question)
{
  SlReadingRow *row = SL_READING_ROW (sl_reading_row_new (self->bench, question));
  g_signal_emit (self, signals[ROW_ADDED], 0, row);
  return row;
}

/* Makes the card's rows those of @questions. A row that stays is never taken out of the box, so that it keeps the
 * keyboard and what is being typed. */
static void
fill_card (SlReadingsGroup *self, Card *card, GArray *questions)
{
  g_autoptr (GPtrArray) old = g_steal_pointer (&card->rows);
  GtkWidget *previous = NULL;

  card->rows = g_ptr_array_new ();
  for (guint i = 0; i < questions->len; i++)
    {
      const SlQuestion *question = &g_array_index (questions, SlQuestion, i);
      Card earlier = { card->box, old };
      SlReadingRow *row = find_row (&earlier, question);
      if (row)
        {
          g_ptr_array_remove (old, row);
          gtk_box_reorder_child_after (GTK_BOX (card->box), GTK_WIDGET (row), previous);
        }
      else
        {
          row = add_row (self, question);
          gtk_box_insert_child_after (GTK_BOX (card->box), GTK_WIDGET (row), previous);
        }
      g_ptr_array_add (card->rows, row);
      previous = GTK_WIDGET (row);
    }
  for (guint i = 0; i < old->len; i++)
    gtk_box_remove (GTK_BOX (card->box), old->pdata[i]);
}

static gboolean
same_rows (Card *card, GArray *questions)
{
  if (card->rows->len != questions->len)
    return FALSE;
  for (guint i = 0; i < questions->len; i++)
    if (!sl_question_equal (sl_reading_row_get_question (card->rows->pdata[i]),
                            &g_array_index (questions, SlQuestion, i)))
      return FALSE;
  return TRUE;
}

static void
update_card (SlReadingsGroup *self, Card *card, GArray *questions)
{
  if (!same_rows (card, questions))
    fill_card (self, card, questions);
  for (guint i = 0; i < card->rows->len; i++)
    {
      sl_reading_row_set_extra (card->rows->pdata[i],
                                sl_questions_hold (self->extra, sl_reading_row_get_question (card->rows->pdata[i])));
      sl_reading_row_update (card->rows->pdata[i]);
    }
}

static gboolean
is_open (SlReadingsGroup *self)
{
  return gtk_expander_get_expanded (GTK_EXPANDER (self->expander));
}

/* Inner strings not read, and crowns, are asked behind the expander. A row stays where it is while the expander is
 * open, so that it does not jump away while one types. */
static gboolean
belongs_to_more (SlReadingsGroup *self, const SlQuestion *question)
{
  int n = sl_bench_get_profile (self->bench)->n_strings;
  if (question->ask == SL_READ_CROWN_GAP || question->ask == SL_READ_CROWN_HEIGHT)
    return TRUE;
  if (question->string <= 1 || question->string >= n || sl_questions_hold (self->extra, question))
    return FALSE;
  if (is_open (self) && find_row (&self->more, question))
    return TRUE;
  return isnan (sl_question_value (sl_bench_get_set (self->bench), question));
}

/* What the first gap or action of a string not read is taken to be, from the state as measured. */
static double
assumed_value (SlReadingsGroup *self, const SlQuestion *question)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  int i = question->string - 1;

  if (i < 0 || i >= analysis->instrument.n_strings)
    return NAN;
  switch (question->ask)
    {
    case SL_READ_FIRST_GAP: return analysis->measured_figures.first_gap[i].value;
    case SL_READ_ACTION: return analysis->measured_figures.action[i][question->fret].value;
    case SL_READ_EXPOSURE: return analysis->measured.exposure_read ? analysis->measured.exposure[i] : NAN;
    default: return NAN;
    }
}

/* Whether that value is only assumed, rather than known from other readings or from earlier ones of the visit. */
static gboolean
is_assumed (SlReadingsGroup *self, const SlQuestion *question)
{
  const SlFit *fit = &sl_bench_get_analysis (self->bench)->fit;
  switch (question->ask)
    {
    case SL_READ_FIRST_GAP: return fit->first_gap_assumed[question->string - 1];
    case SL_READ_ACTION: return fit->action_assumed[question->string - 1];
    default: return TRUE;
    }
}

/* "2.6–3.1 assumed" for what is behind the expander, or how many of it were read. */
static char *
range_text (SlReadingsGroup *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  double least = INFINITY, most = -INFINITY;
  gboolean assumed = FALSE;
  int read = 0, places = self->group == SL_GROUP_NUT ? GAP_RANGE_PLACES : RANGE_PLACES;

  for (guint i = 0; i < self->more_questions->len; i++)
    {
      const SlQuestion *question = &g_array_index (self->more_questions, SlQuestion, i);
      double value = assumed_value (self, question);
      if (!isnan (sl_question_value (set, question)))
        read++;
      else if (!isnan (value) && (self->group != SL_GROUP_SADDLE || question->ask == SL_READ_EXPOSURE))
        {
          least = MIN (least, value);
          most = MAX (most, value);
          assumed |= is_assumed (self, question);
        }
    }
  if (read > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d read", "%d read", (gulong) read), read);
  if (!isfinite (least))
    return g_strdup (_ ("not read"));
  {
    g_autofree char *low = sl_bench_length (self->bench, least, places, FALSE),
                    *high = sl_bench_length (self->bench, most, places, FALSE);
    if (g_str_equal (low, high))
      return g_strdup_printf (assumed ? _ ("%s assumed") : _ ("%s expected"), low);
    /* Translators: a range, such as "2.6–3.1 assumed" */
    return g_strdup_printf (assumed ? _ ("%s–%s assumed") : _ ("%s–%s expected"), low, high);
  }
}

static char *
more_text (SlReadingsGroup *self)
{
  if (self->group == SL_GROUP_NECK)
    return g_strdup (_ ("Crowns"));
  return g_strdup (_ ("Other strings"));
}

static void
update_more (SlReadingsGroup *self)
{
  g_autofree char *title = more_text (self), *range = range_text (self), *whole = NULL;

  gtk_widget_set_visible (self->expander, self->more_questions->len > 0);
  gtk_label_set_text (GTK_LABEL (self->more_title), title);
  gtk_label_set_text (GTK_LABEL (self->more_range), range);
  whole = g_strdup_printf ("%s, %s: %s", sl_question_group_title (self->group), title, range);
  sl_set_accessible_label (self->expander, whole);
  if (is_open (self) || self->more.rows->len > 0)
    update_card (self, &self->more, self->more_questions);
}

void
sl_readings_group_sync (SlReadingsGroup *self, GArray *questions, GArray *extra)
{
  g_autoptr (GArray) main = g_array_new (FALSE, FALSE, sizeof (SlQuestion));

  g_clear_pointer (&self->extra, g_array_unref);
  self->extra = g_array_ref (extra);
  g_array_set_size (self->more_questions, 0);
  for (guint i = 0; i < questions->len; i++)
    {
      SlQuestion question = g_array_index (questions, SlQuestion, i);
      if (sl_question_group (&question) != self->group)
        continue;
      if (belongs_to_more (self, &question))
        g_array_append_val (self->more_questions, question);
      else
        g_array_append_val (main, question);
    }
  update_card (self, &self->main, main);
  update_more (self);
  gtk_widget_set_visible (GTK_WIDGET (self), main->len + self->more_questions->len > 0);
}

void
sl_readings_group_list (SlReadingsGroup *self, GPtrArray *rows)
{
  for (guint i = 0; i < self->main.rows->len; i++)
    g_ptr_array_add (rows, self->main.rows->pdata[i]);
  for (guint i = 0; is_open (self) && i < self->more.rows->len; i++)
    g_ptr_array_add (rows, self->more.rows->pdata[i]);
}

SlReadingRow *
sl_readings_group_reveal (SlReadingsGroup *self, const SlQuestion *question)
{
  SlReadingRow *row = find_row (&self->main, question);
  if (row == NULL && sl_questions_hold (self->more_questions, question))
    {
      gtk_expander_set_expanded (GTK_EXPANDER (self->expander), TRUE);
      row = find_row (&self->more, question);
    }
  return row;
}

static void
on_expanded (SlReadingsGroup *self)
{
  update_more (self);
  g_signal_emit (self, signals[EXPANDED], 0);
}

static void
sl_readings_group_finalize (GObject *object)
{
  SlReadingsGroup *self = SL_READINGS_GROUP (object);
  g_clear_pointer (&self->main.rows, g_ptr_array_unref);
  g_clear_pointer (&self->more.rows, g_ptr_array_unref);
  g_clear_pointer (&self->more_questions, g_array_unref);
  g_clear_pointer (&self->extra, g_array_unref);
  G_OBJECT_CLASS (sl_readings_group_parent_class)->finalize (object);
}

static void
sl_readings_group_class_init (SlReadingsGroupClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_readings_group_finalize;
  signals[EXPANDED] =
      g_signal_new ("expanded", SL_TYPE_READINGS_GROUP, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[ROW_ADDED] = g_signal_new ("row-added", SL_TYPE_READINGS_GROUP, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                     G_TYPE_NONE, 1, SL_TYPE_READING_ROW);
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
build_expander (SlReadingsGroup *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);

  self->more_title = sl_label_new (NULL);
  gtk_label_set_ellipsize (GTK_LABEL (self->more_title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->more_title, TRUE);
  self->more_range = gtk_label_new (NULL);
  sl_add_classes (self->more_range, "sl-dim", "sl-small");
  gtk_box_append (GTK_BOX (line), self->more_title);
  gtk_box_append (GTK_BOX (line), self->more_range);
  gtk_widget_set_hexpand (line, TRUE);

  self->more.box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->more.rows = g_ptr_array_new ();
  gtk_widget_add_css_class (self->more.box, "more");
  self->expander = gtk_expander_new (NULL);
  gtk_expander_set_label_widget (GTK_EXPANDER (self->expander), line);
  gtk_expander_set_child (GTK_EXPANDER (self->expander), self->more.box);
  gtk_widget_add_css_class (self->expander, "more");
  g_signal_connect_swapped (self->expander, "notify::expanded", G_CALLBACK (on_expanded), self);
}

static void
sl_readings_group_init (SlReadingsGroup *self)
{
  self->more_questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", 2, NULL);
  self->heading = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
  self->frame = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (self->frame, "sl-card");
  self->main.box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->main.rows = g_ptr_array_new ();
  build_expander (self);
  gtk_box_append (GTK_BOX (self->frame), self->main.box);
  gtk_box_append (GTK_BOX (self->frame), self->expander);
  gtk_box_append (GTK_BOX (self), self->heading);
  gtk_box_append (GTK_BOX (self), self->frame);
}

GtkWidget *
sl_readings_group_new (SlBench *bench, SlQuestionGroup group)
{
  SlReadingsGroup *self = g_object_new (SL_TYPE_READINGS_GROUP, NULL);
  GtkWidget *title = sl_label_new (sl_question_group_title (group));
  GtkWidget *tools = sl_readings_tools_new (bench, group);

  self->bench = sl_keep (self, bench);
  self->group = group;
  gtk_widget_set_hexpand (title, TRUE);
  gtk_widget_add_css_class (title, "sl-section");
  gtk_box_append (GTK_BOX (self->heading), title);
  if (tools)
    gtk_box_append (GTK_BOX (self->heading), tools);
  sl_set_accessible_label (GTK_WIDGET (self), sl_question_group_title (group));
  return GTK_WIDGET (self);
}
