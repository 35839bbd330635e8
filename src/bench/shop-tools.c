/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/settings.h"

#define ENTRY_TYPE "(sddas)" /* name, resolution and error limit in mm, what it serves as a document spells it */
#define LIST_TYPE "a" ENTRY_TYPE

static guint
measures_of (GVariantIter *names)
{
  const char *name;
  guint measures = 0;

  while (g_variant_iter_next (names, "&s", &name))
    for (int kind = 0; kind < SL_N_TOOLS; kind++)
      if (g_str_equal (name, sl_tool_names[kind]))
        measures |= 1u << kind;
  return measures;
}

GPtrArray *
sl_shop_tools (void)
{
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_TOOLS, "m" LIST_TYPE);
  g_autoptr (GVariant) list = kept == NULL ? NULL : g_variant_get_maybe (kept);
  GPtrArray *tools;
  GVariantIter iter;
  GVariantIter *names;
  const char *name;
  double resolution, limit;

  if (list == NULL)
    return sl_shop_tools_usual ();
  tools = sl_shop_tools_new ();
  g_variant_iter_init (&iter, list);
  while (g_variant_iter_loop (&iter, "(&sddas)", &name, &resolution, &limit, &names))
    {
      g_autoptr (SlShopTool) tool = sl_shop_tool_new (name, resolution, limit, measures_of (names));
      g_autofree char *objection = sl_shop_tool_name_objection (tools, tools->len, name);

      if (objection == NULL && sl_shop_tool_is_sound (tool))
        g_ptr_array_add (tools, g_steal_pointer (&tool));
    }
  return tools;
}

void
sl_shop_tools_keep (const GPtrArray *tools)
{
  g_autoptr (GVariantBuilder) list = g_variant_builder_new (G_VARIANT_TYPE (LIST_TYPE));

  SL_EACH_OF (const SlShopTool, tool, tools)
    {
      g_autoptr (GVariantBuilder) names = g_variant_builder_new (G_VARIANT_TYPE_STRING_ARRAY);

      for (int kind = 0; kind < SL_N_TOOLS; kind++)
        if (sl_shop_tool_serves (tool, (SlToolKind) kind))
          g_variant_builder_add (names, "s", sl_tool_names[kind]);
      g_variant_builder_add (list, ENTRY_TYPE, tool->name, tool->resolution_mm, tool->error_limit_mm, names);
    }
  sl_settings_set (SL_SETTING_TOOLS, g_variant_new_maybe (G_VARIANT_TYPE (LIST_TYPE), g_variant_builder_end (list)));
}

void
sl_shop_tools_forget (void)
{
  sl_settings_set (SL_SETTING_TOOLS, g_variant_new_maybe (G_VARIANT_TYPE (LIST_TYPE), NULL));
}

const char *
sl_tool_title (SlToolKind kind)
{
  static const char *const titles[] = {
    [SL_TOOL_RELIEF] = NC_ ("tool", "Relief"),
    [SL_TOOL_TONGUE] = NC_ ("tool", "Fingerboard extension"),
    [SL_TOOL_FIRST_GAP] = NC_ ("tool", "String height at fret 1"),
    [SL_TOOL_ACTION] = NC_ ("tool", "Action"),
    [SL_TOOL_EXPOSURE] = NC_ ("tool", "Exposure"),
    [SL_TOOL_CROWN] = NC_ ("tool", "Crowns"),
    [SL_TOOL_PITCH] = NC_ ("tool", "Pitch"),
  };

  return g_dpgettext2 (GETTEXT_PACKAGE, "tool", titles[kind]);
}
