/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/tools-editor.h"

#include "desk/kit/length-entry.h"
#include "bench/settings.h"
#include "bench/shop-tools.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define GAP 6
#define NAME_CHARS 24
#define FIGURE_CHARS 8
#define SERVES_CHARS 26
#define FIGURE_PLACES 2          /* of millimetres */
#define INCH_PLACES 3            /* one more, so that a hundredth of a millimetre shows */
#define FRESH_RESOLUTION_MM 0.05 /* of a tool just added: as first gaps are commonly read */

#define SL_TYPE_TOOLS_EDITOR (sl_tools_editor_get_type ())
G_DECLARE_FINAL_TYPE (SlToolsEditor, sl_tools_editor, SL, TOOLS_EDITOR, GtkBox)

struct _SlToolsEditor
{
  GtkBox parent_instance;

  GtkWidget *list;   /* child */
  GPtrArray *tools;  /* owned */
  gboolean building; /* a control that is being removed no longer belongs to a tool */
};

G_DEFINE_FINAL_TYPE (SlToolsEditor, sl_tools_editor, GTK_TYPE_BOX)

/* The controls of one tool; lives as long as any of them. */
typedef struct
{
  SlToolsEditor *editor;
  guint place;
  GtkWidget *name, *name_message, *resolution, *limit, *serves, *serves_label, *checks[SL_N_TOOLS], *removing;
  SlBound resolution_bound, limit_bound;
  gboolean updating;
} Row;

static void build_list (SlToolsEditor *self);

static void
row_release (gpointer row)
{
  g_rc_box_release (row);
}

static void
hook (gpointer control, const char *signal, GCallback handler, Row *row, GConnectFlags flags)
{
  g_signal_connect_data (control, signal, handler, g_rc_box_acquire (row),
                         (GClosureNotify) (void (*) (void)) row_release, flags);
}

static SlShopTool *
tool_of (Row *row)
{
  return g_ptr_array_index (row->editor->tools, row->place);
}

static SlLengths
lengths_set (void)
{
  g_autofree char *name = sl_settings_get_string (SL_SETTING_LENGTHS, "");

  return sl_lengths_from_name (name);
}

/* ---- one tool ---- */

/* The kinds as one line: "Relief, Tongue". */
static char *
serves_text (const SlShopTool *tool)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    if (sl_shop_tool_serves (tool, (SlToolKind) kind))
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", sl_tool_title ((SlToolKind) kind));
  return g_strdup (text->str);
}

static void
show_row (Row *row)
{
  const SlShopTool *tool = tool_of (row);
  const gboolean one_kind = (tool->measures & (tool->measures - 1)) == 0;
  g_autofree char *serves = serves_text (tool), *resolution = g_strdup_printf (_ ("Resolution of %s"), tool->name);
  g_autofree char *limit = g_strdup_printf (_ ("Error limit of %s"), tool->name),
                  *name = g_strdup_printf (_ ("%s serves: %s"), tool->name, serves);
  g_autofree char *remove_name = g_strdup_printf (_ ("Remove %s"), tool->name);
  const int least = lengths_set () == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES;

  row->updating = TRUE;
  /* a tool can't be better than half a step, so each bounds the other */
  row->resolution_bound.most = MIN (SL_TOOL_MOST_MM, 2 * tool->error_limit_mm);
  row->limit_bound.least = tool->resolution_mm / 2;
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (row->resolution), lengths_set ());
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (row->limit), lengths_set ());
  sl_length_entry_set_places (SL_LENGTH_ENTRY (row->resolution), sl_places_for (tool->resolution_mm, least));
  sl_length_entry_set_places (SL_LENGTH_ENTRY (row->limit), sl_places_for (tool->error_limit_mm, least));
  sl_length_entry_set_value (SL_LENGTH_ENTRY (row->resolution), tool->resolution_mm);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (row->limit), tool->error_limit_mm);
  gtk_label_set_text (GTK_LABEL (row->serves_label), serves);
  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    {
      const gboolean on = sl_shop_tool_serves (tool, (SlToolKind) kind);

      gtk_check_button_set_active (GTK_CHECK_BUTTON (row->checks[kind]), on);
      gtk_widget_set_sensitive (row->checks[kind], !(on && one_kind));
      gtk_widget_set_tooltip_text (row->checks[kind],
                                   on && one_kind ? _ ("A tool serves at least one kind of reading") : NULL);
    }
  sl_set_accessible_label (row->resolution, resolution);
  sl_set_accessible_label (row->limit, limit);
  sl_set_accessible_label (row->serves, name);
  gtk_widget_set_tooltip_text (row->removing, remove_name);
  sl_set_accessible_label (row->removing, remove_name);
  row->updating = FALSE;
}

static void
keep (Row *row)
{
  sl_shop_tools_keep (row->editor->tools);
  show_row (row);
}

/* A name is accepted with each letter while it is valid; otherwise the previous one stays in force. */
static void
on_name (Row *row)
{
  if (row->editor->building)
    return;
  const char *text = gtk_editable_get_text (GTK_EDITABLE (row->name));
  g_autofree char *objection = sl_shop_tool_name_objection (row->editor->tools, row->place, text);

  gtk_label_set_text (GTK_LABEL (row->name_message), objection == NULL ? "" : objection);
  gtk_widget_set_visible (row->name_message, objection != NULL);
  gtk_accessible_update_state (GTK_ACCESSIBLE (row->name), GTK_ACCESSIBLE_STATE_INVALID,
                               objection == NULL ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE, -1);
  if (objection != NULL)
    {
      gtk_widget_add_css_class (row->name, "error");
      return;
    }
  gtk_widget_remove_css_class (row->name, "error");
  g_free (tool_of (row)->name);
  tool_of (row)->name = g_strstrip (g_strdup (text));
  keep (row);
}

static void
on_resolution (SlLengthEntry *entry, double value, Row *row)
{
  if (row->editor->building)
    return;
  tool_of (row)->resolution_mm = value;
  keep (row);
}

static void
on_limit (SlLengthEntry *entry, double value, Row *row)
{
  if (row->editor->building)
    return;
  tool_of (row)->error_limit_mm = value;
  keep (row);
}

static void
on_check (GtkCheckButton *check, Row *row)
{
  const guint bit = 1u << GPOINTER_TO_INT (g_object_get_data (G_OBJECT (check), "kind"));

  if (row->updating || row->editor->building)
    return;
  if (gtk_check_button_get_active (check))
    tool_of (row)->measures |= bit;
  else
    tool_of (row)->measures &= ~bit;
  keep (row);
}

static gboolean
rebuild (gpointer data)
{
  build_list (data);
  return G_SOURCE_REMOVE;
}

/* The row is removed once its button is released. */
static void
on_remove (GtkButton *button, Row *row)
{
  SlToolsEditor *editor = row->editor;

  gtk_widget_set_sensitive (editor->list,
                            FALSE); /* and what is being typed in it is accepted before the places change */
  g_ptr_array_remove_index (editor->tools, row->place);
  editor->building = TRUE;
  sl_shop_tools_keep (editor->tools);
  g_idle_add_full (G_PRIORITY_HIGH_IDLE, rebuild, g_object_ref (editor), g_object_unref);
}

/* ---- building ---- */

static GtkWidget *
figure_new (Row *row, SlBound *bound, const char *attribute, double least, GCallback committed)
{
  GtkWidget *entry = sl_length_entry_new (); /* named by show_row() */

  *bound = (SlBound){ "tool", attribute, least, SL_TOOL_MOST_MM, SL_UNIT_MM, -1 };
  sl_length_entry_set_fine (SL_LENGTH_ENTRY (entry), TRUE);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), bound);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), FIGURE_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), FIGURE_CHARS);
  hook (entry, "committed", committed, row, 0);
  return entry;
}

static GtkWidget *
serves_new (Row *row)
{
  GtkWidget *popover = gtk_popover_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    {
      row->checks[kind] = gtk_check_button_new_with_label (sl_tool_title ((SlToolKind) kind));
      g_object_set_data (G_OBJECT (row->checks[kind]), "kind", GINT_TO_POINTER (kind));
      hook (row->checks[kind], "toggled", G_CALLBACK (on_check), row, 0);
      gtk_box_append (GTK_BOX (box), row->checks[kind]);
    }
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  sl_set_accessible_label (popover, _ ("What the tool serves to read"));
  row->serves = gtk_menu_button_new (); /* named by show_row() */
  row->serves_label = gtk_label_new (NULL);
  gtk_label_set_ellipsize (GTK_LABEL (row->serves_label), PANGO_ELLIPSIZE_END);
  gtk_label_set_width_chars (GTK_LABEL (row->serves_label), SERVES_CHARS);
  gtk_label_set_max_width_chars (GTK_LABEL (row->serves_label), SERVES_CHARS);
  gtk_label_set_xalign (GTK_LABEL (row->serves_label), 0);
  gtk_menu_button_set_child (GTK_MENU_BUTTON (row->serves), row->serves_label);
  gtk_menu_button_set_popover (GTK_MENU_BUTTON (row->serves), popover);
  return row->serves;
}

static GtkWidget *
message_new (void)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, "sl-wrong");
  gtk_widget_add_css_class (label, "sl-small");
  gtk_widget_set_visible (label, FALSE);
  return label;
}

static void
add_row (SlToolsEditor *self, guint place, int *line)
{
  GtkGrid *grid = GTK_GRID (self->list);
  const SlShopTool *tool = g_ptr_array_index (self->tools, place);
  Row *row = g_rc_box_new0 (Row);
  g_autofree char *name = g_strdup_printf (_ ("Name of tool %u"), place + 1);

  row->editor = self;
  row->place = place;
  row->name = gtk_entry_new ();
  gtk_editable_set_text (GTK_EDITABLE (row->name), tool->name);
  gtk_editable_set_width_chars (GTK_EDITABLE (row->name), NAME_CHARS);
  gtk_widget_set_hexpand (row->name, TRUE);
  sl_set_accessible_label (row->name, name);
  g_object_set_data_full (G_OBJECT (row->name), "row", row, row_release);
  row->name_message = message_new ();
  row->resolution =
      figure_new (row, &row->resolution_bound, "resolution", SL_TOOL_LEAST_RESOLUTION_MM, G_CALLBACK (on_resolution));
  row->limit = figure_new (row, &row->limit_bound, "error-limit", 0, G_CALLBACK (on_limit));
  row->removing = gtk_button_new_from_icon_name ("edit-clear-symbolic"); /* named by show_row() */
  gtk_widget_add_css_class (row->removing, "flat");
  gtk_grid_attach (grid, row->name, 0, *line, 1, 1);
  gtk_grid_attach (grid, row->resolution, 1, *line, 1, 1);
  gtk_grid_attach (grid, row->limit, 2, *line, 1, 1);
  gtk_grid_attach (grid, serves_new (row), 3, *line, 1, 1);
  gtk_grid_attach (grid, row->removing, 4, (*line)++, 1, 1);
  gtk_grid_attach (grid, row->name_message, 0, (*line)++, 5, 1);
  gtk_grid_attach (grid, sl_length_entry_new_message (SL_LENGTH_ENTRY (row->resolution)), 0, (*line)++, 5, 1);
  gtk_grid_attach (grid, sl_length_entry_new_message (SL_LENGTH_ENTRY (row->limit)), 0, (*line)++, 5, 1);
  show_row (row);
  hook (row->name, "changed", G_CALLBACK (on_name), row, G_CONNECT_SWAPPED);
  hook (row->removing, "clicked", G_CALLBACK (on_remove), row, 0);
}

static void
build_list (SlToolsEditor *self)
{
  const gboolean inches = lengths_set () != SL_LENGTHS_MM;
  GtkWidget *child;
  int line = 1;

  self->building = TRUE;
  while ((child = gtk_widget_get_first_child (self->list)) != NULL)
    gtk_grid_remove (GTK_GRID (self->list), child);
  sl_add_column_head (self->list, _ ("Name"), 0);
  sl_add_column_head (self->list, inches ? _ ("Resolution, in") : _ ("Resolution, mm"), 1);
  sl_add_column_head (self->list, inches ? _ ("Error limit, in") : _ ("Error limit, mm"), 2);
  sl_add_column_head (self->list, _ ("Serves to read"), 3);
  for (guint i = 0; i < self->tools->len; i++)
    add_row (self, i, &line);
  gtk_widget_set_sensitive (self->list, TRUE);
  self->building = FALSE;
}

/* The keyboard goes to the new tool's name, which is there to be typed over. */
static void
on_add (SlToolsEditor *self)
{
  g_autofree char *name = sl_shop_tools_free_name (self->tools, _ ("New tool"));
  GtkWidget *last = NULL;

  g_ptr_array_add (self->tools,
                   sl_shop_tool_new (name, FRESH_RESOLUTION_MM, FRESH_RESOLUTION_MM / 2, 1u << SL_TOOL_FIRST_GAP));
  sl_shop_tools_keep (self->tools);
  build_list (self);
  for (GtkWidget *child = gtk_widget_get_first_child (self->list); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (g_object_get_data (G_OBJECT (child), "row") != NULL)
      last = child;
  gtk_widget_grab_focus (last);
}

static void
on_usual (SlToolsEditor *self)
{
  sl_shop_tools_forget ();
  g_ptr_array_unref (self->tools);
  self->tools = sl_shop_tools ();
  build_list (self);
}

static void
sl_tools_editor_finalize (GObject *object)
{
  g_ptr_array_unref (SL_TOOLS_EDITOR (object)->tools);
  G_OBJECT_CLASS (sl_tools_editor_parent_class)->finalize (object);
}

static void
sl_tools_editor_class_init (SlToolsEditorClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_tools_editor_finalize;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
add_button (SlToolsEditor *self, GtkWidget *box, const char *label, const char *tip, GCallback clicked)
{
  GtkWidget *button = gtk_button_new_with_label (label);

  gtk_widget_set_tooltip_text (button, tip);
  g_signal_connect_swapped (button, "clicked", clicked, self);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static void
sl_tools_editor_init (SlToolsEditor *self)
{
  GtkWidget *note = sl_note_new (_ ("Steps the tool shows, and how far off it may be by its maker or its last check: "
                                    "at least half a step. Where readings are entered a tool is chosen by its "
                                    "name; profiles keep its figures."));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, GAP);

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 2 * GAP);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Tools"));
  self->tools = sl_shop_tools ();
  self->list = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->list), 2);
  gtk_grid_set_column_spacing (GTK_GRID (self->list), 2 * GAP);
  gtk_box_append (GTK_BOX (self), note);
  gtk_box_append (GTK_BOX (self), self->list);
  add_button (self, buttons, _ ("Add a tool"), _ ("Adds a tool at the end of the list"), G_CALLBACK (on_add));
  add_button (self, buttons, _ ("Back to the usual tools"), _ ("Forgets this list and starts from the usual one"),
              G_CALLBACK (on_usual));
  gtk_box_append (GTK_BOX (self), buttons);
}

GtkWidget *
sl_tools_editor_new (void)
{
  SlToolsEditor *self = g_object_new (SL_TYPE_TOOLS_EDITOR, NULL);

  build_list (self);
  if (sl_settings () != NULL)
    g_signal_connect_object (sl_settings (), "changed::" SL_SETTING_LENGTHS, G_CALLBACK (build_list), self,
                             G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}
