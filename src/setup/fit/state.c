/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/state.h"

double
sl_state_relief (const SlState *state, int string)
{
  const double bass = sl_bass_share (string, state->n_strings);

  return (1 - bass) * state->u[SL_RELIEF_TREBLE] + bass * state->u[SL_RELIEF_BASS];
}

double
sl_state_mean_relief (const SlState *state)
{
  if (state->n_strings < 2)
    return state->u[SL_RELIEF_TREBLE];
  return (state->u[SL_RELIEF_TREBLE] + state->u[SL_RELIEF_BASS]) / 2;
}

double
sl_state_nut_height (const SlState *state, int string)
{
  return state->u[SL_NUT_HEIGHT + string - 1];
}

double
sl_state_crest_height (const SlState *state, int string)
{
  return state->u[SL_NUT_HEIGHT + state->n_strings + string - 1];
}

#define UM_PER_MM 1000.0

double
sl_state_wear (const SlState *state, int string, int n)
{
  return state->wear[string - 1][n] / UM_PER_MM;
}

void
sl_state_set_wear (SlState *state, int string, int n, double mm)
{
  state->wear[string - 1][n] = (guint16) CLAMP (round (mm * UM_PER_MM), 0, G_MAXUINT16);
}

double
sl_state_mark (const SlState *state, int n)
{
  double deepest = 0;

  for (int s = 1; s <= state->n_strings; s++)
    deepest = MAX (deepest, sl_state_wear (state, s, n));
  return deepest;
}

double
sl_state_crown_over_board (const SlInstrument *instrument, const SlState *state, int n)
{
  return instrument->crown_height + state->crown[n] - state->board[n];
}

void
sl_state_string (const SlInstrument *instrument, const SlState *state, int string, SlStringState *out)
{
  const int p = state->n_unknowns;
  const int nut = SL_NUT_HEIGHT + string - 1, crest = nut + state->n_strings;
  const double bass = sl_bass_share (string, state->n_strings);

  out->in = instrument;
  out->state = state;
  out->string = string;
  out->p[SL_P_NUT] = state->u[nut];
  out->p[SL_P_CREST] = state->u[crest];
  out->p[SL_P_RELIEF] = sl_state_relief (state, string);
  out->p[SL_P_FALL_AWAY] = state->u[SL_FALL_AWAY];
  out->scale = instrument->scale[string - 1];
  out->x = instrument->x[string - 1];
  out->x_s = out->scale + state->setback[string - 1];
  out->exposure = state->exposure[string - 1];
  out->exposure_u = state->exposure_u[string - 1];

  /* M C Mᵀ, the rows of M being at most two non-zero weights */
  const struct
  {
    int i[2];
    double w[2];
  } m[SL_N_P] = {
    [SL_P_NUT] = { { nut, nut }, { 1, 0 } },
    [SL_P_CREST] = { { crest, crest }, { 1, 0 } },
    [SL_P_RELIEF] = { { SL_RELIEF_TREBLE, SL_RELIEF_BASS }, { 1 - bass, bass } },
    [SL_P_FALL_AWAY] = { { SL_FALL_AWAY, SL_FALL_AWAY }, { 1, 0 } },
  };
  for (int a = 0; a < SL_N_P; a++)
    for (int b = 0; b <= a; b++)
      {
        double sum = 0;

        for (int k = 0; k < 2; k++)
          for (int l = 0; l < 2; l++)
            sum += m[a].w[k] * m[b].w[l] * state->cov[m[a].i[k] * p + m[b].i[l]];
        out->cov[a][b] = out->cov[b][a] = sum;
      }
}

double
sl_bow_shape (const SlInstrument *instrument, int string, double x_mm)
{
  const double *x = instrument->x[string - 1], x1 = x[1], xj = x[instrument->joint];

  return 4 * (x_mm - x1) * (xj - x_mm) / ((xj - x1) * (xj - x1));
}

double
sl_rod_lift (const SlInstrument *instrument, int string, double change, double x_mm)
{
  const double *x = instrument->x[string - 1], x_1 = x[1], x_j = x[instrument->joint];

  return change * instrument->neck.crest * 4 * (x_mm - x_j) / (x_j - x_1);
}

void
sl_crown_weights (const SlInstrument *instrument, int n, double *relief, double *fall)
{
  const double *x = instrument->x[0], xj = x[instrument->joint]; /* the same below every string */

  *relief = *fall = 0;
  if (n <= instrument->joint)
    *relief = -sl_bow_shape (instrument, 1, x[n]);
  else
    *fall = -(x[n] - xj) / (x[instrument->frets] - xj);
}

double
sl_crown_height (const SlStringState *s, int n)
{
  double relief, fall;

  sl_crown_weights (s->in, n, &relief, &fall);
  return relief * s->p[SL_P_RELIEF] + fall * s->p[SL_P_FALL_AWAY] + s->state->crown[n] -
         sl_state_wear (s->state, s->string, n);
}

double
sl_held_height (const SlStringState *s, int held)
{
  return held == 0 ? s->p[SL_P_NUT] : sl_crown_height (s, held);
}

/* Where fret n lies between the held end (0) and the crest (1). */
static double
share_of_string (const SlStringState *s, int held, int n)
{
  return (s->x[n] - s->x[held]) / (s->x_s - s->x[held]);
}

double
sl_gap (const SlStringState *s, int held, int n)
{
  double z_h = sl_held_height (s, held);
  double t = share_of_string (s, held, n);

  return z_h + t * (s->p[SL_P_CREST] - z_h) - sl_crown_height (s, n);
}

double
sl_state_gap (const SlInstrument *instrument, const SlState *state, int string, int n)
{
  SlStringState s;

  sl_state_string (instrument, state, string, &s);
  return sl_gap (&s, 0, n);
}

void
sl_gap_gradient (const SlStringState *s, int held, int n, double g[SL_N_P])
{
  double t = share_of_string (s, held, n);
  double relief, fall, held_relief, held_fall;

  sl_crown_weights (s->in, n, &relief, &fall);
  g[SL_P_NUT] = 0;
  g[SL_P_CREST] = t;
  g[SL_P_RELIEF] = -relief;
  g[SL_P_FALL_AWAY] = -fall;
  if (held == 0)
    {
      g[SL_P_NUT] = 1 - t;
      return;
    }
  sl_crown_weights (s->in, held, &held_relief, &held_fall);
  g[SL_P_RELIEF] += (1 - t) * held_relief;
  g[SL_P_FALL_AWAY] += (1 - t) * held_fall;
}

double
sl_string_u (const SlStringState *s, const double g[SL_N_P])
{
  double sum = 0;

  for (int a = 0; a < SL_N_P; a++)
    for (int b = 0; b < SL_N_P; b++)
      sum += g[a] * s->cov[a][b] * g[b];
  return sqrt (MAX (sum, 0));
}

double
sl_crest_for_action (const SlStringState *s, int n, double action_mm)
{
  double t = share_of_string (s, 0, n);
  double z_0 = s->p[SL_P_NUT];

  return z_0 + (action_mm + sl_crown_height (s, n) - z_0) / t;
}
