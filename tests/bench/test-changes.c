/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a bench tells of its changes, and how seldom it works out figures and proposals. No display. */
#include "counted.h"

#include "words/proposal.h"
#include "bench/bench.h"
#include "bench/readings-question.h"
#include "bench/profiles.h"
#include "bench/visit-edit.h"

#include "file/document.h"

/* What a bench told of its changes. */
typedef struct
{
  int times;
  guint changes; /* the last time */
} Told;

static void
on_changed (SlBench *bench, guint changes, gpointer data)
{
  Told *told = data;

  told->times++;
  told->changes = changes;
}

static SlBench *
make_bench (void)
{
  return sl_bench_new (sl_starting_profile ("flat-top"));
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

static void
remove_strings (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  while (profile->n_strings > 4)
    g_clear_pointer (&profile->strings[--profile->n_strings].note, g_free);
}

/* However many ask, an analysis is proposed from once, and again only when it or its units changed. */
static void
test_one_proposal_an_analysis (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  const SlProposal *proposal;
  g_autofree char *millimetres = NULL, *inches = NULL;
  SlTextStyle style;

  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.2));
  sl_bench_put_reading (bench, "e", make_reading (SL_READ_EXPOSURE, 6, 0, 6.0));
  n_proposals = 0;
  proposal = sl_bench_get_proposal (bench);
  g_assert_cmpuint (proposal->steps->len, >, 0);
  style = sl_bench_text_style (bench);
  millimetres = sl_step_reason (sl_bench_get_analysis (bench), &g_array_index (proposal->steps, SlStep, 0), &style);
  sl_bench_set_held (bench, 3);
  sl_bench_set_height_factor (bench, 7);
  g_assert_true (sl_bench_get_proposal (bench) == proposal);
  g_assert_cmpint (n_proposals, ==, 1);
  sl_bench_set_lengths (bench, SL_LENGTHS_INCH);
  style = sl_bench_text_style (bench);
  inches = sl_step_reason (sl_bench_get_analysis (bench),
                           &g_array_index (sl_bench_get_proposal (bench)->steps, SlStep, 0), &style);
  g_assert_cmpstr (inches, !=, millimetres);
  g_assert_cmpint (n_proposals, ==, 1); /* only said otherwise */
  sl_bench_propose_plan (bench);        /* takes what was proposed */
  g_assert_cmpint (n_proposals, ==, 1);
  g_assert_cmpuint (sl_bench_get_visit (bench)->plan->len, >, 0);
  sl_bench_get_proposal (bench);
  g_assert_cmpint (n_proposals, ==, 2);
}

/* ---- what changed ---- */

/* One part of a profile as text; a visit that has nothing of it does not show. */
static char *
print_part (const SlProfile *profile, SlChanges part)
{
  static SlProfile *other; /* lends its description to all parts but the description */
  g_autoptr (SlProfile) copy = sl_profile_copy (profile);
  g_autoptr (GBytes) bytes = NULL;
  GArray *visits = copy->visits;

  if (other == NULL)
    other = sl_starting_profile ("flat-top");
  for (guint i = visits->len; i-- > 0;)
    {
      SlVisit *visit = &g_array_index (visits, SlVisit, i);

      if ((part & SL_CHANGED_READINGS) == 0)
        g_array_set_size (visit->sets, 0);
      if ((part & SL_CHANGED_WORK) == 0)
        {
          g_array_set_size (visit->plan, 0);
          visit->plan_given = FALSE;
        }
      if ((part & SL_CHANGED_VISIT) == 0)
        {
          g_array_set_size (visit->checks, 0);
          g_array_set_size (visit->charges, 0);
          g_clear_pointer (&visit->note, g_free);
          g_clear_pointer (&visit->closed, g_free);
        }
      if ((part & SL_CHANGED_VISIT) == 0 && visit->sets->len + visit->plan->len == 0)
        g_array_remove_index (visits, i);
    }
  if ((part & SL_CHANGED_DESCRIPTION) != 0)
    bytes = sl_document_print (copy);
  else
    {
      copy->visits = other->visits;
      other->visits = visits;
      bytes = sl_document_print (other);
      other->visits = copy->visits;
      copy->visits = visits;
    }
  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

typedef struct
{
  SlBench *bench;
  Told told;
  SlProfile *before;
} Watched;

/* The change since the last look was told once, as @changes; and no part of the profile changed that was not told. */
static void
assert_told (Watched *w, SlChanges changes)
{
  const SlChanges parts[] = { SL_CHANGED_DESCRIPTION, SL_CHANGED_READINGS, SL_CHANGED_WORK, SL_CHANGED_VISIT };

  g_assert_cmpint (w->told.times, ==, 1);
  g_assert_cmphex (w->told.changes, ==, changes);
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autofree char *before = print_part (w->before, parts[i]);
      g_autofree char *after = print_part (sl_bench_get_profile (w->bench), parts[i]);

      if ((changes & parts[i]) == 0)
        g_assert_cmpstr (before, ==, after);
    }
  sl_profile_free (w->before);
  w->before = sl_profile_copy (sl_bench_get_profile (w->bench));
  w->told.times = 0;
}

/* A step tells what it changed, and undone and done again the same. */
static void
assert_step (Watched *w, SlChanges changes)
{
  changes |= SL_CHANGED_HISTORY;
  assert_told (w, changes);
  sl_bench_undo (w->bench);
  assert_told (w, changes);
  sl_bench_redo (w->bench);
  assert_told (w, changes);
}

static void
set_targets (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  profile->targets.given = TRUE;
  profile->targets.relief = sl_number (0.2);
}

static void
set_owner (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_free (profile->identity.owner);
  profile->identity.owner = g_strdup ("A. Player");
}

static void
test_changes_of_the_profile (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  Watched w = { bench, { 0 }, sl_profile_copy (sl_bench_get_profile (bench)) };

  g_signal_connect (bench, "changed", G_CALLBACK (on_changed), &w.told);
  sl_edit_amount (bench, SL_OP_TURN_ROD, 0, FALSE, -0.1);
  assert_step (&w, SL_CHANGED_PLAN | SL_CHANGED_VISIT); /* there was no visit */
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.2));
  assert_step (&w, SL_CHANGED_READINGS);
  sl_question_put (bench, &(SlQuestion){ SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 }, NAN);
  assert_step (&w, SL_CHANGED_READINGS);
  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.2));
  assert_step (&w, SL_CHANGED_READINGS);
  sl_edit_set_done (bench, SL_OP_TURN_ROD, TRUE);
  assert_step (&w, SL_CHANGED_WORK);
  sl_bench_propose_plan (bench);
  assert_step (&w, SL_CHANGED_PLAN);
  sl_edit_clear (bench, SL_OP_LOWER_SLOT);
  assert_told (&w, SL_CHANGED_PLAN | SL_CHANGED_HISTORY);
  sl_bench_read_again (bench, FALSE);
  assert_step (&w, SL_CHANGED_READINGS);
  sl_visit_set_note (bench, "buzz at fret 7");
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_start_checks (bench);
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_set_check_state (bench, 0, SL_CHECK_SOUND);
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_add_charge (bench, NULL);
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_set_charge_number (bench, 0, FALSE, 45);
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_set_closed (bench, TRUE);
  assert_step (&w, SL_CHANGED_VISIT);
  sl_visit_begin (bench);
  assert_step (&w, SL_CHANGED_VISIT | SL_CHANGED_READINGS | SL_CHANGED_WORK); /* none of the new one's */
  g_assert_null (sl_checked_edit (bench, "t", SL_CHANGED_TARGETS, set_targets, NULL));
  assert_step (&w, SL_CHANGED_TARGETS);
  sl_bench_edit (bench, "o", SL_CHANGED_TEXT, FALSE, set_owner, NULL);
  assert_step (&w, SL_CHANGED_TEXT);
  sl_bench_edit (bench, "fewer strings", SL_CHANGED_INSTRUMENT, FALSE, remove_strings, NULL);
  assert_told (&w, SL_CHANGED_INSTRUMENT | SL_CHANGED_STRING | SL_CHANGED_HISTORY);
  sl_bench_mark_saved (bench, sl_bench_get_revision (bench));
  assert_told (&w, SL_CHANGED_HISTORY);
  sl_profile_free (w.before);
}

/* What is only looked at is told as such, and works nothing out anew; what no figure rests on, neither. */
static void
test_changes_of_the_view (void)
{
  g_autoptr (SlBench) bench = make_bench ();
  Watched w = { bench, { 0 }, sl_profile_copy (sl_bench_get_profile (bench)) };

  sl_bench_get_proposal (bench);
  n_analyses = n_proposals = 0;
  g_signal_connect (bench, "changed", G_CALLBACK (on_changed), &w.told);
  sl_bench_follow (bench, SL_CHANGED_FIGURES, G_CALLBACK (sl_bench_get_proposal), bench);
  for (int i = 1; i <= 20; i++)
    {
      sl_bench_set_height_factor (bench, i);
      assert_told (&w, SL_CHANGED_HEIGHT_FACTOR);
    }
  sl_bench_set_height_factor (bench, 20);
  g_assert_cmpint (w.told.times, ==, 0);
  sl_bench_set_string (bench, 2);
  assert_told (&w, SL_CHANGED_STRING);
  sl_bench_set_held (bench, 2);
  assert_told (&w, SL_CHANGED_HELD);
  sl_visit_set_note (bench, "");
  g_assert_cmpint (w.told.times, ==, 0);
  sl_bench_edit (bench, "o", SL_CHANGED_TEXT, FALSE, set_owner, NULL);
  assert_told (&w, SL_CHANGED_TEXT | SL_CHANGED_HISTORY);
  sl_bench_get_proposal (bench);
  g_assert_cmpint (n_analyses, ==, 0);
  g_assert_cmpint (n_proposals, ==, 0);
  sl_bench_set_lengths (bench, SL_LENGTHS_INCH);
  assert_told (&w, SL_CHANGED_LENGTHS);
  sl_bench_get_proposal (bench);
  g_assert_cmpint (n_analyses, ==, 0);
  g_assert_cmpint (n_proposals, ==, 0);
  sl_profile_free (w.before);
}

/* ---- a drag, frame by frame ---- */

typedef struct
{
  SlBench *bench;
  int n_wanted, n_refreshed;
  double shown; /* the last amount that was shown */
} Screen;

static void
on_wanted (SlBench *bench, gpointer data)
{
  ((Screen *) data)->n_wanted++;
}

/* Several parts of a screen ask for everything. */
static void
refresh_screen (SlBench *bench, guint changes, gpointer data)
{
  Screen *screen = data;

  for (int part = 0; part < 5; part++)
    {
      g_assert_nonnull (sl_bench_get_proposal (bench));
      g_assert_nonnull (sl_bench_get_analysis (bench)->plan);
    }
  screen->n_refreshed++;
  screen->shown = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0)->amount.v;
}

static void
test_drag_works_out_once_a_frame (void)
{
  enum
  {
    FRAMES = 10,
    MOVES = 7
  };
  g_autoptr (SlBench) bench = make_bench ();
  Screen screen = { bench, 0, 0, 0 };
  SlGrip grip;

  sl_bench_put_reading (bench, "a", make_reading (SL_READ_ACTION, 6, 12, 3.2));
  sl_bench_set_string (bench, 0); /* both ends of the cut move, an edit each */
  sl_bench_set_wanted (bench, on_wanted, &screen);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  n_analyses = n_proposals = 0;
  g_signal_connect (bench, "changed", G_CALLBACK (refresh_screen), &screen);
  sl_bench_begin_gesture (bench, "drag");
  for (int frame = 1; frame <= FRAMES; frame++)
    {
      for (int move = 1; move <= MOVES; move++)
        sl_handle_move (bench, &grip, -0.01 * (frame * MOVES + move));
      g_assert_cmpint (screen.n_wanted, ==, frame);
      g_assert_cmpint (screen.n_refreshed, ==, frame - 1);
      sl_bench_announce (bench);
      g_assert_cmpint (screen.n_refreshed, ==, frame);
      g_assert_cmpint (n_analyses, ==, frame);
      g_assert_cmpint (n_proposals, ==, frame);
      g_assert_cmpfloat_with_epsilon (screen.shown, 0.01 * (frame * MOVES + MOVES), 1e-9);
      sl_bench_announce (bench); /* a frame without a move */
      g_assert_cmpint (screen.n_refreshed, ==, frame);
    }
  sl_handle_move (bench, &grip, -0.5); /* let go before the frame */
  sl_bench_end_gesture (bench);
  g_assert_cmpint (screen.n_refreshed, ==, FRAMES + 1);
  g_assert_cmpfloat (screen.shown, ==, 0.5);
  g_signal_handlers_disconnect_by_func (bench, refresh_screen, &screen);
  sl_bench_undo (bench);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "a");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/changes/one-proposal-an-analysis", test_one_proposal_an_analysis);
  g_test_add_func ("/changes/profile", test_changes_of_the_profile);
  g_test_add_func ("/changes/view", test_changes_of_the_view);
  g_test_add_func ("/changes/drag", test_drag_works_out_once_a_frame);
  return g_test_run ();
}
