/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/settings.h"

#define LISTS_TYPE "a{sas}"

const SlFamilyTraits sl_families[SL_N_FAMILIES] = {
  [SL_FAMILY_FLAT_TOP] = { "pinned", NC_ ("kind of instrument", "Flat-top, pinned bridge"), "flat-top" },
  [SL_FAMILY_NYLON] = { "tie-block", NC_ ("kind of instrument", "Nylon-string, tie block"), "nylon" },
  [SL_FAMILY_CARVED_TOP] = { "floating", NC_ ("kind of instrument", "Carved top, floating bridge"), "carved-top",
                             .placed_by_pitch = TRUE },
  [SL_FAMILY_RESONATOR] = { "cone", NC_ ("kind of instrument", "Resonator"), "resonator" },
  [SL_FAMILY_TAILPIECE] = { "tailpiece", NC_ ("kind of instrument", "Electric with tailpiece"), "two-post" },
  [SL_FAMILY_THROUGH_BODY] = { "through-body", NC_ ("kind of instrument", "Electric, strings through the body"),
                               "solid-body" },
  [SL_FAMILY_TREMOLO] = { "tremolo", NC_ ("kind of instrument", "Electric with tremolo"), "tremolo" },
  [SL_FAMILY_BASS] = { "bass", NC_ ("kind of instrument", "Bass"), "bass" },
  [SL_FAMILY_MANDOLIN] = { "mandolin", NC_ ("kind of instrument", "Mandolin"), "mandolin", .placed_by_pitch = TRUE },
  [SL_FAMILY_UKULELE] = { "ukulele", NC_ ("kind of instrument", "Ukulele"), "ukulele-concert" },
};

char **
sl_kind_list (const char *key, SlFamily family)
{
  g_autoptr (GVariant) lists = sl_settings_get_value (key, LISTS_TYPE);
  g_autoptr (GVariant) list =
      lists == NULL ? NULL : g_variant_lookup_value (lists, sl_families[family].name, G_VARIANT_TYPE_STRING_ARRAY);

  return list == NULL ? NULL : g_variant_dup_strv (list, NULL);
}

void
sl_kind_list_keep (const char *key, SlFamily family, const char *const *list)
{
  g_autoptr (GVariantBuilder) fresh = g_variant_builder_new (G_VARIANT_TYPE (LISTS_TYPE));

  for (SlFamily f = 0; f < SL_N_FAMILIES; f++)
    {
      g_auto (GStrv) kept = f == family ? g_strdupv ((char **) list) : sl_kind_list (key, f);

      if (kept != NULL)
        g_variant_builder_add (fresh, "{s^as}", sl_families[f].name, kept);
    }
  sl_settings_set (key, g_variant_builder_end (fresh));
}
