/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/explanations.h"
#include "bench/settings.h"
#include "photo/sheet-pictures.h"
#include "setup/profile/money.h"

/* ---- usual charges ---- */

#define CHARGE_TYPE "(sdd)"
#define CHARGES_TYPE "a" CHARGE_TYPE
#define OPEN (-G_MAXDOUBLE) /* what is left open, as a file of settings can hold it: no minutes, and no amount */

static void
charge_clear (gpointer data)
{
  g_free (((SlUsualCharge *) data)->what);
}

/* A number as it was kept, within what a charge takes; else left open. */
static double
kept_number (double value, const char *attribute)
{
  const SlBound *bound = sl_bound_find ("charge", attribute);

  return value >= bound->least && value <= bound->most ? value : NAN;
}

GArray *
sl_usual_charges (void)
{
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_USUAL_CHARGES, CHARGES_TYPE);
  GArray *charges = g_array_new (FALSE, FALSE, sizeof (SlUsualCharge));
  GVariantIter iter;
  const char *what;
  double minutes, amount;

  g_array_set_clear_func (charges, charge_clear);
  if (kept == NULL)
    return charges;
  g_variant_iter_init (&iter, kept);
  while (g_variant_iter_next (&iter, "(&sdd)", &what, &minutes, &amount))
    {
      SlUsualCharge charge = { g_strdup (what), kept_number (minutes, "minutes"), kept_number (amount, "amount") };

      g_array_append_val (charges, charge);
    }
  return charges;
}

void
sl_usual_charges_keep (const GArray *charges)
{
  g_autoptr (GVariantBuilder) list = g_variant_builder_new (G_VARIANT_TYPE (CHARGES_TYPE));

  SL_EACH (const SlUsualCharge, charge, charges)
    g_variant_builder_add (list, CHARGE_TYPE, charge->what, isnan (charge->minutes) ? OPEN : charge->minutes,
                           isnan (charge->amount) ? OPEN : charge->amount);
  sl_settings_set (SL_SETTING_USUAL_CHARGES, g_variant_builder_end (list));
}

char *
sl_shop_currency (void)
{
  g_autofree char *kept = sl_settings_get_string (SL_SETTING_CURRENCY, "");

  return g_strdup (sl_is_currency (kept) ? kept : sl_locale_currency ());
}

char *
sl_usual_charge_text (const SlUsualCharge *charge)
{
  GString *text = g_string_new (charge->what);
  g_autofree char *currency = sl_shop_currency ();

  if (!isnan (charge->minutes))
    {
      g_autofree char *minutes = sl_plain_format (charge->minutes, 0, sl_decimal_sign ());

      g_string_append (text, " · ");
      g_string_append_printf (text, _ ("%s min"), minutes);
    }
  if (!isnan (charge->amount))
    {
      g_autofree char *amount = sl_money_text (charge->amount, currency);

      g_string_append_printf (text, " · %s", amount);
    }
  return g_string_free (text, FALSE);
}

/* ---- tools ---- */

#define TOOL_TYPE "(sddas)" /* name, resolution and error limit in mm, what it serves as a document spells it */
#define TOOLS_TYPE "a" TOOL_TYPE

GPtrArray *
sl_shop_tools (void)
{
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_TOOLS, "m" TOOLS_TYPE);
  g_autoptr (GVariant) list = kept == NULL ? NULL : g_variant_get_maybe (kept);
  GPtrArray *tools;
  GVariantIter iter;
  GVariantIter *names;
  const char *name, *served;
  double resolution, limit;

  if (list == NULL)
    return sl_shop_tools_usual ();
  tools = sl_shop_tools_new ();
  g_variant_iter_init (&iter, list);
  while (g_variant_iter_loop (&iter, "(&sddas)", &name, &resolution, &limit, &names))
    {
      guint measures = 0;

      while (g_variant_iter_next (names, "&s", &served))
        for (int kind = 0; kind < SL_N_TOOLS; kind++)
          if (g_str_equal (served, sl_tool_names[kind]))
            measures |= 1u << kind;
      g_autoptr (SlShopTool) tool = sl_shop_tool_new (name, resolution, limit, measures);
      g_autofree char *objection = sl_shop_tool_name_objection (tools, tools->len, name);

      if (objection == NULL && sl_shop_tool_is_sound (tool))
        g_ptr_array_add (tools, g_steal_pointer (&tool));
    }
  return tools;
}

void
sl_shop_tools_keep (const GPtrArray *tools)
{
  g_autoptr (GVariantBuilder) list = g_variant_builder_new (G_VARIANT_TYPE (TOOLS_TYPE));

  SL_EACH_OF (const SlShopTool, tool, tools)
    {
      g_autoptr (GVariantBuilder) names = g_variant_builder_new (G_VARIANT_TYPE_STRING_ARRAY);

      for (int kind = 0; kind < SL_N_TOOLS; kind++)
        if (sl_shop_tool_serves (tool, (SlToolKind) kind))
          g_variant_builder_add (names, "s", sl_tool_names[kind]);
      g_variant_builder_add (list, TOOL_TYPE, tool->name, tool->resolution_mm, tool->error_limit_mm, names);
    }
  sl_settings_set (SL_SETTING_TOOLS, g_variant_new_maybe (G_VARIANT_TYPE (TOOLS_TYPE), g_variant_builder_end (list)));
}

void
sl_shop_tools_forget (void)
{
  sl_settings_set (SL_SETTING_TOOLS, g_variant_new_maybe (G_VARIANT_TYPE (TOOLS_TYPE), NULL));
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

/* ---- how the shop hands over ---- */

SlPaper
sl_handover_paper (void)
{
  return (SlPaper) sl_settings_get_choice (SL_SETTING_PAPER, sl_paper_names);
}

SlHandoverOptions *
sl_handover_options_of_bench (SlBench *bench)
{
  g_autoptr (GVariant) show_charges = sl_settings_get_value (SL_SETTING_SHOW_CHARGES, "b");
  SlHandoverOptions *options = g_new (SlHandoverOptions, 1);

  sl_handover_options_init (options);
  options->paper = sl_handover_paper ();
  options->shop_name = sl_settings_get_string (SL_SETTING_SHOP_NAME, "");
  options->shop_address = sl_settings_get_string (SL_SETTING_SHOP_ADDRESS, "");
  options->show_charges = show_charges != NULL && g_variant_get_boolean (show_charges);
  options->lengths = sl_bench_get_lengths (bench);
  options->decimal = sl_decimal_sign ();
  options->rewritten = sl_explanations_table (bench);
  options->shop = sl_bench_get_analysis (bench)->shop;
  options->keeping = sl_settings_get_keeping ();
  return options;
}

void
sl_handover_options_free (SlHandoverOptions *options)
{
  g_free ((char *) options->shop_name);
  g_free ((char *) options->shop_address);
  g_hash_table_unref (options->rewritten);
  g_clear_pointer (&options->pictures, g_hash_table_unref);
  g_clear_pointer (&options->measured, g_hash_table_unref);
  g_free (options);
}

gboolean
sl_handover_shows_photos (void)
{
  g_autoptr (GVariant) show_photos = sl_settings_get_value (SL_SETTING_SHOW_PHOTOS, "b");

  return show_photos == NULL || g_variant_get_boolean (show_photos);
}

char *
sl_handover_load_photos (SlHandoverOptions *options, const SlProfile *profile, GFile *folder, GCancellable *cancellable)
{
  const SlTextStyle style = { options->lengths, options->decimal };

  return folder == NULL
             ? NULL
             : sl_sheet_pictures_load (profile, folder, &style, cancellable, &options->pictures, &options->measured);
}

void
sl_template_options_of_bench (SlBench *bench, gboolean half_tiles, SlTemplateOptions *options)
{
  sl_template_options_init (options);
  options->paper = sl_handover_paper ();
  options->lengths = sl_bench_get_lengths (bench);
  options->decimal = sl_decimal_sign ();
  options->half_tiles = half_tiles;
  options->shop = sl_bench_get_analysis (bench)->shop;
  options->correction_x = sl_settings_get_double (SL_SETTING_CORRECTION_X, 1);
  options->correction_y = sl_settings_get_double (SL_SETTING_CORRECTION_Y, 1);
}

SlPages *
sl_template_of_bench (SlBench *bench, gboolean half_tiles, GError **error)
{
  SlTemplateOptions options;

  sl_template_options_of_bench (bench, half_tiles, &options);
  return sl_template_new (sl_bench_get_profile (bench), &options, error);
}

/* ---- lists by family ---- */

#define LISTS_TYPE "a{sas}"

const SlFamilyTraits sl_families[SL_N_FAMILIES] = {
#include "family-rows.h"
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
