/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A run of presses of the Up key is one undo step, wherever a number can be stepped: that the whole run is undone
 * together is what the entry promises its forms (desk/length-entry.h). Skipped where there is no display. */
#include "desk/instrument/description-field.h"
#include "desk/instrument/description-fields.h"
#include "desk/sheets/sheets.h"
#include "desk/kit/length-entry.h"
#include "desk/sheets/parts.h"
#include "desk/readings/parts.h"
#include "bench/visit-edit.h"
#include "desk/visit/visit-sheet.h"
#include "file/document.h"

#include <locale.h>

#define SKIPPED 77
#define PRESSES 3

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static SlBench *
example (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return sl_bench_new (profile);
}

static GtkWidget *
new_description (SlBench *bench)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  for (guint p = 0; p < sl_n_description_pages; p++)
    for (guint i = 0; i < sl_description_pages[p].n_fields; i++)
      if (sl_description_field_type (&sl_description_pages[p].fields[i]) == SL_FIELD_NUMBER)
        gtk_box_append (GTK_BOX (box), sl_field_new (bench, &sl_description_pages[p].fields[i], 0));
  return box;
}

static GtkWidget *
new_tools (SlBench *bench)
{
  GtkWidget *button = gtk_menu_button_new ();

  sl_readings_tools_init (button, bench, SL_GROUP_ACTION);
  return button;
}

static const struct
{
  const char *name;
  GtkWidget *(*make) (SlBench *bench);
} forms[] = {
  { "description", new_description }, { "string-set", sl_strings_set_new }, { "tuner", sl_pitch_tuner_new },
  { "hand", sl_hand_button_new },     { "charges", sl_visit_charges_new },  { "frets", sl_frets_sheet_new },
  { "reading-tools", new_tools },
};

static void
collect (GtkWidget *widget, GPtrArray *entries)
{
  if (SL_IS_LENGTH_ENTRY (widget))
    g_ptr_array_add (entries, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    collect (child, entries);
}

/* The key as the entry's key controller gets it. */
static void
key (GtkWidget *entry, const char *signal)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (entry);

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);
      gboolean handled;

      if (!GTK_IS_EVENT_CONTROLLER_KEY (controller))
        continue;
      if (g_str_equal (signal, "key-pressed"))
        g_signal_emit_by_name (controller, signal, GDK_KEY_Up, 0, 0, &handled);
      else
        g_signal_emit_by_name (controller, signal, GDK_KEY_Up, 0, 0);
    }
}

static guint
count_steps (SlBench *bench)
{
  guint n = 0;

  for (; sl_bench_get_undo_name (bench) != NULL; n++)
    sl_bench_undo (bench);
  return n;
}

static guint
steps_of_a_run (SlBench *bench, GtkWidget *entry)
{
  for (int i = 0; i < PRESSES; i++)
    key (entry, "key-pressed");
  key (entry, "key-released");
  return count_steps (bench);
}

static void
test_form (gconstpointer data)
{
  const guint which = GPOINTER_TO_UINT (data);
  g_autoptr (SlBench) first = example (), bench = NULL;
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  GtkWidget *window = gtk_window_new (), *form, *button;
  guint moved = 0;

  sl_visit_add_charge (first, NULL);
  sl_visit_set_charge_number (first, 0, TRUE, 80);
  bench = sl_bench_new (sl_profile_copy (sl_bench_get_profile (first)));
  form = forms[which].make (bench);
  gtk_window_set_child (GTK_WINDOW (window), form);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (form))
    g_main_context_iteration (NULL, TRUE);
  settle ();
  button = GTK_IS_MENU_BUTTON (form) ? form : gtk_widget_get_first_child (form);
  if (GTK_IS_MENU_BUTTON (button))
    gtk_menu_button_popup (GTK_MENU_BUTTON (button));
  settle ();
  collect (form, entries);
  g_assert_cmpuint (entries->len, >, 0);
  for (guint i = 0; i < entries->len; i++)
    {
      guint steps = steps_of_a_run (bench, g_ptr_array_index (entries, i));

      g_assert_cmpuint (steps, <=, 1);
      moved += steps;
    }
  g_assert_cmpuint (moved, >, 0);
  if (GTK_IS_MENU_BUTTON (button)) /* it holds the pointer */
    gtk_menu_button_popdown (GTK_MENU_BUTTON (button));
  settle ();
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

/* An entry that is taken away while the key is down ends its step; the next change is a step of its own. */
static void
test_taken_away (void)
{
  g_autoptr (SlBench) bench = example ();
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  GtkWidget *window = gtk_window_new (), *form = new_description (bench);

  gtk_window_set_child (GTK_WINDOW (window), form);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (form))
    g_main_context_iteration (NULL, TRUE);
  settle ();
  collect (form, entries);
  key (g_ptr_array_index (entries, 0), "key-pressed");
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
  sl_visit_add_check (bench, "Bridge glue line");
  sl_visit_add_check (bench, "Braces");
  g_assert_cmpuint (count_steps (bench), ==, 3);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_autofree char *path = g_strdup_printf ("/undo-steps/%s", forms[i].name);

      g_test_add_data_func (path, GUINT_TO_POINTER (i), test_form);
    }
  g_test_add_func ("/undo-steps/taken-away", test_taken_away);
  return g_test_run ();
}
