/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"
#include "desk/readings/readings.h"
#include "desk/work/work-card.h"
#include "words/dates.h"
#include "words/proposal.h"

/* One kind of step: there in every card, and seen where the plan has it. */
typedef struct
{
  GtkWidget *line, *tick, *when, *clear;
} StepLine;

typedef struct
{
  SlBench *bench; /* kept by the card */
  StepLine lines[SL_N_BENCH_STEPS];
  GSimpleActionGroup *adding; /* kept by the card: an action for each kind, which can be taken while none is planned */
  gboolean updating;
} BenchSteps;

static SlBenchStep
step_of (gpointer widget)
{
  return (SlBenchStep) GPOINTER_TO_INT (g_object_get_data (widget, "step"));
}

/* Work with a card that is there only while a plan has it. */
static const char *
seldom_action (int kind)
{
  return sl_work_card_is_seldom (kind) ? sl_operations[kind].bound.element : NULL;
}

static void
on_tick (GtkCheckButton *tick, BenchSteps *self)
{
  if (!self->updating)
    sl_edit_bench_step_done (self->bench, step_of (tick), gtk_check_button_get_active (tick));
}

static void
on_clear (GtkButton *clear, BenchSteps *self)
{
  sl_edit_bench_step (self->bench, step_of (clear), FALSE);
}

static void
on_add (GSimpleAction *action, GVariant *parameter, BenchSteps *self)
{
  sl_edit_bench_step (self->bench, step_of (action), TRUE);
}

static void
on_begin (GSimpleAction *action, GVariant *parameter, BenchSteps *self)
{
  sl_edit_begin_work (self->bench, (SlOperationKind) step_of (action));
}

static void
show_line (BenchSteps *self, SlBenchStep step, const GArray *plan)
{
  const StepLine *line = &self->lines[step];
  const char *done = NULL;
  gboolean pending = FALSE;
  g_autofree char *when = NULL, *text = NULL;
  GAction *add = g_action_map_lookup_action (G_ACTION_MAP (self->adding), sl_bench_step_names[step]);

  SL_EACH (const SlOperation, operation, plan)
    {
      if (operation->kind != SL_OP_BENCH_STEP || operation->step != step)
        continue;
      pending = pending || operation->done == NULL;
      done = operation->done != NULL ? operation->done : done;
    }
  gtk_widget_set_visible (line->line, pending || done != NULL);
  g_simple_action_set_enabled (G_SIMPLE_ACTION (add), !pending);
  if (!pending && done == NULL)
    return;
  when = done == NULL ? NULL : sl_date_and_time (done);
  /* Translators: when a step was done: "done 4 May 14:20" */
  text = done == NULL ? NULL : g_strdup_printf (_ ("done %s"), when);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (line->tick), !pending);
  gtk_widget_set_visible (line->clear, pending);
  sl_set_remark (line->when, text);
}

static void
update (GtkWidget *card)
{
  BenchSteps *self = g_object_get_data (G_OBJECT (card), "bench-steps");
  const SlVisit *visit = sl_bench_get_visit (self->bench);

  self->updating = TRUE;
  for (int kind = 0; kind < SL_N_OPS; kind++)
    if (seldom_action (kind) != NULL)
      g_simple_action_set_enabled (
          G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self->adding), seldom_action (kind))),
          sl_bench_find_operation (self->bench, (SlOperationKind) kind, 0) == NULL);
  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    show_line (self, (SlBenchStep) step, visit == NULL ? NULL : visit->plan);
  self->updating = FALSE;
  sl_again_line_update (gtk_widget_get_last_child (card));
}

static GtkWidget *
line_new (BenchSteps *self, SlBenchStep step)
{
  StepLine *line = &self->lines[step];
  g_autofree char *capital = sl_capital (sl_bench_step_title (step));
  GtkWidget *title;

  line->line = sl_built_new ("work.ui", "step", "tick", &line->tick, "title", &title, "when", &line->when, "clear",
                             &line->clear, NULL);
  gtk_label_set_text (GTK_LABEL (title), capital);
  sl_name_as (line->tick, _ ("%s done"), sl_bench_step_title (step));
  sl_name_with_tip (line->clear, _ ("Take “%s” out of the plan"), sl_bench_step_title (step));
  g_object_set_data (G_OBJECT (line->tick), "step", GINT_TO_POINTER (step));
  g_object_set_data (G_OBJECT (line->clear), "step", GINT_TO_POINTER (step));
  g_signal_connect (line->tick, "toggled", G_CALLBACK (on_tick), self);
  g_signal_connect (line->clear, "clicked", G_CALLBACK (on_clear), self);
  return line->line;
}

static void
add_action (BenchSteps *self, const char *name, int step, GCallback activate)
{
  g_autoptr (GSimpleAction) action = g_simple_action_new (name, NULL);

  g_object_set_data (G_OBJECT (action), "step", GINT_TO_POINTER (step));
  g_signal_connect (action, "activate", activate, self);
  g_action_map_add_action (G_ACTION_MAP (self->adding), G_ACTION (action));
}

static void
add_item (GMenu *menu, const char *name, const char *title)
{
  g_autofree char *action = g_strconcat ("bench-step.", name, NULL), *capital = sl_capital (title);

  g_menu_append (menu, capital, action);
}

/* Filled whenever it is opened: the instrument may be built another way now. */
static void
create_menu (GtkMenuButton *button, gpointer data)
{
  BenchSteps *self = data;
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;
  g_autoptr (GMenu) menu = g_menu_new (), seldom = g_menu_new ();

  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    if (step != SL_BENCH_REBALANCE || instrument->bridge == SL_BRIDGE_TREMOLO)
      add_item (menu, sl_bench_step_names[step], sl_bench_step_title ((SlBenchStep) step));
  for (int kind = 0; kind < SL_N_OPS; kind++)
    if (seldom_action (kind) != NULL && (instrument->work >> kind & 1) != 0)
      add_item (seldom, seldom_action (kind), sl_operation_title ((SlOperationKind) kind));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (seldom));
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
}

GtkWidget *
sl_bench_steps_new (SlBench *bench)
{
  GtkWidget *head, *add, *card = sl_built_new ("work.ui", "steps", "head", &head, "add", &add, NULL);
  BenchSteps *self = g_new0 (BenchSteps, 1);

  self->bench = sl_keep (card, bench);
  g_object_set_data_full (G_OBJECT (card), "bench-steps", self, g_free);
  sl_set_accessible_label (card, sl_operation_title (SL_OP_BENCH_STEP));
  gtk_label_set_text (GTK_LABEL (head), sl_operation_title (SL_OP_BENCH_STEP));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (add), create_menu, self, NULL);
  /* the menu's actions, "bench-step.recrown", "bench-step.make-nut" and so on */
  g_autoptr (GSimpleActionGroup) adding = g_simple_action_group_new ();

  self->adding = sl_keep (card, adding);
  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    add_action (self, sl_bench_step_names[step], step, G_CALLBACK (on_add));
  for (int kind = 0; kind < SL_N_OPS; kind++)
    if (seldom_action (kind) != NULL)
      add_action (self, seldom_action (kind), kind, G_CALLBACK (on_begin));
  gtk_widget_insert_action_group (card, "bench-step", G_ACTION_GROUP (self->adding));
  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    gtk_box_append (GTK_BOX (card), line_new (self, (SlBenchStep) step));
  gtk_box_append (GTK_BOX (card), sl_again_line_new (bench, SL_OP_BENCH_STEP));
  update (card);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_VISIT, G_CALLBACK (update), card);
  return card;
}
