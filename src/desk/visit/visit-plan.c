/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-plan.h"

#include "words/effect.h"
#include "desk/kit/row-list.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "bench/visit-edit.h"

#include <glib/gi18n-lib.h>

#define SPACING 4
#define EARLIER_COLUMN 1
#define LATER_COLUMN 2

typedef struct
{
  SlBench *bench; /* kept by the outer box */
  GtkWidget *part, *rows, *why;
} Plan;

typedef struct
{
  GtkWidget *text, *earlier, *later;
} PlanRow;

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
on_move (SlRow *row, GtkWidget *button)
{
  Plan *plan = sl_row_get_owner (row);
  PlanRow *controls = sl_row_get_controls (row);
  g_autoptr (GArray) open = places (sl_bench_get_visit (plan->bench));
  const gboolean later = button == controls->later;
  const guint from = sl_row_get_place (row), to = later ? from + 1 : from - 1;
  const char *objection =
      sl_visit_move_operation (plan->bench, g_array_index (open, guint, from), g_array_index (open, guint, to));

  gtk_label_set_text (GTK_LABEL (plan->why), objection == NULL ? "" : objection);
  gtk_widget_set_visible (plan->why, objection != NULL);
  if (objection == NULL)
    sl_row_list_focus (SL_ROW_LIST (plan->rows), to, later ? LATER_COLUMN : EARLIER_COLUMN);
}

static void
make_row (SlRow *row)
{
  PlanRow *controls = sl_row_get_controls (row);

  controls->text = sl_row_add (row, sl_text_new (NULL));
  gtk_widget_set_hexpand (controls->text, TRUE);
  controls->earlier = sl_row_add_button (row, "go-up-symbolic", G_CALLBACK (on_move));
  controls->later = sl_row_add_button (row, "go-down-symbolic", G_CALLBACK (on_move));
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
  Plan *plan = g_new0 (Plan, 1);

  plan->bench = sl_keep (outer, bench);
  g_object_set_data_full (G_OBJECT (outer), "plan", plan, g_free);
  plan->part = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING);
  plan->rows = sl_row_list_new (_ ("Still to do, in order"), SPACING, sizeof (PlanRow), make_row, fill_row, plan);
  plan->why = sl_text_new (NULL);
  gtk_widget_add_css_class (plan->why, "sl-notice");
  gtk_widget_add_css_class (plan->rows, "sl-more");
  sl_label_add (plan->part, _ ("Still to do, in order"), "sl-section");
  sl_box_add (plan->part, plan->rows, plan->why, NULL);
  sl_follow_while_seen (outer, bench, SL_CHANGED_WORK | SL_CHANGED_INSTRUMENT | SL_CHANGED_LENGTHS, update);
  return sl_box_add (outer, plan->part, NULL);
}
