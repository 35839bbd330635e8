/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/fit-parts.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

/* Assumed rows, value ± standard uncertainty, mm (model 3.1). */
#define ASSUMED_RELIEF_MM 0.20
#define ASSUMED_RELIEF_U_MM 0.20
#define ASSUMED_RELIEF_DIFFERENCE_U_MM 0.05
#define ASSUMED_TONGUE_U_MM 0.20
#define BETWEEN_FIRST_GAP_U_MM 0.10
#define BETWEEN_ACTION_U_MM 0.25
#define TARGET_FIRST_GAP_U_MM 0.20
#define TARGET_ACTION_U_MM 0.50

/* Weak plausibility rows, only while looking for readings that disagree (model 3.2). */
#define PLAUSIBLE_RELIEF_MM 0.2
#define PLAUSIBLE_RELIEF_U_MM 0.8 /* of the mean */
#define PLAUSIBLE_RELIEF_DIFFERENCE_U_MM 0.15
#define PLAUSIBLE_FIRST_GAP_U_MM 0.3
#define PLAUSIBLE_ACTION_U_MM 1.0

/* What stands in for an exposure where none was read, and its standard uncertainty: our own choice. Saddles stand
 * some 1.5 to 4.5 mm out of their bridge (common practice), so that is one u to either side. */
#define ASSUMED_EXPOSURE_MM 3.0
#define ASSUMED_EXPOSURE_U_MM 1.5

SlFitRow *
sl_fit_add_row (SlFitting *f, double y, double u)
{
  g_array_set_size (f->rows, f->rows->len + 1);
  SlFitRow *row = &g_array_index (f->rows, SlFitRow, f->rows->len - 1);

  memset (row, 0, sizeof *row);
  row->y = y;
  row->u = u;
  return row;
}

static void
add_open_gap_row (SlFitting *f, int string, int fret, double value, double u)
{
  SlFitRow *row = sl_fit_add_row (f, value, u);
  double constant = 0;

  sl_add_gap (f->instrument, &f->fit->state, string, 0, fret, 1, row->a, &constant);
  row->y -= constant;
}

gboolean
sl_fit_stands (const SlFitting *f, guint i)
{
  return f->fit->readings[i].in_fit && f->fit->readings[i].used;
}

/* On which strings (0: the neck) readings of a kind stand, and on how many; an open gap at fret 1 says nothing about
 * the crest that a first gap doesn't say. */
static int
strings_read (const SlFitting *f, SlReadingKind kind, gboolean read[SL_MAX_STRINGS + 1])
{
  int n = 0;

  memset (read, 0, (SL_MAX_STRINGS + 1) * sizeof *read);
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);

      if (r->kind != kind || !sl_fit_stands (f, i))
        continue;
      if (kind == SL_READ_ACTION && r->held != SL_HELD_1 && r->fret < 2)
        continue;
      n += !read[r->string];
      read[r->string] = TRUE;
    }
  return n;
}

static void
assume_gaps (SlFitting *f, SlReadingKind kind, int fret, double between_u, const double *targets, double target_u,
             gboolean *assumed)
{
  gboolean read[SL_MAX_STRINGS + 1];
  const int n_read = strings_read (f, kind, read);

  for (int s = 1; s <= f->instrument->n_strings; s++)
    {
      int below, above;
      double t, constant = 0;

      assumed[s - 1] = !read[s];
      if (read[s])
        continue;
      if (n_read == 0)
        {
          add_open_gap_row (f, s, fret, targets[s - 1], target_u);
          continue;
        }
      sl_bracket (read, f->instrument->n_strings, s, &below, &above, &t);
      SlFitRow *row = sl_fit_add_row (f, 0, between_u);

      sl_add_gap (f->instrument, &f->fit->state, s, 0, fret, 1, row->a, &constant);
      sl_add_gap (f->instrument, &f->fit->state, below, 0, fret, t - 1, row->a, &constant);
      if (t > 0)
        sl_add_gap (f->instrument, &f->fit->state, above, 0, fret, -t, row->a, &constant);
      row->y = -constant;
    }
}

static void
assume_relief (SlFitting *f)
{
  gboolean read[SL_MAX_STRINGS + 1];
  const int n = f->instrument->n_strings, n_read = strings_read (f, SL_READ_RELIEF, read);

  f->fit->relief_assumed_treble = n_read < 2 && !read[1];
  f->fit->relief_assumed_bass = n_read < 2 && !read[n];
  if (n_read == 0)
    {
      sl_fit_add_row (f, ASSUMED_RELIEF_MM, ASSUMED_RELIEF_U_MM)->a[SL_RELIEF_TREBLE] = 1;
      if (n > 1)
        sl_fit_add_row (f, ASSUMED_RELIEF_MM, ASSUMED_RELIEF_U_MM)->a[SL_RELIEF_BASS] = 1;
    }
  else if (n_read == 1 && n > 1)
    {
      SlFitRow *row = sl_fit_add_row (f, 0, ASSUMED_RELIEF_DIFFERENCE_U_MM);

      row->a[SL_RELIEF_TREBLE] = 1;
      row->a[SL_RELIEF_BASS] = -1;
    }
}

static void
assume_tongue (SlFitting *f)
{
  gboolean read[SL_MAX_STRINGS + 1];

  f->fit->tongue_assumed = f->instrument->frets > f->instrument->joint && strings_read (f, SL_READ_TONGUE, read) == 0;
  if (f->fit->tongue_assumed)
    sl_fit_add_row (f, 0, ASSUMED_TONGUE_U_MM)->a[SL_FALL_AWAY] = 1;
}

/* What an earlier set left stands as rows L⁻¹ u = L⁻¹ u_carried ± 1, LLᵀ being its covariance: it needs no assumption
 * besides. */
static gboolean
add_carried_rows (SlFitting *f)
{
  const SlState *state = &f->carried->state;
  const gsize m = (gsize) f->n_columns;
  double l[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS];
  gsl_matrix_view lower = gsl_matrix_view_array (l, m, m);

  for (gsize i = 0; i < m; i++)
    for (gsize j = 0; j < m; j++)
      l[i * m + j] = state->cov[f->columns[i] * state->n_unknowns + f->columns[j]];
  if (gsl_linalg_cholesky_decomp1 (&lower.matrix) != GSL_SUCCESS)
    return FALSE;
  gsl_linalg_tri_invert (CblasLower, CblasNonUnit, &lower.matrix);
  for (gsize i = 0; i < m; i++)
    {
      SlFitRow *row = sl_fit_add_row (f, 0, 1);

      for (gsize j = 0; j <= i; j++)
        {
          row->a[f->columns[j]] = l[i * m + j];
          row->y += l[i * m + j] * state->u[f->columns[j]];
        }
    }
  return TRUE;
}

/* What was only assumed before and is not read now is still only assumed. */
static void
carry_assumptions (SlFitting *f)
{
  const SlFit *c = f->carried;
  const int n = f->instrument->n_strings;
  gboolean gaps[SL_MAX_STRINGS + 1], actions[SL_MAX_STRINGS + 1], reliefs[SL_MAX_STRINGS + 1],
      tongue[SL_MAX_STRINGS + 1];

  strings_read (f, SL_READ_FIRST_GAP, gaps);
  strings_read (f, SL_READ_ACTION, actions);
  strings_read (f, SL_READ_RELIEF, reliefs);
  for (int s = 0; s < n; s++)
    {
      f->fit->first_gap_assumed[s] = c->first_gap_assumed[s] && !gaps[s + 1];
      f->fit->action_assumed[s] = c->action_assumed[s] && !actions[s + 1];
    }
  f->fit->relief_assumed_treble = c->relief_assumed_treble && !reliefs[1];
  f->fit->relief_assumed_bass = c->relief_assumed_bass && !reliefs[n];
  f->fit->tongue_assumed = c->tongue_assumed && strings_read (f, SL_READ_TONGUE, tongue) == 0;
}

void
sl_fit_add_assumed (SlFitting *f)
{
  const SlInstrument *in = f->instrument;

  g_array_set_size (f->rows, f->fit->n_readings);
  if (f->carried != NULL && add_carried_rows (f))
    {
      carry_assumptions (f);
      return;
    }
  assume_relief (f);
  assume_tongue (f);
  assume_gaps (f, SL_READ_FIRST_GAP, 1, BETWEEN_FIRST_GAP_U_MM, in->target_first_gap, TARGET_FIRST_GAP_U_MM,
               f->fit->first_gap_assumed);
  assume_gaps (f, SL_READ_ACTION, SL_OCTAVE_FRET, BETWEEN_ACTION_U_MM, in->target_action, TARGET_ACTION_U_MM,
               f->fit->action_assumed);
}

/* Both outer strings corroborate each other: a neck can be far from straight, but hardly far on one side alone. */
static void
add_plausible_relief (SlFitting *f)
{
  const gboolean two = f->instrument->n_strings > 1;
  SlFitRow *mean = sl_fit_add_row (f, PLAUSIBLE_RELIEF_MM, PLAUSIBLE_RELIEF_U_MM);

  mean->a[SL_RELIEF_TREBLE] = two ? 0.5 : 1;
  mean->a[SL_RELIEF_BASS] = two ? 0.5 : 0;
  if (!two)
    return;
  SlFitRow *difference = sl_fit_add_row (f, 0, PLAUSIBLE_RELIEF_DIFFERENCE_U_MM);

  difference->a[SL_RELIEF_TREBLE] = 1;
  difference->a[SL_RELIEF_BASS] = -1;
}

void
sl_fit_add_plausible (SlFitting *f)
{
  const SlInstrument *in = f->instrument;

  add_plausible_relief (f);
  for (int s = 1; s <= in->n_strings; s++)
    {
      add_open_gap_row (f, s, 1, in->target_first_gap[s - 1], PLAUSIBLE_FIRST_GAP_U_MM);
      add_open_gap_row (f, s, SL_OCTAVE_FRET, in->target_action[s - 1], PLAUSIBLE_ACTION_U_MM);
    }
}

/* ---- what is known without a fit ---- */

/* Corrects values[1…last], which hold what is known so far, by what a set reads: at read places they become the
 * reading, in between the correction is interpolated in number, outside the nearest one is taken. Returns whether any
 * was read; @u (may be NULL) gets the standard uncertainties. */
static gboolean
correct_known (const SlReadingSet *set, SlReadingKind kind, int last, double sign, double *values, double *u)
{
  gboolean read[SL_MAX_FRETS + 1] = { FALSE };
  double correction[SL_MAX_FRETS + 1] = { 0 };
  double square[SL_MAX_FRETS + 1] = { 0 }; /* u² of the mean of what was read there */
  gboolean any = FALSE;

  for (int i = 1; i <= last; i++)
    {
      const gboolean crown = kind == SL_READ_CROWN_GAP;
      double mean = 0;
      const int n = sl_reading_set_mean (set, kind, crown ? 0 : i, crown ? i : 0, &mean);

      read[i] = n > 0;
      SL_EACH (const SlReading, r, u != NULL && n > 0 ? set->readings : NULL)
        if (r->kind == kind && r->string == i && r->use != SL_USE_NEVER)
          square[i] += gsl_pow_2 (sl_reading_own_u (set, r) / n);
      correction[i] = sign * mean - values[i];
      any = any || read[i];
    }
  for (int i = 1; any && i <= last; i++)
    {
      int below, above;
      double t;

      sl_bracket (read, last, i, &below, &above, &t);
      values[i] += (1 - t) * correction[below] + t * correction[above];
      if (u != NULL)
        u[i] = sqrt ((1 - t) * (1 - t) * square[below] + t * t * square[above]);
    }
  return any;
}

/* A straightedge says nothing of where the crowns lie as a whole: where crowns are known already, new gaps are laid
 * onto their mean level, so that what was read over them before keeps its meaning. */
static void
keep_crown_level (const SlReadingSet *set, int frets, const double *before, double *crown)
{
  double sum = 0;
  int n = 0;

  for (int i = 1; i <= frets; i++)
    {
      double mean;

      if (sl_reading_set_mean (set, SL_READ_CROWN_GAP, 0, i, &mean) == 0)
        continue;
      sum += before[i] + mean;
      n++;
    }
  for (int i = 1; i <= frets && n > 0; i++)
    crown[i] += sum / n;
}

/* The board follows from the crown heights read; between read frets in fret number, outside them the nearest one. Where
 * none is read it lies a new crown's height below the highest crown up to the joint, so that one that lies low is worn,
 * and none is higher than the wire. */
static void
fill_board (const SlInstrument *instrument, const SlReadingSet *set, gboolean crowns_known, SlState *state)
{
  gboolean read[SL_MAX_FRETS + 1] = { FALSE };
  double board[SL_MAX_FRETS + 1] = { 0 }, highest = -INFINITY, height;

  for (int n = 1; n <= instrument->frets; n++)
    {
      read[n] = sl_reading_set_mean (set, SL_READ_CROWN_HEIGHT, 0, n, &height) > 0;
      if (read[n])
        board[n] = instrument->crown_height + state->crown[n] - height;
      state->heights_read = state->heights_read || read[n];
      highest = MAX (highest, n <= instrument->joint ? state->crown[n] : -INFINITY);
    }
  for (int n = 1; n <= instrument->frets; n++)
    {
      int below, above;
      double t;

      if (sl_bracket (read, instrument->frets, n, &below, &above, &t))
        state->board[n] = (1 - t) * board[below] + t * board[above];
      else if (!state->heights_read && !crowns_known)
        state->board[n] = MAX (highest, state->crown[n]);
    }
}

/* Wear is local: a mark is where it was read and nowhere else. */
static void
fill_wear (const SlReadingSet *set, SlState *state)
{
  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    {
      double depth;

      if (r->kind == SL_READ_CROWN_WEAR && sl_reading_set_mean (set, r->kind, r->string, r->fret, &depth) > 0)
        sl_state_set_wear (state, r->string, r->fret, depth);
    }
}

void
sl_fill_known (const SlInstrument *instrument, const SlReadingSet *set, const SlState *carried, SlState *state)
{
  double values[SL_MAX_FRETS + 1] = { 0 }, u[SL_MAX_FRETS + 1] = { 0 };

  if (carried != NULL)
    *state = *carried; /* the unknowns are fitted anew */
  for (int s = 0; s < instrument->n_strings && carried == NULL; s++)
    {
      state->exposure[s] = ASSUMED_EXPOSURE_MM;
      state->exposure_u[s] = ASSUMED_EXPOSURE_U_MM;
    }
  /* arrays per fret count from 1, arrays per string from 0 */
  if (correct_known (set, SL_READ_CROWN_GAP, instrument->frets, -1, state->crown, NULL))
    {
      if (state->crowns_read)
        keep_crown_level (set, instrument->frets, carried->crown, state->crown);
      state->crowns_read = TRUE;
    }
  fill_board (instrument, set, carried != NULL && carried->crowns_read, state);
  fill_wear (set, state);
  memcpy (values + 1, state->setback, sizeof state->setback);
  if (correct_known (set, SL_READ_SETBACK, instrument->n_strings, 1, values, NULL))
    state->setback_read = TRUE;
  memcpy (state->setback, values + 1, sizeof state->setback);
  memcpy (values + 1, state->exposure, sizeof state->exposure);
  if (correct_known (set, SL_READ_EXPOSURE, instrument->n_strings, 1, values, u))
    {
      for (int s = 1; s <= instrument->n_strings; s++)
        state->exposure_u[s - 1] = u[s];
      state->exposure_read = TRUE;
    }
  memcpy (state->exposure, values + 1, sizeof state->exposure);
}
