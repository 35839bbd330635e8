/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plucked.h"

#include "bench/profiles.h"

const double open_hz[N_STRINGS] = { 329.6276, 246.9417, 195.9977, 146.8324, 110.0000, 82.4069 };

static void
on_taken (SlListen *listen, int string, int fret, Case *c)
{
  c->n_taken++;
  c->string = string;
  c->fret = fret;
}

void
set_up (Case *c, gconstpointer data)
{
  c->bench = sl_bench_new (sl_starting_profile ("flat-top"));
  c->listen = sl_listen_new (c->bench);
  c->gain = 1;
  c->noise_db = 45;
  g_signal_connect (c->listen, "taken", G_CALLBACK (on_taken), c);
}

void
tear_down (Case *c, gconstpointer data)
{
  g_assert_finalize_object (c->listen);
  g_assert_finalize_object (c->bench);
}

double
raised (double hz, double cents)
{
  return hz * exp2 (cents / 1200);
}

MadeRoom
room_with (double noise_db)
{
  return (MadeRoom){ .noise_db = noise_db, .pink = 0.5, .hum_db = 45, .hum_hz = 50, .body_db = G_MAXDOUBLE };
}

void
hear_strings (Case *c, const MadeString *strings, guint n_strings, double seconds)
{
  const MadeRoom room = room_with (c->noise_db);
  const gsize n = (gsize) (seconds * RATE);
  g_autofree double *sound = made_sound (n, RATE, strings, n_strings, &room, ++c->seed, NULL);
  g_autofree float *converted = made_converted (sound, n, c->gain);

  for (gsize i = 0; i < n; i += 1024)
    sl_listen_hear (c->listen, converted + i, MIN (1024, n - i), RATE);
}

void
pluck (Case *c, double hz)
{
  MadeString string = MADE_PLAIN_STRING;

  string.f1 = hz;
  string.b = 5e-5;
  string.start = QUIET_S;
  string.stop = QUIET_S + RINGS_S - 0.4;
  hear_strings (c, &string, 1, QUIET_S + RINGS_S);
}

const SlReading *
reading_of (Case *c, int string, int fret)
{
  const SlQuestion question = sl_pitch_question (string, fret);
  const SlReadingSet *set = sl_bench_get_set (c->bench);
  const int place = sl_question_find (set, &question);

  return place < 0 ? NULL : &g_array_index (set->readings, SlReading, place);
}

/* U covers some 95 % of what is heard, so that of a dozen one may lie outside it; none half as far again and a bit. */
void
check_reading (Case *c, int string, int fret, double cents)
{
  const SlReading *reading = reading_of (c, string, fret);

  g_assert_nonnull (reading);
  g_test_message ("string %d fret %d: %.3f ± %.3f, made %.3f", string, fret, reading->value.v, reading->uncertainty.v,
                  cents);
  g_assert_cmpfloat (reading->uncertainty.v, >=, 0.001);
  g_assert_cmpfloat (reading->uncertainty.v, <=, 0.5);
  g_assert_cmpfloat_with_epsilon (reading->value.v, cents, 2 * reading->uncertainty.v);
}
