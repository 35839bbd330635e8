/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One note's estimate on sounds simple enough to say what must come out: exact series, glides, clipping, two strings,
 * and what is no note at all. */
#include "sound/note.h"
#include "sound/partials.h"

#include <math.h>
#include <string.h>

#define RATE 48000.0

typedef struct
{
  double f1, b, onset, t60, level; /* Hz, –, s, s, of each partial over its number */
  double glide_cents, glide_rate;  /* sharp at the onset, dying at this rate, 1/s */
  double up_at, up_cents;          /* the string is tuned from then on, over half a second */
  int partials;
} String;

static float *
silence (double seconds, double rate, gsize *n)
{
  *n = (gsize) (seconds * rate);
  return g_new0 (float, *n);
}

/* Phases are the integral of the frequency as it is said above, each partial's from its own start. */
static void
add_string (float *out, gsize n, double rate, const String *s)
{
  double a = log (1000) / s->t60, sharp = exp2 (s->glide_cents / 1200) - 1, up = exp2 (s->up_cents / 1200) - 1;

  for (gsize i = (gsize) ceil (s->onset * rate); i < n; i++)
    {
      double t = (double) i / rate - s->onset, turns = t, since = t - s->up_at, sum = 0;

      if (sharp > 0)
        turns += sharp * -expm1 (-s->glide_rate * t) / s->glide_rate;
      if (up > 0 && since > 0)
        turns += up * (since < 0.5 ? since * since : since - 0.25);
      for (int k = 1; k <= s->partials; k++)
        sum += cos (2 * M_PI * k * s->f1 * sqrt ((1 + s->b * k * k) / (1 + s->b)) * turns + 0.7 * k * k) / k;
      out[i] += (float) (s->level * exp (-a * t) * sum);
    }
}

static void
add_noise (float *out, gsize n, double rms, GRand *rand)
{
  for (gsize i = 0; i < n; i++)
    out[i] += (float) (rms * sqrt (3) * g_rand_double_range (rand, -1, 1));
}

static double
cents (double f, double of)
{
  return 1200 * log2 (f / of);
}

/* A series without noise: to 10⁻⁴ cent, at every rate a device may have. */
static void
test_exact (void)
{
  static const double rates[] = { 22050, 44100, 48000, 88200, 96000, 192000 },
                      notes[] = { 30.87, 61.74, 110, 329.63, 659.26 };

  for (guint r = 0; r < G_N_ELEMENTS (rates); r++)
    for (guint i = 0; i < G_N_ELEMENTS (notes); i++)
      {
        gsize n;
        g_autofree float *x = silence (1.6, rates[r], &n);
        String s = { .f1 = notes[i] * 1.01, .b = 1e-4, .onset = 0.1, .t60 = 3, .level = 0.2, .partials = 12 };
        SlNote note;

        add_string (x, n, rates[r], &s);
        g_assert_true (sl_note_estimate (x, n, rates[r], notes[i], &note));
        g_assert_cmpfloat (fabs (cents (note.frequency, s.f1)), <, 1e-4);
        g_assert_cmpfloat_with_epsilon (note.inharmonicity, s.b, 1e-8);
        g_assert_cmpfloat_with_epsilon (note.onset, 0.1, 0.005);
        g_assert_cmpfloat_with_epsilon (note.decay, 3, 0.01);
        g_assert_cmpfloat_with_epsilon (note.cents, cents (s.f1, notes[i]), 1e-3);
        g_assert_cmpint (note.word, ==, SL_HEARD_SETTLED);
      }
}

/* A slack string on its way up, and one tuned too high: by semitones; the octave is not in doubt. */
static void
test_far_off (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);

  for (int semitones = -6; semitones <= 6; semitones++)
    for (double expected = 30.87; expected < 700; expected *= 2.1)
      {
        gsize n;
        g_autofree float *x = silence (1.2, RATE, &n);
        String s = { .f1 = expected * exp2 (semitones / 12.0), .b = 2e-4, .t60 = 4, .level = 0.2, .partials = 20 };
        SlNote note;

        add_string (x, n, RATE, &s);
        add_noise (x, n, 0.003, rand);
        g_assert_true (sl_note_estimate (x, n, RATE, expected, &note));
        g_assert_cmpfloat (fabs (cents (note.frequency, s.f1)), <, 0.15);
      }
}

/* Rife and Boorstyn, IEEE Trans. Inf. Theory 20, 591 (1974), from memory, for one tone that dies as e^−at beside white
 * noise: no estimate's standard deviation lies under σ / sqrt (Σ A² e^−2at (t − t̄)²), and ours not far over it. */
static void
test_lower_bound (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  const int rounds = 60;
  double square = 0, said = 0, w = 0, wt = 0, wtt = 0, noise = 0.01, a = log (1000) / 2;
  String s = { .f1 = 220, .t60 = 2, .level = 0.3, .partials = 1 };

  for (double t = SL_ATTACK_S; t < 1.5 - 0.04; t += 1 / RATE)
    {
      double p = s.level * s.level * exp (-2 * a * t);

      w += p;
      wt += p * t;
      wtt += p * t * t;
    }
  double bound = noise * sqrt (2) / sqrt (wtt - wt * wt / w) / (2 * M_PI);
  for (int i = 0; i < rounds; i++)
    {
      gsize n;
      g_autofree float *x = silence (1.5, RATE, &n);
      SlNote note;

      add_string (x, n, RATE, &s);
      add_noise (x, n, noise, rand);
      g_assert_true (sl_note_estimate (x, n, RATE, 220, &note));
      square += (note.frequency - 220) * (note.frequency - 220) / rounds;
      said += note.u * note.u / rounds;
    }
  g_test_message ("lower bound %.3g Hz, found %.3g Hz, said %.3g Hz", bound, sqrt (square), sqrt (said));
  g_assert_cmpfloat (sqrt (square), >, 0.75 * bound);
  g_assert_cmpfloat (sqrt (square), <, 1.5 * bound);
  g_assert_cmpfloat_with_epsilon (sqrt (said / square), 1, 0.3);
}

/* A hard pluck: sharp at first. What is said is where it comes to rest; until then, that it still falls. */
static void
test_glide (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  String s = { .f1 = 82.41, .b = 1e-4, .t60 = 5, .level = 0.2, .glide_cents = 15, .glide_rate = 2.5, .partials = 20 };
  gsize n;
  g_autofree float *x = silence (5, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.001, rand);
  g_assert_true (sl_note_estimate (x, n, RATE, 82.41, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_SETTLED);
  g_assert_cmpfloat (fabs (note.cents), <, 0.05);
  g_assert_cmpfloat (note.settled_from, >, 1);
  g_assert_true (sl_note_estimate (x, n / 5, RATE, 82.41, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_GLIDING);
}

/* Tuned while it sounds: where the string ends up. */
static void
test_tuned (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (8);
  String s = { .f1 = 110, .b = 1e-4, .t60 = 7, .level = 0.2, .up_at = 1, .up_cents = 90, .partials = 20 };
  gsize n;
  g_autofree float *x = silence (3.2, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.001, rand);
  g_assert_true (sl_note_estimate (x, n, RATE, 116.54, &note));
  g_assert_cmpfloat (fabs (cents (note.frequency, 110) - 90), <, 0.15);
  g_assert_cmpfloat (note.settled_from, >, 1.2);
  g_assert_true (sl_note_estimate (x, (gsize) (1.4 * RATE), RATE, 116.54, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_GLIDING);
}

static void
test_clipped (void)
{
  String s = { .f1 = 110, .b = 1e-4, .t60 = 4, .level = 0.9, .partials = 6 };
  gsize n;
  g_autofree float *x = silence (1.5, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  for (gsize i = 0; i < n; i++)
    x[i] = CLAMP (x[i], -1.0F, 1.0F);
  g_assert_true (sl_note_estimate (x, n, RATE, 110, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_CLIPPED);
  g_assert_cmpfloat (fabs (note.cents), <, 0.5);
}

/* Another string ringing along, a fourth above and 8 dB down. */
static void
test_two_notes (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (9);
  String s = { .f1 = 82.41, .b = 1e-4, .t60 = 4, .level = 0.2, .partials = 12 },
         other = { .f1 = 110.3, .b = 1e-4, .t60 = 4, .level = 0.08, .partials = 12 };
  gsize n;
  g_autofree float *x = silence (2, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.001, rand);
  g_assert_true (sl_note_estimate (x, n, RATE, 82.41, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_SETTLED);
  add_string (x, n, RATE, &other);
  g_assert_true (sl_note_estimate (x, n, RATE, 82.41, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_TWO_NOTES);
  g_assert_cmpfloat (fabs (note.cents), <, 0.5);
}

/* Two strings of a course a few cents apart are two notes, one as two ways of swinging has it is not. */
static void
test_course (void)
{
  const double apart[] = { 0, 1, 8, 15, 25 };

  for (gsize i = 0; i < G_N_ELEMENTS (apart); i++)
    {
      String s = { .f1 = 110, .b = 8e-5, .t60 = 4, .level = 0.2, .partials = 12 }, other = s;
      gsize n;
      g_autofree float *x = silence (4, RATE, &n);
      g_autoptr (GRand) rand = g_rand_new_with_seed (9);
      SlNote note;

      other.f1 *= exp2 (apart[i] / 1200);
      other.level = 0.1;
      add_string (x, n, RATE, &s);
      add_string (x, n, RATE, &other);
      add_noise (x, n, 0.0005, rand);
      g_assert_true (sl_note_estimate (x, n, RATE, 110, &note));
      g_test_message ("%.0f cents apart: %.2f ± %.2f by %d, %s", apart[i], note.cents, 2 * note.cents_u,
                      note.n_partials, sl_heard_word_names[note.word]);
      g_assert_cmpint (note.word, ==, apart[i] > 3 ? SL_HEARD_TWO_NOTES : SL_HEARD_SETTLED);
    }
}

/* Silence, noise, mains hum, a voice-like buzz that slides, nothing, and what isn't a number. */
static void
test_no_note (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (11);
  gsize n;
  g_autofree float *x = silence (2, RATE, &n);
  double phase = 0;
  SlNote note;

  g_assert_false (sl_note_estimate (x, n, RATE, 98, &note));
  g_assert_cmpint (note.word, ==, SL_HEARD_SOFT);
  g_assert_false (sl_note_estimate (x, 0, RATE, 98, &note));
  g_assert_false (sl_note_estimate (NULL, 0, RATE, 98, &note));
  g_assert_false (sl_note_estimate (x, n, 8000, 98, &note));
  g_assert_false (sl_note_estimate (x, n, RATE, NAN, &note));
  g_assert_false (sl_note_estimate (x, n, RATE, 0, &note));
  for (gsize i = 0; i < n; i++)
    x[i] = NAN;
  g_assert_false (sl_note_estimate (x, n, RATE, 98, &note));
  for (gsize i = 0; i < n; i++)
    x[i] = i % 2 ? INFINITY : -INFINITY;
  g_assert_false (sl_note_estimate (x, n, RATE, 98, &note));
  memset (x, 0, n * sizeof *x);
  add_noise (x, n, 0.1, rand);
  if (sl_note_estimate (x, n, RATE, 98, &note))
    g_assert_cmpint (note.word, !=, SL_HEARD_SETTLED);
  for (gsize i = 0; i < n; i++)
    for (int h = 1; h <= 8; h++)
      x[i] += (float) (0.1 / h * cos (2 * M_PI * 50.01 * h * (double) i / RATE + h * h));
  for (double expected = 40; expected < 400; expected *= 1.2)
    g_assert_false (sl_note_estimate (x, n, RATE, expected, &note));
  memset (x, 0, n * sizeof *x);
  for (gsize i = 0; i < n; i++)
    {
      double t = (double) i / RATE;

      phase += (120 + 25 * sin (2 * M_PI * 2.3 * t)) / RATE;
      for (int h = 1; h <= 20; h++)
        x[i] += (float) (0.05 * exp (-0.5 * pow ((h * 120 - 700) / 400.0, 2)) * cos (2 * M_PI * h * phase) *
                         (0.6 + 0.4 * sin (2 * M_PI * 4 * t)));
    }
  add_noise (x, n, 0.001, rand);
  if (sl_note_estimate (x, n, RATE, 110, &note))
    g_assert_cmpint (note.word, !=, SL_HEARD_SETTLED);
}

/* A second pluck ends the note; what comes before the first is passed over. */
static void
test_plucks (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (13);
  String s = { .f1 = 146.83, .b = 1e-4, .onset = 0.4, .t60 = 3, .level = 0.2, .partials = 12 };
  gsize n;
  g_autofree float *x = silence (4, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  s.onset = 2;
  s.f1 *= 1.06;
  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.001, rand);
  g_assert_true (sl_note_estimate (x, n, RATE, 146.83, &note));
  g_assert_cmpfloat_with_epsilon (note.onset, 0.4, 0.01);
  g_assert_cmpfloat_with_epsilon (note.length, 1.6, 0.03);
  g_assert_cmpfloat (fabs (note.cents), <, 0.05);
}

/* How fast it dies, and that the note is over where it sinks into the noise. */
static void
test_ends (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (15);
  String s = { .f1 = 196, .b = 1e-4, .t60 = 1.2, .level = 0.2, .partials = 3 };
  gsize n;
  g_autofree float *x = silence (4, RATE, &n);
  SlNote note;

  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.002, rand);
  g_assert_true (sl_note_estimate (x, n, RATE, 196, &note));
  g_assert_cmpfloat_with_epsilon (note.decay, 1.2, 0.03);
  g_assert_cmpfloat_with_epsilon (note.partials[0].slope, -50, 1);
  g_assert_cmpfloat (note.length, <, 2.5);
}

/* In pieces of any length it is the same note, and more of it the same as all at once. */
static void
test_pieces (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (17);
  SlPartials *partials = sl_partials_new (RATE, 110);
  String s = { .f1 = 110.5, .b = 1e-4, .t60 = 3, .level = 0.2, .partials = 12 };
  gsize n;
  g_autofree float *x = silence (2, RATE, &n);
  SlNote whole, note;

  add_string (x, n, RATE, &s);
  add_noise (x, n, 0.001, rand);
  for (gsize at = 0; at < n;)
    {
      gsize piece = MIN (n - at, (gsize) g_rand_int_range (rand, 1, 6000));

      sl_partials_hear (partials, x + at, piece);
      at += piece;
      if (sl_partials_note (partials, INFINITY, FALSE, &note))
        g_assert_cmpfloat (fabs (cents (note.frequency, s.f1)), <, at> RATE ? 0.3 : 1);
      else
        g_assert_cmpfloat ((double) at / RATE, <, 0.45);
    }
  g_assert_true (sl_note_estimate (x, n, RATE, 110, &whole));
  g_assert_cmpfloat_with_epsilon (note.frequency, whole.frequency, 3 * whole.u);
  sl_partials_free (partials);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/note/exact", test_exact);
  g_test_add_func ("/note/far-off", test_far_off);
  g_test_add_func ("/note/lower-bound", test_lower_bound);
  g_test_add_func ("/note/glide", test_glide);
  g_test_add_func ("/note/tuned", test_tuned);
  g_test_add_func ("/note/clipped", test_clipped);
  g_test_add_func ("/note/two-notes", test_two_notes);
  g_test_add_func ("/note/course", test_course);
  g_test_add_func ("/note/no-note", test_no_note);
  g_test_add_func ("/note/plucks", test_plucks);
  g_test_add_func ("/note/ends", test_ends);
  g_test_add_func ("/note/pieces", test_pieces);
  return g_test_run ();
}
