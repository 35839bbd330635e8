/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/tone.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_fft_complex.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <string.h>

#define PER_LINE 4
#define MAX_PARAMETERS (PER_LINE * SL_TONE_LINES + 1)
#define MAX_ROUNDS 30
#define CONVERGED 1e-10
#define FIRST_S 0.6 /* the partial is sought in the beginning, before what stands beside it outlasts it */
#define ALARM 9.5   /* power over the noise's mean at which a line is taken for one */
#define LEAST_SAMPLES 5
#define SAMPLES_A_LINE 8
#define APART 1.2 /* lines stand apart by this over the length heard, at the least */
#define BAND 1.9  /* lines are sought this far from the middle, over the window's length */
/* The window's noise bandwidth is 2.0044 over its length (Harris, Proc. IEEE 66, 51 (1978)): white noise is so much
 * denser close to the middle than over the whole sampled band. */
#define DENSER (SL_TONE_PER_WINDOW / 2.0044)

static const double cosines[] = { 0.35875, 0.48829, 0.14128, 0.01168 };

double
sl_tone_window (double at)
{
  double sum = 0;

  for (int i = 0; i < 4; i++)
    sum += cosines[i] * cos (2 * M_PI * i * at);
  return sum;
}

double
sl_tone_gain (double x)
{
  double at = fabs (x - rint (x)) < 1e-6 ? x + 1e-6 : x, sum = 0;

  for (int i = 0; i < 4; i++)
    sum += cosines[i] * (i % 2 == 0 ? 1 : -1) * at / (at * at - i * i);
  return sum * sin (M_PI * at) / M_PI / cosines[0];
}

static double complex
line_at (const SlLine *self, double t)
{
  return cexp (self->log_level - self->decay * t + (self->phase + self->turn * t) * I);
}

/* How far what dies at @rate has turned a partial in @t s, for each rad/s of it at first. */
static double
bent (double rate, double t)
{
  return -expm1 (-rate * t) / rate;
}

static int
n_parameters (const SlTone *tone, double rate)
{
  return PER_LINE * tone->n_lines + (rate > 0 ? 1 : 0);
}

/* Gauss and Newton's equations, row by row; only the lower half of the matrix. */
typedef struct
{
  double normal[MAX_PARAMETERS * MAX_PARAMETERS], slope[MAX_PARAMETERS];
} Equations;

static void
add_row (Equations *self, int p, const double complex *d, double complex e)
{
  for (int a = 0; a < p; a++)
    {
      double re = creal (d[a]), im = cimag (d[a]);

      self->slope[a] += re * creal (e) + im * cimag (e);
      for (int b = 0; b <= a; b++)
        self->normal[a * p + b] += re * creal (d[b]) + im * cimag (d[b]);
    }
}

/* Σ |z − lines|². */
static double
misfit (const double complex *z, guint n, double step, double rate, const SlTone *tone, Equations *out)
{
  int p = n_parameters (tone, rate);
  double complex d[MAX_PARAMETERS], at[SL_TONE_LINES], turn[SL_TONE_LINES];
  double sum = 0;

  for (int l = 0; l < tone->n_lines; l++)
    {
      at[l] = line_at (&tone->lines[l], 0);
      turn[l] = cexp ((-tone->lines[l].decay + tone->lines[l].turn * I) * step);
    }
  *out = (Equations){ 0 };
  double fading = 1, fade = exp (-rate * step);
  for (guint i = 0; i < n; i++, fading *= fade)
    {
      double complex e = z[i];
      double t = i * step, bend = rate > 0 ? (1 - fading) / rate : 0;

      for (int l = 0; l < tone->n_lines; l++)
        {
          double complex m = at[l], *dl = d + PER_LINE * l;

          if (l == 0 && rate > 0)
            {
              m *= cexp (I * tone->bend * bend);
              d[p - 1] = I * bend * m;
            }
          e -= m;
          dl[0] = m;
          dl[1] = I * m;
          dl[2] = -t * m;
          dl[3] = I * t * m;
          at[l] *= turn[l];
        }
      sum += creal (e) * creal (e) + cimag (e) * cimag (e);
      add_row (out, p, d, e);
    }
  return sum;
}

/* Solves the equations with the diagonal raised by @damping, into the slope; or inverts the matrix. FALSE where it is
 * singular. */
static gboolean
solve (Equations *self, int p, double damping, gboolean invert)
{
  gsl_matrix_view m = gsl_matrix_view_array (self->normal, (size_t) p, (size_t) p);
  gsl_vector_view v = gsl_vector_view_array (self->slope, (size_t) p);

  for (int a = 0; a < p; a++)
    self->normal[a * p + a] *= 1 + damping;
  if (gsl_linalg_cholesky_decomp1 (&m.matrix) != GSL_SUCCESS)
    return FALSE;
  if (invert)
    return gsl_linalg_cholesky_invert (&m.matrix) == GSL_SUCCESS;
  return gsl_linalg_cholesky_svx (&m.matrix, &v.vector) == GSL_SUCCESS;
}

static void
step_by (SlTone *tone, int p, const double *by)
{
  double *values = &tone->lines[0].log_level;

  for (int a = 0; a < PER_LINE * tone->n_lines; a++)
    values[a] += by[a];
  if (p > PER_LINE * tone->n_lines)
    tone->bend += by[p - 1];
}

/* Levenberg and Marquardt (Marquardt, J. SIAM 11, 431 (1963)). Damping only leads there: u comes without it. */
static void
refine (const double complex *z, guint n, double step, double rate, SlTone *tone)
{
  int p = n_parameters (tone, rate);
  double damping = 1e-4;
  Equations now, next;
  double sum = misfit (z, n, step, rate, tone, &now);

  for (int round = 0; round < MAX_ROUNDS && damping < 1e6; round++)
    {
      SlTone trial = *tone;
      double trial_sum = INFINITY;

      next = now;
      if (solve (&next, p, damping, FALSE))
        {
          step_by (&trial, p, next.slope);
          trial_sum = misfit (z, n, step, rate, &trial, &next);
        }
      if (!(trial_sum <= sum))
        {
          damping *= 10;
          continue;
        }
      gboolean done = sum - trial_sum <= CONVERGED * sum;
      *tone = trial;
      sum = trial_sum;
      now = next;
      damping = MAX (damping / 10, 1e-12);
      if (done)
        break;
    }
}

/* Power at each of @size frequencies over the sampled band, under a Hann window. */
static double *
spectrum (const double complex *z, guint n, guint size)
{
  double *x = g_new0 (double, 2 * size);

  for (guint i = 0; i < n; i++)
    {
      double w = gsl_pow_2 (sin (M_PI * (i + 0.5) / n));

      x[2 * i] = creal (z[i]) * w;
      x[2 * i + 1] = cimag (z[i]) * w;
    }
  gsl_fft_complex_radix2_forward (x, 1, size);
  for (guint i = 0; i < size; i++)
    x[i] = x[2 * i] * x[2 * i] + x[2 * i + 1] * x[2 * i + 1];
  return x;
}

static guint
padded (guint n)
{
  guint size = 16;

  while (size < 4 * n)
    size *= 2;
  return size;
}

static double
turn_of (double bin, guint size, double step)
{
  return 2 * M_PI * (bin < size / 2.0 ? bin : bin - size) / (size * step);
}

/* A line that turns at @turn: its level and phase as z has them, its decay from halves. */
static void
start_line (const double complex *z, guint n, double step, double turn, SlLine *out)
{
  double complex sum[2] = { 0, 0 };
  guint half = MAX (1, n / 2);

  for (guint i = 0; i < 2 * half && i < n; i++)
    sum[i / half] += z[i] * cexp (-I * turn * (i * step));
  double ratio = log ((cabs (sum[0]) + 1e-30) / (cabs (sum[1]) + 1e-30));
  *out = (SlLine){ .decay = CLAMP (ratio / (half * step), 0, 60), .turn = turn };
  double complex mean = 0;
  double weight = 0;
  for (guint i = 0; i < n; i++)
    {
      double w = exp (-out->decay * i * step);

      mean += z[i] * cexp (-I * turn * (i * step)) * w;
      weight += w * w;
    }
  out->log_level = log (cabs (mean) / weight + 1e-30);
  out->phase = carg (mean);
}

static double
peak_near_zero (const double complex *z, guint n, double step, double reach)
{
  guint size = padded (n), best = 0;
  g_autofree double *power = spectrum (z, n, size);

  for (guint i = 0; i < size; i++)
    if (fabs (turn_of (i, size, step)) <= reach && power[i] > power[best])
      best = i;
  double a = log (power[(best + size - 1) % size] + 1e-300), b = log (power[best] + 1e-300),
         c = log (power[(best + 1) % size] + 1e-300), bend = a - 2 * b + c;
  return turn_of (best + (bend < 0 ? 0.5 * (a - c) / bend : 0), size, step);
}

/* What stands most over the noise beside the lines there are, in @e, what they leave. */
static gboolean
find_line (const double complex *e, guint n, const SlToneFilter *filter, const SlTone *tone, SlLine *out)
{
  guint size = padded (n), best = 0;
  double step = filter->step, span = n * step, mean = 0, most = 0;
  g_autofree double *power = spectrum (e, n, size);

  for (guint i = 0; i < n; i++)
    mean += tone->noise * tone->noise * 2 * gsl_pow_4 (sin (M_PI * (i + 0.5) / n));
  for (guint i = 0; i < size; i++)
    {
      double turn = turn_of (i, size, step), x = turn / (2 * M_PI) * filter->length;
      gboolean apart = fabs (x) <= BAND;

      for (int l = 0; apart && l < tone->n_lines; l++)
        apart = fabs (turn - tone->lines[l].turn) > APART * 2 * M_PI / span;
      if (!apart)
        continue;
      double over = power[i] / (mean * DENSER * gsl_pow_2 (sl_tone_gain (x)));
      if (over > most)
        {
          most = over;
          best = i;
        }
    }
  if (most < ALARM)
    return FALSE;
  start_line (e, n, step, turn_of (best, size, step), out);
  return TRUE;
}

/* What of @z stands beside the partial, taken away. */
static void
partial_alone (const SlTone *self, const double complex *z, guint n, double step, double complex *alone)
{
  memcpy (alone, z, n * sizeof *z);
  for (int l = 1; l < self->n_lines; l++)
    {
      const SlLine *line = &self->lines[l];
      double complex m = line_at (line, 0), turn = cexp ((-line->decay + line->turn * I) * step);

      for (guint i = 0; i < n; i++, m *= turn)
        alone[i] -= m;
    }
}

/* What the lines leave, and the noise in it: across the partial's own phase, where a level that doesn't die evenly
 * leaves nothing. */
static void
judge_noise (const double complex *z, guint n, double step, double rate, SlTone *tone, double complex *e)
{
  double sum = 0, freedom = n - DENSER * 0.5 * n_parameters (tone, rate);

  partial_alone (tone, z, n, step, e);
  double complex line = line_at (&tone->lines[0], 0),
                 turn = cexp ((-tone->lines[0].decay + tone->lines[0].turn * I) * step);
  for (guint i = 0; i < n; i++, line *= turn)
    {
      double complex m = line * (rate > 0 ? cexp (I * tone->bend * bent (rate, i * step)) : 1);

      e[i] -= m;
      sum += gsl_pow_2 (cimag (e[i] * conj (m))) / (creal (m) * creal (m) + cimag (m) * cimag (m) + 1e-300);
    }
  tone->noise = sqrt (sum / MAX (freedom, 1));
  tone->density = tone->noise * sqrt (DENSER);
}

/* The partial's line from the beginning of @z. */
static void
start_partial (const double complex *z, guint n, double step, double reach, double rate, SlTone *tone)
{
  g_autofree double complex *straight = g_new (double complex, n);

  for (guint i = 0; i < n; i++)
    straight[i] = z[i] * (rate > 0 ? cexp (-I * tone->bend * bent (rate, i * step)) : 1);
  start_line (straight, n, step, peak_near_zero (straight, n, step, reach), &tone->lines[0]);
}

/* Its u; FALSE where there is none, or the partial turns faster than by @reach. */
static gboolean
judge (const double complex *z, guint n, double step, double reach, double rate, SlTone *tone)
{
  int p = n_parameters (tone, rate);
  Equations equations;

  tone->misfit = misfit (z, n, step, rate, tone, &equations);
  tone->turn_u = tone->bend_u = NAN;
  if (!solve (&equations, p, 0, TRUE))
    return FALSE;
  tone->turn_u = tone->density * sqrt (equations.normal[3 * p + 3]);
  if (rate > 0)
    tone->bend_u = tone->density * sqrt (equations.normal[p * p - 1]);
  return isfinite (tone->turn_u) && fabs (tone->lines[0].turn) < 2 * reach;
}

gboolean
sl_tone_fit (const double complex *z, guint n, const SlToneFilter *filter, double reach, double bend, double bend_rate,
             SlTone *out)
{
  double step = filter->step;
  guint first = MIN (n, (guint) (FIRST_S / step));

  gsl_set_error_handler_off ();
  *out = (SlTone){ .n_lines = 1, .turn_u = NAN, .bend = bend, .bend_u = NAN };
  if (n < LEAST_SAMPLES)
    return FALSE;
  g_autofree double complex *e = g_new (double complex, n);
  start_partial (z, first, step, reach, bend_rate, out);
  refine (z, first, step, bend_rate, out);
  refine (z, n, step, bend_rate, out);
  judge_noise (z, n, step, bend_rate, out, e);
  while (n >= SAMPLES_A_LINE * (guint) (out->n_lines + 1) && out->n_lines < SL_TONE_LINES &&
         find_line (e, n, filter, out, &out->lines[out->n_lines]))
    {
      out->n_lines++;
      refine (z, n, step, bend_rate, out);
      judge_noise (z, n, step, bend_rate, out, e);
    }
  return judge (z, n, step, reach, bend_rate, out);
}

gboolean
sl_tone_again (const double complex *z, guint n, const SlToneFilter *filter, double bend_rate, SlTone *tone)
{
  g_autofree double complex *e = g_new (double complex, n);

  refine (z, n, filter->step, bend_rate, tone);
  judge_noise (z, n, filter->step, bend_rate, tone, e);
  return judge (z, n, filter->step, INFINITY, bend_rate, tone);
}
