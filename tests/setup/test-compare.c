/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Another set beside the present one: against laws that hold whatever the strings, and against an instrument that wears
 * them. */
#include <math.h>
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
compare (Case *c, const SlProfile *profile, const char *set_id)
{
  const SlStringSet *set = set_id != NULL ? sl_string_set_find (set_id) : NULL;

  sl_instrument_from_profile (profile, &c->in);
  test_straight_state (&c->in, &c->state);
  for (int s = 1; s <= c->in.n_strings; s++)
    test_set_string (&c->state, s, 0.5, 4);
  sl_compare (&c->in, &c->state, set != NULL ? set->strings : profile->strings,
              set != NULL ? set->n_strings : profile->n_strings, &c->comparison);
}

static void
test_same (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL;

  compare (c, profile, NULL);
  g_assert_cmpmem (&c->comparison.present, sizeof c->comparison.present, &c->comparison.other,
                   sizeof c->comparison.other);
  g_assert_cmpfloat (c->comparison.tension_change, ==, 0);
  g_assert_cmpfloat (c->comparison.tension_share, ==, 0);
  sentence = sl_comparison_sentence (&c->comparison, SL_LENGTHS_MM, ".");
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
      compare (c, profile, ids[i]);
      sl_profile_fit_strings (wearing, sl_string_set_find (ids[i]), TRUE);
      sl_instrument_from_profile (wearing, &in);
      sl_figures (&in, &c->comparison.after, NULL, NULL, &SL_SHOP_DEFAULT, figures);
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
        }
    }
}

/* Slack strings swing wider: a heavier pull leaves more margin at the same heights. */
static void
test_swing (void)
{
  static const char *const ids[] = { "acoustic-light", "acoustic-medium", "electric-9", "nylon-hard" };

  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    {
      g_autoptr (SlProfile) profile = test_plain_profile ();
      g_autofree Case *c = g_new0 (Case, 1);
      SlSetWorth there;

      compare (c, profile, ids[i]);
      sl_set_worth (&c->comparison.instrument, &c->state, &there);
      for (int s = 0; s < c->in.n_strings; s++)
        g_assert_cmpint (there.strings[s].tension > c->comparison.present.strings[s].tension, ==,
                         there.strings[s].least_margin > c->comparison.present.strings[s].least_margin);
    }
}

/* By hand, the frets of 632 mm joined at 14 placed by twelve-tone equal temperament: 100 N more at 0.0004 mm/N is 0.04
 * mm of relief; u of it is 0.0003 · 100 = 0.03 mm, and of 0.04 mm at the crest 0.10, at the nut 0.17 of even curvature.
 */
static void
test_pull (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlState state, pulled;

  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  state.n_unknowns = SL_NUT_HEIGHT + 2 * in.n_strings;
  pulled = state;
  sl_state_pull (&in, 100, &pulled);
  const double x1 = 632 * (1 - exp2 (-1 / 12.0)), xj = 632 * (1 - exp2 (-14 / 12.0));
  const double lever = 4 * (632 - xj) / (xj - x1), phi = 4 * (0 - x1) * (xj - 0) / ((xj - x1) * (xj - x1));
  const int p = state.n_unknowns, nut = SL_NUT_HEIGHT, crest = nut + in.n_strings;

  assert_near (pulled.u[SL_RELIEF_TREBLE], 0.04, 1e-12);
  assert_near (pulled.u[SL_RELIEF_BASS], 0.04, 1e-12);
  assert_near (pulled.u[crest], 0.83 * 0.04 * lever, 1e-12);
  assert_near (pulled.u[nut], -0.98 * 0.04 * phi, 1e-12);
  assert_near (pulled.cov[0], 0.03 * 0.03, 1e-12);
  assert_near (pulled.cov[crest * p + crest], (pow (0.83 * 0.03, 2) + pow (0.10 * 0.04, 2)) * lever * lever, 1e-12);
  assert_near (pulled.cov[nut * p + nut], (pow (0.98 * 0.03, 2) + pow (0.17 * 0.04, 2)) * phi * phi, 1e-12);
  /* relief and crest go together: covariance 0.03² · 0.83 · lever */
  assert_near (pulled.cov[crest], 0.03 * 0.03 * 0.83 * lever, 1e-12);
  /* less pull goes the other way, as uncertain */
  SlState slack = state;
  sl_state_pull (&in, -100, &slack);
  for (int i = 0; i < p; i++)
    {
      assert_near (slack.u[i], -pulled.u[i], 1e-12);
      assert_near (slack.cov[i * p + i], pulled.cov[i * p + i], 1e-12);
    }
}

/* What the sentence says is what the state predicts: relief from 0, with its U, and the actions of the outer strings.
 */
static void
test_predicted (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);

  sl_profile_tune (profile, test_tuning ("standard"));
  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-light"), TRUE);
  compare (c, profile, "acoustic-medium");
  const double change = 0.0004 * c->comparison.tension_change, u = 0.0003 * c->comparison.tension_change;

  assert_near (sl_state_mean_relief (&c->comparison.after), change, 1e-12);
  assert_near (sl_state_mean_relief (&c->comparison.before), 0, 1e-12);
  g_autofree char *sentence = sl_comparison_sentence (&c->comparison, SL_LENGTHS_MM, "."),
                  *relief = g_strdup_printf ("relief from 0.00 to %.2f ± %.2f mm", change, 2 * u),
                  *action =
                      g_strdup_printf ("%.2f ± ", test_ruler_gap (&c->in, &c->comparison.after, 6, 0, SL_OCTAVE_FRET));

  g_assert_nonnull (strstr (sentence, relief));
  g_assert_nonnull (strstr (sentence, action));
  g_assert_cmpfloat (test_ruler_gap (&c->in, &c->comparison.after, 6, 0, SL_OCTAVE_FRET), >,
                     test_ruler_gap (&c->in, &c->state, 6, 0, SL_OCTAVE_FRET));
}

static void
test_tuned_otherwise (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1), *lower = g_new0 (Case, 1);

  /* Mersenne: tension goes with the square of the frequency; half a step is 2^(−1/12), so 2^(−1/6) of the tension is
   * left */
  sl_profile_tune (profile, test_tuning ("standard"));
  compare (c, profile, NULL);
  sl_profile_tune (profile, test_tuning ("half-step-down"));
  compare (lower, profile, NULL);
  for (int s = 0; s < 6; s++)
    assert_near (lower->comparison.present.strings[s].tension / c->comparison.present.strings[s].tension,
                 exp2 (-1 / 6.0), 1e-9);
}

static void
test_lighter (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL, *percent = NULL;

  sl_profile_tune (profile, test_tuning ("standard"));
  sl_profile_fit_strings (profile, sl_string_set_find ("acoustic-medium"), TRUE);
  compare (c, profile, "acoustic-light");
  /* the crests that come down with the neck shorten the strings by a hair */
  assert_near (c->comparison.tension_share, c->comparison.other.tension_total / c->comparison.present.tension_total - 1,
               1e-5);
  sentence = sl_comparison_sentence (&c->comparison, SL_LENGTHS_MM, ".");
  percent = g_strdup_printf ("%.1f %%", -100 * c->comparison.tension_share);
  g_assert_nonnull (strstr (sentence, percent));
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
  compare (c, profile, "acoustic-medium");
  g_assert_cmpfloat (c->comparison.tension_change, >, 0);
  sentence = sl_comparison_sentence (&c->comparison, SL_LENGTHS_MM, ",");
  newtons = g_strdup_printf ("%.0f N", c->comparison.tension_change);
  g_assert_true (g_str_has_prefix (sentence, newtons));
  g_assert_nonnull (strstr (sentence, "more tension"));
  g_assert_nonnull (strstr (sentence, "Read relief and action again"));
}

static void
test_side_give (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);

  /* a string pulled aside at its middle by h is held back by 2 T sin(angle) ≈ 4 T h/L; the 12th fret is the middle
   * where there is no setback */
  compare (c, profile, NULL);
  for (int s = 0; s < 6; s++)
    assert_near (c->comparison.present.strings[s].side_give,
                 4 * c->comparison.present.strings[s].tension / c->in.scale[0], 1e-9);
}

static void
test_unknown_note (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);
  g_autofree char *sentence = NULL;

  g_free (profile->strings[0].note);
  profile->strings[0].note = g_strdup ("H2");
  compare (c, profile, NULL);
  g_assert_true (isnan (c->comparison.other.strings[0].tension) &&
                 isnan (c->comparison.other.strings[0].setback_needed));
  g_assert_true (isfinite (c->comparison.other.strings[1].tension));
  g_assert_true (isnan (c->comparison.other.tension_total));
  sentence = sl_comparison_sentence (&c->comparison, SL_LENGTHS_MM, ".");
  g_assert_nonnull (strstr (sentence, "no note"));
}

static void
test_fewer_strings (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree Case *c = g_new0 (Case, 1);

  compare (c, profile, "bass-45");
  g_assert_cmpint (c->comparison.n_changed, ==, 4);
  const SlStringWorth *present = &c->comparison.present.strings[5], *other = &c->comparison.other.strings[5];
  g_assert_cmpfloat (other->unit_mass_kg_m, ==, present->unit_mass_kg_m);
  g_assert_cmpfloat (other->slot_width, ==, present->slot_width);
  assert_near (other->tension, present->tension, 1e-3 * present->tension); /* on a neck that bends otherwise */
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
  g_test_add_func ("/compare/swing", test_swing);
  g_test_add_func ("/compare/pull", test_pull);
  g_test_add_func ("/compare/predicted", test_predicted);
  g_test_add_func ("/compare/tuned-otherwise", test_tuned_otherwise);
  g_test_add_func ("/compare/lighter", test_lighter);
  g_test_add_func ("/compare/heavier", test_heavier);
  g_test_add_func ("/compare/side-give", test_side_give);
  g_test_add_func ("/compare/unknown-note", test_unknown_note);
  g_test_add_func ("/compare/fewer-strings", test_fewer_strings);
  g_test_add_func ("/compare/stress-warning", test_stress_warning);
  return g_test_run ();
}
