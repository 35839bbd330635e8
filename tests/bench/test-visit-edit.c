/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Changes of a visit, of what is asked and of the plan by a handle: what each does, that it is one step, and that what
 * changes nothing is none. */
#include <math.h>
#include <string.h>

#include "../file/support.h"
#include "bench/bench.h"
#include "bench/readings-question.h"
#include "bench/settings.h"
#include "bench/profiles.h"
#include "bench/visit-edit.h"
#include "setup/profile/bounds.h"
#include "words/dates.h"

static SlBench *
open_example (void)
{
  g_autofree char *text = test_example (NULL);

  return sl_bench_new (test_parse (text));
}

static const SlVisit *
visit_of (SlBench *bench)
{
  return sl_bench_get_visit (bench);
}

static const SlCheck *
check_at (SlBench *bench, guint i)
{
  return &g_array_index (visit_of (bench)->checks, SlCheck, i);
}

static const SlCharge *
charge_at (SlBench *bench, guint i)
{
  return &g_array_index (visit_of (bench)->charges, SlCharge, i);
}

/* Takes @text. */
static void
assert_says (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

static void
test_visits (void)
{
  g_autoptr (SlBench) bench = open_example (), bare = NULL;
  g_autofree char *today = sl_today_iso ();
  SlProfile *unseen;

  sl_visit_begin (bench);
  g_assert_cmpuint (sl_bench_get_profile (bench)->visits->len, ==, 2);
  g_assert_cmpstr (visit_of (bench)->opened, ==, today);
  g_assert_cmpstr (visit_of (bench)->id, !=, "v1");
  /* the one before ends */
  g_assert_cmpstr (g_array_index (sl_bench_get_profile (bench)->visits, SlVisit, 0).closed, ==, today);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "new visit");
  sl_visit_set_closed (bench, FALSE); /* it is open */
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "new visit");
  sl_visit_set_closed (bench, TRUE);
  g_assert_cmpstr (visit_of (bench)->closed, ==, today);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "close the visit");
  sl_visit_set_closed (bench, FALSE);
  g_assert_null (visit_of (bench)->closed);
  sl_visit_set_note (bench, "It buzzes.");
  g_assert_cmpstr (visit_of (bench)->note, ==, "It buzzes.");
  sl_visit_set_note (bench, "It buzzes.");
  sl_visit_set_note (bench, "");
  g_assert_null (visit_of (bench)->note);
  sl_bench_undo (bench);
  sl_bench_undo (bench);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "open the visit again");
  /* without a visit a note begins one, and nothing else has anything to change */
  unseen = sl_profile_copy (sl_bench_get_profile (bench));
  g_array_set_size (unseen->visits, 0);
  bare = sl_bench_new (unseen);
  sl_visit_set_note (bare, "");
  sl_visit_set_closed (bare, TRUE);
  sl_visit_remove_nth (bare, FALSE, 0);
  sl_visit_set_check_note (bare, 0, "x");
  sl_visit_set_charge_what (bare, 0, "x");
  sl_visit_set_charge_number (bare, 0, TRUE, 1);
  g_assert_null (sl_bench_get_undo_name (bare));
  sl_visit_set_note (bare, "First time here.");
  g_assert_cmpstr (visit_of (bare)->note, ==, "First time here.");
  g_assert_cmpstr (sl_stage_title (SL_STAGE_DURING), ==, "During work");
}

static void
test_checks (void)
{
  g_autoptr (SlBench) bench = open_example ();
  guint n;

  sl_visit_start_checks (bench);
  n = visit_of (bench)->checks->len;
  g_assert_cmpuint (n, >, 3);
  sl_visit_start_checks (bench); /* it has some */
  g_assert_cmpuint (visit_of (bench)->checks->len, ==, n);
  sl_visit_add_check (bench, "  Strap button ");
  sl_visit_add_check (bench, " ");
  g_assert_cmpuint (visit_of (bench)->checks->len, ==, n + 1);
  g_assert_cmpstr (check_at (bench, n)->name, ==, "Strap button");
  g_assert_cmpint (check_at (bench, n)->state, ==, SL_CHECK_OPEN);
  sl_visit_set_check_state (bench, n, SL_CHECK_ATTEND);
  g_assert_cmpint (check_at (bench, n)->state, ==, SL_CHECK_ATTEND);
  sl_visit_set_check_note (bench, n, "loose");
  g_assert_cmpstr (check_at (bench, n)->note, ==, "loose");
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "note of a check");
  sl_visit_set_check_note (bench, n, "loose");
  sl_visit_set_check_state (bench, n, SL_CHECK_ATTEND);
  sl_visit_set_check_state (bench, n + 1, SL_CHECK_SOUND); /* there is none */
  sl_visit_remove_nth (bench, FALSE, n + 1);
  sl_bench_undo (bench);
  g_assert_null (check_at (bench, n)->note);
  sl_visit_remove_nth (bench, FALSE, 0);
  g_assert_cmpuint (visit_of (bench)->checks->len, ==, n);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "remove a check");
}

static void
test_charges (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const SlUsualCharge usual = { (char *) "Full setup", 90, 85.5 };

  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string ("EUR"));
  sl_visit_add_charge (bench, &usual);
  g_assert_cmpstr (charge_at (bench, 0)->what, ==, "Full setup");
  g_assert_cmpfloat (charge_at (bench, 0)->minutes.v, ==, 90);
  g_assert_cmpfloat (charge_at (bench, 0)->amount.v, ==, 85.5);
  g_assert_cmpint (charge_at (bench, 0)->amount.places, ==, 2); /* the C locale gives none: as most money has */
  g_assert_cmpstr (charge_at (bench, 0)->currency, ==, "EUR");
  /* what is added goes on in the currency of the visit, whatever the shop's is by then */
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string ("GBP"));
  sl_visit_add_charge (bench, NULL);
  g_assert_cmpstr (charge_at (bench, 1)->what, ==, "Setup");
  g_assert_cmpstr (charge_at (bench, 1)->currency, ==, "EUR");
  g_assert_false (sl_number_is_set (charge_at (bench, 1)->amount));
  sl_visit_set_charge_what (bench, 1, "Strings");
  sl_visit_set_charge_number (bench, 1, TRUE, 12);
  sl_visit_set_charge_number (bench, 1, FALSE, 5);
  g_assert_cmpstr (charge_at (bench, 1)->what, ==, "Strings");
  g_assert_cmpfloat (charge_at (bench, 1)->amount.v, ==, 12);
  g_assert_cmpfloat (charge_at (bench, 1)->minutes.v, ==, 5);
  sl_visit_set_charge_number (bench, 1, FALSE, NAN);
  g_assert_false (sl_number_is_set (charge_at (bench, 1)->minutes));
  sl_visit_set_charge_what (bench, 1, "Strings");
  sl_visit_set_charge_number (bench, 2, TRUE, 1); /* there is none */
  sl_visit_remove_nth (bench, TRUE, 0);
  g_assert_cmpuint (visit_of (bench)->charges->len, ==, 1);
  g_assert_cmpstr (charge_at (bench, 0)->what, ==, "Strings");
  sl_visit_remove_nth (bench, TRUE, 1);
  g_assert_cmpuint (visit_of (bench)->charges->len, ==, 1);
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string (""));
}

/* The example plans levelling, rod, slot, base, break point. */
static void
test_order (void)
{
  g_autoptr (SlBench) bench = open_example ();

  g_assert_true (g_str_has_prefix (sl_visit_move_operation (bench, 3, 1), "The rod is adjusted before"));
  g_assert_null (sl_bench_get_undo_name (bench));
  sl_edit_amount (bench, SL_OP_LOWER_SLOT, 1, FALSE, 0.05);
  g_assert_null (sl_visit_move_operation (bench, 3, 2));
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "order of work");
}

/* ---- what is asked ---- */

static SlQuestion
question (int ask, int string, int fret, SlHeld held)
{
  return (SlQuestion){ ask, string, fret, held, 0 };
}

/* Relief bass before treble, then the extension, the nut from the bass side, actions at 12, the saddle, the air. */
static void
test_usual (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const SlProfile *profile = sl_bench_get_profile (bench); /* six strings, 20 frets, joined at 14 */
  g_autoptr (GArray) usual = sl_questions_usual (profile);
  const SlQuestion first = question (SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT);
  SlQuestionGroup group = SL_GROUP_NECK;

  /* 2 of relief, the extension, 5 of each string, 20 crowns, 2 of the air */
  g_assert_cmpuint (usual->len, ==, 2 + 1 + 5 * 6 + 20 + 2);
  g_assert_true (sl_question_equal (&g_array_index (usual, SlQuestion, 0), &first));
  g_assert_true (sl_questions_hold (usual, &first));
  for (guint i = 0; i < usual->len; i++)
    {
      const SlQuestion *q = &g_array_index (usual, SlQuestion, i);

      g_assert_cmpint (sl_question_group (q), >=, group);
      group = sl_question_group (q);
    }
}

/* Which comes first of two: by place, by kind, by fret with 12 before all, from the bass, open before held. */
static void
test_compare (void)
{
  static const SlQuestion rows[][2] = {
    { { SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0 }, { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 } },
    { { SL_READ_EXPOSURE, 1, 0, SL_HELD_DEFAULT, 0 }, { SL_READ_SETBACK, 6, 0, SL_HELD_DEFAULT, 0 } },
    { { SL_READ_ACTION, 1, 12, SL_HELD_OPEN, 0 }, { SL_READ_ACTION, 6, 5, SL_HELD_OPEN, 0 } },
    { { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 }, { SL_READ_ACTION, 1, 12, SL_HELD_OPEN, 0 } },
    { { SL_READ_RELIEF, 6, 5, SL_HELD_DEFAULT, 0 }, { SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, 0 } },
    { { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 }, { SL_READ_ACTION, 6, 12, SL_HELD_1, 0 } },
    { { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 }, { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 1 } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_cmpint (sl_question_compare (&rows[i][0], &rows[i][1]), <, 0);
      g_assert_cmpint (sl_question_compare (&rows[i][1], &rows[i][0]), >, 0);
    }
  g_assert_cmpint (sl_question_compare (&rows[0][0], &rows[0][0]), ==, 0);
}

static void
test_answers (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const SlQuestion action = question (SL_READ_ACTION, 6, 12, SL_HELD_OPEN),
                   again = { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 1 },
                   held = question (SL_READ_FIRST_GAP, 1, 0, SL_HELD_3),
                   new = question (SL_READ_EXPOSURE, 3, 0, SL_HELD_DEFAULT),
                   unread = question (SL_READ_SETBACK, 2, 0, SL_HELD_DEFAULT),
                   pitch = question (SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT),
                   warmth = question (SL_ASK_TEMPERATURE, 0, 0, SL_HELD_DEFAULT),
                   damp = question (SL_ASK_HUMIDITY, 0, 0, SL_HELD_DEFAULT);
  const SlReadingSet *set = sl_bench_get_set (bench);
  SlQuestion back;
  SlReading reading, heard = sl_question_reading (&pitch);
  guint n;

  heard.value = sl_number (2.5);
  g_assert_cmpfloat (sl_question_value (set, &action), ==, 3.1);
  g_assert_cmpfloat (sl_question_value (set, &held), ==, 0.1);
  g_assert_cmpfloat (sl_question_value (set, &warmth), ==, 22);
  g_assert_cmpfloat (sl_question_value (set, &damp), ==, 63);
  g_assert_true (isnan (sl_question_value (set, &again)));
  g_assert_true (isnan (sl_question_value (NULL, &action)));
  back = sl_question_of_reading (set, (guint) sl_question_find (set, &held));
  g_assert_true (sl_question_equal (&back, &held));
  reading = sl_question_reading (&held);
  g_assert_cmpint (reading.fret, ==, 1);
  g_assert_cmpint (reading.held, ==, SL_HELD_3);
  n = set->readings->len;
  sl_question_put (bench, &new, 3.4);
  set = sl_bench_get_set (bench);
  g_assert_cmpuint (set->readings->len, ==, n + 1);
  g_assert_cmpfloat (sl_question_value (set, &new), ==, 3.4);
  /* behind the last of its kind: kinds stand in the document's order */
  for (guint i = 1; i < set->readings->len; i++)
    g_assert_cmpint (g_array_index (set->readings, SlReading, i - 1).kind, <=,
                     g_array_index (set->readings, SlReading, i).kind);
  sl_question_put (bench, &again, 3.2);
  g_assert_cmpfloat (sl_question_value (sl_bench_get_set (bench), &again), ==, 3.2);
  g_assert_cmpfloat (sl_question_value (sl_bench_get_set (bench), &action), ==, 3.1);
  sl_question_put_use (bench, &again, SL_USE_NEVER);
  set = sl_bench_get_set (bench);
  g_assert_cmpint (g_array_index (set->readings, SlReading, sl_question_find (set, &again)).use, ==, SL_USE_NEVER);
  /* what is typed over a pitch that was heard is by the tuner */
  heard.uncertainty = sl_number (0.2);
  sl_bench_put_reading (bench, "heard", heard);
  sl_question_put_use (bench, &pitch, SL_USE_ALWAYS);
  set = sl_bench_get_set (bench);
  g_assert_cmpfloat (g_array_index (set->readings, SlReading, sl_question_find (set, &pitch)).uncertainty.v, ==, 0.2);
  sl_question_put (bench, &pitch, 3);
  set = sl_bench_get_set (bench);
  g_assert_false (
      sl_number_is_set (g_array_index (set->readings, SlReading, sl_question_find (set, &pitch)).uncertainty));
  sl_bench_undo (bench);
  sl_bench_undo (bench);
  sl_bench_undo (bench);
  sl_question_put (bench, &new, NAN);
  g_assert_true (isnan (sl_question_value (sl_bench_get_set (bench), &new)));
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "reading: exposure, string 3");
  sl_bench_undo (bench);
  sl_question_put (bench, &unread, NAN); /* and stays so */
  sl_question_put_use (bench, &unread, SL_USE_NEVER);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), !=, "reading: compensation, string 2");
  sl_question_put (bench, &damp, 51);
  g_assert_cmpfloat (sl_bench_get_set (bench)->humidity.v, ==, 51);
  sl_question_put (bench, &warmth, NAN);
  g_assert_false (sl_number_is_set (sl_bench_get_set (bench)->temperature));
}

static void
test_stands_for (void)
{
  const SlQuestion usual = question (SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT),
                   other = question (SL_READ_RELIEF, 6, 8, SL_HELD_DEFAULT),
                   gap = question (SL_READ_FIRST_GAP, 6, 0, SL_HELD_OPEN),
                   held = question (SL_READ_FIRST_GAP, 6, 0, SL_HELD_3),
                   five = question (SL_READ_ACTION, 6, 5, SL_HELD_OPEN),
                   twelve = question (SL_READ_ACTION, 6, 12, SL_HELD_OPEN);
  g_autoptr (SlBench) bench = open_example ();
  SlReadingSet *slack = (SlReadingSet *) sl_bench_get_set (bench);

  g_assert_true (sl_question_stands_for (&other, &usual));
  g_assert_true (sl_question_stands_for (&held, &gap));
  g_assert_false (sl_question_stands_for (&five, &twelve));
  g_assert_false (sl_question_stands_for (&gap, &twelve));
  g_assert_true (sl_question_is_asked (slack, &twelve) && sl_question_is_asked (NULL, &twelve));
  slack->strings = SL_STRINGS_SLACK;
  g_assert_false (sl_question_is_asked (slack, &twelve));
  g_assert_true (sl_question_is_asked (slack, &usual));
}

/* ---- handles ---- */

/* Up by 0.1 at the crest takes 0.1 / cos(lean) off the plan's cut; the saddle leans by 3°. */
static void
test_crest_handle (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const double along = 0.1 / cos (3 * G_PI / 180);
  SlGrip grip;

  g_assert_cmpint (sl_handle_operation (bench, SL_HANDLE_CREST), ==, SL_OP_CUT_SADDLE_BASE);
  assert_says (sl_handle_describe (bench, SL_HANDLE_CREST), "saddle: 0.70 mm bass, 0.50 mm treble off the underside");
  sl_bench_set_string (bench, 0);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, 0.1);
  const SlOperation *cut = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0);
  g_assert_cmpfloat_with_epsilon (cut->amount.v, 0.7 - along, 0.0051);
  g_assert_cmpfloat_with_epsilon (cut->amount_treble.v, 0.5 - along, 0.0051);
  /* from where the drag began, not from where it is; in whole hundredths */
  sl_handle_move (bench, &grip, 0.2);
  cut = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0);
  g_assert_cmpfloat_with_epsilon (cut->amount.v, 0.5, 1e-9);
  /* no more than what the format takes, no less than nothing */
  sl_handle_move (bench, &grip, -100);
  cut = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0);
  g_assert_cmpfloat (cut->amount.v, ==, 20);
  sl_handle_move (bench, &grip, 100);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0));
  /* an outer string moves its own end */
  sl_bench_set_string (bench, 6);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, -0.3);
  cut = sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0);
  g_assert_cmpfloat_with_epsilon (cut->amount.v, 0.3, 0.0051);
  g_assert_cmpfloat (sl_number_or (cut->amount_treble, 0), ==, 0);
}

static void
test_neck_handle (void)
{
  g_autoptr (SlBench) bench = open_example ();
  SlGrip grip;

  sl_handle_begin (bench, SL_HANDLE_NECK, &grip);
  sl_handle_move (bench, &grip, 0.05); /* the middle up: less relief */
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0)->amount.v, -0.17, 1e-9);
  assert_says (sl_handle_describe (bench, SL_HANDLE_NECK), "neck’s middle: relief changes by −0.17 mm");
  sl_bench_set_string (bench, 6);
  sl_handle_begin (bench, SL_HANDLE_SLOT, &grip);
  sl_handle_move (bench, &grip, -0.02);
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6)->amount.v, 0.1, 1e-9);
  assert_says (sl_handle_describe (bench, SL_HANDLE_SLOT), "nut slot: lowered by 0.10 mm");
  sl_handle_move (bench, &grip, 5); /* a slot can't be raised */
  g_assert_null (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6));
}

/* On posts an end goes up and down, an outer string's by itself; what can't be done has no handle. */
static void
test_post_handle (void)
{
  g_autofree char *text = test_example (NULL),
                  *posts = test_replace (text, "lean=\"3\"", "adjust=\"posts\" height-screw-pitch=\"0.5\""),
                  *bare = test_replace (posts, "<cut-saddle-base bass=\"0.7\" treble=\"0.5\"/>", ""),
                  *fixed = test_replace (bare, "adjust=\"posts\"", "adjust=\"fixed\"");
  g_autoptr (SlBench) bench = sl_bench_new (test_parse (bare)), still = sl_bench_new (test_parse (fixed));
  const SlOperation *moved;
  SlGrip grip;

  g_assert_cmpint (sl_handle_operation (bench, SL_HANDLE_CREST), ==, SL_OP_MOVE_SADDLE);
  g_assert_true (sl_handle_is_there (bench, SL_HANDLE_CREST) && sl_handle_is_there (bench, SL_HANDLE_SLOT));
  g_assert_false (sl_handle_is_there (still, SL_HANDLE_CREST));
  sl_bench_set_string (bench, 1);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, 0.3);
  moved = sl_bench_find_operation (bench, SL_OP_MOVE_SADDLE, 0);
  g_assert_cmpfloat_with_epsilon (moved->amount_treble.v, 0.3, 1e-9);
  g_assert_cmpfloat (sl_number_or (moved->amount, 0), ==, 0);
  sl_bench_set_string (bench, 3);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, -0.5);
  moved = sl_bench_find_operation (bench, SL_OP_MOVE_SADDLE, 0);
  g_assert_cmpfloat_with_epsilon (moved->amount.v, -0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (moved->amount_treble.v, -0.2, 1e-9);
  assert_says (sl_handle_describe (bench, SL_HANDLE_CREST), "bridge: raised by −0.50 mm bass, −0.20 mm treble");
}

/* On height screws the crest moves up as well as down: each string's, or all of them. */
static void
test_screw_handle (void)
{
  g_autofree char *text = test_example (NULL),
                  *screws = test_replace (text, "lean=\"3\"", "height-screw-pitch=\"0.5\""),
                  *bare = test_replace (screws, "<cut-saddle-base bass=\"0.7\" treble=\"0.5\"/>", "");
  g_autoptr (SlBench) bench = sl_bench_new (test_parse (bare));
  SlGrip grip;

  g_assert_cmpint (sl_handle_operation (bench, SL_HANDLE_CREST), ==, SL_OP_SHAPE_CREST);
  sl_bench_set_string (bench, 2);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, 0.3);
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_SHAPE_CREST, 2)->amount.v, -0.3, 1e-9);
  g_assert_null (sl_bench_find_operation (bench, SL_OP_SHAPE_CREST, 3));
  sl_bench_set_string (bench, 0);
  sl_handle_begin (bench, SL_HANDLE_CREST, &grip);
  sl_handle_move (bench, &grip, -0.1);
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_SHAPE_CREST, 2)->amount.v, -0.2, 1e-9);
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_SHAPE_CREST, 6)->amount.v, 0.1, 1e-9);
  sl_bench_set_string (bench, 6);
  assert_says (sl_handle_describe (bench, SL_HANDLE_CREST), "saddle top: lowered by 0.10 mm");
}

/* Every demonstration is there by its name, sound, and a copy with an id of its own; the folder of the sources has no
 * other. */
static void
test_demos (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", NULL);
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  g_auto (GStrv) names = sl_demo_names ();

  g_assert_nonnull (folder);
  for (const char *file; (file = g_dir_read_name (folder)) != NULL;)
    if (g_str_has_suffix (file, ".sidelong"))
      {
        g_autofree char *name = g_strndup (file, strlen (file) - strlen (".sidelong"));

        g_assert_true (g_strv_contains ((const char *const *) names, name));
      }
  for (guint i = 0; names[i] != NULL; i++)
    {
      g_autoptr (SlProfile) one = sl_demo_profile (names[i]), other = sl_demo_profile (names[i]);
      g_autoptr (GPtrArray) faults = sl_profile_check (one);

      g_assert_cmpuint (faults->len, ==, 0);
      g_assert_cmpstr (one->identity.label, !=, "");
      g_assert_cmpstr (one->id, !=, other->id);
    }
  g_assert_null (sl_demo_profile ("harp"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/visit-edit/visits", test_visits);
  g_test_add_func ("/visit-edit/checks", test_checks);
  g_test_add_func ("/visit-edit/charges", test_charges);
  g_test_add_func ("/visit-edit/order", test_order);
  g_test_add_func ("/visit-edit/usual", test_usual);
  g_test_add_func ("/visit-edit/compare", test_compare);
  g_test_add_func ("/visit-edit/answers", test_answers);
  g_test_add_func ("/visit-edit/stands-for", test_stands_for);
  g_test_add_func ("/visit-edit/crest-handle", test_crest_handle);
  g_test_add_func ("/visit-edit/neck-handle", test_neck_handle);
  g_test_add_func ("/visit-edit/screw-handle", test_screw_handle);
  g_test_add_func ("/visit-edit/post-handle", test_post_handle);
  g_test_add_func ("/visit-edit/demos", test_demos);
  return g_test_run ();
}
