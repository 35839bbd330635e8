/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/run-options.h"

#include "desk/readings/kind-chooser.h"
#include "desk/readings/reading-run.h"
#include "desk/readings/run-order-editor.h"
#include "bench/settings.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define GAP 6

/* ---- keys ---- */

/* A button that shows the keys of an action and, pressed, waits for the next key to be the one. */
typedef struct
{
  const char *key, *title;
  const char *fallback[2];
} KeyChoice;

static const KeyChoice choices[] = {
  { SL_SETTING_RUN_NEXT_KEYS, N_ ("Key that accepts a reading"), { "Page_Down", NULL } },
  { SL_SETTING_RUN_BACK_KEYS, N_ ("Key that goes back"), { "Page_Up", NULL } },
};

/* What a pedal's key may not be, since the run itself needs it. */
static gboolean
is_taken (guint value)
{
  return value == GDK_KEY_Escape || value == GDK_KEY_Return || value == GDK_KEY_KP_Enter || value == GDK_KEY_Tab ||
         value == GDK_KEY_BackSpace || value == GDK_KEY_Delete;
}

/* A key that types is part of a number, or of a mistake in one. */
static gboolean
types_text (guint value)
{
  return gdk_keyval_to_unicode (value) >= ' ';
}

/* The keys as people know them: "Page Down, F8". */
static char *
keys_text (char **names)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; names[i] != NULL; i++)
    {
      g_autofree char *label = gtk_accelerator_get_label (gdk_keyval_from_name (names[i]), 0);

      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", label);
    }
  return g_strdup (names[0] == NULL ? _ ("none") : text->str);
}

static void
show_keys (GtkToggleButton *button)
{
  const KeyChoice *choice = g_object_get_data (G_OBJECT (button), "choice");
  g_auto (GStrv) names = sl_settings_get_strings (choice->key, choice->fallback);
  g_autofree char *text = NULL, *whole = NULL;

  if (gtk_toggle_button_get_active (button))
    text = g_strdup (_ ("Press the key or the pedal…"));
  else
    text = keys_text (names);
  whole = g_strdup_printf ("%s: %s", _ (choice->title), text);
  gtk_button_set_label (GTK_BUTTON (button), text);
  sl_set_accessible_label (GTK_WIDGET (button), whole);
}

static void
show_note (GtkWidget *button, char *text)
{
  GtkWidget *note = g_object_get_data (G_OBJECT (button), "note");

  gtk_label_set_text (GTK_LABEL (note), text == NULL ? "" : text);
  gtk_widget_set_visible (note, text != NULL);
  g_free (text);
}

/* The other action's keys: one key can't do both. */
static gboolean
is_other (const KeyChoice *choice, const char *name)
{
  const KeyChoice *other = choice == &choices[0] ? &choices[1] : &choices[0];
  g_auto (GStrv) names = sl_settings_get_strings (other->key, other->fallback);

  return g_strv_contains ((const char *const *) names, name);
}

static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, GtkToggleButton *button)
{
  const KeyChoice *choice = g_object_get_data (G_OBJECT (button), "choice");
  const char *name = gdk_keyval_name (value);

  if (!gtk_toggle_button_get_active (button) || name == NULL)
    return FALSE;
  if (value == GDK_KEY_Escape)
    {
      gtk_toggle_button_set_active (button, FALSE);
      return TRUE;
    }
  if (is_taken (value) || types_text (value))
    show_note (
        GTK_WIDGET (button),
        g_strdup_printf (
            _ ("“%s” is needed to type a reading. Accepted is a key that types nothing, such as Page Down or F8."),
            name));
  else if (is_other (choice, name))
    show_note (GTK_WIDGET (button), g_strdup_printf (_ ("“%s” already does the other; one key can't do both."), name));
  else
    {
      const char *const list[] = { name, NULL };

      sl_settings_set (choice->key, g_variant_new_strv (list, -1));
      show_note (GTK_WIDGET (button), NULL);
    }
  gtk_toggle_button_set_active (button, FALSE);
  return TRUE;
}

static void
on_left (GtkEventControllerFocus *focus, GtkToggleButton *button)
{
  gtk_toggle_button_set_active (button, FALSE);
}

static void
add_choice (GtkWidget *grid, const KeyChoice *choice, int row)
{
  GtkWidget *title = gtk_label_new (_ (choice->title)), *button = gtk_toggle_button_new_with_label (""),
            *note = gtk_label_new (NULL);
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new ();

  g_object_set_data (G_OBJECT (button), "choice", (gpointer) choice);
  g_object_set_data (G_OBJECT (button), "note", note);
  gtk_widget_set_tooltip_text (button, _ ("Press, then press the key or pedal to use; Escape keeps the present one"));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), button);
  g_signal_connect (focus, "leave", G_CALLBACK (on_left), button);
  gtk_widget_add_controller (button, keys);
  gtk_widget_add_controller (button, focus);
  g_signal_connect (button, "toggled", G_CALLBACK (show_keys), NULL);
  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_xalign (GTK_LABEL (note), 0);
  gtk_label_set_wrap (GTK_LABEL (note), TRUE);
  sl_add_classes (note, "sl-wrong", "sl-small");
  gtk_widget_set_visible (note, FALSE);
  gtk_grid_attach (GTK_GRID (grid), title, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), button, 1, row, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), note, 0, row + 1, 2, 1);
  show_keys (GTK_TOGGLE_BUTTON (button));
}

/* ---- the order ---- */

static void
on_kind (GtkWidget *chooser, GParamSpec *pspec, SlRunOrderEditor *editor)
{
  sl_run_order_editor_set_kind (editor, sl_kind_chooser_get (chooser));
}

GtkWidget *
sl_run_options_new (void)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, GAP), *grid = gtk_grid_new ();
  GtkWidget *kind = sl_kind_chooser_new (_ ("Reading run of instruments with")),
            *editor = sl_run_order_editor_new (SL_FIRST_KIND);

  gtk_grid_set_row_spacing (GTK_GRID (grid), GAP);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 2 * GAP);
  for (guint i = 0; i < G_N_ELEMENTS (choices); i++)
    add_choice (grid, &choices[i], 2 * (int) i);
  gtk_box_append (
      GTK_BOX (box),
      sl_note_new (_ ("Enter always accepts a reading. A foot pedal sends a key of its own, which can do the same.")));
  gtk_box_append (GTK_BOX (box), grid);
  gtk_box_append (GTK_BOX (box),
                  sl_note_new (_ ("What is ticked is asked for in this order, for instruments of a kind.")));
  gtk_box_append (GTK_BOX (box), kind);
  gtk_widget_set_halign (editor, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (box), editor);
  g_signal_connect_object (kind, "notify::selected", G_CALLBACK (on_kind), editor, 0);
  return box;
}
