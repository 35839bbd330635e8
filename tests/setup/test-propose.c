/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The proposed plan on random instruments: what it promises holds when it is carried out. */
#include <string.h>

#include "../rounds.h"
#include "words/proposal.h"
#include "setup/physics/figures.h"
#include "setup/work/work.h"
#include "support.h"

#define ROUNDS test_rounds (400)
#define SHORTFALL_MM 0.005 /* below it the plan says nothing: less than can be read or cut */
/* a slot is left alone for less than 0.01 mm, amounts are rounded down to 0.001 mm, and a crest left higher lifts the
 * gap by an eighteenth */
#define FINISH_SLOT_MM 0.013
/* a crest is left alone for less than 0.02 mm; a slot left higher lifts the string with it */
#define FINISH_CREST_MM 0.028

typedef struct
{
  SlInstrument in;
  SlReadingSet set;
  SlFit fit;
  SlState after;
  SlProposal proposal;
} Case;

static void
case_clear (Case *c)
{
  test_set_clear (&c->set);
  sl_fit_clear (&c->fit);
  sl_proposal_clear (&c->proposal);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

typedef enum
{
  NO_SCREWS,
  HEIGHT_SCREWS
} Screws;

static void
propose (Case *c)
{
  test_propose (&c->in, &c->fit, &c->set, NULL, &SL_SHOP_DEFAULT, &c->proposal);
  c->after = c->fit.state;
  for (guint i = 0; i < c->proposal.steps->len; i++)
    sl_operation_apply (&c->in, &g_array_index (c->proposal.steps, SlStep, i).operation, &c->after);
}

/* A random instrument, read perfectly and proposed for. */
static void
any_case (GRand *rand, Screws screws, int n_strings, Case *c)
{
  g_autoptr (SlProfile) profile = n_strings > 0 ? test_profile (rand, n_strings, 22, 14) : test_any_profile (rand);
  SlState truth;

  if (screws == HEIGHT_SCREWS)
    profile->saddle.height_screw_pitch = sl_number (0.5);
  profile->saddle.least_exposure = sl_number (g_rand_boolean (rand) ? test_between (rand, 0, 3) : 0);
  sl_instrument_from_profile (profile, &c->in);
  test_state (rand, &c->in, &truth);
  if (g_rand_boolean (rand))
    memset (truth.crown, 0, sizeof truth.crown);
  c->set = test_set ();
  test_read_all (rand, &c->in, &truth, &c->set);
  sl_fit (&c->in, &c->set, &c->fit);
  g_assert_cmpint (c->fit.n_suspects, ==, 0);
  propose (c);
}

static const SlFinding *
find (const Case *c, SlFindingKind kind, int string)
{
  for (guint i = 0; i < c->proposal.findings->len; i++)
    {
      const SlFinding *finding = &g_array_index (c->proposal.findings, SlFinding, i);

      if (finding->kind == kind && (string == 0 || finding->string == string))
        return finding;
    }
  return NULL;
}

static double
open_gap (const Case *c, const SlState *state, int string, int fret)
{
  return test_ruler_gap (&c->in, state, string, 0, fret);
}

static gboolean
slot_is_cut (const Case *c, int string)
{
  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlOperation *op = &g_array_index (c->proposal.steps, SlStep, i).operation;

      if (op->kind == SL_OP_LOWER_SLOT && op->string == string)
        return TRUE;
    }
  return FALSE;
}

static void
check_targets (const Case *c, Screws screws)
{
  gboolean exposure_stops = FALSE;

  for (int s = 1; s <= c->in.n_strings; s++)
    {
      double short_of_action = c->in.target_action[s - 1] - open_gap (c, &c->after, s, 12);
      double short_of_gap = c->in.target_first_gap[s - 1] - open_gap (c, &c->after, s, 1);
      double x_s = c->in.scale + c->after.setback[s - 1];

      /* what is cut is cut no lower than its target */
      if (screws == NO_SCREWS && c->after.exposure[s - 1] < c->fit.state.exposure[s - 1])
        g_assert_cmpfloat (short_of_action, <=, 1e-6);
      if (slot_is_cut (c, s))
        g_assert_cmpfloat (short_of_gap, <=, screws == NO_SCREWS ? 1e-6 : FINISH_CREST_MM / 16);
      /* below its target otherwise only where a finding says so, with the amount wanted at the crest or the slot;
       * screws go up as well as down, but are left alone for as little as a crest is */
      if (screws == HEIGHT_SCREWS)
        g_assert_cmpfloat (short_of_action, <, FINISH_CREST_MM / 2);
      else if (short_of_action > SHORTFALL_MM)
        {
          const SlFinding *low = find (c, SL_FINDING_CREST_LOW, s);

          g_assert_nonnull (low);
          assert_near (low->amount, short_of_action * x_s / c->in.x[12], 1e-3);
        }
      if (short_of_gap > SHORTFALL_MM)
        {
          const SlFinding *low = find (c, SL_FINDING_SLOT_LOW, s);

          g_assert_nonnull (low);
          assert_near (low->amount, short_of_gap / (1 - c->in.x[1] / x_s), 1e-3);
        }
      /* no saddle is lowered past its least exposure, on screws neither (model 6) */
      if (c->after.exposure[s - 1] < c->fit.state.exposure[s - 1])
        g_assert_cmpfloat (c->after.exposure[s - 1], >=, c->in.least_exposure - 1e-9);
      /* above it only where the saddle's exposure stops the cut */
      double over = -short_of_action * x_s / c->in.x[12];
      if (over > FINISH_CREST_MM)
        {
          g_assert_cmpfloat (c->after.exposure[s - 1] - c->in.least_exposure, <, FINISH_CREST_MM);
          exposure_stops = TRUE;
        }
      /* slots are cut as far as they may */
      g_assert_cmpfloat (-short_of_gap, <, FINISH_SLOT_MM);
    }
  if (exposure_stops)
    g_assert_nonnull (find (c, SL_FINDING_EXPOSURE, 0));
}

static void
check_never_upward (const Case *c, Screws screws)
{
  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlOperation *op = &g_array_index (c->proposal.steps, SlStep, i).operation;

      switch (op->kind)
        {
        case SL_OP_LOWER_SLOT: g_assert_cmpfloat (op->amount.v, >, 0); break;
        case SL_OP_CUT_SADDLE_BASE:
          g_assert_cmpint (screws, ==, NO_SCREWS);
          g_assert_cmpfloat (op->amount.v, >=, 0);
          g_assert_cmpfloat (op->amount_treble.v, >=, 0);
          break;
        case SL_OP_SHAPE_CREST:
          if (screws == NO_SCREWS)
            g_assert_cmpfloat (op->amount.v, >, 0);
          break;
        default: break;
        }
    }
}

/* Operations stand in the order they are done, each with its reason. */
static void
check_order (const Case *c)
{
  const SlTextStyle style = { SL_LENGTHS_MM, "." };
  g_autofree SlAnalysis *analysis = test_analysis (&c->in, &c->fit, &c->set, NULL, &SL_SHOP_DEFAULT);
  SlOperationKind last = SL_OP_LEVEL_FRETS;

  for (guint i = 0; i < c->proposal.steps->len; i++)
    {
      const SlStep *step = &g_array_index (c->proposal.steps, SlStep, i);

      g_assert_cmpint (step->operation.kind, >=, last);
      g_autofree char *reason = sl_step_reason (analysis, step, &style);

      g_assert_cmpstr (reason, !=, "");
      g_assert_null (strstr (reason, "nan"));
      g_assert_null (step->operation.done);
      last = step->operation.kind;
    }
  for (guint i = 0; i < c->proposal.findings->len; i++)
    {
      g_autofree char *text = sl_finding_text (analysis, &g_array_index (c->proposal.findings, SlFinding, i), &style);

      g_assert_true (g_str_has_suffix (text, "."));
      g_assert_null (strstr (text, "nan"));
    }
}

static void
check_relief (const Case *c)
{
  double treble = c->after.u[SL_RELIEF_TREBLE], bass = c->in.n_strings > 1 ? c->after.u[SL_RELIEF_BASS] : treble;

  g_assert_cmpfloat (MIN (treble, bass), >=, -1e-9);
  if (find (c, SL_FINDING_RELIEF, 0) == NULL)
    assert_near (sl_state_mean_relief (&c->after), c->in.target_relief, SHORTFALL_MM + 0.0006);
}

static void
check_exposure (const Case *c)
{
  for (int s = 0; s < c->in.n_strings; s++)
    if (c->after.exposure[s] < c->in.least_exposure - 1e-9)
      /* it had less before: then nothing more is taken */
      g_assert_cmpfloat (c->after.exposure[s], >=, c->fit.state.exposure[s] - 1e-9);
}

/* A second proposal on the planned state finds nothing left beyond rounding steps. */
static void
check_idempotent (const Case *c)
{
  Case again = { .in = c->in, .set = c->set, .fit = c->fit };

  again.fit.state = c->after;
  propose (&again);
  for (guint i = 0; i < again.proposal.steps->len; i++)
    {
      const SlOperation *op = &g_array_index (again.proposal.steps, SlStep, i).operation;

      g_assert_cmpint (op->kind, !=, SL_OP_LEVEL_FRETS);
      g_assert_cmpint (op->kind, !=, SL_OP_MOVE_CREST);
      g_assert_cmpfloat (fabs (op->amount.v), <, FINISH_CREST_MM);
      if (op->kind == SL_OP_CUT_SADDLE_BASE)
        g_assert_cmpfloat (op->amount_treble.v, <, FINISH_CREST_MM);
    }
  sl_proposal_clear (&again.proposal);
}

static void
check_all (const Case *c, Screws screws)
{
  check_targets (c, screws);
  check_never_upward (c, screws);
  check_order (c);
  check_relief (c);
  if (screws == NO_SCREWS)
    check_exposure (c);
  check_idempotent (c);
}

static void
test_any (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 0, &c);
      check_all (&c, NO_SCREWS);
    }
}

static void
test_screws (void)
{
  g_autoptr (GRand) rand = test_rand ();
  gboolean up = FALSE, held_back = FALSE;

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, HEIGHT_SCREWS, 0, &c);
      check_all (&c, HEIGHT_SCREWS);
      g_assert_null (find (&c, SL_FINDING_CREST_LOW, 0));
      held_back = held_back || find (&c, SL_FINDING_EXPOSURE, 0) != NULL;
      if (find (&c, SL_FINDING_NECK_ANGLE, 0) == NULL)
        for (int s = 1; s <= c.in.n_strings; s++)
          assert_near (open_gap (&c, &c.after, s, 12), c.in.target_action[s - 1], FINISH_CREST_MM);
      for (guint k = 0; k < c.proposal.steps->len; k++)
        {
          const SlOperation *op = &g_array_index (c.proposal.steps, SlStep, k).operation;

          up = up || (op->kind == SL_OP_SHAPE_CREST && op->amount.v < 0);
        }
    }
  g_assert_true (up && held_back);
}

static void
test_single_string (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS / 4; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 1, &c);
      check_all (&c, NO_SCREWS);
    }
}

static void
test_twelve_strings (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS / 4; i++)
    {
      g_auto (Case) c = { 0 };

      any_case (rand, NO_SCREWS, 12, &c);
      check_all (&c, NO_SCREWS);
    }
}

/* ---- one thing at a time, on the plain instrument at its targets ---- */

static void
plain_case (Case *c, double relief, double first_over, double action_over)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &c->in);
  c->set = test_set ();
  test_add (&c->set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, relief * sl_bow_shape (&c->in, c->in.x[7]));
  test_add (&c->set, SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, relief * sl_bow_shape (&c->in, c->in.x[7]));
  test_add (&c->set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0.1);
  for (int s = 1; s <= 6; s++)
    {
      test_add (&c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_DEFAULT, c->in.target_first_gap[s - 1] + first_over);
      test_add (&c->set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, c->in.target_action[s - 1] + action_over);
      test_add (&c->set, SL_READ_EXPOSURE, s, 0, SL_HELD_DEFAULT, 4);
    }
}

static void
plain_propose (Case *c)
{
  sl_fit (&c->in, &c->set, &c->fit);
  propose (c);
}

static void
test_at_target (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0, 0);
  plain_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  g_assert_cmpuint (c.proposal.findings->len, ==, 0);
}

static void
test_too_low (void)
{
  g_auto (Case) c = { 0 };

  /* slots and crests already too low: nothing to cut, the heights they want */
  plain_case (&c, 0.15, -0.12, -0.4);
  plain_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 0);
  for (int s = 1; s <= 6; s++)
    {
      g_assert_cmpfloat (find (&c, SL_FINDING_SLOT_LOW, s)->amount, >, 0.12);
      assert_near (find (&c, SL_FINDING_CREST_LOW, s)->amount, 0.4 * c.in.scale / c.in.x[12], 1e-6);
    }
}

static void
test_suspect_is_named (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0, 0.3);
  test_add (&c.set, SL_READ_ACTION, 3, 9, SL_HELD_DEFAULT, 4.2);
  test_add (&c.set, SL_READ_ACTION, 3, 15, SL_HELD_DEFAULT, 2.7);
  plain_propose (&c);
  const SlFinding *suspect = find (&c, SL_FINDING_SUSPECT, 0);
  g_assert_nonnull (suspect);
  g_assert_cmpint (suspect->string, ==, 3);
  g_assert_cmpint (suspect->fret, ==, 9);
}

static void
test_twisted_neck (void)
{
  g_auto (Case) c = { 0 };

  /* one side without any relief: the rod may not bow it backward to bring the mean down */
  plain_case (&c, 0.15, 0, 0);
  g_array_index (c.set.readings, SlReading, 0).value = sl_number (0);
  g_array_index (c.set.readings, SlReading, 1).value = sl_number (0.5);
  plain_propose (&c);
  g_assert_nonnull (find (&c, SL_FINDING_RELIEF, 0));
  g_assert_cmpfloat (c.after.u[SL_RELIEF_TREBLE], >=, -1e-9);
}

static void
test_levelling (void)
{
  /* within the tolerance of 0.03 mm nothing; beyond it, level; to less than the least crown height, said so */
  static const struct
  {
    double low, height;
    gboolean level, finding;
  } rows[] = {
    { 0.02, NAN, FALSE, FALSE }, { 0.05, NAN, TRUE, FALSE }, { 0.6, NAN, TRUE, TRUE }, { 0.05, 0.62, TRUE, TRUE }
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, 0.15, 0.2, 0.5);
      for (int n = 1; n <= 20; n++)
        test_add (&c.set, SL_READ_CROWN_GAP, 0, n, SL_HELD_DEFAULT, n == 9 ? rows[i].low : 0);
      if (!isnan (rows[i].height))
        test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 4, SL_HELD_DEFAULT, rows[i].height);
      plain_propose (&c);
      const SlOperation *first = &g_array_index (c.proposal.steps, SlStep, 0).operation;
      g_assert_cmpint (first->kind == SL_OP_LEVEL_FRETS, ==, rows[i].level);
      g_assert_cmpint (find (&c, SL_FINDING_FRET_HEIGHT, 0) != NULL, ==, rows[i].finding);
      if (rows[i].level)
        for (int n = 1; n <= 20; n++)
          assert_near (c.after.crown[n], -rows[i].low, 1e-12);
    }
}

static void
test_exposure (void)
{
  g_auto (Case) c = { 0 };

  /* 1.2 mm to take at the crest and 0.5 mm of saddle to spare */
  plain_case (&c, 0.15, 0, 0.6);
  c.in.least_exposure = 3.5;
  plain_propose (&c);
  const SlFinding *finding = find (&c, SL_FINDING_EXPOSURE, 0);
  g_assert_nonnull (finding);
  assert_near (finding->amount, 0.6 * c.in.scale / c.in.x[12] - 0.5, 0.02);
  for (int s = 0; s < 6; s++)
    {
      g_assert_cmpfloat (c.after.exposure[s], >=, 3.5 - 1e-9);
      assert_near (c.after.exposure[s], 3.5, 0.01);
    }
}

/* An exposure nobody read holds no cut back and gives no neck angle, however much saddle must stay: the plan asks for
 * the reading instead, and only where it cuts the saddle. */
static void
test_unread_exposure (void)
{
  for (int cuts = 0; cuts < 2; cuts++)
    {
      g_auto (Case) c = { 0 };

      plain_case (&c, 0.15, 0, cuts ? 0.6 : 0);
      for (guint i = c.set.readings->len; i-- > 0;)
        if (g_array_index (c.set.readings, SlReading, i).kind == SL_READ_EXPOSURE)
          g_array_remove_index (c.set.readings, i);
      c.in.least_exposure = 3.5;
      plain_propose (&c);
      const SlFinding *finding = find (&c, SL_FINDING_EXPOSURE, 0);
      g_assert_cmpint (finding != NULL, ==, cuts);
      if (!cuts)
        continue;
      g_autofree SlAnalysis *analysis = test_analysis (&c.in, &c.fit, &c.set, NULL, &SL_SHOP_DEFAULT);
      g_autofree char *text = sl_finding_text (analysis, finding, &(SlTextStyle){ SL_LENGTHS_MM, "." });
      g_assert_nonnull (strstr (text, "was not read"));
      g_assert_true (isnan (finding->amount));
      for (int s = 1; s <= 6; s++)
        assert_near (open_gap (&c, &c.after, s, 12), c.in.target_action[s - 1], FINISH_CREST_MM / 2);
    }
}

static void
test_first_passes (void)
{
  g_auto (Case) c = { 0 };

  plain_case (&c, 0.15, 0.1, 0.6);
  plain_propose (&c);
  gboolean any = FALSE;
  for (guint i = 0; i < c.proposal.steps->len; i++)
    {
      const SlStep *step = &g_array_index (c.proposal.steps, SlStep, i);

      if (step->operation.kind != SL_OP_CUT_SADDLE_BASE)
        continue;
      any = TRUE;
      /* U of an action read to 0.1 mm is 0.058 mm, at the crest twice that */
      assert_near (step->pass.pass, floor ((step->operation.amount.v - 2 * 2 * 0.1 / sqrt (12)) / 0.05) * 0.05, 1e-9);
      g_assert_cmpfloat (step->pass.pass, >, 0);
      g_assert_cmpfloat (step->pass.pass_treble, >, 0);
    }
  g_assert_true (any);
}

static void
test_crest_moves (void)
{
  g_auto (Case) c = { 0 };

  /* nothing but the tuner's readings: 5 cents sharp is about 5 · L ln2/1200 of crest; of several readings their mean
   * counts */
  plain_case (&c, 0.15, 0, 0);
  test_add (&c.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 4);
  test_add (&c.set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 6);
  test_add (&c.set, SL_READ_PITCH, 3, 12, SL_HELD_DEFAULT, 0.05);
  test_add (&c.set, SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT, -5);
  test_add (&c.set, SL_READ_PITCH, 5, 7, SL_HELD_DEFAULT, 9);
  plain_propose (&c);
  g_assert_cmpuint (c.proposal.steps->len, ==, 2);
  const SlOperation *sharp = &g_array_index (c.proposal.steps, SlStep, 0).operation,
                    *flat = &g_array_index (c.proposal.steps, SlStep, 1).operation;
  g_assert_cmpint (sharp->kind, ==, SL_OP_MOVE_CREST);
  g_assert_cmpint (sharp->string, ==, 2);
  assert_near (sharp->amount.v, 5 * 632 * G_LN2 / 1200, 0.03);
  g_assert_cmpint (flat->string, ==, 4);
  assert_near (flat->amount.v, -5 * 632 * G_LN2 / 1200, 0.03);
}

static void
test_done_since (void)
{
  g_auto (Case) c = { 0 };
  g_autoptr (GArray) plan = sl_plan_new ();

  /* what was cut after the readings were taken is cut: only the rest is proposed; what was cut before is in the
   * readings */
  plain_case (&c, 0.15, 0, 0.6);
  plain_propose (&c);
  const SlOperation cut = g_array_index (c.proposal.steps, SlStep, 0).operation;
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

static void
test_assumed_strings (void)
{
  g_auto (Case) c = { 0 };
  gboolean slot = FALSE;

  /* a string not read is proposed for as assumed, but nothing may come off it before it is read */
  plain_case (&c, 0.15, 0.2, 0.6);
  for (guint i = c.set.readings->len; i-- > 0;)
    {
      const SlReading *r = &g_array_index (c.set.readings, SlReading, i);

      if (r->string == 3 && r->kind <= SL_READ_ACTION)
        g_array_remove_index (c.set.readings, i);
    }
  plain_propose (&c);
  for (guint i = 0; i < c.proposal.steps->len; i++)
    {
      const SlStep *step = &g_array_index (c.proposal.steps, SlStep, i);

      if (step->operation.kind != SL_OP_LOWER_SLOT)
        continue;
      if (step->operation.string == 3)
        {
          slot = TRUE;
          g_assert_cmpfloat (step->pass.pass, ==, 0);
        }
      else
        g_assert_true (isnan (step->pass.pass));
    }
  g_assert_true (slot);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/propose/any", test_any);
  g_test_add_func ("/propose/screws", test_screws);
  g_test_add_func ("/propose/single-string", test_single_string);
  g_test_add_func ("/propose/twelve-strings", test_twelve_strings);
  g_test_add_func ("/propose/at-target", test_at_target);
  g_test_add_func ("/propose/too-low", test_too_low);
  g_test_add_func ("/propose/suspect-is-named", test_suspect_is_named);
  g_test_add_func ("/propose/twisted-neck", test_twisted_neck);
  g_test_add_func ("/propose/levelling", test_levelling);
  g_test_add_func ("/propose/exposure", test_exposure);
  g_test_add_func ("/propose/unread-exposure", test_unread_exposure);
  g_test_add_func ("/propose/first-passes", test_first_passes);
  g_test_add_func ("/propose/crest-moves", test_crest_moves);
  g_test_add_func ("/propose/done-since", test_done_since);
  g_test_add_func ("/propose/assumed-strings", test_assumed_strings);
  return g_test_run ();
}
