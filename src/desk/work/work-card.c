/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/work-card.h"

#include "desk/readings/readings.h"
#include "desk/work/parts.h"
#include "desk/kit/kit.h"
#include "setup/profile/construction.h"
#include "words/caution.h"
#include "words/dates.h"
#include "words/effect.h"
#include "words/proposal.h"

/* What a kind of work has to set, a row each. */
static const struct
{
  double span;          /* mm */
  gboolean both_ways;   /* up and down, back and forward */
  gboolean seldom;      /* its card is there only where a plan has such work */
  const char *names[2]; /* of its amount, or of the bass and the treble one; none: a string's, or a part of its own */
  GtkWidget *(*part_new) (SlBench *bench);
  void (*part_update) (GtkWidget *part);
} cards[SL_N_OPS] = {
#include "card-rows.h"
};
#define SCREW_SPAN 1.5
#define LENGTH_SCREW_SPAN 8.0

#define TURNS_STEP 0.125 /* an eighth of a turn is what one goes by: common practice */

/* What is to be said of the last tick stands in the word; the level line is of level frets only. */
struct _SlWorkCard
{
  GtkBox parent_instance;

  /* of the template, in the order they are bound in */
  GtkWidget *number, *title, *clear, *summary, *tick, *word, *word_text, *level_line, *level, *effect, *gate,
      *gate_text, *gate_pass, *reason, *history, *care, *care_button, *care_brief, *care_whole, *body;

  /* owned widgets */
  GtkWidget *strings; /* string by string only */
  GtkWidget *buttons[SL_MAX_STRINGS];
  GtkWidget *part;                   /* of work that has no amount */
  GtkWidget *amount, *amount_treble; /* the second where there are two ends */
  GtkWidget *turns, *turns_line;     /* the rod only */
  GtkWidget *passes;                 /* what is cut only */
  GtkWidget *again;                  /* made when it first applies */

  SlBench *bench; /* owned */
  SlOperationKind kind;
  SlBound bound;  /* of the amount on this instrument */
  int string;     /* chosen in this card; 0 where the operation has none */
  SlGate kept_by; /* what is shown to keep it from being done */
  gboolean updating;
};

G_DEFINE_FINAL_TYPE (SlWorkCard, sl_work_card, GTK_TYPE_BOX)

static const SlInstrument *
instrument_of (SlWorkCard *self)
{
  return &sl_bench_get_analysis (self->bench)->instrument;
}

static const GArray *
plan_of (SlWorkCard *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);

  return visit == NULL ? NULL : visit->plan;
}

/* ---- what the person does ---- */

static void
on_moved (SlAmountRow *row, double mm, SlWorkCard *self)
{
  sl_edit_amount (self->bench, self->kind, self->string, GTK_WIDGET (row) == self->amount_treble, mm);
}

static void
on_turns (SlLengthEntry *entry, double turns, SlWorkCard *self)
{
  sl_edit_turns (self->bench, turns);
}

static void
on_level (SlWorkCard *self)
{
  if (!self->updating)
    sl_edit_level (self->bench, gtk_switch_get_active (GTK_SWITCH (self->level)));
}

static void
on_tick (SlWorkCard *self)
{
  const gboolean done = gtk_check_button_get_active (GTK_CHECK_BUTTON (self->tick));
  g_autofree char *word = NULL;

  if (self->updating)
    return;
  if (done && plan_of (self) != NULL)
    word = sl_tick_text (plan_of (self), sl_bench_get_passes (self->bench), self->kind);
  sl_set_remark (self->word_text, word);
  sl_edit_set_done (self->bench, self->kind, done);
  if (word != NULL)
    sl_scroll_to (self->word, FALSE);
}

static void
on_pass (SlWorkCard *self)
{
  sl_edit_pass_gate (self->bench, self->kept_by, TRUE);
}

static void
on_clear (SlWorkCard *self)
{
  sl_edit_clear (self->bench, self->kind);
}

static void
on_string (GtkToggleButton *button, SlWorkCard *self)
{
  if (self->updating || !gtk_toggle_button_get_active (button))
    return;
  self->string = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "string"));
  sl_bench_set_string (self->bench, self->string); /* the drawing and the other cards show it too */
}

/* ---- what is shown ---- */

static void
show_strings (SlWorkCard *self, const SlTextStyle *style)
{
  const int n = instrument_of (self)->n_strings;

  if (sl_bench_get_string (self->bench) > 0)
    self->string = sl_bench_get_string (self->bench);
  self->string = CLAMP (self->string, 1, n);
  /* as a technician sees them at the bench */
  gtk_widget_set_direction (self->strings, instrument_of (self)->left_handed ? GTK_TEXT_DIR_RTL : GTK_TEXT_DIR_LTR);
  for (int i = 0; i < SL_MAX_STRINGS; i++)
    gtk_widget_set_visible (self->buttons[i], i < n);
  for (int i = 0; i < n; i++)
    {
      const SlOperation *operation = sl_bench_find_operation (self->bench, self->kind, i + 1);
      const SlNumber planned = operation == NULL ? SL_NUMBER_ABSENT : sl_operation_amount_at (operation, i + 1, FALSE);
      g_autofree char *amount = operation == NULL ? NULL : sl_operation_amount (instrument_of (self), operation, style);
      g_autofree char *name = NULL;

      if (!sl_number_is_set (planned))
        name = g_strdup_printf (_ ("%s, string %d, none planned"), sl_operation_title (self->kind), i + 1);
      else if (!sl_operations[self->kind].per_string)
        {
          g_autofree char *length = sl_text_length_unit (style, planned.v);

          /* Translators: "New nut, string 3, 0.42 mm" */
          name = g_strdup_printf (_ ("%s, string %d, %s"), sl_operation_title (self->kind), i + 1, length);
        }
      else
        name = g_strdup_printf ("%s, %s", sl_operation_title (self->kind), amount);
      sl_set_accessible_label (self->buttons[i], name);
      sl_set_class (self->buttons[i], "sl-has-work", sl_number_is_set (planned));
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->buttons[i]), i + 1 == self->string);
    }
}

static void
show_amount (SlWorkCard *self, GtkWidget *row, gboolean treble)
{
  const SlOperation *operation = sl_bench_find_operation (self->bench, self->kind, self->string);
  const SlInstrument *instrument = instrument_of (self);
  const gboolean raised = self->kind == SL_OP_SHAPE_CREST && sl_saddles[instrument->adjust].goes_up;
  double most = raised ? SCREW_SPAN : cards[self->kind].span;

  if (self->kind == SL_OP_MOVE_CREST)
    most = isnan (instrument->length_screw_pitch) ? instrument->saddle_thickness : LENGTH_SCREW_SPAN;
  if (self->kind == SL_OP_SHAPE_CREST) /* only a saddle on screws can be raised */
    self->bound.least = raised ? sl_operations[self->kind].bound.least : 0;
  sl_amount_row_set_span (SL_AMOUNT_ROW (row), raised || cards[self->kind].both_ways ? -most : 0, most);
  sl_amount_row_set_value (
      SL_AMOUNT_ROW (row),
      operation == NULL ? 0 : sl_number_or (sl_operation_amount_at (operation, self->string, treble), 0));
}

static void
show_amounts (SlWorkCard *self)
{
  const SlOperation *operation = sl_bench_find_operation (self->bench, self->kind, self->string);

  if (self->part != NULL)
    {
      cards[self->kind].part_update (self->part);
      return;
    }
  if (self->turns != NULL)
    {
      gtk_widget_set_visible (self->turns_line, operation != NULL);
      sl_length_entry_set_value (SL_LENGTH_ENTRY (self->turns), operation == NULL ? NAN : operation->turns.v);
    }
  show_amount (self, self->amount, FALSE);
  if (self->amount_treble != NULL)
    show_amount (self, self->amount_treble, TRUE);
  if (self->kind == SL_OP_LEVEL_FRETS)
    {
      gtk_switch_set_active (GTK_SWITCH (self->level), operation != NULL);
      gtk_widget_set_visible (self->amount, operation != NULL);
    }
  if (self->strings != NULL)
    {
      g_autofree char *name = g_strdup_printf (_ ("%s, string %d"), sl_operation_title (self->kind), self->string);

      sl_amount_row_set_name (SL_AMOUNT_ROW (self->amount), name);
    }
}

static void
show_tick (SlWorkCard *self, int number, const SlOpCount *count)
{
  const gboolean done = count->n_pending == 0 && count->n_done > 0, any = count->n_pending + count->n_done > 0;
  const char *tip = done ? _ ("Take back what was ticked off last") : _ ("Tick off as done");

  sl_label_say (self->number, "%d", number);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->tick), done);
  gtk_widget_set_visible (self->word, done && *gtk_label_get_text (GTK_LABEL (self->word_text)) != '\0');
  /* like the button that clears */
  gtk_widget_set_opacity (self->tick, any ? 1 : 0);
  gtk_widget_set_sensitive (self->tick, any);
  /* setting a tooltip asks the display for the pointer each time, which a drag would feel */
  if (g_strcmp0 (gtk_widget_get_tooltip_text (self->tick), tip) != 0)
    gtk_widget_set_tooltip_text (self->tick, tip);
}

/* What was done in this visit, a line each; what came before the readings is in them already. */
static void
show_history (SlWorkCard *self, const SlTextStyle *style)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const GArray *plan = plan_of (self);
  g_autoptr (GString) text = g_string_new (NULL);

  SL_EACH (const SlOperation, operation, plan)
    {
      g_autofree char *amount = NULL, *when = NULL;
      gboolean past;

      if (operation->kind != self->kind || operation->done == NULL)
        continue;
      amount = sl_operation_amount (instrument_of (self), operation, style);
      when = sl_date_and_time (operation->done);
      past = set != NULL && sl_operation_is_past (operation, set->taken);
      g_string_append_printf (text, "%s✓ ", text->len > 0 ? "\n" : "");
      /* Translators: when, what: "done 4 May 14:20: 0.80 / 0.60 off" */
      g_string_append_printf (text, past ? _ ("done %s: %s (in the readings)") : _ ("done %s: %s"), when, amount);
    }
  sl_set_remark (self->history, text->str);
}

static void
show_reason (SlWorkCard *self, const SlTextStyle *style)
{
  const SlProposal *proposal = sl_bench_get_proposal (self->bench);
  const SlStep *found = NULL;
  const SlOperation *planned = sl_bench_find_operation (self->bench, self->kind, self->string);
  g_autofree char *amount = NULL, *planned_amount = NULL, *why = NULL, *text = NULL;

  for (guint i = 0; i < proposal->steps->len && found == NULL; i++)
    {
      const SlStep *step = &g_array_index (proposal->steps, SlStep, i);

      if (step->operation.kind == self->kind &&
          (!sl_operations[self->kind].per_string || step->operation.string == self->string))
        found = step;
    }
  if (found == NULL)
    {
      sl_set_remark (self->reason, NULL);
      return;
    }
  /* what keeps it is said of the plan, where there is one */
  why = planned == NULL ? sl_step_reason (sl_bench_get_analysis (self->bench), found, style)
                        : sl_step_cause (sl_bench_get_analysis (self->bench), found, style);
  amount = sl_operation_amount (instrument_of (self), &found->operation, style);
  planned_amount = planned == NULL ? NULL : sl_operation_amount (instrument_of (self), planned, style);
  if (g_strcmp0 (amount, planned_amount) == 0)
    text = g_strdup_printf (_ ("as proposed: %s"), why);
  else
    text = g_strdup_printf (_ ("proposed: %s; %s"), amount, why);
  sl_set_remark (self->reason, text);
}

/* What keeps the work from being done, and what opens it: of the string that is looked at, else of the first that
 * something keeps. A gate that is told at length on a card above is only named. */
static void
show_gate (SlWorkCard *self, guint *told)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlPass *passes = sl_bench_get_passes (self->bench);
  const GArray *plan = plan_of (self);
  const char *opens = NULL;
  SlGate gate = SL_GATE_NONE;
  g_autofree char *brief = NULL;

  for (guint i = 0; plan != NULL && i < plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (plan, SlOperation, i);
      const gboolean looked_at = self->strings != NULL && operation->string == self->string;
      const char *text = operation->kind == self->kind && operation->done == NULL
                             ? sl_pass_text (analysis, operation, &passes[i])
                             : NULL;

      if (text == NULL || (opens != NULL && !looked_at))
        continue;
      opens = text;
      gate = passes[i].gate;
    }
  gtk_widget_set_visible (self->gate, opens != NULL);
  if (opens == NULL)
    return;
  /* Translators: what keeps a step from being done: "the rod", "the air" */
  brief = g_strdup_printf (_ ("Held back, as above: %s"), sl_gate_title (gate));
  sl_label_set (self->gate_text, (*told >> gate & 1) != 0 ? brief : opens);
  sl_name_as (self->gate_pass, _ ("Go on all the same: pass over %s"), sl_gate_title (gate));
  gtk_widget_set_visible (self->gate_pass, gate != SL_GATE_NONE);
  self->kept_by = gate;
  if (gate != SL_GATE_NONE)
    *told |= 1u << gate;
}

/* What it opens follows it by itself. */
static void
on_caution_toggled (GtkToggleButton *button)
{
  gtk_accessible_update_state (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_STATE_EXPANDED,
                               gtk_toggle_button_get_active (button), -1);
}

/* A short caution with its icon that opens into the whole sentence. */
static void
show_care (SlWorkCard *self, gboolean applies)
{
  if (applies && !gtk_widget_get_visible (self->care))
    {
      /* that figures are advice is said once a visit */
      const guint cautions = sl_operation_cautions (instrument_of (self), self->kind) & ~(1u << SL_CAUTION_JUDGEMENT);
      g_autofree char *whole = sl_cautions_text (cautions, " ");
      const char *brief =
          self->kind == SL_OP_TURN_ROD ? _ ("Slacken the strings first") : _ ("Dust: extraction, respirator");

      sl_label_set (self->care_brief, brief);
      sl_label_set (self->care_whole, whole);
      sl_set_accessible_label (self->care_button, brief);
      gtk_widget_set_tooltip_text (self->care_button, whole);
    }
  gtk_widget_set_visible (self->care, applies);
}

void
sl_work_card_update (SlWorkCard *self, int number, gboolean caution, guint *told)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const GArray *plan = plan_of (self);
  const SlOpCount count = sl_count_operations (plan, self->kind);
  g_autofree char *summary = sl_operation_summary (analysis, plan, self->kind, &style);
  g_autofree char *effect = NULL;

  self->updating = TRUE;
  if (self->strings != NULL)
    show_strings (self, &style);
  show_amounts (self);
  show_tick (self, number, &count);
  sl_label_set (self->summary, summary);
  sl_set_class (self->summary, "sl-none", count.n_pending == 0);
  /* kept in its place while there is nothing to clear, so that the card does not jump */
  gtk_widget_set_opacity (self->clear, count.n_pending > 0 ? 1 : 0);
  gtk_widget_set_sensitive (self->clear, count.n_pending > 0);
  effect = sl_effect_text (analysis, plan, self->kind,
                           self->strings != NULL ? self->string : sl_bench_get_string (self->bench), &style);
  sl_set_remark (self->effect, effect);
  if (self->passes != NULL)
    sl_cut_passes_update (self->passes, self->string);
  show_gate (self, told);
  show_reason (self, &style);
  show_history (self, &style);
  /* work that was done since the readings wants reading */
  if (count.n_done > 0 && self->again == NULL)
    {
      self->again = sl_again_line_new (self->bench, self->kind);
      gtk_box_insert_child_after (GTK_BOX (self->body), self->again, self->history);
    }
  if (self->again != NULL)
    sl_again_line_update (self->again);
  show_care (self, caution && count.n_pending > 0);
  self->updating = FALSE;
}

gboolean
sl_work_card_focus (SlWorkCard *self)
{
  if (!gtk_widget_get_sensitive (self->tick) || gtk_check_button_get_active (GTK_CHECK_BUTTON (self->tick)))
    return FALSE;
  return self->amount == NULL ? gtk_widget_child_focus (self->part, GTK_DIR_TAB_FORWARD)
                              : gtk_widget_grab_focus (self->amount);
}

void
sl_work_card_tick (SlWorkCard *self)
{
  if (gtk_widget_grab_focus (self->tick)) /* heard as it changes */
    gtk_widget_activate (self->tick);
}

/* ---- building ---- */

/* Of this kind of work alone: between the template's word and its effect. */
static void
add (SlWorkCard *self, GtkWidget *part)
{
  gtk_widget_insert_before (part, self->body, self->effect);
}

static GtkWidget *
add_amount (SlWorkCard *self, const char *letter, const char *name)
{
  GtkWidget *row = sl_amount_row_new (self->bench, sl_operation_undo_name (self->kind), letter, &self->bound);

  if (name != NULL)
    sl_amount_row_set_name (SL_AMOUNT_ROW (row), name);
  g_signal_connect (row, "moved", G_CALLBACK (on_moved), self);
  add (self, row);
  return row;
}

static void
build_turns (SlWorkCard *self)
{
  const SlLengthUse use = { sl_bound_find ("turn-rod", "turns"),
                            _ ("turns"),
                            2,
                            TURNS_STEP,
                            .bench = self->bench,
                            .step_name = sl_operation_undo_name (self->kind) };

  self->turns_line = sl_built_new ("work.ui", "turns_line", "turns", &self->turns, NULL);
  sl_length_entry_set_up (self->turns, use);
  sl_set_accessible_label (self->turns, _ ("Turns of the rod’s nut, plus tightens"));
  g_signal_connect (self->turns, "committed", G_CALLBACK (on_turns), self);
  gtk_grid_attach (GTK_GRID (self->turns_line), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->turns)), 0, 1, 2,
                   1);
  add (self, self->turns_line);
}

static void
build_strings (SlWorkCard *self)
{
  self->strings = g_object_new (GTK_TYPE_BOX, "accessible-role", GTK_ACCESSIBLE_ROLE_GROUP, "css-classes",
                                (const char *const[]){ "linked", "sl-segments", "sl-strings", NULL }, NULL);
  sl_name_as (self->strings, _ ("%s: string"), sl_operation_title (self->kind));
  /* the bass first */
  for (int i = SL_MAX_STRINGS - 1; i >= 0; i--)
    {
      g_autofree char *label = g_strdup_printf ("%d", i + 1);

      self->buttons[i] = sl_segment_add (self->strings, label);
      gtk_widget_set_hexpand (self->buttons[i], TRUE);
      g_object_set_data (G_OBJECT (self->buttons[i]), "string", GINT_TO_POINTER (i + 1));
      g_signal_connect (self->buttons[i], "toggled", G_CALLBACK (on_string), self);
    }
  add (self, self->strings);
}

/* Of its kind alone, by the table. */
static void
build_amounts (SlWorkCard *self)
{
  const char *const *names = cards[self->kind].names;
  const gboolean by_string = sl_operations[self->kind].per_string || self->kind == SL_OP_MAKE_NUT;

  if (cards[self->kind].part_new != NULL)
    add (self, self->part = cards[self->kind].part_new (self->bench));
  else if (by_string)
    {
      build_strings (self);
      self->amount = add_amount (self, NULL, NULL);
    }
  else if (names[1] == NULL)
    self->amount = add_amount (self, self->kind == SL_OP_LEVEL_FRETS ? _ ("Fall-away") : NULL, _ (names[0]));
  else
    {
      /* Translators: one letter for the bass side */
      self->amount = add_amount (self, C_ ("side", "B"), _ (names[0]));
      /* Translators: one letter for the treble side */
      self->amount_treble = add_amount (self, C_ ("side", "T"), _ (names[1]));
    }
  if (self->kind == SL_OP_TURN_ROD)
    build_turns (self);
  if (sl_operations[self->kind].cuts)
    add (self, self->passes = sl_cut_passes_new (self->bench, self->kind));
}

static void
sl_work_card_class_init (SlWorkCardClass *class)
{
  sl_template_bind (
      class, "work-card", SL_MEMBERS (SlWorkCard, number, body),
      "number title clear summary tick word word_text level_line level effect gate gate_text gate_pass reason "
      "history care care_button care_brief care_whole body",
      SL_CALL (on_caution_toggled), SL_CALL (on_pass), SL_CALL (on_clear), SL_CALL (on_tick), SL_CALL (on_level),
      SL_CALL (sl_work_card_tick), NULL);
}

static void
sl_work_card_init (SlWorkCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
sl_work_card_new (SlBench *bench, SlOperationKind kind)
{
  SlWorkCard *self = g_object_new (SL_TYPE_WORK_CARD, NULL);
  g_autofree char *topic = g_strconcat (SL_HELP_NAME "work#", sl_operations[kind].bound.element, NULL);

  self->bench = sl_keep (self, bench);
  self->kind = kind;
  self->bound = kind == SL_OP_MAKE_NUT ? *sl_bound_find ("slot", "height") : sl_operations[kind].bound;
  sl_set_accessible_label (GTK_WIDGET (self), sl_operation_title (kind));
  gtk_widget_set_name (GTK_WIDGET (self), topic);
  gtk_label_set_text (GTK_LABEL (self->title), sl_operation_title (kind));
  sl_name_with_tip (self->clear, _ ("Take “%s” out of the plan"), sl_operation_title (kind));
  sl_name_as (self->tick, _ ("%s done"), sl_operation_title (kind));
  gtk_widget_add_css_class (self->summary, kind == SL_OP_CUT_SADDLE_BASE ? "sl-cut" : "sl-accent");
  gtk_widget_set_visible (self->level_line, kind == SL_OP_LEVEL_FRETS);
  build_amounts (self);
  return GTK_WIDGET (self);
}

gboolean
sl_work_card_is_seldom (SlOperationKind kind)
{
  return cards[kind].seldom;
}
