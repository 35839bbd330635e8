/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/settings.h"

#define LISTS_TYPE "a{sas}"

SlBridgeKind
sl_kind_of (const SlProfile *profile)
{
  return profile->bridge.kind == SL_BRIDGE_DEFAULT ? SL_BRIDGE_PINNED : profile->bridge.kind;
}

const char *
sl_kind_title (SlBridgeKind kind)
{
  static const char *const titles[] = {
    [SL_BRIDGE_DEFAULT] = NC_ ("kind of instrument", "Pinned bridge"),
    [SL_BRIDGE_PINNED] = NC_ ("kind of instrument", "Pinned bridge"),
    [SL_BRIDGE_TAILPIECE] = NC_ ("kind of instrument", "Tailpiece"),
    [SL_BRIDGE_THROUGH_BODY] = NC_ ("kind of instrument", "Strings through the body"),
    [SL_BRIDGE_TIE_BLOCK] = NC_ ("kind of instrument", "Tie block"),
    [SL_BRIDGE_FLOATING] = NC_ ("kind of instrument", "Floating bridge"),
    [SL_BRIDGE_TREMOLO] = NC_ ("kind of instrument", "Tremolo"),
    [SL_BRIDGE_CONE] = NC_ ("kind of instrument", "Resonator cone"),
  };

  return g_dpgettext2 (GETTEXT_PACKAGE, "kind of instrument", titles[kind]);
}

char **
sl_kind_list (const char *key, SlBridgeKind kind)
{
  g_autoptr (GVariant) lists = sl_settings_get_value (key, LISTS_TYPE);
  g_autoptr (GVariant) list =
      lists == NULL ? NULL : g_variant_lookup_value (lists, sl_bridge_kind_names[kind], G_VARIANT_TYPE_STRING_ARRAY);

  return list == NULL ? NULL : g_variant_dup_strv (list, NULL);
}

void
sl_kind_list_keep (const char *key, SlBridgeKind kind, const char *const *list)
{
  g_autoptr (GVariantBuilder) fresh = g_variant_builder_new (G_VARIANT_TYPE (LISTS_TYPE));

  for (int k = SL_FIRST_KIND; k <= SL_LAST_KIND; k++)
    {
      g_auto (GStrv) kept = k == (int) kind ? g_strdupv ((char **) list) : sl_kind_list (key, (SlBridgeKind) k);

      if (kept != NULL)
        g_variant_builder_add (fresh, "{s^as}", sl_bridge_kind_names[k], kept);
    }
  sl_settings_set (key, g_variant_builder_end (fresh));
}
