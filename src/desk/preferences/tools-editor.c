/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "bench/settings.h"
#include "bench/shop-lists.h"

#define FIGURE_PLACES 2 /* of millimetres */
#define CENT_PLACES 1
#define INCH_PLACES 3            /* one more, so that a hundredth of a millimetre shows */
#define FRESH_RESOLUTION_MM 0.05 /* of a tool just added: as first gaps are commonly read */

typedef struct
{
  /* bound in this order */
  GtkWidget *line, *name, *resolution, *limit, *serves, *serves_label, *kinds, *removing, *name_message;
  GtkWidget *checks[SL_N_TOOLS];
  SlBound resolution_bound, limit_bound;
} ToolRow;

/* Of a list and of each of its rows. */
static GPtrArray *
tools_of (gpointer widget)
{
  return g_object_get_data (G_OBJECT (gtk_widget_get_ancestor (widget, SL_TYPE_ROW_LIST)), "tools");
}

static SlShopTool *
tool_of (SlRow *row)
{
  return g_ptr_array_index (tools_of (row), sl_row_get_place (row));
}

/* ---- one tool ---- */

/* The kinds as one line: "Relief, Tongue". */
static char *
serves_text (const SlShopTool *tool)
{
  const char *titles[SL_N_TOOLS + 1] = { NULL };
  int n = 0;

  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    if (sl_shop_tool_serves (tool, (SlToolKind) kind))
      titles[n++] = sl_tool_title ((SlToolKind) kind);
  return g_strjoinv (", ", (char **) titles);
}

static gboolean
is_tuner (const SlShopTool *tool)
{
  return tool->measures == 1u << SL_TOOL_PITCH;
}

static void
fill_figure (GtkWidget *entry, double mm, const char *name_format, const char *tool, gboolean cents)
{
  const SlLengths lengths = sl_settings_get_lengths ();
  const int least = cents ? CENT_PLACES : lengths == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES;

  sl_length_entry_set_plain (SL_LENGTH_ENTRY (entry), cents ? _ ("cents") : NULL);
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (entry), lengths);
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), sl_places_for (mm, least));
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), mm);
  sl_name_as (entry, name_format, tool);
}

static void
fill_row (SlRow *row)
{
  ToolRow *controls = row->controls;
  const SlShopTool *tool = tool_of (row);
  const gboolean one_kind = (tool->measures & (tool->measures - 1)) == 0;
  g_autofree char *serves = serves_text (tool);
  g_auto (GStrv) kinds = g_strsplit (serves, ", ", -1);
  g_autofree char *lines = g_strjoinv (",\n", kinds); /* a column of rows has one width, so texts in it can't wrap */

  if (!gtk_widget_has_css_class (controls->name, "error") &&
      (gtk_widget_get_state_flags (controls->name) & GTK_STATE_FLAG_FOCUS_WITHIN) == 0)
    gtk_editable_set_text (GTK_EDITABLE (controls->name), tool->name);
  /* a tool can't be better than half a step, so each bounds the other */
  controls->resolution_bound.most = MIN (SL_TOOL_MOST_MM, 2 * tool->error_limit_mm);
  controls->limit_bound.least = tool->resolution_mm / 2;
  controls->resolution_bound.unit = controls->limit_bound.unit = is_tuner (tool) ? SL_UNIT_CENT : SL_UNIT_MM;
  fill_figure (controls->resolution, tool->resolution_mm,
               is_tuner (tool) ? _ ("Resolution of %s, cents") : _ ("Resolution of %s"), tool->name, is_tuner (tool));
  fill_figure (controls->limit, tool->error_limit_mm,
               is_tuner (tool) ? _ ("Error limit of %s, cents") : _ ("Error limit of %s"), tool->name, is_tuner (tool));
  sl_label_set (controls->serves_label, lines);
  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    {
      const gboolean last = one_kind && sl_shop_tool_serves (tool, (SlToolKind) kind);

      gtk_check_button_set_active (GTK_CHECK_BUTTON (controls->checks[kind]),
                                   sl_shop_tool_serves (tool, (SlToolKind) kind));
      gtk_widget_set_sensitive (controls->checks[kind], !last);
      gtk_widget_set_tooltip_text (controls->checks[kind],
                                   last ? _ ("A tool serves at least one kind of reading") : NULL);
    }
  sl_set_accessible_label (GTK_WIDGET (row), tool->name);
  sl_name_as (controls->name, _ ("Name of tool %u"), sl_row_get_place (row) + 1);
  sl_name_as (controls->serves, _ ("%s serves: %s"), tool->name, serves);
  sl_name_with_tip (controls->removing, _ ("Remove %s"), tool->name);
}

static void
keep (gpointer widget)
{
  GtkWidget *list = gtk_widget_get_ancestor (widget, SL_TYPE_ROW_LIST);

  sl_shop_tools_keep (tools_of (list));
  sl_row_list_update (SL_ROW_LIST (list), tools_of (list)->len);
}

/* A name is accepted with each letter while it is valid; otherwise the previous one stays in force. */
static void
on_name (SlRow *row)
{
  ToolRow *controls = row->controls;
  const char *text = gtk_editable_get_text (GTK_EDITABLE (controls->name));
  g_autofree char *objection = NULL;

  if (!sl_row_listens (row))
    return;
  objection = sl_shop_tool_name_objection (tools_of (row), sl_row_get_place (row), text);
  sl_set_remark (controls->name_message, objection);
  sl_typed_judge (controls->name, objection != NULL);
  if (objection != NULL)
    return;
  g_free (tool_of (row)->name);
  tool_of (row)->name = g_strstrip (g_strdup (text));
  keep (row);
}

static void
on_figure (SlRow *row, double value, GtkWidget *entry)
{
  ToolRow *controls = row->controls;

  if (!sl_row_listens (row))
    return;
  if (entry == controls->resolution)
    tool_of (row)->resolution_mm = value;
  else
    tool_of (row)->error_limit_mm = value;
  keep (row);
}

static void
on_check (SlRow *row)
{
  ToolRow *controls = row->controls;
  const guint pitch = 1u << SL_TOOL_PITCH;
  guint measures = 0;

  if (!sl_row_listens (row))
    return;
  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    if (sl_is_on (controls->checks[kind]))
      measures |= 1u << kind;
  /* what reads pitch reads nothing else: its figures are cents */
  if ((measures & pitch) != 0 && measures != pitch)
    measures = is_tuner (tool_of (row)) ? measures & ~pitch : pitch;
  tool_of (row)->measures = measures;
  keep (row);
}

static void
on_remove (SlRow *row)
{
  GtkWidget *list = gtk_widget_get_ancestor (GTK_WIDGET (row), SL_TYPE_ROW_LIST);

  g_ptr_array_remove_index (tools_of (list), sl_row_get_place (row));
  sl_row_list_remove (row);
  keep (list);
}

/* ---- building ---- */

static void
set_up_figure (GtkWidget *entry, SlBound *bound, const char *attribute, double least)
{
  *bound = (SlBound){ "tool", attribute, least, SL_TOOL_MOST_MM, SL_UNIT_MM, -1 };
  sl_length_entry_set_up (entry, (SlLengthUse){ bound, NULL, 2, .required = TRUE });
}

static void
make_row (SlRow *row)
{
  ToolRow *controls = row->controls;

  sl_row_build (row, "tool-row", SL_MEMBERS (ToolRow, line, name_message),
                "line name resolution limit serves serves_label kinds removing name_message", SL_CALL (on_name),
                SL_CALL (on_figure), SL_CALL (on_remove), NULL);
  gtk_box_append (GTK_BOX (row), controls->name_message);
  set_up_figure (controls->resolution, &controls->resolution_bound, "resolution", SL_TOOL_LEAST_RESOLUTION_MM);
  set_up_figure (controls->limit, &controls->limit_bound, "error-limit", 0);
  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    {
      controls->checks[kind] = gtk_check_button_new_with_label (sl_tool_title ((SlToolKind) kind));
      g_signal_connect_swapped (controls->checks[kind], "toggled", G_CALLBACK (on_check), row);
      gtk_box_append (GTK_BOX (controls->kinds), controls->checks[kind]);
    }
}

/* The heads name the unit. */
static void
show_tools (SlRowList *list)
{
  const gboolean inches = sl_settings_get_lengths () != SL_LENGTHS_MM;
  const char *const heads[] = { _ ("Name"),
                                inches ? _ ("Resolution, in or cents") : _ ("Resolution, mm or cents"),
                                inches ? _ ("Error limit, in or cents") : _ ("Error limit, mm or cents"),
                                _ ("Serves to read"),
                                "",
                                NULL };

  sl_row_list_set_heads (list, heads);
  sl_row_list_update (list, tools_of (list)->len);
}

/* The keyboard goes to the new tool's name, which is there to be typed over. */
static void
on_add (SlRowList *list)
{
  GPtrArray *tools = tools_of (list);
  g_autofree char *name = sl_shop_tools_free_name (tools, _ ("New tool"));

  g_ptr_array_add (tools,
                   sl_shop_tool_new (name, FRESH_RESOLUTION_MM, FRESH_RESOLUTION_MM / 2, 1u << SL_TOOL_FIRST_GAP));
  keep (list);
  sl_row_list_focus (list, tools->len - 1, 0);
}

static void
take_tools (SlRowList *list)
{
  sl_row_list_update (list, 0); /* what was typed and not taken in is forgotten too */
  g_object_set_data_full (G_OBJECT (list), "tools", sl_shop_tools (), (GDestroyNotify) g_ptr_array_unref);
  show_tools (list);
}

static void
on_usual (SlRowList *list)
{
  sl_shop_tools_forget ();
  take_tools (list);
}

GtkWidget *
sl_tools_editor_new (void)
{
  GtkWidget *list = sl_row_list_new (_ ("Tools"), SL_SPACE_WIDE, sizeof (ToolRow), make_row, fill_row, NULL);
  GtkWidget *about, *add, *usual,
      *page = sl_built_new ("pages.ui", "tools", "about", &about, "add", &add, "usual", &usual, NULL);

  gtk_box_insert_child_after (GTK_BOX (page), list, about);
  g_signal_connect_object (add, "clicked", G_CALLBACK (on_add), list, G_CONNECT_SWAPPED);
  g_signal_connect_object (usual, "clicked", G_CALLBACK (on_usual), list, G_CONNECT_SWAPPED);
  take_tools (SL_ROW_LIST (list));
  sl_settings_follow (SL_SETTING_LENGTHS, list, G_CALLBACK (show_tools));
  return page;
}
