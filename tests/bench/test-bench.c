/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench without a display: what a gesture is, what undo brings back, and what counts as saved. The starting
 * profiles are what it works on. */
#include "bench/bench.h"
#include "bench/readings-question.h"
#include "bench/settings.h"
#include "bench/profiles.h"
#include "bench/visit-edit.h"

#include "file/document.h"
#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"

#include <math.h>
#include <string.h>

static void
count_signal (SlBench *bench, guint changes, gpointer data)
{
  ++*(int *) data;
}

static SlBench *
make_bench (void)
{
  return sl_bench_new (sl_starting_profile ("flat-top"));
}

static char *
print_bench (SlBench *bench)
{
  g_autoptr (GBytes) bytes = sl_document_print (sl_bench_get_profile (bench));

  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

static SlReading
make_reading (SlReadingKind kind, int string, int fret, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.string = string;
  reading.fret = fret;
  reading.value = sl_number (value);
  return reading;
}

static SlOperation
make_operation (SlOperationKind kind, int string, double amount)
{
  SlOperation operation = sl_operation_init (kind);

  operation.string = string;
  operation.amount = sl_number (amount);
  if (kind == SL_OP_CUT_SADDLE_BASE)
    operation.amount_treble = sl_number (amount);
  return operation;
}

static double
planned_action (SlBench *bench, int string)
{
  return sl_bench_get_analysis (bench)->planned_figures.action[string - 1][12].value;
}

static void
test_first_reading_opens_a_visit (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *today = g_date_time_format (now, "%Y-%m-%d");
  g_autofree char *before = print_bench (bench);
  g_autofree char *after = NULL;

  g_assert_null (sl_bench_get_visit (bench));
  g_assert_null (sl_bench_get_set (bench));
  sl_bench_put_reading (bench, "action", make_reading (SL_READ_ACTION, 6, 12, 2.9));
  g_assert_cmpstr (sl_bench_get_visit (bench)->id, ==, "v1");
  g_assert_cmpstr (sl_bench_get_visit (bench)->opened, ==, today);
  g_assert_cmpstr (sl_bench_get_set (bench)->id, ==, "r1");
  g_assert_cmpint (sl_bench_get_set (bench)->stage, ==, SL_STAGE_RECEIVED);
  g_assert_true (sl_is_iso8601 (sl_bench_get_set (bench)->taken));
  /* the day of the visit and that of its readings are one: the day where the shop is, and the text says where that is
   */
  g_assert_true (g_str_has_prefix (sl_bench_get_set (bench)->taken, today));
  g_assert_true (g_str_has_suffix (sl_bench_get_set (bench)->taken, "+11:00") ||
                 g_str_has_suffix (sl_bench_get_set (bench)->taken, "+10:00"));
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, 1);
  g_assert_true (sl_bench_get_analysis (bench)->set == sl_bench_get_set (bench));

  sl_bench_undo (bench);
  after = print_bench (bench);
  g_assert_cmpstr (before, ==, after);
}

static void
add_visit_and_set (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlVisit fresh = sl_visit_init ();
  SlReadingSet readings = sl_reading_set_init ();

  fresh.id = sl_unused_id (profile, "v");
  fresh.opened = g_strdup ("2024-05-02");
  readings.id = sl_unused_id (profile, "r");
  readings.taken = g_strdup ("2024-05-02T09:00:00Z");
  g_array_append_val (fresh.sets, readings);
  g_array_append_val (profile->visits, fresh);
}

static void
remove_last_visit (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_array_set_size (profile->visits, profile->visits->len - 1);
}

static void
exchange (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlProfile *other = data, kept = *profile;

  *profile = *other;
  *other = kept;
}

/* What refers to an id (a carried reading, words of one's own for a visit) may outlive what had it: no other gets it.
 */
static void
test_ids_do_not_come_back (void)
{
  g_autoptr (SlBench) bench = make_bench (), next = NULL;
  g_autoptr (SlProfile) other = NULL;

  sl_bench_edit (bench, "first", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  sl_bench_edit (bench, "second", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  g_assert_cmpstr (sl_bench_get_visit (bench)->id, ==, "v2");
  g_assert_cmpstr (sl_bench_get_set (bench)->id, ==, "r2");
  next = sl_bench_new (sl_profile_copy (sl_bench_get_profile (bench))); /* as if read from a file */

  sl_bench_edit (bench, "remove", SL_CHANGED_PROFILE, FALSE, remove_last_visit, NULL);
  sl_bench_edit (bench, "third", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  g_assert_cmpstr (sl_bench_get_visit (bench)->id, ==, "v3");
  g_assert_cmpstr (sl_bench_get_set (bench)->id, ==, "r3");
  sl_bench_undo (bench);
  sl_bench_edit (bench, "fourth", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  g_assert_cmpstr (sl_bench_get_visit (bench)->id, ==, "v4");

  /* another version of the document, which knows of none of them */
  other = sl_starting_profile ("flat-top");
  sl_bench_edit (bench, "theirs", SL_CHANGED_PROFILE, FALSE, exchange, other);
  sl_bench_edit (bench, "fifth", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  g_assert_cmpstr (sl_bench_get_visit (bench)->id, ==, "v5");

  sl_bench_edit (next, "remove", SL_CHANGED_PROFILE, FALSE, remove_last_visit, NULL);
  sl_bench_edit (next, "add", SL_CHANGED_VISIT, FALSE, add_visit_and_set, NULL);
  g_assert_cmpstr (sl_bench_get_set (next)->id, ==, "r3");
}

static void
test_readings_put_and_removed (void)
{
  const SlQuestion action = { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 };
  g_autoptr (SlBench) bench = make_bench ();
  int changes = 0;

  g_signal_connect (bench, "changed", G_CALLBACK (count_signal), &changes);
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 2.9));
  sl_bench_put_reading (bench, "b", make_reading (SL_READ_ACTION, 1, 12, 2.1));
  sl_bench_put_reading (bench, "c", make_reading (SL_READ_ACTION, 6, 12, 2.8));
  g_assert_cmpint (changes, ==, 3);
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, 2);
  /* The fit goes through what was read where nothing else weighs on it. */
  g_assert_cmpfloat_with_epsilon (sl_bench_get_analysis (bench)->measured_figures.action[5][12].value, 2.8, 1e-3);

  sl_question_put (bench, &action, NAN);
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, 1);
  sl_question_put (bench, &action, NAN); /* none there */
  g_assert_cmpint (changes, ==, 4);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "reading: action, string 6");
  sl_bench_undo (bench);
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, 2);
}

static void
test_gesture_is_one_step (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  g_autofree char *before = print_bench (bench);
  g_autofree char *after = NULL, *undone = NULL, *redone = NULL;
  double action = planned_action (bench, 6);

  sl_bench_begin_gesture (bench, "cut saddle base");
  for (int i = 1; i <= 20; i++)
    {
      sl_bench_put_operation (bench, "inner name", make_operation (SL_OP_CUT_SADDLE_BASE, 0, 0.05 * i));
      g_assert_cmpfloat (planned_action (bench, 6), <, action); /* live while it is dragged */
      action = planned_action (bench, 6);
    }
  sl_bench_end_gesture (bench);
  after = print_bench (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "cut saddle base");
  g_assert_null (sl_bench_get_redo_name (bench));

  sl_bench_undo (bench);
  undone = print_bench (bench);
  g_assert_cmpstr (undone, ==, before);
  g_assert_null (sl_bench_get_undo_name (bench));
  g_assert_cmpstr (sl_bench_get_redo_name (bench), ==, "cut saddle base");

  sl_bench_redo (bench);
  redone = print_bench (bench);
  g_assert_cmpstr (redone, ==, after);
  g_assert_cmpfloat_with_epsilon (planned_action (bench, 6), action, 1e-12);
}

static void
test_nested_gestures_are_one_step (void)
{
  g_autoptr (SlBench) bench = make_bench ();

  sl_bench_begin_gesture (bench, "outer");
  sl_bench_put_operation (bench, "a", make_operation (SL_OP_TURN_ROD, 0, -0.05));
  sl_bench_begin_gesture (bench, "inner");
  sl_bench_put_operation (bench, "b", make_operation (SL_OP_TURN_ROD, 0, -0.10));
  sl_bench_end_gesture (bench);
  sl_bench_put_operation (bench, "c", make_operation (SL_OP_LOWER_SLOT, 2, 0.03));
  sl_bench_end_gesture (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "outer");
  sl_bench_undo (bench);
  g_assert_null (sl_bench_get_undo_name (bench));
  g_assert_null (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0));
}

static void
test_gesture_that_changes_nothing_leaves_no_step (void)
{
  g_autoptr (SlBench) bench = make_bench ();

  sl_bench_put_operation (bench, "first", make_operation (SL_OP_TURN_ROD, 0, -0.05));
  sl_bench_mark_saved (bench, sl_bench_get_revision (bench));

  sl_bench_begin_gesture (bench, "nothing at all");
  sl_bench_end_gesture (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "first");

  sl_bench_begin_gesture (bench, "there and back");
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.10));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.05));
  sl_bench_end_gesture (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "first");
  g_assert_false (sl_bench_is_modified (bench));
}

static void
test_new_step_ends_redo (void)
{
  g_autoptr (SlBench) bench = make_bench ();

  sl_bench_put_operation (bench, "one", make_operation (SL_OP_TURN_ROD, 0, -0.05));
  sl_bench_put_operation (bench, "two", make_operation (SL_OP_TURN_ROD, 0, -0.10));
  sl_bench_undo (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "one");
  g_assert_cmpstr (sl_bench_get_redo_name (bench), ==, "two");
  sl_bench_put_operation (bench, "three", make_operation (SL_OP_TURN_ROD, 0, -0.15));
  g_assert_null (sl_bench_get_redo_name (bench));
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "three");
  sl_bench_redo (bench); /* nothing to redo: nothing happens */
  g_assert_cmpfloat (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0)->amount.v, ==, -0.15);
}

static void
test_undo_inside_a_gesture (void)
{
  g_autoptr (SlBench) bench = make_bench ();

  sl_bench_begin_gesture (bench, "drag");
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.10));
  sl_bench_undo (bench);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.20));
  sl_bench_end_gesture (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "drag");
  sl_bench_undo (bench);
  g_assert_null (sl_bench_get_undo_name (bench));
}

static void
test_saved_state (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  guint64 revision;

  g_assert_false (sl_bench_is_modified (bench));
  sl_bench_put_operation (bench, "one", make_operation (SL_OP_TURN_ROD, 0, -0.05));
  g_assert_true (sl_bench_is_modified (bench));
  sl_bench_mark_saved (bench, sl_bench_get_revision (bench));
  g_assert_false (sl_bench_is_modified (bench));
  sl_bench_undo (bench);
  g_assert_true (sl_bench_is_modified (bench));
  sl_bench_redo (bench);
  g_assert_false (sl_bench_is_modified (bench));

  /* Work goes on while a file is being written. */
  sl_bench_put_operation (bench, "two", make_operation (SL_OP_TURN_ROD, 0, -0.10));
  revision = sl_bench_get_revision (bench);
  sl_bench_put_operation (bench, "three", make_operation (SL_OP_TURN_ROD, 0, -0.15));
  sl_bench_mark_saved (bench, revision);
  g_assert_true (sl_bench_is_modified (bench));
  sl_bench_undo (bench);
  g_assert_false (sl_bench_is_modified (bench));

  /* A drag under way when it was saved goes on as another step. */
  sl_bench_begin_gesture (bench, "drag");
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.20));
  sl_bench_mark_saved (bench, sl_bench_get_revision (bench));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.30));
  sl_bench_end_gesture (bench);
  g_assert_true (sl_bench_is_modified (bench));
  sl_bench_undo (bench);
  g_assert_false (sl_bench_is_modified (bench));
}

static void
assert_order (SlBench *bench)
{
  const GArray *plan = sl_bench_get_visit (bench)->plan;

  for (guint i = 1; i < plan->len; i++)
    {
      const SlOperation *a = &g_array_index (plan, SlOperation, i - 1), *b = &g_array_index (plan, SlOperation, i);

      g_assert_true (a->kind < b->kind || (a->kind == b->kind && a->string < b->string));
    }
}

static void
test_operations_keep_their_order (void)
{
  g_autoptr (SlBench) bench = make_bench ();

  sl_bench_put_operation (bench, "x", make_operation (SL_OP_MOVE_CREST, 2, 0.5));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_CUT_SADDLE_BASE, 0, 0.4));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_LOWER_SLOT, 6, 0.1));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_LOWER_SLOT, 1, 0.1));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_TURN_ROD, 0, -0.1));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_LEVEL_FRETS, 0, 0.0));
  sl_bench_put_operation (bench, "x", make_operation (SL_OP_LOWER_SLOT, 6, 0.2)); /* in place of the earlier one */
  g_assert_cmpuint (sl_bench_get_visit (bench)->plan->len, ==, 6);
  assert_order (bench);
  g_assert_cmpfloat (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6)->amount.v, ==, 0.2);
  sl_bench_remove_operation (bench, "y", SL_OP_LOWER_SLOT, 6);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6));
  sl_bench_remove_operation (bench, "not there", SL_OP_LOWER_SLOT, 6);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "y");
}

static void
mark_rod_done (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  for (guint i = 0; i < visit->plan->len; i++)
    {
      SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->kind == SL_OP_TURN_ROD)
        operation->done = g_strdup ("2099-01-01T00:00:00Z"); /* after any reading */
    }
}

static void
test_proposal (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  const SlInstrument *instrument;

  sl_bench_put_reading (bench, "r", make_reading (SL_READ_RELIEF, 1, 7, 0.30));
  sl_bench_put_reading (bench, "r", make_reading (SL_READ_RELIEF, 6, 7, 0.30));
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 1, 12, 2.9));
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.5));
  sl_bench_put_reading (bench, "e", make_reading (SL_READ_EXPOSURE, 1, 0, 5.0));
  sl_bench_put_reading (bench, "e", make_reading (SL_READ_EXPOSURE, 6, 0, 6.0));
  sl_bench_propose_plan (bench);
  instrument = &sl_bench_get_analysis (bench)->instrument;
  g_assert_nonnull (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0));
  g_assert_nonnull (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
  /* The plan's own aim (model 6): no string below its target, the outer ones on it to the plan's rounding. */
  g_assert_cmpfloat_with_epsilon (planned_action (bench, 6), instrument->target_action[5], 0.05);
  g_assert_cmpfloat_with_epsilon (planned_action (bench, 1), instrument->target_action[0], 0.05);

  /* What is done stays, and is not proposed again although the readings don't show it yet. */
  sl_bench_edit (bench, "done", SL_CHANGED_WORK, FALSE, mark_rod_done, NULL);
  sl_bench_propose_plan (bench);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0));
  g_assert_cmpfloat_with_epsilon (planned_action (bench, 6), sl_bench_get_analysis (bench)->instrument.target_action[5],
                                  0.05);
}

static void
remove_strings (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  while (profile->n_strings > 4)
    g_clear_pointer (&profile->strings[--profile->n_strings].note, g_free);
}

static void
test_what_is_looked_at_stays_inside (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  int changes = 0;

  g_signal_connect (bench, "changed", G_CALLBACK (count_signal), &changes);
  g_assert_cmpint (sl_bench_get_string (bench), ==, 6); /* the bass string first */
  sl_bench_set_held (bench, 99);
  g_assert_cmpint (sl_bench_get_held (bench), ==, 19); /* the last fret a string can be held at with one beyond it */
  sl_bench_set_string (bench, 6);
  g_assert_cmpint (changes, ==, 1);
  sl_bench_edit (bench, "fewer strings", SL_CHANGED_INSTRUMENT, FALSE, remove_strings, NULL);
  g_assert_cmpint (sl_bench_get_string (bench), ==, 4);
  g_assert_cmpint (changes, ==, 2);
}

static void
test_lengths (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  g_autofree char *mm = sl_bench_length (bench, 2.0, 2, TRUE);
  g_autofree char *inch = NULL;
  int changes = 0;

  g_signal_connect (bench, "changed", G_CALLBACK (count_signal), &changes);
  sl_bench_set_lengths (bench, SL_LENGTHS_64THS);
  inch = sl_bench_length (bench, 2.0, 2, TRUE);
  g_assert_cmpstr (mm, ==, "2.00 mm");
  g_assert_cmpstr (inch, ==, "5/64 in"); /* 2.00 mm is 5.04 64ths: 25.4 mm an inch, NIST SP 811 */
  g_assert_cmpint (changes, ==, 1);
  g_assert_false (sl_bench_is_modified (bench));
}

static const SlReadingSet *
nth_set (SlBench *bench, guint i)
{
  return &g_array_index (sl_bench_get_visit (bench)->sets, SlReadingSet, i);
}

static void
add_tool (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const SlTool tool = { .measures = SL_TOOL_ACTION, .resolution = sl_number (0.05), .error_limit = SL_NUMBER_ABSENT };

  g_array_append_val (set->tools, tool);
}

static void
set_taken (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_free (set->taken);
  set->taken = g_strdup (data);
}

/* Reading again: the stage moves on from received and stays final, the tools are those used last, and a set that still
 * has no reading is the one to fill: from now on, so that work done in the meantime is behind it. */
static void
test_read_again (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  const char *old = "2026-01-05T09:00:00Z";

  sl_bench_read_again (bench, FALSE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 1);
  g_assert_cmpint (nth_set (bench, 0)->stage, ==, SL_STAGE_RECEIVED);
  sl_bench_put_reading (bench, "action", make_reading (SL_READ_ACTION, 6, 12, 2.9));
  sl_bench_read_again (bench, FALSE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 2);
  g_assert_cmpint (nth_set (bench, 1)->stage, ==, SL_STAGE_DURING);
  g_assert_true (sl_bench_get_set (bench) == nth_set (bench, 1));

  /* pressed once more, nothing read in between */
  sl_bench_edit (bench, "tool", SL_CHANGED_READINGS, TRUE, add_tool, NULL);
  sl_bench_edit (bench, "earlier", SL_CHANGED_READINGS, TRUE, set_taken, (gpointer) old);
  sl_bench_read_again (bench, FALSE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 2);
  g_assert_cmpstr (nth_set (bench, 1)->taken, !=, old);
  sl_bench_undo (bench);
  g_assert_cmpstr (nth_set (bench, 1)->taken, ==, old);
  sl_bench_read_again (bench, TRUE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 2);
  g_assert_cmpint (nth_set (bench, 1)->stage, ==, SL_STAGE_FINAL);

  /* an older set is looked at: the new one still comes last, with the tools used last, and is the one shown */
  sl_bench_put_reading (bench, "action", make_reading (SL_READ_ACTION, 6, 12, 2.3));
  sl_bench_show_set (bench, nth_set (bench, 0)->id);
  sl_bench_read_again (bench, FALSE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 3);
  g_assert_true (sl_bench_get_set (bench) == nth_set (bench, 2));
  g_assert_cmpint (nth_set (bench, 2)->stage, ==, SL_STAGE_FINAL);
  g_assert_cmpuint (nth_set (bench, 2)->tools->len, ==, 1);
  g_assert_cmpfloat (g_array_index (nth_set (bench, 2)->tools, SlTool, 0).resolution.v, ==, 0.05);

  /* the last set is empty, an older one is looked at: it is the last that is shown and filled */
  sl_bench_show_set (bench, nth_set (bench, 0)->id);
  sl_bench_read_again (bench, FALSE);
  g_assert_cmpuint (sl_bench_get_visit (bench)->sets->len, ==, 3);
  g_assert_true (sl_bench_get_set (bench) == nth_set (bench, 2));
}

/* ---- the shop ---- */

static double
proposed_cut (SlBench *bench)
{
  const SlOperation *cut;

  sl_bench_propose_plan (bench);
  cut = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0);
  return cut != NULL ? cut->amount.v : 0;
}

/* What the shop sets holds on what is open: with no change of its own a bench computes anew, once a change, and not for
 * what is none. */
static void
test_shop_changes_what_is_open (void)
{
  g_autoptr (SlBench) bench = make_bench (), other = make_bench ();
  const SlShop defaults = SL_SHOP_DEFAULT;
  int changes = 0;
  double fine, coarse;

  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 1, 12, 2.9));
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.5));
  sl_bench_put_reading (bench, "e", make_reading (SL_READ_EXPOSURE, 1, 0, 5.0));
  sl_bench_put_reading (bench, "e", make_reading (SL_READ_EXPOSURE, 6, 0, 6.0));
  fine = proposed_cut (bench);
  g_assert_cmpfloat (fine, >, 0.5);
  g_assert_true (sl_shop_equal (&sl_bench_get_analysis (bench)->shop, &defaults));
  g_signal_connect (bench, "changed", G_CALLBACK (count_signal), &changes);
  sl_settings_set ("cut-step", g_variant_new_double (0.25));
  g_assert_cmpint (changes, ==, 1);
  g_assert_cmpfloat (sl_bench_get_analysis (bench)->shop.cut_step_mm, ==, 0.25);
  g_assert_cmpfloat (sl_bench_get_analysis (other)->shop.cut_step_mm, ==, 0.25);
  sl_settings_set ("cut-step", g_variant_new_double (0.25));
  g_assert_cmpint (changes, ==, 1);
  coarse = proposed_cut (bench);
  g_assert_cmpfloat_with_epsilon (remainder (coarse, 0.25), 0, 1e-9);
  g_assert_cmpfloat (coarse, <=, fine);
  g_assert_cmpfloat (coarse, >, fine - 0.25);
  sl_settings_set ("work-rod", g_variant_new_double (0.4));
  g_assert_cmpfloat (sl_bench_get_analysis (bench)->shop.work.rod_share, ==, 0.4);
  g_settings_reset (sl_settings (), "cut-step");
  g_settings_reset (sl_settings (), "work-rod");
  g_assert_true (sl_shop_equal (&sl_bench_get_analysis (bench)->shop, &defaults));
}

/* A day @days from today. */
static char *
day_from_now (int days)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local (), then = g_date_time_add_days (now, days);

  return g_date_time_format (then, "%Y-%m-%d");
}

/* What stands in a document that can be read again, as saving asks. */
static void
assert_sound (SlBench *bench)
{
  g_autofree char *text = print_bench (bench);
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (SlProfile) back = sl_document_parse (text, strlen (text), faults);

  g_assert_cmpuint (faults->len, ==, 0);
  g_assert_nonnull (back);
}

static void
open_on (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer day)
{
  g_free (visit->opened);
  visit->opened = g_strdup (day);
}

static void
close_on (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer day)
{
  g_free (visit->closed);
  visit->closed = g_strdup (day);
}

/* A visit opened by a clock that was ahead, or a day east of here: it is closed all the same, what would be right is
 * offered, and the day can be changed. */
static void
test_visit_ahead (void)
{
  static const int days_ahead[] = { 1, 400 };

  for (guint i = 0; i < G_N_ELEMENTS (days_ahead); i++)
    {
      g_autoptr (SlBench) bench = make_bench ();
      g_autofree char *ahead = day_from_now (days_ahead[i]), *today = day_from_now (0),
                      *zoned = g_strconcat (ahead, "T01:00:00+14:00", NULL), *right = NULL, *none = NULL, *wrong = NULL;

      sl_visit_begin (bench);
      g_assert_null (sl_visit_right_day (bench));
      sl_bench_edit (bench, "ahead", SL_CHANGED_VISIT, FALSE, open_on, i == 0 ? ahead : zoned);
      right = sl_visit_right_day (bench);
      g_assert_cmpstr (right, ==, today);
      sl_visit_set_closed (bench, TRUE);
      g_assert_cmpstr (sl_bench_get_visit (bench)->closed, ==, ahead);
      assert_sound (bench);
      wrong = sl_visit_set_opened (bench, ahead);
      g_assert_null (wrong); /* the day that stands there */
      g_assert_null (sl_visit_set_opened (bench, right));
      g_assert_cmpstr (sl_bench_get_visit (bench)->opened, ==, today);
      g_assert_cmpstr (sl_bench_get_visit (bench)->closed, ==, today);
      none = sl_visit_right_day (bench);
      g_assert_null (none);
      assert_sound (bench);
      /* the next visit closes one that was left open */
      sl_visit_set_closed (bench, FALSE);
      sl_bench_edit (bench, "ahead", SL_CHANGED_VISIT, FALSE, open_on, ahead);
      sl_visit_begin (bench);
      assert_sound (bench);
    }
}

/* The day the visit was opened, as it is typed. */
static void
test_visit_day (void)
{
  static const char *const wrong[] = {
    "", "yesterday", "2026-02-30", "2.3.2026", "2026-03-02T08:00:00Z", "9999-01-01"
  };
  g_autoptr (SlBench) bench = make_bench ();
  g_autofree char *today = day_from_now (0), *said = NULL;

  sl_visit_begin (bench);
  for (guint i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      g_autofree char *complaint = sl_visit_set_opened (bench, wrong[i]);

      g_test_message ("%s", complaint);
      g_assert_nonnull (strstr (complaint, wrong[i]));
      g_assert_nonnull (strstr (complaint, today));
      g_assert_cmpstr (sl_bench_get_visit (bench)->opened, ==, today);
    }
  g_assert_null (sl_visit_set_opened (bench, "2026-03-02"));
  g_assert_cmpstr (sl_bench_get_visit (bench)->opened, ==, "2026-03-02");
  sl_bench_edit (bench, "closed", SL_CHANGED_VISIT, FALSE, close_on, (gpointer) "2026-03-05");
  said = sl_visit_set_opened (bench, "2026-03-06");
  g_assert_nonnull (strstr (said, "2026-03-05"));
  g_assert_null (sl_visit_set_opened (bench, "2026-03-05"));
  g_assert_cmpstr (sl_bench_get_visit (bench)->closed, ==, "2026-03-05");
  assert_sound (bench);
  sl_bench_undo (bench);
  g_assert_cmpstr (sl_bench_get_visit (bench)->opened, ==, "2026-03-02");
}

int
main (int argc, char **argv)
{
  g_setenv ("TZ", "Australia/Sydney", TRUE); /* ahead of UTC by 10 or 11 hours: its morning is yesterday there */
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bench/first-reading-opens-a-visit", test_first_reading_opens_a_visit);
  g_test_add_func ("/bench/ids-do-not-come-back", test_ids_do_not_come_back);
  g_test_add_func ("/bench/readings-put-and-removed", test_readings_put_and_removed);
  g_test_add_func ("/bench/gesture-is-one-step", test_gesture_is_one_step);
  g_test_add_func ("/bench/nested-gestures", test_nested_gestures_are_one_step);
  g_test_add_func ("/bench/gesture-without-change", test_gesture_that_changes_nothing_leaves_no_step);
  g_test_add_func ("/bench/new-step-ends-redo", test_new_step_ends_redo);
  g_test_add_func ("/bench/undo-inside-a-gesture", test_undo_inside_a_gesture);
  g_test_add_func ("/bench/saved-state", test_saved_state);
  g_test_add_func ("/bench/order-of-operations", test_operations_keep_their_order);
  g_test_add_func ("/bench/proposal", test_proposal);
  g_test_add_func ("/bench/looked-at", test_what_is_looked_at_stays_inside);
  g_test_add_func ("/bench/lengths", test_lengths);
  g_test_add_func ("/bench/read-again", test_read_again);
  g_test_add_func ("/bench/shop", test_shop_changes_what_is_open);
  g_test_add_func ("/bench/visit-ahead", test_visit_ahead);
  g_test_add_func ("/bench/visit-day", test_visit_day);
  return g_test_run ();
}
