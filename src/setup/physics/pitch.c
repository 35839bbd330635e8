/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/pitch.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "setup/physics/forces.h"

#define CENTS_PER_LN (1200 / G_LN2)
#define MM_PER_M 1000.0
#define SETBACK_SEARCH_MM 40.0
#define SETBACK_TOLERANCE_MM 1e-7
#define MOST_ITERATIONS 60
#define STEP_MM 1e-5 /* for numerical slopes; the cents are smooth on this scale and their rounding is 1e-12 of it */

double
sl_stiff_factor (double epsilon, gboolean both_ends)
{
  if (both_ends)
    return 1 + 2 * epsilon + 4 * (1 + G_PI * G_PI / 8) * epsilon * epsilon;
  return 1 + epsilon + (1 + G_PI * G_PI / 2) * epsilon * epsilon;
}

/* Millimetres neither overflow nor underflow when squared: hypot()'s care would cost more than the rest. */
static inline double
distance (double dx, double dz)
{
  return sqrt (dx * dx + dz * dz);
}

/* Length of the pressed string from the crown to the nut: on past the crown for the finger distance (along the neck) at
 * the slope from the crest, then straight. */
static double
length_behind (const SlPitchCase *c)
{
  double f = MIN (c->finger_mm, c->fret_space_mm);
  double slope = (c->crest_z - c->fret_z) / (c->crest_x - c->fret_x);
  double x = c->fret_x - f, z = c->fret_z - f * slope;

  return distance (f, f * slope) + distance (x - c->nut_x, z - c->nut_z);
}

void
sl_pitch_case (const SlStringState *s, int n, SlPitchCase *c)
{
  const SlStringData *data = &s->in->strings[s->string - 1];
  double length = sl_open_length (s), tension = sl_tension (data, length);

  c->nut_x = 0;
  c->nut_z = s->p[SL_P_NUT];
  c->crest_x = s->x_s;
  c->crest_z = s->p[SL_P_CREST];
  c->fret_x = s->x[n];
  c->fret_z = sl_crown_height (s, n);
  c->fret_space_mm = s->x[n] - s->x[n - 1];
  c->finger_mm = s->in->finger_distance;
  c->kappa = data->ea_n / tension;
  c->epsilon0 = sqrt (data->ei_nm2 / tension) / (length / MM_PER_M);
  c->fret = n;
  c->both_ends = s->in->stiff_ends == SL_STIFF_ENDS_BOTH;
}

double
sl_pitch_cents (const SlPitchCase *c)
{
  const double l_0 = distance (c->crest_x - c->nut_x, c->crest_z - c->nut_z),
               l_n = distance (c->crest_x - c->fret_x, c->crest_z - c->fret_z);
  const double lengths = l_0 / l_n, q = (l_n + length_behind (c) - l_0) / l_0, kappa_q = c->kappa * q;
  const double stiffness = sl_stiff_factor (c->epsilon0 * lengths / sqrt (1 + kappa_q), c->both_ends) /
                           sl_stiff_factor (c->epsilon0, c->both_ends);

  /* the terms' sum with one logarithm for four (L0/L_n, Q, κQ and S(ε_n)/S(ε0)): every string is asked for every fret,
   * four times over for its uncertainty */
  return CENTS_PER_LN * (log (lengths * sqrt ((1 + q) * (1 + kappa_q)) * stiffness) - c->fret * G_LN2 / 12);
}

/* The case with nut and crest that much higher: at the same pitch T goes with L0², and so κ and ε0 with 1/L0². A
 * millionth of them, but it counts where the other slopes all but cancel. */
static SlPitchCase
raised (const SlPitchCase *c, double nut_mm, double crest_mm)
{
  SlPitchCase moved = *c;
  double run = c->crest_x - c->nut_x, before = c->crest_z - c->nut_z, after = before + crest_mm - nut_mm;
  double stretch = (run * run + after * after) / (run * run + before * before);

  moved.nut_z += nut_mm;
  moved.crest_z += crest_mm;
  moved.kappa /= stretch;
  moved.epsilon0 /= stretch;
  return moved;
}

/* Standard uncertainty of the cents of a case around @cents: slopes by small steps of nut, crest and crown. */
static double
cents_u (const SlStringState *s, const SlPitchCase *c, double cents)
{
  double relief, fall, g[SL_N_P];
  SlPitchCase nut = raised (c, STEP_MM, 0), crest = raised (c, 0, STEP_MM), crown = *c;

  crown.fret_z += STEP_MM;
  sl_crown_weights (s->in, c->fret, &relief, &fall);
  double crown_slope = (sl_pitch_cents (&crown) - cents) / STEP_MM;

  g[SL_P_NUT] = (sl_pitch_cents (&nut) - cents) / STEP_MM;
  g[SL_P_CREST] = (sl_pitch_cents (&crest) - cents) / STEP_MM;
  g[SL_P_RELIEF] = crown_slope * relief;
  g[SL_P_FALL_AWAY] = crown_slope * fall;
  return sl_string_u (s, g);
}

double
sl_pitch_error (const SlStringState *s, int n, double *u)
{
  SlPitchCase c;

  sl_pitch_case (s, n, &c);
  const double cents = sl_pitch_cents (&c);

  if (u != NULL)
    *u = cents_u (s, &c, cents);
  return cents;
}

static double
cents_at_setback (double setback, void *data)
{
  SlStringState *s = data;

  s->x_s = s->scale + setback;
  return sl_pitch_error (s, SL_OCTAVE_FRET, NULL);
}

double
sl_setback_needed (const SlStringState *s, double *u)
{
  SlStringState at = *s;
  gsl_function f = { cents_at_setback, &at };
  gsl_root_fsolver *solver;
  double root = NAN;

  if (!(cents_at_setback (-SETBACK_SEARCH_MM, &at) * cents_at_setback (SETBACK_SEARCH_MM, &at) <= 0))
    return NAN;
  solver = gsl_root_fsolver_alloc (gsl_root_fsolver_brent);
  gsl_root_fsolver_set (solver, &f, -SETBACK_SEARCH_MM, SETBACK_SEARCH_MM);
  for (int i = 0; i < MOST_ITERATIONS; i++)
    {
      if (gsl_root_fsolver_iterate (solver) != GSL_SUCCESS)
        break;
      root = gsl_root_fsolver_root (solver);
      if (gsl_root_test_interval (gsl_root_fsolver_x_lower (solver), gsl_root_fsolver_x_upper (solver),
                                  SETBACK_TOLERANCE_MM, 0) == GSL_SUCCESS)
        break;
    }
  gsl_root_fsolver_free (solver);
  if (u != NULL)
    {
      /* implicit function: the cents' uncertainty at the root over the cents' slope along the setback */
      const double slope = (cents_at_setback (root + STEP_MM, &at) - cents_at_setback (root, &at)) / STEP_MM;

      sl_pitch_error (&at, SL_OCTAVE_FRET, u);
      *u /= fabs (slope);
    }
  return root;
}
