/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "desk/kit/kit.h"
#include "setup/record/stages.h"

typedef struct
{
  SlBench *bench;
  GtkWidget *line, *text, *button; /* bound in this order */
  SlOperationKind kind;
} AgainLine;

static GArray *
asked (const AgainLine *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  const SlReadingSet *last = visit == NULL ? NULL : sl_visit_last_set (visit);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);

  /* of earlier readings, or once the visit is closed, there is nothing to read again */
  if (last == NULL || last != sl_bench_get_set (self->bench) || visit->closed != NULL)
    return g_array_new (FALSE, FALSE, sizeof (SlReading));
  return sl_questions_since (analysis, visit, self->kind, last->taken);
}

static void
on_clicked (const AgainLine *self)
{
  g_autoptr (GArray) questions = asked (self);

  if (questions->len > 0)
    sl_reading_run_present_asking (GTK_WINDOW (gtk_widget_get_root (self->line)), self->bench, questions);
}

void
sl_again_line_update (GtkWidget *line)
{
  const AgainLine *self = sl_part_of (line);
  g_autoptr (GArray) questions = asked (self);
  const gboolean air = sl_bench_get_analysis (self->bench)->air.settling;
  g_autofree char *readings = sl_questions_text (questions, air), *text = NULL;

  gtk_widget_set_visible (line, questions->len > 0);
  if (questions->len == 0)
    return;
  text = g_strdup_printf (_ ("Read again, most changed first: %s."), readings);
  if (g_str_equal (gtk_label_get_text (GTK_LABEL (self->text)), text))
    return;
  sl_label_set (self->text, text);
  sl_set_accessible_description (self->button, text);
}

GtkWidget *
sl_again_line_new (SlBench *bench, SlOperationKind kind)
{
  AgainLine *self = sl_part_new (bench, SL_PART (AgainLine, line, button), g_free, "again-line", "line text button",
                                 SL_CALL (on_clicked), NULL);

  self->kind = kind;
  return self->line;
}
