/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

G_DEFINE_FINAL_TYPE (SlReadingRow, sl_reading_row, GTK_TYPE_BOX)

#define FINE_CENTS 0.2 /* what is heard may be known to hundredths */

static char *
tolerance_text (SlReadingRow *self, const SlReadingKnown *known)
{
  double u = known->reading ? sl_reading_own_u (sl_bench_get_set (self->bench), known->reading) : NAN;

  if (self->question.ask == SL_READ_PITCH && isfinite (u) && u > 0)
    {
      const double U = SL_COVERAGE * u;
      g_autofree char *range = sl_plain_format (U, U < FINE_CENTS ? 2 : 1, sl_decimal_sign ());

      /* Translators: how far off a reading of pitch may be, in cents */
      return g_strdup_printf (_ ("± %s ct"), range);
    }
  if (!sl_ask_is_length (self->question.ask))
    return g_strdup (sl_ask_plain_unit (self->question.ask));
  if (isfinite (u) && u > 0)
    {
      g_autofree char *range = sl_reading_small_length (self->bench, SL_COVERAGE * u);
      return g_strdup_printf ("± %s", range);
    }
  return g_strdup (sl_bench_get_lengths (self->bench) == SL_LENGTHS_MM ? _ ("mm") : _ ("in"));
}

/* What stands below the row, or NULL. */
static char *
note_text (SlReadingRow *self, const SlReadingKnown *known)
{
  if (known->fit && (known->fit->suspect || known->reading->use == SL_USE_NEVER))
    {
      const SlTextStyle style = sl_bench_text_style (self->bench);
      g_autofree char *range = sl_reading_small_length (self->bench, SL_COVERAGE * known->fit->predicted_u);
      g_autofree char *value = sl_text_fine (&style, known->fit->predicted);
      g_autofree char *others = g_strdup_printf ("%s ± %s", value, range);

      return g_strdup_printf (known->fit->suspect ? _ ("Disagrees and is excluded: the others expect %s.")
                                                  : _ ("Excluded by choice; the others expect %s."),
                              others);
    }
  if (known->fit && known->reading->use == SL_USE_ALWAYS)
    return g_strdup (_ ("Always kept, even where it disagrees."));
  if (known->reading != NULL && self->question.ask != SL_READ_PITCH && sl_number_is_set (known->reading->uncertainty))
    return g_strdup (_ ("Measured in a photograph."));
  if (!isnan (known->value) || isnan (known->expected))
    return NULL;
  if (known->carried)
    return sl_carried_text (self->bench, known);
  if (!isfinite (known->expected_u))
    return g_strdup (_ ("taken from the strings that were read"));
  g_autofree char *range = sl_reading_small_length (self->bench, SL_COVERAGE * known->expected_u);
  return g_strdup_printf (known->assumed ? _ ("assumed, ± %s") : _ ("expected from other readings, ± %s"), range);
}

static void
update_note (SlReadingRow *self, const SlReadingKnown *known, const char *text)
{
  gboolean suspect = known->fit && known->fit->suspect;
  gboolean chosen =
      known->fit && !suspect && (known->reading->use == SL_USE_NEVER || known->reading->use == SL_USE_ALWAYS);

  sl_set_class (GTK_WIDGET (self), "suspect", suspect);
  sl_set_class (GTK_WIDGET (self), "left-out", known->fit && !known->fit->used);
  if (self->note == NULL)
    {
      if (text == NULL && !suspect && !chosen)
        return;
      self->note = sl_built_new ("readings.ui", "note", "icon", &self->note_icon, "note_label", &self->note_label,
                                 "keep", &self->keep, NULL);
      gtk_box_append (GTK_BOX (self), self->note);
    }
  gtk_widget_set_visible (self->note, text != NULL);
  gtk_widget_set_visible (self->note_icon, suspect);
  sl_label_set (self->note_label, text ? text : "");
  gtk_widget_set_visible (self->keep, suspect || chosen);
  gtk_button_set_label (GTK_BUTTON (self->keep), chosen ? _ ("Let the fit decide") : _ ("Always keep"));
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->keep), "s",
                                    sl_use_names[chosen ? SL_USE_AUTO : SL_USE_ALWAYS]);
}

void
sl_reading_row_update (SlReadingRow *self, gboolean extra)
{
  SlReadingKnown known = sl_reading_known (self->bench, &self->question);
  g_autofree char *name = sl_question_row_name (&self->question, sl_bench_get_profile (self->bench)->n_strings);
  g_autofree char *tolerance = tolerance_text (self, &known);
  g_autofree char *note = note_text (self, &known);
  g_autofree char *trace = NULL, *before = NULL, *description = NULL;
  SlUse use = known.reading == NULL || known.reading->use == SL_USE_DEFAULT ? SL_USE_AUTO : known.reading->use;

  sl_before_texts (self->bench, &self->question, &trace, &before);
  /* "± 0.06 mm. carried from Received, 2 h ago, ± 0.12 mm. Read before: …" */
  description = g_strjoin (". ", tolerance, note != NULL ? note : before, note != NULL ? before : NULL, NULL);
  self->bound = sl_ask_bound (sl_bench_get_profile (self->bench), self->question.ask);
  sl_label_set_name (self->name, name);
  sl_label_set (self->tolerance_label, tolerance);
  sl_set_class (GTK_WIDGET (self), "unread", isnan (known.value));
  sl_set_class (GTK_WIDGET (self), "carried", known.carried != NULL);
  SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry);
  const int least = sl_readings[self->question.ask].places;

  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
  sl_length_entry_set_places (entry, sl_places_for (known.value, least));
  sl_length_entry_set_assumed (entry, known.expected);
  sl_length_entry_set_value (entry, known.value);
  sl_length_entry_set_description (entry, description);
  /* what was read before in the visit, faint, between what is wrong with the entry and the note */
  /* Translators: what was read before, oldest first, such as "before: 3.25 → 2.88" */
  g_autofree char *text = trace == NULL ? NULL : g_strdup_printf (_ ("before: %s"), trace);

  sl_set_remark (self->trace, text);
  gtk_widget_set_tooltip_text (self->trace, before);
  update_note (self, &known, note);
  if (self->slip != NULL)
    sl_slip_offer_follow (self->slip, known.value);
  g_simple_action_set_state (self->use_action, g_variant_new_string (sl_use_names[use]));
  g_simple_action_set_enabled (self->use_action, known.fit != NULL);
  g_simple_action_set_enabled (self->remove_action, extra || !isnan (known.value));
  gtk_widget_set_sensitive (self->tolerance, extra || !isnan (known.value));
}

static void
on_answered (gpointer row, double value)
{
  SlReadingRow *self = row;

  sl_question_put (self->bench, &self->question, value);
}

/* What was typed stands; where it looks like a slip of the unit, what was meant is offered below it, and the keyboard
 * goes on. */
static void
on_committed (SlReadingRow *self, double value)
{
  sl_question_put (self->bench, &self->question, value);
  if (!sl_ask_is_length (self->question.ask) || isnan (value))
    return;
  if (self->slip == NULL)
    {
      self->slip = sl_slip_offer_new (self->bench, on_answered, self);
      gtk_box_append (GTK_BOX (self), self->slip);
    }
  sl_slip_offer_ask (self->slip, &self->question, value);
}

static void
on_use (GSimpleAction *action, GVariant *state, gpointer data)
{
  SlReadingRow *self = data;
  for (int use = SL_USE_AUTO; use <= SL_USE_NEVER; use++)
    if (g_str_equal (sl_use_names[use], g_variant_get_string (state, NULL)))
      sl_question_put_use (self->bench, &self->question, (SlUse) use);
}

static void
on_remove (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (SlReadingRow) self = g_object_ref (data);
  sl_question_put (self->bench, &self->question, NAN);
  g_signal_emit_by_name (self, "removed");
}

static void
on_message (SlReadingRow *self)
{
  if (self->message != NULL || sl_length_entry_get_message (SL_LENGTH_ENTRY (self->entry)) == NULL)
    return;
  self->message = sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry));
  gtk_box_insert_child_after (GTK_BOX (self), self->message, gtk_widget_get_first_child (GTK_WIDGET (self)));
}

static void
sl_reading_row_class_init (SlReadingRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  g_signal_new ("removed", SL_TYPE_READING_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_css_name (widget_class, "reading");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  sl_template_bind (class, "reading-row", SL_MEMBERS (SlReadingRow, name, trace),
                    "name entry tolerance tolerance_label trace", SL_CALL (on_committed), SL_CALL (on_message), NULL);
}

static void
sl_reading_row_init (SlReadingRow *self)
{
  static const GActionEntry entries[] = {
    { "use", NULL, "s", "'auto'", on_use },
    { "remove", on_remove },
  };
  GActionMap *actions = sl_add_actions (GTK_WIDGET (self), "reading", entries, G_N_ELEMENTS (entries), self);

  self->use_action = G_SIMPLE_ACTION (g_action_map_lookup_action (actions, "use"));
  self->remove_action = G_SIMPLE_ACTION (g_action_map_lookup_action (actions, "remove"));
  gtk_widget_init_template (GTK_WIDGET (self));
  /* The button centres its child in a box of its own; a column of ± reads better from the left. */
  gtk_widget_set_halign (gtk_widget_get_parent (self->tolerance_label), GTK_ALIGN_FILL);
  sl_readings_menu_init (self->tolerance, "reading_menu");
}

GtkWidget *
sl_reading_row_new (SlBench *bench, const SlQuestion *question)
{
  SlReadingRow *self = g_object_new (SL_TYPE_READING_ROW, NULL);
  const SlReadingTraits *facts = &sl_readings[question->ask];
  g_autofree char *full = sl_question_full_name (question), *step = sl_question_step_name (question);

  self->bench = sl_keep (self, bench);
  self->question = *question;
  /* steps that suit what is read: a setback is read with a rule to 0.1 mm, air and pitch to a whole unit (common
   * practice) */
  sl_length_entry_set_up (self->entry,
                          (SlLengthUse){ &self->bound,
                                         sl_ask_is_length (question->ask) ? NULL : sl_ask_plain_unit (question->ask),
                                         facts->places, .coarse = facts->coarse, .bench = bench, .step_name = step });
  sl_set_accessible_label (GTK_WIDGET (self), full);
  sl_set_accessible_label (self->entry, full);
  sl_name_as (self->tolerance, _ ("What to do with: %s"), full);
  sl_reading_row_update (self, FALSE);
  return GTK_WIDGET (self);
}
