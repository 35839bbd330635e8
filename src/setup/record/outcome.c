/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/outcome.h"

#include <string.h>

static void
find_sets (SlOutcome *outcome)
{
  const GArray *sets = outcome->visit != NULL ? outcome->visit->sets : NULL;

  for (guint i = 0; sets != NULL && i < sets->len; i++)
    {
      const SlReadingSet *set = &g_array_index (sets, SlReadingSet, i);

      if (set->stage == SL_STAGE_FINAL)
        outcome->final = set;
      else if (outcome->first == NULL ||
               (set->stage == SL_STAGE_RECEIVED && outcome->first->stage != SL_STAGE_RECEIVED))
        outcome->first = set;
    }
  outcome->as_planned = outcome->final == NULL;
}

static SlAnalysis *
analyse (const SlOutcome *outcome, const SlReadingSet *set, const SlShop *shop)
{
  SlAnalysis *analysis = g_new0 (SlAnalysis, 1);

  sl_analyse (outcome->profile, outcome->visit, set, shop, analysis);
  return analysis;
}

/* The last readings are what goes home: where they disagree with what the visit's earlier readings and its noted work
 * predict (above all, work that was not noted), they stand by themselves. */
static SlAnalysis *
analyse_final (const SlOutcome *outcome, const SlShop *shop)
{
  SlAnalysis *analysis = analyse (outcome, outcome->final, shop);

  if (analysis->fit.n_suspects == 0)
    return analysis;
  sl_analysis_clear (analysis);
  sl_analyse (outcome->profile, NULL, outcome->final, shop, analysis);
  return analysis;
}

void
sl_outcome_init (SlOutcome *outcome, const SlProfile *profile, const SlVisit *visit, const SlShop *shop)
{
  *outcome = (SlOutcome){ .profile = profile, .visit = visit != NULL ? visit : sl_profile_last_visit (profile) };
  find_sets (outcome);
  outcome->before = analyse (outcome, outcome->first, shop);
  outcome->before_state = &outcome->before->measured;
  outcome->before_figures = &outcome->before->measured_figures;
  if (outcome->as_planned)
    {
      outcome->after = analyse (outcome, outcome->visit != NULL ? sl_visit_last_set (outcome->visit) : NULL, shop);
      outcome->has_plan = outcome->after->has_plan;
      outcome->after_state = &outcome->after->planned;
      outcome->after_figures = &outcome->after->planned_figures;
    }
  else
    {
      outcome->after = analyse_final (outcome, shop);
      outcome->after_state = &outcome->after->measured;
      outcome->after_figures = &outcome->after->measured_figures;
    }
  outcome->instrument = outcome->after->instrument;
}

void
sl_outcome_clear (SlOutcome *outcome)
{
  SlAnalysis *both[] = { outcome->before, outcome->after };

  for (gsize i = 0; i < G_N_ELEMENTS (both); i++)
    if (both[i] != NULL)
      {
        sl_analysis_clear (both[i]);
        g_free (both[i]);
      }
  memset (outcome, 0, sizeof *outcome);
}

static void
mix_all (const double *a, const double *b, double t, gsize n, double *out)
{
  for (gsize i = 0; i < n; i++)
    out[i] = a[i] + t * (b[i] - a[i]);
}

/* The state a share @t of the way from @from (0) to @to (1): a picture between the two, not a prediction. */
static void
blend_states (const SlState *from, const SlState *to, double t, SlState *out)
{
#define MIX(member) mix_all (from->member, to->member, t, G_N_ELEMENTS (out->member), out->member)
  *out = t < 1 ? *from : *to;
  MIX (u);
  MIX (cov);
  MIX (crown);
  MIX (setback);
  MIX (exposure);
  MIX (exposure_u);
#undef MIX
}

void
sl_outcome_blend (const SlOutcome *outcome, double t, SlAnalysis *out)
{
  *out = t < 0.5 ? *outcome->before : *outcome->after;
  out->plan = NULL;
  out->earlier = NULL;
  out->has_plan = FALSE;
  t = CLAMP (t, 0, 1);
  blend_states (outcome->before_state, outcome->after_state, t, &out->measured);
  out->planned = out->measured;
  if (t <= 0)
    out->measured_figures = *outcome->before_figures;
  else if (t >= 1)
    out->measured_figures = *outcome->after_figures;
  else
    sl_figures (&outcome->instrument, &out->measured, NULL, NULL, &out->measured_figures);
  out->planned_figures = out->measured_figures;
}

gboolean
sl_outcome_has_change (const SlOutcome *outcome)
{
  return outcome->first != NULL && (!outcome->as_planned || outcome->has_plan);
}

void
sl_outcome_change (const SlOutcome *outcome, double t, SlAnalysis *out)
{
  sl_outcome_blend (outcome, t, out);
  if (!sl_outcome_has_change (outcome) || t <= 0)
    return;
  out->has_plan = TRUE;
  out->measured = *outcome->before_state;
  out->measured_figures = *outcome->before_figures;
}

const char *
sl_outcome_date (const SlOutcome *outcome)
{
  const SlReadingSet *last;

  if (outcome->visit == NULL)
    return NULL;
  if (outcome->visit->closed != NULL)
    return outcome->visit->closed;
  last = sl_visit_last_set (outcome->visit);
  return last != NULL ? last->taken : outcome->visit->opened;
}
