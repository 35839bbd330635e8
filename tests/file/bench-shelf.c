/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A shelf of 10,000 invented profiles: the first listing with an index and without, a search keystroke, and the memory
 * the entries take. Figures only; no test depends on them. Files and index lie in a folder of its own, removed at the
 * end. */
#include "file/shelf.h"
#include "remote-file.h"
#include "shelf-maker.h"
#include "support.h"

#include <malloc.h>
#include <stdio.h>

#define PROFILES 10000
#define RUNS 5
#define LISTING_PROMISE_S 1.0
#define KEYSTROKE_PROMISE_S 0.030

#define SLOW_PROFILES 200 /* on a share that takes SLOW_US for each question */
#define SLOW_US 20000

static double
seconds_since (gint64 start)
{
  return (double) (g_get_monotonic_time () - start) / G_USEC_PER_SEC;
}

static GPtrArray *
timed (GFile *folder, GFile *index_folder, double *seconds)
{
  gint64 start = g_get_monotonic_time ();
  GPtrArray *entries = sl_shelf_read (folder, index_folder, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);

  *seconds = seconds_since (start);
  g_assert_cmpuint (entries->len, ==, PROFILES);
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

int
main (void)
{
  char *folder = test_folder (), *index = test_folder ();
  g_autoptr (GFile) file = g_file_new_for_path (folder), index_folder = g_file_new_for_path (index);
  double first, listing[RUNS], keystroke;
  guint found;

  maker_fill (folder, PROFILES);
  g_ptr_array_unref (timed (file, index_folder, &first));
  /* remembered entries are made in this thread, whose allocations are the ones counted */
  size_t before = mallinfo2 ().uordblks;
  g_autoptr (GPtrArray) entries = timed (file, index_folder, &listing[0]);
  size_t after = mallinfo2 ().uordblks;
  for (int i = 0; i < RUNS; i++)
    {
      g_autoptr (GPtrArray) again = timed (file, index_folder, &listing[i]);
    }
  qsort (listing, RUNS, sizeof *listing, by_size);
  keystroke = slowest_keystroke (entries, "tiller trask 2021-", &found);
  printf ("%d profiles\n", PROFILES);
  printf ("  listing, nothing remembered:  %.2f s (%.0f profiles a second)\n", first, PROFILES / first);
  printf ("  listing, remembered: median   %.3f s (promise %.1f s, ratio %.2f)\n", listing[RUNS / 2], LISTING_PROMISE_S,
          listing[RUNS / 2] / LISTING_PROMISE_S);
  printf ("  slowest search keystroke:     %.2f ms (promise %.0f ms, ratio %.2f), %u found\n", keystroke * 1e3,
          KEYSTROKE_PROMISE_S * 1e3, keystroke / KEYSTROKE_PROMISE_S, found);
  printf ("  memory of the entries:        %.1f MiB\n", (double) (after - before) / (1 << 20));
  g_clear_pointer (&entries, g_ptr_array_unref);
  test_folder_free (folder);
  test_folder_free (index);
  bench_share ();
  return 0;
}
