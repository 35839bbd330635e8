/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/nut.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>

#include "setup/physics/forces.h"

/* A slot's floor falls back this share of what the string does: enough to lead the string round, and the front edge
 * stays the highest. Our own choice. */
#define FLOOR_SHARE 0.6
#define RADIUS_ROUNDS 20
#define STRAIGHT_CURVATURE 1e-9 /* 1/mm: a radius of 1000 km is a straight line */

double
sl_across (const SlInstrument *instrument, const SlState *state, int string, double x)
{
  double nut[SL_MAX_STRINGS], bridge[SL_MAX_STRINGS];
  double t = x / (instrument->scale[string - 1] + state->setback[string - 1]);

  sl_slot_centres (instrument, nut);
  sl_bridge_places (instrument, bridge);
  return nut[string - 1] + t * (bridge[string - 1] - nut[string - 1]);
}

gboolean
sl_nut_break_parts (const SlStringState *s, double *upright, double *across)
{
  double rear[3];

  if (!sl_rear_vector (s->in, s->string, rear))
    return FALSE;
  /* what the s->string rises behind the nut, less what it goes on rising in front of it */
  *upright = atan2 (-rear[2], -rear[0]) - atan ((s->p[SL_P_CREST] - s->p[SL_P_NUT]) / s->x_s);
  *across = atan2 (fabs (rear[1]), hypot (rear[0], rear[2]));
  return TRUE;
}

void
sl_slot (const SlInstrument *instrument, const SlState *state, int string, SlSlot *out)
{
  double centres[SL_MAX_STRINGS], rear[3];

  sl_slot_centres (instrument, centres);
  out->centre = centres[string - 1];
  out->width = instrument->strings[string - 1].outside_mm + instrument->slot_allowance;
  /* the board at the nut follows the crowns' curve, a crown's height below it */
  out->floor = sl_state_nut_height (state, string) +
               sl_state_relief (state, string) * sl_bow_shape (instrument, string, 0) + instrument->crown_height;
  out->has_angle = sl_rear_vector (instrument, string, rear);
  out->string_angle = out->has_angle ? atan2 (-rear[2], -rear[0]) : 0;
  out->floor_angle = FLOOR_SHARE * MAX (0, out->string_angle);
}

double
sl_board_arc (const SlInstrument *instrument, int string, double x, double y)
{
  double nut = instrument->board_radius_nut, end = instrument->board_radius_end, r;

  /* one radius given stands for the whole board */
  if (isinf (nut))
    nut = end;
  if (isinf (end))
    end = nut;
  if (isinf (nut))
    return 0;
  r = nut + (end - nut) * x / instrument->x[string - 1][instrument->frets];
  if (!(fabs (y) < r))
    return 0;
  return sqrt (r * r - y * y) - r;
}

void
sl_saddle_top (const SlInstrument *instrument, const SlState *state, double y[SL_MAX_STRINGS],
               double height[SL_MAX_STRINGS])
{
  sl_bridge_places (instrument, y);
  for (int s = 1; s <= instrument->n_strings; s++)
    {
      const double *x = instrument->x[s - 1], x_1 = x[1], x_j = x[instrument->joint];
      double x_s = instrument->scale[s - 1] + state->setback[s - 1];
      double a_1 = sl_board_arc (instrument, s, x_1, sl_across (instrument, state, s, x_1));
      double a_j = sl_board_arc (instrument, s, x_j, sl_across (instrument, state, s, x_j));

      height[s - 1] = a_1 + (a_j - a_1) * (x_s - x_1) / (x_j - x_1) + sl_state_crest_height (state, s);
    }
}

/* Height of an arc of curvature c at y from its top: (1 − sqrt(1 − c² y²))/c, written so that it is good for c near 0.
 */
static double
arc_drop (double c, double y)
{
  double inside = 1 - c * c * y * y;

  return c * y * y / (1 + sqrt (MAX (inside, 1e-12)));
}

double
sl_fit_radius (const double *y, const double *height, int n, double *residual)
{
  double top, tilt, c = 0, rms = 0;

  if (residual != NULL)
    *residual = NAN;
  if (n < 3)
    return NAN;
  gsl_set_error_handler_off ();
  /* height = top + tilt·y − drop(c, y): Gauss-Newton on top, tilt and curvature from a straight start; each round is a
   * linear least squares */
  double fitted[3], ignored[3 * 3];
  gsl_matrix *a = gsl_matrix_alloc ((size_t) n, 3);
  gsl_vector *b = gsl_vector_alloc ((size_t) n);
  gsl_vector_view x = gsl_vector_view_array (fitted, 3);
  gsl_matrix_view cov = gsl_matrix_view_array (ignored, 3, 3);
  gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc ((size_t) n, 3);

  for (int round = 0; round < RADIUS_ROUNDS; round++)
    {
      double chisq;

      for (int i = 0; i < n; i++)
        {
          const double step = 1e-7;
          double slope = (arc_drop (c + step, y[i]) - arc_drop (c - step, y[i])) / (2 * step);

          gsl_matrix_set (a, (size_t) i, 0, 1);
          gsl_matrix_set (a, (size_t) i, 1, y[i]);
          gsl_matrix_set (a, (size_t) i, 2, -slope);
          gsl_vector_set (b, (size_t) i, height[i] + arc_drop (c, y[i]) - slope * c);
        }
      gsl_multifit_linear (a, b, &x.vector, &cov.matrix, &chisq, work);
      top = fitted[0];
      tilt = fitted[1];
      double before = c;

      c = fitted[2];
      if (fabs (c - before) < 1e-12)
        break;
    }
  for (int i = 0; i < n; i++)
    {
      double off = height[i] - (top + tilt * y[i] - arc_drop (c, y[i]));

      rms += off * off / n;
    }
  if (residual != NULL)
    *residual = sqrt (rms);
  gsl_matrix_free (a);
  gsl_vector_free (b);
  gsl_multifit_linear_free (work);
  return fabs (c) < STRAIGHT_CURVATURE ? INFINITY : 1 / c;
}
