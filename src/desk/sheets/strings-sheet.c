/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of strings, with its first part: the set on the instrument, to tune, to edit and to change for another. */
#include "desk/sheets/sheets.h"

#include "desk/instrument/description-fields.h"
#include "desk/sheets/parts.h"
#include "words/dates.h"

const SlState *
sl_state_ahead (const SlAnalysis *analysis)
{
  return analysis->has_plan ? &analysis->planned : &analysis->measured;
}

char *
sl_take_change (char *before, char *after)
{
  g_autofree char *own_before = before, *own_after = after;

  return g_str_equal (own_before, own_after) ? g_steal_pointer (&own_after)
                                             : g_strdup_printf ("%s → %s", own_before, own_after);
}

char *
sl_plain_change (const SlTextStyle *style, double before, double after, int places)
{
  return sl_take_change (sl_text_plain (style, before, places, FALSE), sl_text_plain (style, after, places, FALSE));
}

char *
sl_fine_change (const SlTextStyle *style, double before, double after)
{
  return sl_take_change (sl_text_fine (style, before), sl_text_fine (style, after));
}

/* ---- fitting a set ---- */

void
sl_strings_fit (SlBench *bench, const SlStringSet *set, GtkWidget *notice)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (bench);
  const SlTextStyle style = sl_bench_text_style (bench);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  g_autofree char *sentence = NULL, *text = NULL, *name = sl_string_set_name (set);
  SlEdit edit;

  sl_compare (&analysis->planned_instrument, sl_state_ahead (analysis), set->strings, set->n_strings, comparison);
  sentence = sl_comparison_sentence (comparison, style.lengths, style.decimal);
  edit = sl_bench_begin_edit (bench, C_ ("undo step", "fit strings"), SL_CHANGED_INSTRUMENT, FALSE);
  sl_profile_fit_strings (edit.profile, set, TRUE);
  g_free (edit.profile->set_name);
  edit.profile->set_name = g_strdup (name);
  g_free (edit.profile->fitted);
  edit.profile->fitted = sl_today_iso ();
  g_clear_pointer (&edit.profile->chosen_by, g_free);
  sl_bench_end_edit (&edit);
  /* Translators: name of a set of strings; what it changes */
  text = g_strdup_printf (_ ("Fitted: %s. %s"), name, sentence);
  sl_set_remark (notice, text);
  g_object_set_data (G_OBJECT (notice), "fitted", (gpointer) set);
}

void
sl_strings_fit_check (SlBench *bench, GtkWidget *notice)
{
  const SlStringSet *fitted = g_object_get_data (G_OBJECT (notice), "fitted");

  if (fitted != NULL && !sl_string_set_is_on (fitted, &sl_bench_get_analysis (bench)->instrument))
    sl_set_remark (notice, NULL);
}

/* ---- the set ---- */

#define GROUP "sets"
#define FIT "fit"
#define GRAMS 1000.0 /* in a kilogram */
#define MM2_IN_M2 1e6
#define MASS_PLACES 3
#define NEAR_HZ 1e-6 /* of a frequency: the same note */
#define ENTRY_CHARS 6
#define NOTE_CHARS 4

enum
{
  COLUMN_STRING,
  COLUMN_NOTE,
  COLUMN_SOUND,
  COLUMN_CORE,
  COLUMN_CORE_DIAMETER,
  COLUMN_WRAP,
  COLUMN_WRAP_DIAMETER,
  COLUMN_OUTSIDE,
  COLUMN_MASS,
  COLUMN_AXIAL,
  COLUMN_BENDING,
  N_COLUMNS
};

/* Where the description's columns stand, in their order; 0: nowhere. */
static const int places[] = { COLUMN_NOTE,          0,           COLUMN_CORE,  COLUMN_CORE_DIAMETER, COLUMN_WRAP,
                              COLUMN_WRAP_DIAMETER, COLUMN_MASS, COLUMN_AXIAL, COLUMN_BENDING };

typedef struct
{
  SlBench *bench;
  /* bound in this order */
  GtkWidget *page, *tools, *notice, *complaint, *messages, *warnings, *fit_button, *tuning;
  SlFigureTable *table;
  GSimpleAction *fit;                            /* borrowed: the button's group has it */
  GtkWidget *entries[SL_MAX_STRINGS][N_COLUMNS]; /* by string and column; NULL where nothing is entered */
  int n_tunings;
  const SlTuning *listed[16]; /* place 0 of the chooser stands for notes of one's own */
} Set;

/* ---- the menu of sets ---- */

static void
list_sets (Set *self, int n_strings)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  int n;
  const SlStringSet *all = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (all[i].n_strings == n_strings)
      {
        g_autoptr (GMenuItem) item = g_menu_item_new (_ (all[i].name), NULL);

        g_menu_item_set_action_and_target (item, GROUP "." FIT, "s", all[i].id);
        g_menu_append_item (menu, item);
      }
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->fit_button), G_MENU_MODEL (menu));
  gtk_widget_set_sensitive (self->fit_button, g_menu_model_get_n_items (G_MENU_MODEL (menu)) > 0);
}

static void
on_fit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  Set *self = data;
  const SlStringSet *set = sl_string_set_find (g_variant_get_string (parameter, NULL));

  if (set != NULL) /* of the kind that is on, too: new ones, of which nothing was heard yet */
    sl_strings_fit (self->bench, set, self->notice);
}

/* ---- tuning ---- */

static gboolean
is_tuned (const SlInstrument *instrument, const SlTuning *tuning)
{
  for (int s = 0; s < tuning->n_strings; s++)
    {
      double wanted = sl_note_frequency (tuning->notes[s]);

      if (!(fabs (instrument->strings[s].frequency_hz - wanted) <= NEAR_HZ * wanted))
        return FALSE;
    }
  return TRUE;
}

static void
list_tunings (Set *self, int n_strings)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  int n;
  const SlTuning *all = sl_tunings (&n);

  gtk_string_list_append (list, C_ ("tuning", "own notes"));
  self->n_tunings = 0;
  for (int i = 0; i < n && self->n_tunings < (int) G_N_ELEMENTS (self->listed); i++)
    if (all[i].n_strings == n_strings)
      {
        self->listed[self->n_tunings++] = &all[i];
        gtk_string_list_append (list, _ (all[i].name));
      }
  sl_chooser_fill (self->tuning, list, 0);
  gtk_widget_set_sensitive (self->tuning, self->n_tunings > 0);
}

static void
show_tuning (Set *self, const SlInstrument *instrument)
{
  guint selected = 0;

  for (int i = 0; i < self->n_tunings && selected == 0; i++)
    if (is_tuned (instrument, self->listed[i]))
      selected = (guint) i + 1;
  sl_chooser_fill (self->tuning, NULL, selected);
}

static void
on_tuning (Set *self)
{
  const guint selected = sl_chosen (self->tuning);

  if (selected > 0)
    {
      g_auto (SlEdit) edit = sl_bench_begin_edit (self->bench, C_ ("undo step", "tune"), SL_CHANGED_INSTRUMENT, FALSE);

      sl_profile_tune (edit.profile, self->listed[selected - 1]);
    }
  else
    show_tuning (self, &sl_bench_get_analysis (self->bench)->instrument); /* one's own notes are typed */
}

/* ---- the table ---- */

static void
build_row (Set *self, int string)
{
  const SlDescriptionPage *page = sl_description_page ("strings");

  g_assert (page->n_columns == G_N_ELEMENTS (places));
  for (gsize i = 0; i < G_N_ELEMENTS (places); i++)
    if (places[i] > 0)
      {
        GtkWidget *control = sl_field_new (self->bench, &page->columns[i], string),
                  *message = sl_field_new_message (control);

        if (GTK_IS_EDITABLE (control))
          sl_set_chars (control, places[i] == COLUMN_NOTE ? NOTE_CHARS : ENTRY_CHARS);
        gtk_widget_set_valign (control, GTK_ALIGN_CENTER);
        sl_figure_table_put (self->table, (guint) string - 1, (guint) places[i], control);
        if (message != NULL)
          gtk_box_append (GTK_BOX (self->messages), message);
        self->entries[string - 1][places[i]] = control;
      }
}

/* What stands in grey where nothing is @given; that keeps its own decimals. */
static void
show_computed (GtkWidget *entry, SlNumber given, double value, int decimals)
{
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), sl_places_for (sl_number_or (given, 0), decimals));
  sl_length_entry_set_assumed (SL_LENGTH_ENTRY (entry), value);
}

static void
show_string (Set *self, const SlTextStyle *style, int string)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const SlString *present = &profile->strings[string - 1];
  const SlStringData *data = &sl_bench_get_analysis (self->bench)->instrument.strings[string - 1];
  const guint row = (guint) string - 1;
  SlString plain = *present;
  SlStringData computed;

  plain.unit_mass = plain.axial_stiffness = plain.bending_stiffness = SL_NUMBER_ABSENT;
  sl_string_data (&plain, &computed);
  sl_figure_table_take (self->table, row, COLUMN_STRING, sl_text_string (profile, string));
  sl_figure_table_take (self->table, row, COLUMN_SOUND, sl_text_plain (style, data->frequency_hz, 1, FALSE));
  sl_figure_table_take (self->table, row, COLUMN_OUTSIDE, sl_text_fine (style, data->outside_mm));
  show_computed (self->entries[row][COLUMN_MASS], present->unit_mass, GRAMS * computed.unit_mass_kg_m, MASS_PLACES);
  show_computed (self->entries[row][COLUMN_AXIAL], present->axial_stiffness, computed.ea_n, 0);
  show_computed (self->entries[row][COLUMN_BENDING], present->bending_stiffness, MM2_IN_M2 * computed.ei_nm2, 0);
  gtk_widget_set_sensitive (self->entries[row][COLUMN_WRAP_DIAMETER], present->build == SL_BUILD_WOUND);
}

void
sl_strings_warn (GtkWidget *remark, const double *shares, int n_strings)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (int s = 1; s <= n_strings; s++)
    {
      g_autofree char *warning = sl_stress_warning (s, shares[s - 1], sl_decimal_sign ());

      if (warning != NULL)
        g_string_append_printf (text, "%s%s", text->len > 0 ? "\n" : "", warning);
    }
  sl_set_remark (remark, text->str);
}

static void
update (Set *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const int n = analysis->instrument.n_strings;

  if (sl_figure_table_set_rows (self->table, (guint) n))
    {
      sl_empty_box (self->messages);
      for (int s = 1; s <= n; s++)
        build_row (self, s);
      list_sets (self, n);
      list_tunings (self, n);
    }
  sl_figure_table_set_unit (self->table, sl_text_unit (&style));
  for (int s = 1; s <= n; s++)
    show_string (self, &style, s);
  sl_set_remark (self->complaint, NULL); /* what was refused changed nothing; this is a change since */
  show_tuning (self, &analysis->instrument);
  /* the set that is on is marked in the menu */
  const char *id = "";
  int n_sets;
  const SlStringSet *all = sl_string_sets (&n_sets);

  for (int i = 0; i < n_sets; i++)
    if (sl_string_set_is_on (&all[i], &analysis->instrument))
      id = all[i].id;
  g_simple_action_set_state (self->fit, g_variant_new_string (id));
  sl_strings_fit_check (self->bench, self->notice);
  sl_strings_warn (self->warnings,
                   (analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures)->core_stress_share,
                   n);
}

static void
on_complain (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_set_remark (((Set *) data)->complaint, g_variant_get_string (parameter, NULL));
}

GtkWidget *
sl_strings_set_new (SlBench *bench)
{
  Set *self = sl_part_new (bench, SL_PART (Set, page, table), g_free, "strings-set",
                           "page tools notice complaint messages warnings fit_button tuning table", NULL);
  static const GActionEntry fit_entry = { FIT, on_fit, "s", "''", NULL, { 0 } };
  g_auto (GStrv) complain = g_strsplit (SL_COMPLAIN_ACTION, ".", 2);

  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_part_set_tools (self->page, self->tools);
  self->fit =
      G_SIMPLE_ACTION (g_action_map_lookup_action (sl_add_actions (self->fit_button, GROUP, &fit_entry, 1, self), FIT));
  sl_add_actions (self->page, complain[0], &(GActionEntry){ complain[1], on_complain, "s", NULL, NULL, { 0 } }, 1,
                  self);
  sl_chooser_init (self->tuning, _ ("Tuning"), G_CALLBACK (on_tuning), self);
  return self->page;
}

/* ---- the sheet ---- */

GtkWidget *
sl_strings_sheet_new (SlBench *bench)
{
  GtkWidget *picture, *compare = sl_strings_compare_new (bench, &picture);
  GtkWidget *sheet = sl_sheet_frame_new (_ ("Strings"), picture, 0);

  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Set"), sl_strings_set_new (bench));
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Compare"), compare);
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Nut"), sl_strings_nut_new (bench));
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Saddle"), sl_strings_saddle_new (bench));
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Tuner posts"), sl_strings_posts_new (bench));
  return sheet;
}
