/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/export-options.h"

#include "desk/kit/bar-entry.h"
#include "desk/kit/colour-scheme.h"
#include "bench/settings.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define MARGIN 16
#define GAP 8
#define ENTRY_CHARS 8
#define NOTE_CHARS 52

typedef struct
{
  GtkWindow *parent; /* borrowed: the dialog goes with it */
  SlExportChoices *choices;
  void (*go_on) (GtkWindow *parent, int what);
  int what, least, most;
  GtkWidget *width, *width_note, *across, *along, *tiles; /* NULL where not asked */
} Options;

static GtkWidget *
add_note (GtkWidget *grid, int row)
{
  GtkWidget *note = sl_note_new (NULL);

  gtk_label_set_max_width_chars (GTK_LABEL (note), NOTE_CHARS);
  gtk_grid_attach (GTK_GRID (grid), note, 0, row + 1, 2, 1);
  return note;
}

static GtkWidget *
add_entry (GtkWidget *grid, int row, const char *name)
{
  GtkWidget *label = sl_label_new (name), *entry = gtk_entry_new ();

  gtk_widget_set_hexpand (label, TRUE);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_entry_set_activates_default (GTK_ENTRY (entry), TRUE);
  sl_set_accessible_label (entry, name);
  gtk_grid_attach (GTK_GRID (grid), label, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), entry, 1, row, 1, 1);
  return entry;
}

static gboolean
read_width (const Options *o, int *width)
{
  double number;
  gboolean good = sl_plain_parse (gtk_editable_get_text (GTK_EDITABLE (o->width)), sl_decimal_sign (), &number, NULL) &&
                  number == floor (number) && number >= o->least && number <= o->most;

  if (good)
    *width = (int) number;
  return good;
}

static void
on_width_changed (GtkEditable *entry, gpointer data)
{
  const Options *o = data;
  int width;
  gboolean good = read_width (o, &width);
  g_autofree char *text = good ? g_strdup_printf (_ ("Used for PNG only: %1$d to %2$d pixels."), o->least, o->most)
                               : g_strdup_printf (_ ("“%1$s” can’t be the width: a whole number from %2$d to %3$d."),
                                                  gtk_editable_get_text (entry), o->least, o->most);

  gtk_label_set_text (GTK_LABEL (o->width_note), text);
  gtk_accessible_update_state (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_STATE_INVALID,
                               good ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE, -1);
  if (good)
    gtk_widget_remove_css_class (o->width_note, "sl-wrong");
  else
    gtk_widget_add_css_class (o->width_note, "sl-wrong");
}

static void
on_go (GtkButton *button, gpointer data)
{
  Options *o = data;
  GtkWindow *parent = o->parent;
  void (*go_on) (GtkWindow *, int) = o->go_on;
  int what = o->what;
  GtkWidget *wrong = NULL;

  if (o->width != NULL && !read_width (o, &o->choices->png_width))
    wrong = o->width;
  else if (o->across != NULL && !sl_bar_entry_good (GTK_EDITABLE (o->across)))
    wrong = o->across;
  else if (o->along != NULL && !sl_bar_entry_good (GTK_EDITABLE (o->along)))
    wrong = o->along;
  if (wrong != NULL)
    {
      gtk_widget_grab_focus (wrong);
      return;
    }
  if (o->tiles != NULL)
    o->choices->half_tiles = gtk_check_button_get_active (GTK_CHECK_BUTTON (o->tiles));
  gtk_window_destroy (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (button))));
  go_on (parent, what);
}

static int
add_width (Options *o, GtkWidget *grid, const SlExportQuestion *question)
{
  int shown = o->choices->png_width != 0 ? CLAMP (o->choices->png_width, o->least, o->most) : question->proposed_width;
  g_autofree char *text = g_strdup_printf ("%d", shown);

  o->width = add_entry (grid, 0, _ ("Width in pixels"));
  o->width_note = add_note (grid, 0);
  gtk_editable_set_text (GTK_EDITABLE (o->width), text);
  g_signal_connect (o->width, "changed", G_CALLBACK (on_width_changed), o);
  on_width_changed (GTK_EDITABLE (o->width), o);
  return 2;
}

static void
add_template (Options *o, GtkWidget *grid, int row)
{
  o->across = add_entry (grid, row, _ ("100 mm bar, across the paper"));
  sl_bar_entry_bind (GTK_EDITABLE (o->across), add_note (grid, row), SL_SETTING_CORRECTION_X);
  o->along = add_entry (grid, row + 2, _ ("100 mm bar, along the paper"));
  sl_bar_entry_bind (GTK_EDITABLE (o->along), add_note (grid, row + 2), SL_SETTING_CORRECTION_Y);
  o->tiles = gtk_check_button_new_with_label (_ ("Two strips of the fret rule on a page"));
  sl_set_accessible_label (o->tiles, _ ("Two strips of the fret rule on a page"));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (o->tiles), o->choices->half_tiles);
  gtk_grid_attach (GTK_GRID (grid), o->tiles, 0, row + 4, 2, 1);
}

static GtkWidget *
make_buttons (Options *o, GtkWidget *window, const char *go_label)
{
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, GAP);
  GtkWidget *cancel = gtk_button_new_with_mnemonic (_ ("_Cancel")), *go = gtk_button_new_with_mnemonic (go_label);

  gtk_widget_set_halign (buttons, GTK_ALIGN_END);
  sl_name_mnemonic_button (cancel);
  sl_name_mnemonic_button (go);
  gtk_widget_add_css_class (go, "suggested-action");
  g_signal_connect_swapped (cancel, "clicked", G_CALLBACK (gtk_window_close), window);
  g_signal_connect (go, "clicked", G_CALLBACK (on_go), o);
  gtk_box_append (GTK_BOX (buttons), cancel);
  gtk_box_append (GTK_BOX (buttons), go);
  gtk_window_set_default_widget (GTK_WINDOW (window), go);
  return buttons;
}

static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  gtk_window_close (GTK_WINDOW (widget));
  return TRUE;
}

GtkWidget *
sl_export_options_new (GtkWindow *parent, const SlExportQuestion *question, SlExportChoices *choices,
                       void (*go_on) (GtkWindow *parent, int what), int what)
{
  GtkWidget *window = gtk_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, MARGIN), *grid = gtk_grid_new ();
  GtkEventController *shortcuts = gtk_shortcut_controller_new ();
  Options *o = g_new0 (Options, 1);
  int row = 0;

  *o = (Options){ .parent = parent,
                  .choices = choices,
                  .go_on = go_on,
                  .what = what,
                  .least = question->least_width,
                  .most = question->most_width };
  g_object_set_data_full (G_OBJECT (window), "options", o, g_free);
  gtk_window_set_title (GTK_WINDOW (window), question->title);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_modal (GTK_WINDOW (window), TRUE);
  gtk_window_set_destroy_with_parent (GTK_WINDOW (window), TRUE);
  gtk_window_set_resizable (GTK_WINDOW (window), FALSE);
  gtk_widget_add_css_class (window, "sidelong");
  sl_colour_scheme_mark (window);
  gtk_grid_set_row_spacing (GTK_GRID (grid), GAP);
  gtk_grid_set_column_spacing (GTK_GRID (grid), MARGIN);
  if (question->proposed_width > 0)
    row += add_width (o, grid, question);
  if (question->template)
    add_template (o, grid, row);
  sl_set_margin (box, MARGIN);
  gtk_box_append (GTK_BOX (box), grid);
  gtk_box_append (GTK_BOX (box), make_buttons (o, window, question->go));
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (shortcuts),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_callback_action_new (on_escape, NULL, NULL)));
  gtk_widget_add_controller (window, shortcuts);
  return window;
}
