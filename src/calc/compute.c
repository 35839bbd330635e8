/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"

static gboolean detail;
const GOptionEntry sl_compute_entries[] = {
  { "detail", 'd', 0, G_OPTION_ARG_NONE, &detail, N_ ("Also print gap, swing and margin for every held and fret"),
    NULL },
  { NULL },
};

static GPrivate analyses = G_PRIVATE_INIT (g_free);

/* Large: each thread uses one for one file after the other. */
static SlAnalysis *
own_analysis (void)
{
  SlAnalysis *analysis = g_private_get (&analyses);

  if (analysis == NULL)
    g_private_set (&analyses, analysis = g_new0 (SlAnalysis, 1));
  return analysis;
}

void
sl_compute (SlAnswer *answer, const SlShop *shop)
{
  SlAnalysis *analysis = own_analysis ();

  sl_rows_begin (answer, "file", "state,quantity,string,held,fret,value,uncertainty,unit,basis");
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  sl_analyse_last (profile, shop, analysis);
  if (answer->form != SL_FORM_TEXT)
    sl_put_analysis (answer, analysis, detail);
  else
    {
      sl_text_report (answer->out, sl_answer_called (answer), profile, analysis, detail);
      g_string_append_c (answer->out, '\n');
    }
  sl_analysis_clear (analysis);
}

/* Without computing anything. */
void
sl_check (SlAnswer *answer, const SlShop *shop)
{
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
}
