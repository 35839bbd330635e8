/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the listener promises (model 15) as sound comes in: a figure 0.4 s after the pluck, near after a second, the
 * note that ended as good as the estimate's own, the right one of many, a recording split where it was plucked. */
#include "../rounds.h"
#include "fed.h"
#include "judge.h"

#include <math.h>
#include <string.h>

#define SECONDS 3.3
#define PLUCKED_S 0.3
#define FIRST_S 0.4
#define BLOCKS_S 0.03 /* what it may come later, fed in blocks */
#define AFTER_S 1.0
#define AFTER_CENTS 0.3
#define ONSET_S 0.03

static double
cents (double f, double over)
{
  return 1200 * log2 (f / over);
}

static const double rates[] = { 44100, 48000, 22050, 96000 };

/* One string waited for, plucked. */
static void
listen_for (int index, guint round, GArray *verdicts)
{
  const double rate = rates[((guint) index + round) % G_N_ELEMENTS (rates)];
  const gsize n = (gsize) (SECONDS * rate);
  const MadeCase c = made_case (index, round);
  g_autofree double *sound = made_sound (n, rate, &c.string, 1, &c.room, c.seed, NULL);
  g_autoptr (SlListener) listener = sl_listener_new (rate, c.expected);
  g_autoptr (Fed) fed = fed_sound (listener, sound, n, rate);
  const GArray *notes = sl_listener_notes (listener);
  const double after = cents (fed_said (fed, PLUCKED_S + AFTER_S), c.string.f1);
  g_autofree char *name = made_case_name (index);
  Verdict v;

  if (notes->len != 1 || !(fed->first <= PLUCKED_S + FIRST_S + BLOCKS_S) || !(fabs (after) <= AFTER_CENTS) ||
      !(fabs (g_array_index (notes, SlNote, 0).onset - PLUCKED_S) <= ONSET_S))
    g_test_fail_printf ("%s, round %u, %g Hz: %u notes, first after %.3f s, %.4f cent off after 1 s", name, round, rate,
                        notes->len, fed->first - PLUCKED_S, after);
  if (notes->len == 0)
    return;
  v = judge_note (&c, round, &g_array_index (notes, SlNote, 0), NAN, NAN);
  g_array_append_val (verdicts, v);
}

static void
test_stream (void)
{
  g_autoptr (GArray) verdicts = g_array_new (FALSE, FALSE, sizeof (Verdict));

  for (guint round = 0; round < (guint) test_rounds (1); round++)
    for (int i = 0; i < MADE_N_CASES; i++)
      listen_for (i, round, verdicts);
  judge_print ("notes that ended", verdicts);
  judge_promises (verdicts);
}

/* One string after another, open and at the 12th fret, each stopped by the next, any of them waited for: never an
 * octave off, though half of them are octaves of the other half. */
static void
test_octaves (void)
{
  const double rate = 44100, every = 1.6;
  const int half = MADE_N_CASES / 2, guitar = 12;
  double candidates[MADE_N_CASES];

  for (int of = 0; of < 2; of++)
    {
      const int first = of == 0 ? 0 : guitar, count = of == 0 ? guitar : MADE_N_CASES - guitar;
      const gsize n = (gsize) ((PLUCKED_S + every * count + 1) * rate);
      MadeString strings[MADE_N_CASES];
      MadeRoom room = made_case (half, 0).room;
      g_autoptr (SlListener) listener = NULL;
      g_autofree double *sound = NULL;
      g_autoptr (Fed) fed = NULL;
      const GArray *notes;

      for (int i = 0; i < count; i++)
        {
          const MadeCase c = made_case (first + i, 11);

          candidates[i] = c.expected;
          strings[i] = c.string;
          strings[i].start = PLUCKED_S + every * i;
          strings[i].stop = strings[i].start + every;
          strings[i].peak = 0.5;
        }
      sound = made_sound (n, rate, strings, (guint) count, &room, 3, NULL);
      listener = sl_listener_new (rate, candidates[0]);
      sl_listener_expect_any (listener, candidates, (guint) count);
      fed = fed_sound (listener, sound, n, rate);
      notes = sl_listener_notes (listener);
      for (guint i = 0; i < notes->len; i++)
        {
          const SlNote *note = &g_array_index (notes, SlNote, i);

          g_test_message ("%.3f s: %.3f Hz, of %.3f, made %.3f; %d partials, %s", note->onset, note->frequency,
                          note->expected, i < (guint) count ? strings[i].f1 : NAN, note->n_partials,
                          sl_heard_word_names[note->word]);
        }
      g_assert_cmpint (notes->len, ==, count);
      for (int i = 0; i < count; i++)
        {
          const SlNote *note = &g_array_index (notes, SlNote, i);

          g_assert_cmpfloat_with_epsilon (note->onset, strings[i].start, ONSET_S);
          g_assert_cmpfloat (note->expected, ==, candidates[i]);
          g_assert_cmpfloat (fabs (cents (note->frequency, strings[i].f1)), <, AFTER_CENTS);
        }
    }
}

/* The same string again and again, while it still sounds. */
static void
test_again (void)
{
  const double rate = 44100, every = 0.9;
  const guint times = 8;
  const gsize n = (gsize) ((PLUCKED_S + every * times + 1) * rate);
  MadeString strings[8];
  const MadeCase c = made_case (2, 5);
  g_autoptr (SlListener) listener = sl_listener_new (rate, c.expected);
  g_autofree double *sound = NULL;
  g_autoptr (Fed) fed = NULL;
  const GArray *notes;

  for (guint i = 0; i < times; i++)
    {
      strings[i] = c.string;
      strings[i].peak = i % 2 == 0 ? 0.6 : 0.3;
      strings[i].start = PLUCKED_S + every * i;
      strings[i].stop = strings[i].start + every;
    }
  sound = made_sound (n, rate, strings, times, &c.room, 3, NULL);
  fed = fed_sound (listener, sound, n, rate);
  notes = sl_listener_notes (listener);
  for (guint i = 0; i < notes->len; i++)
    g_test_message ("%.3f s for %.3f s: off %.4f cent, %s", g_array_index (notes, SlNote, i).onset,
                    g_array_index (notes, SlNote, i).length,
                    cents (g_array_index (notes, SlNote, i).frequency, c.string.f1),
                    sl_heard_word_names[g_array_index (notes, SlNote, i).word]);
  g_assert_cmpuint (notes->len, ==, times);
  for (guint i = 0; i < times; i++)
    {
      g_assert_cmpfloat_with_epsilon (g_array_index (notes, SlNote, i).onset, strings[i].start, ONSET_S);
      g_assert_cmpfloat (fabs (cents (g_array_index (notes, SlNote, i).frequency, c.string.f1)), <, AFTER_CENTS);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/listening/stream", test_stream);
  g_test_add_func ("/listening/octaves", test_octaves);
  g_test_add_func ("/listening/again", test_again);
  return g_test_run ();
}
