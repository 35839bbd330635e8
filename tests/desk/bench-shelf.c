/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf's window over 10,000 and 50,000 invented profiles: from opening the folder until all rows are listed, with
 * nothing remembered and with an index; from each letter typed into the search until the list no longer changes; a file
 * that comes, with many and with few beside it; and the memory the process takes. Figures only; no test depends on
 * them. */
#include "../file/shelf-maker.h"

#include "desk/app.h"
#include "bench/shelf-model.h"
#include "desk/shelf/parts.h"

#include <glib/gstdio.h>
#include <gtk/gtk.h>
#include <stdio.h>
#include <time.h>

#define FEW 100
#define NEWCOMERS 200
#define RUNS 5
#define MANY "tiller trask 2021-" /* hundreds are found to the end */
#define NONE "no. 4711x"          /* fewer and fewer are found, at last none */
#define MOST_KEYS 128

static double
seconds_since (gint64 start)
{
  return (double) (g_get_monotonic_time () - start) / G_USEC_PER_SEC;
}

/* Resident set, MiB; 0 where the system doesn't tell. */
static double
resident (void)
{
  g_autofree char *text = NULL;
  const char *line;

  if (!g_file_get_contents ("/proc/self/status", &text, NULL, NULL) || (line = strstr (text, "VmRSS:")) == NULL)
    return 0;
  return g_ascii_strtod (line + strlen ("VmRSS:"), NULL) / 1024;
}

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
note (gboolean *flag)
{
  *flag = TRUE;
}

/* Until the window's first frame after what was asked for has been drawn. */
static void
wait_frame (GtkWidget *window)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);
  gboolean painted = FALSE;
  gulong handler = g_signal_connect_swapped (clock, "after-paint", G_CALLBACK (note), &painted);

  gtk_widget_queue_draw (window);
  while (!painted)
    g_main_context_iteration (NULL, TRUE);
  g_signal_handler_disconnect (clock, handler);
}

static double
timed_listing (SlShelfModel *model, GFile *folder, guint profiles, double *first_rows)
{
  gint64 start = g_get_monotonic_time ();

  *first_rows = 0;
  sl_shelf_model_open (model, folder, FALSE);
  while (model->reading != NULL)
    {
      g_main_context_iteration (NULL, TRUE);
      if (*first_rows <= 0 && g_list_model_get_n_items (G_LIST_MODEL (model->items)) > 0)
        *first_rows = seconds_since (start);
    }
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (model->items)), ==, profiles);
  return seconds_since (start);
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  double first = *(const double *) a, second = *(const double *) b;

  return (first > second) - (first < second);
}

/* Processor time of this thread, which depends less than the clock on what else the machine does. */
static double
thread_seconds (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec + (double) now.tv_nsec * 1e-9;
}

/* Keystrokes of the search, each timed until the list has settled and until it is on the screen, of the window's
 * thread. */
typedef struct
{
  double list[MOST_KEYS], screen[MOST_KEYS];
  int n;
} Keys;

static void
press (Keys *keys, SlShelfTable *table, GtkWidget *window, const char *search)
{
  const double start = thread_seconds ();
  const int i = keys->n++;

  g_assert_cmpint (i, <, MOST_KEYS);
  sl_shelf_table_search (table, search);
  keys->list[i] = thread_seconds () - start;
  wait_frame (window);
  keys->screen[i] = thread_seconds () - start;
  printf ("    “%s”: list %.1f ms, screen %.1f ms, %u found\n", search, keys->list[i] * 1e3, keys->screen[i] * 1e3,
          table->rows->wanted->len);
  settle ();
}

/* Types the text letter by letter, takes it back letter by letter, types it in one go and clears it in one go. */
static void
type (Keys *keys, const char *text, SlShelfTable *table, GtkWidget *window)
{
  const int n = (int) strlen (text);

  for (int i = 1; i < 2 * n; i++)
    {
      g_autofree char *so_far = g_strndup (text, (gsize) (i <= n ? i : 2 * n - i));

      press (keys, table, window, so_far);
    }
  press (keys, table, window, "");
  press (keys, table, window, text);
  press (keys, table, window, "");
}

static void
time_keys (SlShelfTable *table, GtkWidget *window, double promise_s)
{
  Keys keys = { .n = 0 };

  type (&keys, MANY, table, window);
  type (&keys, NONE, table, window);
  qsort (keys.list, (size_t) keys.n, sizeof *keys.list, by_size);
  qsort (keys.screen, (size_t) keys.n, sizeof *keys.screen, by_size);
  printf ("  search keystroke, list settled:    median %.1f ms, slowest %.1f ms (promise %.0f ms, ratio %.2f)\n",
          keys.list[keys.n / 2] * 1e3, keys.list[keys.n - 1] * 1e3, promise_s * 1e3, keys.list[keys.n - 1] / promise_s);
  printf ("  search keystroke, on the screen:   median %.1f ms, slowest %.1f ms\n", keys.screen[keys.n / 2] * 1e3,
          keys.screen[keys.n - 1] * 1e3);
}

static void
remove_files (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *file = g_build_filename (path, name, NULL);

      g_unlink (file);
    }
  g_rmdir (path);
}

static void
wait_count (SlShelfModel *model, guint count)
{
  while (g_list_model_get_n_items (G_LIST_MODEL (model->items)) != count)
    g_main_context_iteration (NULL, TRUE);
}

/* What a file that comes takes of the window's own thread, in ms; the list has @before rows. */
static double
timed_newcomers (SlShelfModel *model, guint before)
{
  g_autofree char *folder = g_file_get_path (model->folder);
  double ms = 0;

  for (guint i = 0; i < NEWCOMERS; i++)
    {
      g_autoptr (SlProfile) profile = maker_profile (before + i);
      g_autofree char *name = g_strdup_printf ("newcomer-%05u" SL_DOCUMENT_EXTENSION, i),
                      *path = maker_write (folder, name, profile);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      struct timespec start, end;

      clock_gettime (CLOCK_THREAD_CPUTIME_ID, &start);
      sl_shelf_model_look_at (model, file);
      wait_count (model, before + 1);
      clock_gettime (CLOCK_THREAD_CPUTIME_ID, &end);
      ms += (double) (end.tv_sec - start.tv_sec) * 1e3 + (double) (end.tv_nsec - start.tv_nsec) * 1e-6;
      g_unlink (path);
      sl_shelf_model_look_at (model, file);
      wait_count (model, before);
    }
  return ms / NEWCOMERS;
}

static void
measure_newcomers (const char *many, guint profiles)
{
  const guint counts[] = { FEW, profiles };
  g_autofree char *few = g_dir_make_tmp ("sidelong-shelf-XXXXXX", NULL);
  const char *const paths[] = { few, many };
  double ms[2];

  maker_fill (few, FEW);
  for (int i = 0; i < 2; i++)
    {
      g_autoptr (GFile) folder = g_file_new_for_path (paths[i]);
      g_autoptr (SlShelfModel) model = sl_shelf_model_new ();

      sl_shelf_model_open (model, folder, FALSE);
      while (model->reading != NULL)
        g_main_context_iteration (NULL, TRUE);
      ms[i] = timed_newcomers (model, counts[i]);
    }
  printf ("  a file that comes, of the window's thread: %.3f ms among %d, %.3f ms among %u (ratio %.1f)\n", ms[0], FEW,
          ms[1], profiles, ms[1] / ms[0]);
  remove_files (few);
}

/* Promises: of a listing that is remembered, of a keystroke. */
static void
measure (const char *path, guint profiles, double listing_s, double keystroke_s)
{
  g_autoptr (GFile) folder = g_file_new_for_path (path);
  g_autoptr (SlShelfModel) model = sl_shelf_model_new ();
  g_autoptr (SlShelfTable) table = sl_shelf_table_new (G_LIST_MODEL (model->items));
  GtkWidget *window = gtk_window_new (), *scroller = gtk_scrolled_window_new ();
  double empty, first_rows, fresh, listing[RUNS];

  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), table->view);
  gtk_window_set_child (GTK_WINDOW (window), scroller);
  gtk_window_set_default_size (GTK_WINDOW (window), 1320, 760);
  gtk_window_present (GTK_WINDOW (window));
  wait_frame (window);
  empty = resident ();
  fresh = timed_listing (model, folder, profiles, &first_rows);
  printf ("%u profiles\n  listing, nothing remembered:       %.2f s, first rows after %.3f s\n", profiles, fresh,
          first_rows);
  for (int i = 0; i < RUNS; i++)
    {
      settle ();
      listing[i] = timed_listing (model, folder, profiles, &first_rows);
    }
  qsort (listing, RUNS, sizeof *listing, by_size);
  printf ("  listing, remembered:               median %.3f s (promise %.2f s, ratio %.2f), first rows after %.3f s\n",
          listing[RUNS / 2], listing_s, listing[RUNS / 2] / listing_s, first_rows);
  wait_frame (window);
  settle ();
  time_keys (table, window, keystroke_s);
  printf ("  resident memory:                   %.0f MiB, of it %.0f MiB with no profile listed\n", resident (), empty);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), NULL);
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static void
bench (guint profiles, double listing_s, double keystroke_s)
{
  g_autofree char *folder = g_dir_make_tmp ("sidelong-shelf-XXXXXX", NULL);

  g_assert_nonnull (folder);
  maker_fill (folder, profiles);
  measure (folder, profiles, listing_s, keystroke_s);
  measure_newcomers (folder, profiles);
  remove_files (folder);
}

int
main (void)
{
  gtk_init ();
  bench (10000, 0.25, 0.020);
  bench (50000, 1.25, 0.060);
  return 0;
}
