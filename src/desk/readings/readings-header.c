/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "bench/visit-edit.h"
#include "desk/readings/readings.h"
#include "words/dates.h"

typedef struct
{
  SlBench *bench; /* kept by the head */
  GSimpleAction *stage_action, *again_action;
  GtkWidget *head, *line, *stage_button, *stage_label, *air; /* bound in this order */
} Header;

/* " · 21 °C"; decimals only where they were read. */
static void
add_part (GString *text, const char *format, double value, int places)
{
  g_autofree char *number = sl_plain_format (value, places, sl_decimal_sign ());

  if (text->len > 0)
    g_string_append (text, " · ");
  g_string_append_printf (text, format, number);
}

static void
add_read (GString *text, const char *format, SlNumber read)
{
  if (sl_number_is_set (read))
    add_part (text, format, read.v, fabs (read.v - round (read.v)) < 0.05 ? 0 : 1);
}

static void
add_words (GString *text, const char *words)
{
  g_string_append_printf (text, "%s%s", text->len > 0 ? " · " : "", words);
}

static char *
air_text (const Header *self, const SlReadingSet *set)
{
  g_autoptr (GString) text = g_string_new (NULL);
  const double wood = sl_bench_get_analysis (self->bench)->measured_figures.moisture_content.value;

  if (set != NULL)
    {
      add_read (text, _ ("%s °C"), set->temperature);
      add_read (text, _ ("%s %% RH"), set->humidity);
    }
  if (set != NULL && isfinite (wood))
    /* Translators: the equilibrium moisture content of wood in this air */
    add_part (text, _ ("wood at %s %%"), wood, 1);
  if (set != NULL)
    {
      /* what is unusual about how the set was read */
      if (set->strings == SL_STRINGS_SLACK)
        add_words (text, _ ("strings slack"));
      else if (set->strings == SL_STRINGS_OFF)
        add_words (text, _ ("strings off"));
      if (set->settled == SL_SETTLED_NO)
        add_words (text, _ ("not settled"));
    }
  return g_strdup (text->len > 0 ? text->str : _ ("Air not read"));
}

void
sl_readings_header_update (GtkWidget *header)
{
  const Header *self = sl_part_of (header);
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  g_autofree char *date = set == NULL ? NULL : sl_date_short (set->taken), *air = air_text (self, set);
  g_autofree char *stage =
      set == NULL ? g_strdup (_ ("Nothing read yet")) : g_strdup_printf ("%s · %s", sl_stage_title (set->stage), date);

  sl_label_set (self->stage_label, stage);
  sl_label_set (self->air, air);
  sl_set_accessible_label (self->stage_button, stage);
  g_simple_action_set_state (self->stage_action,
                             g_variant_new_string (sl_stage_names[set ? set->stage : SL_STAGE_RECEIVED]));
  g_simple_action_set_enabled (self->again_action, set != NULL && set->readings->len > 0);
}

static void
on_stage (GSimpleAction *action, GVariant *state, gpointer data)
{
  const Header *self = data;

  for (int stage = SL_STAGE_RECEIVED; stage <= SL_STAGE_FINAL; stage++)
    if (g_str_equal (sl_stage_names[stage], g_variant_get_string (state, NULL)))
      {
        g_auto (SlEdit) edit =
            sl_bench_begin_edit (self->bench, _ ("stage of the readings"), SL_CHANGED_READINGS, TRUE);

        edit.set->stage = (SlStage) stage;
      }
}

static void
on_again (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_bench_read_again (((const Header *) data)->bench, FALSE);
}

static void
on_run (const Header *self)
{
  sl_reading_run_present (GTK_WINDOW (gtk_widget_get_root (self->head)), self->bench);
}

/* Made when it is first opened: a form has dozens of rows. */
static void
create_menu (GtkMenuButton *button, gpointer id)
{
  g_autoptr (GtkBuilder) builder = NULL;

  if (gtk_menu_button_get_menu_model (button) != NULL)
    return;
  builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/readings.ui");
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (gtk_builder_get_object (builder, id)));
}

void
sl_readings_menu_init (GtkWidget *button, const char *id)
{
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (button), create_menu, (gpointer) id, NULL);
}

GtkWidget *
sl_readings_header_new (SlBench *bench)
{
  static const GActionEntry entries[] = {
    { "stage", NULL, "s", "'received'", on_stage },
    { "again", on_again },
  };
  Header *self = sl_part_new (bench, SL_PART (Header, head, air), g_free, "readings-header",
                              "head line stage_button stage_label air", SL_CALL (on_run), NULL);
  GActionMap *actions = sl_add_actions (self->head, "readings", entries, G_N_ELEMENTS (entries), self);

  self->stage_action = G_SIMPLE_ACTION (g_action_map_lookup_action (actions, "stage"));
  self->again_action = G_SIMPLE_ACTION (g_action_map_lookup_action (actions, "again"));
  sl_flow (self->line, SL_SPACE);
  sl_readings_menu_init (self->stage_button, "readings_menu");
  sl_readings_header_update (self->head);
  return self->head;
}

/* ---- what the set says beside its readings ---- */

typedef struct
{
  SlBench *bench; /* kept by the box */
  GtkWidget *strings, *settled, *message;
  gboolean updating;
} AirRows;

/* With the strings slack or off there is no height of theirs to read. */
static gboolean
holds_heights (const SlReadingSet *set)
{
  const SlReadingSet slack = { .strings = SL_STRINGS_SLACK };

  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    {
      const SlQuestion question = sl_question_of_reading (set, i);

      if (!sl_question_is_asked (&slack, &question))
        return TRUE;
    }
  return FALSE;
}

static void update (AirRows *self);

static void
on_strings (AirRows *self)
{
  const SlStringsState state = (SlStringsState) (SL_STRINGS_AT_PITCH + (int) sl_chosen (self->strings));
  const gboolean refused = state != SL_STRINGS_AT_PITCH && holds_heights (sl_bench_get_set (self->bench));

  sl_set_remark (self->message, refused ? _ ("These readings hold heights or pitch of the strings, which are read at "
                                             "pitch: read again, and enter relief there.")
                                        : "");
  if (refused)
    {
      update (self);
      return;
    }
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "strings of the readings"), SL_CHANGED_READINGS, TRUE);
  edit.set->strings = state == SL_STRINGS_AT_PITCH ? SL_STRINGS_DEFAULT : state;
}

static void
on_settled (AirRows *self)
{
  if (self->updating)
    return;
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "settled in the air"), SL_CHANGED_READINGS, TRUE);
  edit.set->settled = sl_is_on (self->settled) ? SL_SETTLED_DEFAULT : SL_SETTLED_NO;
}

static void
update (AirRows *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlStringsState strings = set == NULL || set->strings == SL_STRINGS_DEFAULT ? SL_STRINGS_AT_PITCH : set->strings;

  sl_chooser_fill (self->strings, NULL, (guint) (strings - SL_STRINGS_AT_PITCH));
  self->updating = TRUE;
  gtk_switch_set_active (GTK_SWITCH (self->settled), set == NULL || set->settled != SL_SETTLED_NO);
  self->updating = FALSE;
}

static void
on_readings (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");

  gtk_widget_set_visible (self->message, FALSE);
  update (self);
}

GtkWidget *
sl_readings_air_new (SlBench *bench)
{
  AirRows *self = g_new0 (AirRows, 1);
  GtkWidget *box = sl_built_new ("readings.ui", "air", "strings", &self->strings, "settled", &self->settled, "message",
                                 &self->message, NULL);

  self->bench = sl_keep (box, bench);
  g_object_set_data_full (G_OBJECT (box), "rows", self, g_free);
  sl_chooser_init (self->strings, _ ("Strings while this was read"), G_CALLBACK (on_strings), self);
  g_signal_connect_swapped (self->settled, "notify::active", G_CALLBACK (on_settled), self);
  update (self);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_VISIT, G_CALLBACK (on_readings), box);
  return box;
}
