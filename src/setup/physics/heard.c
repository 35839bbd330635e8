/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/heard.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_statistics_double.h>

#include "setup/physics/clearance.h"
#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "setup/physics/pitch.h"

#define MM_PER_M 1000.0

/* Standard uncertainties: our own choice where no source is named. */
#define DIAMETER_U_MM 0.0044    /* music wire is drawn to 0.0003 in (ASTM A228, from memory): that over √3 */
#define GIVEN_MASS_SHARE 0.01   /* of a unit mass that is given */
#define WOUND_MASS_SHARE 0.03   /* by the diameters */
#define POLYMER_MASS_SHARE 0.10 /* by the diameters as sold (model 7) */
#define SETBACK_U_MM 0.3        /* of one that was read: a rule's half millimetre */
#define GIVEN_EI_SHARE 0.10
#define FINGER_SHARE 0.30 /* of how far behind the fret it presses */

static double
setback_u (const SlStringState *s)
{
  return s->state->setback_read ? SETBACK_U_MM : SL_ASSUMED_SETBACK_U_MM;
}

/* What the unit mass is uncertain by as a share of it, beside the core's diameter, of which it is the @power-th power.
 */
static double
mass_share (const SlStringData *string, int *power)
{
  *power = !string->mass_given && string->wrap == SL_WRAP_NONE ? 2 : 0;
  if (string->mass_given)
    return GIVEN_MASS_SHARE;
  if (!sl_core_is_metal (string->core))
    return POLYMER_MASS_SHARE;
  return string->wrap != SL_WRAP_NONE ? WOUND_MASS_SHARE : 0;
}

static double
diameter_share (const SlStringData *string)
{
  return DIAMETER_U_MM / (MM_PER_M * sqrt (4 * string->core_area_m2 / G_PI));
}

/* ---- bending ---- */

gboolean
sl_heard_bending (const SlStringState *s, double b, double b_u, double frequency_hz, SlHeardBending *out)
{
  SlStringData string = s->in->strings[s->string - 1];
  const double length = sl_open_length (s), second_moment = string.core_area_m2 * string.core_area_m2 / (4 * G_PI);
  int power;

  if (!(b > SL_COVERAGE * b_u))
    return FALSE;
  if (!isnan (frequency_hz))
    string.frequency_hz = frequency_hz;
  /* T goes with L², and so EI with L⁴ */
  const double own = gsl_hypot3 (b_u / b, mass_share (&string, &power), 4 * setback_u (s) / length),
               diameter = diameter_share (&string), metres = length / MM_PER_M;

  out->ei_nm2 = b * sl_tension (&string, length) * metres * metres / (G_PI * G_PI);
  out->ei_u = out->ei_nm2 * hypot (own, power * diameter);
  out->by_core_nm2 = sl_core_modulus (string.core) * second_moment;
  out->modulus_pa = out->ei_nm2 / second_moment;
  out->modulus_u = out->modulus_pa * hypot (own, (4 - power) * diameter);
  out->judged = string.wrap == SL_WRAP_NONE && sl_core_is_metal (string.core);
  out->agrees = fabs (out->modulus_pa - sl_core_modulus (string.core)) <= SL_COVERAGE * out->modulus_u;
  return TRUE;
}

/* ---- stretching ---- */

#define LEAST_FRETS 3   /* our own choice */
#define MOST_SHARE 0.15 /* of EA that it may be uncertain by: our own choice */
#define MOST_ITERATIONS 100
#define STEP 1e-5 /* for numerical slopes; the unknowns are about 1 */
#define TOLERANCE 1e-10
#define MOST_ROUNDS 30
#define BY_CHANCE 0.05    /* how likely a χ² is that says nothing yet: our own choice */
#define ENOUGH 1.02       /* of χ² over its degrees of freedom, once it did */
#define NO_HEIGHT_MM 1e-6 /* joins the heights' covariance, which may be 0 */

/* The unknowns: 1 is what is known before, 1 more is one standard uncertainty of that more; of EA it is e times as
 * much. */
enum
{
  X_EA,
  X_SETBACK,
  X_EI,
  X_FINGER,
  X_HEIGHTS,
  N_X = X_HEIGHTS + SL_N_P
};

typedef struct
{
  const SlStringState *s;
  int n, fret[SL_MAX_FRETS];
  double cents[SL_MAX_FRETS], u[SL_MAX_FRETS];
  double scatter; /* their variance beyond u² */
  double ei_nm2, ei_share, setback_u;
  double heights[SL_N_P * SL_N_P]; /* L of L Lᵀ, their covariance */
} Stretch;

static int
residuals (const gsl_vector *x, void *data, gsl_vector *f)
{
  const Stretch *w = data;
  SlInstrument in = *w->s->in;
  SlStringState at = *w->s;
  SlStringData *string = &in.strings[at.string - 1];
  double by[N_X];

  for (gsize i = 0; i < N_X; i++)
    by[i] = gsl_vector_get (x, i) - 1;
  at.in = &in;
  string->ea_n *= exp (by[X_EA]);
  string->ei_nm2 = w->ei_nm2 * exp (w->ei_share * by[X_EI]);
  in.finger_distance *= exp (FINGER_SHARE * by[X_FINGER]);
  at.x_s += w->setback_u * by[X_SETBACK];
  for (int i = 0; i < SL_N_P; i++)
    for (int k = 0; k <= i; k++)
      at.p[i] += w->heights[i * SL_N_P + k] * by[X_HEIGHTS + k];
  for (int i = 0; i < w->n; i++)
    gsl_vector_set (f, (gsize) i,
                    (sl_pitch_error (&at, w->fret[i], NULL) - w->cents[i]) / sqrt (w->u[i] * w->u[i] + w->scatter));
  for (int i = 1; i < N_X; i++)
    gsl_vector_set (f, (gsize) (w->n + i - 1), by[i]);
  return GSL_SUCCESS;
}

static void
gather (const SlStringState *s, const SlReadingSet *set, const SlHeardBending *bending, Stretch *w)
{
  const SlStringData *string = &s->in->strings[s->string - 1];
  gsl_matrix_view l = gsl_matrix_view_array (w->heights, SL_N_P, SL_N_P);

  *w = (Stretch){ .s = s,
                  .ei_nm2 = bending != NULL ? bending->ei_nm2 : string->ei_nm2,
                  .ei_share = bending != NULL ? bending->ei_u / bending->ei_nm2 : GIVEN_EI_SHARE,
                  .setback_u = setback_u (s) };
  for (int n = 1; n <= s->in->frets; n++)
    if (sl_reading_set_mean (set, SL_READ_PITCH, s->string, n, &w->cents[w->n]) > 0)
      {
        w->u[w->n] = sl_reading_mean_u (set, SL_READ_PITCH, s->string, n);
        w->fret[w->n++] = n;
      }
  for (int i = 0; i < SL_N_P; i++)
    for (int k = 0; k < SL_N_P; k++)
      gsl_matrix_set (&l.matrix, (gsize) i, (gsize) k, s->cov[i][k] + (i == k ? NO_HEIGHT_MM * NO_HEIGHT_MM : 0));
  gsl_linalg_cholesky_decomp1 (&l.matrix);
}

/* What the least squares found, with their covariance @c. */
static void
tell (const Stretch *w, const gsl_vector *x, const gsl_matrix *c, SlHeardStretch *out)
{
  const SlStringData *string = &w->s->in->strings[w->s->string - 1];
  const SlBound *bound = sl_bound_find ("string", "axial-stiffness");
  int power;

  const double own = mass_share (string, &power), share = sqrt (gsl_matrix_get (c, X_EA, X_EA)),
               share_setback = sqrt (gsl_matrix_get (c, X_SETBACK, X_SETBACK)),
               setback = w->s->x_s + w->setback_u * (gsl_vector_get (x, X_SETBACK) - 1) - w->s->scale;

  out->ea_n = string->ea_n * exp (gsl_vector_get (x, X_EA) - 1);
  out->ea_u = out->ea_n * gsl_hypot3 (share, own, power * diameter_share (string));
  out->kappa = out->ea_n / sl_tension (string, hypot (w->s->scale + setback, w->s->p[SL_P_CREST] - w->s->p[SL_P_NUT]));
  out->kappa_u = out->kappa * share;
  out->setback = setback;
  out->setback_u = w->setback_u * share_setback;
  out->correlation = gsl_matrix_get (c, X_EA, X_SETBACK) /
                     sqrt (gsl_matrix_get (c, X_EA, X_EA) * gsl_matrix_get (c, X_SETBACK, X_SETBACK));
  if (share <= MOST_SHARE && out->ea_n >= bound->least && out->ea_n <= bound->most)
    out->word = SL_STRETCH_TOLD;
}

/* Where the readings scatter by more than they are uncertain by, since no finger presses twice alike, that counts as
 * theirs alone: as much variance as brings χ² down to its degrees of freedom (Paule and Mandel 1982). All unknowns but
 * EA bring their own row. TRUE: fit again. */
static gboolean
scatters (Stretch *w, const gsl_vector *left)
{
  const double freedom = w->n - 1, most = w->scatter > 0 ? ENOUGH * freedom : gsl_cdf_chisq_Qinv (BY_CHANCE, freedom);
  double squares, variance = w->scatter;

  gsl_blas_ddot (left, left, &squares);
  if (squares <= most)
    return FALSE;
  for (int i = 0; i < w->n; i++)
    variance += w->u[i] * w->u[i] / w->n;
  w->scatter += (squares / freedom - 1) * variance;
  return TRUE;
}

void
sl_heard_stretch (const SlStringState *s, const SlReadingSet *set, const SlHeardBending *bending, SlHeardStretch *out)
{
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = { .f = residuals, .p = N_X };
  gsl_matrix *c = gsl_matrix_calloc (N_X, N_X);
  gsl_vector *start = gsl_vector_alloc (N_X);
  Stretch w;
  int why;

  gather (s, set, bending, &w);
  *out = (SlHeardStretch){ SL_STRETCH_TOO_FEW, w.n, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
  if (w.n >= LEAST_FRETS)
    {
      gsl_multifit_nlinear_workspace *work;

      gsl_set_error_handler_off ();
      out->word = SL_STRETCH_NOT_TOLD;
      parameters.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
      parameters.h_df = STEP;
      fdf.n = (gsize) w.n + N_X - 1;
      fdf.params = &w;
      gsl_vector_set_all (start, 1);
      work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, fdf.n, N_X);
      int status, rounds = 0;
      do
        {
          gsl_multifit_nlinear_init (start, &fdf, work);
          status = gsl_multifit_nlinear_driver (MOST_ITERATIONS, TOLERANCE, TOLERANCE, 0, NULL, NULL, &why, work);
        }
      while (scatters (&w, gsl_multifit_nlinear_residual (work)) && ++rounds < MOST_ROUNDS);
      gsl_multifit_nlinear_covar (gsl_multifit_nlinear_jac (work), 0, c);
      tell (&w, gsl_multifit_nlinear_position (work), c, out);
      if (status != GSL_SUCCESS)
        out->word = SL_STRETCH_NOT_TOLD;
      gsl_multifit_nlinear_free (work);
    }
  gsl_vector_free (start);
  gsl_matrix_free (c);
}

/* ---- a note that dies early ---- */

#define NEAR_FRETS 3
#define LEAST_NEIGHBOURS 2
#define EARLY_SHARE 0.5 /* of its neighbours' median: all four our own choice */
#define T60_SHARE 0.10  /* standard uncertainty of a decay */

gboolean
sl_find_early_fret (const SlStringState *s, const double *t60, SlEarlyFret *out)
{
  const int frets = s->in->frets;
  double worst = EARLY_SHARE;
  SlClearance there = { .margin_u = NAN };

  for (int fret = 1; fret <= frets; fret++)
    {
      double near[2 * NEAR_FRETS];
      gsize k = 0;

      for (int i = MAX (1, fret - NEAR_FRETS); i <= MIN (frets, fret + NEAR_FRETS) && t60[fret] > 0; i++)
        if (i != fret && t60[i] > 0)
          near[k++] = t60[i];
      if (k < LEAST_NEIGHBOURS)
        continue;
      const double median = gsl_stats_median (near, 1, k),
                   u = T60_SHARE * hypot (t60[fret], EARLY_SHARE * gsl_stats_max (near, 1, k));

      if (t60[fret] >= worst * median || EARLY_SHARE * median - t60[fret] <= SL_COVERAGE * u)
        continue;
      worst = t60[fret] / median;
      *out = (SlEarlyFret){ .fret = fret, .t60 = t60[fret], .neighbours = median };
    }
  if (worst >= EARLY_SHARE)
    return FALSE;
  out->closest =
      sl_closest_fret (s, sl_tension (&s->in->strings[s->string - 1], sl_open_length (s)), out->fret, &there);
  out->margin = out->closest > 0 ? there.margin : NAN;
  out->margin_u = there.margin_u;
  return TRUE;
}
