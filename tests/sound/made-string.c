/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-string.h"

#include <complex.h>
#include <math.h>

#define NEPERS_60_DB 6.907755278982137
#define HIGH_HZ 5000.0
#define FINGER 0.02 /* what a pluck is rounded over, share of the length */
#define NEAR_CENTS 0.008
#define MOST_STEPS 16

#define GHOSTS 3 /* places beyond a support that the sixth-order difference reaches */
#define LEAST_INTERVALS 20

/* Bilbao's λ² = c² T² / h², μ² = κ² T² / h⁴ and so on: the scheme's numbers for a string of length 1. */
typedef struct
{
  int n; /* intervals */
  double lambda2, mu2;
  double a;  /* σ_0 T */
  double nu; /* 2 σ_1 T / h² */
} Scheme;

/* The second difference of sixth order is δ² − δ⁴ / 12 + δ⁶ / 90; δ² makes of a sine −@s times it. This is the whole,
 * its sign turned. */
static double
second_of_sine (double s)
{
  return s + s * s / 12 + s * s * s / 90;
}

static Scheme
scheme_of (const MadeString *string, double rate)
{
  const double c = 2 * string->f1 / sqrt (1 + string->b), kappa = c * sqrt (string->b) / G_PI, t = 1 / rate;
  const double high = 2 * G_PI * HIGH_HZ / c;
  const double low_decay = NEPERS_60_DB / string->t60, high_decay = NEPERS_60_DB / string->t60_high;
  const double sigma1 = (high_decay - low_decay) / (high * high - G_PI * G_PI);
  const double sigma0 = low_decay - sigma1 * G_PI * G_PI, most = second_of_sine (4);
  Scheme scheme = { .a = sigma0 * t };

  /* The finest grid that is stable: where its shortest wave still has a root within the circle. */
  for (int n = LEAST_INTERVALS;; n++)
    {
      const Scheme finer = { n, pow (c * t * n, 2), pow (kappa * t * n * n, 2), sigma0 * t, 2 * sigma1 * t * n * n };

      if (n > LEAST_INTERVALS && finer.lambda2 * most + finer.mu2 * most * most + 2 * finer.nu * most > 4)
        return scheme;
      scheme = finer;
    }
}

/* The @k-th mode turns by this much a step, and shrinks: z of u_l^j = z^j sin (k π l / n). */
static double complex
mode (const Scheme *scheme, int k)
{
  const double half = sin (k * G_PI / (2 * scheme->n)), s = second_of_sine (4 * half * half);
  const double p = 2 - scheme->a * scheme->a - scheme->lambda2 * s - scheme->mu2 * s * s - scheme->nu * s;
  const double q = 1 - scheme->a - scheme->nu * s;

  return (p + csqrt (p * p - 4 * (1 + scheme->a) * q)) / (2 * (1 + scheme->a));
}

/* The line through (f_k / k)² against k² has f_0² and f_0² B for its height and its slope. */
static void
name_modes (const Scheme *scheme, double rate, MadeString *string, int n_partials, double *off)
{
  double n = 0, x = 0, y = 0, xx = 0, xy = 0, slope;

  for (int k = 1; k <= n_partials; k++)
    {
      const double f = fabs (carg (mode (scheme, k))) * rate / (2 * G_PI), square = f * f / (k * k);

      n++;
      x += k * k;
      y += square;
      xx += pow (k, 4);
      xy += k * k * square;
      if (k == 1)
        string->f1 = f;
    }
  slope = (n * xy - x * y) / (n * xx - x * x);
  string->b = slope / ((y - slope * x) / n);
  *off = 0;
  for (int k = 1; k <= n_partials; k++)
    {
      const double f = fabs (carg (mode (scheme, k))) * rate / (2 * G_PI);

      *off = MAX (*off, fabs (1200 * log2 (f / made_partial (string, k))));
    }
}

/* Pulled aside to a corner, the corner rounded by the finger. */
static double
shape (double x, double at)
{
  const double d = fabs (x - at), corner = x < at ? x / at : (1 - x) / (1 - at);

  return d < FINGER ? corner - (FINGER - d) * (FINGER - d) / (4 * FINGER * at * (1 - at)) : corner;
}

/* Beyond a simple support a string goes on turned over. Both supports: places GHOSTS and GHOSTS + n. */
static void
turn_over (double *u, int n)
{
  for (int g = 1; g <= GHOSTS; g++)
    {
      u[GHOSTS - g] = -u[GHOSTS + g];
      u[GHOSTS + n + g] = -u[GHOSTS + n - g];
    }
}

static void
second (double *u, int n, double *out)
{
  turn_over (u, n);
  for (int l = GHOSTS + 1; l < GHOSTS + n; l++)
    out[l] =
        -49.0 / 18 * u[l] + 1.5 * (u[l - 1] + u[l + 1]) - 0.15 * (u[l - 2] + u[l + 2]) + (u[l - 3] + u[l + 3]) / 90;
}

/* The string at three moments, its second difference at two, and its fourth. */
typedef struct
{
  double *before, *now, *next;
  double *second_before, *second, *fourth;
} Shape;

static void
step (const Scheme *scheme, Shape *u)
{
  double *const before = u->before, *const second_before = u->second_before;

  second (u->now, scheme->n, u->second);
  second (u->second, scheme->n, u->fourth);
  for (int l = GHOSTS + 1; l < GHOSTS + scheme->n; l++)
    u->next[l] =
        ((2 - scheme->a * scheme->a) * u->now[l] - (1 - scheme->a) * before[l] + scheme->lambda2 * u->second[l] -
         scheme->mu2 * u->fourth[l] + scheme->nu * (u->second[l] - second_before[l])) /
        (1 + scheme->a);
  u->before = u->now;
  u->now = u->next;
  u->next = before;
  u->second_before = u->second;
  u->second = second_before;
}

/* As many steps a sample as bring the modes close to the law of f_k: what then lies over half the rate, and folds down,
 * has died by 0.2 s. */
static Scheme
close_scheme (double rate, MadeString *string, int n_partials, double *off, int *steps)
{
  const MadeString asked = *string;
  Scheme scheme;

  for (*steps = 1;; *steps *= 2)
    {
      *string = asked;
      scheme = scheme_of (string, *steps * rate);
      name_modes (&scheme, *steps * rate, string, n_partials, off);
      if (*off < NEAR_CENTS || *steps == MOST_STEPS)
        return scheme;
    }
}

double *
made_string_stepped (gsize n, double rate, MadeString *string, int n_partials, double *off)
{
  int steps;
  const Scheme scheme = close_scheme (rate, string, n_partials, off, &steps);
  const gsize room = (gsize) scheme.n + 1 + 2 * GHOSTS;
  g_autofree double *store = g_new0 (double, 6 * room);
  Shape u = { store, store + room, store + 2 * room, store + 3 * room, store + 4 * room, store + 5 * room };
  const int heard = GHOSTS + MAX (1, (int) round (string->pickup * scheme.n));
  double *out = g_new0 (double, n), peak = 0;

  for (int l = 1; l < scheme.n; l++)
    u.before[GHOSTS + l] = u.now[GHOSTS + l] = shape (l / (double) scheme.n, string->pluck);
  second (u.before, scheme.n, u.second_before);
  for (gsize i = (gsize) ceil (string->start * rate); i < n; i++)
    {
      for (int s = 0; s < steps; s++)
        step (&scheme, &u);
      out[i] = string->pickup > 0 ? u.now[heard] - u.before[heard] : u.now[heard];
      peak = MAX (peak, fabs (out[i]));
    }
  for (gsize i = 0; i < n; i++)
    out[i] *= string->peak / peak;
  return out;
}
