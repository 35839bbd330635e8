/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/profile/units.h"
#include "words/dates.h"

static gboolean write_plan;
const GOptionEntry sl_plan_entries[] = {
  { "write", 'w', 0, G_OPTION_ARG_NONE, &write_plan,
    N_ ("Store the plan in the last visit, in place of the operations not yet done"), NULL },
  { NULL },
};

static SlExit
store (const char *name, SlProfile *profile, const SlProposal *proposal, gboolean csv, char **stamp)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  sl_proposal_enter (proposal, visit->plan);
  visit->plan_given = visit->plan_given || visit->plan->len > 0;

  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name);
  g_autoptr (GError) error = NULL;
  if (!sl_document_save (file, profile, stamp, FALSE, NULL, &error))
    {
      sl_file_message (name, error->message);
      return SL_EXIT_FILE;
    }
  g_autofree char *day = sl_date_text (visit->opened);
  if (!csv)
    {
      g_print (_ ("Stored in the visit of %s."), day);
      g_print ("\n");
    }
  return SL_EXIT_DONE;
}

SlExit
sl_plan (char **files, const SlShop *shop)
{
  SlExit status;
  gboolean csv;
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };
  g_autoptr (GString) out = g_string_new (NULL);
  if (!sl_parse_format (&csv))
    return SL_EXIT_USAGE;
  g_autofree char *stamp = NULL;
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], &stamp, &status);
  if (profile == NULL)
    return status;
  if (write_plan && sl_profile_last_visit (profile) == NULL)
    {
      sl_file_message (files[0], _ ("the profile has no visit, so there is none to store a plan in"));
      return SL_EXIT_FAULT;
    }
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_auto (SlProposal) proposal;
  sl_analyse_last (profile, shop, analysis);
  sl_propose (analysis, &proposal);
  (csv ? sl_plan_csv : sl_plan_text) (out, analysis, &proposal, &style);
  sl_put (out, csv);
  if (!csv)
    sl_print_shop ();
  return write_plan ? store (files[0], profile, &proposal, csv, &stamp) : status;
}
