/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/slip.h"

#include <math.h>

#include "setup/fit/reading-row.h"
#include "setup/profile/units.h"

#define FAR 3.0 /* standard uncertainties: as for readings that disagree (model 3.2) */
/* of what is expected: instruments differ by as much without anybody's slip; our own choice */
#define LEAST_SHARE 0.25

/* What the state would have a reading be, with its standard uncertainty; FALSE for kinds that are neither rows of the
 * fit nor an exposure where one was read. */
static gboolean
expected_reading (const SlAnalysis *analysis, const SlReading *question, double *expected_mm, double *u_mm)
{
  const SlState *state = &analysis->measured;

  if (question->kind == SL_READ_EXPOSURE && state->exposure_read && question->string >= 1 &&
      question->string <= state->n_strings)
    {
      *expected_mm = state->exposure[question->string - 1];
      *u_mm = state->exposure_u[question->string - 1];
      return TRUE;
    }
  if (question->kind >= SL_N_FIT_KINDS)
    return FALSE;
  *expected_mm = sl_predict_reading (&analysis->instrument, state, question, u_mm);
  return TRUE;
}

gboolean
sl_unit_slip (double value_mm, double expected_mm, double u_mm, double *meant_mm)
{
  const double room = FAR * MAX (u_mm, LEAST_SHARE * fabs (expected_mm));
  const double candidates[] = { value_mm * SL_MM_PER_INCH, value_mm / SL_MM_PER_INCH };

  if (fabs (value_mm - expected_mm) <= room)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (candidates); i++)
    if (fabs (candidates[i] - expected_mm) <= room)
      {
        *meant_mm = candidates[i];
        return TRUE;
      }
  return FALSE;
}

/* The answers to @question go, so that what is expected does not rest on what is to be judged. */
static void
remove_answers (SlReadingSet *set, const SlReading *question)
{
  for (guint i = set->readings->len; i-- > 0;)
    if (sl_reading_same_question (&g_array_index (set->readings, SlReading, i), question))
      g_array_remove_index (set->readings, i);
}

gboolean
sl_reading_slip (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                 const SlReading *question, double value_mm, double *meant_mm)
{
  g_autoptr (SlProfile) copy = sl_profile_copy (profile);
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlVisit *own_visit = NULL;
  SlReadingSet *own_set = NULL;
  double expected, u;
  gboolean slip;

  if (visit != NULL)
    own_visit = &g_array_index (copy->visits, SlVisit, visit - (const SlVisit *) (const void *) profile->visits->data);
  if (set != NULL)
    {
      own_set =
          &g_array_index (own_visit->sets, SlReadingSet, set - (const SlReadingSet *) (const void *) visit->sets->data);
      remove_answers (own_set, question);
    }
  sl_analyse (copy, own_visit, own_set, shop, analysis);
  slip = expected_reading (analysis, question, &expected, &u) && sl_unit_slip (value_mm, expected, u, meant_mm);
  sl_analysis_clear (analysis);
  return slip;
}
