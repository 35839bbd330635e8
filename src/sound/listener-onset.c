/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/listener-onset.h"

#include <math.h>

/* Our own choices, tried on made and played plucks. */
#define LOWEST_BAND_HZ 45.0
#define BAND_Q 1.414     /* an octave */
#define BEFORE_FRAMES 16 /* what an onset is compared with … */
#define GUARD_FRAMES 2   /* … but for the last of these, which the filters smear it over */
#define AFTER_FRAMES 12  /* what it is found by */
#define LATE_FRAMES 12   /* then it must still be there: a knock is not */
#define PEAK_FRAMES 8    /* no stronger jump for so long: this was it */
#define APART_FRAMES 20  /* least distance of onsets */
#define JUMP_DB 5.0      /* mean over the bands it stands in */
#define LATE_DB 1.5
#define MOST_DB 20.0     /* what one band counts for */
#define STANDS 4.0       /* times the floor */
#define SUNK 2.0         /* times the floor */
#define FLOOR_FRAMES 100 /* the floor's memory */
#define LEAST_POWER 1e-9 /* −90 dB: below this there is nothing to hear */
#define LEAST_SHARE 1e-5 /* of all bands' power: less may come through a filter's skirt */
#define NOTHING 1e-30    /* so that filters come to rest instead of slowing down */

void
sl_onsets_init (SlOnsets *self, double rate)
{
  *self = (SlOnsets){ .frame_samples = (guint) lround (rate * SL_FRAME_S) };
  for (int b = 0; b < SL_N_BANDS; b++)
    { /* band-pass, 0 dB at its middle: Bristow-Johnson, Audio EQ Cookbook (W3C Note, 2021) */
      const double w = 2 * G_PI * LOWEST_BAND_HZ * (1 << b) / rate, alpha = sin (w) / (2 * BAND_Q);

      self->gain[b] = alpha / (1 + alpha);
      self->a1[b] = -2 * cos (w) / (1 + alpha);
      self->a2[b] = (1 - alpha) / (1 + alpha);
    }
}

gboolean
sl_onsets_add (SlOnsets *self, double sample)
{
  const double rise = sample - self->x2;
  double *power = self->power[self->n % SL_FRAMES_KEPT];

  for (int b = 0; b < SL_N_BANDS; b++)
    {
      const double y = self->gain[b] * rise - self->a1[b] * self->y1[b] - self->a2[b] * self->y2[b];

      self->y2[b] = self->y1[b];
      self->y1[b] = fabs (y) < NOTHING ? 0 : y;
      self->sum[b] += y * y;
    }
  self->x2 = self->x1;
  self->x1 = sample;
  self->sum[SL_BAND_ALL] += sample * sample;
  if (++self->filled < self->frame_samples)
    return FALSE;
  for (int b = 0; b <= SL_BAND_ALL; b++)
    {
      power[b] = self->sum[b] / self->frame_samples;
      self->sum[b] = 0;
    }
  self->filled = 0;
  self->n++;
  return TRUE;
}

double
sl_onsets_power (const SlOnsets *self, guint band, guint64 from, guint64 to)
{
  double sum = 0;

  to = MIN (to, self->n);
  from = MAX (from, self->n - MIN (self->n, SL_FRAMES_KEPT));
  for (guint64 i = from; i < to; i++)
    sum += self->power[i % SL_FRAMES_KEPT][band];
  return to > from ? sum / (double) (to - from) : 0;
}

/* By how much the power in frames @from to @to is over that before frame @at, dB, mean over the bands it stands in. */
static double
jump (const SlOnsets *self, guint64 at, guint64 from, guint64 to)
{
  const guint64 before = at - MIN (at, BEFORE_FRAMES), before_end = at - MIN (at, GUARD_FRAMES);
  const double all = sl_onsets_power (self, SL_BAND_ALL, from, to);
  double sum = 0;
  int n = 0;

  for (int b = 0; b < SL_N_BANDS; b++)
    {
      const double then = sl_onsets_power (self, b, before, before_end), now = sl_onsets_power (self, b, from, to);
      const double floor = (self->n_floor < BEFORE_FRAMES ? fmax (self->floor[b], then) : self->floor[b]) + LEAST_POWER;

      if (now < STANDS * floor || now < LEAST_SHARE * all)
        continue;
      sum += CLAMP (10 * log10 ((now + floor) / (then + floor)), -MOST_DB, MOST_DB);
      n++;
    }
  return sum / MAX (n, 2); /* a single band may be chance */
}

guint64
sl_onsets_refine (const SlOnsets *self, guint64 at)
{
  const guint64 from = at - MIN (at, BEFORE_FRAMES), to = at + AFTER_FRAMES;
  guint64 best = at;
  double least = INFINITY;

  for (guint64 i = from + 1; i + 1 < to; i++)
    {
      double sum = 0;

      for (int b = 0; b < SL_N_BANDS; b++)
        sum += (double) (i - from) * log (sl_onsets_power (self, b, from, i) + LEAST_POWER) +
               (double) (to - i) * log (sl_onsets_power (self, b, i, to) + LEAST_POWER);
      if (sum < least)
        {
          least = sum;
          best = i;
        }
    }
  return best;
}

static void
learn_floor (SlOnsets *self, const double *power)
{
  self->n_floor = MIN (self->n_floor + 1, FLOOR_FRAMES);
  for (int b = 0; b < SL_N_BANDS; b++)
    self->floor[b] += (power[b] - self->floor[b]) / self->n_floor;
}

gboolean
sl_onsets_find (SlOnsets *self, guint64 *at)
{
  guint64 place;
  double found;

  if (self->n < BEFORE_FRAMES + AFTER_FRAMES + LATE_FRAMES)
    return FALSE;
  place = self->n - AFTER_FRAMES - LATE_FRAMES;
  if (!self->held)
    learn_floor (self, self->power[(place - BEFORE_FRAMES) % SL_FRAMES_KEPT]);
  found = jump (self, place, place, place + AFTER_FRAMES);
  if (found >= JUMP_DB && found > self->best && (self->last_onset == 0 || place > self->last_onset + APART_FRAMES) &&
      jump (self, place, place + AFTER_FRAMES, place + AFTER_FRAMES + LATE_FRAMES) >= LATE_DB)
    {
      self->best = found;
      self->best_at = place;
    }
  if (self->best == 0 || place < self->best_at + PEAK_FRAMES)
    return FALSE;
  self->best = 0;
  *at = sl_onsets_refine (self, self->best_at);
  self->last_onset = *at;
  return TRUE;
}

gboolean
sl_onsets_sunk (const SlOnsets *self)
{
  for (int b = 0; b < SL_N_BANDS; b++)
    if (sl_onsets_power (self, b, self->n - MIN (self->n, SL_SUNK_FRAMES), self->n) >
        SUNK * (self->floor[b] + LEAST_POWER))
      return FALSE;
  return TRUE;
}

void
sl_onsets_learn (SlOnsets *self)
{
  self->n_floor = FLOOR_FRAMES;
  for (int b = 0; b < SL_N_BANDS; b++)
    self->floor[b] = sl_onsets_power (self, b, self->n - MIN (self->n, FLOOR_FRAMES), self->n);
}
