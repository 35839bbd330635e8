/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sounds that are no clean note. What isn't a string gives no settled figure; what is one, but bent, cut or joined by
 * another, gives either a figure that its U covers or a word that says what is wrong. */
#include "../rounds.h"
#include "fed.h"
#include "made-instruments.h"

#include <math.h>
#include <string.h>

#define RATE 44100.0
#define SAMPLES(seconds) ((gsize) ((seconds) *RATE))
#define WORST_CENTS 0.15
#define LEAST_BEATS 3 /* fewer in a note are a bend of one string's pitch as well */
#define IN_U 3.0      /* standard uncertainties, where what is told isn't held to 2 */

/* Every @n-th of many, fewer are left out in longer runs. */
static int
stride (int n)
{
  return MAX (1, n / test_rounds (1));
}

/* Where the test failed already, the rest still says what it makes of its sounds. */
static void
fail (const char *what, const SlNote *note, const char *why)
{
  g_test_message ("FAILED %s: %s; %.3f Hz, u %.4f cent, %s", what, why, note->frequency, note->cents_u,
                  sl_heard_word_names[note->word]);
  g_test_fail_printf ("%s: %s", what, why);
}

static double
cents (double f, double over)
{
  return 1200 * log2 (f / over);
}

static void
say (const char *what, const SlNote *note, double f1)
{
  g_test_message ("%s: off %.4f cent, u %.4f, settled from %.2f s; %d partials, %s", what, cents (note->frequency, f1),
                  note->cents_u, note->settled_from, note->n_partials, sl_heard_word_names[note->word]);
}

/* What is settled is right, or is covered by what it says of itself. */
static void
hold_settled (const char *what, const SlNote *note, double f1)
{
  const double off = fabs (cents (note->frequency, f1));

  say (what, note, f1);
  if (note->word == SL_HEARD_SETTLED && !(off <= MAX (WORST_CENTS, IN_U * note->cents_u)))
    fail (what, note, "settled, and not so");
}

/* Fed to a listener that waits for @expected: the notes it tells of, and whether one is said to be settled. */
static guint
settled_notes (const char *what, const double *sound, gsize n, double expected, guint *notes_heard)
{
  g_autoptr (SlListener) listener = sl_listener_new (RATE, expected);
  g_autoptr (Fed) fed = fed_sound (listener, sound, n, RATE);
  const GArray *notes = sl_listener_notes (listener);
  guint settled = 0, shown = 0;

  for (guint i = 0; i < notes->len; i++)
    settled += g_array_index (notes, SlNote, i).word == SL_HEARD_SETTLED;
  for (guint i = 0; i < fed->said->len; i++)
    shown +=
        !isnan (g_array_index (fed->said, double, i)) && g_array_index (fed->words, SlHeardWord, i) == SL_HEARD_SETTLED;
  g_test_message ("%s: %u notes, %u of them settled; %u of %u times a settled figure shown", what, notes->len, settled,
                  shown, fed->said->len);
  for (guint i = 0; i < notes->len && i < 6; i++)
    say (what, &g_array_index (notes, SlNote, i), expected);
  if (notes_heard != NULL)
    *notes_heard = notes->len;
  return settled + shown;
}

/* Every open string waited for. */
static void
hold_nothing_settled (const char *what, const double *sound, gsize n, gboolean no_notes)
{
  for (int i = 0; i < MADE_N_OPEN; i += 6)
    {
      guint heard = 0;

      if (settled_notes (what, sound, n, made_open[i].hz, &heard) > 0 || (no_notes && heard > 0))
        g_test_fail_printf ("%s: %u notes while %s was waited for", what, heard, made_open[i].name);
    }
}

static void
test_silence (void)
{
  g_autofree double *silence = g_new0 (double, SAMPLES (3));
  g_autofree float *samples = made_converted (silence, SAMPLES (3), 1);
  SlNote note;

  hold_nothing_settled ("silence", silence, SAMPLES (3), TRUE);
  g_assert_false (sl_note_estimate (samples, SAMPLES (3), RATE, 110, &note));
  g_assert_true (isnan (note.frequency));
  g_assert_cmpint (note.word, ==, SL_HEARD_SOFT);
}

/* Levels of a room alone are against full scale. */
static void
test_room (void)
{
  for (int pass = 0; pass < 4; pass++)
    {
      static const char *const what[] = { "white noise", "pink noise", "hum of 50 Hz", "hum of 60 Hz" };
      const MadeRoom room = { .noise_db = pass < 2 ? 30 : 70,
                              .pink = pass == 1,
                              .hum_db = pass < 2 ? G_MAXDOUBLE : 30,
                              .hum_hz = pass == 3 ? 60 : 50,
                              .body_db = G_MAXDOUBLE };
      g_autofree double *sound = made_sound (SAMPLES (5), RATE, NULL, 0, &room, 5, NULL);

      hold_nothing_settled (what[pass], sound, SAMPLES (5), TRUE);
    }
}

/* Knocks on the body: its resonances without a string. */
static void
test_knocks (void)
{
  MadeString knocks[3];
  const MadeRoom room = { .noise_db = 50, .hum_db = 50, .hum_hz = 50, .body_db = -20 };
  g_autofree double *sound = NULL;

  for (int i = 0; i < 3; i++)
    knocks[i] =
        (MadeString){ .f1 = 15000, .start = 0.5 + i, .peak = 0.05, .t60 = 0.05, .t60_high = 0.05, .pluck = 0.2 };
  sound = made_sound (SAMPLES (4), RATE, knocks, 3, &room, 2, NULL);
  hold_nothing_settled ("knocks", sound, SAMPLES (4), FALSE);
}

/* A damped resonance, as a formant is: y += x, in place. */
static void
resonate (double *x, gsize n, double f, double width)
{
  const double r = exp (-G_PI * width / RATE), a = 2 * r * cos (2 * G_PI * f / RATE), b = -r * r;
  double y1 = 0, y2 = 0;

  for (gsize i = 0; i < n; i++)
    {
      const double y = (1 - r) * x[i] + a * y1 + b * y2;

      y2 = y1;
      y1 = y;
      x[i] = y;
    }
}

/* Someone talks: syllables whose pitch moves, and breath, through the formants of an open vowel (Peterson and Barney,
 * J. Acoust. Soc. Am. 24, 175 (1952)). */
static void
test_speech (void)
{
  const gsize n = SAMPLES (8);
  g_autofree double *sound = g_new0 (double, n);
  GRand *rand = g_rand_new_with_seed (4);
  double phase = 0, peak = 0;

  for (gsize i = 0; i < n; i++)
    {
      const double t = (double) i / RATE, in = fmod (t, 0.33) / 0.33;
      const double f = 115 + 25 * sin (2 * G_PI * 0.7 * t) - 20 * in, voiced = in < 0.7 ? sin (G_PI * in / 0.7) : 0;

      phase += f / RATE;
      if (phase >= 1)
        {
          phase -= 1;
          sound[i] += voiced;
        }
      sound[i] += 0.01 * g_rand_double_range (rand, -1, 1) * (in < 0.9 ? 1 : 0.1);
    }
  g_rand_free (rand);
  resonate (sound, n, 730, 90);
  resonate (sound, n, 1090, 110);
  resonate (sound, n, 2440, 170);
  for (gsize i = 0; i < n; i++)
    peak = MAX (peak, fabs (sound[i]));
  for (gsize i = 0; i < n; i++)
    sound[i] *= 0.5 / peak;
  hold_nothing_settled ("speech", sound, n, FALSE);
}

static SlNote
estimated (const MadeString *strings, guint n_strings, const MadeRoom *room, double seconds, double gain,
           double expected)
{
  g_autofree double *sound = made_sound (SAMPLES (seconds), RATE, strings, n_strings, room, 9, NULL);
  g_autofree float *samples = made_converted (sound, SAMPLES (seconds), gain);
  SlNote note;

  sl_note_estimate (samples, SAMPLES (seconds), RATE, expected, &note);
  return note;
}

/* Cut at full scale: said, and still no other note. */
static void
test_clipped (void)
{
  for (int i = 0; i < MADE_N_CASES; i += stride (7))
    for (double gain = 1.5; gain < 7; gain *= 2)
      {
        MadeCase c = made_case (i, 3);
        g_autofree char *name = made_case_name (i);
        SlNote note;

        c.string.peak = 1;
        note = estimated (&c.string, 1, &c.room, 3, gain, c.expected);
        say (name, &note, c.string.f1);
        if (note.word != SL_HEARD_CLIPPED)
          fail (name, &note, "too loud, and not said");
        if (!isnan (note.frequency) && fabs (cents (note.frequency, c.string.f1)) > 50)
          fail (name, &note, "another note");
      }
}

/* A hard pluck, 2 to 20 cents sharp at first. */
static void
test_gliding (void)
{
  guint settled = 0, all = 0;

  for (int i = 0; i < MADE_N_CASES; i += stride (9))
    for (int pass = 0; pass < 4; pass++, all++)
      {
        static const double glides[] = { 2, 5, 10, 20 };
        MadeCase c = made_case (i, 4);
        g_autofree char *name = made_case_name (i);
        g_autofree char *what = g_strdup_printf ("%s, glides %g cents, t60 %.1f s", name, glides[pass], c.string.t60);
        SlNote note;

        c.string.glide = glides[pass];
        note = estimated (&c.string, 1, &c.room, 5, 1, c.expected);
        hold_settled (what, &note, c.string.f1);
        settled += note.word == SL_HEARD_SETTLED;
      }
  g_test_message ("%u of %u settled", settled, all);
}

/* The peg is turned while it sounds: what is said to be settled is the pitch before or after, not one between. */
static void
test_turned (void)
{
  for (int i = 0; i < MADE_N_CASES; i += stride (7))
    for (double by = -40; by <= 40; by += 20)
      {
        MadeCase c = made_case (i, 6);
        g_autofree char *name = made_case_name (i);
        g_autofree char *what = g_strdup_printf ("%s, turned by %g cents", name, by);
        double before, after;
        SlNote note;

        if (by == 0)
          continue;
        c.string.t60 = MAX (4, c.string.t60);
        c.string.turn_cents = by;
        c.string.turn_at = 1.3;
        c.string.turn_for = 0.8;
        note = estimated (&c.string, 1, &c.room, 4, 1, c.expected);
        before = cents (note.frequency, c.string.f1);
        after = before - by;
        say (what, &note, c.string.f1);
        if (note.word == SL_HEARD_SETTLED && MIN (fabs (before), fabs (after)) > MAX (WORST_CENTS, IN_U * note.cents_u))
          fail (what, &note, "settled between the pitches before and after");
      }
}

/* Another string rings along, @db softer, @semitones away, from the start or from half a second later. */
static void
test_two (void)
{
  static const double semitones[] = { 0.05, 0.5, 4, 5, 7, 12, 12.05, -5 };

  for (int i = 0; i < MADE_N_CASES; i += stride (11))
    for (guint s = 0; s < G_N_ELEMENTS (semitones); s++)
      for (int db = 6; db <= 26; db += 10)
        {
          const MadeCase c = made_case (i, 8);
          MadeString both[2] = { c.string, c.string };
          g_autofree char *name = made_case_name (i);
          g_autofree char *what =
              g_strdup_printf ("%s with one %g semitones off, %d dB softer", name, semitones[s], db);
          SlNote note;

          both[1].f1 *= exp2 (semitones[s] / 12);
          both[1].peak *= pow (10, -db / 20.0);
          both[1].b *= 0.7;
          note = estimated (both, 2, &c.room, 3, 1, c.expected);
          if (fabs (both[1].f1 - c.string.f1) * 3 > LEAST_BEATS)
            hold_settled (what, &note, c.string.f1);
          if (note.word == SL_HEARD_SOFT)
            fail (what, &note, "neither heard nor two");
        }
}

/* The same in other ears: other rates, no silence before, little sound, another measure of what 30 dB is. */
static void
test_circumstances (void)
{
  for (int i = 0; i < MADE_N_CASES; i += stride (5))
    for (int pass = 0; pass < 6; pass++)
      {
        static const char *const what[] = { "22.05 kHz", "96 kHz", "at once", "1.2 s", "30 dB below the peak",
                                            "a constant" };
        const double rate = pass == 0 ? 22050 : pass == 1 ? 96000 : RATE, seconds = pass == 3 ? 1.5 : 3;
        const gsize n = (gsize) (seconds * rate);
        MadeCase c = made_case (i, 10);
        g_autofree char *name = made_case_name (i), *all = g_strdup_printf ("%s, %s", name, what[pass]);
        g_autofree double *sound = NULL;
        g_autofree float *samples = NULL;
        SlNote note;

        c.string.start = pass == 2 ? 0 : c.string.start;
        c.room.against_peak = pass == 4;
        c.room.body_db += pass == 4 ? 12 : 0;
        sound = made_sound (n, rate, &c.string, 1, &c.room, c.seed, NULL);
        for (gsize at = 0; at < n && pass == 5; at++)
          sound[at] = sound[at] * 0.5 + 0.02;
        samples = made_converted (sound, n, 1);
        sl_note_estimate (samples, n, rate, c.expected, &note);
        hold_settled (all, &note, c.string.f1);
        /* little sound, and hum as loud as some of the note's partials, may be too little to settle by */
        if (pass != 3 && pass != 4 && note.word != SL_HEARD_SETTLED)
          fail (all, &note, "not settled");
      }
}

/* What no sound card gives, but a file may. */
static void
test_nonsense (void)
{
  const MadeCase c = made_case (2, 0);
  const gsize n = SAMPLES (2);
  g_autofree double *sound = made_sound (n, RATE, &c.string, 1, &c.room, 1, NULL);
  g_autofree float *samples = made_converted (sound, n, 1);
  static const gsize lengths[] = { 0, 1, 2, 100, 5000, 15000 };
  g_autoptr (SlListener) listener = sl_listener_new (RATE, c.expected);
  SlNote note;

  for (guint i = 0; i < G_N_ELEMENTS (lengths); i++)
    {
      sl_note_estimate (samples, lengths[i], RATE, c.expected, &note);
      g_assert_cmpfloat (note.expected, ==, c.expected);
      sl_listener_hear (listener, samples, lengths[i]);
    }
  for (gsize i = 0; i < n; i += 7000)
    samples[i] = i % 14000 == 0 ? NAN : INFINITY;
  sl_note_estimate (samples, n, RATE, c.expected, &note);
  say ("holes", &note, c.string.f1);
  g_assert_false (note.word == SL_HEARD_SETTLED && fabs (cents (note.frequency, c.string.f1)) > 1);
  sl_listener_hear (listener, samples, n);
  sl_listener_end (listener);
  g_assert_false (isnan (sl_listener_level (listener)));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/hostile/silence", test_silence);
  g_test_add_func ("/hostile/room", test_room);
  g_test_add_func ("/hostile/knocks", test_knocks);
  g_test_add_func ("/hostile/speech", test_speech);
  g_test_add_func ("/hostile/clipped", test_clipped);
  g_test_add_func ("/hostile/gliding", test_gliding);
  g_test_add_func ("/hostile/turned", test_turned);
  g_test_add_func ("/hostile/two", test_two);
  g_test_add_func ("/hostile/circumstances", test_circumstances);
  g_test_add_func ("/hostile/nonsense", test_nonsense);
  return g_test_run ();
}
