/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Putting a set of strings on the instrument: from the comparison, or from a menu of the sets there are. */
#include "desk/sheets/strings-parts.h"

#include "desk/kit/util.h"
#include "setup/record/compare.h"

#include <glib/gi18n-lib.h>

#define GROUP "sets"
#define FIT "fit"

typedef struct
{
  SlBench *bench; /* borrowed */
  GtkWidget *notice, *button;
  GSimpleAction *fit; /* borrowed: the button's group has it */
  int n_listed_for;
} Fitting;

static void
edit_fit (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  sl_profile_fit_strings (profile, data, TRUE);
}

void
sl_strings_fit (SlBench *bench, const SlStringSet *set, GtkWidget *notice)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (bench);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  g_autofree char *sentence = NULL, *text = NULL;

  sl_compare (&analysis->instrument, sl_state_ahead (analysis), set->strings, set->n_strings, NULL, comparison);
  sentence = sl_comparison_sentence (comparison, sl_decimal_sign ());
  sl_bench_edit (bench, C_ ("undo step", "fit strings"), SL_CHANGED_INSTRUMENT, FALSE, edit_fit, (gpointer) set);
  /* Translators: name of a set of strings; what it changes */
  text = g_strdup_printf (_ ("Fitted: %s. %s"), _ (set->name), sentence);
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

/* ---- the menu ---- */

static void
list_sets (Fitting *self, int n_strings)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  int n, n_listed = 0;
  const SlStringSet *all = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (all[i].n_strings == n_strings)
      {
        g_autoptr (GMenuItem) item = g_menu_item_new (_ (all[i].name), NULL);

        g_menu_item_set_action_and_target (item, GROUP "." FIT, "s", all[i].id);
        g_menu_append_item (menu, item);
        n_listed++;
      }
  self->n_listed_for = n_strings;
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->button), G_MENU_MODEL (menu));
  gtk_widget_set_sensitive (self->button, n_listed > 0);
}

/* The set that is on is marked in the menu. */
static void
show_present (Fitting *self, const SlInstrument *instrument)
{
  const char *id = "";
  int n;
  const SlStringSet *all = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (sl_string_set_is_on (&all[i], instrument))
      id = all[i].id;
  g_simple_action_set_state (self->fit, g_variant_new_string (id));
}

static void
update (GtkWidget *button)
{
  Fitting *self = g_object_get_data (G_OBJECT (button), "part");
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;

  if (self->n_listed_for != instrument->n_strings)
    list_sets (self, instrument->n_strings);
  show_present (self, instrument);
  sl_strings_fit_check (self->bench, self->notice);
}

static void
on_fit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  Fitting *self = data;
  const SlStringSet *set = sl_string_set_find (g_variant_get_string (parameter, NULL));

  if (set != NULL && !sl_string_set_is_on (set, &sl_bench_get_analysis (self->bench)->instrument))
    sl_strings_fit (self->bench, set, self->notice);
}

GtkWidget *
sl_strings_fit_button_new (SlBench *bench, GtkWidget *notice)
{
  static const GActionEntry fit = { FIT, on_fit, "s", "''", NULL, { 0 } };
  g_autoptr (GSimpleActionGroup) group = g_simple_action_group_new ();
  Fitting *self = g_new0 (Fitting, 1);

  self->bench = bench;
  self->notice = notice;
  self->button = gtk_menu_button_new ();
  gtk_menu_button_set_label (GTK_MENU_BUTTON (self->button), _ ("Fit a set…"));
  gtk_widget_set_tooltip_text (
      self->button,
      _ ("Puts a set of strings on the instrument, tuned as it is now. “Compare” shows first what it would do."));
  sl_set_accessible_label (self->button, _ ("Fit a set of strings"));
  g_action_map_add_action_entries (G_ACTION_MAP (group), &fit, 1, self);
  self->fit = G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (group), FIT));
  gtk_widget_insert_action_group (self->button, GROUP, G_ACTION_GROUP (group));
  g_object_set_data_full (G_OBJECT (self->button), "part", self, g_free);
  sl_follow_while_seen (self->button, bench, SL_CHANGED_INSTRUMENT, update);
  return self->button;
}
