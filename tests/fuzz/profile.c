/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reader of profiles. What it refuses it refuses with faults that can be shown; what it takes is written and read
 * again unchanged, can be analysed, proposed for and told of, and can hold its own proposal. */
#include <string.h>

#include "file/document.h"
#include "fuzz.h"
#include "setup/record/history.h"
#include "setup/record/history.h"
#include "setup/record/outcome.h"
#include "setup/work/propose.h"
#include "words/effect.h"
#include "words/explain.h"
#include "words/proposal.h"
#include "words/results.h"

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  return 0;
}

static void
check_faults (const GPtrArray *faults)
{
  int line = 0;

  for (guint i = 0; i < faults->len; i++)
    {
      const SlDocumentFault *fault = faults->pdata[i];

      g_assert_true (g_utf8_validate (fault->message, -1, NULL));
      g_assert_null (strchr (fault->message, '\n'));
      g_assert_cmpint (fault->line, >=, line);
      line = fault->line;
    }
}

/* Prints what must be sound, and the same again after reading it. */
static void
check_round_trip (const SlProfile *profile)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (GBytes) first = sl_document_print (profile), second = NULL;
  g_autoptr (SlProfile) back = sl_document_parse (g_bytes_get_data (first, NULL), g_bytes_get_size (first), faults);

  if (back == NULL)
    g_error ("What was written is refused: %s", ((SlDocumentFault *) faults->pdata[0])->message);
  second = sl_document_print (back);
  g_assert_true (g_bytes_equal (first, second));
}

static void
check_words (const SlProfile *profile, const SlAnalysis *analysis, const SlProposal *proposal)
{
  const SlTextStyle style = { SL_LENGTHS_64THS, "," };

  for (guint i = 0; i < proposal->steps->len; i++)
    {
      const SlStep *step = &g_array_index (proposal->steps, SlStep, i);

      fuzz_check_text (sl_step_reason (analysis, step, &style));
      fuzz_check_text (sl_step_cause (analysis, step, &style));
      fuzz_check_text (sl_operation_amount (&analysis->instrument, &step->operation, &style));
    }
  for (guint i = 0; i < proposal->findings->len; i++)
    fuzz_check_text (sl_finding_text (analysis, &g_array_index (proposal->findings, SlFinding, i), &style));
  for (int string = 1; string <= profile->n_strings; string++)
    {
      g_autoptr (GPtrArray) results = sl_results (analysis, string, NULL, &style);

      g_assert_cmpuint (results->len, >, 0);
      for (guint i = 0; i < results->len; i++)
        fuzz_check_text (g_strdup (((SlResult *) results->pdata[i])->sentence));
    }
}

/* What the hand-over sheet says of the last visit. */
static void
check_outcome (const SlProfile *profile)
{
  const SlShop shop = SL_SHOP_DEFAULT;
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  SlPlainFigure figures[SL_PLAIN_FIGURES];
  SlOutcome outcome;

  sl_outcome_init (&outcome, profile, NULL, &shop);
  const int n = sl_plain_figures (&outcome, &speech, figures);
  for (int i = 0; i < n; i++)
    {
      fuzz_check_text (g_strdup (figures[i].before));
      fuzz_check_text (g_strdup (figures[i].after));
      sl_plain_figure_clear (&figures[i]);
    }
  g_autoptr (GPtrArray) work = sl_explain_work (&outcome, &speech, outcome.as_planned),
                        care = sl_explain_care (&outcome, &speech), cautions = sl_explain_cautions (&outcome);
  for (guint i = 0; i < work->len; i++)
    fuzz_check_text (g_strdup (((SlSentence *) work->pdata[i])->text));
  g_autofree char *table = sl_outcome_table (&outcome, '\t');
  g_assert_true (g_utf8_validate (table, -1, NULL));
  sl_outcome_clear (&outcome);
}

static void
work_on (SlProfile *profile)
{
  const SlShop shop = SL_SHOP_DEFAULT;
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GArray) history = sl_history_new (profile, &shop);
  SlProposal proposal;
  SlVisit *visit = sl_profile_last_visit (profile);

  sl_analyse_last (profile, &shop, analysis);
  sl_propose (analysis, &proposal);
  check_words (profile, analysis, &proposal);
  check_outcome (profile);
  if (visit != NULL)
    {
      sl_proposal_enter (&proposal, visit->plan);
      visit->plan_given = visit->plan_given || visit->plan->len > 0;
      check_round_trip (profile);
    }
  sl_proposal_clear (&proposal);
  sl_analysis_clear (analysis);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (SlProfile) profile = sl_document_parse ((const char *) data, size, faults);

  g_assert_true ((profile != NULL) == (faults->len == 0));
  check_faults (faults);
  if (profile != NULL)
    {
      check_round_trip (profile);
      work_on (profile);
    }
  return 0;
}
