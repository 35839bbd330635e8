/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Baselines: medians and middle halves, what they carry and what they leave out. */
#include "setup/record/baseline.h"
#include "setup/profile/bounds.h"
#include "support.h"

static SlProfile *
instrument (double action, double scale)
{
  SlProfile *profile = test_plain_profile ();
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();

  g_free (profile->identity.owner);
  g_free (profile->identity.model);
  profile->identity.owner = g_strdup ("Wenna Trask");
  profile->identity.model = g_strdup ("Gullwing");
  profile->neck.scale_length = sl_number (scale);
  visit.id = g_strdup ("v9");
  visit.opened = g_strdup ("2026-01-05");
  visit.note = g_strdup ("the owner's words");
  set.id = g_strdup ("r9");
  set.taken = g_strdup ("2026-01-05T10:00:00Z");
  for (int string = 1; string <= 6; string++)
    {
      test_add (&set, SL_READ_FIRST_GAP, string, 1, SL_HELD_DEFAULT, 0.45);
      test_add (&set, SL_READ_ACTION, string, 12, SL_HELD_DEFAULT, action);
    }
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
  return profile;
}

/* What is made here is a sound profile. */
static void
assert_sound (const SlProfile *profile)
{
  g_autoptr (GPtrArray) faults = sl_profile_check (profile);

  for (guint i = 0; i < faults->len; i++)
    g_test_message ("%s", ((SlFault *) g_ptr_array_index (faults, i))->message);
  g_assert_cmpuint (faults->len, ==, 0);
}

static void
test_several (void)
{
  /* median and quartiles by linear interpolation between order statistics: of 1.8 2.0 2.1 2.3 2.6 they are 2.1, 2.0
   * and 2.3 (by hand) */
  static const double actions[] = { 2.3, 1.8, 2.6, 2.0, 2.1 };
  SlProfile *profiles[5];
  SlNorms norms;
  int taken;

  for (int i = 0; i < 5; i++)
    profiles[i] = instrument (actions[i], i == 4 ? 640 : 632);
  g_autoptr (SlProfile) baseline = sl_baseline_new ((const SlProfile *const *) profiles, 5, &taken);
  g_assert_cmpint (taken, ==, 5);
  assert_sound (baseline);
  g_assert_cmpuint (baseline->visits->len, ==, 5);
  assert_near (baseline->neck.scale_length.v, 632, 1e-12);
  sl_norms_of (baseline, &SL_SHOP_DEFAULT, &norms);
  const SlNorm *action = &norms.norm[SL_NORM_ACTION][2];
  g_assert_cmpint (action->n, ==, 5);
  assert_near (action->median, 2.1, 1e-6);
  assert_near (action->low, 2.0, 1e-6);
  assert_near (action->high, 2.3, 1e-6);
  assert_near (sl_norm_distance (action, 2.2), 0, 1e-12);
  assert_near (sl_norm_distance (action, 2.5), 0.2, 1e-6);
  assert_near (sl_norm_distance (action, 1.7), -0.3, 1e-6);
  /* relief and exposure were not read on any */
  g_assert_cmpint (norms.norm[SL_NORM_RELIEF][0].n, ==, 0);
  g_assert_cmpint (norms.norm[SL_NORM_EXPOSURE][0].n, ==, 0);
  g_assert_true (isnan (sl_norm_distance (&norms.norm[SL_NORM_RELIEF][0], 0.2)));
  for (int i = 0; i < 5; i++)
    sl_profile_free (profiles[i]);
}

static void
test_single (void)
{
  g_autoptr (SlProfile) one = instrument (2.2, 632);
  const SlProfile *profiles[] = { one };
  g_autoptr (SlProfile) baseline = sl_baseline_new (profiles, 1, NULL);
  SlNorms norms;

  sl_norms_of (baseline, &SL_SHOP_DEFAULT, &norms);
  g_assert_cmpint (norms.norm[SL_NORM_ACTION][0].n, ==, 1);
  assert_near (sl_norm_distance (&norms.norm[SL_NORM_ACTION][0], 2.5), 0.3, 1e-6);
  g_assert_cmpint (baseline->kind, ==, SL_KIND_BASELINE);
  g_assert_cmpstr (baseline->identity.label, ==, "Gullwing");
  g_assert_null (baseline->identity.owner);
  g_assert_null (g_array_index (baseline->visits, SlVisit, 0).note);
  g_assert_cmpstr (baseline->id, !=, one->id);
}

static void
test_added (void)
{
  g_autoptr (SlProfile) one = instrument (2.2, 632), two = instrument (2.0, 632), other = instrument (9, 632);
  const SlProfile *first[] = { one };
  g_autoptr (SlProfile) baseline = sl_baseline_new (first, 1, NULL);
  other->neck.frets = 22;
  const SlProfile *more[] = { baseline, two, other };
  int taken;
  g_autoptr (SlProfile) both = sl_baseline_new (more, 3, &taken);
  SlNorms norms;

  g_assert_cmpint (taken, ==, 2);
  assert_sound (both);
  sl_norms_of (both, &SL_SHOP_DEFAULT, &norms);
  g_assert_cmpint (norms.norm[SL_NORM_ACTION][0].n, ==, 2);
  assert_near (norms.norm[SL_NORM_ACTION][0].median, 2.1, 1e-6);
  /* visits of one document have ids of their own */
  g_assert_cmpstr (g_array_index (both->visits, SlVisit, 0).id, !=, g_array_index (both->visits, SlVisit, 1).id);
}

static void
test_begin (void)
{
  g_autoptr (SlProfile) one = instrument (2.2, 632);
  const SlProfile *profiles[] = { one };
  g_autoptr (SlProfile) baseline = sl_baseline_new (profiles, 1, NULL);
  g_autoptr (SlProfile) begun = sl_instrument_from_baseline (baseline);

  g_assert_cmpint (begun->kind, ==, SL_KIND_INSTRUMENT);
  g_assert_cmpstr (begun->baseline, ==, baseline->id);
  g_assert_cmpstr (begun->id, !=, baseline->id);
  g_assert_cmpuint (begun->visits->len, ==, 0);
  assert_sound (begun);
  g_assert_cmpint (begun->n_strings, ==, one->n_strings);
  assert_near (begun->strings[5].core_diameter.v, one->strings[5].core_diameter.v, 1e-12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/baseline/several", test_several);
  g_test_add_func ("/baseline/single", test_single);
  g_test_add_func ("/baseline/added", test_added);
  g_test_add_func ("/baseline/begin", test_begin);
  return g_test_run ();
}
