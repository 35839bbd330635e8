/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/listener-fan.h"

#include <complex.h>
#include <math.h>

#define LEAST_WINDOW_S 0.048
#define STANDS_DB 10.0 /* over what is half-way to its neighbours: our own choice */
#define HIGHEST_HZ 5000.0
#define FOLLOW_COLUMNS 10

void
sl_fan_clear (SlFanColumns *self)
{
  self->n = 0;
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    self->partials[k].last = -1;
}

/* An even number of periods, four at least, so that a Hann window is blind to the neighbours of a partial and to what
 * lies half-way to them. */
gsize
sl_fan_reach (double f_1, double rate)
{
  const double periods = fmax (4, 2 * ceil (LEAST_WINDOW_S * f_1 / 2));

  return (gsize) lround (periods / f_1 * rate / 2);
}

/* Partial @k of a stiff string that sounds @f_1 (Fletcher, J. Acoust. Soc. Am. 36, 203 (1964)). */
static double
partial_frequency (const SlNote *note, double f_1, int k)
{
  const double b = isfinite (note->inharmonicity) ? fmax (note->inharmonicity, 0) : 0;

  return k * f_1 * sqrt ((1 + b * k * k) / (1 + b));
}

/* Amplitude and phase of what sounds at frequency @f about @middle, by Goertzel's recurrence (Am. Math. Monthly 65, 34
 * (1958)) under a Hann window. */
static double complex
sound_at (const float *middle, gsize reach, const double *window, double f, double rate)
{
  const double w = 2 * G_PI * f / rate, twice = 2 * cos (w);
  double s, s1 = 0, s2 = 0;

  for (gsize i = 0; i < 2 * reach + 1; i++)
    {
      s = window[i] * middle[(gssize) i - (gssize) reach] + twice * s1 - s2;
      s2 = s1;
      s1 = s;
    }
  return (s1 - cexp (-I * w) * s2) * cexp (-I * w * (double) reach);
}

static double
decibels (double complex amplitude)
{
  return 20 * log10 (cabs (amplitude) + 1e-12);
}

static void
put (SlFanColumns *self, int k, double phase, double f)
{
  const guint n = self->n;
  const int last = self->partials[k].last;

  if (last < 0) /* lines begin in one point */
    self->partials[k].turned[n] = f * n * SL_FAN_STEP_S;
  else
    {
      const double turned = f * (n - (guint) last) * SL_FAN_STEP_S, off = phase - self->partials[k].phase - turned;

      self->partials[k].turned[n] = self->partials[k].turned[last] + turned + off - round (off);
    }
  self->partials[k].phase = phase;
  self->partials[k].last = (int) n;
}

void
sl_fan_add (SlFanColumns *self, const float *middle, double rate, const SlNote *note)
{
  const double f_1 = note->frequency;
  const gsize reach = sl_fan_reach (f_1, rate);
  const double at = self->n * SL_FAN_STEP_S * rate,
               late = (at - round (at)) / rate; /* s after the sample in the middle */
  g_autofree double *window = g_new (double, 2 * reach + 1);
  double below = 0;

  for (gsize i = 0; i < 2 * reach + 1; i++)
    window[i] = 0.5 - 0.5 * cos (2 * G_PI * (i + 0.5) / (2 * reach + 1));
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      const double f = partial_frequency (note, f_1, k + 1);
      double complex sound = 0;

      self->partials[k].turned[self->n] = self->partials[k].loudness[self->n] = NAN;
      if (middle == NULL || f > HIGHEST_HZ)
        continue;
      if (k == 0)
        below = decibels (sound_at (middle, reach, window, f / 2, rate));
      const double above = decibels (sound_at (middle, reach, window, f + f_1 / 2, rate));

      sound = sound_at (middle, reach, window, f, rate);
      if (decibels (sound) >= STANDS_DB + fmax (below, above))
        {
          put (self, k, carg (sound) / (2 * G_PI) + f * late, f);
          self->partials[k].loudness[self->n] = decibels (sound);
        }
      below = above;
    }
  self->n++;
}

void
sl_fan_give (SlFanColumns *self, const SlNote *note, SlFan *out)
{
  double loudest = -INFINITY;

  *out = (SlFan){ .n = self->n };
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    for (guint i = 0; i < self->n; i++)
      loudest = fmax (loudest, self->partials[k].loudness[i]);
  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      const double f = partial_frequency (note, note->expected, k + 1);

      for (guint i = 0; i < self->n; i++)
        {
          self->partials[k].turns[i] = (float) (self->partials[k].turned[i] - f * i * SL_FAN_STEP_S);
          self->partials[k].level[i] = (float) (self->partials[k].loudness[i] - loudest);
        }
      out->turns[k] = self->partials[k].turns;
      out->level[k] = self->partials[k].level;
      if (self->partials[k].last >= 0)
        out->n_partials = k + 1;
    }
}

/* Phases are as good as they are loud, and k times as fine: f_1 is the partials' mean with those weights. */
void
sl_fan_follow (const SlFanColumns *self, SlNote *note)
{
  double sum = 0, squares = 0, weights = 0;

  for (int k = 0; k < SL_MAX_PARTIALS && self->n > FOLLOW_COLUMNS; k++)
    {
      const double *turned = self->partials[k].turned + self->n - 1 - FOLLOW_COLUMNS;
      const double f = (turned[FOLLOW_COLUMNS] - turned[0]) / (FOLLOW_COLUMNS * SL_FAN_STEP_S);
      const double f_1 = f / partial_frequency (note, 1, k + 1);
      const double weight = (k + 1) * (k + 1) * pow (10, self->partials[k].loudness[self->n - 1] / 10);

      if (!isfinite (f_1 * weight))
        continue;
      sum += weight * f_1;
      squares += weight * f_1 * f_1;
      weights += weight;
    }
  if (weights <= 0)
    return;
  note->frequency = sum / weights;
  note->u = sqrt (fmax (squares / weights - note->frequency * note->frequency, 0));
  note->cents = 1200 * log2 (note->frequency / note->expected);
  note->cents_u = 1200 / G_LN2 * note->u / note->frequency;
}
