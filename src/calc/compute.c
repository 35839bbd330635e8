/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>
#include <stdio.h>

#include "calc.h"

typedef struct
{
  gboolean csv, detail, several;
  SlShopArgument shop;
} Options;

static void
options_clear (Options *options)
{
  sl_shop_argument_clear (&options->shop);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

/* Appends what the model says of one file; the analysis is large and reused from file to file. */
static SlExit
compute_file (const char *name, const Options *options, SlAnalysis *analysis, GString *out)
{
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (name, NULL, &status);
  if (profile == NULL)
    return status;
  sl_analyse_last (profile, &options->shop.values, analysis);
  if (options->csv)
    {
      g_autofree char *field = options->several ? sl_csv_quote (name) : NULL;
      sl_csv_rows (out, analysis, field, options->detail);
    }
  else
    sl_text_report (out, name, profile, analysis, options->detail);
  sl_analysis_clear (analysis);
  return SL_EXIT_DONE;
}

static SlExit
compute_files (char **files, const Options *options)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GString) out = g_string_new (NULL);
  SlExit worst = SL_EXIT_DONE;
  gboolean any = FALSE;
  if (options->csv)
    sl_csv_header (out, options->several);
  for (char **name = files; *name != NULL; name++)
    {
      SlExit status = compute_file (*name, options, analysis, out);
      worst = sl_exit_worse (worst, status);
      any = any || status == SL_EXIT_DONE;
      if (!options->csv && status == SL_EXIT_DONE)
        g_string_append_c (out, '\n');
      sl_print (out, options->csv);
      g_string_truncate (out, 0);
    }
  if (any && !options->csv)
    sl_print_shop (&options->shop);
  return worst;
}

static SlExit
run (int argc, char **argv)
{
  g_autofree char *format = NULL;
  g_auto (Options) options = { 0 };
  const GOptionEntry entries[] = {
    { "format", 'f', 0, G_OPTION_ARG_STRING, &format, N_ ("How to print: “text” (the default) for people, or “csv”"),
      "text|csv" },
    { "detail", 'd', 0, G_OPTION_ARG_NONE, &options.detail,
      N_ ("Also print gap, swing and margin for every held and fret"), NULL },
    { NULL },
  };
  g_auto (GStrv) files = NULL;
  SlExit status = sl_command_parse (&sl_compute_command, entries, 0, argc, argv, &options.shop, &files);
  if (status != SL_EXIT_DONE)
    return status;
  options.csv = g_strcmp0 (format, "csv") == 0;
  if (format != NULL && !options.csv && !g_str_equal (format, "text"))
    return sl_usage_error (&sl_compute_command, _ ("--format is “%s”; it can be “text” or “csv”"), format);
  options.several = files[1] != NULL;
  return compute_files (files, &options);
}

const SlCommand sl_compute_command = { "compute", N_ ("FILE…"),
                                       N_ ("Prints what the model says of the last readings and of their plan."), run };
