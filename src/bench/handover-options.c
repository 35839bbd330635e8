/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shop-lists.h"

#include "bench/explanations.h"
#include "bench/settings.h"

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
  g_free (options);
}

SlPages *
sl_handover_of_bench (SlBench *bench)
{
  SlHandoverOptions *options = sl_handover_options_of_bench (bench);
  SlPages *pages = sl_handover_new (sl_bench_get_profile (bench), options);

  sl_handover_options_free (options);
  return pages;
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
