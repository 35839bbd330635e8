/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings-tools.h"

#include "desk/kit/length-entry.h"
#include "bench/shop-tools.h"
#include "desk/readings/tool-chooser.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define GRID_GAP 6
#define MARGIN 8

#define LEAST_PLACES 2
#define NOTE_CHARS 48

/* One number of one tool. */
typedef struct
{
  SlBench *bench; /* owned */
  SlToolKind tool;
  gboolean limit; /* the error limit, else the resolution */
  double value;   /* while an edit runs */
} Field;

static void
field_free (gpointer data)
{
  Field *field = data;
  g_object_unref (field->bench);
  g_free (field);
}

static SlNumber *
number_of (SlTool *tool, gboolean limit)
{
  return limit ? &tool->error_limit : &tool->resolution;
}

static double
field_value (const SlReadingSet *set, SlToolKind kind, gboolean limit)
{
  SlTool tool = sl_reading_set_tool (set, kind);
  return number_of (&tool, limit)->v;
}

static void
edit_tool (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Field *field = data;
  SlTool tool = sl_reading_set_tool (set, field->tool);
  *number_of (&tool, field->limit) = isnan (field->value) ? SL_NUMBER_ABSENT : sl_number (field->value);
  sl_reading_set_put_tool (set, tool);
}

static char *
step_name (SlToolKind tool)
{
  return g_strdup_printf (_ ("tool: %s"), sl_tool_title (tool));
}

static void
on_committed (SlLengthEntry *entry, double value, gpointer data)
{
  Field *field = data;
  g_autofree char *name = step_name (field->tool);

  field->value = value;
  sl_bench_edit (field->bench, name, SL_CHANGED_READINGS, TRUE, edit_tool, field);
}

/* The resolution the fit reckons with where none is stated, from u² = r²/12. */
static double
default_resolution (SlToolKind tool)
{
  double u = sl_reading_u (NULL, sl_reading_of_tool (tool));
  return isfinite (u) && u > 0 ? u * sqrt (12) : NAN;
}

static void
update_field (SlLengthEntry *entry)
{
  const Field *field = g_object_get_data (G_OBJECT (entry), "field");
  double value = field_value (sl_bench_get_set (field->bench), field->tool, field->limit);
  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (field->bench));
  sl_length_entry_set_places (entry, sl_places_for (value, LEAST_PLACES));
  sl_length_entry_set_value (entry, value);
}

static GtkWidget *
field_new (SlBench *bench, SlToolKind tool, gboolean limit)
{
  GtkWidget *entry = sl_length_entry_new ();
  Field *field = g_new0 (Field, 1);
  g_autofree char *label = g_strdup_printf (
      limit ? _ ("Error limit of the tool for: %s") : _ ("Resolution of the tool for: %s"), sl_tool_title (tool));
  g_autofree char *step = step_name (tool);

  sl_length_entry_join_steps (SL_LENGTH_ENTRY (entry), bench, step);
  field->bench = g_object_ref (bench);
  field->tool = tool;
  field->limit = limit;
  g_object_set_data_full (G_OBJECT (entry), "field", field, field_free);
  sl_length_entry_set_allow_empty (SL_LENGTH_ENTRY (entry), TRUE);
  sl_length_entry_set_fine (SL_LENGTH_ENTRY (entry), TRUE);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), sl_bound_find ("tool", limit ? "error-limit" : "resolution"));
  if (!limit)
    sl_length_entry_set_assumed (SL_LENGTH_ENTRY (entry), default_resolution (tool));
  sl_set_accessible_label (entry, label);
  update_field (SL_LENGTH_ENTRY (entry));
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), field);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_LENGTHS, G_CALLBACK (update_field), entry);
  return entry;
}

static GtkWidget *
heading_new (const char *text)
{
  GtkWidget *label = sl_label_new (text);
  gtk_widget_add_css_class (label, "sl-section");
  return label;
}

static GtkWidget *
grid_new (SlBench *bench, SlQuestionGroup group)
{
  GtkWidget *grid = gtk_grid_new (), *note;
  int row = 1;

  gtk_grid_set_row_spacing (GTK_GRID (grid), GRID_GAP);
  gtk_grid_set_column_spacing (GTK_GRID (grid), GRID_GAP);
  gtk_grid_attach (GTK_GRID (grid), heading_new (_ ("Tool")), 1, 0, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), heading_new (_ ("Resolution")), 2, 0, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), heading_new (_ ("Error limit")), 3, 0, 1, 1);
  for (int tool = 0; tool < SL_N_TOOLS; tool++)
    if (sl_readings[sl_reading_of_tool (tool)].group == group)
      {
        GtkWidget *resolution = field_new (bench, (SlToolKind) tool, FALSE),
                  *limit = field_new (bench, (SlToolKind) tool, TRUE);
        gtk_grid_attach (GTK_GRID (grid), heading_new (sl_tool_title ((SlToolKind) tool)), 0, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_tool_chooser_new (bench, tool), 1, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), resolution, 2, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), limit, 3, row++, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (resolution)), 0, row++, 4, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (limit)), 0, row++, 4, 1);
      }
  note = sl_note_new (_ ("The steps the tool shows, and how far off it may be by its maker. Readings are weighted by "
                         "them. The shop's tools are kept in the preferences."));
  gtk_label_set_max_width_chars (GTK_LABEL (note), NOTE_CHARS);
  gtk_grid_attach (GTK_GRID (grid), note, 0, row, 4, 1);
  return grid;
}

/* Made when it is first opened. */
static void
create_popover (GtkMenuButton *button, gpointer data)
{
  SlBench *bench = data;
  SlQuestionGroup group = (SlQuestionGroup) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "group"));
  GtkWidget *popover, *grid;

  if (gtk_menu_button_get_popover (button) != NULL)
    return;
  grid = grid_new (bench, group);
  sl_set_margin (grid, MARGIN);
  popover = gtk_popover_new ();
  sl_set_accessible_label (popover, _ ("Tools"));
  gtk_popover_set_child (GTK_POPOVER (popover), grid);
  gtk_menu_button_set_popover (button, popover);
}

GtkWidget *
sl_readings_tools_new (SlBench *bench, SlQuestionGroup group)
{
  GtkWidget *button, *label;
  g_autofree char *name = NULL;
  gboolean any = FALSE;

  for (int tool = 0; tool < SL_N_TOOLS; tool++)
    any |= sl_readings[sl_reading_of_tool (tool)].group == group;
  if (!any)
    return NULL;
  button = gtk_menu_button_new ();
  label = gtk_label_new (_ ("± tool"));
  name = g_strdup_printf (_ ("Tools for: %s"), sl_question_group_title (group));
  gtk_menu_button_set_child (GTK_MENU_BUTTON (button), label);
  gtk_menu_button_set_has_frame (GTK_MENU_BUTTON (button), FALSE);
  gtk_widget_add_css_class (button, "tools");
  gtk_widget_set_tooltip_text (button, _ ("Resolution and error limit of the tools used here"));
  sl_set_accessible_label (button, name);
  g_object_set_data (G_OBJECT (button), "group", GINT_TO_POINTER (group));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (button), create_popover, g_object_ref (bench),
                                         g_object_unref);
  return button;
}
