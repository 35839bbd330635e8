/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/shop.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "setup/profile/number.h"

#define GROUP "shop"
#define VALUE(name, unit, member)                                                                                      \
  {                                                                                                                    \
    GROUP, name, 0, 1, unit, G_STRUCT_OFFSET (SlShop, member)                                                          \
  }

const SlBound sl_shop_bounds[] = {
  VALUE ("cut-step", SL_UNIT_MM, cut_step_mm),
  VALUE ("work-rod", SL_UNIT_NONE, work.rod_share),
  VALUE ("work-slot", SL_UNIT_MM, work.slot_mm),
  VALUE ("work-base", SL_UNIT_MM, work.base_mm),
  VALUE ("work-shape", SL_UNIT_MM, work.shape_mm),
  VALUE ("work-level", SL_UNIT_MM, work.level_mm),
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

static const SlBound *
find_bound (const char *name)
{
  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL; bound++)
    if (strcmp (bound->attribute, name) == 0)
      return bound;
  return NULL;
}

static gboolean
read_value (GKeyFile *file, const char *name, SlShop *shop, GError **error)
{
  const SlBound *bound = find_bound (name);
  g_autofree char *text = g_key_file_get_value (file, GROUP, name, NULL), *names = list_names (), *complaint = NULL;
  SlNumber number = SL_NUMBER_ABSENT;

  if (bound == NULL)
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
