/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "bench/settings.h"
#include "file/document.h"

#define PERCENT 100.0
#define ENTRY_CHARS 7
#define FIGURE_PLACES 2 /* of millimetres */
#define INCH_PLACES 3   /* one more, so that a hundredth of a millimetre shows */

/* The page's columns; what is wrong with an entry has the row below. */
enum
{
  NAME_COLUMN,
  VALUE_COLUMN,
  UNIT_COLUMN,
  N_COLUMNS
};

typedef struct
{
  GtkWidget *page, *note, *values[10]; /* in the order of sl_shop_bounds */
} Habits;

static int
row_of (GtkWidget *control)
{
  int row;

  gtk_grid_query_child (GTK_GRID (gtk_widget_get_parent (control)), control, NULL, &row, NULL, NULL);
  return row;
}

static GtkWidget *
beside (GtkWidget *control, int column)
{
  return gtk_grid_get_child_at (GTK_GRID (gtk_widget_get_parent (control)), column, row_of (control));
}

/* ---- the entries ---- */

/* Shown = kept times this. */
static double
factor_of (const SlBound *bound)
{
  return bound->unit == SL_UNIT_MM ? 1 : PERCENT;
}

static void
on_committed (SlLengthEntry *entry, double value, const SlBound *bound)
{
  sl_settings_set (bound->attribute, g_variant_new_double (value / factor_of (bound)));
}

static void
on_switched (GtkSwitch *control, GParamSpec *pspec, const SlBound *bound)
{
  sl_settings_set (bound->attribute, g_variant_new_double (gtk_switch_get_active (control)));
}

/* The decimals that show a length as it was entered. Lengths follow the unit that is chosen for new windows; so fine
 * ones are written in decimal inches where 64ths are. */
static void
show_length (GtkWidget *control)
{
  SlLengthEntry *entry = SL_LENGTH_ENTRY (control);
  const SlLengths lengths = sl_settings_get_lengths ();
  const gboolean metric = lengths == SL_LENGTHS_MM;

  sl_length_entry_set_lengths (entry, lengths);
  sl_length_entry_set_places (entry,
                              sl_places_for (sl_length_entry_get_value (entry), metric ? FIGURE_PLACES : INCH_PLACES));
  sl_label_set (beside (control, UNIT_COLUMN), metric ? _ ("mm") : _ ("in"));
}

static void
set_up_entry (GtkWidget *control, const SlBound *bound, double value)
{
  const gboolean percent = bound->unit != SL_UNIT_MM;
  SlBound *shown = g_memdup2 (bound, sizeof *bound);
  SlLengthEntry *entry = SL_LENGTH_ENTRY (control);

  shown->most *= factor_of (bound);
  g_object_set_data_full (G_OBJECT (entry), "shown", shown, g_free);
  sl_length_entry_set_up (control, (SlLengthUse){ shown, percent ? "%" : NULL, percent ? 0 : FIGURE_PLACES,
                                                  percent ? 1 : 0.01, .required = TRUE, .chars = ENTRY_CHARS });
  sl_length_entry_set_value (entry, value * factor_of (bound));
  gtk_grid_attach (GTK_GRID (gtk_widget_get_parent (control)), sl_length_entry_new_message (entry), NAME_COLUMN,
                   row_of (control) + 1, N_COLUMNS, 1);
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), (gpointer) bound);
  if (percent)
    return;
  show_length (control);
  sl_settings_follow (SL_SETTING_LENGTHS, control, G_CALLBACK (show_length));
}

/* ---- as a file ---- */

static void
write_in_thread (GTask *task, gpointer file, gpointer bytes, GCancellable *cancellable)
{
  GError *error = NULL;

  sl_file_replace (file, bytes, NULL, TRUE, cancellable, &error);
  sl_thread_return (task, error);
}

static void
on_written (GObject *file, GAsyncResult *result, gpointer data)
{
  g_autoptr (GtkLabel) note = data;
  g_autoptr (GError) error = NULL;
  g_autofree char *shown = g_file_get_parse_name (G_FILE (file)), *text = NULL;

  if (g_task_propagate_boolean (G_TASK (result), &error))
    text = g_strdup_printf (_ ("Written to “%s”."), shown);
  else
    text = g_strdup_printf (_ ("“%1$s” was not written. %2$s"), shown, error->message);
  gtk_label_set_text (note, text);
}

static void
on_file_chosen (gpointer note, GListModel *files)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  const SlShop shop = sl_settings_get_shop ();
  char *text = sl_shop_print (&shop);

  sl_run_in_thread (file, NULL, write_in_thread, g_bytes_new_take (text, strlen (text)), (GDestroyNotify) g_bytes_unref,
                    on_written, g_object_ref (note));
}

static void
on_write (GtkWidget *button, GtkWidget *note)
{
  if (sl_typed_take (GTK_WINDOW (gtk_widget_get_root (button))))
    gtk_file_chooser_set_current_name (sl_choose_files (note, _ ("Write how the shop works"),
                                                        GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Write"), NULL,
                                                        on_file_chosen),
                                       "shop.ini");
}

GtkWidget *
sl_shop_habits_new (void)
{
  SlShop shop = sl_settings_get_shop ();
  Habits habits;

  sl_build ("shop-habits", &habits, SL_MEMBERS (Habits, page, values[G_N_ELEMENTS (habits.values) - 1]),
            "page note cut-step work-rod work-slot work-base work-shape work-level work-slot-share work-base-share "
            "work-shape-share to-target",
            SL_CALL (on_write), NULL);
  for (guint i = 0; i < G_N_ELEMENTS (habits.values); i++)
    {
      const SlBound *bound = &sl_shop_bounds[i];
      GtkWidget *control = habits.values[i];
      const double value = *sl_shop_value (&shop, bound);

      sl_set_accessible_label (control, gtk_label_get_text (GTK_LABEL (beside (control, NAME_COLUMN))));
      /* by its label and by the name it has of it, it would be said twice */
      gtk_accessible_reset_relation (GTK_ACCESSIBLE (control), GTK_ACCESSIBLE_RELATION_LABELLED_BY);
      if (SL_IS_LENGTH_ENTRY (control))
        {
          set_up_entry (control, bound, value);
          continue;
        }
      gtk_switch_set_active (GTK_SWITCH (control), value > 0);
      g_signal_connect (control, "notify::active", G_CALLBACK (on_switched), (gpointer) bound);
    }
  return habits.page;
}
