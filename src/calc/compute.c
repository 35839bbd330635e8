/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"

static gboolean detail;
const GOptionEntry sl_compute_entries[] = {
  { "detail", 'd', 0, G_OPTION_ARG_NONE, &detail, N_ ("Also print gap, swing and margin for every held and fret"),
    NULL },
  { NULL },
};

SlExit
sl_compute (char **files, const SlShop *shop)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1); /* large: used for one file after the other */
  g_autoptr (GString) out = g_string_new (NULL);
  SlExit worst = SL_EXIT_DONE;
  gboolean any = FALSE, several = files[1] != NULL, csv;
  if (sl_parse_format (&csv))
    return SL_EXIT_USAGE;
  if (csv)
    g_string_append_printf (out, "%sstate,quantity,string,held,fret,value,uncertainty,unit,basis\n",
                            several ? "file," : "");
  for (char **name = files; *name != NULL; name++)
    {
      SlExit status;
      g_autoptr (SlProfile) profile = sl_load_profile (*name, NULL, &status);
      if (profile != NULL)
        {
          sl_analyse_last (profile, shop, analysis);
          if (csv)
            sl_csv_rows (out, analysis, several ? *name : NULL, detail);
          else
            {
              sl_text_report (out, *name, profile, analysis, detail);
              g_string_append_c (out, '\n');
            }
          sl_analysis_clear (analysis);
        }
      worst = MAX (worst, status);
      any = any || profile != NULL;
      sl_put (out, csv);
      g_string_truncate (out, 0);
    }
  if (any && !csv)
    sl_print_shop ();
  return worst;
}

/* Without computing anything. */
SlExit
sl_check (char **files, const SlShop *shop)
{
  SlExit worst = SL_EXIT_DONE;
  for (char **name = files; *name != NULL; name++)
    {
      SlExit status;
      g_autoptr (SlProfile) profile = sl_load_profile (*name, NULL, &status);
      worst = MAX (worst, status);
    }
  return worst;
}
