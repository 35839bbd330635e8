/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"
#include "desk/kit/util.h"
#include "words/proposal.h"

typedef struct
{
  SlBench *bench; /* kept by the notice */
  SlGate gate;
  GtkWidget *text, *button;
} GateLine;

static void
on_pass (GtkWidget *line)
{
  const GateLine *self = g_object_get_data (G_OBJECT (line), "own");

  sl_edit_pass_gate (self->bench, self->gate, TRUE);
}

void
sl_gate_line_update (GtkWidget *line, const SlOperation *operation, const SlPass *pass, gboolean told)
{
  GateLine *self = g_object_get_data (G_OBJECT (line), "own");
  const char *opens = operation == NULL ? NULL : sl_pass_text (sl_bench_get_analysis (self->bench), operation, pass);
  g_autofree char *brief = NULL, *name = NULL;

  gtk_widget_set_visible (line, opens != NULL);
  if (opens == NULL)
    return;
  if (told)
    /* Translators: what keeps a step from being done: "the rod", "the air" */
    brief = g_strdup_printf (_ ("Held back, as above: %s"), sl_gate_title (pass->gate));
  sl_label_set (self->text, told ? brief : opens);
  gtk_widget_set_visible (self->button, pass->gate != SL_GATE_NONE);
  if (self->gate == pass->gate)
    return;
  self->gate = pass->gate;
  name = g_strdup_printf (_ ("Go on all the same: pass over %s"), sl_gate_title (self->gate));
  sl_set_accessible_label (self->button, name);
}

GtkWidget *
sl_gate_line_new (SlBench *bench)
{
  GateLine *self = g_new0 (GateLine, 1);
  GtkWidget *line = sl_notice_new (_ ("What keeps it from being done"), "sl-gate", self);

  self->bench = sl_keep (line, bench);
  self->text = sl_text_add (line, NULL, "sl-more");
  self->button = sl_link_add (line, _ ("Go on all the same"),
                              _ ("Passes over this on purpose: it is kept with the plan and can be taken back"),
                              G_CALLBACK (on_pass), line);
  gtk_widget_set_halign (self->button, GTK_ALIGN_START);
  return line;
}

/* ---- those that were passed ---- */

static void
on_back (GtkWidget *button)
{
  sl_edit_pass_gate (g_object_get_data (G_OBJECT (button), "bench"),
                     (SlGate) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "gate")), FALSE);
}

static GtkWidget *
passed_new (SlBench *bench, SlGate gate)
{
  GtkWidget *which, *back, *line = sl_built_new ("work.ui", "passed", "which", &which, "back", &back, NULL);

  sl_label_say (which, _ ("Passed over on purpose: %s."), sl_gate_title (gate));
  sl_name_as (back, _ ("Take it back: heed %s again"), sl_gate_title (gate));
  g_object_set_data (G_OBJECT (back), "gate", GINT_TO_POINTER (gate));
  g_object_set_data (G_OBJECT (back), "bench", bench);
  g_signal_connect (back, "clicked", G_CALLBACK (on_back), NULL);
  return line;
}

/* A line for each gate, in the order of SlGate. */
static void
show_passed (GtkWidget *box)
{
  const SlVisit *visit = sl_bench_get_visit (g_object_get_data (G_OBJECT (box), "bench"));
  const guint64 passed = visit == NULL ? 0 : visit->passed;
  int gate = SL_GATE_NONE + 1;

  gtk_widget_set_visible (box, passed != 0);
  for (GtkWidget *line = gtk_widget_get_first_child (box); line != NULL; line = gtk_widget_get_next_sibling (line))
    gtk_widget_set_visible (line, (passed >> gate++ & 1) != 0);
}

GtkWidget *
sl_passed_gates_new (SlBench *bench)
{
  GtkWidget *box = sl_built_new ("work.ui", "passed_gates", NULL);

  g_object_set_data (G_OBJECT (box), "bench", sl_keep (box, bench));
  for (int gate = SL_GATE_NONE + 1; gate < SL_N_GATES; gate++)
    gtk_box_append (GTK_BOX (box), passed_new (bench, (SlGate) gate));
  show_passed (box);
  sl_bench_follow (bench, SL_CHANGED_PLAN | SL_CHANGED_VISIT, G_CALLBACK (show_passed), box);
  return box;
}
