/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/shop.h"

#define GROUP "shop"

const SlBound sl_shop_bounds[] = {
#include "shop-rows.h"
  { NULL },
};

double *
sl_shop_value (SlShop *shop, const SlBound *bound)
{
  return G_STRUCT_MEMBER_P (shop, bound->offset);
}

gboolean
sl_shop_equal (const SlShop *a, const SlShop *b)
{
  return memcmp (a, b, sizeof *a) == 0; /* doubles only: no gaps */
}

/* "cut-step, work-rod, …" */
static char *
list_names (void)
{
  GString *names = g_string_new (NULL);

  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL; bound++)
    g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", bound->attribute);
  return g_string_free (names, FALSE);
}

static gboolean
read_value (GKeyFile *file, const char *name, SlShop *shop, GError **error)
{
  const SlBound *bound = sl_shop_bounds;
  g_autofree char *text = g_key_file_get_value (file, GROUP, name, NULL), *names = list_names (), *complaint = NULL;
  SlNumber number = SL_NUMBER_ABSENT;

  while (bound->element != NULL && strcmp (bound->attribute, name) != 0)
    bound++;
  if (bound->element == NULL)
    {
      g_set_error (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_KEY_NOT_FOUND, _ ("there is no “%s”; accepted are %s"),
                   name, names);
      return FALSE;
    }
  if (!sl_number_parse (text, &number))
    {
      g_autofree char *range = sl_bound_range (bound);

      g_set_error (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_INVALID_VALUE,
                   _ ("%s “%s” is not a number; accepted is %s, with a decimal point"), name, text, range);
      return FALSE;
    }
  complaint = sl_bound_complaint (bound, number.v);
  if (complaint != NULL)
    {
      g_set_error_literal (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_INVALID_VALUE, complaint);
      return FALSE;
    }
  *sl_shop_value (shop, bound) = number.v;
  return TRUE;
}

gboolean
sl_shop_parse (const char *text, gsize length, SlShop *out, GError **error)
{
  g_autoptr (GKeyFile) file = g_key_file_new ();
  g_auto (GStrv) groups = NULL, names = NULL;
  SlShop shop = SL_SHOP_DEFAULT;

  if (!g_utf8_validate (text, (gssize) length, NULL))
    {
      g_set_error_literal (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_UNKNOWN_ENCODING, _ ("this is not UTF-8 text"));
      return FALSE;
    }
  if (!g_key_file_load_from_data (file, text, length, G_KEY_FILE_NONE, error))
    return FALSE;
  groups = g_key_file_get_groups (file, NULL);
  for (char **group = groups; *group != NULL; group++)
    if (strcmp (*group, GROUP) != 0)
      {
        g_set_error (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_GROUP_NOT_FOUND,
                     _ ("there is no group [%s]; accepted is [%s]"), *group, GROUP);
        return FALSE;
      }
  names = g_key_file_get_keys (file, GROUP, NULL, error);
  if (names == NULL)
    return FALSE;
  for (char **name = names; *name != NULL; name++)
    if (!read_value (file, *name, &shop, error))
      return FALSE;
  if (shop.keep_least >= shop.keep_most)
    {
      g_set_error (error, G_KEY_FILE_ERROR, G_KEY_FILE_ERROR_INVALID_VALUE,
                   _ ("keep-least %g %% RH is not below keep-most %g %% RH"), shop.keep_least, shop.keep_most);
      return FALSE;
    }
  *out = shop;
  return TRUE;
}

char *
sl_shop_print (const SlShop *shop)
{
  GString *text = g_string_new ("[" GROUP "]\n");
  SlShop values = *shop;

  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL; bound++)
    {
      char number[SL_NUMBER_CHARS];

      g_string_append_printf (text, "%s=%s\n", bound->attribute,
                              sl_number_format (sl_number (*sl_shop_value (&values, bound)), number));
    }
  return g_string_free (text, FALSE);
}

/* ---- tools ---- */

#define SAME_MM 1e-9 /* two figures that were written the same */

#define NECK (1u << SL_TOOL_RELIEF | 1u << SL_TOOL_TONGUE)
#define FIRST_GAP (1u << SL_TOOL_FIRST_GAP)
#define ACTION (1u << SL_TOOL_ACTION)
#define EXPOSURE (1u << SL_TOOL_EXPOSURE)
#define CROWN (1u << SL_TOOL_CROWN)
#define PITCH (1u << SL_TOOL_PITCH)
#define ALL_KINDS ((1u << SL_N_TOOLS) - 1)

SlShopTool *
sl_shop_tool_new (const char *name, double resolution_mm, double error_limit_mm, guint measures)
{
  SlShopTool *tool = g_new0 (SlShopTool, 1);

  *tool = (SlShopTool){ g_strdup (name), resolution_mm, error_limit_mm, measures };
  return tool;
}

void
sl_shop_tool_free (SlShopTool *tool)
{
  g_free (tool->name);
  g_free (tool);
}

GPtrArray *
sl_shop_tools_new (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) sl_shop_tool_free);
}

GPtrArray *
sl_shop_tools_usual (void)
{
  static const SlShopTool usual[] = {
#include "tool-rows.h"
  };
  GPtrArray *tools = sl_shop_tools_new ();

  for (const SlShopTool *t = usual; t < usual + G_N_ELEMENTS (usual); t++)
    g_ptr_array_add (tools, sl_shop_tool_new (_ (t->name), t->resolution_mm, t->error_limit_mm, t->measures));
  return tools;
}

/* Written so that no NAN passes. */
gboolean
sl_shop_tool_is_sound (const SlShopTool *tool)
{
  g_autofree char *bare = g_strstrip (g_strdup (tool->name));

  return *bare != '\0' && g_utf8_validate (bare, -1, NULL) && tool->resolution_mm >= SL_TOOL_LEAST_RESOLUTION_MM &&
         tool->resolution_mm <= SL_TOOL_MOST_MM && tool->error_limit_mm >= tool->resolution_mm / 2 - SAME_MM &&
         tool->error_limit_mm <= SL_TOOL_MOST_MM && (tool->measures & ALL_KINDS) != 0 &&
         ((tool->measures & PITCH) == 0 || tool->measures == PITCH);
}

static char *
folded (const char *name)
{
  g_autofree char *bare = g_strstrip (g_strdup (name));

  return g_utf8_casefold (bare, -1);
}

static const SlShopTool *
other_of_name (const GPtrArray *tools, guint place, const char *name)
{
  g_autofree char *wanted = folded (name);

  for (guint i = 0; i < tools->len; i++)
    {
      const SlShopTool *tool = g_ptr_array_index (tools, i);
      g_autofree char *given = folded (tool->name);

      if (i != place && g_str_equal (given, wanted))
        return tool;
    }
  return NULL;
}

char *
sl_shop_tool_name_objection (const GPtrArray *tools, guint place, const char *name)
{
  g_autofree char *bare = g_strstrip (g_strdup (name));

  if (*bare == '\0')
    return g_strdup (_ ("A tool has a name, so that it can be chosen by it."));
  if (other_of_name (tools, place, bare) != NULL)
    return g_strdup_printf (_ ("There is a tool “%s” already: each tool needs a name of its own."),
                            other_of_name (tools, place, bare)->name);
  return NULL;
}

char *
sl_shop_tools_free_name (const GPtrArray *tools, const char *wanted)
{
  char *name = g_strdup (wanted);

  for (int n = 2; other_of_name (tools, tools->len, name) != NULL; n++)
    {
      g_free (name);
      name = g_strdup_printf ("%s %d", wanted, n);
    }
  return name;
}

gboolean
sl_shop_tool_serves (const SlShopTool *tool, SlToolKind kind)
{
  return (tool->measures >> kind & 1) != 0;
}

const SlShopTool *
sl_shop_tools_find (const GPtrArray *tools, SlToolKind kind, double resolution_mm, double error_limit_mm)
{
  SL_EACH_OF (const SlShopTool, tool, tools)
    if (sl_shop_tool_serves (tool, kind) && fabs (tool->resolution_mm - resolution_mm) < SAME_MM &&
        fabs (tool->error_limit_mm - error_limit_mm) < SAME_MM)
      return tool;
  return NULL;
}

SlTool
sl_reading_set_tool (const SlReadingSet *set, SlToolKind kind)
{
  for (guint i = 0; set != NULL && set->tools != NULL && i < set->tools->len; i++)
    if (g_array_index (set->tools, SlTool, i).measures == kind)
      return g_array_index (set->tools, SlTool, i);
  return (SlTool){ kind, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
}

void
sl_reading_set_put_tool (SlReadingSet *set, SlTool tool)
{
  guint at = 0;

  while (at < set->tools->len && g_array_index (set->tools, SlTool, at).measures < tool.measures)
    at++;
  if (at < set->tools->len && g_array_index (set->tools, SlTool, at).measures == tool.measures)
    g_array_remove_index (set->tools, at);
  if (sl_number_is_set (tool.resolution) || sl_number_is_set (tool.error_limit))
    g_array_insert_val (set->tools, at, tool);
}
