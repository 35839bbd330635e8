/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What listening promises (model 15), held against made sounds: every open string and 12th fret of a guitar and of a
 * five-string bass. With --all it is a benchmark: a thousand sounds, and what they allow at best. */
#include "../rounds.h"
#include "judge.h"
#include "made-bound.h"
#include "made-string.h"

#include <math.h>
#include <string.h>

#define RATE 44100.0
#define SECONDS 3.3
#define SAMPLES ((gsize) (RATE * SECONDS))
#define ROUNDS 4
#define STEPPED_STRIDE 3 /* they take longer to make */
#define ROUNDS_ALL 46    /* 1012 sounds */
#define HEARD_HZ 5000.0

static gboolean everything = FALSE;
static guint first_round = 0; /* SL_TEST_SEED */

static int
heard_partials (const MadeString *string)
{
  return (int) CLAMP (HEARD_HZ / string->f1, 1, SL_MAX_PARTIALS);
}

static MadeBound
bound_of (const MadeCase *c, const GArray *parts, const double *sound)
{
  const gsize from = (gsize) (0.3 * RATE);
  double power = 0;

  /* As the room makes it: below the rms of the first second, of which noise is a thousandth. */
  for (gsize i = from; i < from + (gsize) RATE; i++)
    power += sound[i] * sound[i];
  return made_bound (&c->string, parts, 0.3 + SL_ATTACK_S, SECONDS, heard_partials (&c->string),
                     sqrt (power / RATE) * pow (10, -c->room.noise_db / 20), c->room.pink, RATE);
}

static void
judge_partials (int index, guint round, GArray *verdicts)
{
  const MadeCase c = made_case (index, round);
  g_autoptr (GArray) parts = g_array_new (FALSE, FALSE, sizeof (MadePart));
  g_autofree double *sound = made_sound (SAMPLES, RATE, &c.string, 1, &c.room, c.seed, parts);
  g_autofree float *converted = made_converted (sound, SAMPLES, 1);
  const MadeBound bound = bound_of (&c, parts, sound);
  SlNote note;
  Verdict v;

  sl_note_estimate (converted, SAMPLES, RATE, c.expected, &note);
  v = judge_note (&c, round, &note, bound.frequency, bound.b);
  g_array_append_val (verdicts, v);
}

static void
judge_stepped (int index, guint round, GArray *verdicts)
{
  MadeCase c = made_case (index, round);
  GRand *rand = g_rand_new_with_seed (c.seed);
  g_autofree double *sound = NULL;
  g_autofree float *converted = NULL;
  double off;
  SlNote note;
  Verdict v;

  sound = made_string_stepped (SAMPLES, RATE, &c.string, heard_partials (&c.string), &off);
  made_room_add (sound, SAMPLES, RATE, &c.room, &c.string, 1, rand, NULL);
  g_rand_free (rand);
  converted = made_converted (sound, SAMPLES, 1);
  sl_note_estimate (converted, SAMPLES, RATE, c.expected, &note);
  v = judge_note (&c, round, &note, NAN, NAN);
  v.u = hypot (v.u, off); /* so near do its partials lie to the law */
  g_array_append_val (verdicts, v);
}

static void
judge_all (const char *what, guint rounds, int stride, void (*judge) (int, guint, GArray *))
{
  g_autoptr (GArray) verdicts = g_array_new (FALSE, FALSE, sizeof (Verdict));

  for (guint round = 0; round < rounds; round++)
    for (int i = 0; i < MADE_N_CASES; i += stride)
      judge (i, first_round + round, verdicts);
  judge_print (what, verdicts);
  judge_promises (verdicts);
}

static void
test_partials (void)
{
  judge_all ("sums of partials", everything ? ROUNDS_ALL : (guint) test_rounds (ROUNDS), 1, judge_partials);
}

static void
test_stepped (void)
{
  judge_all ("stepped strings", everything ? ROUNDS_ALL / 4 : (guint) test_rounds (1), everything ? 1 : STEPPED_STRIDE,
             judge_stepped);
}

int
main (int argc, char **argv)
{
  const char *seed = g_getenv ("SL_TEST_SEED");

  everything = argc > 1 && strcmp (argv[argc - 1], "--all") == 0;
  argc -= everything;
  g_test_init (&argc, &argv, NULL);
  first_round = seed == NULL ? 0 : (guint) g_ascii_strtoull (seed, NULL, 10) * ROUNDS_ALL;
  g_test_add_func ("/promises/partials", test_partials);
  g_test_add_func ("/promises/stepped", test_stepped);
  return g_test_run ();
}
