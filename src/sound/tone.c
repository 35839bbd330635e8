/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/tone.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_fft_complex.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <string.h>

#define PER_LINE 4
#define MAX_PARAMETERS (PER_LINE * SL_TONE_LINES)
#define MAX_ROUNDS 30
#define CONVERGED 1e-10
#define FIRST_S 0.6 /* the partial is sought in the beginning, before what stands beside it outlasts it */
#define ALARM 12.0  /* power over the noise's mean at which a line is taken for one */
#define APART 1.2   /* lines stand apart by this over the length heard, at the least */
#define BAND 1.9    /* lines are sought this far from the middle, over the window's length */
/* The window's noise bandwidth is 2.0044 over its length (Harris, Proc. IEEE 66, 51 (1978)): white noise is so much
 * denser close to the middle than over the whole sampled band. */
#define DENSER (SL_TONE_PER_WINDOW / 2.0044)

static const double cosines[] = { 0.35875, 0.48829, 0.14128, 0.01168 };

static double
sinc (double x)
{
  return fabs (x) < 1e-9 ? 1 : sin (M_PI * x) / (M_PI * x);
}

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
  double sum = 0;

  for (int i = 0; i < 4; i++)
    sum += cosines[i] * 0.5 * (sinc (x - i) + sinc (x + i));
  return sum / cosines[0];
}

double complex
sl_line_at (const SlLine *self, double t)
{
  return cexp (self->log_level - self->decay * t + (self->phase + self->turn * t) * I);
}

/* Σ |z − lines|²; @normal and @slope, unless NULL: of Gauss and Newton's equations, row by row. */
static double
misfit (const double complex *z, guint n, double step, const SlTone *tone, double *normal, double *slope)
{
  int p = PER_LINE * tone->n_lines;
  double complex d[MAX_PARAMETERS], at[SL_TONE_LINES], turn[SL_TONE_LINES];
  double sum = 0;

  for (int l = 0; l < tone->n_lines; l++)
    {
      at[l] = sl_line_at (&tone->lines[l], 0);
      turn[l] = cexp ((-tone->lines[l].decay + tone->lines[l].turn * I) * step);
    }
  if (normal != NULL)
    {
      memset (normal, 0, (gsize) (p * p) * sizeof *normal);
      memset (slope, 0, (gsize) p * sizeof *slope);
    }
  for (guint i = 0; i < n; i++)
    {
      double complex e = z[i];
      double t = i * step;

      for (int l = 0; l < tone->n_lines; l++)
        {
          double complex m = at[l], *dl = d + PER_LINE * l;

          e -= m;
          dl[0] = m;
          dl[1] = I * m;
          dl[2] = -t * m;
          dl[3] = I * t * m;
          at[l] *= turn[l];
        }
      sum += creal (e) * creal (e) + cimag (e) * cimag (e);
      for (int a = 0; normal != NULL && a < p; a++)
        {
          double re = creal (d[a]), im = cimag (d[a]);

          slope[a] += re * creal (e) + im * cimag (e);
          for (int b = 0; b <= a; b++)
            normal[a * p + b] += re * creal (d[b]) + im * cimag (d[b]);
        }
    }
  return sum;
}

/* Solves @normal x = @slope with the diagonal raised by @damping; FALSE where it is singular. @inverse: instead of x,
 * its inverse into @normal. */
static gboolean
solve (double *normal, double *slope, int p, double damping, gboolean inverse)
{
  gsl_matrix_view m = gsl_matrix_view_array (normal, (size_t) p, (size_t) p);
  gsl_vector_view v = gsl_vector_view_array (slope, (size_t) p);

  for (int a = 0; a < p; a++)
    normal[a * p + a] *= 1 + damping;
  if (gsl_linalg_cholesky_decomp1 (&m.matrix) != GSL_SUCCESS)
    return FALSE;
  if (inverse)
    return gsl_linalg_cholesky_invert (&m.matrix) == GSL_SUCCESS;
  return gsl_linalg_cholesky_svx (&m.matrix, &v.vector) == GSL_SUCCESS;
}

/* Levenberg and Marquardt. The damping left at the end says nothing: u comes from the normal equations as they are. */
static void
refine (const double complex *z, guint n, double step, SlTone *tone)
{
  int p = PER_LINE * tone->n_lines;
  double normal[MAX_PARAMETERS * MAX_PARAMETERS], slope[MAX_PARAMETERS], damping = 1e-4;
  double now = misfit (z, n, step, tone, normal, slope);

  for (int round = 0; round < MAX_ROUNDS; round++)
    {
      double trial_normal[MAX_PARAMETERS * MAX_PARAMETERS], trial_slope[MAX_PARAMETERS];
      SlTone trial = *tone;

      memcpy (trial_normal, normal, sizeof normal);
      memcpy (trial_slope, slope, sizeof slope);
      double *values = (double *) trial.lines;
      gboolean solved = solve (trial_normal, trial_slope, p, damping, FALSE);
      for (int a = 0; solved && a < p; a++)
        values[a] += trial_slope[a];
      double then = solved ? misfit (z, n, step, &trial, trial_normal, trial_slope) : INFINITY;
      if (isfinite (then) && then <= now)
        {
          gboolean done = now - then <= CONVERGED * now;

          *tone = trial;
          now = then;
          memcpy (normal, trial_normal, sizeof normal);
          memcpy (slope, trial_slope, sizeof slope);
          damping = MAX (damping / 10, 1e-12);
          if (done)
            break;
        }
      else if ((damping *= 10) > 1e6)
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

/* What noise remains across the partial's own phase, where a level that doesn't die evenly leaves nothing. */
static void
judge_noise (const double complex *e, guint n, const SlToneFilter *filter, SlTone *tone)
{
  double sum = 0;

  for (guint i = 0; i < n; i++)
    {
      double complex m = sl_line_at (&tone->lines[0], i * filter->step);

      sum += gsl_pow_2 (cimag (e[i] * conj (m) / (cabs (m) + 1e-300)));
    }
  double freedom = n - DENSER * 0.5 * PER_LINE * tone->n_lines;
  tone->noise = sqrt (sum / MAX (freedom, 1));
  tone->density = tone->noise * sqrt (DENSER);
}

static void
residual (const double complex *z, guint n, double step, const SlTone *tone, double complex *e)
{
  for (guint i = 0; i < n; i++)
    {
      e[i] = z[i];
      for (int l = 0; l < tone->n_lines; l++)
        e[i] -= sl_line_at (&tone->lines[l], i * step);
    }
}

gboolean
sl_tone_fit (const double complex *z, guint n, const SlToneFilter *filter, double reach, SlTone *out)
{
  double step = filter->step, normal[MAX_PARAMETERS * MAX_PARAMETERS], slope[MAX_PARAMETERS];
  guint first = MIN (n, (guint) (FIRST_S / step));

  gsl_set_error_handler_off ();
  *out = (SlTone){ .n_lines = 1, .turn_u = NAN };
  if (n < 2 * DENSER * PER_LINE / 2 + 2)
    return FALSE;
  g_autofree double complex *e = g_new (double complex, n);
  start_line (z, first, step, peak_near_zero (z, first, step, reach), &out->lines[0]);
  refine (z, first, step, out);
  refine (z, n, step, out);
  residual (z, n, step, out, e);
  judge_noise (e, n, filter, out);
  while (out->n_lines < SL_TONE_LINES && find_line (e, n, filter, out, &out->lines[out->n_lines]))
    {
      out->n_lines++;
      refine (z, n, step, out);
      residual (z, n, step, out, e);
      judge_noise (e, n, filter, out);
    }
  misfit (z, n, step, out, normal, slope);
  int p = PER_LINE * out->n_lines;
  if (!solve (normal, slope, p, 0, TRUE))
    return FALSE;
  out->turn_u = out->density * sqrt (normal[3 * p + 3]);
  return isfinite (out->turn_u) && fabs (out->lines[0].turn) < 2 * reach;
}
