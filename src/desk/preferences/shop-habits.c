/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/pages.h"

#include "desk/kit/length-entry.h"
#include "bench/settings.h"
#include "desk/kit/util.h"
#include "file/document.h"
#include "setup/profile/shop.h"

#define PERCENT 100.0
#define ENTRY_CHARS 7
#define FIGURE_PLACES 2 /* of millimetres */
#define INCH_PLACES 3   /* one more, so that a hundredth of a millimetre shows */
#define ROW_SPACING 6
#define COLUMN_SPACING 16

/* How one value of the shop is asked for. */
typedef struct
{
  const char *title;
  const char *heading, *note; /* above it; NULL for none */
  double factor;              /* shown = kept times this; 0: a switch */
} Habit;

#define UNCERTAIN_NOTE                                                                                                 \
  N_ ("How far finished work may be off, as a standard uncertainty: about two times in three it is closer. It widens " \
      "what is planned, and what is carried from one reading to the next.")

/* In the order of sl_shop_bounds. */
static const Habit habits[] = {
  { N_ ("Cuts in steps of"), N_ ("Cuts"),
    N_ ("Cuts off the saddle’s underside and top are proposed in whole steps, never deeper than worked out; 0: no "
        "rounding."),
    1 },
  { N_ ("Adjusting the rod, of its change of relief"), N_ ("How sure the work is"), UNCERTAIN_NOTE, PERCENT },
  { N_ ("A slot"), NULL, NULL, 1 },
  { N_ ("An end of a cut off the saddle’s underside"), NULL, NULL, 1 },
  { N_ ("A dressed saddle top"), NULL, NULL, 1 },
  { N_ ("Levelled frets"), NULL, NULL, 1 },
  { N_ ("A slot, share of the cut"), NULL, NULL, PERCENT },
  { N_ ("The saddle’s underside, share of the cut"), NULL, NULL, PERCENT },
  { N_ ("The saddle’s top, share of the cut"), NULL, NULL, PERCENT },
  { N_ ("Bring what is in range to its target, too"), N_ ("What is proposed"),
    N_ ("Work is proposed for what is out of range, and then goes to the target itself. What is in range is left "
        "alone."),
    0 },
};

/* ---- the entries ---- */

static void
on_committed (SlLengthEntry *entry, double value, gpointer data)
{
  const guint i = GPOINTER_TO_UINT (data);

  sl_settings_set (sl_shop_bounds[i].attribute, g_variant_new_double (value / habits[i].factor));
}

static void
on_switched (GObject *control, GParamSpec *pspec, gpointer attribute)
{
  sl_settings_set (attribute, g_variant_new_double (gtk_switch_get_active (GTK_SWITCH (control)) ? 1 : 0));
}

/* The decimals that show a length as it was entered. */
static int
places_of (double mm)
{
  return sl_places_for (mm, sl_settings_get_lengths () == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES);
}

static GtkWidget *
switch_new (guint i)
{
  SlShop shop = sl_settings_get_shop ();
  GtkWidget *control = g_object_new (GTK_TYPE_SWITCH, "active", *sl_shop_value (&shop, &sl_shop_bounds[i]) > 0,
                                     "halign", GTK_ALIGN_START, "valign", GTK_ALIGN_CENTER, NULL);

  sl_set_accessible_label (control, _ (habits[i].title));
  g_signal_connect (control, "notify::active", G_CALLBACK (on_switched), (gpointer) sl_shop_bounds[i].attribute);
  return control;
}

static GtkWidget *
entry_new (guint i)
{
  static SlBound shown[G_N_ELEMENTS (habits)]; /* in what is shown */
  const Habit *habit = &habits[i];
  SlShop shop = sl_settings_get_shop ();
  const double value = *sl_shop_value (&shop, &sl_shop_bounds[i]) * habit->factor;
  const gboolean percent = habit->factor == PERCENT;
  GtkWidget *entry = sl_length_entry_set_up (
      sl_length_entry_new (), (SlLengthUse){ &shown[i], percent ? "%" : NULL, percent ? 0 : places_of (value),
                                             percent ? 1 : 0.01, .required = TRUE, .chars = ENTRY_CHARS });

  shown[i] = sl_shop_bounds[i];
  shown[i].most *= habit->factor;
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), value);
  gtk_widget_set_halign (entry, GTK_ALIGN_START);
  sl_set_accessible_label (entry, _ (habit->title));
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), GUINT_TO_POINTER (i));
  return entry;
}

/* Lengths follow the unit that is chosen for new windows; so fine ones are written in decimal inches where 64ths are.
 */
static void
show_lengths (GtkWidget *grid)
{
  const SlLengths lengths = sl_settings_get_lengths ();

  for (GtkWidget *child = gtk_widget_get_first_child (grid); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *unit = g_object_get_data (G_OBJECT (child), "unit");

      if (unit == NULL)
        continue;
      sl_length_entry_set_lengths (SL_LENGTH_ENTRY (child), lengths);
      sl_length_entry_set_places (SL_LENGTH_ENTRY (child),
                                  places_of (sl_length_entry_get_value (SL_LENGTH_ENTRY (child))));
      gtk_label_set_text (GTK_LABEL (unit), lengths == SL_LENGTHS_MM ? _ ("mm") : _ ("in"));
    }
}

static GtkWidget *
label_new (const char *text, const char *css_class)
{
  GtkWidget *label = sl_label_new (text);

  gtk_widget_add_css_class (label, css_class);
  return label;
}

/* ---- as a file ---- */

static void
write_in_thread (GTask *task, gpointer file, gpointer bytes, GCancellable *cancellable)
{
  GError *error = NULL;

  if (sl_file_replace (file, bytes, NULL, TRUE, cancellable, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
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
on_file_chosen (GtkNativeDialog *dialog, int response, gpointer note)
{
  g_autoptr (GFile) file =
      response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  const SlShop shop = sl_settings_get_shop ();
  char *text = sl_shop_print (&shop);
  GBytes *bytes = g_bytes_new_take (text, strlen (text));
  g_autoptr (GTask) task = g_task_new (file, NULL, on_written, g_object_ref (note));

  g_task_set_task_data (task, bytes, (GDestroyNotify) g_bytes_unref);
  if (file != NULL)
    g_task_run_in_thread (task, write_in_thread);
  g_object_set_data (note, "chooser", NULL);
}

static void
on_write (GtkWidget *button, gpointer note)
{
  GtkFileChooserNative *chooser =
      gtk_file_chooser_native_new (_ ("Write how the shop works"), GTK_WINDOW (gtk_widget_get_root (button)),
                                   GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Write"), _ ("_Cancel"));

  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (chooser), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (chooser), "shop.ini");
  g_object_set_data_full (note, "chooser", chooser, g_object_unref);
  g_signal_connect_object (chooser, "response", G_CALLBACK (on_file_chosen), note, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
}

static void
attach_writing (GtkGrid *grid, int row)
{
  GtkWidget *button = gtk_button_new_with_label (_ ("Write as a file…")),
            *note = sl_note_new (_ ("For the command line: sidelong-calc takes it with --shop."));

  gtk_widget_set_halign (button, GTK_ALIGN_START);
  g_signal_connect_object (button, "clicked", G_CALLBACK (on_write), note, 0);
  gtk_grid_attach (grid, button, 0, row, 3, 1);
  gtk_grid_attach (grid, note, 0, row + 1, 3, 1);
}

/* One value with its name, and what is said above it; returns the next free row. */
static int
attach_habit (GtkGrid *grid, guint i, int row)
{
  const Habit *habit = &habits[i];
  GtkWidget *name = label_new (_ (habit->title), "sl-name"), *control, *unit;

  if (habit->heading != NULL)
    gtk_grid_attach (grid, label_new (_ (habit->heading), "sl-section"), 0, row++, 3, 1);
  if (habit->note != NULL)
    gtk_grid_attach (grid, sl_note_new (_ (habit->note)), 0, row++, 3, 1);
  control = habit->factor == 0 ? switch_new (i) : entry_new (i);
  gtk_grid_attach (grid, name, 0, row, 1, 1);
  gtk_grid_attach (grid, control, 1, row, 1, 1);
  if (habit->factor == 0)
    return row + 1;
  unit = label_new ("%", "sl-dim");
  if (habit->factor != PERCENT)
    g_object_set_data (G_OBJECT (control), "unit", unit);
  gtk_widget_set_hexpand (unit, TRUE);
  gtk_grid_attach (grid, unit, 2, row++, 1, 1);
  gtk_grid_attach (grid, sl_length_entry_new_message (SL_LENGTH_ENTRY (control)), 0, row++, 3, 1);
  return row;
}

GtkWidget *
sl_shop_habits_new (void)
{
  GtkWidget *grid = gtk_grid_new ();
  int row = 0;

  gtk_grid_set_row_spacing (GTK_GRID (grid), ROW_SPACING);
  gtk_grid_set_column_spacing (GTK_GRID (grid), COLUMN_SPACING);
  for (guint i = 0; i < G_N_ELEMENTS (habits); i++)
    row = attach_habit (GTK_GRID (grid), i, row);
  attach_writing (GTK_GRID (grid), row);
  show_lengths (grid);
  sl_settings_follow (SL_SETTING_LENGTHS, grid, G_CALLBACK (show_lengths));
  return grid;
}
