/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/customer-view.h"
#include "desk/instrument/instrument-window.h"
#include "bench/settings.h"
#include "desk/photos/photos.h"
#include "desk/readings/readings.h"
#include "desk/window/window-private.h"
#include "desk/work/work-column.h"

void
sl_window_set_action_enabled (SlWindow *self, const char *name, gboolean enabled)
{
  g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), name)), enabled);
}

/* ---- what needs no parameter ---- */

/* A window of this one, made if it is not there. */
typedef GtkWidget *(*MakeChild) (GtkWindow *parent, SlBench *bench);
static void
show_child (SlWindow *self, GtkWidget **child, MakeChild make)
{
  if (*child == NULL)
    g_set_weak_pointer (child, make (GTK_WINDOW (self), self->bench));
  gtk_window_present (GTK_WINDOW (*child));
}

static GtkWidget *
make_shortcuts (GtkWindow *parent, SlBench *bench)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/shortcuts.ui");
  GtkWidget *shortcuts = GTK_WIDGET (gtk_builder_get_object (builder, "shortcuts"));

  gtk_window_set_transient_for (GTK_WINDOW (shortcuts), parent);
  sl_colour_scheme_mark (shortcuts);
  return shortcuts;
}

static void
apply_lengths (SlWindow *self, const char *name)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self), "lengths");

  g_simple_action_set_state (G_SIMPLE_ACTION (action), g_variant_new_string (name));
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string (name));
  if (self->bench != NULL)
    sl_bench_set_lengths (self->bench, sl_lengths_from_name (name));
}

static void
cycle_lengths (SlWindow *self)
{
  g_autoptr (GVariant) state = g_action_get_state (g_action_map_lookup_action (G_ACTION_MAP (self), "lengths"));
  SlLengths lengths = sl_lengths_from_name (g_variant_get_string (state, NULL));

  apply_lengths (self, sl_lengths_names[lengths == SL_LENGTHS_64THS ? SL_LENGTHS_MM : lengths + 1]);
}

static void
turn_drawer (SlWindow *self)
{
  GtkToggleButton *button = GTK_TOGGLE_BUTTON (self->drawer_button);

  gtk_toggle_button_set_active (button, !gtk_toggle_button_get_active (button));
}

static void
paste_photos (SlWindow *self)
{
  if (self->bench != NULL)
    sl_photos_paste (GTK_WIDGET (self), self->bench);
}

typedef struct
{
  const char *name;
  void (*run) (SlWindow *self);
  void (*on_bench) (SlBench *bench);
  MakeChild make;      /* where there is nothing to run: a window that is shown, */
  gsize child;         /* with its place in SlWindow; */
  SlExportKind export; /* or else what is exported */
  gboolean needs_all;  /* what is still being typed belongs to it: refused, nothing is done */
} Command;

#define CHILD(member, maker) .make = maker, .child = G_STRUCT_OFFSET (SlWindow, member)

static const Command commands[] = {
  { .name = "open", .run = sl_window_choose_open, .needs_all = TRUE },
  { .name = "open-recording", .run = sl_window_choose_recording, .needs_all = TRUE },
  { .name = "save", .run = sl_window_save, .needs_all = TRUE },
  { .name = "save-as", .run = sl_window_choose_save, .needs_all = TRUE },
  { .name = "save-anyway", .run = sl_window_save_over_theirs, .needs_all = TRUE },
  { .name = "merge", .run = sl_window_merge, .needs_all = TRUE },
  { .name = "take-theirs", .run = sl_window_take_theirs, .needs_all = TRUE },
  { .name = "paste-photos", .run = paste_photos },
  { .name = "export", .export = SL_EXPORT_PICTURE, .needs_all = TRUE },
  { .name = "export-sheet", .export = SL_EXPORT_SHEET, .needs_all = TRUE },
  { .name = "export-templates", .export = SL_EXPORT_TEMPLATES, .needs_all = TRUE },
  { .name = "export-table", .export = SL_EXPORT_TABLE, .needs_all = TRUE },
  { .name = "print-sheet", .run = sl_window_print_sheet, .needs_all = TRUE },
  { .name = "print-templates", .run = sl_window_print_templates, .needs_all = TRUE },
  { .name = "replace-pages", .run = sl_window_replace_pages },
  { .name = "stop-export", .run = sl_window_stop_export },
  { .name = "copy-picture", .run = sl_window_copy_picture, .needs_all = TRUE },
  { .name = "copy-table", .run = sl_window_copy_table, .needs_all = TRUE },
  { .name = "undo", .on_bench = sl_bench_undo },
  { .name = "redo", .on_bench = sl_bench_redo },
  { .name = "instrument", CHILD (instrument, sl_instrument_window_new), .needs_all = TRUE },
  { .name = "show-customer", CHILD (customer, sl_customer_view_new), .needs_all = TRUE },
  { .name = "shortcuts", CHILD (shortcuts, make_shortcuts) },
  { .name = "cycle-lengths", .run = cycle_lengths },
  { .name = "drawer", .run = turn_drawer },
};

static void
on_command (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;
  const Command *command = commands;

  while (!g_str_equal (command->name, g_action_get_name (G_ACTION (action))))
    command++;
  if (command->needs_all && !sl_typed_take (GTK_WINDOW (self)))
    return;
  if (command->run != NULL)
    command->run (self);
  else if (command->on_bench != NULL)
    command->on_bench (self->bench);
  else if (command->make != NULL)
    show_child (self, G_STRUCT_MEMBER_P (self, command->child), command->make);
  else
    sl_window_choose_export (self, command->export);
}

/* ---- the others ---- */

static void
on_lengths (GSimpleAction *action, GVariant *state, gpointer data)
{
  apply_lengths (data, g_variant_get_string (state, NULL));
}

static void
on_focus_region (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;
  const char *name = g_variant_get_string (parameter, NULL);
  GtkWidget *sheet = self->centre == NULL ? NULL : sl_centre_show_sheet (self->centre, name);
  GtkWidget *region = g_str_equal (name, "readings") ? self->form : g_str_equal (name, "work") ? self->work : sheet;

  if (self->bench == NULL || region == NULL)
    return;
  if (region == self->form || region == self->work)
    {
      gtk_toggle_button_set_active (sl_centre_get_larger (SL_CENTRE (self->centre)), FALSE);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->drawer_button), region == self->work);
    }
  /* A region that knows where its work begins goes there; in another, child-focus goes to the first control, whichever
   * had the focus before. */
  gtk_window_set_focus (GTK_WINDOW (self), NULL);
  if (!gtk_widget_grab_focus (region))
    gtk_widget_child_focus (region, GTK_DIR_TAB_FORWARD);
}

/* The parameter names the target, by its attribute in the document. */
static void
on_targets (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;

  show_child (self, &self->instrument, sl_instrument_window_new);
  sl_instrument_window_show_field (SL_INSTRUMENT_WINDOW (self->instrument), g_variant_get_string (parameter, NULL));
}

/* The parameter says what: "propose" a plan, "read" again what it moved, "tick" off the card that is worked on, go to
 * the "next" one or "back". */
static void
on_work (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;
  const char *what = g_variant_get_string (parameter, NULL);

  if (self->column == NULL || !sl_typed_take (GTK_WINDOW (self)))
    return;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->drawer_button), TRUE);
  if (g_str_equal (what, "propose"))
    sl_bench_propose_plan (self->bench);
  else if (g_str_equal (what, "read"))
    sl_reading_run_present (GTK_WINDOW (self), self->bench);
  else if (g_str_equal (what, "tick"))
    sl_work_column_tick (self->column);
  else
    sl_work_column_jump (self->column, g_str_equal (what, "back"));
}

static const GActionEntry actions[] = {
  { .name = "work", .activate = on_work, .parameter_type = "s" },
  { .name = "targets", .activate = on_targets, .parameter_type = "s" },
  { .name = "lengths", .parameter_type = "s", .state = "'mm'", .change_state = on_lengths },
  { .name = "focus-region", .activate = on_focus_region, .parameter_type = "s" },
  { .name = "keep-left", .activate = sl_window_keep_left, .parameter_type = "s" },
  { .name = "compare-left", .activate = sl_window_compare_left, .parameter_type = "s" },
  { .name = "discard-left", .activate = sl_window_discard_left, .parameter_type = "s" },
};

void
sl_window_add_actions (SlWindow *self)
{
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    {
      const GActionEntry entry = { .name = commands[i].name, .activate = on_command };

      g_action_map_add_action_entries (G_ACTION_MAP (self), &entry, 1, self);
    }
  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  apply_lengths (self, sl_lengths_names[sl_settings_get_lengths ()]);
}

/* ---- dialogs for files ---- */

GtkFileChooser *
sl_window_new_chooser (SlWindow *self, const char *title, GtkFileChooserAction action, const char *accept,
                       GFile *folder, GCallback on_response)
{
  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (title, GTK_WINDOW (self), action, accept, _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  if (folder != NULL) /* where it is gone, the chooser looks for the nearest above it, without holding up the window */
    gtk_file_chooser_set_current_folder (GTK_FILE_CHOOSER (self->chooser), folder, NULL);
  g_signal_connect_object (self->chooser, "response", on_response, self, 0);
  return GTK_FILE_CHOOSER (self->chooser);
}

void
sl_chooser_add_filter (GtkFileChooser *chooser, const char *name, const char *suffix)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  if (suffix != NULL)
    gtk_file_filter_add_suffix (filter, suffix);
  else
    gtk_file_filter_add_pattern (filter, "*");
  gtk_file_chooser_add_filter (chooser, filter);
}

void
sl_chooser_propose (GtkFileChooser *chooser, const char *name)
{
  g_autofree char *without_slash = g_strdelimit (g_strdup (name), "/", '-');

  gtk_file_chooser_set_current_name (chooser, without_slash);
}
