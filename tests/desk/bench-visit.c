/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Visit sheet with as many checks as a document may have: from putting the profile on the bench until the sheet is
 * drawn, an edit of one check until it is drawn, showing the next of them, an edit then, and the memory the process
 * takes. The yardstick, in the same run, is the same window with the profile's own checks. Processor time of this
 * process: it depends less than the clock on what else the machine does. Figures only; no test depends on them. */
#include "live-window.h"

#include "bench/visit-edit.h"
#include "file/document.h"
#include "setup/profile/bounds.h"

#include <stdio.h>
#include <time.h>

#define EDITS 3
#define SETTLING 2 /* frames */
#define PROMISED_S 2.0
#define PROMISED_MIB 200.0

static double
processor_s (void)
{
  struct timespec now;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec + (double) now.tv_nsec / 1e9;
}

/* MiB; 0 where the system doesn't tell. */
static double
memory (const char *what)
{
  g_autofree char *text = NULL;
  const char *line;

  if (!g_file_get_contents ("/proc/self/status", &text, NULL, NULL) || (line = strstr (text, what)) == NULL)
    return 0;
  return g_ascii_strtod (line + strlen (what), NULL) / 1024;
}

static void
settle (SlWindow *window)
{
  for (int i = 0; i < SETTLING; i++)
    live_wait_frame (window);
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  const double first = *(const double *) a, second = *(const double *) b;

  return (first > second) - (first < second);
}

static SlProfile *
read_profile (void)
{
  g_autofree char *path =
      g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", "anchor-street-flat-top.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return profile;
}

/* The document with @n checks more, each with a note. */
static SlProfile *
profile_with (GtkApplication *app, guint n)
{
  SlProfile *profile = read_profile ();
  SlVisit *visit = &g_array_index (profile->visits, SlVisit, profile->visits->len - 1);

  for (guint i = 0; i < n; i++)
    {
      const SlCheck check = { .name = g_strdup_printf ("Brace %u", i),
                              .state = SL_CHECK_ATTEND,
                              .note = g_strdup ("loose at the end under the sound hole, glued and clamped overnight") };

      g_array_append_val (visit->checks, check);
    }
  return profile;
}

static double
timed_edits (SlWindow *window)
{
  double seconds[EDITS];

  for (int i = 0; i < EDITS; i++)
    {
      const double start = processor_s ();

      sl_visit_set_check_state (window->bench, 1, i % 2 == 0 ? SL_CHECK_MENDED : SL_CHECK_SOUND);
      live_wait_frame (window);
      seconds[i] = processor_s () - start;
      settle (window);
    }
  qsort (seconds, EDITS, sizeof *seconds, by_size);
  return seconds[EDITS / 2];
}

static gboolean
is_named (GtkWidget *widget, const char *id)
{
  return g_strcmp0 (gtk_buildable_get_buildable_id (GTK_BUILDABLE (widget)), id) == 0;
}

/* The button that shows other rows of a list. */
static gboolean
shows_rest (GtkWidget *widget, const char *label)
{
  return GTK_IS_BUTTON (widget) && gtk_widget_get_mapped (widget) &&
         gtk_button_get_label (GTK_BUTTON (widget)) != NULL &&
         g_str_has_prefix (gtk_button_get_label (GTK_BUTTON (widget)), label);
}

static GtkWidget *
find (GtkWidget *from, gboolean (*is) (GtkWidget *widget, const char *what), const char *what)
{
  GtkWidget *found = is (from, what) ? from : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find (child, is, what);
  return found;
}

/* Returns what opening took. */
static double
measure (GtkApplication *app, guint n)
{
  SlProfile *profile = profile_with (app, n);
  SlWindow *window = sl_window_new (app);
  double start, opened, shown;
  GtkWidget *rest;

  gtk_window_set_default_size (GTK_WINDOW (window), LIVE_WIDTH, LIVE_HEIGHT);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (GTK_WIDGET (window)))
    g_main_context_iteration (NULL, TRUE);
  settle (window);
  start = processor_s ();
  sl_window_put_on_bench (window, profile);
  gtk_stack_set_visible_child_name (GTK_STACK (find (GTK_WIDGET (window), is_named, "sheets")), "visit");
  live_wait_frame (window);
  opened = processor_s () - start;
  settle (window);
  printf ("  %3u checks more: opened in %.3f s (settled after %.3f s, promise %.0f s), an edit %.3f s, memory %.0f MiB "
          "(promise %.0f MiB)\n",
          n, opened, processor_s () - start, PROMISED_S, timed_edits (window), memory ("VmRSS:"), PROMISED_MIB);
  rest = find (GTK_WIDGET (window), shows_rest, "Show 101 ");
  if (rest != NULL)
    {
      start = processor_s ();
      g_signal_emit_by_name (rest, "clicked");
      live_wait_frame (window);
      shown = processor_s () - start;
      printf ("    the next of them shown: in %.3f s, an edit %.3f s, memory %.0f MiB, at most %.0f MiB\n", shown,
              timed_edits (window), memory ("VmRSS:"), memory ("VmHWM:"));
    }
  gtk_window_destroy (GTK_WINDOW (window));
  return opened;
}

int
main (void)
{
  g_autoptr (GtkApplication) app = NULL;
  double few, many;

  setvbuf (stdout, NULL, _IOLBF, 0);
  gtk_init ();
  app = live_app_new ();
  few = measure (app, 0);
  many = measure (app, sl_amount_most ("visit", "check") - 20);
  printf ("  opening with many against few: ratio %.2f\n", many / few);
  return 0;
}
