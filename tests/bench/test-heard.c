/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is heard from recordings, and from devices at a sound server of the test's own (tests/sound-server.sh). */
#include "bench/recording.h"
#include "bench/settings.h"

#include <signal.h>

#include "made-wav.h"
#include "plucked.h"
#include "../file/support.h"

/* ---- recordings ---- */

#define EVERY_S 2.5

/* A recording of plucks one after another; its folder is the caller's. */
static char *
write_plucks (const char *folder, const double *hz, guint n, int rate)
{
  const MadeRoom room = room_with (45);
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
  SlRecording *recording = sl_recording_new (c->bench, file, on_read, trouble, &error);

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
  GArray *rows = recording->rows;

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

static void
on_played (GPid pid, int status, gpointer plays)
{
  *(gboolean *) plays = FALSE;
}

static void
play (const char *path, gboolean *plays)
{
  const char *line[] = { "paplay", path, NULL };
  GPid pid;

  g_assert_true (g_spawn_async (NULL, (char **) line, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL,
                                &pid, NULL));
  g_child_watch_add (pid, on_played, plays);
  *plays = TRUE;
}

/* What is played into a sound server of the test's own is heard from it, taken, and seen to be muted and to go. */
static void
test_server (Case *c, gconstpointer data)
{
  const double hz[] = { raised (open_hz[5], 5), raised (2 * open_hz[5], 5 + 2.5) };
  char *folder = test_folder ();
  g_autofree char *path = write_plucks (folder, hz, G_N_ELEMENTS (hz), 48000);
  gboolean plays = FALSE;

  sl_listen_start (c->listen);
  g_assert_cmpint (c->listen->state, ==, SL_LISTEN_WAITING);
  while (!(sl_listen_get_level (c->listen) > -1000)) /* sound comes */
    g_main_context_iteration (NULL, TRUE);
  while (c->n_taken < 2) /* played again where the machine was too busy to play it whole */
    {
      if (!plays)
        play (path, &plays);
      g_main_context_iteration (NULL, TRUE);
    }
  check_reading (c, 6, 0, 5);
  check_reading (c, 6, 12, 2.5);
  while (plays)
    g_main_context_iteration (NULL, TRUE);
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
  g_test_init (&argc, &argv, NULL);
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL); /* no warning of GStreamer: see tests/meson.build */
  g_test_add ("/heard/recording", Case, NULL, set_up, test_recording, tear_down);
  if (g_getenv ("SL_SOUND_SERVER") != NULL)
    g_test_add ("/heard/server", Case, NULL, set_up, test_server, tear_down);
  g_test_add ("/heard/no-device", Case, NULL, set_up, test_no_device, tear_down); /* there is no server from here on */
  return g_test_run ();
}
