/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Another set beside the present one: against laws that hold whatever the strings, and against an instrument that wears
 * them. */
#include <string.h>

#include "setup/record/compare.h"
#include "setup/physics/forces.h"
#include "support.h"

typedef struct
{
  SlInstrument in;
  SlState state;
  SlComparison comparison;
} Case;

static void
compare (Case *c, const SlProfile *profile, const char *set_id, const SlTuning *tuning)
{
  const SlStringSet *set = set_id != NULL ? sl_string_set_find (set_id) : NULL;

  sl_instrument_from_profile (profile, &c->in);
  test_straight_state (&c->in, &c->state);
  for (int s = 1; s <= c->in.n_strings; s++)
    test_set_string (&c->state, s, 0.5, 4);
  sl_compare (&c->in, &c->state, set != NULL ? set->strings : profile->strings,
              set != NULL ? set->n_strings : profile->n_strings, tuning, &c->comparison);
}

static void
test_same (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL;

  compare (c, profile, NULL, NULL);
  g_assert_cmpmem (&c->comparison.present, sizeof c->comparison.present, &c->comparison.other,
                   sizeof c->comparison.other);
  g_assert_cmpfloat (c->comparison.tension_change, ==, 0);
  g_assert_cmpfloat (c->comparison.tension_share, ==, 0);
  sentence = sl_comparison_sentence (&c->comparison, ".");
  g_assert_nonnull (strstr (sentence, "0 N"));
}

/* What the comparison says the other strings would do is what an instrument that wears them does. */
static void
test_against_instrument (void)
{
  static const char *const ids[] = { "acoustic-light", "acoustic-medium", "electric-9", "nylon-hard" };

  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile (), wearing = sl_profile_copy (profile);
      g_autofree Case *c = g_new0 (Case, 1);
      g_autofree SlFigures *figures = g_new0 (SlFigures, 1);
      SlInstrument in;

      /* the player's own hand, which stays: one that is not given goes by the kind of string */
      profile->player.pluck_force = wearing->player.pluck_force = sl_number (1.6);
      profile->player.pluck_distance = wearing->player.pluck_distance = sl_number (130);
      profile->player.pluck_direction = wearing->player.pluck_direction = SL_PLUCK_EITHER;
      compare (c, profile, ids[i], NULL);
      sl_profile_fit_strings (wearing, sl_string_set_find (ids[i]), TRUE);
      sl_instrument_from_profile (wearing, &in);
      sl_figures (&in, &c->state, NULL, NULL, &SL_SHOP_DEFAULT, figures);
      assert_near (c->comparison.other.tension_total, figures->tension_total.value, 1e-9);
      for (int s = 0; s < in.n_strings; s++)
        {
          const SlStringWorth *w = &c->comparison.other.strings[s];

          assert_near (w->tension, figures->tension[s].value, 1e-9);
          assert_near (w->setback_needed, figures->setback_needed[s].value, 1e-9);
          assert_near (w->least_margin, figures->least_margin[s].value, 1e-9);
          if (isfinite (figures->core_stress_share[s]))
            assert_near (w->stress_share, figures->core_stress_share[s], 1e-12);
          else
            g_assert_true (isnan (w->stress_share));
          assert_near (w->slot_width, in.strings[s].outside_mm + in.slot_allowance, 1e-12);
          /* slack strings swing wider: a heavier pull leaves more margin at the same heights */
          g_assert_cmpint (w->tension > c->comparison.present.strings[s].tension, ==,
                           w->least_margin > c->comparison.present.strings[s].least_margin);
        }
    }
}

static void
test_tuned_otherwise (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL;

  /* Mersenne: tension goes with the square of the frequency; half a step is 2^(−1/12), so 2^(−1/6) of the tension is
   * left */
  sl_profile_tune (profile, test_tuning ("standard"));
  compare (c, profile, NULL, test_tuning ("half-step-down"));
  for (int s = 0; s < 6; s++)
    assert_near (c->comparison.other.strings[s].tension / c->comparison.present.strings[s].tension, exp2 (-1 / 6.0),
                 1e-9);
  assert_near (c->comparison.tension_share, exp2 (-1 / 6.0) - 1, 1e-9);
  sentence = sl_comparison_sentence (&c->comparison, ".");
  g_assert_nonnull (strstr (sentence, "10.9 %")); /* 1 − 2^(−1/6) = 0.1091 */
  g_assert_nonnull (strstr (sentence, "less"));
  g_assert_nonnull (strstr (sentence, "straighten"));
}

static void
test_heavier (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL, *newtons = NULL;

  sl_profile_tune (profile, test_tuning ("standard"));
  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), TRUE);
  compare (c, profile, "acoustic-medium", NULL);
  g_assert_cmpfloat (c->comparison.tension_change, >, 0);
  sentence = sl_comparison_sentence (&c->comparison, ",");
  newtons = g_strdup_printf ("%.0f N", c->comparison.tension_change);
  g_assert_true (g_str_has_prefix (sentence, newtons));
  g_assert_nonnull (strstr (sentence, "more tension"));
  g_assert_nonnull (strstr (sentence, "Read relief again"));
}

static void
test_side_give (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);

  /* a string pulled aside at its middle by h is held back by 2 T sin(angle) ≈ 4 T h/L; the 12th fret is the middle
   * where there is no setback */
  compare (c, profile, NULL, NULL);
  for (int s = 0; s < 6; s++)
    assert_near (c->comparison.present.strings[s].side_give, 4 * c->comparison.present.strings[s].tension / c->in.scale,
                 1e-9);
}

static void
test_unknown_note (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  const SlTuning odd = { "odd", "odd", 6, { "H2", "B3", "G3", "D3", "A2", "E2" } };
  g_autofree char *sentence = NULL;

  compare (c, profile, NULL, &odd);
  g_assert_true (isnan (c->comparison.other.strings[0].tension) &&
                 isnan (c->comparison.other.strings[0].setback_needed));
  g_assert_true (isfinite (c->comparison.other.strings[1].tension));
  g_assert_true (isnan (c->comparison.other.tension_total));
  sentence = sl_comparison_sentence (&c->comparison, ".");
  g_assert_nonnull (strstr (sentence, "no note"));
}

static void
test_fewer_strings (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);

  compare (c, profile, "bass-45", NULL);
  g_assert_cmpint (c->comparison.n_changed, ==, 4);
  g_assert_cmpmem (&c->comparison.present.strings[5], sizeof (SlStringWorth), &c->comparison.other.strings[5],
                   sizeof (SlStringWorth));
}

static void
test_stress_warning (void)
{
  g_autofree char *none = sl_stress_warning (3, 0.64, "."), *unknown = sl_stress_warning (3, NAN, "."),
                  *some = sl_stress_warning (3, 0.72, ","), *close = sl_stress_warning (3, 0.6504, "."),
                  *broken = sl_stress_warning (1, 1.07, ".");

  g_assert_null (none);
  g_assert_null (unknown);
  g_assert_nonnull (strstr (some, "String 3"));
  g_assert_nonnull (strstr (some, "72 %"));
  g_assert_nonnull (strstr (some, "65 %"));
  /* over the limit never reads as the limit itself, if a decimal can help it */
  g_assert_nonnull (strstr (close, "65.0 %"));
  g_assert_nonnull (strstr (broken, "107 %"));
  g_assert_nonnull (strstr (broken, "break"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/compare/same", test_same);
  g_test_add_func ("/compare/against-instrument", test_against_instrument);
  g_test_add_func ("/compare/tuned-otherwise", test_tuned_otherwise);
  g_test_add_func ("/compare/heavier", test_heavier);
  g_test_add_func ("/compare/side-give", test_side_give);
  g_test_add_func ("/compare/unknown-note", test_unknown_note);
  g_test_add_func ("/compare/fewer-strings", test_fewer_strings);
  g_test_add_func ("/compare/stress-warning", test_stress_warning);
  return g_test_run ();
}
