/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A drag in the whole window, 1600 × 1000 with the Gaps sheet open: from a move of the crest's handle, or of the slider
 * of a cut, until the frame that shows it is done; the same for the drawing's height factor. The yardstick, in the same
 * run and in turn with the moves, is that window with every widget drawn again and nothing changed. Processor time of
 * this process, the threads of the toolkit with it: it depends less than the clock on what else the machine does.
 * Figures only; no test depends on them. */
#include "live-window.h"

#include "desk/work/parts.h"

#include <math.h>
#include <stdio.h>
#include <time.h>

#define MOVES 60
#define WARMING_UP 10
#define PROMISED_RATIO 1.5
#define PROMISED_OWN_MS 16.0
#define STEP_MM 0.02

static double
processor_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec / 1e6;
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  const double first = *(const double *) a, second = *(const double *) b;

  return (first > second) - (first < second);
}

static void
draw_again (GtkWidget *widget)
{
  gtk_widget_queue_draw (widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (gtk_widget_get_mapped (child))
      draw_again (child);
}

typedef void (*Move) (SlWindow *window, gpointer widget, int i);

static void
redraw (SlWindow *window, gpointer widget, int i)
{
  draw_again (GTK_WIDGET (window));
}

static void
move_handle (SlWindow *window, gpointer view, int i)
{
  live_move (view, 10 + i % 20);
}

static void
move_slider (SlWindow *window, gpointer scale, int i)
{
  gtk_range_set_value (scale, STEP_MM * (1 + i % 20));
}

static void
move_factor (SlWindow *window, gpointer widget, int i)
{
  sl_bench_set_height_factor (window->bench, 6 + i % 20);
}

static double
timed (SlWindow *window, Move move, gpointer widget, int i)
{
  const double start = processor_ms ();

  move (window, widget, i);
  live_wait_frame (window);
  return processor_ms () - start;
}

/* Moves and redrawings in turn; prints the medians. */
static void
measure (const char *what, SlWindow *window, Move move, gpointer widget)
{
  double moved[MOVES], still[MOVES];

  for (int i = -WARMING_UP; i < MOVES; i++)
    {
      const double a = timed (window, move, widget, i + WARMING_UP), b = timed (window, redraw, NULL, i);

      if (i >= 0)
        {
          moved[i] = a;
          still[i] = b;
        }
    }
  qsort (moved, MOVES, sizeof *moved, by_size);
  qsort (still, MOVES, sizeof *still, by_size);
  printf ("  %-22s median %5.1f ms (%.1f to %.1f), drawn again unchanged %5.1f ms (%.1f to %.1f): "
          "ratio %.2f (promise %.1f), %.1f ms more (promise %.0f ms)\n",
          what, moved[MOVES / 2], moved[MOVES / 10], moved[MOVES * 9 / 10], still[MOVES / 2], still[MOVES / 10],
          still[MOVES * 9 / 10], moved[MOVES / 2] / still[MOVES / 2], PROMISED_RATIO,
          moved[MOVES / 2] - still[MOVES / 2], PROMISED_OWN_MS);
}

int
main (void)
{
  g_autoptr (GtkApplication) app = NULL;
  SlWindow *window;
  SlSideView *view;
  GtkWidget *row;

  gtk_init ();
  app = live_app_new ();
  window = live_window_new (app);
  view = SL_SIDE_VIEW (live_find (GTK_WIDGET (window), SL_TYPE_SIDE_VIEW));
  row = live_find (window->work, SL_TYPE_AMOUNT_ROW);
  printf ("processor time of a move until its frame is drawn, %d moves, window %d × %d\n", MOVES,
          gtk_widget_get_width (GTK_WIDGET (window)), gtk_widget_get_height (GTK_WIDGET (window)));
  live_press (view);
  measure ("handle of the crest:", window, move_handle, view);
  live_release (view, 0);
  live_settle (window);
  sl_bench_begin_gesture (window->bench, "slide");
  measure ("slider of an amount:", window, move_slider, live_find (row, GTK_TYPE_SCALE));
  sl_bench_end_gesture (window->bench);
  live_settle (window);
  measure ("height factor:", window, move_factor, NULL);
  gtk_window_destroy (GTK_WINDOW (window));
  return 0;
}
