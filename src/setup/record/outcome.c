/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/outcome.h"

static void
find_sets (SlOutcome *outcome)
{
  const GArray *sets = outcome->visit != NULL ? outcome->visit->sets : NULL;

  SL_EACH (const SlReadingSet, set, sets)
    if (set->stage == SL_STAGE_FINAL)
      outcome->final = set;
    else if (outcome->first == NULL || (set->stage == SL_STAGE_RECEIVED && outcome->first->stage != SL_STAGE_RECEIVED))
      outcome->first = set;
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
      outcome->instrument = outcome->after->planned_instrument;
    }
  else
    {
      outcome->after = analyse_final (outcome, shop);
      outcome->after_state = &outcome->after->measured;
      outcome->after_figures = &outcome->after->measured_figures;
      outcome->instrument = outcome->after->instrument;
    }
}

void
sl_outcome_clear (SlOutcome *outcome)
{
  g_clear_pointer (&outcome->before, sl_analysis_free);
  g_clear_pointer (&outcome->after, sl_analysis_free);
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
  MIX (board);
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
    sl_figures (&outcome->instrument, &out->measured, NULL, NULL, &out->shop, &out->measured_figures);
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

/* ---- the table, received → final → target ---- */

static void
put_number (GString *out, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  if (isfinite (value))
    g_string_append (out, g_ascii_formatd (buffer, sizeof buffer, "%.6g", value));
  g_string_append_c (out, ',');
}

static void
put_figure (GString *out, const SlFigure *figure)
{
  const gboolean given = figure != NULL && isfinite (figure->value);

  put_number (out, given ? figure->value : NAN);
  put_number (out, given ? SL_COVERAGE * figure->u : NAN);
  g_string_append_printf (out, "%s,", given ? sl_basis_names[figure->basis] : "");
}

/* One quantity, a row for each string; @targets may be NULL. */
static void
put_rows (GString *out, const SlOutcome *outcome, const char *quantity, const char *fret, SlPlaceOfFigure place,
          const double *targets, double tolerance)
{
  for (int s = 1; s <= outcome->instrument.n_strings; s++)
    {
      g_string_append_printf (out, "%s,%d,%s,", quantity, s, fret);
      put_figure (out, outcome->first != NULL ? sl_figure_at (outcome->before_figures, place, s) : NULL);
      put_figure (out, sl_figure_at (outcome->after_figures, place, s));
      put_number (out, targets != NULL ? targets[s - 1] : NAN);
      put_number (out, tolerance);
      g_string_append (out, "mm\n");
    }
}

char *
sl_outcome_table (const SlOutcome *outcome, char separator)
{
  const SlInstrument *in = &outcome->instrument;
  const char *after = outcome->as_planned ? "planned" : "final";
  GString *out = g_string_new ("quantity,string,fret,received,received-uncertainty,received-basis,");
  double relief[SL_MAX_STRINGS];

  for (int i = 0; i < in->n_strings; i++)
    relief[i] = in->target_relief;
  g_string_append_printf (out, "%s,%s-uncertainty,%s-basis,target,tolerance,unit\n", after, after, after);
  put_rows (out, outcome, "relief", "", (SlPlaceOfFigure) SL_BY_STRING (relief), relief, in->relief_tolerance);
  put_rows (out, outcome, "first-gap", "1", (SlPlaceOfFigure) SL_BY_STRING (first_gap), in->target_first_gap,
            in->first_gap_tolerance);
  put_rows (out, outcome, "action", G_STRINGIFY (SL_OCTAVE_FRET), (SlPlaceOfFigure) SL_BY_FRET (action, SL_OCTAVE_FRET),
            in->target_action, in->action_tolerance);
  put_rows (out, outcome, "exposure", "", (SlPlaceOfFigure) SL_BY_STRING (exposure), NULL, NAN);
  return g_strdelimit (g_string_free (out, FALSE), ",", separator); /* no cell has a comma of its own */
}
