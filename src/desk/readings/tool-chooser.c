/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/tool-chooser.h"

#include "desk/kit/length-entry.h"
#include "bench/shop-tools.h"
#include "desk/kit/util.h"
#include "setup/fit/fit.h"

#include <glib/gi18n-lib.h>

#include <math.h>

#define FIGURE_PLACES 2 /* of millimetres */
#define INCH_PLACES 3   /* one more, so that a hundredth of a millimetre shows */

struct _SlToolChooser
{
  GtkWidget parent_instance;

  GtkWidget *drop_down; /* child */
  SlBench *bench;       /* owned */
  GPtrArray *tools;     /* of the shop, as they were when last shown; owned */
  GArray *places;       /* of guint: the tools that serve, by their place in it, as the choices after the first */
  char *shown;          /* the choices as one text, to build them again only when that changes */
  int kind;
  guint choice, choosing; /* what was chosen, and the source that takes it in */
  gboolean updating;
};

G_DEFINE_FINAL_TYPE (SlToolChooser, sl_tool_chooser, GTK_TYPE_WIDGET)

enum
{
  CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

static void
edit_tool (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  sl_reading_set_put_tool (set, *(const SlTool *) data);
}

static gboolean
choose (gpointer data)
{
  SlToolChooser *self = data;
  SlTool wanted = { (SlToolKind) self->kind, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  g_autofree char *step = NULL;

  self->choosing = 0;
  if (self->kind < 0 || self->choice > self->places->len)
    return G_SOURCE_REMOVE;
  if (self->choice > 0)
    {
      const SlShopTool *tool = g_ptr_array_index (self->tools, g_array_index (self->places, guint, self->choice - 1));

      wanted.resolution = sl_number (tool->resolution_mm);
      wanted.error_limit = sl_number (tool->error_limit_mm);
    }
  step = g_strdup_printf (_ ("tool: %s"), sl_tool_title (wanted.measures));
  sl_bench_edit (self->bench, step, SL_CHANGED_READINGS, TRUE, edit_tool, &wanted);
  g_signal_emit (self, signals[CHOSEN], 0);
  return G_SOURCE_REMOVE;
}

/* What is chosen may change what there is to choose from ("own figures" go), which a drop-down can't bear while it
 * tells of the choice: so after that. */
static void
on_selected (SlToolChooser *self)
{
  const guint choice = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->drop_down));

  if (self->updating || choice == GTK_INVALID_LIST_POSITION)
    return;
  self->choice = choice;
  if (self->choosing == 0)
    self->choosing = g_idle_add_full (G_PRIORITY_HIGH_IDLE, choose, self, NULL);
}

/* The choices: what stands there without a name, then the tools that serve. */
static void
fill (SlToolChooser *self, gboolean own)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) names = NULL;
  g_autofree char *text = NULL;

  g_array_set_size (self->places, 0);
  /* Translators: figures of a tool that is none of the shop's, and what is reckoned with where no tool is named */
  g_strv_builder_add (builder, own ? C_ ("tool", "own figures") : C_ ("tool", "usual figures"));
  for (guint i = 0; i < self->tools->len; i++)
    {
      const SlShopTool *tool = g_ptr_array_index (self->tools, i);

      if (!sl_shop_tool_serves (tool, (SlToolKind) self->kind))
        continue;
      g_strv_builder_add (builder, tool->name);
      g_array_append_val (self->places, i);
    }
  names = g_strv_builder_end (builder);
  text = g_strjoinv ("\n", names);
  if (g_strcmp0 (text, self->shown) != 0)
    {
      g_autoptr (GtkStringList) model = gtk_string_list_new ((const char *const *) names);

      gtk_drop_down_set_model (GTK_DROP_DOWN (self->drop_down), G_LIST_MODEL (model));
      g_free (self->shown);
      self->shown = g_steal_pointer (&text);
    }
}

static void
update (SlToolChooser *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  g_autofree char *name = NULL, *figures = NULL;
  const SlShopTool *found;
  guint choice = 0;
  SlTool stated;

  gtk_widget_set_visible (GTK_WIDGET (self), self->kind >= 0);
  if (self->kind < 0)
    return;
  self->updating = TRUE;
  stated = sl_reading_set_tool (set, (SlToolKind) self->kind);
  g_clear_pointer (&self->tools, g_ptr_array_unref);
  self->tools = sl_shop_tools ();
  found = sl_shop_tools_find (self->tools, stated.measures, stated.resolution.v, stated.error_limit.v);
  fill (self, found == NULL && (sl_number_is_set (stated.resolution) || sl_number_is_set (stated.error_limit)));
  for (guint i = 0; found != NULL && i < self->places->len; i++)
    if (g_ptr_array_index (self->tools, g_array_index (self->places, guint, i)) == found)
      choice = i + 1;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->drop_down), choice);
  name = g_strdup_printf (_ ("Tool for: %s"), sl_tool_title (stated.measures));
  figures = sl_tool_chooser_figures (self);
  sl_set_accessible_label (self->drop_down, name);
  gtk_widget_set_tooltip_text (self->drop_down, figures);
  self->updating = FALSE;
}

char *
sl_tool_chooser_figures (SlToolChooser *self)
{
  const SlLengths lengths = sl_bench_get_lengths (self->bench);
  const SlLengths written = lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : lengths;
  const int least = written == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES;
  SlTool tool;
  double u;

  if (self->kind < 0)
    return g_strdup ("");
  tool = sl_reading_set_tool (sl_bench_get_set (self->bench), (SlToolKind) self->kind);
  u = sl_reading_u (sl_bench_get_set (self->bench), sl_reading_of_tool ((SlToolKind) self->kind));
  if (!isfinite (u) || u <= 0)
    return g_strdup (_ ("no figures are known"));
  {
    g_autofree char *range = sl_length_format (SL_COVERAGE * u, written, least, sl_decimal_sign (), TRUE);

    if (!sl_number_is_set (tool.resolution) || !sl_number_is_set (tool.error_limit))
      return g_strdup_printf ("± %s", range);
    {
      g_autofree char *step = sl_length_format (tool.resolution.v, written, sl_places_for (tool.resolution.v, least),
                                                sl_decimal_sign (), TRUE);
      g_autofree char *limit = sl_length_format (tool.error_limit.v, written, sl_places_for (tool.error_limit.v, least),
                                                 sl_decimal_sign (), TRUE);

      /* Translators: of a tool: what it shows in steps of, how far off it may be, and what follows for a reading */
      return g_strdup_printf (_ ("steps of %s, within %s: ± %s"), step, limit, range);
    }
  }
}

static void
sl_tool_chooser_dispose (GObject *object)
{
  SlToolChooser *self = SL_TOOL_CHOOSER (object);

  g_clear_handle_id (&self->choosing, g_source_remove);
  g_clear_pointer (&self->drop_down, gtk_widget_unparent);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->tools, g_ptr_array_unref);
  g_clear_pointer (&self->places, g_array_unref);
  g_clear_pointer (&self->shown, g_free);
  G_OBJECT_CLASS (sl_tool_chooser_parent_class)->dispose (object);
}

/* The list may have been changed in the preferences since. */
static void
sl_tool_chooser_map (GtkWidget *widget)
{
  update (SL_TOOL_CHOOSER (widget));
  GTK_WIDGET_CLASS (sl_tool_chooser_parent_class)->map (widget);
}

static void
sl_tool_chooser_class_init (SlToolChooserClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_tool_chooser_dispose;
  widget_class->map = sl_tool_chooser_map;
  signals[CHOSEN] =
      g_signal_new ("chosen", SL_TYPE_TOOL_CHOOSER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
sl_tool_chooser_init (SlToolChooser *self)
{
  self->places = g_array_new (FALSE, FALSE, sizeof (guint));
  self->drop_down = gtk_drop_down_new (NULL, NULL);
  sl_guard_wheel (self->drop_down);
  gtk_widget_set_parent (self->drop_down, GTK_WIDGET (self));
  g_signal_connect_swapped (self->drop_down, "notify::selected", G_CALLBACK (on_selected), self);
}

void
sl_tool_chooser_set_kind (SlToolChooser *self, int kind)
{
  self->kind = kind;
  update (self);
}

GtkWidget *
sl_tool_chooser_new (SlBench *bench, int kind)
{
  SlToolChooser *self = g_object_new (SL_TYPE_TOOL_CHOOSER, NULL);

  self->bench = g_object_ref (bench);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_tool_chooser_set_kind (self, kind);
  return GTK_WIDGET (self);
}
