/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How soon a save by somebody else is seen: in a folder of the disk, by its monitor; in one on a stand-in for a share,
 * by looking; and where two folders are named that lead to one, saved in the second and seen in the first. Figures
 * only. */
#include <stdio.h>
#include <stdlib.h>

#include "../file/remote-file.h"
#include "../file/support.h"
#include "bench/folder-watch.h"
#include "file/document.h"

#define SAVES 20
#define QUIET_MS 150 /* as the shelf's */
#define BETWEEN_US                                                                                                     \
  700000 /* so that saves come at any moment between two looks, and after the three that follow one                    \
          */
#define PROMISE_S 2.0
#define NAME "one" SL_DOCUMENT_EXTENSION

static void
note (GHashTable *names, gpointer data)
{
  *(gboolean *) data = TRUE;
}

static void
note_followed (gpointer data)
{
  *(gboolean *) data = TRUE;
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  const double first = *(const double *) a, second = *(const double *) b;

  return (first > second) - (first < second);
}

static void
wait_for (const gboolean *flag)
{
  while (!*flag)
    g_main_context_iteration (NULL, TRUE);
}

static void
measure (const char *what, GFile *seen_in, GFile *saved_in)
{
  gboolean told = FALSE;
  SlFolderWatch *watch = sl_folder_watch_new (&(SlFolderUser){ QUIET_MS, note, note_followed }, &told);
  g_autoptr (GFile) file = g_file_get_child (saved_in, NAME);
  double took[SAVES];

  sl_folder_watch_follow (watch, seen_in, FALSE);
  wait_for (&told);
  for (int i = 0; i < SAVES; i++)
    {
      g_autofree char *text = g_strdup_printf ("%d", i);
      g_autoptr (GBytes) bytes = g_bytes_new (text, strlen (text));
      const gint64 end = g_get_monotonic_time () + BETWEEN_US * (1 + i % 7);
      gint64 start;

      while (g_get_monotonic_time () < end)
        if (!g_main_context_iteration (NULL, FALSE))
          g_usleep (1000);
      told = FALSE;
      g_assert_true (sl_file_replace (file, bytes, NULL, TRUE, NULL, NULL));
      start = g_get_monotonic_time ();
      wait_for (&told);
      took[i] = (double) (g_get_monotonic_time () - start) / G_USEC_PER_SEC;
    }
  qsort (took, SAVES, sizeof *took, by_size);
  printf ("%s: a save by others is seen within %.2f s (median), %.2f s (longest; promise %.0f s, ratio %.2f)\n", what,
          took[SAVES / 2], took[SAVES - 1], PROMISE_S, took[SAVES - 1] / PROMISE_S);
  sl_folder_watch_free (watch);
}

int
main (int argc, char **argv)
{
  char *folder = test_folder ();
  g_autoptr (GFile) local = g_file_new_for_path (folder), share = test_remote_file_new (local);

  if (argc == 3)
    {
      g_autoptr (GFile) seen_in = g_file_new_for_commandline_arg (argv[1]),
                        saved_in = g_file_new_for_commandline_arg (argv[2]);

      measure (argv[1], seen_in, saved_in);
    }
  else
    {
      measure ("on the disk", local, local);
      measure ("on a share", share, local);
    }
  test_folder_free (folder);
  return 0;
}
