/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A drag in the whole window: however often the pointer moves between two frames, figures and proposal are worked out
 * once for each of them, every part is told once, and the last move is what is shown. Skipped where there is no
 * display. */
#include "../bench/counted.h"
#include "live-window.h"

#include "desk/kit/length-entry.h"
#include "desk/work/parts.h"

#include <locale.h>

#define SKIPPED 77
#define FRAMES 8
#define MOVES 5

static GtkApplication *app;

static void
count (gpointer counter)
{
  ++*(int *) counter;
}

static void
on_changed (SlBench *bench, guint changes, gpointer counter)
{
  count (counter);
}

typedef void (*Move) (SlWindow *window, gpointer widget, double by);

static void
move_handle (SlWindow *window, gpointer view, double by)
{
  live_move (view, by);
}

static void
move_slider (SlWindow *window, gpointer scale, double by)
{
  gtk_range_set_value (scale, by / 100);
}

static void
move_factor (SlWindow *window, gpointer widget, double by)
{
  sl_bench_set_height_factor (window->bench, by);
}

/* Moves several times a frame. @most: how often figures and proposal may be worked out in one, and are. */
static void
drag (SlWindow *window, Move move, gpointer widget, int most, double last)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (window));
  int n_told = 0, n_frames = 0;
  gulong told = g_signal_connect (window->bench, "changed", G_CALLBACK (on_changed), &n_told);
  gulong frames = g_signal_connect_swapped (clock, "after-paint", G_CALLBACK (count), &n_frames);

  n_analyses = n_proposals = 0;
  for (int frame = 1; frame <= FRAMES; frame++)
    {
      for (int i = 1; i <= MOVES; i++)
        move (window, widget, frame == FRAMES && i == MOVES ? last : 10 + frame + i);
      live_wait_frame (window);
      g_assert_cmpint (n_analyses, ==, frame * most);
      g_assert_cmpint (n_proposals, ==, frame * most);
      if (most > 0)
        g_assert_cmpint (n_told, ==, frame);
      g_assert_cmpint (n_frames, >=, frame);
    }
  g_signal_handler_disconnect (window->bench, told);
  g_signal_handler_disconnect (clock, frames);
}

static void
test_handle (void)
{
  SlWindow *window = live_window_new (app);
  SlSideView *view = SL_SIDE_VIEW (live_find (GTK_WIDGET (window), SL_TYPE_SIDE_VIEW));
  g_autofree char *undo = g_strdup (sl_bench_get_undo_name (window->bench));

  live_press (view);
  drag (window, move_handle, view, 1, 30);
  live_release (view, 30);
  g_assert_cmpstr (sl_bench_get_undo_name (window->bench), ==, sl_operation_undo_name (SL_OP_CUT_SADDLE_BASE));
  sl_bench_undo (window->bench);
  g_assert_cmpstr (sl_bench_get_undo_name (window->bench), ==, undo);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* The slider and the entry beside it end at what was moved to last. */
static void
test_slider (void)
{
  SlWindow *window = live_window_new (app);
  GtkWidget *row = live_find (window->work, SL_TYPE_AMOUNT_ROW), *scale = live_find (row, GTK_TYPE_SCALE);

  sl_bench_begin_gesture (window->bench, "slide");
  drag (window, move_slider, scale, 1, 40);
  sl_bench_end_gesture (window->bench);
  g_assert_cmpfloat_with_epsilon (sl_length_entry_get_value (SL_LENGTH_ENTRY (live_find (row, SL_TYPE_LENGTH_ENTRY))),
                                  0.4, 1e-9);
  g_assert_cmpfloat_with_epsilon (gtk_range_get_value (GTK_RANGE (scale)), 0.4, 1e-9);
  gtk_window_destroy (GTK_WINDOW (window));
}

static void
test_height_factor (void)
{
  SlWindow *window = live_window_new (app);

  drag (window, move_factor, NULL, 0, 12);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Released before the frame, all is told at once. */
static void
test_release (void)
{
  SlWindow *window = live_window_new (app);
  SlSideView *view = SL_SIDE_VIEW (live_find (GTK_WIDGET (window), SL_TYPE_SIDE_VIEW));
  int n_told = 0;

  g_signal_connect (window->bench, "changed", G_CALLBACK (on_changed), &n_told);
  live_press (view);
  live_move (view, 12);
  live_move (view, 20);
  g_assert_cmpint (n_told, ==, 0);
  live_release (view, 20);
  g_assert_cmpint (n_told, ==, 1);
  live_settle (window);
  g_assert_cmpint (n_told, ==, 1);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* A window that goes in the middle of a drag leaves nothing behind that is still to be told. */
static void
test_closed_while_dragging (void)
{
  SlWindow *window = live_window_new (app);
  g_autoptr (SlBench) bench = g_object_ref (window->bench);
  SlSideView *view = SL_SIDE_VIEW (live_find (GTK_WIDGET (window), SL_TYPE_SIDE_VIEW));

  live_press (view);
  live_move (view, 12);
  gtk_window_destroy (GTK_WINDOW (window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  sl_bench_set_held (bench, 3);
}

int
main (int argc, char **argv)
{
  g_autofree char *folder = g_dir_make_tmp ("sidelong-live-XXXXXX", NULL);
  int status;

  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  app = live_app_new ();
  g_test_add_func ("/live/handle", test_handle);
  g_test_add_func ("/live/slider", test_slider);
  g_test_add_func ("/live/height-factor", test_height_factor);
  g_test_add_func ("/live/release", test_release);
  g_test_add_func ("/live/closed-while-dragging", test_closed_while_dragging);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}
