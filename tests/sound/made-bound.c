/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-bound.h"

#include <complex.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#define LEAST_AMPLITUDE 1e-9

/* One narrow band of what a parameter changes: weight t^power e^((−decay + i ω) t). */
typedef struct
{
  double complex weight;
  int power;
  double decay, omega;
} Change;

/* ∫ t^p e^(z t) dt from @from to @to, p up to 2. */
static double complex
integral (int p, double complex z, double from, double to)
{
  double complex at[2];

  if (cabs (z) * (to - from) < 1e-6)
    return (pow (to, p + 1) - pow (from, p + 1)) / (p + 1);
  for (int i = 0; i < 2; i++)
    {
      const double t = i == 0 ? from : to;
      const double complex e = cexp (z * t);

      at[i] = p == 0 ? e / z : p == 1 ? e * (t / z - 1 / (z * z)) : e * (t * t / z - 2 * t / (z * z) + 2 / (z * z * z));
    }
  return at[1] - at[0];
}

/* Noise power in a hertz, both kinds: half the white one's band is rate / 2. */
static double
noise_density (double f, double rms, double pink, double rate)
{
  double density = (1 - pink) * rms * rms * 2 / rate;

  for (int o = 0; o < MADE_PINK_OCTAVES && pink > 0; o++)
    {
      const double pole = made_pink_pole (o, rate);
      const double complex h = sqrt (1 - pole * pole) / (1 - pole * cexp (-I * 2 * G_PI * f / rate));

      density += pink * rms * rms / MADE_PINK_OCTAVES * 2 / rate * creal (h * conj (h));
    }
  return density;
}

static double
information (const GArray *a, const GArray *b, double from, double to)
{
  double sum = 0;

  for (guint i = 0; i < a->len; i++)
    for (guint j = 0; j < b->len; j++)
      {
        const Change *x = &g_array_index (a, Change, i), *y = &g_array_index (b, Change, j);

        sum += creal (conj (x->weight) * y->weight *
                      integral (x->power + y->power, -x->decay - y->decay + I * (y->omega - x->omega), from, to));
      }
  return sum;
}

static GArray *
parameter (GPtrArray *all)
{
  GArray *changes = g_array_new (FALSE, FALSE, sizeof (Change));

  g_ptr_array_add (all, changes);
  return changes;
}

static void
change (GArray *of, double complex weight, int power, const MadePart *part)
{
  const Change c = { weight, power, part->decay, 2 * G_PI * part->f };

  g_array_append_val (of, c);
}

/* @own: what changes this part's frequency alone; NULL where f_1 and B or the mains do. Whitened: over the noise. */
static void
add_part (GPtrArray *all, const MadePart *part, const MadeString *string, GArray *f1, GArray *b, GArray *mains,
          double density)
{
  const double k2 = (double) part->k * part->k, white = 1 / sqrt (density);
  const double complex turn = I * 2 * G_PI * part->amplitude * white;

  change (parameter (all), white, 0, part);
  change (parameter (all), I * part->amplitude * white, 0, part);
  if (part->of != MADE_HUM)
    change (parameter (all), -part->amplitude * white, 1, part);
  if (part->of == MADE_BODY)
    change (parameter (all), turn, 1, part);
  if (part->of == MADE_HUM)
    change (mains, turn * part->k, 1, part);
  if (part->of == MADE_PARTIAL)
    {
      change (f1, turn * part->f / string->f1, 1, part);
      change (b, turn * part->f / 2 * (k2 / (1 + string->b * k2) - 1 / (1 + string->b)), 1, part);
    }
}

/* Of the first two of @all, the rest unknown as well. */
static MadeBound
bound_of (const GPtrArray *all, double from, double to)
{
  const gsize n = all->len;
  gsl_matrix *fisher = gsl_matrix_alloc (n, n);
  MadeBound out;

  for (gsize i = 0; i < n; i++)
    for (gsize j = i; j < n; j++)
      {
        const double x = information (all->pdata[i], all->pdata[j], from, to);

        gsl_matrix_set (fisher, i, j, x);
        gsl_matrix_set (fisher, j, i, x);
      }
  {
    g_autofree double *scale = g_new (double, n);

    for (gsize i = 0; i < n; i++)
      scale[i] = 1 / sqrt (gsl_matrix_get (fisher, i, i));
    for (gsize i = 0; i < n; i++)
      for (gsize j = 0; j < n; j++)
        gsl_matrix_set (fisher, i, j, gsl_matrix_get (fisher, i, j) * scale[i] * scale[j] + (i == j ? 1e-12 : 0));
    gsl_linalg_cholesky_decomp1 (fisher);
    gsl_linalg_cholesky_invert (fisher);
    out =
        (MadeBound){ sqrt (gsl_matrix_get (fisher, 0, 0)) * scale[0], sqrt (gsl_matrix_get (fisher, 1, 1)) * scale[1] };
  }
  gsl_matrix_free (fisher);
  return out;
}

MadeBound
made_bound (const MadeString *string, const GArray *parts, double from, double to, int n_partials, double rms,
            double pink, double rate)
{
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  GArray *f1 = parameter (all), *b = parameter (all), *mains = g_array_new (FALSE, FALSE, sizeof (Change));
  const double since = from - string->start, until = to - string->start;

  for (guint p = 0; p < parts->len; p++)
    {
      const MadePart *part = &g_array_index (parts, MadePart, p);
      const gboolean heard = part->of != MADE_PARTIAL || part->k <= n_partials;

      if (heard && part->amplitude * exp (-part->decay * since) > LEAST_AMPLITUDE)
        add_part (all, part, string, f1, b, mains, noise_density (part->f, rms, pink, rate));
    }
  if (mains->len > 0)
    g_ptr_array_add (all, mains);
  else
    g_array_unref (mains);
  return bound_of (all, since, until);
}
