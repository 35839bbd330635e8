/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/clearance.h"

#include "setup/fit/reading-row.h"
#include "setup/physics/forces.h"

#define MOST_BEST_RELIEF_MM 0.6 /* mean relief is searched from 0 to here (model 8) */
#define MARGIN_TOLERANCE_MM 1e-9
#define MOST_ITERATIONS 40

double
sl_pluck_height (double force_n, double upright, double pluck_mm, double length_mm, double tension_n)
{
  double p = MIN (pluck_mm, length_mm / 2);

  return upright * force_n * p * (length_mm - p) / (tension_n * length_mm);
}

/* The triangle's two slopes: the short side (p long) and the long side. The travel at u is the lower of the two lines
 * that meet in the apex. */
typedef struct
{
  double length, steep, shallow;
  SlPluckDirection direction;
} Swing;

static Swing
swing_of (const SlInstrument *instrument, double length_mm, double tension_n)
{
  double p = MIN (instrument->pluck_distance, length_mm / 2);
  double h = sl_pluck_height (instrument->pluck_force_n, instrument->upright_share, p, length_mm, tension_n);

  return (Swing){ length_mm, h / p, h / (length_mm - p), instrument->pluck_direction };
}

static inline double
travel (const Swing *swing, double u)
{
  const double rest = swing->length - u;
  double away = MIN (swing->steep * u, swing->shallow * rest);
  double toward = MIN (swing->shallow * u, swing->steep * rest);

  switch (swing->direction)
    {
    case SL_PLUCK_AWAY: return away;
    case SL_PLUCK_TOWARD: return toward;
    default: return MAX (away, toward);
    }
}

double
sl_swing (const SlInstrument *instrument, double length_mm, double tension_n, double u_mm)
{
  Swing swing = swing_of (instrument, length_mm, tension_n);

  return travel (&swing, u_mm);
}

void
sl_clearance (const SlStringState *s, double tension_n, int held, int n, SlClearance *out)
{
  double g[SL_N_P];

  out->gap = sl_gap (s, held, n);
  out->swing = sl_swing (s->in, s->x_s - s->x[held], tension_n, s->x[n] - s->x[held]);
  out->margin = out->gap - out->swing;
  sl_gap_gradient (s, held, n, g);
  out->gap_u = sl_string_u (s, g);
  out->swing_u = s->in->pluck_force_share * out->swing;
  out->margin_u = hypot (out->gap_u, out->swing_u);
}

/* The heights a string can be held at, at fret 0 the nut's, to go quickly over all pairs of held fret and fret beyond.
 */
static void
fill_heights (const SlStringState *s, double z[SL_MAX_FRETS + 1])
{
  for (int n = 0; n <= s->in->frets; n++)
    z[n] = sl_held_height (s, n);
}

int
sl_closest_fret (const SlStringState *s, double tension_n, int held, SlClearance *out)
{
  int fret = 0;

  out->margin = INFINITY;
  for (int n = held + 1; isfinite (tension_n) && n <= s->in->frets; n++)
    {
      SlClearance c;

      sl_clearance (s, tension_n, held, n, &c);
      if (c.margin < out->margin)
        {
          *out = c;
          fret = n;
        }
    }
  return fret;
}

double
sl_least_margin (const SlStringState *s, double tension_n, int *held, int *fret)
{
  const double *x = s->x;
  double z[SL_MAX_FRETS + 1], least = INFINITY;

  fill_heights (s, z);
  for (int h = 0; h < s->in->frets; h++)
    {
      const double run = s->x_s - x[h], slope = (s->p[SL_P_CREST] - z[h]) / run;
      const Swing swing = swing_of (s->in, run, tension_n);

      for (int n = h + 1; n <= s->in->frets; n++)
        {
          double u = x[n] - x[h];
          double margin = z[h] + slope * u - z[n] - travel (&swing, u);

          if (margin < least)
            {
              least = margin;
              *held = h;
              *fret = n;
            }
        }
    }
  return least;
}

double
sl_lowest_clean_action (const SlStringState *s, double tension_n, int *held, int *fret)
{
  const double *x = s->x;
  double z[SL_MAX_FRETS + 1];
  SlStringState lowest = *s;

  /* at fixed tension each margin is linear in the crest height with slope (x_n − x_h)/(x_s − x_h) */
  lowest.p[SL_P_CREST] = -INFINITY;
  fill_heights (s, z);
  for (int h = 0; h < s->in->frets; h++)
    {
      const double run = s->x_s - x[h];
      const Swing swing = swing_of (s->in, run, tension_n);

      for (int n = h + 1; n <= s->in->frets; n++)
        {
          double u = x[n] - x[h];
          double crest = z[h] + (z[n] + travel (&swing, u) - z[h]) * run / u;

          if (crest > lowest.p[SL_P_CREST])
            {
              lowest.p[SL_P_CREST] = crest;
              *held = h;
              *fret = n;
            }
        }
    }
  return sl_gap (&lowest, 0, SL_OCTAVE_FRET);
}

double
sl_force_from_buzz (const SlStringState *s, double tension_n, int held, int n)
{
  SlClearance c;

  sl_clearance (s, tension_n, held, n, &c);
  if (!(c.gap > 0) || !(c.swing > 0))
    return NAN;
  return s->in->pluck_force_n * c.gap / c.swing;
}

/* ---- best relief ---- */

/* The least margin at one mean relief, the pair that decides, and how it changes. */
typedef struct
{
  double mean, margin;
  double slope;              /* of the deciding margin along mean relief */
  double swing_u;            /* standard uncertainty of the swing there, by the hand */
  double v[SL_MAX_UNKNOWNS]; /* its gradient in the state's unknowns, the actions held */
} Trial;

/* One string of a trial state: relief such that the mean is @mean, the difference between the sides as it is, the crest
 * where the action meets its target. */
static void
trial_string (const SlInstrument *instrument, const SlState *state, double mean, int string, SlStringState *s)
{
  sl_state_string (instrument, state, string, s);
  s->p[SL_P_RELIEF] += mean - sl_state_mean_relief (state);
  s->p[SL_P_CREST] = sl_crest_for_action (s, SL_OCTAVE_FRET, instrument->target_action[string - 1]);
}

/* Gradient of the margin over @fret held at @held when the crest follows to keep the 12th-fret action. */
static void
trial_gradient (const SlInstrument *instrument, const SlState *state, int string, int held, int fret, Trial *trial)
{
  const double share_bass = state->n_strings < 2 ? 0.5 : sl_bass_share (string, state->n_strings);
  double g[SL_N_P], action[SL_N_P];
  SlClearance there;
  SlStringState s;

  trial_string (instrument, state, trial->mean, string, &s);
  sl_clearance (&s, sl_tension (&instrument->strings[string - 1], sl_open_length (&s)), held, fret, &there);
  trial->swing_u = there.swing_u;
  sl_gap_gradient (&s, held, fret, g);
  sl_gap_gradient (&s, 0, SL_OCTAVE_FRET, action);
  double follow = g[SL_P_CREST] / action[SL_P_CREST];

  for (int k = 0; k < SL_N_P; k++)
    g[k] -= follow * action[k];
  trial->slope = g[SL_P_RELIEF];
  memset (trial->v, 0, sizeof trial->v);
  trial->v[SL_NUT_HEIGHT + string - 1] = g[SL_P_NUT];
  trial->v[SL_FALL_AWAY] = g[SL_P_FALL_AWAY];
  /* a string's relief is the mean plus its share of the difference between the sides */
  trial->v[SL_RELIEF_TREBLE] = -(share_bass - 0.5) * g[SL_P_RELIEF];
  trial->v[SL_RELIEF_BASS] = (share_bass - 0.5) * g[SL_P_RELIEF];
}

static void
try_relief (const SlInstrument *in, const SlState *state, double mean, Trial *trial)
{
  int string = 1, held = 0, fret = 1;

  trial->mean = mean;
  trial->margin = INFINITY;
  for (int i = 1; i <= in->n_strings; i++)
    {
      SlStringState s;
      int h = 0, n = 1;

      trial_string (in, state, mean, i, &s);
      double margin = sl_least_margin (&s, sl_tension (&in->strings[i - 1], sl_open_length (&s)), &h, &n);

      if (margin < trial->margin)
        {
          trial->margin = margin;
          string = i;
          held = h;
          fret = n;
        }
    }
  trial_gradient (in, state, string, held, fret, trial);
}

/* Neither side below 0: the mean is at least half their difference. */
static double
least_mean (const SlState *state, double *u)
{
  double w[SL_MAX_UNKNOWNS] = { [SL_RELIEF_TREBLE] = -0.5, [SL_RELIEF_BASS] = 0.5 };

  *u = 0;
  if (state->n_strings < 2)
    return 0;
  *u = sqrt (sl_row_variance (state, w));
  return fabs (state->u[SL_RELIEF_BASS] - state->u[SL_RELIEF_TREBLE]) / 2;
}

double
sl_best_relief (const SlInstrument *instrument, const SlState *state, double *u)
{
  double ignored, w[SL_MAX_UNKNOWNS];
  Trial low, high, middle;

  u = u != NULL ? u : &ignored;
  double least = least_mean (state, u);

  if (!(least < MOST_BEST_RELIEF_MM))
    return NAN;
  try_relief (instrument, state, least, &low);
  if (low.slope <= 0)
    return low.mean;
  *u = 0;
  try_relief (instrument, state, MOST_BEST_RELIEF_MM, &high);
  if (high.slope >= 0)
    return high.mean;
  /* The least of many margins, each all but linear in relief, is concave: its top lies under the crossing of any two of
   * its tangents. Cut with tangents until the crossing lies on the curve. */
  for (int i = 0; i < MOST_ITERATIONS; i++)
    {
      double mean =
          (high.margin - low.margin + low.slope * low.mean - high.slope * high.mean) / (low.slope - high.slope);
      double bound = low.margin + low.slope * (mean - low.mean);

      try_relief (instrument, state, CLAMP (mean, low.mean, high.mean), &middle);
      if (middle.margin >= bound - MARGIN_TOLERANCE_MM || middle.mean == low.mean || middle.mean == high.mean)
        break;
      if (middle.slope > 0)
        low = middle;
      else
        high = middle;
    }
  /* the top moves so that the two deciding margins stay equal; a harder hand lowers both */
  for (int k = 0; k < state->n_unknowns; k++)
    w[k] = (low.v[k] - high.v[k]) / (high.slope - low.slope);
  *u = hypot (sqrt (sl_row_variance (state, w)), (high.swing_u - low.swing_u) / (high.slope - low.slope));
  return middle.mean;
}
