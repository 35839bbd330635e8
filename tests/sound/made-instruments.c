/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-instruments.h"

#include <math.h>

#define STEEL_PA 200e9
#define TO_SPREAD 0.35 /* of B, in ln: windings and gauges differ */
#define OUT_OF_TUNE_CENTS 40
#define BEFORE_S 0.3

/* Gauges and pulls as sets have them in common practice; a wound string is as stiff as its core. */
const MadeOpen made_open[MADE_N_OPEN] = {
  { "E2", 82.4069, 0.41, 76, 0.648 },  { "A2", 110.0000, 0.38, 84, 0.648 }, { "D3", 146.8324, 0.36, 82, 0.648 },
  { "G3", 195.9977, 0.43, 74, 0.648 }, { "B3", 246.9417, 0.33, 68, 0.648 }, { "E4", 329.6276, 0.25, 72, 0.648 },
  { "B0", 30.8677, 0.66, 155, 0.864 }, { "E1", 41.2034, 0.60, 180, 0.864 }, { "A1", 55.0000, 0.55, 190, 0.864 },
  { "D2", 73.4162, 0.50, 195, 0.864 }, { "G2", 97.9989, 0.45, 190, 0.864 },
};

char *
made_case_name (int index)
{
  return g_strdup_printf ("%s %s", made_open[index / 2].name, index % 2 == 0 ? "open" : "12th");
}

/* B = π³ E d⁴ / (64 T L²) (Fletcher 1964, of a plain steel string). */
double
made_open_stiffness (const MadeOpen *open)
{
  const double d = open->core_mm / 1000;

  return pow (G_PI, 3) * STEEL_PA * pow (d, 4) / (64 * open->tension_n * open->scale_m * open->scale_m);
}

static double
between (GRand *rand, double from, double to)
{
  return g_rand_double_range (rand, from, to);
}

static double
between_evenly_in_log (GRand *rand, double from, double to)
{
  return from >= to ? to : exp (between (rand, log (from), log (to)));
}

MadeCase
made_case (int index, guint round)
{
  const MadeOpen *open = &made_open[index / 2];
  const gboolean twelfth = index % 2 == 1;
  GRand *rand = g_rand_new_with_seed ((guint32) (round * MADE_N_CASES + (guint) index + 1));
  MadeCase out = { .index = index, .expected = open->hz * (twelfth ? 2 : 1) };

  out.string = (MadeString){ .start = BEFORE_S };
  out.string.f1 = out.expected * exp2 (between (rand, -OUT_OF_TUNE_CENTS, OUT_OF_TUNE_CENTS) / 1200);
  /* B goes with 1 / L², and half the string sounds at the 12th fret. */
  out.string.b = made_open_stiffness (open) * (twelfth ? 4 : 1) * exp (between (rand, -TO_SPREAD, TO_SPREAD));
  out.string.peak = between (rand, 0.1, 0.6);
  out.string.t60 = between_evenly_in_log (rand, 1, 8);
  out.string.t60_high = between_evenly_in_log (rand, 1, out.string.t60);
  out.string.pluck = between (rand, 0.08, 0.3);
  out.string.pickup = g_rand_boolean (rand) ? between (rand, 0.05, 0.25) : 0;
  out.room = (MadeRoom){ .noise_db = 30, .hum_db = 30, .hum_hz = g_rand_boolean (rand) ? 50 : 60 };
  out.room.pink = g_rand_boolean (rand) ? 0.5 : 0;
  out.room.body_db = between (rand, 0, 12);
  out.seed = g_rand_int (rand);
  g_rand_free (rand);
  return out;
}
