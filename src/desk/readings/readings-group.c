/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings-group.h"

#include "desk/readings/readings-tools.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* A range of assumed values is shown coarser than a reading: its ± is wide. */
#define RANGE_PLACES 1
#define GAP_RANGE_PLACES 2

struct _SlReadingsGroup
{
  GtkBox parent_instance;

  SlBench *bench; /* kept */
  SlQuestionGroup group;
  GArray *more_questions, *extra; /* of SlQuestion */

  GtkWidget *expander, *more_range;
  GtkWidget *main, *more; /* boxes of rows, in order: the card's and the expander's */
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
find_row (GtkWidget *box, const SlQuestion *question)
{
  for (GtkWidget *row = gtk_widget_get_first_child (box); row != NULL; row = gtk_widget_get_next_sibling (row))
    if (sl_question_equal (sl_reading_row_get_question (SL_READING_ROW (row)), question))
      return SL_READING_ROW (row);
  return NULL;
}

/* Makes the box's rows those of @questions. A row that stays is never taken out, so that it keeps the keyboard and what
 * is being typed. */
static void
fill_box (SlReadingsGroup *self, GtkWidget *box, GArray *questions)
{
  GtkWidget *previous = NULL, *left;

  for (guint i = 0; i < questions->len; i++)
    {
      const SlQuestion *question = &g_array_index (questions, SlQuestion, i);
      SlReadingRow *row = find_row (box, question);

      if (row != NULL)
        gtk_box_reorder_child_after (GTK_BOX (box), GTK_WIDGET (row), previous);
      else
        {
          row = SL_READING_ROW (sl_reading_row_new (self->bench, question));
          g_signal_emit (self, signals[ROW_ADDED], 0, row);
          gtk_box_insert_child_after (GTK_BOX (box), GTK_WIDGET (row), previous);
        }
      previous = GTK_WIDGET (row);
    }
  while ((left = previous != NULL ? gtk_widget_get_next_sibling (previous) : gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), left);
  for (GtkWidget *row = gtk_widget_get_first_child (box); row != NULL; row = gtk_widget_get_next_sibling (row))
    sl_reading_row_update (SL_READING_ROW (row),
                           sl_questions_hold (self->extra, sl_reading_row_get_question (SL_READING_ROW (row))));
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
  if (is_open (self) && find_row (self->more, question))
    return TRUE;
  return isnan (sl_question_value (sl_bench_get_set (self->bench), question));
}

/* What the first gap or action of a string not read is taken to be, from the state as measured; and whether that is
 * only assumed, rather than known from other readings or from earlier ones of the visit. */
static double
assumed_value (SlReadingsGroup *self, const SlQuestion *question, gboolean *assumed)
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
range_text (SlReadingsGroup *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  double least = INFINITY, most = -INFINITY;
  gboolean assumed = FALSE;
  int read = 0, places = self->group == SL_GROUP_NUT ? GAP_RANGE_PLACES : RANGE_PLACES;

  for (guint i = 0; i < self->more_questions->len; i++)
    {
      const SlQuestion *question = &g_array_index (self->more_questions, SlQuestion, i);
      gboolean only_assumed;
      double value = assumed_value (self, question, &only_assumed);

      if (!isnan (sl_question_value (set, question)))
        read++;
      else if (!isnan (value) && (self->group != SL_GROUP_SADDLE || question->ask == SL_READ_EXPOSURE))
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
  g_autofree char *low = sl_bench_length (self->bench, least, places, FALSE),
                  *high = sl_bench_length (self->bench, most, places, FALSE);

  if (g_str_equal (low, high))
    return g_strdup_printf (assumed ? _ ("%s assumed") : _ ("%s expected"), low);
  /* Translators: a range, such as "2.6–3.1 assumed" */
  return g_strdup_printf (assumed ? _ ("%s–%s assumed") : _ ("%s–%s expected"), low, high);
}

static const char *
more_title (SlReadingsGroup *self)
{
  return self->group == SL_GROUP_NECK ? _ ("Crowns") : _ ("Other strings");
}

static void
update_more (SlReadingsGroup *self)
{
  g_autofree char *range = range_text (self), *whole = NULL;

  gtk_widget_set_visible (self->expander, self->more_questions->len > 0);
  gtk_label_set_text (GTK_LABEL (self->more_range), range);
  whole = g_strdup_printf ("%s, %s: %s", sl_question_group_title (self->group), more_title (self), range);
  sl_set_accessible_label (self->expander, whole);
  if (is_open (self) || gtk_widget_get_first_child (self->more) != NULL)
    fill_box (self, self->more, self->more_questions);
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

      if (sl_question_group (&question) == self->group)
        g_array_append_val (belongs_to_more (self, &question) ? self->more_questions : main, question);
    }
  fill_box (self, self->main, main);
  update_more (self);
  gtk_widget_set_visible (GTK_WIDGET (self), main->len + self->more_questions->len > 0);
}

void
sl_readings_group_list (SlReadingsGroup *self, GPtrArray *rows)
{
  GtkWidget *const boxes[] = { self->main, is_open (self) ? self->more : NULL, NULL };

  for (int i = 0; boxes[i] != NULL; i++)
    for (GtkWidget *row = gtk_widget_get_first_child (boxes[i]); row != NULL; row = gtk_widget_get_next_sibling (row))
      g_ptr_array_add (rows, row);
}

SlReadingRow *
sl_readings_group_reveal (SlReadingsGroup *self, const SlQuestion *question)
{
  SlReadingRow *row = find_row (self->main, question);
  if (row == NULL && sl_questions_hold (self->more_questions, question))
    {
      gtk_expander_set_expanded (GTK_EXPANDER (self->expander), TRUE);
      row = find_row (self->more, question);
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
sl_readings_group_init (SlReadingsGroup *self)
{
  self->more_questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", 2, NULL);
}

static GtkWidget *
build_expander (SlReadingsGroup *self)
{
  GtkWidget *line = g_object_new (GTK_TYPE_BOX, "spacing", 4, "hexpand", TRUE, NULL), *title = sl_label_new (NULL);

  g_object_set (title, "label", more_title (self), "ellipsize", PANGO_ELLIPSIZE_END, "hexpand", TRUE, NULL);
  self->more_range = gtk_label_new (NULL);
  sl_add_classes (self->more_range, "sl-dim", "sl-small");
  sl_box_add (line, title, self->more_range, NULL);
  self->more = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (self->more, "more");
  self->expander = g_object_new (GTK_TYPE_EXPANDER, "label-widget", line, "child", self->more, NULL);
  gtk_widget_add_css_class (self->expander, "more");
  g_signal_connect_swapped (self->expander, "notify::expanded", G_CALLBACK (on_expanded), self);
  return self->expander;
}

GtkWidget *
sl_readings_group_new (SlBench *bench, SlQuestionGroup group)
{
  SlReadingsGroup *self = g_object_new (SL_TYPE_READINGS_GROUP, NULL);
  GtkWidget *heading = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4), *card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  self->bench = sl_keep (self, bench);
  self->group = group;
  self->main = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (card, "sl-card");
  sl_box_add (card, self->main, build_expander (self), NULL);
  gtk_widget_set_hexpand (sl_label_add (heading, sl_question_group_title (group), "sl-section"), TRUE);
  sl_box_add (heading, sl_readings_tools_new (bench, group), NULL);
  sl_box_add (GTK_WIDGET (self), heading, card, NULL);
  sl_set_accessible_label (GTK_WIDGET (self), sl_question_group_title (group));
  return GTK_WIDGET (self);
}
