/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a neck's own turns teach of it, by hand, and what must teach nothing. */
#include <math.h>
#include <string.h>

#include "neck-case.h"
#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "words/effect.h"
#include "words/said.h"

/* ---- by hand ---- */

/* A straight neck of 632 mm joined at 14, no setbacks; perfect readings. */
static void
plain_begin (Case *c)
{
  case_of (test_plain_profile (), c);
  test_straight_state (&c->in, &c->truth);
  c->truth.u[SL_RELIEF_TREBLE] = c->truth.u[SL_RELIEF_BASS] = 0.30;
  for (int s = 1; s <= c->in.n_strings; s++)
    test_set_string (&c->truth, s, 0.5, 4);
}

/* The places of the plain neck by twelve-tone equal temperament, and the bow's shape (model 1.3). */
static double
place (int fret)
{
  return 632 * (1 - exp2 (-fret / 12.0));
}

static double
bow (double x)
{
  return 4 * (x - place (1)) * (place (14) - x) / pow (place (14) - place (1), 2);
}

/* A tool that shows steps of r is uncertain by r/√12 (GUM F.2.2.1); steps by default (model 3): relief 0.02, first gap
 * 0.05, action 0.1 mm. */
static double
step_u (double step)
{
  return step / sqrt (12);
}

/* Mean relief R is read at fret 7 of both outer strings: u_R = u(0.02)/φ(x_7)/√2. */
static double
relief_u (void)
{
  return step_u (0.02) / bow (place (7)) / sqrt (2);
}

/* One turn, 0.20 mm less relief on a neck whose factors are 0.70 and 1.10. With t_1 = x_1/632 and t_12 = x_12/632 = 1/2
 * the two gaps of a string, g_1 = z_0 (1 − t_1) + z_s t_1 and g_12 = z_0 (1 − t_12) + z_s t_12 + φ(x_12) R, give
 *   z_s = ((g_12 − φ_12 R)(1 − t_1) − g_1 (1 − t_12))/(t_12 − t_1),
 *   z_0 = (g_1 t_12 − (g_12 − φ_12 R) t_1)/(t_12 − t_1),
 * so the variance of z_s − k L R in the mean of six strings is what g_1 and g_12 bring, over 6, and R's times the
 * square of its slope; of the change twice that, and u of a factor is its root over L |ΔR|. */
static void
test_by_hand (void)
{
  g_auto (Case) c = { 0 };

  plain_begin (&c);
  c.real.neck.crest = 0.70;
  c.real.neck.nut = 1.10;
  read_plainly (&c, NULL);
  turn (&c, -0.20, -0.20);
  read_plainly (&c, NULL);
  const SlNeckBending *neck = learn (&c);
  const double t1 = place (1) / 632, t12 = 0.5, phi = bow (place (12)), ua = step_u (0.1), ug = step_u (0.05);
  const double crest_lever = 4 * (632 - place (14)) / (place (14) - place (1)), nut_lever = -bow (0);
  const double crest_variance = (pow (ua * (1 - t1), 2) + pow (ug * (1 - t12), 2)) / pow (t12 - t1, 2) / 6 +
                                pow (phi * (1 - t1) / (t12 - t1) + 0.83 * crest_lever, 2) * pow (relief_u (), 2),
               nut_variance = (pow (ug * t12, 2) + pow (ua * t1, 2)) / pow (t12 - t1, 2) / 6 +
                              pow (phi * t1 / (t12 - t1) - 0.98 * nut_lever, 2) * pow (relief_u (), 2);
  const double crest_u = sqrt (2 * crest_variance) / crest_lever / 0.20,
               nut_u = sqrt (2 * nut_variance) / nut_lever / 0.20;
  const double crest_weight = 1 / pow (0.10, 2) + 1 / pow (crest_u, 2),
               nut_weight = 1 / pow (0.17, 2) + 1 / pow (nut_u, 2);

  g_assert_cmpint (neck->turns, ==, 1);
  assert_near (neck->crest, (0.83 / pow (0.10, 2) + 0.70 / pow (crest_u, 2)) / crest_weight, 1e-6);
  assert_near (neck->crest_u, 1 / sqrt (crest_weight), 1e-6);
  assert_near (neck->nut, (0.98 / pow (0.17, 2) + 1.10 / pow (nut_u, 2)) / nut_weight, 1e-6);
  assert_near (neck->nut_u, 1 / sqrt (nut_weight), 1e-6);
}

/* ΔR = −b N through the origin: b = −Σ N ΔR/Σ N² where all weigh the same, u = u(ΔR)/√(Σ N²), u(ΔR) = √2 u_R. */
static void
test_counted (void)
{
  static const double turns[] = { 0.5, -0.25, 0.5 }, changes[] = { -0.15, 0.075, -0.30 };
  g_auto (Case) c = { 0 };
  double u, nn = 0, nr = 0;

  plain_begin (&c);
  read_plainly (&c, NULL);
  for (int i = 0; i < 3; i++)
    {
      turn (&c, changes[i], changes[i])->turns = sl_number (turns[i]);
      read_plainly (&c, NULL);
      nn += turns[i] * turns[i];
      nr += turns[i] * changes[i];
      const SlNeckBending *neck = learn (&c);

      if (i == 0) /* one says nothing of a line */
        {
          g_assert_true (isnan (neck->per_turn) && isnan (sl_rod_turns (&c.in, -0.12, &u)));
          continue;
        }
      double scatter = 0;

      for (int k = 0; k <= i; k++)
        scatter += pow ((changes[k] - nr / nn * turns[k]) / (M_SQRT2 * relief_u ()), 2) / i;
      g_assert_cmpint (neck->n_per_turn, ==, i + 1);
      assert_near (neck->per_turn, -nr / nn, 1e-6);
      assert_near (neck->per_turn_u, M_SQRT2 * relief_u () / sqrt (nn) * sqrt (MAX (1, scatter)), 1e-6);
      if (i == 1) /* 0.30 mm a turn: 0.12 less is 0.4 of one, tightened; as much more is loosened */
        {
          assert_near (neck->per_turn, 0.30, 1e-6);
          assert_near (sl_rod_turns (&c.in, -0.12, &u), 0.4, 1e-5);
          assert_near (u, 0.4 * neck->per_turn_u / 0.30, 1e-5);
          assert_near (sl_rod_turns (&c.in, 0.12, NULL), -0.4, 1e-5);
        }
      else /* 0.60 and 0.30 a turn do not agree: what they scatter by is more than what the readings do */
        g_assert_cmpfloat (scatter, >, 1);
    }
  /* one more that was not counted adds nothing */
  turn (&c, 0.2, 0.2);
  read_plainly (&c, NULL);
  g_assert_cmpint (learn (&c)->n_per_turn, ==, 3);
}

/* ---- the strings' pull ---- */

static double
tension_of (const Case *c)
{
  double sum = 0;

  for (int s = 1; s <= c->in.n_strings; s++)
    {
      const double rise = sl_state_crest_height (&c->truth, s) - sl_state_nut_height (&c->truth, s);

      sum += sl_tension (&c->in.strings[s - 1], hypot (632, rise));
    }
  return sum;
}

/* Relief 0.30 at pitch and 0.09 slack. */
static void
test_slack (void)
{
  for (int order = 0; order < 2; order++)
    for (int between = 0; between < 2; between++)
      {
        g_auto (Case) c = { 0 };
        double tension = 0;

        plain_begin (&c);
        for (int i = 0; i < 2; i++)
          {
            if ((i == 0) == (order == 0))
              {
                read_plainly (&c, NULL);
                tension = tension_of (&c);
              }
            else
              {
                SlReadingSet *set = add_set (&c);

                set->strings = order == 0 ? SL_STRINGS_SLACK : SL_STRINGS_OFF;
                test_add (set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0.09 * bow (place (7)));
                test_add (set, SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, 0.09 * bow (place (7)));
                /* what slack strings say of gaps is nothing */
                test_add (set, SL_READ_ACTION, 3, 12, SL_HELD_OPEN, 9);
              }
            if (i == 0 && between == 1)
              turn (&c, 0, 0);
          }
        const SlNeckBending *neck = learn (&c);

        g_assert_cmpint (neck->per_newton_read, ==, between == 0);
        g_assert_cmpint (neck->turns, ==, 0);
        assert_near (neck->per_newton, between == 0 ? 0.21 / tension : 0.0004, 1e-8);
        assert_near (neck->per_newton_u, between == 0 ? M_SQRT2 * relief_u () / tension : 0.0003, 1e-8);
      }
}

/* ---- what stands between ---- */

/* A turn of a neck that bends as is believed, with one thing more; perfect readings. */
typedef enum
{
  NOTHING_ELSE,
  WORK_NOTED,
  CROWNS_FIRST_ONLY,
  SLACK_BETWEEN,
  N_WITH
} With;

static void
test_not_misled (void)
{
  double u[N_WITH];

  for (With with = NOTHING_ELSE; with < N_WITH; with++)
    {
      g_auto (Case) c = { 0 };
      SlReadingSet *set;

      plain_begin (&c);
      if (with == CROWNS_FIRST_ONLY) /* read once, they are still there after the turn */
        {
          c.truth.crown[1] = 0.04;
          c.truth.crown[7] = -0.05;
          c.truth.crown[12] = 0.08;
        }
      set = read_plainly (&c, NULL);
      if (with == CROWNS_FIRST_ONLY)
        test_read_known (&c.in, &c.truth, set);
      turn (&c, 0.18, 0.15);
      if (with == WORK_NOTED)
        {
          SlOperation op = sl_operation_init (SL_OP_CUT_SADDLE_BASE);

          op.amount = sl_number (0.8);
          op.amount_treble = sl_number (0.6);
          op.done = next_hour (&c);
          sl_operation_apply (&c.real, &op, &c.truth);
          g_array_append_val (sl_profile_last_visit (c.profile)->plan, op);
        }
      if (with == SLACK_BETWEEN)
        add_set (&c)->strings = SL_STRINGS_SLACK;
      read_plainly (&c, NULL);
      const SlNeckBending *neck = learn (&c);

      g_assert_cmpint (neck->turns, ==, 1);
      assert_near (neck->crest, 0.83, 1e-6);
      assert_near (neck->nut, 0.98, 1e-6);
      u[with] = neck->crest_u;
      g_assert_cmpfloat (u[with], <, 0.95 * SL_NECK_BENDING_ASSUMED.crest_u);
    }
  g_assert_cmpfloat (u[WORK_NOTED], >, u[NOTHING_ELSE]); /* the hand was in it */
  assert_near (u[CROWNS_FIRST_ONLY], u[NOTHING_ELSE], 1e-6);
  assert_near (u[SLACK_BETWEEN], u[NOTHING_ELSE], 1e-9);
}

static void
assert_nothing_learned (Case *c)
{
  const SlNeckBending *neck = learn (c), assumed = SL_NECK_BENDING_ASSUMED;

  g_assert_cmpint (neck->turns, ==, 0);
  g_assert_cmpfloat (neck->crest, ==, assumed.crest);
  g_assert_cmpfloat (neck->crest_u, ==, assumed.crest_u);
  g_assert_cmpfloat (neck->nut, ==, assumed.nut);
  g_assert_cmpfloat (neck->nut_u, ==, assumed.nut_u);
}

/* Relief read on one side of a turn only: nothing is learned, and the turn is told of until it is read. */
static void
test_one_side (void)
{
  for (int side = 0; side < 2; side++)
    {
      g_auto (Case) c = { 0 };
      guint unread = 99;

      plain_begin (&c);
      c.real.neck.crest = 1.5;
      const SlVisit *visit = sl_profile_last_visit (c.profile);
      read_plainly (&c, NULL);
      g_assert_false (sl_turn_unread (visit, sl_visit_last_set (visit), &unread)); /* none was turned */
      if (side == 0)
        g_array_remove_range (sl_visit_last_set (visit)->readings, 0, 2);
      turn (&c, -0.2, -0.2);
      g_assert_false (sl_turn_unread (visit, sl_visit_last_set (visit), &unread)); /* nothing was read since */
      read_plainly (&c, NULL);
      if (side == 1)
        g_array_remove_range (sl_visit_last_set (visit)->readings, 0, 2);
      assert_nothing_learned (&c);
      g_assert_true (sl_turn_unread (visit, sl_visit_last_set (visit), &unread));
      g_assert_cmpuint (unread, ==, 0);
      /* read later, it is no longer in question; what was not read before never will be */
      read_plainly (&c, NULL);
      g_assert_cmpint (sl_turn_unread (visit, sl_visit_last_set (visit), &unread), ==, side == 0);
    }
}

/* A turn lost in the readings' noise; work between that nobody noted; visits of a baseline, which are of other
 * instruments; a set before the turn: none of them says a thing. */
static void
test_nothing (void)
{
  g_auto (Case) small = { 0 }, cut = { 0 }, others = { 0 };
  SlOperation op = sl_operation_init (SL_OP_CUT_SADDLE_BASE);

  plain_begin (&small);
  small.real.neck.crest = 1.5;
  read_plainly (&small, NULL);
  turn (&small, -0.02, -0.02);
  read_plainly (&small, NULL);
  assert_nothing_learned (&small);

  /* 0.9 mm off unnoted while relief went down by 0.15 would make the crest move by 2.6 of even curvature */
  plain_begin (&cut);
  op.amount = op.amount_treble = sl_number (0.9);
  read_plainly (&cut, NULL);
  turn (&cut, -0.15, -0.15);
  sl_operation_apply (&cut.in, &op, &cut.truth);
  read_plainly (&cut, NULL);
  learn (&cut);
  g_assert_cmpfloat (cut.in.neck.crest, ==, 0.83);

  plain_begin (&others);
  others.real.neck.crest = 1.0;
  read_plainly (&others, NULL);
  turn (&others, -0.2, -0.2);
  read_plainly (&others, NULL);
  const SlVisit *visit = sl_profile_last_visit (others.profile);
  g_autoptr (GArray) none =
      sl_learn_neck (&others.in, others.profile, visit, &g_array_index (visit->sets, SlReadingSet, 0),
                     &SL_WORK_UNCERTAINTY_DEFAULT, NULL);
  g_assert_null (none);
  g_assert_cmpint (others.in.neck.turns, ==, 0);
  begin_visit (&others);
  read_plainly (&others, NULL);
  g_assert_cmpint (learn (&others)->turns, ==, 1);
  others.profile->kind = SL_KIND_BASELINE;
  assert_nothing_learned (&others);
}

/* Turned after the last reading of a visit, read again in the next: counts where that is soon, and in the same air. */
static void
test_between_visits (void)
{
  static const struct
  {
    int days;
    double humidity; /* % RH at the second */
    int turns;
  } cases[] = { { 3, 50, 1 }, { 3, 75, 0 }, { 20, 50, 0 } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_auto (Case) c = { 0 };
      SlReadingSet *set;

      plain_begin (&c);
      set = read_plainly (&c, NULL);
      set->temperature = sl_number (21);
      set->humidity = sl_number (50);
      turn (&c, -0.2, -0.2);
      c.hour += 24 * cases[i].days;
      begin_visit (&c);
      set = read_plainly (&c, NULL);
      set->temperature = sl_number (21);
      set->humidity = sl_number (cases[i].humidity);
      g_assert_cmpint (learn (&c)->turns, ==, cases[i].turns);
    }
}

/* ---- what is told ---- */

/* Three counted turns of 0.30 mm a turn and one planned: the rod's text says what the neck has taught and how far to
 * turn, 0.12 mm less being 0.4 of a turn; the figures are measured ones. */
static void
test_told (void)
{
  g_autofree SlAnalysis *analysis = g_new (SlAnalysis, 1);
  const SlTextStyle style = { SL_LENGTHS_MM, "." };
  g_auto (Case) c = { 0 };

  plain_begin (&c);
  read_plainly (&c, NULL);
  sl_analyse_last (c.profile, &SL_SHOP_DEFAULT, analysis);
  g_assert_null (sl_neck_text (&analysis->instrument.neck, &style));
  g_assert_null (sl_rod_turns_text (&analysis->instrument, -0.12, &style));
  g_assert_cmpint (analysis->measured_figures.rod_crest_factor.basis, ==, SL_BASIS_ASSUMED);
  g_assert_true (isnan (analysis->measured_figures.rod_per_turn.value));
  sl_analysis_clear (analysis);
  for (int i = 0; i < 3; i++)
    {
      turn (&c, -0.15, -0.15)->turns = sl_number (0.5);
      read_plainly (&c, NULL);
    }
  SlOperation planned = sl_operation_init (SL_OP_TURN_ROD);
  planned.amount = sl_number (-0.12);
  g_array_append_val (sl_profile_last_visit (c.profile)->plan, planned);
  sl_analyse_last (c.profile, &SL_SHOP_DEFAULT, analysis);
  g_autofree char *text = sl_effect_text (analysis, analysis->plan, SL_OP_TURN_ROD, 6, &style);
  const SlNeckBending *neck = &analysis->instrument.neck;
  g_autofree char *taught =
      g_strdup_printf ("this neck, from 3 turns: 0.83 ± %.2f of an even bend", SL_COVERAGE * neck->crest_u);
  g_autofree char *turns =
      g_strdup_printf ("about 0.40 ± %.2f turns", SL_COVERAGE * 0.4 * neck->per_turn_u / neck->per_turn);

  g_assert_nonnull (strstr (text, taught));
  g_assert_nonnull (strstr (text, turns));
  g_assert_cmpint (analysis->measured_figures.rod_crest_factor.basis, ==, SL_BASIS_MEASURED);
  assert_near (analysis->measured_figures.rod_per_turn.value, 0.30, 1e-6);
  sl_analysis_clear (analysis);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/neck/by-hand", test_by_hand);
  g_test_add_func ("/neck/counted", test_counted);
  g_test_add_func ("/neck/slack", test_slack);
  g_test_add_func ("/neck/not-misled", test_not_misled);
  g_test_add_func ("/neck/one-side", test_one_side);
  g_test_add_func ("/neck/nothing", test_nothing);
  g_test_add_func ("/neck/between-visits", test_between_visits);
  g_test_add_func ("/neck/told", test_told);
  return g_test_run ();
}
