/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening held against sounds that a program of others made: Csound, with an orchestra that spells out the law of a
 * stiff string's partials in its own language, and with its own plucked string. */
#include "made-instruments.h"
#include "made-wav.h"
#include "sound/note.h"

#include <glib/gstdio.h>
#include <math.h>

#define RATE 48000
#define EVERY_S 3.5
#define LENGTH_S 3.0
#define BEFORE_S 0.3
#define NEAR_CENTS 0.05
#define B_WITHIN 0.05

/* What Csound makes of @score. */
static float *
played (const char *score, gsize *n)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("outsider-XXXXXX", &error);
  g_autofree char *orchestra = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "sound", "outsider.orc", NULL);
  g_autofree char *score_path = g_build_filename (folder, "notes.sco", NULL);
  g_autofree char *wav = g_build_filename (folder, "notes.wav", NULL), *said = NULL;
  const char *const argv[] = { "csound", "-d", "-m0", "-W", "-f", "-o", wav, orchestra, score_path, NULL };
  float *sound;
  int status, rate = 0;

  g_assert_true (g_file_set_contents (score_path, score, -1, &error));
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL,
                               NULL, &said, &status, &error));
  if (status != 0)
    g_test_message ("%s", said);
  g_assert_cmpint (status, ==, 0);
  sound = made_wav_read (wav, n, &rate, &error);
  g_assert_no_error (error);
  g_assert_cmpint (rate, ==, RATE);
  g_unlink (score_path);
  g_unlink (wav);
  g_rmdir (folder);
  return sound;
}

/* What is heard of the @i-th note of @sound. */
static SlNote
heard (const float *sound, gsize n, int i, double expected)
{
  const gsize first = (gsize) (i * EVERY_S * RATE), length = (gsize) ((BEFORE_S + LENGTH_S - 0.1) * RATE);
  SlNote note;

  g_assert_cmpuint (first + length, <=, n);
  g_assert_true (sl_note_estimate (sound + first, length, RATE, expected, &note));
  return note;
}

static double
cents (double f, double over)
{
  return 1200 * log2 (f / over);
}

static void
test_partials (void)
{
  g_autoptr (GString) score = g_string_new (NULL);
  g_autofree float *sound = NULL;
  gsize n = 0;

  g_string_append_printf (score, "i 3 0 %g 0.0012 0.0015\n", MADE_N_CASES * EVERY_S);
  for (int i = 0; i < MADE_N_CASES; i++)
    {
      const MadeCase c = made_case (i, 7);

      g_string_append_printf (score, "i 1 %.6f %g %.9f %.9g %.4f 0.3 %.4f\n", i * EVERY_S + BEFORE_S, LENGTH_S,
                              c.string.f1, c.string.b, MAX (2, c.string.t60), c.string.pluck);
    }
  sound = played (score->str, &n);
  for (int i = 0; i < MADE_N_CASES; i++)
    {
      const MadeCase c = made_case (i, 7);
      const SlNote note = heard (sound, n, i, c.expected);
      g_autofree char *name = made_case_name (i);

      g_test_message ("%s: off %.4f cent, u %.4f; B off %.2f %%; %d partials, %s", name,
                      cents (note.frequency, c.string.f1), note.cents_u, 100 * (note.inharmonicity / c.string.b - 1),
                      note.n_partials, sl_heard_word_names[note.word]);
      g_assert_cmpfloat (fabs (cents (note.frequency, c.string.f1)), <, NEAR_CENTS);
      g_assert_cmpfloat (fabs (cents (note.frequency, c.string.f1)), <, 4 * note.cents_u);
      g_assert_cmpfloat_with_epsilon (note.inharmonicity / c.string.b, 1, B_WITHIN);
      g_assert_cmpint (note.word, ==, SL_HEARD_SETTLED);
    }
}

/* The pitch that Csound's pluck has when @f is asked for: its loop holds a whole number of samples and is read in steps
 * of 1/256 of one; the average of neighbours adds half a sample to each round (its manual says the first, the figures
 * are from memory of its source). A loop is not stiff: B = 0. */
static double
loop_pitch (double f)
{
  const double held = floor (RATE / f), step = floor (f * (held * 256 + 128) / RATE);

  return RATE * step / (held * 256 + 128);
}

static void
test_loop (void)
{
  g_autoptr (GString) score = g_string_new (NULL);
  g_autofree float *sound = NULL;
  gsize n = 0;

  g_string_append_printf (score, "i 3 0 %g 0.001 0.001\n", MADE_N_OPEN * EVERY_S);
  for (int i = 0; i < MADE_N_OPEN; i++)
    g_string_append_printf (score, "i 4 %.6f %g 0.4 %.9f\n", i * EVERY_S + BEFORE_S, LENGTH_S, made_open[i].hz);
  sound = played (score->str, &n);
  for (int i = 0; i < MADE_N_OPEN; i++)
    {
      const double pitch = loop_pitch (made_open[i].hz);
      const SlNote note = heard (sound, n, i, made_open[i].hz);

      g_test_message ("%s: pitch %.4f, off %.4f cent, u %.4f; B %.2g, u %.2g; %d partials, %s", made_open[i].name,
                      pitch, cents (note.frequency, pitch), note.cents_u, note.inharmonicity, note.inharmonicity_u,
                      note.n_partials, sl_heard_word_names[note.word]);
      g_assert_cmpfloat (fabs (cents (note.frequency, pitch)), <, NEAR_CENTS);
      g_assert_cmpfloat (fabs (note.inharmonicity), <, MAX (1e-6, 4 * note.inharmonicity_u));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/outsider/partials", test_partials);
  g_test_add_func ("/outsider/loop", test_loop);
  return g_test_run ();
}
