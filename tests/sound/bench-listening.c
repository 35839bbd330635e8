/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What listening costs: processor time for a second of sound, while a string sounds and while none does. Promised is
 * less than 5 % of one core. A yardstick, a fixed amount of arithmetic of the same kind, tells how fast this machine is
 * just now. Prints figures; never fails, for a clock is no judge. */
#include "fed.h"
#include "made-instruments.h"

#include <complex.h>
#include <stdio.h>
#include <time.h>

#define RATE 44100.0
#define SECONDS 4.0
#define SAMPLES ((gsize) (RATE * SECONDS))
#define PROMISED 0.05
#define YARDSTICK_TURNS 20000000

static double
processor_s (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + (double) t.tv_nsec * 1e-9;
}

static double
yardstick (void)
{
  const double began = processor_s ();
  const double complex turn = cexp (0.001 * I);
  double complex z = 1;

  for (int i = 0; i < YARDSTICK_TURNS; i++)
    z *= turn;
  return creal (z) > 2 ? 0 : processor_s () - began;
}

/* @asked: how often a second somebody looks at what sounds, besides feeding it. */
static double
share (const float *sound, double expected, double asked)
{
  g_autoptr (SlListener) listener = sl_listener_new (RATE, expected);
  const gsize block = (gsize) (RATE / asked);
  const double began = processor_s ();

  for (gsize at = 0; at < SAMPLES; at += block)
    {
      SlNote note;
      SlFan fan;

      sl_listener_hear (listener, sound + at, MIN (block, SAMPLES - at));
      if (sl_listener_sounding (listener, &note))
        sl_listener_fan (listener, &fan);
    }
  sl_listener_end (listener);
  return (processor_s () - began) / SECONDS;
}

int
main (void)
{
  const double measure = yardstick ();
  double most = 0, sum = 0;

  printf ("yardstick: %d complex products in %.1f ms\n", YARDSTICK_TURNS, 1000 * measure);
  for (int i = 0; i < MADE_N_CASES; i++)
    {
      const MadeCase c = made_case (i, 2);
      g_autofree double *sound = made_sound (SAMPLES, RATE, &c.string, 1, &c.room, c.seed, NULL);
      g_autofree float *samples = made_converted (sound, SAMPLES, 1);
      g_autofree char *name = made_case_name (i);
      const double at_60 = share (samples, c.expected, 60);

      printf ("%-9s %6.2f %% of a core asked 60 times a second, %6.2f %% asked 10 times; %.2f yardsticks a second\n",
              name, 100 * at_60, 100 * share (samples, c.expected, 10), at_60 / measure);
      most = MAX (most, at_60);
      sum += at_60 / MADE_N_CASES;
    }
  printf ("mean %.2f %%, most %.2f %% of a core; promised less than %.0f %%: %s\n", 100 * sum, 100 * most,
          100 * PROMISED, most < PROMISED ? "kept" : "missed");
  return 0;
}
