/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a person changes of a plan on a bench, without a display: gates that are passed, bench steps, first passes
 * string by string; what a set of slack strings is asked; what is told of all that. */
#include "../setup/comma-locale.h"
#include "bench/bench.h"
#include "bench/readings-question.h"
#include "bench/profiles.h"

#include "file/document.h"
#include "setup/profile/bounds.h"
#include "setup/profile/sets.h"
#include "words/effect.h"
#include "words/explain.h"
#include "words/proposal.h"

#include <math.h>

#define OVER_MM 0.20 /* above its target: what a slot is left high in these tests */

static void
put (SlBench *bench, SlReadingKind kind, int string, int fret, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.string = string;
  reading.fret = fret;
  reading.value = sl_number (value);
  sl_bench_put_reading (bench, "reading", reading);
}

/* The starting flat-top, read as its targets want it; first gaps @over mm higher. */
static SlBench *
bench_read (double over)
{
  SlBench *bench = sl_bench_new (sl_starting_profile ("flat-top"));
  const SlInstrument in = sl_bench_get_analysis (bench)->instrument;

  for (int s = 1; s <= in.n_strings; s++)
    {
      if (s == 1 || s == in.n_strings)
        {
          put (bench, SL_READ_RELIEF, s, 7, in.target_relief);
          put (bench, SL_READ_EXPOSURE, s, 0, in.least_exposure + 2);
        }
      put (bench, SL_READ_FIRST_GAP, s, 1, in.target_first_gap[s - 1] + over);
      put (bench, SL_READ_ACTION, s, 12, in.target_action[s - 1]);
    }
  return bench;
}

static const GArray *
plan_of (SlBench *bench)
{
  return sl_bench_get_visit (bench)->plan;
}

static const SlOperation *
operation_at (SlBench *bench, guint i)
{
  return &g_array_index (plan_of (bench), SlOperation, i);
}

static void
set_unsettled (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  set->settled = SL_SETTLED_NO;
}

static char *
printed (SlBench *bench)
{
  g_autoptr (GBytes) bytes = sl_document_print (sl_bench_get_profile (bench));

  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

/* Air that the instrument has not settled in keeps everything; passed on purpose it keeps nothing, the document says
 * so, and it is one step of the history. */
static void
test_gate (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  g_autofree char *before = NULL, *passed = NULL, *after = NULL;

  sl_bench_edit (bench, "air", SL_CHANGED_READINGS, TRUE, set_unsettled, NULL);
  sl_bench_propose_plan (bench);
  before = printed (bench);
  for (guint i = 0; i < plan_of (bench)->len; i++)
    {
      const SlGate expected = operation_at (bench, i)->kind == SL_OP_BENCH_STEP ? SL_GATE_NONE : SL_GATE_AIR;

      g_assert_cmpint (sl_bench_get_passes (bench)[i].gate, ==, expected);
    }
  sl_edit_pass_gate (bench, SL_GATE_AIR, TRUE);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "pass a gate");
  for (guint i = 0; i < plan_of (bench)->len; i++)
    g_assert_cmpint (sl_bench_get_passes (bench)[i].gate, ==, SL_GATE_NONE);
  passed = printed (bench);
  g_assert_nonnull (strstr (passed, "<plan pass=\"air\">"));
  sl_edit_pass_gate (bench, SL_GATE_ROD, TRUE);
  sl_edit_pass_gate (bench, SL_GATE_ROD, FALSE);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "heed a gate again");
  for (int i = 0; i < 3; i++)
    sl_bench_undo (bench);
  after = printed (bench);
  g_assert_cmpstr (after, ==, before);
}

/* Passes are worked out once, and again after a change. */
static void
test_passes_are_kept (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  const SlPass *passes;
  double first;

  sl_bench_propose_plan (bench);
  passes = sl_bench_get_passes (bench);
  first = passes[0].pass;
  g_assert_true (sl_bench_get_passes (bench) == passes);
  g_assert_cmpint (operation_at (bench, 0)->kind, ==, SL_OP_LOWER_SLOT);
  sl_edit_amount (bench, SL_OP_LOWER_SLOT, operation_at (bench, 0)->string, FALSE, first / 2);
  g_assert_cmpfloat_with_epsilon (sl_bench_get_passes (bench)[0].pass, first / 2, 0.051); /* a hand's step */
  g_assert_cmpfloat (sl_bench_get_passes (bench)[0].pass, <, first);
}

static void
coarse_tool (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  sl_reading_set_put_tool (set, (SlTool){ SL_TOOL_FIRST_GAP, sl_number (0.05), sl_number (0.05) });
}

/* The first passes of all strings are ticked off together, and what is left of each stays planned: what is done and
 * what is left make the whole. With a tool of 0.05 steps, that far off, a pass is less than the cut. */
static void
test_first_passes_by_string (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  double whole[SL_MAX_STRINGS + 1] = { 0 }, pass[SL_MAX_STRINGS + 1] = { 0 };
  int n_left = 0;

  sl_bench_edit (bench, "tool", SL_CHANGED_READINGS, TRUE, coarse_tool, NULL);
  sl_bench_propose_plan (bench);
  for (guint i = 0; i < plan_of (bench)->len; i++)
    if (operation_at (bench, i)->kind == SL_OP_LOWER_SLOT)
      {
        whole[operation_at (bench, i)->string] = operation_at (bench, i)->amount.v;
        pass[operation_at (bench, i)->string] = sl_bench_get_passes (bench)[i].pass;
      }
  g_assert_cmpfloat (pass[6], >, 0);
  g_assert_cmpfloat (pass[6], <, whole[6]);
  sl_edit_first_pass_done (bench, SL_OP_LOWER_SLOT);
  for (guint i = 0; i < plan_of (bench)->len; i++)
    {
      const SlOperation *op = operation_at (bench, i);

      if (op->kind != SL_OP_LOWER_SLOT)
        continue;
      n_left += op->done == NULL;
      g_assert_cmpfloat_with_epsilon (op->amount.v,
                                      op->done != NULL ? pass[op->string] : whole[op->string] - pass[op->string], 1e-6);
    }
  g_assert_cmpint (n_left, >, 0);
  sl_edit_set_done (bench, SL_OP_LOWER_SLOT, FALSE);
  g_assert_cmpfloat_with_epsilon (sl_bench_find_operation (bench, SL_OP_LOWER_SLOT, 6)->amount.v, whole[6], 1e-6);
}

/* In the order of work: it settles before all, frets are replaced and levelled before they are re-crowned, strings go
 * on after the saddle is cut (common practice); each stands once. */
static void
test_bench_steps (void)
{
  static const SlBenchStep put_in[] = { SL_BENCH_NEW_STRINGS, SL_BENCH_RECROWN, SL_BENCH_SETTLE, SL_BENCH_RECROWN };
  static const SlOperationKind kinds[] = { SL_OP_BENCH_STEP, SL_OP_REPLACE_FRETS, SL_OP_LEVEL_FRETS, SL_OP_BENCH_STEP,
                                           SL_OP_TURN_ROD,   SL_OP_LOWER_SLOT,    SL_OP_BENCH_STEP };
  g_autoptr (SlBench) bench = bench_read (0);
  SlOperation replace = sl_operation_init (SL_OP_REPLACE_FRETS);

  replace.from = 1;
  replace.to = 5;
  for (gsize i = 0; i < G_N_ELEMENTS (put_in); i++)
    sl_edit_bench_step (bench, put_in[i], TRUE);
  sl_edit_amount (bench, SL_OP_LOWER_SLOT, 6, FALSE, 0.1);
  sl_edit_amount (bench, SL_OP_TURN_ROD, 0, FALSE, -0.1);
  sl_edit_level (bench, TRUE);
  sl_bench_put_operation (bench, "replace", replace);
  g_assert_cmpuint (plan_of (bench)->len, ==, G_N_ELEMENTS (kinds));
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    g_assert_cmpint (operation_at (bench, i)->kind, ==, kinds[i]);
  g_assert_cmpint (operation_at (bench, 0)->step, ==, SL_BENCH_SETTLE);
  g_assert_cmpint (operation_at (bench, 3)->step, ==, SL_BENCH_RECROWN);

  sl_edit_bench_step_done (bench, SL_BENCH_RECROWN, TRUE);
  g_assert_nonnull (operation_at (bench, 3)->done);
  g_assert_null (operation_at (bench, 0)->done);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "mark done");
  sl_edit_bench_step_done (bench, SL_BENCH_RECROWN, FALSE);
  g_assert_null (operation_at (bench, 3)->done);
  sl_edit_bench_step (bench, SL_BENCH_SETTLE, FALSE);
  g_assert_cmpint (operation_at (bench, 0)->kind, ==, SL_OP_REPLACE_FRETS);
}

/* Turns go with the turn that is planned, and stay with it when its amount changes. */
static void
test_turns (void)
{
  g_autoptr (SlBench) bench = bench_read (0);

  sl_edit_turns (bench, 0.25); /* of no turn: nothing */
  g_assert_cmpuint (plan_of (bench)->len, ==, 0);
  sl_edit_amount (bench, SL_OP_TURN_ROD, 0, FALSE, -0.1);
  sl_edit_turns (bench, 0.25);
  sl_edit_amount (bench, SL_OP_TURN_ROD, 0, FALSE, -0.12);
  g_assert_cmpfloat (operation_at (bench, 0)->turns.v, ==, 0.25);
  g_assert_cmpfloat (operation_at (bench, 0)->amount.v, ==, -0.12);
  sl_edit_turns (bench, NAN);
  g_assert_false (sl_number_is_set (operation_at (bench, 0)->turns));
}

static void
set_slack (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  set->strings = SL_STRINGS_SLACK;
}

/* With the strings slack there is no height of theirs to read (model 3): such a set is asked for none. */
static void
test_slack_set (void)
{
  g_autoptr (SlBench) bench = bench_read (0);
  g_autoptr (GArray) pitched = NULL, slack = NULL;
  gboolean relief = FALSE;

  pitched = sl_run_questions (sl_bench_get_profile (bench), sl_bench_get_set (bench));
  sl_bench_read_again (bench, FALSE);
  sl_bench_edit (bench, "slack", SL_CHANGED_READINGS, TRUE, set_slack, NULL);
  slack = sl_run_questions (sl_bench_get_profile (bench), sl_bench_get_set (bench));
  g_assert_cmpuint (slack->len, <, pitched->len);
  for (guint i = 0; i < slack->len; i++)
    {
      const int ask = g_array_index (slack, SlQuestion, i).ask;

      g_assert_true (ask != SL_READ_ACTION && ask != SL_READ_FIRST_GAP && ask != SL_READ_PITCH);
      relief = relief || ask == SL_READ_RELIEF;
    }
  g_assert_true (relief);
}

/* Wear under one string is a reading like any other: of a fret and a string, beside those of others. */
static void
test_wear (void)
{
  g_autoptr (SlBench) bench = bench_read (0);
  const SlQuestion third = { SL_READ_CROWN_WEAR, 2, 3, SL_HELD_DEFAULT, 0 },
                   other = { SL_READ_CROWN_WEAR, 1, 3, SL_HELD_DEFAULT, 0 };
  g_autofree char *name = sl_question_full_name (&third);

  sl_question_put (bench, &third, 0.08);
  g_assert_cmpfloat (sl_question_value (sl_bench_get_set (bench), &third), ==, 0.08);
  g_assert_true (isnan (sl_question_value (sl_bench_get_set (bench), &other)));
  g_assert_cmpstr (name, ==, "Wear of fret 3 under string 2");
}

/* ---- what is told ---- */

static gboolean
told (SlBench *bench, const char *part)
{
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GPtrArray) sentences = NULL;
  gboolean found = FALSE;
  SlOutcome outcome;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &SL_SHOP_DEFAULT);
  sentences = sl_explain_work (&outcome, &speech, FALSE);
  for (guint i = 0; i < sentences->len; i++)
    found = found || strstr (((const SlSentence *) g_ptr_array_index (sentences, i))->text, part) != NULL;
  sl_outcome_clear (&outcome);
  return found;
}

static char *
passed_text (SlBench *bench)
{
  SlOutcome outcome;
  char *text;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &SL_SHOP_DEFAULT);
  text = sl_explain_passed (&outcome);
  sl_outcome_clear (&outcome);
  return text;
}

/* Good news where every figure is in range, and none where one is not, or nothing was read. */
static void
test_nothing_to_do (void)
{
  g_autoptr (SlBench) right = bench_read (0), high = bench_read (OVER_MM),
                      unread = sl_bench_new (sl_starting_profile ("flat-top"));

  g_assert_nonnull (sl_nothing_to_do_text (sl_bench_get_analysis (right), sl_bench_get_proposal (right)));
  g_assert_null (sl_nothing_to_do_text (sl_bench_get_analysis (high), sl_bench_get_proposal (high)));
  g_assert_null (sl_nothing_to_do_text (sl_bench_get_analysis (unread), sl_bench_get_proposal (unread)));
  sl_bench_propose_plan (unread); /* changes nothing: there is nothing to undo */
  g_assert_null (sl_bench_get_undo_name (unread));
  g_assert_true (told (right, "nothing had to be done"));
  g_assert_false (told (high, "nothing had to be done"));
}

static void
test_steps_told (void)
{
  g_autoptr (SlBench) bench = bench_read (0);
  SlOperation replace = sl_operation_init (SL_OP_REPLACE_FRETS);

  replace.from = 1;
  replace.to = 5;
  sl_bench_put_operation (bench, "replace", replace);
  sl_edit_bench_step (bench, SL_BENCH_POLISH, TRUE);
  g_assert_false (told (bench, "polished"));
  sl_edit_bench_step_done (bench, SL_BENCH_POLISH, TRUE);
  sl_edit_set_done (bench, SL_OP_REPLACE_FRETS, TRUE);
  g_assert_true (told (bench, "The frets were polished"));
  g_assert_true (told (bench, "Frets 1 to 5 were replaced"));
}

/* That the air was passed over matters to the owner only once something has been cut in it. */
static void
test_passed_told (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  g_autofree char *planned = NULL, *cut = NULL, *settled = NULL;

  sl_bench_edit (bench, "air", SL_CHANGED_READINGS, TRUE, set_unsettled, NULL);
  sl_bench_propose_plan (bench);
  sl_edit_pass_gate (bench, SL_GATE_AIR, TRUE);
  planned = passed_text (bench);
  g_assert_null (planned);
  sl_edit_set_done (bench, SL_OP_LOWER_SLOT, TRUE);
  cut = passed_text (bench);
  g_assert_nonnull (strstr (cut, "before the instrument had settled"));
  sl_edit_pass_gate (bench, SL_GATE_AIR, FALSE);
  settled = passed_text (bench);
  g_assert_null (settled);
}

/* A tick that is taken back is added to what is planned since, but never to more than a document takes. */
static void
test_tick_back_in_range (void)
{
  static const SlOperationKind kinds[] = { SL_OP_TURN_ROD, SL_OP_LOWER_SLOT, SL_OP_CUT_SADDLE_BASE, SL_OP_MOVE_CREST };

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autoptr (SlBench) bench = bench_read (0);
      const SlBound *bound = &sl_operations[kinds[i]].bound;

      for (int round = 0; round < 2; round++)
        {
          sl_edit_amount (bench, kinds[i], 1, FALSE, 0.9 * bound->most);
          sl_edit_amount (bench, kinds[i], 1, TRUE, 0.9 * bound->most);
          if (round == 0)
            sl_edit_set_done (bench, kinds[i], TRUE);
        }
      sl_edit_set_done (bench, kinds[i], FALSE);
      g_autoptr (GPtrArray) faults = sl_profile_check (sl_bench_get_profile (bench));
      g_assert_cmpuint (faults->len, ==, 0);
      g_assert_cmpuint (plan_of (bench)->len, ==, 1);
      g_assert_cmpfloat (operation_at (bench, 0)->amount.v, ==, bound->most);
    }
}

/* A new nut begins with the heights there are, to the hundredth, and is worked to string by string; a new saddle with
 * the exposure there is. Neither leaves the plan by a zero; what was ticked off and is planned anew isn't added up. */
static void
test_new_work (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  const SlState *state = &sl_bench_get_analysis (bench)->measured;
  const double height = sl_state_nut_height (state, 3), exposure = state->exposure[0];
  const int n = state->n_strings;

  sl_edit_begin_work (bench, SL_OP_MAKE_NUT);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, sl_operation_undo_name (SL_OP_MAKE_NUT));
  g_assert_cmpint (operation_at (bench, 0)->n_ends, ==, n);
  g_assert_cmpfloat_with_epsilon (sl_operation_amount_at (operation_at (bench, 0), 3, FALSE).v, height, 0.00501);
  sl_edit_amount (bench, SL_OP_MAKE_NUT, 3, FALSE, 0.42);
  sl_edit_amount (bench, SL_OP_MAKE_NUT, 2, FALSE, 0);
  g_assert_cmpuint (plan_of (bench)->len, ==, 1);
  g_assert_cmpfloat (sl_operation_amount_at (operation_at (bench, 0), 3, FALSE).v, ==, 0.42);
  g_assert_cmpfloat (sl_operation_amount_at (operation_at (bench, 0), 2, FALSE).v, ==, 0);
  sl_edit_begin_work (bench, SL_OP_MAKE_SADDLE);
  g_assert_cmpint (operation_at (bench, 1)->kind, ==, SL_OP_MAKE_SADDLE);
  g_assert_cmpfloat_with_epsilon (operation_at (bench, 1)->amount_treble.v, exposure, 0.00501);
  sl_edit_set_done (bench, SL_OP_MAKE_SADDLE, TRUE);
  sl_edit_begin_work (bench, SL_OP_MAKE_SADDLE);
  sl_edit_amount (bench, SL_OP_MAKE_SADDLE, 0, TRUE, 9);
  sl_edit_set_done (bench, SL_OP_MAKE_SADDLE, FALSE);
  g_assert_cmpfloat (sl_bench_find_operation (bench, SL_OP_MAKE_SADDLE, 0)->amount_treble.v, ==, 9);
  g_assert_cmpuint (plan_of (bench)->len, ==, 2);
}

/* Other strings are named by what they are called, and begin as those that are on: a set the document can hold. */
static void
test_other_strings (void)
{
  g_autoptr (SlBench) bench = bench_read (OVER_MM);
  const SlProfile *profile = sl_bench_get_profile (bench);
  g_autoptr (GPtrArray) faults = NULL;
  g_autofree char *name = NULL, *built = NULL;
  SlStringSet set;

  const gboolean comma = test_comma_locale_begin (&built); /* a document is in no locale */
  sl_edit_begin_work (bench, SL_OP_FIT_STRINGS);
  if (comma)
    test_comma_locale_end (g_steal_pointer (&built));
  faults = sl_profile_check (sl_bench_get_profile (bench));
  g_assert_cmpuint (faults->len, ==, 0);
  profile = sl_bench_get_profile (bench);
  g_assert_true (
      sl_string_set_parse (operation_at (bench, 0)->set, &sl_bench_get_analysis (bench)->instrument, &set, NULL));
  for (int s = 0; s < profile->n_strings; s++)
    {
      const SlStringData *on = &sl_bench_get_analysis (bench)->instrument.strings[s];
      SlStringData planned;

      sl_string_data (&set.strings[s], &planned);
      g_assert_cmpint (set.strings[s].build, ==, profile->strings[s].build);
      g_assert_cmpfloat_with_epsilon (planned.outside_mm, on->outside_mm, 0.0013); /* half a tenth of a thousandth */
      g_assert_cmpfloat_with_epsilon (planned.ea_n, on->ea_n, 0.02 * on->ea_n);
    }
  name = sl_fitted_name (operation_at (bench, 0));
  g_assert_nonnull (strstr (name, " wound"));
}

static const SlStringData *
string_on (SlBench *bench, int string)
{
  return &sl_bench_get_analysis (bench)->instrument.strings[string - 1];
}

/* What was heard of a string stays with it, to two digits of its U, and goes with it. */
static void
test_keep_stiffness (void)
{
  g_autoptr (SlBench) bench = bench_read (0);
  const SlString *second = &sl_bench_get_profile (bench)->strings[1];
  const double ea = string_on (bench, 2)->ea_n;
  g_autofree char *refused = NULL;

  g_assert_null (sl_edit_keep_stiffness (bench, 2, 104.637, 5.83, NAN, NAN));
  second = &sl_bench_get_profile (bench)->strings[1];
  g_assert_cmpfloat (second->bending_stiffness.v, ==, 104.6);
  g_assert_false (sl_number_is_set (second->axial_stiffness));
  g_assert_cmpfloat (string_on (bench, 2)->ei_nm2, ==, 104.6e-6);
  g_assert_cmpfloat (string_on (bench, 2)->ea_n, ==, ea);
  g_assert_null (sl_edit_keep_stiffness (bench, 2, NAN, NAN, 18063, 712));
  second = &sl_bench_get_profile (bench)->strings[1];
  g_assert_cmpfloat (second->axial_stiffness.v, ==, 18060);
  g_assert_cmpfloat (second->bending_stiffness.v, ==, 104.6);
  g_assert_null (sl_edit_keep_stiffness (bench, 2, 98.7654, NAN, 17654.3, 0.214));
  second = &sl_bench_get_profile (bench)->strings[1];
  g_assert_cmpfloat (second->bending_stiffness.v, ==, 98.8);
  g_assert_cmpfloat (second->axial_stiffness.v, ==, 17654.3);
  /* one step */
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "keep stiffness");
  sl_bench_undo (bench);
  second = &sl_bench_get_profile (bench)->strings[1];
  g_assert_true (second->bending_stiffness.v == 104.6 && second->axial_stiffness.v == 18060);
  refused = sl_edit_keep_stiffness (bench, 2, 90, 1, 2e6, 1e5);
  g_assert_nonnull (strstr (refused, "axial-stiffness"));
  second = &sl_bench_get_profile (bench)->strings[1];
  g_assert_true (second->bending_stiffness.v == 104.6 && second->axial_stiffness.v == 18060);
}

static void
set_taken_long_ago (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_free (set->taken);
  set->taken = g_strdup ("2026-01-05T10:00:00Z");
}

/* Strings that work fitted have it in that work's set: those of the document, and what was read on them, stay. */
static void
test_keep_with_fitted (void)
{
  g_autoptr (SlBench) bench = bench_read (0);
  const SlStringData before = *string_on (bench, 2);
  SlOperation *op, others = sl_operation_init (SL_OP_FIT_STRINGS);
  double mass;

  sl_bench_edit (bench, "long ago", SL_CHANGED_READINGS, TRUE, set_taken_long_ago, NULL);
  others.set = g_strdup ("electric-10");
  sl_bench_put_operation (bench, "fit", others);
  sl_operation_clear (&others);
  sl_edit_set_done (bench, SL_OP_FIT_STRINGS, TRUE);
  sl_bench_read_again (bench, FALSE);
  mass = string_on (bench, 2)->unit_mass_kg_m;
  g_assert_cmpfloat (fabs (mass - before.unit_mass_kg_m), >, 0.01 * mass);
  g_assert_null (sl_edit_keep_stiffness (bench, 2, 104.637, 5.83, 18063, 712));
  g_assert_cmpfloat_with_epsilon (string_on (bench, 2)->ei_nm2, 104.6e-6, 1e-12);
  g_assert_cmpfloat_with_epsilon (string_on (bench, 2)->ea_n, 18060, 1e-9);
  g_assert_cmpfloat_with_epsilon (string_on (bench, 2)->unit_mass_kg_m, mass, 1e-3 * mass);
  g_assert_false (sl_number_is_set (sl_bench_get_profile (bench)->strings[1].bending_stiffness));
  op = &g_array_index (sl_bench_get_visit (bench)->plan, SlOperation, 0);
  g_assert_true (op->done != NULL && op->set_name != NULL);
  sl_bench_show_set (bench, g_array_index (sl_bench_get_visit (bench)->sets, SlReadingSet, 0).id);
  g_assert_cmpfloat (string_on (bench, 2)->unit_mass_kg_m, ==, before.unit_mass_kg_m);
  g_assert_cmpfloat (string_on (bench, 2)->ei_nm2, ==, before.ei_nm2);
}

/* The strings of a twelve-string, each with all that is known of it, are more than a set's text can be: that is said,
 * and all stays as it was. */
static void
test_keep_with_twelve (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_demo_profile ("lightkeeper-twelve-string"));
  SlOperation others = sl_operation_init (SL_OP_FIT_STRINGS);
  g_autofree char *refused = NULL, *before = NULL, *after = NULL;

  others.set = g_strdup ("10 10 14 14 8 23w 12 30w 20w 39w 25w 47w");
  sl_bench_put_operation (bench, "fit", others);
  sl_operation_clear (&others);
  sl_edit_set_done (bench, SL_OP_FIT_STRINGS, TRUE);
  sl_bench_read_again (bench, FALSE);
  before = printed (bench);
  refused = sl_edit_keep_stiffness (bench, 1, 40.3, 0.9, NAN, NAN);
  g_assert_nonnull (refused);
  g_assert_nonnull (strstr (refused, "at most 256"));
  after = printed (bench);
  g_assert_cmpstr (before, ==, after);
}

/* What is told of it to whoever plays the instrument, planned and done. */
static void
test_new_work_told (void)
{
  static const struct
  {
    SlOperationKind kind;
    double bass, treble;
    const char *planned, *done;
  } rows[] = {
    { SL_OP_MOVE_SADDLE, 0.3, 0.2, "The bridge is to be set higher, by 0.30 mm on the thick-string side",
      "The bridge was set higher, by 0.30 mm on the thick-string side and 0.20 mm on the thin-string side" },
    { SL_OP_MOVE_SADDLE, -0.3, -0.2, "The bridge is to be set lower", "The bridge was set lower, by 0.30 mm" },
    { SL_OP_MOVE_SADDLE, 0.3, -0.2, "One side of the bridge is to be", "One side of the bridge was set higher" },
    { SL_OP_SHIFT_BRIDGE, 1, 0, "The bridge is to be moved", "The bridge was moved to its place" },
    { SL_OP_SET_NECK_ANGLE, 1, 0, "The angle between neck and body is to be", "The angle between neck and body was" },
    { SL_OP_REPLACE_FRETS, 0, 0, "The zero fret, which the strings rest on at the head, is to be",
      "The zero fret, which the strings rest on at the head, was replaced" },
    { SL_OP_MAKE_NUT, 0, 0, "A new nut is to be made", "A new nut was made" },
    { SL_OP_MAKE_SADDLE, 9, 9, "A new saddle is to be made", "A new saddle was made" },
    { SL_OP_FIT_STRINGS, 0, 0, "Another set of strings is to be fitted: Quay lights.",
      "Another set of strings was fitted: Quay lights." },
  };
  const SlShop shop = SL_SHOP_DEFAULT;
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    for (int planned = 0; planned < 2; planned++)
      {
        g_autoptr (SlProfile) profile = sl_starting_profile ("flat-top");
        SlOperation operation = sl_operation_init (rows[i].kind);
        SlOutcome outcome;

        operation.amount = sl_number (rows[i].bass);
        operation.amount_treble = sl_number (rows[i].treble);
        operation.set = rows[i].kind == SL_OP_FIT_STRINGS ? g_strdup ("10 13 17 26w 36w 46w") : NULL;
        operation.set_name = rows[i].kind == SL_OP_FIT_STRINGS ? g_strdup ("Quay lights") : NULL;
        operation.done = planned ? NULL : g_strdup ("2026-02-09T10:00:00Z");
        g_array_append_val (sl_profile_need_visit (profile)->plan, operation);
        sl_outcome_init (&outcome, profile, NULL, &shop);
        g_autoptr (GPtrArray) said = sl_explain_work (&outcome, &speech, planned);
        const SlSentence *first = said->pdata[0];

        g_assert_true (g_str_has_prefix (first->text, planned ? rows[i].planned : rows[i].done));
        g_assert_true (g_str_has_prefix (first->id, sl_operations[rows[i].kind].bound.element));
        sl_outcome_clear (&outcome);
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plan-edits/gate", test_gate);
  g_test_add_func ("/plan-edits/passes-are-kept", test_passes_are_kept);
  g_test_add_func ("/plan-edits/first-passes-by-string", test_first_passes_by_string);
  g_test_add_func ("/plan-edits/bench-steps", test_bench_steps);
  g_test_add_func ("/plan-edits/turns", test_turns);
  g_test_add_func ("/plan-edits/slack-set", test_slack_set);
  g_test_add_func ("/plan-edits/wear", test_wear);
  g_test_add_func ("/plan-edits/nothing-to-do", test_nothing_to_do);
  g_test_add_func ("/plan-edits/tick-back-in-range", test_tick_back_in_range);
  g_test_add_func ("/plan-edits/new-work", test_new_work);
  g_test_add_func ("/plan-edits/other-strings", test_other_strings);
  g_test_add_func ("/plan-edits/keep-stiffness", test_keep_stiffness);
  g_test_add_func ("/plan-edits/keep-with-fitted", test_keep_with_fitted);
  g_test_add_func ("/plan-edits/keep-with-twelve", test_keep_with_twelve);
  g_test_add_func ("/plan-edits/new-work-told", test_new_work_told);
  g_test_add_func ("/plan-edits/steps-told", test_steps_told);
  g_test_add_func ("/plan-edits/passed-told", test_passed_told);
  return g_test_run ();
}
