/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Other strings (model 5, 5.1): what they pull, which are on when, and what new work asks to be read again. */
#include "setup/physics/figures.h"
#include "setup/record/stages.h"
#include "support.h"

#define HAND SL_WORK_UNCERTAINTY_DEFAULT
#define N 6 /* strings of the plain instrument, 632 mm, joined at 14 */
#define NUT SL_NUT_HEIGHT

static SlOperation
ends (SlOperationKind kind, double bass, double treble)
{
  SlOperation op = sl_operation_init (kind);

  op.amount = sl_number (bass);
  op.amount_treble = sl_number (treble);
  return op;
}

/* φ(0) of the plain instrument, by hand from its fret places. */
static double
bow_at_nut (void)
{
  const double x1 = 632 * (1 - exp2 (-1 / 12.0)), xj = 632 * (1 - exp2 (-14 / 12.0));

  return -4 * x1 * xj / ((xj - x1) * (xj - x1));
}

static SlOperation
fit (const char *set, const char *done)
{
  SlOperation op = sl_operation_init (SL_OP_FIT_STRINGS);

  op.set = g_strdup (set);
  op.done = g_strdup (done);
  return op;
}

/* T = μ (2 L f)² (Mersenne) of every string of a set, on strings of equal length. */
static double
pull_of (const char *id, double length_mm)
{
  const SlStringSet *set = sl_string_set_find (id);
  double sum = 0;

  for (int s = 0; s < set->n_strings; s++)
    {
      SlStringData data;

      sl_string_data (&set->strings[s], &data);
      sum += data.unit_mass_kg_m * pow (2 * length_mm / 1000 * data.frequency_hz, 2);
    }
  return sum;
}

static void
test_fit_strings (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlOperation medium = fit ("acoustic-medium", NULL), light = fit ("acoustic-light", NULL);
  SlInstrument in;
  SlState state, after;

  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), FALSE);
  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  for (int s = 1; s <= N; s++)
    test_set_string (&state, s, 0, 0); /* straight: every string is as long as the scale */
  const double more = pull_of ("acoustic-medium", 632) - pull_of ("acoustic-light", 632);
  after = state;
  sl_operation_carry (&in, &medium, &HAND, &after);
  g_assert_cmpfloat (more, >, 50);
  assert_near (after.u[SL_RELIEF_TREBLE], 0.0004 * more, 1e-9);
  assert_near (after.u[SL_RELIEF_BASS], 0.0004 * more, 1e-9);
  assert_near (after.u[NUT], -0.98 * 0.0004 * more * bow_at_nut (), 1e-9);
  assert_near (sqrt (after.cov[SL_RELIEF_BASS * after.n_unknowns + SL_RELIEF_BASS]), 0.0003 * more, 1e-9);
  /* the same again changes nothing, and the old ones put it back */
  SlState again = after;
  sl_operation_apply (&in, &medium, &again);
  assert_near (again.u[SL_RELIEF_TREBLE], after.u[SL_RELIEF_TREBLE], 1e-12);
  sl_operation_apply (&in, &light, &again);
  for (int i = 0; i < state.n_unknowns; i++)
    assert_near (again.u[i], state.u[i], 2e-6); /* the strings are a hair longer as they lie higher */
  g_free (medium.set);
  g_free (light.set);
}

/* Written by their gauges, of what the instrument's strings are of, they are the same strings; what it can't have
 * changes nothing. */
static void
test_fit_gauges (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlOperation by_id = fit ("electric-10", NULL), by_gauge = fit ("10 13 17 26w/13 36w/15 46w/18", NULL),
              seven = fit ("10 13 17 26w 36w 46w 59w", NULL);
  SlInstrument in;
  SlState state, named, gauged, same;

  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  named = gauged = same = state;
  sl_operation_apply (&in, &by_id, &named);
  sl_operation_apply (&in, &by_gauge, &gauged);
  sl_operation_apply (&in, &seven, &same);
  g_assert_cmpfloat (fabs (named.u[SL_RELIEF_TREBLE]), >, 0.05);
  for (int i = 0; i < state.n_unknowns; i++)
    {
      assert_near (gauged.u[i], named.u[i], 1e-5);
      assert_near (same.u[i], state.u[i], 1e-12);
    }
  g_free (by_id.set);
  g_free (by_gauge.set);
  g_free (seven.set);
}

static SlVisit *
add_visit (SlProfile *profile, const char *opened)
{
  SlVisit visit = sl_visit_init ();

  visit.id = g_strdup_printf ("v%u", profile->visits->len + 1);
  visit.opened = g_strdup (opened);
  g_array_append_val (profile->visits, visit);
  return &g_array_index (profile->visits, SlVisit, profile->visits->len - 1);
}

static SlReadingSet *
add_set (SlVisit *visit, const char *taken, double relief)
{
  SlReadingSet set = sl_reading_set_init ();

  set.taken = g_strdup (taken);
  for (int s = 1; s <= N; s++)
    {
      if (s == 1 || s == N)
        test_add (&set, SL_READ_RELIEF, s, 7, SL_HELD_DEFAULT, relief);
      test_add (&set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN, 0.5);
      test_add (&set, SL_READ_ACTION, s, 12, SL_HELD_OPEN, 2);
    }
  g_array_append_val (visit->sets, set);
  return &g_array_index (visit->sets, SlReadingSet, visit->sets->len - 1);
}

static double
tension_total (const SlProfile *profile, guint visit, guint set, gboolean planned)
{
  const SlShop shop = SL_SHOP_DEFAULT;
  const SlVisit *v = &g_array_index (profile->visits, SlVisit, visit);
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);

  sl_analyse (profile, v, &g_array_index (v->sets, SlReadingSet, set), &shop, analysis);
  return (planned ? analysis->planned_figures : analysis->measured_figures).tension_total.value;
}

/* From the day they were fitted on, in every visit, they are the instrument's strings; what is planned has those that
 * the plan fits; and strings that the document has from a later day come after both. */
static void
test_strings_of_the_day (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  const double light = pull_of ("acoustic-light", 632), medium = pull_of ("acoustic-medium", 632),
               ten = pull_of ("electric-10", 632);
  SlOperation op;
  SlVisit *visit;

  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), FALSE);
  visit = add_visit (profile, "2026-03-01T09:00:00Z");
  add_set (visit, "2026-03-01T10:00:00Z", 0.2);
  add_set (visit, "2026-03-01T12:00:00Z", 0.2);
  op = fit ("acoustic-medium", "2026-03-01T11:00:00Z");
  g_array_append_val (visit->plan, op);
  visit = add_visit (profile, "2026-05-01T09:00:00Z");
  add_set (visit, "2026-05-01T10:00:00Z", 0.2);
  op = fit ("electric-10", NULL);
  g_array_append_val (visit->plan, op);

  assert_near (tension_total (profile, 0, 0, FALSE), light, 0.1); /* strings are some 0.1 mm longer than the scale */
  assert_near (tension_total (profile, 0, 0, TRUE), medium, 0.1);
  assert_near (tension_total (profile, 0, 1, FALSE), medium, 0.1);
  assert_near (tension_total (profile, 1, 0, FALSE), medium, 0.1);
  assert_near (tension_total (profile, 1, 0, TRUE), ten, 0.1);
  profile->fitted = g_strdup ("2026-04-01");
  assert_near (tension_total (profile, 0, 1, FALSE), medium, 0.1);
  assert_near (tension_total (profile, 1, 0, FALSE), light, 0.1);
  g_free (profile->fitted);
  profile->fitted = g_strdup ("2026-02-01");
  assert_near (tension_total (profile, 1, 0, FALSE), medium, 0.1);
}

/* What other strings do between two sets of a visit is foreseen in the second. */
static void
test_strings_between_sets (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  const SlShop shop = SL_SHOP_DEFAULT;
  SlOperation op = fit ("acoustic-medium", "2026-03-01T11:00:00Z");
  SlVisit *visit;

  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), FALSE);
  visit = add_visit (profile, "2026-03-01T09:00:00Z");
  add_set (visit, "2026-03-01T10:00:00Z", 0.2);
  add_set (visit, "2026-03-01T12:00:00Z", 0.2);
  g_array_append_val (visit->plan, op);
  sl_analyse (profile, visit, &g_array_index (visit->sets, SlReadingSet, 1), &shop, analysis);
  assert_near (analysis->fit.readings[0].carried - 0.2,
               0.0004 * (pull_of ("acoustic-medium", 632) - pull_of ("acoustic-light", 632)), 0.001);
}

/* Whether what work done after a visit's only set asks to be read again is of a kind below a string. */
static gboolean
asks (const SlOperation *done, SlReadingKind kind, int string)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GArray) questions = NULL;
  const SlShop shop = SL_SHOP_DEFAULT;
  SlVisit *visit = add_visit (profile, "2026-03-01T09:00:00Z");
  SlOperation op = *done;
  gboolean found = FALSE;

  op.set = g_strdup (done->set);
  op.done = g_strdup ("2026-03-01T11:00:00Z");
  add_set (visit, "2026-03-01T10:00:00Z", 0.2);
  g_array_append_val (visit->plan, op);
  sl_analyse_last (profile, &shop, analysis);
  questions = sl_questions_since (analysis, visit, SL_N_OPS, "2026-03-01T10:00:00Z");
  SL_EACH (const SlReading, question, questions)
    found = found || (question->kind == kind && question->string == string);
  return found;
}

static void
test_read_again (void)
{
  SlOperation nut = sl_operation_init (SL_OP_MAKE_NUT), saddle = ends (SL_OP_MAKE_SADDLE, 5, 5),
              shift = ends (SL_OP_SHIFT_BRIDGE, 1, 1), move = ends (SL_OP_MOVE_SADDLE, 0.5, 0.5),
              strings = sl_operation_init (SL_OP_FIT_STRINGS);

  nut.n_ends = 1;
  nut.ends[0] = (SlStringEnd){ 3, sl_number (1) };
  strings.set = (char *) "electric-9";
  g_assert_true (asks (&nut, SL_READ_FIRST_GAP, 3));
  g_assert_false (asks (&nut, SL_READ_FIRST_GAP, 4));
  g_assert_true (asks (&saddle, SL_READ_ACTION, 6) && asks (&saddle, SL_READ_ACTION, 1));
  g_assert_true (asks (&move, SL_READ_ACTION, 6));
  g_assert_true (asks (&shift, SL_READ_PITCH, 6) && asks (&shift, SL_READ_PITCH, 1));
  g_assert_false (asks (&shift, SL_READ_ACTION, 6));
  for (int s = 1; s <= N; s += N - 1)
    g_assert_true (asks (&strings, SL_READ_RELIEF, s) && asks (&strings, SL_READ_ACTION, s) &&
                   asks (&strings, SL_READ_FIRST_GAP, s));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit-strings/pull", test_fit_strings);
  g_test_add_func ("/fit-strings/gauges", test_fit_gauges);
  g_test_add_func ("/fit-strings/strings-of-the-day", test_strings_of_the_day);
  g_test_add_func ("/fit-strings/strings-between-sets", test_strings_between_sets);
  g_test_add_func ("/fit-strings/read-again", test_read_again);
  return g_test_run ();
}
