/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening without a microphone: made sounds of plucked strings are heard, and what they become in the document is
 * held against what they were made of. */
#include "bench/profiles.h"
#include "bench/settings.h"
#include "setup/physics/intonation.h"

#include "plucked.h"

static void
check_nothing_read (Case *c)
{
  const SlReadingSet *set = sl_bench_get_set (c->bench);

  g_assert_cmpint (c->n_taken, ==, 0);
  g_assert_true (set == NULL || set->readings->len == 0);
}

/* Nothing was read so far, and the sentence that says why has @word in it. */
static void
check_refused (Case *c, const char *word)
{
  check_nothing_read (c);
  g_assert_nonnull (c->listen->advice);
  g_assert_nonnull (strstr (c->listen->advice, word));
}

static int
asked_string (Case *c, int *fret)
{
  SlQuestion question;

  if (!sl_listen_get_question (c->listen, &question))
    return 0;
  *fret = question.fret;
  return question.string;
}

/* Six strings, each open and at the 12th fret. */
static void
test_octaves (Case *c, gconstpointer data)
{
  static const double open[] = { -6.5, 3.25, 0, 12, -1, 4.75 }, octave[] = { 3, -2.5, 5.5, 0, 1.75, -4 };
  SlCrestPlace place;

  g_assert_cmpint (c->listen->at, ==, 0);
  g_assert_cmpint (c->listen->places->len, ==, 2 * N_STRINGS);
  for (int s = N_STRINGS; s >= 1; s--)
    {
      pluck (c, raised (open_hz[s - 1], open[s - 1]));
      g_assert_cmpstr (c->listen->advice, ==, NULL);
      g_assert_cmpint (c->string, ==, s);
      g_assert_cmpint (c->fret, ==, 0);
      pluck (c, raised (2 * open_hz[s - 1], open[s - 1] + octave[s - 1]));
      g_assert_cmpint (c->string, ==, s);
      g_assert_cmpint (c->fret, ==, 12);
      check_reading (c, s, 0, open[s - 1]);
      check_reading (c, s, 12, octave[s - 1]);
      sl_crest_place (sl_bench_get_analysis (c->bench), s, &place);
      g_assert_cmpfloat (place.read, ==, reading_of (c, s, 12)->value.v);
      /* sharp at the octave: the crest goes back (model 9.1) */
      g_assert_true (octave[s - 1] == 0 || (place.tuner > place.now) == (octave[s - 1] > 0));
    }
  g_assert_cmpint (c->n_taken, ==, 2 * N_STRINGS);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_DONE);
  g_assert_nonnull (sl_plucks_heard (c->listen->plucks, 3, 12));
  for (int i = 2 * N_STRINGS; i > 0; i--) /* a step each */
    sl_bench_undo (c->bench);
  g_assert_null (sl_bench_get_undo_name (c->bench));
}

/* One pluck after another without a pause: none is taken twice, none is lost. */
static void
test_stream (Case *c, gconstpointer data)
{
  const double every[] = { 2.15, 2.4, 2.9, 2.6 };
  MadeString strings[2 * N_STRINGS];
  double at = QUIET_S;

  for (int i = 0; i < 2 * N_STRINGS; i++)
    {
      strings[i] = (MadeString) MADE_PLAIN_STRING;
      strings[i].b = 5e-5;
      strings[i].f1 = raised (open_hz[N_STRINGS - 1 - i / 2], i % 2 == 0 ? i : 1200 + i);
      strings[i].start = at;
      strings[i].stop = at += every[i % 4];
    }
  hear_strings (c, strings, 2 * N_STRINGS, at);
  g_assert_cmpint (c->n_taken, ==, 2 * N_STRINGS);
  for (int s = 1; s <= N_STRINGS; s++)
    check_reading (c, s, 12, 1);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_DONE);
}

/* Another pluck of the same is averaged with it; what was undone is not; another tuning begins anew. */
static void
test_repeats (Case *c, gconstpointer data)
{
  const SlQuestion octave = sl_pitch_question (5, 12);
  double cents, uncertainty, once;
  int n;

  sl_listen_go_to (c->listen, 5, 0);
  pluck (c, open_hz[4]);
  pluck (c, raised (2 * open_hz[4], 3));
  g_assert_true (sl_plucks_mean (c->listen->plucks, c->bench, &octave, &cents, &once, &n));
  g_assert_cmpint (n, ==, 1);
  sl_listen_go_to (c->listen, 5, 12);
  pluck (c, raised (2 * open_hz[4], 5));
  g_assert_true (sl_plucks_mean (c->listen->plucks, c->bench, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 2);
  g_assert_cmpfloat_with_epsilon (cents, 4, once);
  /* two readings 2 cents apart: their standard deviation √2, of the mean 1; U = 2u (GUM 4.2.3, 6.2.1), rounded up */
  g_assert_cmpfloat_with_epsilon (uncertainty, 2, 0.2);
  sl_bench_undo (c->bench);
  g_assert_true (sl_plucks_mean (c->listen->plucks, c->bench, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 1);
  g_assert_cmpfloat (uncertainty, ==, once);
  sl_listen_go_to (c->listen, 5, 12);
  pluck (c, raised (2 * open_hz[4], 3.2));
  g_assert_true (sl_plucks_mean (c->listen->plucks, c->bench, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 2);
  g_assert_cmpfloat_with_epsilon (cents, 3.1, once);
  /* what is typed is not averaged with what was heard */
  sl_question_put (c->bench, &octave, 7);
  g_assert_false (sl_number_is_set (reading_of (c, 5, 12)->uncertainty));
  g_assert_false (sl_plucks_mean (c->listen->plucks, c->bench, &octave, &cents, &uncertainty, &n));
}

static void
test_tuned_meanwhile (Case *c, gconstpointer data)
{
  const SlQuestion open = sl_pitch_question (4, 0);
  double cents, uncertainty;
  int n;

  sl_listen_ask (c->listen, &open);
  pluck (c, raised (open_hz[3], -8));
  check_reading (c, 4, 0, -8);
  sl_listen_ask (c->listen, &open);
  pluck (c, raised (open_hz[3], 1));
  check_reading (c, 4, 0, 1);
  g_assert_true (sl_plucks_mean (c->listen->plucks, c->bench, &open, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 1);
  sl_listen_go_to (c->listen, 4, 12);
  pluck (c, raised (2 * open_hz[3], 1 + 2));
  check_reading (c, 4, 12, 2);
}

/* What is plucked is not what is asked. */
static void
test_wrong_note (Case *c, gconstpointer data)
{
  int fret;

  pluck (c, open_hz[4]);
  g_assert_cmpstr (c->listen->advice, ==, "This sounds like string 5 open.");
  pluck (c, 2 * open_hz[5]);
  g_assert_cmpstr (c->listen->advice, ==, "This sounds like string 6 at fret 12.");
  pluck (c, raised (open_hz[5], 200));
  g_assert_cmpstr (c->listen->advice, ==, "This sounds like string 6 at fret 2.");
  check_nothing_read (c);
  g_assert_cmpint (asked_string (c, &fret), ==, 6);
  pluck (c, open_hz[5]);
  g_assert_cmpint (c->n_taken, ==, 1);
  pluck (c, open_hz[5]);
  g_assert_cmpstr (c->listen->advice, ==, "This sounds like string 6 open.");
  g_assert_cmpint (c->n_taken, ==, 1);
}

/* A sound that says nothing for sure is none. */
static void
test_bad_sound (Case *c, gconstpointer data)
{
  c->gain = 5;
  pluck (c, open_hz[5]);
  check_refused (c, "Too loud");
  c->gain = 1;
  c->noise_db = -6;
  pluck (c, open_hz[5]);
  check_refused (c, "Too soft");
}

/* Two strings at once, and a peg that is turned while its string sounds. */
static void
test_unsettled (Case *c, gconstpointer data)
{
  MadeString strings[2] = { MADE_PLAIN_STRING, MADE_PLAIN_STRING };

  for (int i = 0; i < 2; i++)
    {
      strings[i].f1 = raised (open_hz[5 - i], 12 * i);
      strings[i].start = QUIET_S;
      strings[i].stop = QUIET_S + RINGS_S - 0.4;
    }
  hear_strings (c, strings, 2, QUIET_S + RINGS_S);
  check_refused (c, "damp");
  strings[0].turn_at = QUIET_S + 0.2;
  strings[0].turn_for = RINGS_S;
  strings[0].turn_cents = 60;
  hear_strings (c, strings, 1, QUIET_S + RINGS_S);
  check_refused (c, "peg");
  pluck (c, open_hz[5]);
  g_assert_cmpint (c->n_taken, ==, 1);
}

/* Strings are brought to their notes; nothing of that is a reading. */
static void
test_tuning (Case *c, gconstpointer data)
{
  int fret;

  sl_listen_set_programme (c->listen, SL_LISTEN_TUNE);
  pluck (c, raised (open_hz[5], -140));
  g_assert_cmpint (c->n_taken, ==, 0);
  g_assert_cmpint (asked_string (c, &fret), ==, 6);
  pluck (c, raised (open_hz[5], 0.4));
  g_assert_cmpint (c->n_taken, ==, 1);
  g_assert_cmpint (asked_string (c, &fret), ==, 5);
  pluck (c, open_hz[3]);
  g_assert_cmpstr (c->listen->advice, ==, "This sounds like string 4 open.");
  pluck (c, open_hz[4]);
  g_assert_cmpint (c->n_taken, ==, 2);
  g_assert_null (sl_bench_get_set (c->bench));
  g_assert_null (sl_bench_get_undo_name (c->bench));
}

static void
on_no_advice (SlListen *listen)
{
  g_assert_null (listen->advice);
}

/* A string is brought up while it sounds: nothing is said against turning the peg, and what it came to is taken. */
static void
test_turning (Case *c, gconstpointer data)
{
  MadeString string = MADE_PLAIN_STRING;

  string.f1 = raised (open_hz[5], -60);
  string.t60 = 8;
  string.start = QUIET_S;
  string.turn_at = 2;
  string.turn_for = 3;
  string.turn_cents = 60;
  sl_listen_set_programme (c->listen, SL_LISTEN_TUNE);
  g_signal_connect (c->listen, "changed", G_CALLBACK (on_no_advice), NULL);
  hear_strings (c, &string, 1, 8);
  g_assert_cmpint (c->n_taken, ==, 1);
}

static void
on_changed_count (SlListen *listen, int *counts)
{
  counts[listen->same]++;
}

/* Whoever draws is told when there is nothing new to draw: in a room with noise alone, and not while a string sounds.
 */
static void
test_same (Case *c, gconstpointer data)
{
  MadeString string = MADE_PLAIN_STRING;
  int counts[2] = { 0 };

  string.f1 = open_hz[5];
  string.start = 2;
  g_signal_connect (c->listen, "changed", G_CALLBACK (on_changed_count), counts);
  hear_strings (c, &string, 1, 1.9);
  g_assert_cmpint (counts[FALSE], ==, 1); /* the first sound */
  g_assert_cmpint (counts[TRUE], >, 20);
  string.start = 0.1;
  counts[FALSE] = 0;
  hear_strings (c, &string, 1, 1.5);
  g_assert_cmpint (counts[FALSE], >, 20);
  sl_listen_step (c->listen, 1);
  g_assert_false (c->listen->same);
}

/* A fret is held against its open string, which is asked first. */
static void
test_open_first (Case *c, gconstpointer data)
{
  const SlQuestion octave = sl_pitch_question (2, 12);
  int fret;

  sl_listen_ask (c->listen, &octave);
  g_assert_cmpint (asked_string (c, &fret), ==, 2);
  g_assert_cmpint (fret, ==, 0);
  sl_listen_step (c->listen, 1);
  pluck (c, 2 * open_hz[1]);
  check_refused (c, "string 2 open first");
  asked_string (c, &fret);
  g_assert_cmpint (fret, ==, 0);
  pluck (c, raised (open_hz[1], 6));
  pluck (c, raised (2 * open_hz[1], 6 + 1.5));
  check_reading (c, 2, 12, 1.5);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_DONE);
  sl_listen_ask (c->listen, &octave);
  asked_string (c, &fret);
  g_assert_cmpint (fret, ==, 12);
}

/* Every fret, string by string from the open one up; where one is gone past, it stays unread. */
static void
test_frets (Case *c, gconstpointer data)
{
  int fret;

  sl_listen_set_programme (c->listen, SL_LISTEN_FRETS);
  g_assert_cmpint (c->listen->places->len, ==, N_STRINGS * (1 + sl_bench_get_profile (c->bench)->neck.frets));
  pluck (c, open_hz[5]);
  pluck (c, raised (open_hz[5], 100 + 2));
  check_reading (c, 6, 1, 2);
  sl_listen_step (c->listen, 1);
  asked_string (c, &fret);
  g_assert_cmpint (fret, ==, 3);
  pluck (c, raised (open_hz[5], 300 - 3));
  check_reading (c, 6, 3, -3);
  g_assert_null (reading_of (c, 6, 2));
}

/* With the strings slack there is no pitch; after work there is a set of its own. */
static void
test_sets (Case *c, gconstpointer data)
{
  SlReading action = sl_reading_init (SL_READ_ACTION);
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);

  action.string = 6;
  action.fret = 12;
  action.value = sl_number (2.5);
  sl_bench_put_reading (c->bench, "action", action);
  {
    g_auto (SlEdit) edit = sl_bench_begin_edit (c->bench, "slack", SL_CHANGED_READINGS, TRUE);

    edit.set->strings = SL_STRINGS_SLACK;
  }
  pluck (c, open_hz[5]);
  g_assert_cmpint (c->n_taken, ==, 0);
  g_assert_nonnull (strstr (c->listen->advice, "slack"));
  sl_bench_undo (c->bench);
  {
    g_auto (SlEdit) edit = sl_bench_begin_edit (c->bench, "earlier", SL_CHANGED_READINGS, TRUE);

    g_free (edit.set->taken);
    edit.set->taken = g_strdup ("2026-02-09T10:00:00Z"); /* before the work, which is done now */
  }
  turn.amount = sl_number (-0.1);
  sl_bench_put_operation (c->bench, "turn", turn);
  sl_edit_set_done (c->bench, SL_OP_TURN_ROD, TRUE);
  pluck (c, open_hz[5]);
  g_assert_cmpint (c->n_taken, ==, 1);
  g_assert_cmpint (sl_bench_get_visit (c->bench)->sets->len, ==, 2);
  g_assert_cmpint (sl_bench_get_set (c->bench)->readings->len, ==, 1);
  sl_bench_undo (c->bench);
  g_assert_cmpint (sl_bench_get_visit (c->bench)->sets->len, ==, 1);
}

/* The shop's reference and temperament: of notes; a frequency that the profile gives stands. */
static void
test_reference (Case *c, gconstpointer data)
{
  static const double kept[] = { 0, 0, -3, 0, 2, 0, 0, 0, 0, 0, 0, -5.5 }; /* D, E and B */
  SlProfile *own = sl_starting_profile ("flat-top");

  sl_settings_set (SL_SETTING_REFERENCE_PITCH, g_variant_new_double (442));
  g_assert_cmpfloat_with_epsilon (sl_listen_get_expected (c->listen), open_hz[5] * 442 / 440, 1e-4);
  sl_settings_set (SL_SETTING_TEMPERAMENT,
                   g_variant_new_fixed_array (G_VARIANT_TYPE_DOUBLE, kept, G_N_ELEMENTS (kept), sizeof (double)));
  g_assert_cmpfloat_with_epsilon (sl_listen_open_frequency (own, 5), 442.0 / 4, 1e-4);
  g_assert_cmpfloat_with_epsilon (sl_listen_open_frequency (own, 4), raised (open_hz[3] * 442 / 440, -3), 1e-4);
  g_assert_cmpfloat_with_epsilon (sl_listen_open_frequency (own, 2), raised (open_hz[1] * 442 / 440, -5.5), 1e-4);
  own->strings[4].frequency = sl_number (109.5);
  g_assert_cmpfloat (sl_listen_open_frequency (own, 5), ==, 109.5);
  sl_profile_free (own);
  pluck (c, raised (open_hz[5] * 442 / 440, 2 + 1));
  check_reading (c, 6, 0, 1);
  sl_settings_set (SL_SETTING_REFERENCE_PITCH, g_variant_new_double (440));
  sl_settings_set (SL_SETTING_TEMPERAMENT, g_variant_new ("ad", NULL));
}

int
main (int argc, char **argv)
{
  static const struct
  {
    const char *name;
    void (*run) (Case *c, gconstpointer data);
  } tests[] = {
    { "/listen/octaves", test_octaves },
    { "/listen/stream", test_stream },
    { "/listen/repeats", test_repeats },
    { "/listen/tuned-meanwhile", test_tuned_meanwhile },
    { "/listen/wrong-note", test_wrong_note },
    { "/listen/bad-sound", test_bad_sound },
    { "/listen/unsettled", test_unsettled },
    { "/listen/tuning", test_tuning },
    { "/listen/turning", test_turning },
    { "/listen/same", test_same },
    { "/listen/open-first", test_open_first },
    { "/listen/frets", test_frets },
    { "/listen/sets", test_sets },
    { "/listen/reference", test_reference },
  };

  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (tests); i++)
    g_test_add (tests[i].name, Case, NULL, set_up, tests[i].run, tear_down);
  return g_test_run ();
}
