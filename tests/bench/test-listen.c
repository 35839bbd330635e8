/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening without a microphone: made sounds of plucked strings (tests/sound) are heard, and what they become in the
 * document is held against what they were made of. */
#include "bench/listen.h"
#include "bench/profiles.h"
#include "bench/recording.h"
#include "bench/settings.h"
#include "setup/physics/intonation.h"

#include <signal.h>

#include "made-partials.h"
#include "made-wav.h"
#include "../file/support.h"

#define RATE 22050
#define QUIET_S 0.3
#define RINGS_S 3.2
#define N_STRINGS 6

/* E2 A2 D3 G3 B3 E4 in equal temperament on A4 = 440 Hz (ISO 16), string 1 first. */
static const double open_hz[] = { 329.6276, 246.9417, 195.9977, 146.8324, 110.0000, 82.4069 };

typedef struct
{
  SlBench *bench;
  SlListen *listen;
  guint32 seed;
  int n_taken, string, fret; /* the last */
  double gain, noise_db;
} Case;

static void
on_taken (SlListen *listen, int string, int fret, Case *c)
{
  c->n_taken++;
  c->string = string;
  c->fret = fret;
}

static void
set_up (Case *c, gconstpointer data)
{
  c->bench = sl_bench_new (sl_starting_profile ("flat-top"));
  c->listen = sl_listen_new (c->bench);
  c->gain = 1;
  c->noise_db = 45;
  g_signal_connect (c->listen, "taken", G_CALLBACK (on_taken), c);
}

static void
tear_down (Case *c, gconstpointer data)
{
  g_assert_finalize_object (c->listen);
  g_assert_finalize_object (c->bench);
}

static double
raised (double hz, double cents)
{
  return hz * exp2 (cents / 1200);
}

/* One or more strings plucked after a quiet moment in a room with noise and hum. */
static void
hear_strings (Case *c, const MadeString *strings, guint n_strings, double seconds)
{
  const MadeRoom room = { .noise_db = c->noise_db, .pink = 0.5, .hum_db = 45, .hum_hz = 50, .body_db = G_MAXDOUBLE };
  const gsize n = (gsize) (seconds * RATE);
  g_autofree double *sound = made_sound (n, RATE, strings, n_strings, &room, ++c->seed, NULL);
  g_autofree float *converted = made_converted (sound, n, c->gain);

  for (gsize i = 0; i < n; i += 1024)
    sl_listen_hear (c->listen, converted + i, MIN (1024, n - i), RATE);
}

/* A hand on the string before the next is plucked. */
static void
pluck (Case *c, double hz)
{
  MadeString string = MADE_PLAIN_STRING;

  string.f1 = hz;
  string.b = 5e-5;
  string.start = QUIET_S;
  string.stop = QUIET_S + RINGS_S - 0.4;
  hear_strings (c, &string, 1, QUIET_S + RINGS_S);
}

static const SlReading *
reading_of (Case *c, int string, int fret)
{
  const SlQuestion question = sl_pitch_question (string, fret);
  const SlReadingSet *set = sl_bench_get_set (c->bench);
  const int place = sl_question_find (set, &question);

  return place < 0 ? NULL : &g_array_index (set->readings, SlReading, place);
}

/* U covers some 95 % of what is heard, so that of a dozen one may lie outside it; none half as far again and a bit. */
static void
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

static void
check_nothing_read (Case *c)
{
  const SlReadingSet *set = sl_bench_get_set (c->bench);

  g_assert_cmpint (c->n_taken, ==, 0);
  g_assert_true (set == NULL || set->readings->len == 0);
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
  g_assert_nonnull (sl_listen_heard (c->listen, 3, 12));
  for (int i = 2 * N_STRINGS; i > 0; i--) /* a step each */
    sl_bench_undo (c->bench);
  g_assert_null (sl_bench_get_undo_name (c->bench));
}

/* One pluck after another without a pause: none is taken twice, none is lost. */
static void
test_stream (Case *c, gconstpointer data)
{
  const double every[] = { 1.45, 1.9, 2.3, 2.6 };
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
  g_assert_true (sl_listen_get_mean (c->listen, &octave, &cents, &once, &n));
  g_assert_cmpint (n, ==, 1);
  sl_listen_go_to (c->listen, 5, 12);
  pluck (c, raised (2 * open_hz[4], 5));
  g_assert_true (sl_listen_get_mean (c->listen, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 2);
  g_assert_cmpfloat_with_epsilon (cents, 4, once);
  /* two readings 2 cents apart: their standard deviation √2, of the mean 1; U = 2u (GUM 4.2.3, 6.2.1), rounded up */
  g_assert_cmpfloat_with_epsilon (uncertainty, 2, 0.2);
  sl_bench_undo (c->bench);
  g_assert_true (sl_listen_get_mean (c->listen, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 1);
  g_assert_cmpfloat (uncertainty, ==, once);
  sl_listen_go_to (c->listen, 5, 12);
  pluck (c, raised (2 * open_hz[4], 3.2));
  g_assert_true (sl_listen_get_mean (c->listen, &octave, &cents, &uncertainty, &n));
  g_assert_cmpint (n, ==, 2);
  g_assert_cmpfloat_with_epsilon (cents, 3.1, once);
  /* what is typed is not averaged with what was heard */
  sl_question_put (c->bench, &octave, 7);
  g_assert_false (sl_number_is_set (reading_of (c, 5, 12)->uncertainty));
  g_assert_false (sl_listen_get_mean (c->listen, &octave, &cents, &uncertainty, &n));
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
  g_assert_true (sl_listen_get_mean (c->listen, &open, &cents, &uncertainty, &n));
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
  check_nothing_read (c);
  g_assert_nonnull (strstr (c->listen->advice, "Too loud"));
  c->gain = 1;
  c->noise_db = -6;
  pluck (c, open_hz[5]);
  check_nothing_read (c);
  g_assert_nonnull (strstr (c->listen->advice, "Too soft"));
  c->noise_db = 45;
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
  check_nothing_read (c);
  g_assert_nonnull (strstr (c->listen->advice, "string 2 open first"));
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

/* ---- recordings ---- */

#define EVERY_S 2.5

/* A recording of plucks one after another; its folder is the caller's. */
static char *
write_plucks (const char *folder, const double *hz, guint n, int rate)
{
  const MadeRoom room = { .noise_db = 45, .pink = 0.5, .hum_db = 45, .hum_hz = 50, .body_db = G_MAXDOUBLE };
  const gsize length = (gsize) (EVERY_S * (n + 1) * rate);
  const double whole = 1;
  g_autofree MadeString *strings = g_new (MadeString, n);
  g_autofree double *sound = NULL;
  char *path = g_build_filename (folder, "plucks.wav", NULL);

  for (guint i = 0; i < n; i++)
    {
      strings[i] = (MadeString) MADE_PLAIN_STRING;
      strings[i].f1 = hz[i];
      strings[i].start = QUIET_S + EVERY_S * i;
      strings[i].stop = strings[i].start + EVERY_S;
    }
  sound = made_sound (length, rate, strings, n, &room, 7, NULL);
  g_assert_true (made_wav_write (path, sound, length, rate, 16, &whole, 1, NULL));
  return path;
}

static void
on_read (gpointer owner, const char *trouble)
{
  *(char **) owner = g_strdup (trouble == NULL ? "" : trouble);
}

static SlRecording *
read_plucks (Case *c, const double *hz, guint n, char **trouble)
{
  char *folder = test_folder ();
  g_autofree char *path = write_plucks (folder, hz, n, RATE);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlRecording *recording = sl_recording_new (c->bench, c->listen->plucks, file, on_read, trouble, &error);

  g_assert_no_error (error);
  while (*trouble == NULL)
    g_main_context_iteration (NULL, TRUE);
  test_folder_free (folder);
  return recording;
}

/* Strings 6 and 5 open and at the 12th fret, string 5 played on to fret 2: a table, and one step. */
static void
test_recording (Case *c, gconstpointer data)
{
  const double e = raised (open_hz[5], -3), a = raised (open_hz[4], 2);
  const double hz[] = { e, raised (2 * e, 4), a, raised (2 * a, -1.5), a, raised (a, 101), raised (a, 199) };
  static const struct
  {
    int string, fret;
    double cents;
  } made[] = { { 6, 0, -3 }, { 6, 12, 4 }, { 5, 0, 2 }, { 5, 12, -1.5 }, { 5, 0, 2 }, { 5, 1, 1 }, { 5, 2, -1 } };
  g_autofree char *trouble = NULL, *left = NULL;
  g_autoptr (SlRecording) recording = read_plucks (c, hz, G_N_ELEMENTS (hz), &trouble);
  GArray *rows = sl_recording_rows (recording);

  g_assert_cmpstr (trouble, ==, "");
  g_assert_cmpint (rows->len, ==, G_N_ELEMENTS (made));
  for (guint i = 0; i < rows->len; i++)
    {
      const SlRecordingRow *row = &g_array_index (rows, SlRecordingRow, i);

      g_assert_cmpint (row->string, ==, made[i].string);
      g_assert_cmpint (row->fret, ==, made[i].fret);
      g_assert_true (row->wanted);
      g_assert_cmpfloat_with_epsilon (row->note.onset, QUIET_S + EVERY_S * i, 0.05);
      g_assert_cmpfloat_with_epsilon (sl_recording_cents (recording, row), made[i].cents, 0.1);
    }
  g_array_index (rows, SlRecordingRow, 6).fret = 3; /* a person is wrong */
  g_array_index (rows, SlRecordingRow, 5).wanted = FALSE;
  left = sl_recording_accept (recording);
  g_assert_nonnull (left);
  for (guint i = 0; i < 4; i++)
    check_reading (c, made[i].string, made[i].fret, made[i].cents);
  g_assert_null (reading_of (c, 5, 1));
  g_assert_null (reading_of (c, 5, 3));
  sl_bench_undo (c->bench);
  g_assert_null (sl_bench_get_undo_name (c->bench));
  g_assert_null (reading_of (c, 6, 0));
}

/* ---- the device ---- */

static void
call (const char *line)
{
  g_autofree char *said = NULL;

  g_assert_true (g_spawn_command_line_sync (line, &said, NULL, NULL, NULL));
}

/* What is played into a sound server of the test's own is heard from it, taken, and seen to be muted and to go. */
static void
test_server (Case *c, gconstpointer data)
{
  const double hz[] = { raised (open_hz[5], 5), raised (2 * open_hz[5], 5 + 2.5) };
  char *folder = test_folder ();
  g_autofree char *path = write_plucks (folder, hz, G_N_ELEMENTS (hz), 48000);
  const char *play[] = { "paplay", path, NULL };

  if (g_getenv ("SL_SOUND_SERVER") == NULL)
    {
      g_test_skip ("no sound server of its own: see tests/sound-server.sh");
      test_folder_free (folder);
      return;
    }
  sl_listen_start (c->listen);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_WAITING);
  while (!(sl_listen_get_level (c->listen) > -1000)) /* sound comes */
    g_main_context_iteration (NULL, TRUE);
  g_assert_true (g_spawn_async (NULL, (char **) play, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL));
  while (c->n_taken < 2)
    g_main_context_iteration (NULL, TRUE);
  check_reading (c, 6, 0, 5);
  check_reading (c, 6, 12, 2.5);
  /* another device is chosen, which is plugged in later */
  sl_settings_set (SL_SETTING_LISTEN_DEVICE, g_variant_new_string ("plugged.monitor"));
  while (c->listen->state != SL_LISTEN_TROUBLE)
    g_main_context_iteration (NULL, TRUE);
  call ("pactl load-module module-null-sink sink_name=plugged");
  while (c->listen->state == SL_LISTEN_TROUBLE)
    g_main_context_iteration (NULL, TRUE);
  g_assert_null (c->listen->trouble);
  call ("pactl set-source-mute plugged.monitor 1");
  while (c->listen->advice == NULL || strstr (c->listen->advice, "muted") == NULL)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpint (kill (atoi (g_getenv ("SL_SOUND_SERVER")), SIGTERM), ==, 0);
  while (c->listen->state != SL_LISTEN_TROUBLE)
    g_main_context_iteration (NULL, TRUE);
  g_assert_nonnull (c->listen->trouble);
  sl_settings_set (SL_SETTING_LISTEN_DEVICE, g_variant_new_string (""));
  test_folder_free (folder);
}

/* Without a sound server there is a sentence, and what is typed is taken; sound ends the trouble. */
static void
test_no_device (Case *c, gconstpointer data)
{
  const SlQuestion open = sl_pitch_question (6, 0);

  g_setenv ("PULSE_SERVER", "unix:/nowhere/at/all", TRUE);
  sl_listen_start (c->listen);
  while (c->listen->state != SL_LISTEN_TROUBLE)
    g_main_context_iteration (NULL, TRUE);
  g_assert_nonnull (c->listen->trouble);
  sl_question_put (c->bench, &open, 3);
  g_assert_cmpfloat (reading_of (c, 6, 0)->value.v, ==, 3);
  sl_listen_start (c->listen);
  while (c->listen->state != SL_LISTEN_TROUBLE)
    g_main_context_iteration (NULL, TRUE);
  pluck (c, open_hz[5]);
  g_assert_null (c->listen->trouble);
  check_reading (c, 6, 0, 0);
  sl_listen_stop (c->listen);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_OFF);
}

int
main (int argc, char **argv)
{
  static const struct
  {
    const char *name;
    void (*run) (Case *c, gconstpointer data);
  } tests[] = {
    { "/listen/octaves", test_octaves },       { "/listen/stream", test_stream },
    { "/listen/repeats", test_repeats },       { "/listen/tuned-meanwhile", test_tuned_meanwhile },
    { "/listen/wrong-note", test_wrong_note }, { "/listen/bad-sound", test_bad_sound },
    { "/listen/tuning", test_tuning },         { "/listen/open-first", test_open_first },
    { "/listen/frets", test_frets },           { "/listen/sets", test_sets },
    { "/listen/reference", test_reference },   { "/listen/recording", test_recording },
    { "/listen/server", test_server },         { "/listen/no-device", test_no_device },
  };

  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (tests); i++)
    g_test_add (tests[i].name, Case, NULL, set_up, tests[i].run, tear_down);
  return g_test_run ();
}
