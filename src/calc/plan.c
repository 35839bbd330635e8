/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>
#include <math.h>

#include "calc.h"
#include "words/dates.h"
#include "words/proposal.h"

static gboolean write_plan;
static const GOptionEntry entries[] = {
  { "write", 'w', 0, G_OPTION_ARG_NONE, &write_plan,
    N_ ("Store the plan in the last visit, in place of the operations not yet done"), NULL },
  { NULL },
};

static void
propose (const SlProfile *profile, const SlShop *shop, SlAnalysis *analysis, SlProposal *proposal)
{
  const SlVisit *visit = sl_profile_last_visit (profile);

  sl_analyse_last (profile, shop, analysis);
  sl_propose (&analysis->instrument, &analysis->fit, analysis->set, visit != NULL ? visit->plan : NULL, shop, proposal);
}

static void
print_first_pass (const SlStep *step)
{
  g_autofree char *bass = sl_millimetres (step->first_pass);
  if (isnan (step->first_pass_treble))
    {
      g_print (_ (" (first pass %s)"), bass);
      return;
    }
  g_autofree char *treble = sl_millimetres (step->first_pass_treble);
  g_print (_ (" (first pass: bass %s, treble %s)"), bass, treble);
}

static void
print_proposal (const SlProposal *proposal, const SlInstrument *instrument)
{
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };

  for (guint i = 0; i < proposal->steps->len; i++)
    {
      const SlStep *step = &g_array_index (proposal->steps, SlStep, i);
      g_autofree char *what = sl_operation_text (&step->operation, !isnan (instrument->height_screw_pitch)),
                      *reason = sl_step_reason (instrument, step, &style);
      g_print ("%u. %s", i + 1, what);
      if (!isnan (step->first_pass))
        print_first_pass (step);
      g_print (": %s\n", reason);
    }
  if (proposal->steps->len == 0)
    g_print ("%s\n", _ ("Nothing to do."));
  for (guint i = 0; i < proposal->findings->len; i++)
    {
      g_autofree char *text = sl_finding_text (&g_array_index (proposal->findings, SlFinding, i), &style);

      g_print ("%s %s\n", C_ ("plan: begins a line that tells what no work can reach", "Finding:"), text);
    }
}

/* The plan to store: what is done stays as it is, the proposal takes the place of the rest. */
static GArray *
merge_plan (const GArray *old, const SlProposal *proposal)
{
  GArray *plan = sl_plan_new ();
  for (guint i = 0; i < old->len; i++)
    {
      SlOperation operation = g_array_index (old, SlOperation, i);
      if (operation.done == NULL)
        continue;
      operation.done = g_strdup (operation.done);
      g_array_append_val (plan, operation);
    }
  for (guint i = 0; i < proposal->steps->len; i++)
    {
      SlOperation operation = g_array_index (proposal->steps, SlStep, i).operation;
      operation.done = NULL;
      g_array_append_val (plan, operation);
    }
  return plan;
}

static SlExit
store (const char *name, SlProfile *profile, const SlProposal *proposal, char **stamp)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  GArray *plan = merge_plan (visit->plan, proposal);
  g_array_unref (visit->plan);
  visit->plan = plan;
  visit->plan_given = visit->plan_given || plan->len > 0;

  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name);
  g_autoptr (GError) error = NULL;
  if (!sl_document_save (file, profile, stamp, FALSE, NULL, &error))
    {
      sl_file_message (name, error->message);
      return SL_EXIT_FILE;
    }
  g_autofree char *day = sl_date_text (visit->opened);
  g_print (_ ("Stored in the visit of %s."), day);
  g_print ("\n");
  return SL_EXIT_DONE;
}

static SlExit
run (char **files, const SlShop *shop)
{
  SlExit status;
  g_autofree char *stamp = NULL;
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], &stamp, &status);
  if (profile == NULL)
    return status;
  if (write_plan && sl_profile_last_visit (profile) == NULL)
    {
      sl_file_message (files[0], _ ("the profile has no visit, so there is none to store a plan in"));
      return SL_EXIT_FAULT;
    }
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlProposal proposal;
  propose (profile, shop, analysis, &proposal);
  print_proposal (&proposal, &analysis->instrument);
  sl_print_shop ();
  if (write_plan)
    status = store (files[0], profile, &proposal, &stamp);
  sl_proposal_clear (&proposal);
  sl_analysis_clear (analysis);
  return status;
}

const SlCommand sl_plan_command = {
  "plan", N_ ("FILE"), N_ ("Proposes the work that brings the instrument to its targets."), NULL, entries, 1, TRUE, run
};
