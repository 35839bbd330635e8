/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening to a stream, by made sounds of which everything is known (model 15.2). Tolerances are our own choice; those
 * of the figures are the estimate's to keep. */
#include <malloc.h>
#include <math.h>
#include <string.h>

#include "made-partials.h"
#include "sound/listener.h"

#define RATE 44100
#define ONSET_S 0.02
#define BLOCK 882 /* 20 ms */

static const double open_strings[] = { 329.63, 246.94, 196.00, 146.83, 110.00, 82.41 };

static float *
make (const MadeString *strings, guint n_strings, const MadeRoom *room, double rate, double seconds)
{
  const gsize n = (gsize) (rate * seconds);
  g_autofree double *sound = made_sound (n, rate, strings, n_strings, room, 5, NULL);

  return made_converted (sound, n, 1);
}

static void
hear (SlListener *listener, const float *sound, gsize n, gsize block)
{
  for (gsize i = 0; i < n; i += block)
    sl_listener_hear (listener, sound + i, MIN (block, n - i));
}

static const SlNote *
note_at (SlListener *listener, guint i)
{
  const GArray *notes = sl_listener_notes (listener);

  g_assert_cmpuint (i, <, notes->len);
  return &g_array_index (notes, SlNote, i);
}

static MadeString
string_of (double f1, double start, double stop)
{
  MadeString string = MADE_PLAIN_STRING;

  string.f1 = f1;
  string.start = start;
  string.stop = stop;
  return string;
}

/* A guitar's six strings, one after the other, each stopped by the next or ringing on. */
static void
check_six (gboolean ring, double rate)
{
  const MadeRoom room = { .noise_db = 40, .pink = 0.5, .hum_db = 40, .hum_hz = 50, .body_db = 20 };
  g_autoptr (SlListener) listener = sl_listener_new (rate, 110);
  MadeString strings[6];

  for (int i = 0; i < 6; i++)
    {
      const double start = 0.4 + i * 1.53 + 0.07 * (i % 2);

      strings[i] = string_of (open_strings[i], start, ring ? 0 : start + 0.9);
      strings[i].f1 *= exp2 ((i - 2) * 10 / 1200.0);
      strings[i].peak = ring || i % 2 ? 0.1 : 0.4;
    }
  g_autofree float *sound = make (strings, 6, &room, rate, 11);
  sl_listener_expect_any (listener, open_strings, G_N_ELEMENTS (open_strings));
  hear (listener, sound, (gsize) (11 * rate), 4096);
  sl_listener_end (listener);
  g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 6);
  for (guint i = 0; i < 6; i++)
    {
      const SlNote *note = note_at (listener, i);

      g_assert_cmpfloat_with_epsilon (note->onset, strings[i].start, ONSET_S);
      g_assert_cmpfloat (note->expected, ==, open_strings[i]);
      g_assert_cmpfloat_with_epsilon (note->cents, ((int) i - 2) * 10, 0.3);
      if (i < 5)
        g_assert_cmpfloat_with_epsilon (note->onset + note->length, ring ? strings[i + 1].start : strings[i].stop, 0.1);
    }
}

static void
test_six_notes (void)
{
  check_six (FALSE, RATE);
  check_six (TRUE, RATE);
  check_six (FALSE, SL_LEAST_RATE_HZ);
  check_six (FALSE, 192000);
}

/* The same string again while it sounds: each pluck a note, and none besides. */
static void
test_plucked_again (void)
{
  const MadeRoom room = { .noise_db = 40, .hum_db = G_MAXDOUBLE, .body_db = 20 };
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  MadeString strings[4];

  for (int i = 0; i < 4; i++)
    {
      strings[i] = string_of (110, 0.5 + 0.9 * i, i < 3 ? 1.4 + 0.9 * i : 0);
      strings[i].t60 = 6;
    }
  g_autofree float *sound = make (strings, 4, &room, RATE, 6);
  hear (listener, sound, 6 * RATE, BLOCK);
  sl_listener_end (listener);
  g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 4);
  for (guint i = 0; i < 4; i++)
    g_assert_cmpfloat_with_epsilon (note_at (listener, i)->onset, strings[i].start, ONSET_S);
}

/* A recording that was cut right at the pluck. */
static void
test_begins_with_a_pluck (void)
{
  const double starts[] = { 0, 0.01, 0.04, 0.08, 0.12 };

  for (guint i = 0; i < G_N_ELEMENTS (starts); i++)
    {
      const MadeRoom room = { .noise_db = 40, .hum_db = G_MAXDOUBLE, .body_db = G_MAXDOUBLE };
      const MadeString string = string_of (110.2, starts[i], 0);
      g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
      g_autofree float *sound = make (&string, 1, &room, RATE, 2);

      hear (listener, sound, 2 * RATE, BLOCK);
      sl_listener_end (listener);
      g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
      g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->onset, starts[i], ONSET_S);
      g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->frequency, 110.2, 0.01);
    }
}

/* How sound is cut into blocks makes no difference, to the last bit, nor whether somebody looks on. */
static void
test_blocks (void)
{
  const MadeRoom room = { .noise_db = 30, .hum_db = 30, .hum_hz = 50, .body_db = 20 };
  const MadeString strings[] = { string_of (110, 0.3, 1.3), string_of (82.4, 1.4, 0) };
  const gsize blocks[] = { 1, 7, 1024, RATE }, n = 3 * RATE;
  g_autofree float *sound = make (strings, 2, &room, RATE, 3);
  SlNote first[2];

  for (guint i = 0; i < G_N_ELEMENTS (blocks); i++)
    {
      g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
      SlNote note;
      SlFan fan;

      for (gsize from = 0; from < n; from += blocks[i])
        {
          sl_listener_hear (listener, sound + from, MIN (blocks[i], n - from));
          if (i == 2 && sl_listener_sounding (listener, &note))
            sl_listener_fan (listener, &fan);
        }
      sl_listener_end (listener);
      g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 2);
      for (guint j = 0; j < 2; j++)
        {
          if (i == 0)
            first[j] = *note_at (listener, j);
          g_assert_cmpfloat (note_at (listener, j)->onset, ==, first[j].onset);
          g_assert_cmpfloat (note_at (listener, j)->length, ==, first[j].length);
          g_assert_cmpfloat (note_at (listener, j)->frequency, ==, first[j].frequency);
          g_assert_cmpfloat (note_at (listener, j)->cents_u, ==, first[j].cents_u);
        }
    }
}

static void
assert_nothing_settles (const float *sound, gsize n)
{
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  SlNote note;

  for (gsize i = 0; i < n; i += BLOCK)
    {
      sl_listener_hear (listener, sound + i, MIN (BLOCK, n - i));
      if (sl_listener_sounding (listener, &note))
        g_assert_cmpint (note.word, !=, SL_HEARD_SETTLED);
    }
  sl_listener_end (listener);
  for (guint i = 0; i < sl_listener_notes (listener)->len; i++)
    g_assert_cmpint (note_at (listener, i)->word, !=, SL_HEARD_SETTLED);
}

/* Silence; hum from the start, and hum switched on; noise, and noise that grows; a voice. */
static void
test_no_note (void)
{
  const gsize n = 6 * RATE;
  g_autofree float *sound = g_new0 (float, n);
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);
  double turn = 0, formant[2] = { 0 };

  assert_nothing_settles (sound, n);
  for (int late = 0; late < 2; late++)
    {
      for (gsize i = 0; i < n; i++)
        sound[i] = (float) (1e-3 * g_rand_double_range (rand, -1, 1) +
                            (late && i < n / 4
                                 ? 0
                                 : 0.05 * sin (2 * G_PI * 50 * i / RATE) + 0.03 * sin (2 * G_PI * 100 * i / RATE)));
      assert_nothing_settles (sound, n);
      for (gsize i = 0; i < n; i++)
        sound[i] = (float) ((late && i < n / 4 ? 0.002 : 0.02) * g_rand_double_range (rand, -1, 1));
      assert_nothing_settles (sound, n);
    }
  for (gsize i = 0; i < n; i++)
    { /* pulses through a resonance, four syllables a second, a voice that rises and falls */
      const double t = (double) i / RATE, pitch = 110 * (1 + 0.08 * sin (2 * G_PI * 1.3 * t)), r = 0.98;
      const double loud = fmax (0, sin (2 * G_PI * 4 * t)), pulse = (turn += pitch / RATE) >= 1 ? 1 : 0;
      const double y = pulse * loud + 2 * r * cos (2 * G_PI * 600 / RATE) * formant[0] - r * r * formant[1];

      turn -= pulse;
      formant[1] = formant[0];
      formant[0] = y;
      sound[i] = (float) (0.1 * y + 1e-4 * g_rand_double_range (rand, -1, 1));
    }
  assert_nothing_settles (sound, n);
}

/* The peg is turned while the string sounds: the figure goes along, says so, and settles at the new pitch. */
static void
test_retuned (void)
{
  const MadeRoom room = { .noise_db = 40, .hum_db = G_MAXDOUBLE, .body_db = 20 };
  MadeString string = string_of (110, 0.3, 0);
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  guint gliding = 0, settled = 0;

  string.t60 = 8;
  string.turn_at = 1.5;
  string.turn_for = 1.5;
  string.turn_cents = 30;
  g_autofree float *sound = make (&string, 1, &room, RATE, 5);
  for (gsize i = 0; i < 5 * RATE; i += BLOCK)
    {
      const double t = (double) (i + BLOCK) / RATE;
      SlNote note;

      sl_listener_hear (listener, sound + i, BLOCK);
      if (!sl_listener_sounding (listener, &note))
        continue;
      if (t > 2.1 && t < 3)
        {
          gliding++;
          g_assert_cmpint (note.word, ==, SL_HEARD_GLIDING);
          g_assert_cmpfloat_with_epsilon (note.cents, 30 * (t - 1.7) / 1.5, 4);
        }
      else if (t > 4.3)
        {
          settled++;
          g_assert_cmpint (note.word, ==, SL_HEARD_SETTLED);
          g_assert_cmpfloat_with_epsilon (note.cents, 30, 0.3);
        }
    }
  g_assert_cmpuint (gliding, >, 20);
  g_assert_cmpuint (settled, >, 20);
}

/* Octaves are told apart, and neighbours by what is nearer. */
static void
test_candidates (void)
{
  const double candidates[] = { 82.41, 110, 164.81, 220, 246.94, 248.5, 329.63, 659.26 };

  for (guint i = 0; i < G_N_ELEMENTS (candidates); i++)
    {
      const MadeRoom room = { .noise_db = 30, .hum_db = 30, .hum_hz = 50, .body_db = 15 };
      const MadeString string = string_of (candidates[i] * exp2 (3 / 1200.0), 0.3, 0);
      g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
      g_autofree float *sound = make (&string, 1, &room, RATE, 2);

      sl_listener_expect_any (listener, candidates, G_N_ELEMENTS (candidates));
      hear (listener, sound, 2 * RATE, BLOCK);
      sl_listener_end (listener);
      g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
      g_assert_cmpfloat (note_at (listener, 0)->expected, ==, candidates[i]);
      g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->cents, 3, 0.3);
    }
}

/* How far a line of the fan leaves the straight one between two of its columns, turns. */
static double
bent (const float *turns, guint from, guint to)
{
  double most = 0;

  for (guint j = from; j <= to; j++)
    most = fmax (most, fabs (turns[j] - turns[from] - (turns[to] - turns[from]) * (j - from) / (to - from)));
  return most;
}

/* A line of the fan is level in tune, and rises straight by k Δf turns a second when sharp, whatever the rate. */
static void
check_fan (double off, guint rate)
{
  const MadeRoom room = { .noise_db = 50, .hum_db = G_MAXDOUBLE, .body_db = 30 };
  const MadeString string = string_of (110 + off, 0.3, 0);
  g_autoptr (SlListener) listener = sl_listener_new (rate, 110);
  g_autofree float *sound = make (&string, 1, &room, rate, 2);
  const guint from = (guint) (0.3 / SL_FAN_STEP_S), to = (guint) (1.2 / SL_FAN_STEP_S);
  float loudest = -INFINITY;
  SlNote note;
  SlFan fan;

  hear (listener, sound, 2 * rate, BLOCK);
  g_assert_true (sl_listener_sounding (listener, &note));
  sl_listener_fan (listener, &fan);
  g_assert_cmpuint (fan.n, >=, 80);
  g_assert_cmpint (fan.n_partials, >=, 5);
  for (int k = 0; k < 5; k++)
    {
      const double slope = (fan.turns[k][to] - fan.turns[k][from]) / ((to - from) * SL_FAN_STEP_S);

      g_assert_cmpfloat_with_epsilon (slope, made_partial (&string, k + 1) * off / string.f1, 0.01 * (k + 1));
      if (k < 4) /* the fifth has a node near where the string is plucked */
        g_assert_cmpfloat (bent (fan.turns[k], from, to), <, 0.002 * (k + 1));
      for (guint j = 0; j < fan.n; j++)
        loudest = fmaxf (loudest, fan.level[k][j]);
    }
  g_assert_cmpfloat (loudest, ==, 0);
  g_assert_true (isnan (fan.turns[11][fan.n - 1]) == isnan (fan.level[11][fan.n - 1]));
  sl_listener_expect (listener, 146.83);
  sl_listener_fan (listener, &fan);
  g_assert_cmpuint (fan.n, ==, 0);
}

static void
test_fan (void)
{
  const double offs[] = { 0, 0.5, -0.8, 9 };

  for (guint i = 0; i < G_N_ELEMENTS (offs); i++)
    for (guint rate = 44100; rate <= 48000; rate += 3900)
      check_fan (offs[i], rate);
}

/* What sounded when another note came to be waited for is not taken for it. */
static void
test_expect (void)
{
  const MadeRoom room = { .noise_db = 40, .hum_db = G_MAXDOUBLE, .body_db = 20 };
  const MadeString strings[] = { string_of (110, 0.3, 0), string_of (146.83, 3, 0) };
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  g_autofree float *sound = make (strings, 2, &room, RATE, 5);
  SlNote note;

  hear (listener, sound, RATE, BLOCK);
  g_assert_true (sl_listener_sounding (listener, &note));
  sl_listener_expect (listener, 146.83);
  for (gsize i = RATE; i < 5 * RATE; i += BLOCK)
    {
      sl_listener_hear (listener, sound + i, BLOCK);
      if (sl_listener_sounding (listener, &note))
        g_assert_cmpfloat_with_epsilon (note.onset, 3, ONSET_S);
    }
  sl_listener_end (listener);
  g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
  g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->frequency, 146.83, 0.02);
}

/* Samples at full scale are told, while they are heard and with the note; what is no number is silence. */
static void
test_faults (void)
{
  const MadeRoom room = MADE_SILENT_ROOM;
  const MadeString string = string_of (110, 0.3, 0);
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  g_autofree double *sound = made_sound (2 * RATE, RATE, &string, 1, &room, 1, NULL);
  g_autofree float *clipped = made_converted (sound, 2 * RATE, 3), *broken = made_converted (sound, 2 * RATE, 1);

  hear (listener, clipped, RATE / 2, BLOCK);
  g_assert_true (sl_listener_clips (listener));
  hear (listener, clipped + RATE / 2, RATE + RATE / 2, BLOCK);
  sl_listener_end (listener);
  g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
  g_assert_cmpint (note_at (listener, 0)->word, ==, SL_HEARD_CLIPPED);
  g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->cents, 0, 0.5);

  for (gsize i = RATE; i < 2 * RATE; i += 500)
    broken[i] = i % 1000 ? NAN : INFINITY;
  g_autoptr (SlListener) other = sl_listener_new (RATE, 110);
  hear (other, broken, 2 * RATE, BLOCK);
  g_assert_false (sl_listener_clips (other));
  g_assert_true (isfinite (sl_listener_level (other)));
  sl_listener_end (other);
  for (guint i = 0; i < sl_listener_notes (other)->len; i++)
    g_assert_cmpfloat_with_epsilon (note_at (other, i)->cents, 0, 0.5);
}

/* A sine of full scale is at 0 dB (AES17), silence far below. */
static void
test_level (void)
{
  g_autoptr (SlListener) listener = sl_listener_new (48000, 110);
  g_autofree float *sine = g_new (float, 48000), *silence = g_new0 (float, 48000);

  for (int i = 0; i < 48000; i++)
    sine[i] = (float) (0.1 * sin (2 * G_PI * 1000 * i / 48000));
  hear (listener, sine, 48000, BLOCK);
  g_assert_cmpfloat_with_epsilon (sl_listener_level (listener), -20, 0.5);
  hear (listener, silence, 48000, BLOCK);
  g_assert_cmpfloat (sl_listener_level (listener), <, -90);
}

/* Heard for minutes it holds no more than at first; a note goes on when its beginning is no longer kept. */
static void
test_long (void)
{
  const MadeRoom room = { .noise_db = 70, .hum_db = G_MAXDOUBLE, .body_db = 20 };
  MadeString string = string_of (110, 0.3, 0);
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  struct mallinfo2 before;

  string.t60 = 20;
  g_autofree float *sound = make (&string, 1, &room, RATE, 14);
  hear (listener, sound, 14 * RATE, BLOCK);
  sl_listener_end (listener);
  g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
  g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->length, 13.7, 0.1);
  g_assert_cmpfloat_with_epsilon (note_at (listener, 0)->frequency, 110, 0.01);
  sl_listener_clear (listener);
  before = mallinfo2 ();
  for (int i = 0; i < 30; i++)
    {
      hear (listener, sound, 2 * RATE, BLOCK);
      sl_listener_end (listener);
      g_assert_cmpuint (sl_listener_notes (listener)->len, ==, 1);
      sl_listener_clear (listener);
    }
  g_assert_cmpuint (mallinfo2 ().uordblks, <=, before.uordblks + 512 * 1024); /* small blocks wait to be used again */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/listener/six-notes", test_six_notes);
  g_test_add_func ("/listener/plucked-again", test_plucked_again);
  g_test_add_func ("/listener/begins-with-a-pluck", test_begins_with_a_pluck);
  g_test_add_func ("/listener/blocks", test_blocks);
  g_test_add_func ("/listener/no-note", test_no_note);
  g_test_add_func ("/listener/retuned", test_retuned);
  g_test_add_func ("/listener/candidates", test_candidates);
  g_test_add_func ("/listener/fan", test_fan);
  g_test_add_func ("/listener/expect", test_expect);
  g_test_add_func ("/listener/faults", test_faults);
  g_test_add_func ("/listener/level", test_level);
  g_test_add_func ("/listener/long", test_long);
  return g_test_run ();
}
