/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-plan.h"

#include "words/effect.h"
#include "desk/kit/row-list.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "bench/visit-edit.h"
#include "desk/work/work-card.h"

#include <glib/gi18n-lib.h>

#define SPACING 4

typedef struct
{
  SlBench *bench; /* owned */
  GtkWidget *part, *rows, *why;
} Plan;

static void
plan_free (gpointer data)
{
  Plan *plan = data;

  g_object_unref (plan->bench);
  g_free (plan);
}

typedef struct
{
  GtkWidget *text, *earlier, *later;
} PlanRow;

enum
{
  EARLIER_COLUMN = 1,
  LATER_COLUMN
};

/* The places in the plan of what is not done, in order. */
static GArray *
places (const SlVisit *visit)
{
  GArray *places = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    if (g_array_index (visit->plan, SlOperation, i).done == NULL)
      g_array_append_val (places, i);
  return places;
}

/* The keyboard goes along with what it moves. */
static void
move (SlRow *row, int by, guint column)
{
  Plan *plan = sl_row_get_owner (row);
  g_autoptr (GArray) open = places (sl_bench_get_visit (plan->bench));
  const guint from = sl_row_get_place (row), to = from + (guint) by;
  const char *objection =
      sl_visit_move_operation (plan->bench, g_array_index (open, guint, from), g_array_index (open, guint, to));

  gtk_label_set_text (GTK_LABEL (plan->why), objection == NULL ? "" : objection);
  gtk_widget_set_visible (plan->why, objection != NULL);
  if (objection == NULL)
    sl_row_list_focus (SL_ROW_LIST (plan->rows), to, column);
}

static void
on_earlier (SlRow *row)
{
  move (row, -1, EARLIER_COLUMN);
}

static void
on_later (SlRow *row)
{
  move (row, 1, LATER_COLUMN);
}

static void
make_row (SlRow *row)
{
  PlanRow *controls = sl_row_get_controls (row);

  controls->text = sl_row_add (row, sl_text_new (NULL));
  gtk_widget_set_hexpand (controls->text, TRUE);
  controls->earlier = sl_row_add_button (row, "go-up-symbolic", G_CALLBACK (on_earlier));
  controls->later = sl_row_add_button (row, "go-down-symbolic", G_CALLBACK (on_later));
}

static void
fill_row (SlRow *row)
{
  PlanRow *controls = sl_row_get_controls (row);
  Plan *plan = sl_row_get_owner (row);
  const SlVisit *visit = sl_bench_get_visit (plan->bench);
  const SlTextStyle style = sl_bench_text_style (plan->bench);
  const guint place = sl_row_get_place (row);
  g_autoptr (GArray) open = places (visit);
  const SlOperation *operation = &g_array_index (visit->plan, SlOperation, g_array_index (open, guint, place));
  g_autofree char *amount = sl_operation_amount (&sl_bench_get_analysis (plan->bench)->instrument, operation, &style);
  g_autofree char *text = g_strdup_printf ("%s: %s", sl_operation_title (operation->kind), amount);
  g_autofree char *earlier = g_strdup_printf (_ ("Do earlier: %s"), text),
                  *later = g_strdup_printf (_ ("Do later: %s"), text);

  gtk_label_set_text (GTK_LABEL (controls->text), text);
  sl_set_accessible_label (GTK_WIDGET (row), text);
  sl_name_with_tip (controls->earlier, earlier);
  sl_name_with_tip (controls->later, later);
  gtk_widget_set_sensitive (controls->earlier, place > 0);
  gtk_widget_set_sensitive (controls->later, place + 1 < open->len);
}

static void
update (GtkWidget *outer)
{
  Plan *plan = g_object_get_data (G_OBJECT (outer), "plan");
  g_autoptr (GArray) open = places (sl_bench_get_visit (plan->bench));

  sl_row_list_update (SL_ROW_LIST (plan->rows), open->len);
  gtk_label_set_text (GTK_LABEL (plan->why), "");
  gtk_widget_set_visible (plan->why, FALSE);
  /* the outer box stays, or it would no longer be seen and told */
  gtk_widget_set_visible (plan->part, open->len > 0);
}

GtkWidget *
sl_visit_plan_new (SlBench *bench)
{
  GtkWidget *outer = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *heading = sl_label_new (_ ("Still to do, in order"));
  Plan *plan = g_new0 (Plan, 1);

  plan->bench = g_object_ref (bench);
  plan->part = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING);
  plan->rows = sl_row_list_new (_ ("Still to do, in order"), SPACING, sizeof (PlanRow), make_row, fill_row, plan);
  plan->why = sl_text_new (NULL);
  gtk_widget_add_css_class (plan->why, "sl-notice");
  gtk_widget_add_css_class (heading, "sl-section");
  gtk_widget_add_css_class (plan->rows, "sl-more");
  gtk_box_append (GTK_BOX (plan->part), heading);
  gtk_box_append (GTK_BOX (plan->part), plan->rows);
  gtk_box_append (GTK_BOX (plan->part), plan->why);
  gtk_box_append (GTK_BOX (outer), plan->part);
  g_object_set_data_full (G_OBJECT (outer), "plan", plan, plan_free);
  sl_follow_while_seen (outer, bench, SL_CHANGED_WORK | SL_CHANGED_INSTRUMENT | SL_CHANGED_LENGTHS, update);
  return outer;
}
