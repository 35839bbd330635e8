/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/baseline.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>

#include "setup/profile/schema.h"

#define LOWER_QUARTILE 0.25
#define UPPER_QUARTILE 0.75

/* The figures that a normal is about. */
static const SlPlaceOfFigure places[SL_N_NORMS] = {
  SL_BY_STRING (relief),    SL_BY_FRET (action, SL_OCTAVE_FRET), SL_BY_STRING (first_gap), SL_BY_STRING (exposure),
  SL_BY_STRING (nut_break), SL_BY_STRING (saddle_break),
};

/* ---- what is normal ---- */

/* A break angle follows from the fitted heights, too; that at the nut says something of the instrument only if those
 * were read. */
static gboolean
counts (const SlAnalysis *analysis, SlNormKind kind, int string)
{
  const SlFigures *figures = &analysis->measured_figures;
  const SlFigure *figure = sl_figure_at (figures, places[kind], string);

  if (!isfinite (figure->value) || figure->basis == SL_BASIS_ASSUMED)
    return FALSE;
  if (kind == SL_NORM_NUT_BREAK)
    return figures->first_gap[string - 1].basis != SL_BASIS_ASSUMED;
  return TRUE;
}

static SlNorm
norm_of (double *values, int n)
{
  SlNorm norm = { n, NAN, NAN, NAN };

  if (n == 0)
    return norm;
  gsl_sort (values, 1, (size_t) n);
  norm.median = gsl_stats_median_from_sorted_data (values, 1, (size_t) n);
  norm.low = gsl_stats_quantile_from_sorted_data (values, 1, (size_t) n, LOWER_QUARTILE);
  norm.high = gsl_stats_quantile_from_sorted_data (values, 1, (size_t) n, UPPER_QUARTILE);
  return norm;
}

void
sl_norms_of (const SlProfile *baseline, const SlShop *shop, SlNorms *out)
{
  const guint n_visits = baseline->visits->len;
  const gsize n_cells = SL_N_NORMS * SL_MAX_STRINGS;
  g_autofree double *values = g_new (double, n_cells *(n_visits + 1)), *reliefs = g_new (double, n_visits + 1);
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  int count[SL_N_NORMS][SL_MAX_STRINGS] = { { 0 } }, n_reliefs = 0;

  out->n_strings = baseline->n_strings;
  for (guint v = 0; v < n_visits; v++)
    {
      const SlVisit *visit = &g_array_index (baseline->visits, SlVisit, v);
      const SlReadingSet *set = sl_visit_last_set (visit);

      if (set == NULL || set->readings->len == 0)
        continue;
      sl_analyse (baseline, visit, set, shop, analysis);
      for (int kind = 0; kind < SL_N_NORMS; kind++)
        for (int s = 1; s <= baseline->n_strings; s++)
          if (counts (analysis, kind, s))
            {
              gsize cell = (gsize) kind * SL_MAX_STRINGS + (gsize) s - 1;

              values[cell * n_visits + (gsize) count[kind][s - 1]++] =
                  sl_figure_at (&analysis->measured_figures, places[kind], s)->value;
            }
      if (counts (analysis, SL_NORM_RELIEF, 1) && counts (analysis, SL_NORM_RELIEF, baseline->n_strings))
        reliefs[n_reliefs++] = sl_state_mean_relief (&analysis->measured);
      sl_analysis_clear (analysis);
    }
  out->mean_relief = norm_of (reliefs, n_reliefs);
  for (int kind = 0; kind < SL_N_NORMS; kind++)
    for (int i = 0; i < SL_MAX_STRINGS; i++)
      out->norm[kind][i] = norm_of (values + ((gsize) kind * SL_MAX_STRINGS + (gsize) i) * n_visits, count[kind][i]);
}

double
sl_norm_distance (const SlNorm *norm, double value)
{
  if (norm->n < 1 || !isfinite (value))
    return NAN;
  if (norm->n == 1)
    return value - norm->median;
  if (value < norm->low)
    return value - norm->low;
  return value > norm->high ? value - norm->high : 0;
}

/* ---- building one ---- */

static gboolean
same_model (const SlProfile *a, const SlProfile *b)
{
  return a->n_strings == b->n_strings && a->neck.frets == b->neck.frets && a->neck.joint_fret == b->neck.joint_fret;
}

/* One value in all of them stays as it was written; a number only others give stays out, like the element it would
 * need. */
static void
fill_median (SlProfile *out, const SlProfile *const *profiles, int n, gsize offset)
{
  g_autofree double *values = g_new (double, n);
  SlNumber *number = &G_STRUCT_MEMBER (SlNumber, out, offset);
  gboolean alike = TRUE;
  int given = 0;

  for (int p = 0; p < n; p++)
    {
      SlNumber other = G_STRUCT_MEMBER (SlNumber, profiles[p], offset);

      if (!same_model (profiles[0], profiles[p]) || !sl_number_is_set (other))
        continue;
      alike = alike && other.v == number->v;
      values[given++] = other.v;
    }
  if (!alike && given > 0 && sl_number_is_set (*number))
    *number = sl_number (norm_of (values, given).median);
}

static void
fill_medians (SlProfile *out, const SlProfile *const *profiles, int n)
{
  /* a hand is the player's, the rest is of the model */
  for (const SlChild *part = sl_element_profile.children; part->element != NULL; part++)
    for (const SlField *field = part->element->fields; part->store == SL_STORE_INSIDE && field->name != NULL; field++)
      if (field->type == SL_FIELD_NUMBER && part->offset != G_STRUCT_OFFSET (SlProfile, player))
        fill_median (out, profiles, n, part->offset + field->offset);
}

/* One instrument's last readings as a visit of the baseline, without anybody's words or charges. */
static void
append_visit (SlProfile *out, const SlVisit *visit, const SlReadingSet *set)
{
  SlVisit copy = sl_visit_init ();
  SlReadingSet readings = sl_reading_set_init ();

  copy.id = g_strdup_printf ("v%u", out->visits->len + 1);
  copy.opened = g_strdup (visit->opened);
  copy.closed = g_strdup (visit->closed);
  readings.id = g_strdup_printf ("r%u", out->visits->len + 1);
  readings.stage = set->stage;
  readings.taken = g_strdup (set->taken);
  readings.temperature = set->temperature;
  readings.humidity = set->humidity;
  g_array_append_vals (readings.tools, set->tools->data, set->tools->len);
  g_array_append_vals (readings.readings, set->readings->data, set->readings->len);
  g_array_append_val (copy.sets, readings);
  g_array_append_val (out->visits, copy);
}

static void
append_visits (SlProfile *out, const SlProfile *profile)
{
  guint first = profile->kind == SL_KIND_BASELINE || profile->visits->len == 0 ? 0 : profile->visits->len - 1;

  for (guint v = first; v < profile->visits->len; v++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, v);
      const SlReadingSet *set = sl_visit_last_set (visit);

      if (set != NULL && set->readings->len > 0)
        append_visit (out, visit, set);
    }
}

/* A copy of what belongs to the model. */
static SlProfile *
copy_model (const SlProfile *profile)
{
  SlProfile *out = sl_profile_copy (profile);

  g_array_set_size (out->visits, 0);
  g_free (out->id);
  out->id = g_uuid_string_random ();
  g_clear_pointer (&out->baseline, g_free);
  g_clear_pointer (&out->identity.owner, g_free);
  g_clear_pointer (&out->identity.contact, g_free);
  g_clear_pointer (&out->identity.serial, g_free);
  g_clear_pointer (&out->identity.note, g_free);
  return out;
}

/* What the model is called: its maker and model where they are known. */
static char *
model_title (const SlProfile *profile)
{
  const char *maker = profile->identity.maker, *model = profile->identity.model;

  if (model == NULL || *model == '\0')
    return g_strdup (profile->identity.label);
  return maker == NULL || *maker == '\0' ? g_strdup (model) : g_strdup_printf ("%s %s", maker, model);
}

SlProfile *
sl_baseline_new (const SlProfile *const *profiles, int n_profiles, int *taken)
{
  SlProfile *out = copy_model (profiles[0]);
  int n = 0;

  out->kind = SL_KIND_BASELINE;
  g_free (out->identity.label);
  out->identity.label = model_title (profiles[0]);
  g_clear_pointer (&out->identity.year, g_free);
  fill_medians (out, profiles, n_profiles);
  for (int i = 0; i < n_profiles; i++)
    if (same_model (profiles[0], profiles[i]))
      {
        append_visits (out, profiles[i]);
        n++;
      }
  if (taken != NULL)
    *taken = n;
  return out;
}

SlProfile *
sl_instrument_from_baseline (const SlProfile *baseline)
{
  SlProfile *out = copy_model (baseline);
  g_autofree char *title = model_title (baseline);

  out->kind = SL_KIND_INSTRUMENT;
  out->baseline = g_strdup (baseline->kind == SL_KIND_BASELINE ? baseline->id : baseline->baseline);
  g_free (out->identity.label);
  /* Translators: label of a new instrument; %s is its model */
  out->identity.label = g_strdup_printf (_ ("New %s"), title);
  return out;
}
