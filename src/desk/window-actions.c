/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer-view.h"
#include "desk/instrument-window.h"
#include "desk/settings.h"
#include "desk/window-private.h"

#include <glib/gi18n-lib.h>

void
sl_window_set_action_enabled (SlWindow *self, const char *name, gboolean enabled)
{
  g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), name)), enabled);
}

/* A number or a name still being typed is taken before anything else happens to the profile: entries take it when they lose the focus. */
static void
finish_typing (SlWindow *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));

  if (focus != NULL && GTK_IS_TEXT (focus))
    {
      gtk_window_set_focus (GTK_WINDOW (self), NULL);
      gtk_widget_grab_focus (focus);
    }
}

static void
on_open (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_window_choose_open (data);
}

static void
on_save (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_save (data);
}

static void
on_save_as (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_choose_save (data);
}

static void
on_save_anyway (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_window_save_over_theirs (data);
}

static void
on_take_theirs (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_window_take_theirs (data);
}

static void
on_export (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_choose_export (data, SL_EXPORT_PICTURE);
}

static void
on_export_sheet (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_choose_export (data, SL_EXPORT_SHEET);
}

static void
on_export_templates (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_choose_export (data, SL_EXPORT_TEMPLATES);
}

static void
on_export_table (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_choose_export (data, SL_EXPORT_TABLE);
}

static void
on_print_sheet (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_print_sheet (data);
}

static void
on_print_templates (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  finish_typing (data);
  sl_window_print_templates (data);
}

static void
on_copy_picture (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_window_copy_picture (data);
}

static void
on_copy_table (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_window_copy_table (data);
}

static void
on_undo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_bench_undo (SL_WINDOW (data)->bench);
}

static void
on_redo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_bench_redo (SL_WINDOW (data)->bench);
}

static void
on_instrument (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;

  if (self->instrument == NULL)
    g_set_weak_pointer (&self->instrument, sl_instrument_window_new (GTK_WINDOW (self), self->bench));
  gtk_window_present (GTK_WINDOW (self->instrument));
}

static void
on_show_customer (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;

  finish_typing (self);
  if (self->customer == NULL)
    g_set_weak_pointer (&self->customer, sl_customer_view_new (GTK_WINDOW (self), self->bench));
  gtk_window_present (GTK_WINDOW (self->customer));
}

static void
on_shortcuts (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;

  if (self->shortcuts == NULL)
    {
      g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/shortcuts.ui");

      g_set_weak_pointer (&self->shortcuts, GTK_WIDGET (gtk_builder_get_object (builder, "shortcuts")));
      gtk_window_set_transient_for (GTK_WINDOW (self->shortcuts), GTK_WINDOW (self));
    }
  gtk_window_present (GTK_WINDOW (self->shortcuts));
}

static void
take_lengths (SlWindow *self, const char *name)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self), "lengths");

  g_simple_action_set_state (G_SIMPLE_ACTION (action), g_variant_new_string (name));
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string (name));
  if (self->bench != NULL)
    sl_bench_set_lengths (self->bench, sl_lengths_from_name (name));
}

static void
on_lengths (GSimpleAction *action, GVariant *state, gpointer data)
{
  take_lengths (data, g_variant_get_string (state, NULL));
}

static void
on_cycle_lengths (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;
  g_autoptr (GVariant) state = g_action_get_state (g_action_map_lookup_action (G_ACTION_MAP (self), "lengths"));
  SlLengths lengths = sl_lengths_from_name (g_variant_get_string (state, NULL));

  take_lengths (self, sl_lengths_name (lengths == SL_LENGTHS_64THS ? SL_LENGTHS_MM : lengths + 1));
}

static void
on_focus_region (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlWindow *self = data;
  const char *name = g_variant_get_string (parameter, NULL);
  GtkWidget *region = g_str_equal (name, "readings") ? self->readings : g_str_equal (name, "work") ? self->work : self->centre;
  GtkWidget *focus;

  if (region == NULL)
    return;
  /* From outside, child-focus goes to the region's first control, whichever had the focus before. */
  gtk_window_set_focus (GTK_WINDOW (self), NULL);
  gtk_widget_child_focus (region, GTK_DIR_TAB_FORWARD);
  focus = gtk_window_get_focus (GTK_WINDOW (self));
  if (focus != NULL && GTK_IS_TEXT (focus)) /* what is typed next replaces the value, as after Tab */
    gtk_editable_select_region (GTK_EDITABLE (focus), 0, -1);
}

static const GActionEntry actions[] = {
  { .name = "open", .activate = on_open },
  { .name = "save", .activate = on_save },
  { .name = "save-as", .activate = on_save_as },
  { .name = "save-anyway", .activate = on_save_anyway },
  { .name = "take-theirs", .activate = on_take_theirs },
  { .name = "export", .activate = on_export },
  { .name = "export-sheet", .activate = on_export_sheet },
  { .name = "export-templates", .activate = on_export_templates },
  { .name = "export-table", .activate = on_export_table },
  { .name = "print-sheet", .activate = on_print_sheet },
  { .name = "print-templates", .activate = on_print_templates },
  { .name = "copy-picture", .activate = on_copy_picture },
  { .name = "copy-table", .activate = on_copy_table },
  { .name = "undo", .activate = on_undo },
  { .name = "redo", .activate = on_redo },
  { .name = "instrument", .activate = on_instrument },
  { .name = "show-customer", .activate = on_show_customer },
  { .name = "shortcuts", .activate = on_shortcuts },
  { .name = "lengths", .parameter_type = "s", .state = "'mm'", .change_state = on_lengths },
  { .name = "cycle-lengths", .activate = on_cycle_lengths },
  { .name = "focus-region", .activate = on_focus_region, .parameter_type = "s" },
};

void
sl_window_add_actions (SlWindow *self)
{
  g_autofree char *lengths = sl_settings_get_string (SL_SETTING_LENGTHS, sl_lengths_name (SL_LENGTHS_MM));

  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  take_lengths (self, sl_lengths_name (sl_lengths_from_name (lengths)));
}
