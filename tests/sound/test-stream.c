/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A listener that is left running: an hour of plucks with --all, some minutes otherwise. It keeps no more than a note's
 * length of sound, so the process is as large at the end as after its first minute. */
#include "../rounds.h"
#include "made-instruments.h"
#include "sound/listener.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define RATE 44100.0
#define PIECE_S 30.0
#define EVERY_S 2.5
#define PLUCKS 11
#define PIECES_ALL 120
#define BLOCK 441
#define MOST_GROWTH_KIB 256

static gboolean everything = FALSE;

static long
resident_kib (void)
{
  FILE *file = fopen ("/proc/self/statm", "r");
  long all = 0, resident = 0;

  g_assert_nonnull (file);
  g_assert_cmpint (fscanf (file, "%ld %ld", &all, &resident), ==, 2);
  fclose (file);
  return resident * (sysconf (_SC_PAGESIZE) / 1024);
}

/* Half a minute: strings plucked one after another, and one that rings through the silence at its end. */
static float *
piece (gsize n)
{
  MadeString strings[PLUCKS];
  const MadeRoom room = made_case (0, 0).room;
  g_autofree double *sound = NULL;

  for (guint i = 0; i < PLUCKS; i++)
    {
      strings[i] = made_case (2 * (int) i, 1).string;
      strings[i].start = 0.3 + EVERY_S * i;
      strings[i].stop = strings[i].start + EVERY_S;
    }
  sound = made_sound (n, RATE, strings, PLUCKS, &room, 1, NULL);
  return made_converted (sound, n, 1);
}

static void
test_memory (void)
{
  const gsize n = (gsize) (PIECE_S * RATE);
  const int pieces = everything ? PIECES_ALL : 2 + test_rounds (4);
  g_autofree float *sound = piece (n);
  g_autoptr (SlListener) listener = sl_listener_new (RATE, 110);
  double candidates[MADE_N_OPEN];
  guint notes = 0;
  long after_minute = 0;

  for (int i = 0; i < MADE_N_OPEN; i++)
    candidates[i] = made_open[i].hz;
  sl_listener_expect_any (listener, candidates, MADE_N_OPEN);
  for (int p = 0; p < pieces; p++)
    {
      for (gsize at = 0; at < n; at += BLOCK)
        if (sl_listener_hear (listener, sound + at, MIN (BLOCK, n - at)) > 0)
          {
            notes += sl_listener_notes (listener)->len;
            sl_listener_clear (listener);
          }
      if (p == 1)
        after_minute = resident_kib ();
    }
  g_test_message ("%g s, %u notes; %ld KiB after a minute, %ld at the end", pieces * PIECE_S, notes, after_minute,
                  resident_kib ());
  g_assert_cmpuint (notes, >=, (guint) pieces * (PLUCKS - 1));
#if !defined(__SANITIZE_ADDRESS__) /* which keeps what is freed for a while */
  g_assert_cmpint (resident_kib () - after_minute, <=, MOST_GROWTH_KIB);
#endif
}

int
main (int argc, char **argv)
{
  everything = argc > 1 && strcmp (argv[argc - 1], "--all") == 0;
  argc -= everything;
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stream/memory", test_memory);
  return g_test_run ();
}
