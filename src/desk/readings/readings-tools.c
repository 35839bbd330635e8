/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "bench/shop-lists.h"

#define FIGURE_PLACES 2 /* of millimetres */
#define CENT_PLACES 1
#define INCH_PLACES 3 /* one more, so that a hundredth of a millimetre shows */

/* A tuner's figures are cents. */
static const SlBound cent_bounds[] = { { "tool", "resolution", 0, SL_TOOL_MOST_MM, SL_UNIT_CENT, -1 },
                                       { "tool", "error-limit", 0, SL_TOOL_MOST_MM, SL_UNIT_CENT, -1 } };

static void
put_tool (SlBench *bench, SlTool tool)
{
  g_autofree char *step = g_strdup_printf (_ ("tool: %s"), sl_tool_title (tool.measures));
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, step, SL_CHANGED_READINGS, TRUE);

  sl_reading_set_put_tool (edit.set, tool);
}

/* ---- one of the shop's ---- */

typedef struct
{
  GtkWidget *drop_down;
  SlBench *bench;   /* kept by the drop-down */
  GPtrArray *tools; /* of the shop, as they were when last shown: those that serve, as the choices after the first */
  char *shown;      /* the choices as one text, to build them again only when that changes */
  int kind;
  guint choice, choosing; /* what was chosen, and the source that takes it in */
  gboolean updating;
  SlToolChosen chosen;
  gpointer owner;
} Chooser;

static Chooser *
chooser_of (GtkWidget *drop_down)
{
  return g_object_get_data (G_OBJECT (drop_down), "chooser");
}

static void
chooser_free (Chooser *self)
{
  g_clear_handle_id (&self->choosing, g_source_remove);
  g_clear_pointer (&self->tools, g_ptr_array_unref);
  g_free (self->shown);
  g_free (self);
}

static gboolean
choose (gpointer data)
{
  Chooser *self = data;
  SlTool wanted = { (SlToolKind) self->kind, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };

  self->choosing = 0;
  if (self->kind < 0 || self->choice > self->tools->len)
    return G_SOURCE_REMOVE;
  if (self->choice > 0)
    {
      const SlShopTool *tool = g_ptr_array_index (self->tools, self->choice - 1);

      wanted.resolution = sl_number (tool->resolution_mm);
      wanted.error_limit = sl_number (tool->error_limit_mm);
    }
  put_tool (self->bench, wanted);
  if (self->chosen != NULL)
    self->chosen (self->owner);
  return G_SOURCE_REMOVE;
}

/* What is chosen may change what there is to choose from ("own figures" go), which a drop-down can't bear while it
 * tells of the choice: so after that. */
static void
on_selected (Chooser *self)
{
  const guint choice = sl_chosen (self->drop_down);

  if (self->updating || choice == GTK_INVALID_LIST_POSITION)
    return;
  self->choice = choice;
  if (self->choosing == 0)
    self->choosing = g_idle_add_full (G_PRIORITY_HIGH_IDLE, choose, self, NULL);
}

/* The choices: what stands there without a name, then the tools that serve. */
static void
fill (Chooser *self, gboolean own)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  g_autofree char *text = NULL;

  /* Translators: figures of a tool that is none of the shop's, and what is reckoned with where no tool is named */
  g_ptr_array_add (names, (char *) (own ? C_ ("tool", "own figures") : C_ ("tool", "usual figures")));
  for (guint i = 0; i < self->tools->len; i++)
    g_ptr_array_add (names, ((const SlShopTool *) g_ptr_array_index (self->tools, i))->name);
  g_ptr_array_add (names, NULL);
  text = g_strjoinv ("\n", (char **) names->pdata);
  if (g_strcmp0 (text, self->shown) != 0)
    {
      g_autoptr (GtkStringList) model = gtk_string_list_new ((const char *const *) names->pdata);

      gtk_drop_down_set_model (GTK_DROP_DOWN (self->drop_down), G_LIST_MODEL (model));
      g_free (self->shown);
      self->shown = g_steal_pointer (&text);
    }
}

static void
update_chooser (GtkWidget *chooser)
{
  Chooser *self = chooser_of (chooser);
  g_autofree char *name = NULL, *figures = NULL;
  const SlShopTool *found;
  guint place;
  SlTool stated;

  gtk_widget_set_visible (chooser, self->kind >= 0);
  if (self->kind < 0)
    return;
  self->updating = TRUE;
  stated = sl_reading_set_tool (sl_bench_get_set (self->bench), (SlToolKind) self->kind);
  g_clear_pointer (&self->tools, g_ptr_array_unref);
  self->tools = sl_shop_tools ();
  for (guint i = self->tools->len; i-- > 0;)
    if (!sl_shop_tool_serves (g_ptr_array_index (self->tools, i), stated.measures))
      g_ptr_array_remove_index (self->tools, i);
  found = sl_shop_tools_find (self->tools, stated.measures, stated.resolution.v, stated.error_limit.v);
  fill (self, found == NULL && (sl_number_is_set (stated.resolution) || sl_number_is_set (stated.error_limit)));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (chooser), g_ptr_array_find (self->tools, found, &place) ? place + 1 : 0);
  name = g_strdup_printf (_ ("Tool for: %s"), sl_tool_title (stated.measures));
  figures = sl_tool_chooser_figures (chooser);
  sl_set_accessible_label (chooser, name);
  gtk_widget_set_tooltip_text (chooser, figures);
  self->updating = FALSE;
}

/* One figure of the tool with its unit; @whole: with the decimals it was entered with. */
static char *
figure_text (const Chooser *self, double value, gboolean whole)
{
  const SlLengths lengths = sl_bench_get_lengths (self->bench);
  const SlLengths written = lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : lengths;
  const int least = written == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES;

  if (self->kind == SL_TOOL_PITCH)
    {
      g_autofree char *cents =
          sl_plain_format (value, whole ? sl_places_for (value, CENT_PLACES) : CENT_PLACES, sl_decimal_sign ());

      return g_strdup_printf (_ ("%s cents"), cents);
    }
  return sl_length_format (value, written, whole ? sl_places_for (value, least) : least, sl_decimal_sign (), TRUE);
}

char *
sl_tool_chooser_figures (GtkWidget *chooser)
{
  const Chooser *self = chooser_of (chooser);
  SlTool tool;
  double u;

  if (self->kind < 0)
    return g_strdup ("");
  tool = sl_reading_set_tool (sl_bench_get_set (self->bench), (SlToolKind) self->kind);
  u = sl_reading_u (sl_bench_get_set (self->bench), sl_reading_of_tool ((SlToolKind) self->kind));
  if (!isfinite (u) || u <= 0)
    return g_strdup (_ ("no figures are known"));
  g_autofree char *range = figure_text (self, SL_COVERAGE * u, FALSE);

  if (!sl_number_is_set (tool.resolution) || !sl_number_is_set (tool.error_limit))
    return g_strdup_printf ("± %s", range);
  g_autofree char *step = figure_text (self, tool.resolution.v, TRUE),
                  *limit = figure_text (self, tool.error_limit.v, TRUE);

  /* Translators: of a tool: what it shows in steps of, how far off it may be, and what follows for a reading */
  return g_strdup_printf (_ ("steps of %s, within %s: ± %s"), step, limit, range);
}

void
sl_tool_chooser_set_kind (GtkWidget *chooser, int kind)
{
  chooser_of (chooser)->kind = kind;
  update_chooser (chooser);
}

GtkWidget *
sl_tool_chooser_new (SlBench *bench, int kind, SlToolChosen chosen, gpointer owner)
{
  GtkWidget *drop_down = gtk_drop_down_new (NULL, NULL); /* named in update_chooser() */
  Chooser *self = g_new0 (Chooser, 1);

  *self = (Chooser){ .drop_down = drop_down, .bench = sl_keep (drop_down, bench), .chosen = chosen, .owner = owner };
  g_object_set_data_full (G_OBJECT (drop_down), "chooser", self, (GDestroyNotify) chooser_free);
  sl_guard_wheel (drop_down);
  g_signal_connect_swapped (drop_down, "notify::selected", G_CALLBACK (on_selected), self);
  /* the list may have been changed in the preferences since it was last seen */
  g_signal_connect (drop_down, "map", G_CALLBACK (update_chooser), NULL);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_LENGTHS, G_CALLBACK (update_chooser), drop_down);
  sl_tool_chooser_set_kind (drop_down, kind);
  return drop_down;
}

/* ---- its figures ---- */

/* One number of one tool. */
typedef struct
{
  SlBench *bench; /* kept by its entry */
  SlToolKind tool;
  gboolean limit; /* the error limit, else the resolution */
} Field;

static void
on_committed (Field *field, double value)
{
  const SlNumber number = isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  SlTool tool = sl_reading_set_tool (sl_bench_get_set (field->bench), field->tool);

  if (field->limit)
    tool.error_limit = number;
  else
    tool.resolution = number;
  put_tool (field->bench, tool);
}

static void
update_field (SlLengthEntry *entry)
{
  const Field *field = g_object_get_data (G_OBJECT (entry), "field");
  const SlTool tool = sl_reading_set_tool (sl_bench_get_set (field->bench), field->tool);
  const double value = field->limit ? tool.error_limit.v : tool.resolution.v;

  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (field->bench));
  sl_length_entry_set_places (entry, sl_places_for (value, field->tool == SL_TOOL_PITCH ? CENT_PLACES : FIGURE_PLACES));
  sl_length_entry_set_value (entry, value);
}

static GtkWidget *
field_new (SlBench *bench, SlToolKind tool, gboolean limit)
{
  GtkWidget *entry = sl_length_entry_new ();
  Field *field = g_new0 (Field, 1);
  g_autofree char *step = g_strdup_printf (_ ("tool: %s"), sl_tool_title (tool));

  /* what the fit reckons with where nothing is stated */
  const SlTool usual = sl_reading_tool (NULL, sl_reading_of_tool (tool));
  const double figure = limit ? usual.error_limit.v : usual.resolution.v;
  const SlLengthUse use = { tool == SL_TOOL_PITCH ? &cent_bounds[limit]
                                                  : sl_bound_find ("tool", limit ? "error-limit" : "resolution"),
                            tool == SL_TOOL_PITCH ? _ ("cents") : NULL, 2, .bench = bench, .step_name = step };

  *field = (Field){ sl_keep (entry, bench), tool, limit };
  g_object_set_data_full (G_OBJECT (entry), "field", field, g_free);
  sl_length_entry_set_up (entry, use);
  sl_length_entry_set_assumed (SL_LENGTH_ENTRY (entry), figure > 0 ? figure : NAN);
  sl_name_as (entry, limit ? _ ("Error limit of the tool for: %s") : _ ("Resolution of the tool for: %s"),
              sl_tool_title (tool));
  update_field (SL_LENGTH_ENTRY (entry));
  g_signal_connect_swapped (entry, "committed", G_CALLBACK (on_committed), field);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_LENGTHS, G_CALLBACK (update_field), entry);
  return entry;
}

/* Made when it is first opened. */
static void
create_popover (GtkMenuButton *button, gpointer bench)
{
  const SlQuestionGroup group = (SlQuestionGroup) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "group"));
  GtkWidget *grid, *popover;
  int row = 1;

  if (gtk_menu_button_get_popover (button) != NULL)
    return;
  popover = sl_built_new ("readings.ui", "tools", "grid", &grid, NULL);
  for (int tool = 0; tool < SL_N_TOOLS; tool++)
    if (sl_readings[sl_reading_of_tool (tool)].group == group)
      {
        GtkWidget *resolution = field_new (bench, (SlToolKind) tool, FALSE),
                  *limit = field_new (bench, (SlToolKind) tool, TRUE);
        gtk_grid_attach (GTK_GRID (grid), sl_label_new (sl_tool_title ((SlToolKind) tool), "sl-section"), 0, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_tool_chooser_new (bench, tool, NULL, NULL), 1, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), resolution, 2, row, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), limit, 3, row++, 1, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (resolution)), 0, row++, 4, 1);
        gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (limit)), 0, row++, 4, 1);
      }
  gtk_menu_button_set_popover (button, popover);
}

void
sl_readings_tools_init (GtkWidget *button, SlBench *bench, SlQuestionGroup group)
{
  for (int tool = 0; tool < SL_N_TOOLS; tool++)
    if (sl_readings[sl_reading_of_tool (tool)].group == group)
      gtk_widget_set_visible (button, TRUE);
  sl_name_as (button, _ ("Tools for: %s"), sl_question_group_title (group, sl_bench_get_profile (bench)));
  g_object_set_data (G_OBJECT (button), "group", GINT_TO_POINTER (group));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (button), create_popover, sl_keep (button, bench), NULL);
}
