/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shelves of 10,000 and 50,000 invented profiles: the first listing with an index and without, a search keystroke, the
 * memory the entries take, and what it costs to look every second whether anything changed on a share. Figures only; no
 * test depends on them. Files and index lie in a folder of its own, removed at the end. */
#include "file/folder-poll.h"
#include "file/shelf.h"
#include "remote-file.h"
#include "shelf-maker.h"
#include "support.h"

#include <malloc.h>
#include <stdio.h>
#include <time.h>

#define RUNS 5
#define QUIET_LOOKS 60 /* a minute of them */

#define SLOW_PROFILES 200 /* on a share that takes SLOW_US for each question */
#define SLOW_US 20000

static double
seconds_since (gint64 start)
{
  return (double) (g_get_monotonic_time () - start) / G_USEC_PER_SEC;
}

static GPtrArray *
timed (GFile *folder, GFile *index_folder, guint n, double *seconds)
{
  gint64 start = g_get_monotonic_time ();
  GPtrArray *entries = sl_shelf_read (folder, index_folder, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);

  *seconds = seconds_since (start);
  g_assert_cmpuint (entries->len, ==, n);
  return entries;
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  double first = *(const double *) a, second = *(const double *) b;

  return (first > second) - (first < second);
}

/* Typing the text letter by letter: every keystroke looks through all entries. The slowest of them. */
static double
slowest_keystroke (const GPtrArray *entries, const char *typed, guint *found)
{
  double slowest = 0;

  for (gsize n = 1; n <= strlen (typed); n++)
    {
      g_autofree char *so_far = g_strndup (typed, n);
      gint64 start = g_get_monotonic_time ();
      g_auto (GStrv) words = sl_shelf_words (so_far);

      *found = 0;
      for (guint i = 0; i < entries->len; i++)
        *found += sl_shelf_entry_matches (g_ptr_array_index (entries, i), words);
      slowest = MAX (slowest, seconds_since (start));
    }
  return slowest;
}

/* The same questions asked one after the other are the yardstick. */
static void
bench_share (void)
{
  char *folder = test_folder (), *index = test_folder ();
  g_autoptr (GFile) local = g_file_new_for_path (folder), index_folder = g_file_new_for_path (index),
                    share = test_remote_file_new (local);
  g_autoptr (GPtrArray) names = NULL;
  double one_by_one, unremembered, remembered;
  gint64 start;

  maker_fill (folder, SLOW_PROFILES);
  names = sl_shelf_read (local, NULL, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);
  test_remote_file_slow (TRUE, 0, SLOW_US);
  start = g_get_monotonic_time ();
  for (guint i = 0; i < names->len; i++)
    {
      g_autoptr (GFile) file = g_file_get_child (share, ((SlShelfEntry *) names->pdata[i])->name);

      sl_shelf_entry_unref (sl_shelf_entry_read (file, &SL_SHOP_DEFAULT, NULL));
    }
  one_by_one = seconds_since (start);
  start = g_get_monotonic_time ();
  g_ptr_array_unref (sl_shelf_read (share, index_folder, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL));
  unremembered = seconds_since (start);
  start = g_get_monotonic_time ();
  g_ptr_array_unref (sl_shelf_read (share, index_folder, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL));
  remembered = seconds_since (start);
  test_remote_file_slow (FALSE, 0, 0);
  printf ("%d profiles on a share that takes %d ms for each question\n", SLOW_PROFILES, SLOW_US / 1000);
  printf ("  read one after the other:     %.2f s (yardstick)\n", one_by_one);
  printf ("  listing, nothing remembered:  %.2f s (ratio %.2f)\n", unremembered, unremembered / one_by_one);
  printf ("  listing, remembered:          %.2f s (ratio %.2f)\n", remembered, remembered / one_by_one);
  test_folder_free (folder);
  test_folder_free (index);
}

/* Of a core, in percent: a minute of a quiet folder, and how long it takes to see one change. */
static void
bench_quiet (const char *path, GFile *folder)
{
  SlFolderPoll *poll = sl_folder_poll_new (folder, sl_document_has_name, NULL);
  g_autoptr (GHashTable) changed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (SlProfile) profile = maker_profile (1);
  g_autofree char *other = NULL;
  gint64 start;
  clock_t used;

  for (int i = 0; i < 10; i++) /* the first looks, and those for all files' dates */
    sl_folder_poll_look (poll, changed);
  g_assert_cmpuint (g_hash_table_size (changed), ==, 0);
  used = clock ();
  for (int i = 0; i < QUIET_LOOKS; i++)
    sl_folder_poll_look (poll, changed);
  printf ("  looking every second, quiet:  %.3f %% of a core\n",
          (double) (clock () - used) / CLOCKS_PER_SEC * 100 / QUIET_LOOKS);
  other = maker_write (path, "of-another" SL_DOCUMENT_EXTENSION, profile);
  start = g_get_monotonic_time ();
  sl_folder_poll_look (poll, changed);
  printf ("  a look that finds one change: %.1f ms\n", seconds_since (start) * 1e3);
  g_assert_true (g_hash_table_contains (changed, "of-another" SL_DOCUMENT_EXTENSION));
  sl_folder_poll_free (poll);
}

/* Promises: of the first listing, of one that is remembered, of a keystroke. */
static void
bench (guint n, double unremembered_s, double remembered_s, double keystroke_s)
{
  char *folder = test_folder (), *index = test_folder ();
  g_autoptr (GFile) file = g_file_new_for_path (folder), index_folder = g_file_new_for_path (index);
  double first, listing[RUNS], keystroke;
  guint found;
  clock_t used;

  maker_fill (folder, n);
  g_ptr_array_unref (timed (file, index_folder, n, &first));
  /* remembered entries are made in this thread, whose allocations are the ones counted */
  size_t before = mallinfo2 ().uordblks;
  g_autoptr (GPtrArray) entries = timed (file, index_folder, n, &listing[0]);
  size_t after = mallinfo2 ().uordblks;
  used = clock ();
  for (int i = 0; i < RUNS; i++)
    {
      g_autoptr (GPtrArray) again = timed (file, index_folder, n, &listing[i]);
    }
  used = clock () - used;
  qsort (listing, RUNS, sizeof *listing, by_size);
  keystroke = slowest_keystroke (entries, "tiller trask 2021-", &found);
  printf ("%u profiles\n", n);
  printf ("  listing, nothing remembered:  %.2f s (promise %.1f s, ratio %.2f)\n", first, unremembered_s,
          first / unremembered_s);
  printf ("  listing, remembered: median   %.3f s (promise %.2f s, ratio %.2f)\n", listing[RUNS / 2], remembered_s,
          listing[RUNS / 2] / remembered_s);
  printf ("  the same, of the processors:  %.3f s\n", (double) used / CLOCKS_PER_SEC / RUNS);
  printf ("  slowest search keystroke:     %.2f ms (promise %.0f ms, ratio %.2f), %u found\n", keystroke * 1e3,
          keystroke_s * 1e3, keystroke / keystroke_s, found);
  printf ("  memory of the entries:        %.1f MiB\n", (double) (after - before) / (1 << 20));
  bench_quiet (folder, file);
  test_folder_free (folder);
  test_folder_free (index);
}

int
main (void)
{
  bench (10000, 1.0, 0.25, 0.020);
  bench (50000, 5.0, 1.25, 0.060);
  bench_share ();
  return 0;
}
