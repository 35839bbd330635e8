/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rules of a plan (model 6), one at a time, worked out by hand. */
#include <string.h>

#include "proposal-case.h"
#include "words/proposal.h"

/* ---- one thing at a time, on the plain instrument at its targets: 632 mm, no compensation read, so that the crest is
 * twice as far from the nut as fret 12 and fret 1 lies at 632 (1 − 2^(−1/12)) = 35.47143 mm ---- */

#define SLOT_PER_GAP 1.0594631 /* 1/(1 − 35.47143/632), by hand */

static void
plain_case (Case *c, double relief, double first_over, double action_over)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &c->in);
  c->set = test_set ();
  test_add (&c->set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, relief * sl_bow_shape (&c->in, 1, c->in.x[0][7]));
  test_add (&c->set, SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, relief * sl_bow_shape (&c->in, 1, c->in.x[0][7]));
  test_add (&c->set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0.1);
  for (int s = 1; s <= 6; s++)
    {
      test_add (&c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_DEFAULT, c->in.target_first_gap[s - 1] + first_over);
      test_add (&c->set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, c->in.target_action[s - 1] + action_over);
      test_add (&c->set, SL_READ_EXPOSURE, s, 0, SL_HELD_DEFAULT, 4);
    }
}

/* Reads one string's gap higher or lower than the others'. */
static void
read_off (Case *c, SlReadingKind kind, int string, double by)
{
  for (guint i = 0; i < c->set.readings->len; i++)
    {
      SlReading *r = &g_array_index (c->set.readings, SlReading, i);

      if (r->kind == kind && r->string == string)
        r->value.v += by;
    }
}

static const SlShop *
to_target (void)
{
  static SlShop shop;

  shop = SL_SHOP_DEFAULT;
  shop.to_target = 1;
  return &shop;
}

/* Every kind of figure a little inside its tolerance, on either side: relief 0.05, first gap 0.05, action 0.15 mm,
 * pitch 1.5 cents. */
static void
test_in_range (void)
{
  static const struct
  {
    double relief, first, action, cents;
  } rows[] = { { 0.15, 0, 0, 0 },      { 0.199, 0, 0, 0 },          { 0.101, 0, 0, 0 },     { 0.15, 0.049, 0, 0 },
               { 0.15, -0.049, 0, 0 }, { 0.15, 0, 0.149, 0 },       { 0.15, 0, -0.149, 0 }, { 0.15, 0, 0, 1.4 },
               { 0.15, 0, 0, -1.4 },   { 0.199, 0.049, 0.149, 1.4 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, rows[i].relief, rows[i].first, rows[i].action);
      test_add (&c.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, rows[i].cents);
      case_propose (&c);
      g_assert_cmpuint (c.proposal.steps->len, ==, 0);
      g_assert_cmpuint (c.proposal.findings->len, ==, 0);
    }
}

/* The same a little outside: one step each, and it aims at the target. */
static void
test_out_of_range (void)
{
  g_auto (Case) rod = { 0 }, slots = { 0 }, saddle = { 0 }, pitch = { 0 };

  plain_case (&rod, 0.21, 0, 0);
  case_propose (&rod);
  assert_near (case_operation (&rod, 0)->amount.v, -0.06, 0.0006);
  plain_case (&slots, 0.15, 0.06, 0);
  case_propose (&slots);
  g_assert_cmpuint (slots.proposal.steps->len, ==, 6);
  for (guint i = 0; i < 6; i++)
    assert_near (case_operation (&slots, i)->amount.v, 0.063, 1e-9); /* 0.06 · 1.0594631 = 0.06357, rounded down */
  plain_case (&saddle, 0.15, 0.02, 0.16);
  case_propose (&saddle);
  g_assert_cmpuint (saddle.proposal.steps->len, ==, 1);
  assert_near (case_operation (&saddle, 0)->amount.v, 0.32, 1.1e-3);
  assert_near (case_operation (&saddle, 0)->amount_treble.v, 0.32, 1.1e-3);
  plain_case (&pitch, 0.15, 0, 0);
  test_add (&pitch.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 1.6);
  case_propose (&pitch);
  g_assert_cmpuint (pitch.proposal.steps->len, ==, 1);
  assert_near (case_operation (&pitch, 0)->amount.v, 1.6 * 632 * G_LN2 / 1200, 0.011);
}

/* The shop's wish: what is in range goes to its target, too. */
static void
test_to_target (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.19, 0.04, 0.14);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  case_propose_for (&c, to_target ());
  assert_near (case_step (&c, SL_OP_TURN_ROD, 0)->operation.amount.v, -0.04, 0.0006);
  for (int s = 1; s <= 6; s++)
    {
      assert_near (case_off (&c, &c.after, s, 12), 0, LEAST_CUT_MM / 2 + ROUNDING_MM);
      assert_near (case_off (&c, &c.after, s, 1), 0, LEAST_CUT_MM + ROUNDING_MM);
    }
  g_assert_cmpuint (c.proposal.steps->len, >, 1);
}

static void
test_too_low (void)
{
  g_auto (Case) c = { 0 };

  /* slots and crests already too low: nothing to cut, the heights they want, the nut before the saddle */
  plain_case (&c, 0.15, -0.12, -0.4);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  for (int s = 1; s <= 6; s++)
    {
      assert_near (case_find (&c, SL_FINDING_SLOT_LOW, s)->amount, 0.12 * SLOT_PER_GAP, 1e-6);
      assert_near (case_find (&c, SL_FINDING_CREST_LOW, s)->amount, 0.8, 1e-6);
    }
  g_assert_cmpint (g_array_index (c.proposal.findings, SlFinding, 0).kind, ==, SL_FINDING_SLOT_LOW);
  g_assert_false (case_find (&c, SL_FINDING_SLOT_LOW, 6)->predicted);
  /* in range as read, too low only once the rod and the saddle are done, which take 0.63 of its 0.3 mm (test-gates.c):
   * said as what may be */
  g_auto (Case) turned = { 0 };
  plain_case (&turned, 0.45, 0, 0.8);
  case_propose (&turned);
  assert_near (turned.in.target_first_gap[5] - case_find (&turned, SL_FINDING_SLOT_LOW, 6)->values[0],
               0.3 * 0.63009 + 2 * (0.8 - 0.3 * 2.119) * 0.05613, 2e-3);
  g_assert_true (case_find (&turned, SL_FINDING_SLOT_LOW, 6)->predicted);
}

/* One slot too low may want a new nut: said before the others, too high, are filed in the old one. */
static void
test_nut_first (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0.2, 0);
  read_off (&c, SL_READ_FIRST_GAP, 1, -0.35);
  case_propose (&c);
  g_assert_cmpint (case_operation (&c, 0)->kind, ==, SL_OP_LOWER_SLOT);
  g_assert_cmpuint (case_find (&c, SL_FINDING_SLOT_LOW, 1)->before, ==, 0);
}

/* A string that lies on a fret is told before all steps, the rod's too: as it is, and as a turn of the rod would have
 * it. */
static void
test_touching (void)
{
  g_auto (Case) lies = { 0 }, would = { 0 };
  const SlFinding *finding;

  plain_case (&lies, -0.1, 0, 0);
  read_off (&lies, SL_READ_FIRST_GAP, 1, -lies.in.target_first_gap[0] - 0.05);
  case_propose (&lies);
  g_assert_cmpint (case_operation (&lies, 0)->kind, ==, SL_OP_TURN_ROD);
  finding = &g_array_index (lies.proposal.findings, SlFinding, 0);
  g_assert_cmpint (finding->kind, ==, SL_FINDING_TOUCHES);
  g_assert_cmpint (finding->string, ==, 1);
  g_assert_cmpint (finding->fret, ==, 1);
  g_assert_cmpuint (finding->before, ==, 0);
  g_assert_false (finding->predicted);
  assert_near (finding->values[0], 0.05, 1e-6);
  g_assert_null (case_find (&lies, SL_FINDING_TOUCHES, 2));

  /* 0.1 mm as read, of which the rod takes 0.63 of its 0.3 mm (test-gates.c) */
  plain_case (&would, 0.45, 0, 0);
  read_off (&would, SL_READ_FIRST_GAP, 6, 0.1 - would.in.target_first_gap[5]);
  case_propose (&would);
  finding = case_find (&would, SL_FINDING_TOUCHES, 0);
  g_assert_cmpint (finding->string, ==, 6);
  g_assert_cmpuint (finding->before, ==, 0);
  g_assert_true (finding->predicted);
  assert_near (finding->values[0], 0.3 * 0.63009 - 0.1, 2e-3);
}

/* The straight cut is for the outer strings that are out of range, and takes no string below its target. */
static void
test_straight_cut (void)
{
  g_auto (Case) one = { 0 }, none = { 0 }, inner = { 0 };

  /* string 6 is 0.4 mm too high, 0.8 at the crest; string 1 is in range and not touched; those between are 0.1 over,
   * 0.2 at the crest: string 5, which a cut of c at the bass end lowers by 0.8 c, lets it be 0.25 */
  plain_case (&one, 0.15, 0.02, 0.1);
  read_off (&one, SL_READ_ACTION, 6, 0.3);
  case_propose (&one);
  const SlStep *cut = case_step (&one, SL_OP_CUT_SADDLE_BASE, 0);
  assert_near (cut->operation.amount.v, 0.25, 1.1e-3);
  assert_near (cut->operation.amount_treble.v, 0, 1e-9);
  assert_near (case_step (&one, SL_OP_SHAPE_CREST, 6)->operation.amount.v, 0.55, 2.2e-3);
  assert_near (cut->values[2], cut->values[3], 1e-9);
  /* both outer strings in range: an inner one that is not is dressed by itself */
  plain_case (&inner, 0.15, 0.02, 0);
  read_off (&inner, SL_READ_ACTION, 3, 0.4);
  case_propose (&inner);
  g_assert_cmpuint (inner.proposal.steps->len, ==, 1);
  assert_near (case_step (&inner, SL_OP_SHAPE_CREST, 3)->operation.amount.v, 0.8, 1.1e-3);
  /* an inner string below its target would go lower still: no straight cut at all */
  plain_case (&none, 0.15, 0.02, 0.4);
  read_off (&none, SL_READ_ACTION, 3, -0.45);
  case_propose (&none);
  g_assert_null (case_step (&none, SL_OP_CUT_SADDLE_BASE, 0));
  g_assert_null (case_step (&none, SL_OP_SHAPE_CREST, 3));
  g_assert_cmpuint (none.proposal.steps->len, ==, 5);
}

/* Less than a hand can do is not proposed: 0.05 mm, or the shop's step of a saddle. */
static void
test_least_cut (void)
{
  g_auto (Case) c = { 0 };
  SlShop fine = SL_SHOP_DEFAULT, coarse = SL_SHOP_DEFAULT;

  /* with a tolerance of 0.01 mm, 0.02 mm too high at fret 12 is 0.04 mm at the crest; 0.045 at the slot is too little,
   * too */
  plain_case (&c, 0.15, 0.04, 0.02);
  c.in.action_tolerance = c.in.first_gap_tolerance = 0.01;
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  /* but said, of every slot and every action */
  g_assert_cmpuint (c.proposal.findings->len, ==, 12);
  assert_near (case_find (&c, SL_FINDING_LEFT, 6)->amount, 0.04, 1e-6);
  fine.cut_step_mm = 0.01;
  case_propose_for (&c, &fine);
  g_assert_nonnull (case_step (&c, SL_OP_LOWER_SLOT, 6));
  /* a saddle's step of 0.5 mm keeps no slot from being cut */
  g_auto (Case) high = { 0 };
  coarse.cut_step_mm = 0.5;
  plain_case (&high, 0.15, 0.2, 0.2);
  case_propose_for (&high, &coarse);
  g_assert_null (case_step (&high, SL_OP_CUT_SADDLE_BASE, 0));
  g_assert_cmpfloat (case_step (&high, SL_OP_LOWER_SLOT, 6)->pass.pass, >, 0.1);
}

static void
test_suspect_is_named (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0, 0.3);
  test_add (&c.set, SL_READ_ACTION, 3, 9, SL_HELD_DEFAULT, 4.2);
  test_add (&c.set, SL_READ_ACTION, 3, 15, SL_HELD_DEFAULT, 2.7);
  case_propose (&c);
  const SlFinding *suspect = case_find (&c, SL_FINDING_SUSPECT, 0);
  g_assert_nonnull (suspect);
  g_assert_cmpint (suspect->string, ==, 3);
  g_assert_cmpint (suspect->fret, ==, 9);
  g_assert_cmpuint (suspect->before, ==, 0);
}

/* A height at fret 1 is not told to be at fret 1 twice over. */
static void
test_suspect_at_nut (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0, 0.3);
  test_add (&c.set, SL_READ_FIRST_GAP, 3, 0, SL_HELD_OPEN, 2.4);
  case_propose (&c);
  g_autofree SlAnalysis *analysis = test_analysis (&c.in, &c.fit, &c.set, NULL, &SL_SHOP_DEFAULT);
  const SlFinding *suspect = case_find (&c, SL_FINDING_SUSPECT, 3);
  g_assert_nonnull (suspect);
  g_autofree char *text = sl_finding_text (analysis, suspect, &(SlTextStyle){ SL_LENGTHS_MM, "." });
  g_assert_true (g_str_has_prefix (text, "string height at fret 1 of string 3 reads 2.40 mm"));
}

static void
test_twisted_neck (void)
{
  g_auto (Case) c = { 0 }, back = { 0 };

  /* one side without any relief: the rod may not bow it backward to bring the mean down */
  plain_case (&c, 0.15, 0, 0);
  g_array_index (c.set.readings, SlReading, 0).value = sl_number (0);
  g_array_index (c.set.readings, SlReading, 1).value = sl_number (0.5);
  g_array_index (c.set.readings, SlReading, 0).use = g_array_index (c.set.readings, SlReading, 1).use = SL_USE_ALWAYS;
  case_propose (&c);
  g_assert_nonnull (case_find (&c, SL_FINDING_RELIEF, 0));
  g_assert_cmpfloat (c.after.u[SL_RELIEF_TREBLE], >=, -1e-9);
  /* the mean in range, one side bowed back by more than its tolerance: the rod is let out until that side is straight
   */
  plain_case (&back, 0.15, 0, 0);
  g_array_index (back.set.readings, SlReading, 0).value =
      sl_number (-0.08 * sl_bow_shape (&back.in, 1, back.in.x[0][7]));
  g_array_index (back.set.readings, SlReading, 1).value =
      sl_number (0.38 * sl_bow_shape (&back.in, 1, back.in.x[0][7]));
  g_array_index (back.set.readings, SlReading, 0).use = g_array_index (back.set.readings, SlReading, 1).use =
      SL_USE_ALWAYS;
  case_propose (&back);
  assert_near (case_step (&back, SL_OP_TURN_ROD, 0)->operation.amount.v, 0.08, 0.0011);
}

/* Crowns within 0.03 mm are left as they are; once they come down, slots and saddle wait for it. */
static void
test_levelling (void)
{
  static const double lows[] = { 0.02, 0.06 };

  for (gsize i = 0; i < G_N_ELEMENTS (lows); i++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, 0.15, 0.2, 0.5);
      for (int n = 1; n <= 20; n++)
        test_add (&c.set, SL_READ_CROWN_GAP, 0, n, SL_HELD_DEFAULT, n == 9 ? lows[i] : 0);
      case_propose (&c);
      g_assert_cmpint (case_step (&c, SL_OP_LEVEL_FRETS, 0) != NULL, ==, i == 1);
      g_assert_cmpint (case_step (&c, SL_OP_LOWER_SLOT, 6)->pass.gate, ==, i == 1 ? SL_GATE_FRETS : SL_GATE_NONE);
      g_assert_cmpint (case_step (&c, SL_OP_CUT_SADDLE_BASE, 0)->pass.gate, ==, i == 1 ? SL_GATE_FRETS : SL_GATE_NONE);
    }
}

/* The neck's angle, by hand: 0.6 mm too high at fret 12 is 1.2 at the crest, and 0.5 mm of saddle is to spare: 0.7 too
 * little, more than the 0.30 that the tolerance is there. The joint lies 632 · 2^(−14/12) = 281.5240 mm from the crest:
 * atan (0.7/281.5240) = 0.1425°, over 100 mm of heel a wedge of 0.2486 mm. */
static void
test_neck_angle (void)
{
  g_auto (Case) c = { 0 }, enough = { 0 };

  plain_case (&c, 0.15, 0.05, 0.6);
  c.in.least_exposure = 3.5;
  case_propose (&c);
  const SlFinding *angle = case_find (&c, SL_FINDING_NECK_ANGLE, 0);
  g_assert_nonnull (angle);
  g_assert_true (angle == &g_array_index (c.proposal.findings, SlFinding, 0));
  g_assert_cmpuint (angle->before, ==, 0);
  assert_near (angle->amount, 0.7, 0.002);
  assert_near (angle->values[1] - angle->values[2], 0.35, 0.001);
  assert_near (angle->values[3], 0.1425, 0.0005);
  assert_near (angle->values[4], 0.2486, 0.001);
  /* the second choice: what the saddle could give, which stays in the plan but does not come off */
  assert_near (angle->values[5], 0.5, 0.0011);
  assert_near (angle->values[6], 0.5, 0.0011);
  const SlStep *cut = case_step (&c, SL_OP_CUT_SADDLE_BASE, 0);
  assert_near (cut->operation.amount.v, 0.5, 0.0011);
  g_assert_cmpint (cut->pass.gate, ==, SL_GATE_NECK_ANGLE);
  g_assert_cmpfloat (cut->pass.pass, ==, 0);
  g_assert_cmpfloat (cut->pass.pass_treble, ==, 0);
  for (int s = 0; s < 6; s++)
    assert_near (c.after.exposure[s], 3.5, 0.0021);
  /* short by no more than the tolerance: no finding, the saddle gives what it has */
  plain_case (&enough, 0.15, 0.05, 0.6);
  enough.in.least_exposure = 3.05; /* 0.95 of 1.2 */
  case_propose (&enough);
  g_assert_null (case_find (&enough, SL_FINDING_NECK_ANGLE, 0));
  g_assert_cmpint (case_step (&enough, SL_OP_CUT_SADDLE_BASE, 0)->pass.gate, ==, SL_GATE_NONE);
}

/* An exposure nobody read holds no cut back and gives no neck angle, however much saddle must stay: the plan asks for
 * the reading instead, right before the saddle comes down, and only where it does. */
static void
test_unread_exposure (void)
{
  for (int cuts = 0; cuts < 2; cuts++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, 0.15, 0.12, cuts ? 0.6 : 0);
      for (guint i = c.set.readings->len; i-- > 0;)
        if (g_array_index (c.set.readings, SlReading, i).kind == SL_READ_EXPOSURE)
          g_array_remove_index (c.set.readings, i);
      c.in.least_exposure = 3.5;
      case_propose (&c);
      const SlFinding *finding = case_find (&c, SL_FINDING_EXPOSURE, 0);
      g_assert_cmpint (finding != NULL, ==, cuts);
      if (!cuts)
        continue;
      g_autofree SlAnalysis *analysis = test_analysis (&c.in, &c.fit, &c.set, NULL, &SL_SHOP_DEFAULT);
      g_autofree char *text = sl_finding_text (analysis, finding, &(SlTextStyle){ SL_LENGTHS_MM, "." });
      g_assert_nonnull (strstr (text, "was not read"));
      g_assert_true (isnan (finding->amount));
      g_assert_cmpint (case_operation (&c, finding->before)->kind, ==, SL_OP_CUT_SADDLE_BASE);
      for (int s = 1; s <= 6; s++)
        assert_near (test_ruler_gap (&c.in, &c.after, s, 0, 12), c.in.target_action[s - 1], LEAST_CUT_MM / 2);
    }
}

static void
test_crest_moves (void)
{
  g_auto (Case) c = { 0 };

  /* nothing but the tuner's readings: 5 cents sharp is about 5 · L ln2/1200 of crest; of several readings their mean
   * counts; 1.4 cents are in range */
  plain_case (&c, 0.15, 0, 0);
  test_add (&c.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 4);
  test_add (&c.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 6);
  test_add (&c.set, SL_READ_PITCH, 3, 12, SL_HELD_DEFAULT, 1.4);
  test_add (&c.set, SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT, -5);
  test_add (&c.set, SL_READ_PITCH, 5, 7, SL_HELD_DEFAULT, 9);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 2);
  const SlOperation *sharp = case_operation (&c, 0), *flat = case_operation (&c, 1);
  g_assert_cmpint (sharp->kind, ==, SL_OP_MOVE_CREST);
  g_assert_cmpint (sharp->string, ==, 2);
  assert_near (sharp->amount.v, 5 * 632 * G_LN2 / 1200, 0.03);
  g_assert_cmpint (flat->string, ==, 4);
  assert_near (flat->amount.v, -5 * 632 * G_LN2 / 1200, 0.03);
  /* a tuner steps by 0.1 and may be 0.5 cents off: u² = 0.1²/12 + 0.5²/3; a cent is about 632 ln2/1200 mm; two readings
   * 2 cents apart: s² = 2, s²/2 = 1 */
  assert_near (g_array_index (c.proposal.steps, SlStep, 0).pass.u,
               sqrt (0.1 * 0.1 / 12 + 0.5 * 0.5 / 3 + 1) * 632 * G_LN2 / 1200, 1e-3);
  assert_near (g_array_index (c.proposal.steps, SlStep, 1).pass.u,
               sqrt (0.1 * 0.1 / 12 + 0.5 * 0.5 / 3) * 632 * G_LN2 / 1200, 1e-3);
  g_assert_cmpuint (c.proposal.findings->len, ==, 0);
  /* 12 cents on string 5 would be 4.4 mm: farther than a saddle of 2.5 mm has room for, wherever on it it breaks
   * now; with length screws there is room */
  test_add (&c.set, SL_READ_PITCH, 5, 12, SL_HELD_DEFAULT, 12);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.findings->len, ==, 1);
  const SlFinding *far = &g_array_index (c.proposal.findings, SlFinding, 0);
  g_assert_cmpint (far->kind, ==, SL_FINDING_CREST_MOVE);
  g_assert_cmpint (far->string, ==, 5);
  assert_near (far->values[0], 12 * 632 * G_LN2 / 1200, 0.06);
  c.in.length_screw_pitch = 0.7;
  case_propose (&c);
  g_assert_cmpuint (c.proposal.findings->len, ==, 0);
  c.in.length_screw_pitch = NAN;
  g_array_set_size (c.set.readings, c.set.readings->len - 1);
  /* one that may be 5 cents off, u = 2.89, U = 5.8, can't tell */
  test_add_tool (&c.set, SL_TOOL_PITCH, 0.1, 5);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  /* beside it a pitch that was heard, U = 0.2 cents, can */
  test_add (&c.set, SL_READ_PITCH, 6, 12, SL_HELD_DEFAULT, 2.5)->uncertainty = sl_number (0.2);
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 1);
  g_assert_cmpint (case_operation (&c, 0)->string, ==, 6);
  assert_near (g_array_index (c.proposal.steps, SlStep, 0).pass.u, 0.1 * 632 * G_LN2 / 1200, 1e-4);
}

static void
test_done_since (void)
{
  g_auto (Case) c = { 0 };
  g_autoptr (GArray) plan = sl_plan_new ();

  /* what was cut after the readings were taken is cut: only the rest is proposed; what was cut before is in the
   * readings */
  plain_case (&c, 0.15, 0, 0.6);
  case_propose (&c);
  const SlOperation cut = *case_operation (&c, 0);
  g_assert_cmpint (cut.kind, ==, SL_OP_CUT_SADDLE_BASE);
  for (int past = 0; past < 2; past++)
    {
      SlOperation half = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
      SlProposal rest;

      half.amount = half.amount_treble = sl_number (0.5);
      half.done = g_strdup (past ? "2026-03-01T12:00:00Z" : "2026-03-02T12:00:00Z");
      g_array_set_size (plan, 0);
      g_array_append_val (plan, half);
      test_propose (&c.in, &c.fit, &c.set, plan, &SL_SHOP_DEFAULT, &rest);
      const SlOperation *left = &g_array_index (rest.steps, SlStep, 0).operation;
      g_assert_cmpint (left->kind, ==, SL_OP_CUT_SADDLE_BASE);
      assert_near (left->amount.v, cut.amount.v - (past ? 0 : 0.5), 1.1e-3);
      assert_near (left->amount_treble.v, cut.amount_treble.v - (past ? 0 : 0.5), 1.1e-3);
      sl_proposal_clear (&rest);
    }
}

/* A string not read is proposed for as assumed, but nothing may come off it before it is read; the others' first passes
 * stand. */
static void
test_assumed_string (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0.2, 0);
  for (guint i = c.set.readings->len; i-- > 0;)
    {
      const SlReading *r = &g_array_index (c.set.readings, SlReading, i);

      if (r->string == 3 && r->kind <= SL_READ_ACTION)
        g_array_remove_index (c.set.readings, i);
    }
  case_propose (&c);
  g_assert_cmpint (case_step (&c, SL_OP_LOWER_SLOT, 3)->pass.gate, ==, SL_GATE_READING);
  g_assert_cmpfloat (case_step (&c, SL_OP_LOWER_SLOT, 3)->pass.pass, ==, 0);
  g_assert_cmpint (case_step (&c, SL_OP_LOWER_SLOT, 4)->pass.gate, ==, SL_GATE_NONE);
  g_assert_cmpfloat (case_step (&c, SL_OP_LOWER_SLOT, 4)->pass.pass, >, 0.1);
}

/* First passes by hand, the cut being 0.2 mm of gap at a slot, 1.2 mm off the underside, 0.8 off one string's top: */
static void
test_first_passes (void)
{
  static const struct
  {
    SlToolKind tool;
    double resolution, first, action, single;
    SlOperationKind kind;
    int string;
    double cut, pass, u;
  } rows[] = {
    /* 0.2 · 1.0594631 = 0.2119; u² = (0.05/√12 · 1.0594631)² + (0.015 + 0.1 · 0.211)² = 0.0392057²; the lower edge is
     * 0.05 · 1.0594631 further: 0.2118926 + 0.0529732 − 2 · 0.0392057 = 0.1864544, in steps of 0.05 */
    { SL_TOOL_FIRST_GAP, 0.05, 0.2, 0, 0, SL_OP_LOWER_SLOT, 6, 0.211, 0.15, 0.0392057 },
    /* 0.1 · 1.0594631 = 0.1059; u² = (0.01/√12 · 1.0594631)² + (0.015 + 0.1 · 0.105)² = 0.0256828²; 0.1059463 +
     * 0.0529732 − 2 · 0.0256828 = 0.1075539: all of it, in steps of 0.05 */
    { SL_TOOL_FIRST_GAP, 0.01, 0.1, 0, 0, SL_OP_LOWER_SLOT, 6, 0.105, 0.10, 0.0256828 },
    /* u² = (2 · 0.1/√12)² + (0.03 + 0.03 · 1.2)² = 0.0876888²; 1.2 + 2 · 0.15 − 2 · 0.0876888 = 1.3246: all of it */
    { SL_TOOL_ACTION, 0.1, 0.02, 0.6, 0, SL_OP_CUT_SADDLE_BASE, 0, 1.2, 1.2, 0.0876888 },
    /* read to half a millimetre: u² = (2 · 0.5/√12)² + 0.066² = 0.2961236²; 1.5 − 2 · 0.2961236 = 0.9077528 */
    { SL_TOOL_ACTION, 0.5, 0.02, 0.6, 0, SL_OP_CUT_SADDLE_BASE, 0, 1.2, 0.907, 0.2961236 },
    /* u² = (2 · 0.5/√12)² + (0.03 + 0.03 · 0.8)² = 0.2936825²; 0.8 + 0.3 − 2 · 0.2936825 = 0.5126350 */
    { SL_TOOL_ACTION, 0.5, 0.02, 0, 0.4, SL_OP_SHAPE_CREST, 3, 0.8, 0.512, 0.2936825 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, 0.15, rows[i].first, rows[i].action);
      test_add_tool (&c.set, rows[i].tool, rows[i].resolution, 0);
      read_off (&c, SL_READ_ACTION, 3, rows[i].single);
      case_propose (&c);
      const SlStep *step = case_step (&c, rows[i].kind, rows[i].string);
      g_assert_nonnull (step);
      assert_near (step->operation.amount.v, rows[i].cut, 0.0011);
      assert_near (step->pass.pass, rows[i].pass, 0.0016);
      assert_near (step->pass.u, rows[i].u, 2e-4);
      if (rows[i].kind == SL_OP_CUT_SADDLE_BASE)
        assert_near (step->pass.pass_treble, rows[i].pass, 0.0016);
    }
}

/* A screw that brings the action down brings the first gap into range, too, and spares the slot. By hand: 0.16 mm over
 * at fret 12 is 0.32 mm at the crest, which takes 0.32 · 35.47143/632 = 0.018 mm off the first gap: from 0.055 mm over,
 * out of range, to 0.037 mm, in range. Filed first, the slot would have brought the action into range. */
static void
test_screws_before_slots (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0.055, 0.16);
  c.in.height_screw_pitch = 0.5;
  c.in.adjust = SL_ADJUST_SCREWS;
  case_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 6);
  for (guint i = 0; i < 6; i++)
    {
      g_assert_cmpint (case_operation (&c, i)->kind, ==, SL_OP_SHAPE_CREST);
      assert_near (case_operation (&c, i)->amount.v, 0.32, 1.1e-3);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/rules/in-range", test_in_range);
  g_test_add_func ("/rules/out-of-range", test_out_of_range);
  g_test_add_func ("/rules/to-target", test_to_target);
  g_test_add_func ("/rules/too-low", test_too_low);
  g_test_add_func ("/rules/touching", test_touching);
  g_test_add_func ("/rules/nut-first", test_nut_first);
  g_test_add_func ("/rules/straight-cut", test_straight_cut);
  g_test_add_func ("/rules/least-cut", test_least_cut);
  g_test_add_func ("/rules/suspect-is-named", test_suspect_is_named);
  g_test_add_func ("/rules/suspect-at-nut", test_suspect_at_nut);
  g_test_add_func ("/rules/twisted-neck", test_twisted_neck);
  g_test_add_func ("/rules/levelling", test_levelling);
  g_test_add_func ("/rules/neck-angle", test_neck_angle);
  g_test_add_func ("/rules/unread-exposure", test_unread_exposure);
  g_test_add_func ("/rules/crest-moves", test_crest_moves);
  g_test_add_func ("/rules/done-since", test_done_since);
  g_test_add_func ("/rules/assumed-string", test_assumed_string);
  g_test_add_func ("/rules/first-passes", test_first_passes);
  g_test_add_func ("/rules/screws-before-slots", test_screws_before_slots);
  return g_test_run ();
}
