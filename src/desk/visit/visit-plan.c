/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-plan.h"

#include "words/effect.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "bench/visit-edit.h"
#include "desk/work/work-card.h"

#include <glib/gi18n-lib.h>

#define SPACING 4

typedef struct
{
  SlBench *bench; /* owned */
  GtkWidget *rows, *why;
} Plan;

static void
plan_free (gpointer data)
{
  Plan *plan = data;

  g_object_unref (plan->bench);
  g_free (plan);
}

static void
on_move (GtkWidget *button, Plan *plan)
{
  guint from = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "from")),
        to = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "to"));
  const char *objection = sl_visit_move_operation (plan->bench, from, to);

  gtk_label_set_text (GTK_LABEL (plan->why), objection == NULL ? "" : objection);
  gtk_widget_set_visible (plan->why, objection != NULL);
}

static void
add_move (Plan *plan, GtkWidget *row, const char *icon, const char *name, guint from, int to)
{
  GtkWidget *button = gtk_button_new_from_icon_name (icon);

  sl_set_accessible_label (button, name);
  gtk_widget_set_tooltip_text (button, name);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_set_sensitive (button, to >= 0);
  g_object_set_data (G_OBJECT (button), "from", GUINT_TO_POINTER (from));
  g_object_set_data (G_OBJECT (button), "to", GUINT_TO_POINTER ((guint) MAX (to, 0)));
  g_signal_connect (button, "clicked", G_CALLBACK (on_move), plan);
  gtk_box_append (GTK_BOX (row), button);
}

/* The place of the next operation not done in a direction, −1 where there is none. */
static int
neighbour (const GArray *operations, guint from, int by)
{
  for (int i = (int) from + by; i >= 0 && i < (int) operations->len; i += by)
    if (g_array_index (operations, SlOperation, i).done == NULL)
      return i;
  return -1;
}

static void
add_row (Plan *plan, const GArray *operations, guint i)
{
  const SlTextStyle style = sl_bench_text_style (plan->bench);
  const SlOperation *operation = &g_array_index (operations, SlOperation, i);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING), *label;
  g_autofree char *amount = sl_operation_amount (&sl_bench_get_analysis (plan->bench)->instrument, operation, &style);
  g_autofree char *text = g_strdup_printf ("%s: %s", sl_operation_title (operation->kind), amount);
  g_autofree char *earlier = g_strdup_printf (_ ("Do earlier: %s"), text),
                  *later = g_strdup_printf (_ ("Do later: %s"), text);

  label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), label);
  add_move (plan, row, "go-up-symbolic", earlier, i, neighbour (operations, i, -1));
  add_move (plan, row, "go-down-symbolic", later, i, neighbour (operations, i, 1));
  gtk_box_append (GTK_BOX (plan->rows), row);
}

static void
update (GtkWidget *box)
{
  Plan *plan = g_object_get_data (G_OBJECT (box), "plan");
  const SlVisit *visit = sl_bench_get_visit (plan->bench);
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (plan->rows)) != NULL)
    gtk_box_remove (GTK_BOX (plan->rows), row);
  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    if (g_array_index (visit->plan, SlOperation, i).done == NULL)
      add_row (plan, visit->plan, i);
  gtk_label_set_text (GTK_LABEL (plan->why), "");
  gtk_widget_set_visible (plan->why, FALSE);
  /* the outer box stays, or it would no longer be seen and told */
  gtk_widget_set_visible (gtk_widget_get_first_child (box), gtk_widget_get_first_child (plan->rows) != NULL);
}

GtkWidget *
sl_visit_plan_new (SlBench *bench)
{
  GtkWidget *outer = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING);
  GtkWidget *heading = gtk_label_new (_ ("Still to do, in order"));
  Plan *plan = g_new0 (Plan, 1);

  plan->bench = g_object_ref (bench);
  plan->rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  plan->why = gtk_label_new (NULL);
  gtk_label_set_wrap (GTK_LABEL (plan->why), TRUE);
  gtk_label_set_xalign (GTK_LABEL (plan->why), 0);
  gtk_widget_add_css_class (plan->why, "sl-notice");
  gtk_label_set_xalign (GTK_LABEL (heading), 0);
  gtk_widget_add_css_class (heading, "sl-section");
  gtk_widget_add_css_class (plan->rows, "sl-more");
  gtk_box_append (GTK_BOX (box), heading);
  gtk_box_append (GTK_BOX (box), plan->rows);
  gtk_box_append (GTK_BOX (box), plan->why);
  gtk_box_append (GTK_BOX (outer), box);
  g_object_set_data_full (G_OBJECT (outer), "plan", plan, plan_free);
  sl_follow_while_seen (outer, bench, SL_CHANGED_WORK | SL_CHANGED_INSTRUMENT | SL_CHANGED_LENGTHS, update);
  return outer;
}
