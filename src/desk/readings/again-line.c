/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/again-line.h"

#include "desk/readings/reading-run.h"
#include "desk/kit/util.h"
#include "setup/record/stages.h"
#include "words/kinds.h"

#include <glib/gi18n-lib.h>

#define SPACING 2

struct _SlAgainLine
{
  GtkBox parent_instance;

  GtkWidget *text, *button; /* children */
  SlBench *bench;           /* owned */
  SlOperationKind kind;
};

G_DEFINE_FINAL_TYPE (SlAgainLine, sl_again_line, GTK_TYPE_BOX)

static GArray *
asked (SlAgainLine *self)
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
on_clicked (SlAgainLine *self)
{
  g_autoptr (GArray) questions = asked (self);

  if (questions->len > 0)
    sl_reading_run_present_asking (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))), self->bench, questions);
}

void
sl_again_line_update (SlAgainLine *self)
{
  g_autoptr (GArray) questions = asked (self);
  g_autofree char *readings = sl_questions_text (questions), *text = NULL;

  gtk_widget_set_visible (GTK_WIDGET (self), questions->len > 0);
  if (questions->len == 0)
    return;
  text = g_strdup_printf (_ ("Read again, most changed first: %s."), readings);
  if (g_str_equal (gtk_label_get_text (GTK_LABEL (self->text)), text))
    return;
  gtk_label_set_text (GTK_LABEL (self->text), text);
  sl_set_accessible_description (self->button, text);
}

static void
sl_again_line_class_init (SlAgainLineClass *class)
{
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_STATUS);
}

static void
sl_again_line_init (SlAgainLine *self)
{
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", SPACING, NULL);
  sl_add_classes (GTK_WIDGET (self), "sl-notice", "sl-doubt");
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("What to read again"));
  self->text = sl_text_add (GTK_WIDGET (self), NULL, "sl-more");
  self->button =
      sl_button_add (GTK_WIDGET (self), _ ("Read these now"),
                     _ ("Begins a new set of readings and asks just for these"), G_CALLBACK (on_clicked), self);
  sl_add_classes (self->button, "sl-link", "sl-more");
  gtk_widget_set_halign (self->button, GTK_ALIGN_START);
}

GtkWidget *
sl_again_line_new (SlBench *bench, SlOperationKind kind)
{
  SlAgainLine *self = g_object_new (SL_TYPE_AGAIN_LINE, NULL);

  self->bench = sl_keep (self, bench);
  self->kind = kind;
  return GTK_WIDGET (self);
}
