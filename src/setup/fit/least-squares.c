/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/fit-parts.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_vector.h>

#define SUSPECT_LIMIT 3.0
#define LEAST_APART 2         /* readings of a kind that speak against what was carried: one may be a slip */
#define LEAST_REDUNDANCY 1e-9 /* share of a reading's variance that others check; below it there is only rounding */

#define SOLVED_ANEW 4 /* suspects; a set that is read for work has fewer: our own choice */
#define TAKEN_OUT 64  /* suspects until it is solved anew all the same, against rounding */

#define SINGULAR_RATIO 1e-10
#define UNDETERMINED_U_MM 10.0 /* of what the readings leave undetermined */
#define FORGOTTEN_U_MM 10.0    /* far beyond what any reading is uncertain by */
#define LEAST_LEFT 1e-9        /* of the largest variance; below it there is only rounding */

const char *const sl_basis_names[] = { "measured", "assumed", "computed", NULL };

/* ---- least squares ---- */

/* (RᵀR)⁻¹ of the upper triangle of @qr, written to the state's covariance; FALSE where a diagonal is too near 0. */
static gboolean
covariance_from_qr (const SlFitting *f, const gsl_matrix *qr, SlState *state)
{
  const int m = f->n_columns, p = state->n_unknowns;
  double inverse[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS], largest = 0, smallest = INFINITY;
  gsl_matrix_view r = gsl_matrix_view_array (inverse, (gsize) m, (gsize) m);

  for (int i = 0; i < m; i++)
    {
      double d = fabs (gsl_matrix_get (qr, (gsize) i, (gsize) i));

      largest = MAX (largest, d);
      smallest = MIN (smallest, d);
      for (int j = 0; j <= i; j++) /* Rᵀ is a Cholesky factor */
        inverse[i * m + j] = gsl_matrix_get (qr, (gsize) j, (gsize) i);
    }
  if (!(smallest > largest * SINGULAR_RATIO))
    return FALSE;
  gsl_linalg_cholesky_invert (&r.matrix);
  memset (state->cov, 0, sizeof state->cov);
  for (int i = 0; i < m; i++)
    for (int j = 0; j < m; j++)
      state->cov[f->columns[i] * p + f->columns[j]] = inverse[i * m + j];
  return TRUE;
}

/* Weighted least squares over all rows that stand, by QR so that the weights are not squared. */
static gboolean
solve (SlFitting *f, SlState *state)
{
  const gsize m = (gsize) f->n_columns;
  gsize n = 0;

  for (guint i = 0; i < f->rows->len; i++)
    {
      const SlFitRow *row = &g_array_index (f->rows, SlFitRow, i);

      if (i < f->fit->n_readings && !sl_fit_stands (f, i))
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
solve_or_say (SlFitting *f)
{
  if (solve (f, &f->fit->state))
    return;
  f->fit->singular = TRUE;
  for (int c = 0; c < f->n_columns; c++) /* held near where it would be, and said */
    sl_fit_add_row (f, 0, UNDETERMINED_U_MM)->a[f->columns[c]] = 1;
  solve (f, &f->fit->state);
}

/* What a search for suspects knows of each reading: its residual and the variance of what the state says of it. */
typedef struct
{
  double off, variance;
} Residual;

static void
find_residuals (const SlFitting *f, Residual *residuals)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlFitRow *row = &g_array_index (f->rows, SlFitRow, i);

      residuals[i].off = row->y - sl_row_value (&f->fit->state, row->a);
      residuals[i].variance = sl_row_variance (&f->fit->state, row->a);
    }
}

/* |r| / sqrt(u² − a C aᵀ) of reading @i; 0 where it doesn't stand, and for a reading that alone stands behind what it
 * says: with nothing to disagree with, its residual and its variance are both rounding. */
static double
normalised_residual (const SlFitting *f, guint i, const Residual *residual)
{
  const SlFitRow *row = &g_array_index (f->rows, SlFitRow, i);
  const double variance = row->u * row->u, free_part = variance - residual->variance;

  if (!sl_fit_stands (f, i) || !(free_part > variance * LEAST_REDUNDANCY))
    return 0;
  return fabs (residual->off) / sqrt (free_part);
}

/* Whether something else was read of what reading @found is of, so that nothing has to be assumed once it is left out.
 */
static gboolean
others_stand (const SlFitting *f, guint found)
{
  const SlReading *r = &g_array_index (f->set->readings, SlReading, found);

  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *other = &g_array_index (f->set->readings, SlReading, i);

      if (i != found && sl_fit_stands (f, i) && other->kind == r->kind && other->string == r->string &&
          (r->kind != SL_READ_ACTION || other->fret > 1))
        return TRUE;
    }
  return FALSE;
}

/* Takes reading @found out of the covariance and of what it says of every reading, rather than to solve anew: with
 * g = C a and k = u² − a C aᵀ, C becomes C + g gᵀ/k and a residual r_i becomes r_i + (a_i g) r/k (Sherman and Morrison,
 * Ann. Math. Statist. 21 (1950) 124). */
static void
take_out (SlFitting *f, guint found, Residual *residuals)
{
  const SlFitRow *row = &g_array_index (f->rows, SlFitRow, found);
  const gsize p = (gsize) f->fit->state.n_unknowns;
  const double off = residuals[found].off, k = row->u * row->u - residuals[found].variance;
  double along[SL_MAX_UNKNOWNS], part;
  gsl_matrix_view c = gsl_matrix_view_array (f->fit->state.cov, p, p);
  gsl_vector_view g = gsl_vector_view_array (along, p);
  gsl_vector_const_view a = gsl_vector_const_view_array (row->a, p);

  gsl_blas_dgemv (CblasNoTrans, 1, &c.matrix, &a.vector, 0, &g.vector);
  gsl_blas_dger (1 / k, &g.vector, &g.vector, &c.matrix);
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      gsl_vector_const_view other = gsl_vector_const_view_array (g_array_index (f->rows, SlFitRow, i).a, p);

      gsl_blas_ddot (&other.vector, &g.vector, &part);
      residuals[i].off += part * off / k;
      residuals[i].variance += part * part / k;
    }
}

static int
find_worst (const SlFitting *f, const Residual *residuals, double *worst)
{
  int found = -1;

  *worst = SUSPECT_LIMIT;
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const double normalised = normalised_residual (f, i, &residuals[i]);

      if (normalised > *worst && g_array_index (f->set->readings, SlReading, i).use != SL_USE_ALWAYS)
        {
          *worst = normalised;
          found = (int) i;
        }
    }
  return found;
}

/* Leaves out, one at a time, the reading with the largest normalised residual over the limit (model 3.2). With the
 * plausibility rows in, a lone reading that nothing else checks is named too where it is far from anything likely: a
 * slip of a digit or a unit looks like that. Who did read it so sets its use to "always". A few are left out by solving
 * anew; where many are, most only by taking them out. */
static void
find_suspects (SlFitting *f)
{
  g_autofree Residual *residuals = g_new (Residual, f->fit->n_readings);
  double worst;
  int found = -1;

  for (guint n = 0;; n++)
    {
      if (n <= SOLVED_ANEW || n % TAKEN_OUT == 0 || f->fit->singular || !others_stand (f, (guint) found))
        {
          sl_fit_add_assumed (f);
          sl_fit_add_plausible (f);
          solve_or_say (f);
          find_residuals (f, residuals);
        }
      else
        take_out (f, (guint) found, residuals);
      found = find_worst (f, residuals, &worst);
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
most_left_out (const SlFitting *f)
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
let_stand_apart (SlFitting *f)
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
add_reading_rows (SlFitting *f)
{
  SlFit *fit = f->fit;
  const gboolean at_pitch = sl_set_at_pitch (f->set); /* else the neck stands otherwise */

  for (guint i = 0; i < fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);
      SlFitRow *row = sl_fit_add_row (f, r->value.v, sl_reading_own_u (f->set, r));
      SlReadingFit *rf = &fit->readings[i];
      double constant;

      rf->normalised = rf->predicted = rf->predicted_u = rf->carried = rf->carried_u = NAN;
      rf->u = row->u;
      rf->in_fit = r->kind <= SL_READ_ACTION && at_pitch &&
                   !(r->kind == SL_READ_TONGUE && f->instrument->frets <= f->instrument->joint);
      rf->used = rf->in_fit && r->use != SL_USE_NEVER;
      if (!rf->in_fit)
        continue;
      sl_reading_row (f->instrument, &fit->state, r, row->a, &constant);
      row->y -= constant;
      if (f->carried == NULL)
        continue;
      rf->carried = sl_row_value (&f->carried->state, row->a) + constant;
      rf->carried_u = sqrt (sl_row_variance (&f->carried->state, row->a));
    }
}

static void
fill_predictions (SlFitting *f)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      const SlReading *r = &g_array_index (f->set->readings, SlReading, i);
      const SlFitRow *row = &g_array_index (f->rows, SlFitRow, i);
      SlReadingFit *rf = &f->fit->readings[i];

      if (!rf->in_fit)
        continue;
      rf->predicted = sl_row_value (&f->fit->state, row->a) + r->value.v - row->y;
      rf->predicted_u = sqrt (sl_row_variance (&f->fit->state, row->a));
    }
}

/* ---- repeats ---- */

/* The standard uncertainty with which reading @i enters as a row. k repeats of one question share their tool's error,
 * so their mean has u² = u_tool² + s²/k, s being their standard deviation (GUM 4.2.3); as k rows of equal weight that
 * is k u_tool² + s² each. Without repeats it is sl_reading_u(). Only readings for which @readings says that they are
 * used count. */
static double
repeated_u (const SlReadingSet *set, const SlReadingFit *readings, guint i)
{
  const SlReading *reading = &g_array_index (set->readings, SlReading, i);
  const double u = sl_reading_u (set, reading->kind);
  double sum = 0, squares = 0;
  int k = 0;

  if (sl_number_is_set (reading->uncertainty)) /* read with no tool of the set: it stands by itself */
    return sl_reading_own_u (set, reading);
  for (guint j = 0; j < set->readings->len; j++)
    {
      const SlReading *other = &g_array_index (set->readings, SlReading, j);

      if (!readings[j].used || sl_number_is_set (other->uncertainty) || !sl_reading_same_question (reading, other))
        continue;
      double off = other->value.v - reading->value.v; /* from a value near by, so that nothing cancels */

      sum += off;
      squares += off * off;
      k++;
    }
  return k < 2 ? u : sqrt (k * u * u + MAX (0, squares - sum * sum / k) / (k - 1));
}

static int
place_of (const SlReading *reading)
{
  return reading->string > 0 ? reading->string - 1 : 0;
}

/* Notes of every reading that stands which tool it was read with, over what @carried (may be NULL) knows; one with a U
 * of its own was read with none of them. */
static void
note_tools (const SlReadingSet *set, const SlFit *carried, SlFit *fit)
{
  const SlTool never = { SL_TOOL_RELIEF, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };

  for (int kind = 0; kind < SL_N_FIT_KINDS; kind++)
    for (int s = 0; s < SL_MAX_STRINGS; s++)
      fit->read_with[kind][s] = carried != NULL ? carried->read_with[kind][s] : never;
  for (guint i = 0; i < fit->n_readings; i++)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, i);

      if (fit->readings[i].used && !sl_number_is_set (reading->uncertainty))
        fit->read_with[reading->kind][place_of (reading)] = sl_reading_tool (set, reading->kind);
    }
}

/* Whether reading @i was read before in the visit, on the same string with the same tool. */
static gboolean
read_before (const SlReadingSet *set, guint i, const SlFit *carried)
{
  const SlReading *reading = &g_array_index (set->readings, SlReading, i);
  const SlTool now = sl_reading_tool (set, reading->kind);

  if (reading->kind >= SL_N_FIT_KINDS || sl_number_is_set (reading->uncertainty))
    return FALSE;
  const SlTool *then = &carried->read_with[reading->kind][place_of (reading)];

  return then->resolution.v == now.resolution.v &&
         then->error_limit.v == now.error_limit.v; /* NAN, not read, equals nothing */
}

/* What is read twice is known no better than its tool: only now, as while looking for suspects a repeat that is far off
 * shall not hide in its own spread. */
static void
weigh_repeats (SlFitting *f)
{
  for (guint i = 0; i < f->fit->n_readings; i++)
    if (sl_fit_stands (f, i))
      g_array_index (f->rows, SlFitRow, i).u = repeated_u (f->set, f->fit->readings, i);
}

/* What is read again with the same tool stands by itself: forgets what the covariance of @carried says of it, and keeps
 * what it says of everything else given that. One reading after the other: C is the sum of their v g gᵀ (g = C a/v,
 * v = aᵀ C a) and of the rest; each v becomes far larger than anything read. A reading that others before it make up
 * leaves nothing to take out. */
static void
forget_what_is_read_again (const SlFitting *f, SlFit *carried)
{
  const gsize m = (gsize) carried->state.n_unknowns;
  double left[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS], along[SL_MAX_UNKNOWNS], v;
  gsl_matrix_view c = gsl_matrix_view_array (carried->state.cov, m, m), rest = gsl_matrix_view_array (left, m, m);
  gsl_vector_view g = gsl_vector_view_array (along, m), diagonal = gsl_matrix_diagonal (&c.matrix);
  const double least = gsl_vector_max (&diagonal.vector) * LEAST_LEFT;

  gsl_matrix_memcpy (&rest.matrix, &c.matrix);
  for (guint i = 0; i < f->fit->n_readings; i++)
    {
      gsl_vector_const_view row = gsl_vector_const_view_array (g_array_index (f->rows, SlFitRow, i).a, m);

      if (!sl_fit_stands (f, i) || !read_before (f->set, i, carried))
        continue;
      gsl_blas_dgemv (CblasNoTrans, 1, &rest.matrix, &row.vector, 0, &g.vector);
      gsl_blas_ddot (&row.vector, &g.vector, &v);
      if (!(v > least))
        continue;
      gsl_vector_scale (&g.vector, 1 / v);
      gsl_blas_dger (-v, &g.vector, &g.vector, &rest.matrix);
      gsl_blas_dger (FORGOTTEN_U_MM * FORGOTTEN_U_MM, &g.vector, &g.vector, &c.matrix);
    }
}

void
sl_fit_after (const SlInstrument *instrument, const SlReadingSet *set, const SlFit *carried, const SlState *known,
              SlFit *out)
{
  SlFitting f = { .instrument = instrument, .set = set, .fit = out, .carried = carried };
  SlFit rest;

  gsl_set_error_handler_off ();
  memset (out, 0, sizeof *out);
  out->state.n_strings = instrument->n_strings;
  out->state.n_unknowns = SL_NUT_HEIGHT + 2 * instrument->n_strings;
  sl_fill_known (instrument, set, known, &out->state);
  for (int i = 0; i < out->state.n_unknowns; i++)
    if (!(i == SL_RELIEF_BASS && instrument->n_strings < 2) &&
        !(i == SL_FALL_AWAY && instrument->frets <= instrument->joint))
      f.columns[f.n_columns++] = i;

  out->n_readings = set != NULL ? set->readings->len : 0;
  out->readings = g_new0 (SlReadingFit, out->n_readings);
  /* beside the readings no more rows than unknowns are assumed, plausible, or for what is undetermined */
  const guint room = out->n_readings + 3 * SL_MAX_UNKNOWNS;
  g_autofree double *a = g_new (double, room *SL_MAX_UNKNOWNS), *b = g_new (double, room),
                    *residual = g_new (double, room);

  f.a = a;
  f.b = b;
  f.residual = residual;
  f.rows = g_array_sized_new (FALSE, FALSE, sizeof (SlFitRow), room);
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
  sl_fit_add_assumed (&f);
  solve_or_say (&f);
  fill_predictions (&f);
  note_tools (set, out->apart ? NULL : carried, out);

  g_array_unref (f.rows);
}

void
sl_fit (const SlInstrument *instrument, const SlReadingSet *set, SlFit *out)
{
  sl_fit_after (instrument, set, NULL, NULL, out);
}

void
sl_fit_clear (SlFit *fit)
{
  g_clear_pointer (&fit->readings, g_free);
  fit->n_readings = 0;
}

gboolean
sl_fit_assumes (const SlFit *fit, int string, int fret)
{
  return fret == 1 ? fit->first_gap_assumed[string - 1] : fit->action_assumed[string - 1];
}

gboolean
sl_any_assumed (const gboolean *assumed, int n_strings)
{
  gboolean any = FALSE;

  for (int s = 0; s < n_strings; s++)
    any |= assumed[s];
  return any;
}
