/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/fit.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_vector.h>
#include <math.h>
#include <string.h>

#include "setup/fit/known.h"
#include "setup/fit/reading-row.h"

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
#define PLAUSIBLE_RELIEF_U_MM 0.3
#define PLAUSIBLE_FIRST_GAP_U_MM 0.3
#define PLAUSIBLE_ACTION_U_MM 1.0
#define SUSPECT_LIMIT 3.0
#define LEAST_APART 2         /* readings of a kind that speak against what was carried: one may be a slip */
#define LEAST_REDUNDANCY 1e-9 /* share of a reading's variance that others check; below it there is only rounding */

/* What the readings leave undetermined is held near where it would be with this uncertainty, and said. */
#define UNDETERMINED_U_MM 10.0
#define SINGULAR_RATIO 1e-10

const char *const sl_basis_names[] = { "measured", "assumed", "computed", NULL };

typedef struct
{
  double a[SL_MAX_UNKNOWNS]; /* row · u */
  double y;                  /* = y */
  double u;                  /* ± u */
} Row;

typedef struct
{
  const SlInstrument *instrument;
  const SlReadingSet *set;
  SlFit *fit;
  const SlFit *carried; /* what an earlier set of the visit left, or NULL */
  GArray *rows;         /* of Row: the first fit->n_readings belong to readings (unused ones have u = INFINITY) */
  int columns[SL_MAX_UNKNOWNS]; /* unknowns that are really unknown */
  int n_columns;
  /* work space for the least squares */
  double *a, *b, *residual;
  gsize room;
} Fitting;

static Row *
add_row (Fitting *f, double y, double u)
{
  g_array_set_size (f->rows, f->rows->len + 1);
  Row *row = &g_array_index (f->rows, Row, f->rows->len - 1);

  memset (row, 0, sizeof *row);
  row->y = y;
  row->u = u;
  return row;
}

static void
add_open_gap_row (Fitting *f, int string, int fret, double value, double u)
{
  Row *row = add_row (f, value, u);
  double constant = 0;

  sl_add_gap (f->instrument, &f->fit->state, string, 0, fret, 1, row->a, &constant);
  row->y -= constant;
}

/* Whether a reading stands behind the state at the moment. */
static gboolean
stands (const Fitting *f, guint i)
{
  return f->fit->readings[i].in_fit && f->fit->readings[i].used;
}

/* Which strings have a first gap or an action read; an open gap at fret 1 says nothing about the crest that a first gap
 * doesn't say. */
static gboolean
strings_read (const Fitting *f, SlReadingKind kind, gboolean read[SL_MAX_STRINGS + 1])
{
  gboolean any = FALSE;

  memset (read, 0, (SL_MAX_STRINGS + 1) * sizeof *read);
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);

      if (r->kind != kind || !stands (f, i))
        continue;
      if (kind == SL_READ_ACTION && r->held != SL_HELD_1 && r->fret < 2)
        continue;
      read[r->string] = any = TRUE;
    }
  return any;
}

static void
assume_gaps (Fitting *f, SlReadingKind kind, int fret, double between_u, const double *targets, double target_u,
             gboolean *assumed)
{
  gboolean read[SL_MAX_STRINGS + 1];
  gboolean any = strings_read (f, kind, read);

  for (int s = 1; s <= f->instrument->n_strings; s++)
    {
      int below, above;
      double t, constant = 0;

      assumed[s - 1] = !read[s];
      if (read[s])
        continue;
      if (!any)
        {
          add_open_gap_row (f, s, fret, targets[s - 1], target_u);
          continue;
        }
      sl_read_bracket (read, f->instrument->n_strings, s, &below, &above, &t);
      Row *row = add_row (f, 0, between_u);

      sl_add_gap (f->instrument, &f->fit->state, s, 0, fret, 1, row->a, &constant);
      sl_add_gap (f->instrument, &f->fit->state, below, 0, fret, t - 1, row->a, &constant);
      if (t > 0)
        sl_add_gap (f->instrument, &f->fit->state, above, 0, fret, -t, row->a, &constant);
      row->y = -constant;
    }
}

static void
assume_relief (Fitting *f)
{
  int first = 0;
  gboolean two = FALSE;

  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);

      if (r->kind != SL_READ_RELIEF || !stands (f, i))
        continue;
      if (first == 0)
        first = r->string;
      else if (r->string != first)
        two = TRUE;
    }
  f->fit->relief_assumed_treble = f->fit->relief_assumed_bass = first == 0;
  if (first == 0)
    {
      add_row (f, ASSUMED_RELIEF_MM, ASSUMED_RELIEF_U_MM)->a[SL_RELIEF_TREBLE] = 1;
      if (f->instrument->n_strings > 1)
        add_row (f, ASSUMED_RELIEF_MM, ASSUMED_RELIEF_U_MM)->a[SL_RELIEF_BASS] = 1;
    }
  else if (!two && f->instrument->n_strings > 1)
    {
      Row *row = add_row (f, 0, ASSUMED_RELIEF_DIFFERENCE_U_MM);

      row->a[SL_RELIEF_TREBLE] = 1;
      row->a[SL_RELIEF_BASS] = -1;
      f->fit->relief_assumed_treble = first != 1;
      f->fit->relief_assumed_bass = first != f->instrument->n_strings;
    }
}

static void
assume_tongue (Fitting *f)
{
  if (f->instrument->frets <= f->instrument->joint)
    return;
  f->fit->tongue_assumed = TRUE;
  for (guint i = 0; i < f->fit->n_readings; i++)
    if (g_array_index (f->set->readings, SlReading, i).kind == SL_READ_TONGUE && stands (f, i))
      f->fit->tongue_assumed = FALSE;
  if (f->fit->tongue_assumed)
    add_row (f, 0, ASSUMED_TONGUE_U_MM)->a[SL_FALL_AWAY] = 1;
}

/* What an earlier set left stands as rows L⁻¹ u = L⁻¹ u_carried ± 1, LLᵀ being its covariance: it needs no assumption
 * besides. */
static gboolean
add_carried_rows (Fitting *f)
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
      Row *row = add_row (f, 0, 1);

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
carry_assumptions (Fitting *f)
{
  const SlFit *c = f->carried;
  gboolean gaps[SL_MAX_STRINGS + 1], actions[SL_MAX_STRINGS + 1];

  strings_read (f, SL_READ_FIRST_GAP, gaps);
  strings_read (f, SL_READ_ACTION, actions);
  for (int s = 0; s < f->instrument->n_strings; s++)
    {
      f->fit->first_gap_assumed[s] = c->first_gap_assumed[s] && !gaps[s + 1];
      f->fit->action_assumed[s] = c->action_assumed[s] && !actions[s + 1];
    }
  f->fit->relief_assumed_treble = c->relief_assumed_treble;
  f->fit->relief_assumed_bass = c->relief_assumed_bass;
  f->fit->tongue_assumed = c->tongue_assumed;
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);

      if (!stands (f, i))
        continue;
      if (r->kind == SL_READ_TONGUE)
        f->fit->tongue_assumed = FALSE;
      if (r->kind == SL_READ_RELIEF && r->string == 1)
        f->fit->relief_assumed_treble = FALSE;
      if (r->kind == SL_READ_RELIEF && r->string == f->instrument->n_strings)
        f->fit->relief_assumed_bass = FALSE;
    }
}

/* Rows behind those of the readings: what an earlier set left, else what is missing is assumed. */
static void
add_assumed_rows (Fitting *f)
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

static void
add_plausible_rows (Fitting *f)
{
  const SlInstrument *in = f->instrument;

  add_row (f, PLAUSIBLE_RELIEF_MM, PLAUSIBLE_RELIEF_U_MM)->a[SL_RELIEF_TREBLE] = 1;
  if (in->n_strings > 1)
    add_row (f, PLAUSIBLE_RELIEF_MM, PLAUSIBLE_RELIEF_U_MM)->a[SL_RELIEF_BASS] = 1;
  for (int s = 1; s <= in->n_strings; s++)
    {
      add_open_gap_row (f, s, 1, in->target_first_gap[s - 1], PLAUSIBLE_FIRST_GAP_U_MM);
      add_open_gap_row (f, s, SL_OCTAVE_FRET, in->target_action[s - 1], PLAUSIBLE_ACTION_U_MM);
    }
}

static void
add_undetermined_rows (Fitting *f)
{
  for (int c = 0; c < f->n_columns; c++)
    add_row (f, 0, UNDETERMINED_U_MM)->a[f->columns[c]] = 1;
}

/* ---- least squares ---- */

/* (RᵀR)⁻¹ of the upper triangle of @qr, written to the state's covariance; FALSE where a diagonal is too near 0. */
static gboolean
covariance_from_qr (const Fitting *f, const gsl_matrix *qr, SlState *state)
{
  const int m = f->n_columns, p = state->n_unknowns;
  double inverse[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS];
  gsl_matrix_view r = gsl_matrix_view_array (inverse, (gsize) m, (gsize) m);
  double largest = 0, smallest = INFINITY;

  for (int i = 0; i < m; i++)
    {
      double d = fabs (gsl_matrix_get (qr, (gsize) i, (gsize) i));

      largest = MAX (largest, d);
      smallest = MIN (smallest, d);
      for (int j = 0; j < m; j++)
        inverse[i * m + j] = j < i ? 0 : gsl_matrix_get (qr, (gsize) i, (gsize) j);
    }
  if (!(smallest > largest * SINGULAR_RATIO))
    return FALSE;
  gsl_linalg_tri_invert (CblasUpper, CblasNonUnit, &r.matrix);
  memset (state->cov, 0, sizeof state->cov);
  for (int i = 0; i < m; i++)
    for (int j = i; j < m; j++)
      {
        double sum = 0;

        for (int k = j; k < m; k++)
          sum += inverse[i * m + k] * inverse[j * m + k];
        state->cov[f->columns[i] * p + f->columns[j]] = state->cov[f->columns[j] * p + f->columns[i]] = sum;
      }
  return TRUE;
}

/* Weighted least squares over all rows that stand, by QR so that the weights are not squared. */
static gboolean
solve (Fitting *f, SlState *state)
{
  const gsize m = (gsize) f->n_columns;
  gsize n = 0;

  if (f->room < f->rows->len)
    {
      f->room = f->rows->len + SL_MAX_UNKNOWNS;
      f->a = g_renew (double, f->a, f->room *SL_MAX_UNKNOWNS);
      f->b = g_renew (double, f->b, f->room);
      f->residual = g_renew (double, f->residual, f->room);
    }
  for (guint i = 0; i < f->rows->len; i++)
    {
      const Row *row = &g_array_index (f->rows, Row, i);

      if (i < f->fit->n_readings && !stands (f, i))
        continue;
      for (gsize c = 0; c < m; c++)
        f->a[n * m + c] = row->a[f->columns[c]] / row->u;
      f->b[n++] = row->y / row->u;
    }
  if (n < m)
    return FALSE;

  double tau[SL_MAX_UNKNOWNS], x[SL_MAX_UNKNOWNS];
  gsl_matrix_view a = gsl_matrix_view_array (f->a, n, m);
  gsl_vector_view t = gsl_vector_view_array (tau, m), xs = gsl_vector_view_array (x, m);
  gsl_vector_view b = gsl_vector_view_array (f->b, n), r = gsl_vector_view_array (f->residual, n);

  gsl_linalg_QR_decomp (&a.matrix, &t.vector);
  if (!covariance_from_qr (f, &a.matrix, state))
    return FALSE;
  gsl_linalg_QR_lssolve (&a.matrix, &t.vector, &b.vector, &xs.vector, &r.vector);
  memset (state->u, 0, sizeof state->u);
  for (gsize c = 0; c < m; c++)
    state->u[f->columns[c]] = x[c];
  return TRUE;
}

static void
solve_or_say (Fitting *f)
{
  if (solve (f, &f->fit->state))
    return;
  f->fit->singular = TRUE;
  add_undetermined_rows (f);
  solve (f, &f->fit->state);
}

static double
row_value (const SlState *state, const double *a)
{
  double sum = 0;

  for (int i = 0; i < state->n_unknowns; i++)
    sum += a[i] * state->u[i];
  return sum;
}

static double
row_variance (const SlState *state, const double *a)
{
  const int p = state->n_unknowns;
  double sum = 0;

  for (int i = 0; i < p; i++)
    if (a[i] != 0)
      for (int j = 0; j < p; j++)
        sum += a[i] * state->cov[i * p + j] * a[j];
  return MAX (sum, 0);
}

/* |r| / sqrt(u² − a C aᵀ) of every reading that stands, for the rows and the state as they are; 0 for others, and for a
 * reading that alone stands behind what it says: with nothing to disagree with, its residual and its variance are both
 * rounding. */
static void
normalise_residuals (const Fitting *f, double *normalised)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const Row *row = &g_array_index (f->rows, Row, i);

      normalised[i] = 0;
      if (!stands (f, i))
        continue;
      double variance = row->u * row->u;
      double free_part = variance - row_variance (&f->fit->state, row->a);

      if (free_part > variance * LEAST_REDUNDANCY)
        normalised[i] = fabs (row->y - row_value (&f->fit->state, row->a)) / sqrt (free_part);
    }
}

/* Leaves out, one at a time, the reading with the largest normalised residual over the limit (model 3.2). With the
 * plausibility rows in, a lone reading that nothing else checks is named too where it is far from anything likely: a
 * slip of a digit or a unit looks like that. Who did read it so sets its use to "always". */
static void
find_suspects (Fitting *f)
{
  g_autofree double *normalised = g_new (double, f->fit->n_readings);

  for (;;)
    {
      double worst = SUSPECT_LIMIT;
      int found = -1;

      add_assumed_rows (f);
      add_plausible_rows (f);
      solve_or_say (f);
      normalise_residuals (f, normalised);
      for (guint i = 0; i < f->fit->n_readings; i++)
        if (normalised[i] > worst && g_array_index (f->set->readings, SlReading, i).use != SL_USE_ALWAYS)
          {
            worst = normalised[i];
            found = (int) i;
          }
      if (found < 0)
        return;
      f->fit->readings[found].used = FALSE;
      f->fit->readings[found].suspect = TRUE;
      f->fit->readings[found].normalised = worst;
      f->fit->n_suspects++;
    }
}

/* Whether most readings of some kind were left out. */
static gboolean
most_left_out (const Fitting *f)
{
  for (SlReadingKind kind = SL_READ_RELIEF; kind <= SL_READ_ACTION; kind++)
    {
      int read = 0, left_out = 0;

      for (guint i = 0; i < f->fit->n_readings; i++)
        {
          const SlReading *r = &g_array_index (f->set->readings, SlReading, i);

          if (r->kind != kind || !f->fit->readings[i].in_fit || r->use == SL_USE_NEVER)
            continue;
          read++;
          left_out += f->fit->readings[i].suspect;
        }
      if (left_out >= LEAST_APART && 2 * left_out > read)
        return TRUE;
    }
  return FALSE;
}

/* Many slips at once are less likely than work that nobody noted. If the set agrees with itself, it stands by itself;
 * else what was carried has the word. */
static void
let_stand_apart (Fitting *f)
{
  const SlFit *carried = f->carried;
  const int n_suspects = f->fit->n_suspects;
  g_autofree SlReadingFit *with_carried = g_memdup2 (f->fit->readings, f->fit->n_readings * sizeof *f->fit->readings);

  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      SlReadingFit *rf = &f->fit->readings[i];

      rf->used = rf->used || rf->suspect;
      rf->suspect = FALSE;
      rf->normalised = NAN;
    }
  f->fit->n_suspects = 0;
  f->carried = NULL;
  find_suspects (f);
  f->fit->apart = f->fit->n_suspects < n_suspects && !most_left_out (f);
  if (f->fit->apart)
    return;
  memcpy (f->fit->readings, with_carried, f->fit->n_readings * sizeof *f->fit->readings);
  f->fit->n_suspects = n_suspects;
  f->carried = carried;
}

static void
add_reading_rows (Fitting *f)
{
  SlFit *fit = f->fit;

  for (guint i = 0; i < fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);
      Row *row = add_row (f, r->value.v, sl_reading_u (f->set, r->kind));
      SlReadingFit *rf = &fit->readings[i];
      double constant;

      rf->normalised = rf->predicted = rf->predicted_u = rf->carried = rf->carried_u = NAN;
      rf->u = row->u;
      rf->in_fit =
          r->kind <= SL_READ_ACTION && !(r->kind == SL_READ_TONGUE && f->instrument->frets <= f->instrument->joint);
      rf->used = rf->in_fit && r->use != SL_USE_NEVER;
      if (!rf->in_fit)
        continue;
      sl_reading_row (f->instrument, &fit->state, r, row->a, &constant);
      row->y -= constant;
      if (f->carried == NULL)
        continue;
      rf->carried = row_value (&f->carried->state, row->a) + constant;
      rf->carried_u = sqrt (row_variance (&f->carried->state, row->a));
    }
}

static void
fill_predictions (Fitting *f)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);
      const Row *row = &g_array_index (f->rows, Row, i);
      SlReadingFit *rf = &f->fit->readings[i];

      if (!rf->in_fit)
        continue;
      rf->predicted = row_value (&f->fit->state, row->a) + r->value.v - row->y;
      rf->predicted_u = sqrt (row_variance (&f->fit->state, row->a));
    }
}

/* What is read twice is known no better than its tool: only now, as while looking for suspects a repeat that is far off
 * must not hide in its own spread. */
static void
weigh_repeats (Fitting *f)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    if (stands (f, i))
      g_array_index (f->rows, Row, i).u = sl_repeated_u (f->set, f->fit->readings, i);
}

/* What is read again with the same tool stands by itself. */
static void
forget_what_is_read_again (const Fitting *f, SlFit *carried)
{
  g_autofree double *rows = g_new (double, (f->fit->n_readings + 1) * SL_MAX_UNKNOWNS);
  guint n = 0;

  for (guint i = 0; i < f->fit->n_readings; i++)
    if (stands (f, i) && sl_read_before (f->set, i, carried))
      memcpy (rows + SL_MAX_UNKNOWNS * n++, g_array_index (f->rows, Row, i).a, SL_MAX_UNKNOWNS * sizeof (double));
  sl_forget_rows (rows, n, carried->state.n_unknowns, carried->state.cov);
}

void
sl_fit (const SlInstrument *instrument, const SlReadingSet *set, SlFit *out)
{
  sl_fit_carried (instrument, set, NULL, out);
}

void
sl_fit_carried (const SlInstrument *instrument, const SlReadingSet *set, const SlFit *carried, SlFit *out)
{
  Fitting f = { .instrument = instrument, .set = set, .fit = out, .carried = carried };
  SlFit rest;

  gsl_set_error_handler_off ();
  memset (out, 0, sizeof *out);
  out->state.n_strings = instrument->n_strings;
  out->state.n_unknowns = SL_NUT_HEIGHT + 2 * instrument->n_strings;
  sl_fill_known (instrument, set, carried != NULL ? &carried->state : NULL, &out->state);
  for (int i = 0; i < out->state.n_unknowns; i++)
    if (!(i == SL_RELIEF_BASS && instrument->n_strings < 2) &&
        !(i == SL_FALL_AWAY && instrument->frets <= instrument->joint))
      f.columns[f.n_columns++] = i;

  out->n_readings = set != NULL ? set->readings->len : 0;
  out->readings = g_new0 (SlReadingFit, out->n_readings);
  f.rows = g_array_sized_new (FALSE, FALSE, sizeof (Row), out->n_readings + 4 * SL_MAX_STRINGS + 8);
  add_reading_rows (&f);
  if (out->n_readings > 0)
    find_suspects (&f);
  if (carried != NULL && most_left_out (&f))
    let_stand_apart (&f);
  out->singular = FALSE;
  weigh_repeats (&f);
  if (f.carried != NULL)
    {
      rest = *carried; /* its readings stay with @carried */
      forget_what_is_read_again (&f, &rest);
      f.carried = &rest;
    }
  add_assumed_rows (&f);
  solve_or_say (&f);
  fill_predictions (&f);
  sl_note_tools (set, out->apart ? NULL : carried, out);

  g_array_unref (f.rows);
  g_free (f.a);
  g_free (f.b);
  g_free (f.residual);
}

void
sl_fit_clear (SlFit *fit)
{
  g_clear_pointer (&fit->readings, g_free);
  fit->n_readings = 0;
}

void
sl_fit_copy (const SlFit *from, SlFit *to)
{
  *to = *from;
  to->readings = g_memdup2 (from->readings, from->n_readings * sizeof *from->readings);
}
