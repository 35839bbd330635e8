/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view as something to work with: what moving each handle plans, one undo step a drag, amounts kept where they
 * can be, frets clicked, keys, and what assistive technology is told. */
#include "bench/bench.h"
#include "desk/sheets/sheets.h"
#include "bench/profiles.h"

#include <math.h>

static SlBench *
make_bench (int string)
{
  SlBench *bench = sl_bench_new (sl_starting_profile ("flat-top"));
  SlReading relief = sl_reading_init (SL_READ_RELIEF), action = sl_reading_init (SL_READ_ACTION);

  relief.string = action.string = 6;
  relief.fret = 7;
  relief.value = sl_number (0.3);
  action.fret = 12;
  action.value = sl_number (3.1);
  sl_bench_put_reading (bench, "read", relief);
  sl_bench_put_reading (bench, "read", action);
  sl_bench_set_string (bench, string);
  return bench;
}

static double
planned (SlBench *bench, SlOperationKind kind, int string, gboolean treble)
{
  const SlOperation *operation = sl_bench_find_operation (bench, kind, string);

  return operation == NULL ? 0 : sl_number_or (treble ? operation->amount_treble : operation->amount, 0);
}

static void
move (SlBench *bench, SlHandleKind handle, double up_mm)
{
  SlGrip grip;

  sl_handle_begin (bench, handle, &grip);
  sl_handle_move (bench, &grip, up_mm);
}

/* An outer string moves its own end, all strings both; the amounts are hundredths. */
static void
test_crest (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  double lean = sl_bench_get_analysis (bench)->instrument.saddle_lean_rad;

  move (bench, SL_HANDLE_CREST, -0.4);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE), round (40 / cos (lean)) / 100,
                                  1e-9);
  g_assert_cmpfloat (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, TRUE), ==, 0);
  sl_bench_set_string (bench, 1);
  move (bench, SL_HANDLE_CREST, -0.3);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, TRUE), round (30 / cos (lean)) / 100, 1e-9);
  sl_bench_set_string (bench, 0);
  move (bench, SL_HANDLE_CREST, -0.1);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE), 0.5, 0.011);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, TRUE), 0.4, 0.011);
}

/* What came off can't be put back: cuts end at 0, and at their bound the other way. */
static void
test_limits (void)
{
  g_autoptr (SlBench) bench = make_bench (6);

  move (bench, SL_HANDLE_CREST, 3);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
  move (bench, SL_HANDLE_SLOT, 3);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6));
  move (bench, SL_HANDLE_CREST, -1e6);
  g_assert_cmpfloat (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE), <, 100);
  move (bench, SL_HANDLE_CREST, 1e6);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
}

/* Neck's middle up: less relief. The slot is its string's alone. */
static void
test_neck_and_slot (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  double before = sl_bench_get_analysis (bench)->planned_figures.relief[5].value;

  move (bench, SL_HANDLE_NECK, 0.123);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_TURN_ROD, 0, FALSE), -0.12, 1e-9);
  g_assert_cmpfloat_with_epsilon (sl_bench_get_analysis (bench)->planned_figures.relief[5].value, before - 0.12, 1e-6);
  move (bench, SL_HANDLE_SLOT, -0.05);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_LOWER_SLOT, 6, FALSE), 0.05, 1e-9);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 1));
}

static GtkEventController *
find_controller (GtkWidget *widget, GType type)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (all, i);

      if (G_TYPE_CHECK_INSTANCE_TYPE (controller, type))
        return controller;
    }
  return NULL;
}

/* A window of its own, drawn once, so that handles have places. */
static SlSideView *
show_view (SlBench *bench)
{
  GtkWidget *window = gtk_window_new (), *view = sl_side_view_new (bench, SL_PICTURE_SIDE);
  gint64 until = g_get_monotonic_time () + 60 * G_USEC_PER_SEC;

  gtk_window_set_default_size (GTK_WINDOW (window), 900, 420);
  gtk_window_set_child (GTK_WINDOW (window), view);
  gtk_window_present (GTK_WINDOW (window));
  while (!sl_side_view_get_map (SL_SIDE_VIEW (view))->handles[SL_HANDLE_CREST].shown && g_get_monotonic_time () < until)
    g_main_context_iteration (NULL, FALSE);
  g_assert_true (sl_side_view_get_map (SL_SIDE_VIEW (view))->handles[SL_HANDLE_CREST].shown);
  return SL_SIDE_VIEW (view);
}

static void
close_view (SlSideView *view)
{
  gtk_window_destroy (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (view))));
}

static void
press (SlSideView *view, guint key, GdkModifierType state)
{
  gboolean taken = FALSE;

  g_signal_emit_by_name (find_controller (GTK_WIDGET (view), GTK_TYPE_EVENT_CONTROLLER_KEY), "key-pressed", key, 0,
                         state, &taken);
  g_assert_true (taken);
}

static void
test_drag (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  SlSideView *view = show_view (bench);
  const SlPictureMap *map = sl_side_view_get_map (view);
  GtkEventController *drag = find_controller (GTK_WIDGET (view), GTK_TYPE_GESTURE_DRAG);
  double scale = map->units_per_mm_up, lean = sl_bench_get_analysis (bench)->instrument.saddle_lean_rad;
  g_autofree char *undo = g_strdup (sl_bench_get_undo_name (bench));

  g_signal_emit_by_name (drag, "drag-begin", map->handles[SL_HANDLE_CREST].x + 2, map->handles[SL_HANDLE_CREST].y - 2);
  g_signal_emit_by_name (drag, "drag-update", 0.0, 8.0);
  g_signal_emit_by_name (drag, "drag-update", 1.0, 12.0);
  g_signal_emit_by_name (drag, "drag-end", 1.0, 12.0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE), 12 / scale / cos (lean), 0.0051);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, sl_operation_undo_name (SL_OP_CUT_SADDLE_BASE));
  sl_bench_undo (bench);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, undo);
  close_view (view);
}

static void
test_click (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  SlSideView *view = show_view (bench);
  const SlPictureMap *map = sl_side_view_get_map (view);
  GtkEventController *drag = find_controller (GTK_WIDGET (view), GTK_TYPE_GESTURE_DRAG);
  double y = map->board.y + map->board.height - 4;

  for (int i = 0; i < 2; i++)
    {
      g_signal_emit_by_name (drag, "drag-begin", map->fret_x[5] + 3, y);
      g_signal_emit_by_name (drag, "drag-end", 0.0, 0.0);
      g_assert_cmpint (sl_bench_get_held (bench), ==, i == 0 ? 5 : 0);
    }
  close_view (view);
}

static void
test_keys (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  SlSideView *view = show_view (bench);
  int frets = sl_bench_get_profile (bench)->neck.frets;

  press (view, GDK_KEY_Down, GDK_SHIFT_MASK);
  press (view, GDK_KEY_Down, 0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE), 0.11, 0.0051);
  press (view, GDK_KEY_Left, 0);
  press (view, GDK_KEY_Up, 0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_TURN_ROD, 0, FALSE), -0.01, 1e-9);
  press (view, GDK_KEY_Left, 0);
  press (view, GDK_KEY_Left, 0);
  press (view, GDK_KEY_Down, 0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_LOWER_SLOT, 6, FALSE), 0.01, 1e-9);
  press (view, GDK_KEY_Page_Up, 0);
  g_assert_cmpint (sl_bench_get_held (bench), ==, 1);
  press (view, GDK_KEY_End, 0);
  g_assert_cmpint (sl_bench_get_held (bench), ==, frets - 1);
  press (view, GDK_KEY_Home, 0);
  g_assert_cmpint (sl_bench_get_held (bench), ==, 0);
  /* With all strings shown there is no slot to move: the crest is chosen instead. */
  sl_bench_set_string (bench, 0);
  press (view, GDK_KEY_Down, 0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_LOWER_SLOT, 6, FALSE), 0.01, 1e-9);
  close_view (view);
}

/* Left-handed, the crest lies at the left: keys go where they point, and a click finds the fret it is on. */
static void
test_left (void)
{
  SlProfile *profile = sl_starting_profile ("flat-top");
  g_autoptr (SlBench) bench = NULL;
  SlSideView *view;
  const SlPictureMap *map;
  GtkEventController *drag;

  profile->hand = SL_HAND_LEFT;
  bench = sl_bench_new (profile);
  sl_bench_set_string (bench, 6);
  view = show_view (bench);
  map = sl_side_view_get_map (view);
  drag = find_controller (GTK_WIDGET (view), GTK_TYPE_GESTURE_DRAG);
  g_assert_cmpfloat (map->handles[SL_HANDLE_CREST].x, <, map->handles[SL_HANDLE_NECK].x);
  press (view, GDK_KEY_Left, 0);
  press (view, GDK_KEY_Right, 0);
  press (view, GDK_KEY_Up, 0);
  g_assert_cmpfloat_with_epsilon (planned (bench, SL_OP_TURN_ROD, 0, FALSE), -0.01, 1e-9);
  g_signal_emit_by_name (drag, "drag-begin", map->fret_x[5] + 3, map->board.y + map->board.height - 4);
  g_signal_emit_by_name (drag, "drag-end", 0.0, 0.0);
  g_assert_cmpint (sl_bench_get_held (bench), ==, 5);
  close_view (view);
}

/* The words follow the figures, in the units chosen. */
static void
test_words (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  g_autofree char *before = NULL, *after = NULL, *action = NULL, *was = NULL;
  const SlAnalysis *a = sl_bench_get_analysis (bench);

  was = sl_bench_length (bench, a->planned_figures.action[5][12].value, 2, TRUE);
  before = sl_picture_describe (bench, SL_PICTURE_SIDE);
  g_assert_nonnull (strstr (before, was));
  g_assert_null (strstr (before, ", was"));
  /* nobody read an exposure: it is told, with what follows from it, as assumed */
  g_assert_nonnull (strstr (before, "exposure 3.00 mm, assumed."));
  g_assert_true (g_regex_match_simple ("break over the saddle [0-9.]+°, assumed\\.", before, 0, 0));
  move (bench, SL_HANDLE_CREST, -0.5);
  action = sl_bench_length (bench, sl_bench_get_analysis (bench)->planned_figures.action[5][12].value, 2, TRUE);
  after = sl_picture_describe (bench, SL_PICTURE_SIDE);
  g_assert_nonnull (strstr (after, action));
  g_assert_nonnull (strstr (after, was));
  g_assert_null (strstr (after, "nan"));
  sl_bench_set_lengths (bench, SL_LENGTHS_INCH);
  g_free (after);
  after = sl_picture_describe (bench, SL_PICTURE_SIDE);
  g_assert_null (strstr (after, " mm"));
}

static void
add_set (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlReadingSet fresh = sl_reading_set_init ();

  fresh.id = g_strdup ("r2");
  fresh.stage = SL_STAGE_DURING;
  fresh.taken = g_strdup ("2031-01-01T10:00:00Z");
  g_array_append_val (visit->sets, fresh);
}

/* What the thin lines show is said too. */
static void
test_earlier_words (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  g_autofree char *one = sl_picture_describe (bench, SL_PICTURE_SIDE), *two = NULL, *closeup = NULL;

  g_assert_null (strstr (one, "As read before"));
  sl_bench_edit (bench, "read again", SL_CHANGED_READINGS, TRUE, add_set, NULL);
  two = sl_picture_describe (bench, SL_PICTURE_SIDE);
  closeup = sl_picture_describe (bench, SL_PICTURE_NUT);
  g_assert_nonnull (strstr (two, " As read before: Received, action at fret 12 3.10 mm, relief 0.30 mm."));
  g_assert_null (strstr (closeup, "As read before"));
}

static void
test_accessible (void)
{
  g_autoptr (SlBench) bench = make_bench (6);
  SlSideView *view = show_view (bench);

  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_ROLE_IMG);
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_LABEL, "Side view");
  g_assert_true (gtk_test_accessible_has_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION));
  close_view (view);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/desk/side-view/crest", test_crest);
  g_test_add_func ("/desk/side-view/limits", test_limits);
  g_test_add_func ("/desk/side-view/neck-and-slot", test_neck_and_slot);
  g_test_add_func ("/desk/side-view/drag", test_drag);
  g_test_add_func ("/desk/side-view/click", test_click);
  g_test_add_func ("/desk/side-view/keys", test_keys);
  g_test_add_func ("/desk/side-view/left", test_left);
  g_test_add_func ("/desk/side-view/words", test_words);
  g_test_add_func ("/desk/side-view/earlier-words", test_earlier_words);
  g_test_add_func ("/desk/side-view/accessible", test_accessible);
  return g_test_run ();
}
