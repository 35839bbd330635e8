/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a proposal makes of crowns: the least metal that levels them, a fingerboard extension that falls away or rises,
 * marks, and the bench steps that follow. Cases worked by hand, on the plain instrument (20 frets joined at 14, crowns
 * 1.10 high, least 0.60, wanted fall-away 0.10 ± 0.10). */
#include "../rounds.h"
#include "setup/physics/frets.h"
#include "support.h"
#include "words/proposal.h"

#define ROUNDS test_rounds (100)
#define BIT(n) (G_GUINT64_CONSTANT (1) << (n))
#define NEITHER -1

typedef struct
{
  SlInstrument in;
  SlReadingSet set;
  SlFit fit;
  GArray *plan;
  SlProposal proposal;
} Case;

static void
case_clear (Case *c)
{
  test_set_clear (&c->set);
  sl_fit_clear (&c->fit);
  sl_proposal_clear (&c->proposal);
  g_clear_pointer (&c->plan, g_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

/* The plain instrument with all heights at their targets, and a tongue that reads @tongue. */
static void
on_target (Case *c, double tongue)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &c->in);
  c->set = test_set ();
  test_add (&c->set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, c->in.target_relief);
  test_add (&c->set, SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, c->in.target_relief);
  test_add (&c->set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, tongue);
  for (int s = 1; s <= 6; s++)
    {
      test_add (&c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN, c->in.target_first_gap[s - 1]);
      test_add (&c->set, SL_READ_ACTION, s, 12, SL_HELD_OPEN, c->in.target_action[s - 1]);
    }
}

static void
gap (Case *c, int from, int to, double mm)
{
  for (int n = from; n <= to; n++)
    test_add (&c->set, SL_READ_CROWN_GAP, 0, n, SL_HELD_DEFAULT, mm);
}

static void
propose (Case *c)
{
  sl_fit (&c->in, &c->set, &c->fit);
  test_propose (&c->in, &c->fit, &c->set, c->plan, &SL_SHOP_DEFAULT, &c->proposal);
}

static const SlOperation *
step_at (const Case *c, guint i)
{
  g_assert_cmpuint (c->proposal.steps->len, >, i);
  return &g_array_index (c->proposal.steps, SlStep, i).operation;
}

static const SlFinding *
find (const Case *c, SlFindingKind kind)
{
  for (guint i = 0; i < c->proposal.findings->len; i++)
    if (g_array_index (c->proposal.findings, SlFinding, i).kind == kind)
      return &g_array_index (c->proposal.findings, SlFinding, i);
  return NULL;
}

static gboolean
levels (const Case *c)
{
  for (guint i = 0; i < c->proposal.steps->len; i++)
    if (step_at (c, i)->kind == SL_OP_LEVEL_FRETS)
      return TRUE;
  return FALSE;
}

/* Levelling comes first, and re-crowning and polishing follow as steps of their own. */
static void
check_levelling (const Case *c, guint64 frets, double fall_away)
{
  g_assert_cmpint (step_at (c, 0)->kind, ==, SL_OP_LEVEL_FRETS);
  g_assert_cmphex (step_at (c, 0)->frets, ==, frets);
  assert_near (sl_number_or (step_at (c, 0)->amount, 0), fall_away, 1e-9);
  g_assert_cmpint (step_at (c, 1)->kind, ==, SL_OP_BENCH_STEP);
  g_assert_cmpint (step_at (c, 1)->step, ==, SL_BENCH_RECROWN);
  g_assert_cmpint (step_at (c, 2)->kind, ==, SL_OP_BENCH_STEP);
  g_assert_cmpint (step_at (c, 2)->step, ==, SL_BENCH_POLISH);
}

static double
share (const Case *c, int n)
{
  return (c->in.x[0][n] - c->in.x[0][14]) / (c->in.x[0][20] - c->in.x[0][14]);
}

/* ---- what is wanted ---- */

static void
test_wanted (void)
{
  /* a fall-away of 0.15, within 0.10 ± 0.10, read as crown gaps, by the tongue alone, or not at all, is nothing to do
   */
  for (int way = 0; way < 3; way++)
    {
      g_auto (Case) c = { 0 };

      on_target (&c, way < 2 ? 0.15 : 0);
      gap (&c, 1, 14, 0);
      for (int n = 15; n <= 20; n++)
        gap (&c, n, n, way == 0 ? 0.15 * share (&c, n) : 0);
      propose (&c);
      g_assert_cmpuint (c.proposal.steps->len, ==, 0);
      g_assert_null (find (&c, SL_FINDING_TONGUE));
    }
}

static void
test_low_tongue (void)
{
  g_auto (Case) c = { 0 };

  /* it falls by half a millimetre: fret 5 keeps what it has */
  on_target (&c, 0.5);
  gap (&c, 1, 14, 0);
  gap (&c, 15, 20, 0.5);
  propose (&c);
  g_assert_false (levels (&c));
  for (int n = 1; n <= 20; n++)
    g_assert_cmpfloat (c.proposal.level_off[n], ==, 0);
}

/* ---- single crowns, or the board ---- */

static void
test_spot (void)
{
  g_auto (Case) c = { 0 };

  /* fret 9 stands 0.08 above a level board, fret 4 0.02 below it: 9 alone comes down, to its neighbours. Levelling the
   * board would take it and all the others, but fret 4, 0.02 further: 0.08 + 13 · 0.02 up to the joint; the tongue's
   * crowns, which then stand 0.02 above the chord, stay */
  on_target (&c, 0);
  gap (&c, 1, 20, 0.08);
  g_array_index (c.set.readings, SlReading, c.set.readings->len - 20 + 8).value = sl_number (0);
  g_array_index (c.set.readings, SlReading, c.set.readings->len - 20 + 3).value = sl_number (0.10);
  propose (&c);
  check_levelling (&c, BIT (9), 0);
  for (int n = 1; n <= 20; n++)
    assert_near (c.proposal.level_off[n], n == 9 ? 0.08 : 0, 1e-9);
  const SlStep *step = &g_array_index (c.proposal.steps, SlStep, 0);
  assert_near (step->values[0], 0.10, 1e-9);
  assert_near (step->values[2], 0.08, 1e-9);
  g_assert_cmpfloat (step->values[3], >=, 0.08 + 13 * 0.02 - 1e-9);
}

static void
test_pair (void)
{
  g_auto (Case) c = { 0 };

  on_target (&c, 0);
  gap (&c, 1, 8, 0.06);
  gap (&c, 9, 10, 0);
  gap (&c, 11, 20, 0.06);
  propose (&c);
  check_levelling (&c, BIT (9) | BIT (10), 0);
}

static void
test_board (void)
{
  g_auto (Case) c = { 0 };

  /* 3 to 6 stand 0.06 high: no file lies on neighbours there. Nothing comes off the others all the same */
  on_target (&c, 0);
  gap (&c, 1, 2, 0.06);
  gap (&c, 3, 6, 0);
  gap (&c, 7, 20, 0.06);
  propose (&c);
  check_levelling (&c, 0, 0);
  for (int n = 1; n <= 20; n++)
    assert_near (c.proposal.level_off[n], n >= 3 && n <= 6 ? 0.06 : 0, 1e-9);
}

static void
test_board_and_tongue (void)
{
  g_auto (Case) c = { 0 };

  /* fret 7 lies 0.12 low: the board comes down to it, and the tongue, which was level, to 0.10 below that at its end */
  on_target (&c, 0);
  gap (&c, 1, 6, 0);
  gap (&c, 7, 7, 0.12);
  gap (&c, 8, 20, 0);
  propose (&c);
  check_levelling (&c, 0, 0.10);
  for (int n = 1; n <= 20; n++)
    assert_near (c.proposal.level_off[n], n == 7 ? 0 : 0.12 + 0.10 * (n > 14 ? share (&c, n) : 0), 0.0005);
  g_assert_cmpfloat (g_array_index (c.proposal.steps, SlStep, 0).values[1], ==, 7);
}

static void
test_high_beyond (void)
{
  g_auto (Case) c = { 0 };

  /* fret 17 0.10 above the chord carried on: it alone comes down, to the fall-away there */
  on_target (&c, 0);
  gap (&c, 1, 16, 0.10);
  gap (&c, 17, 17, 0);
  gap (&c, 18, 20, 0.10);
  propose (&c);
  check_levelling (&c, BIT (17), 0.10);
  assert_near (c.proposal.level_off[17], 0.10 + 0.10 * share (&c, 17), 0.0005);
}

/* ---- the rising extension ---- */

static void
test_rising (void)
{
  g_auto (Case) c = { 0 };
  const SlTextStyle style = { SL_LENGTHS_MM, "." };

  /* read 0.15 above the straightedge, 0.05 steps: U = 2 · 0.05/√12 = 0.029. Of its crowns 16 to 20 stand more than 0.03
   * over the chord; dressed to the fall-away the last loses 0.25 of 1.10 */
  on_target (&c, -0.15);
  propose (&c);
  const SlFinding *finding = find (&c, SL_FINDING_TONGUE);
  g_assert_nonnull (finding);
  assert_near (finding->values[0], 0.15, 1e-6);
  assert_near (finding->values[1], 2 * 0.05 / sqrt (12), 1e-3);
  g_assert_cmpfloat (finding->values[2], >, 0);
  g_assert_cmpfloat (finding->values[2], <=, 0.25);
  assert_near (finding->values[3], 0.85, 1e-6);
  check_levelling (&c, BIT (16) | BIT (17) | BIT (18) | BIT (19) | BIT (20), 0.10);
  assert_near (c.proposal.level_off[20], 0.25, 1e-6);
  for (int n = 1; n <= 14; n++)
    g_assert_cmpfloat (c.proposal.level_off[n], ==, 0);
  SlAnalysis *a = g_new0 (SlAnalysis, 1);
  a->instrument = c.in;
  g_autofree char *text = sl_finding_text (a, finding, &style);
  g_assert_nonnull (strstr (text, "0.15 mm"));
  g_assert_nonnull (strstr (text, "keeps 0.85 mm"));
  g_free (a);
}

static void
test_rising_too_thin (void)
{
  g_auto (Case) c = { 0 };
  const SlTextStyle style = { SL_LENGTHS_MM, "." };

  /* crowns 0.80 high: 0.55 would be left, so it is work on the neck, and no crown comes down */
  on_target (&c, -0.15);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 10, SL_HELD_DEFAULT, 0.80);
  propose (&c);
  const SlFinding *finding = find (&c, SL_FINDING_TONGUE);
  g_assert_nonnull (finding);
  assert_near (finding->values[3], 0.55, 1e-6);
  g_assert_false (levels (&c));
  SlAnalysis *a = g_new0 (SlAnalysis, 1);
  a->instrument = c.in;
  g_autofree char *text = sl_finding_text (a, finding, &style);
  g_assert_nonnull (strstr (text, "work on the neck"));
  g_free (a);

  /* the board can be levelled without it */
  g_auto (Case) d = { 0 };
  on_target (&d, -0.15);
  test_add (&d.set, SL_READ_CROWN_HEIGHT, 0, 10, SL_HELD_DEFAULT, 0.80);
  gap (&d, 1, 6, 0);
  gap (&d, 7, 7, 0.12);
  gap (&d, 8, 20, 0);
  propose (&d);
  check_levelling (&d, BIT (15) - 2, 0);
  for (int n = 15; n <= 20; n++)
    g_assert_cmpfloat (d.proposal.level_off[n], ==, 0);
}

static void
test_hardly_rising (void)
{
  g_auto (Case) c = { 0 };

  /* 0.07 with U = 0.029 may be less than 0.05; and a tongue nobody read says nothing */
  on_target (&c, -0.07);
  gap (&c, 1, 20, 0);
  propose (&c);
  g_assert_null (find (&c, SL_FINDING_TONGUE));
  g_assert_false (levels (&c));

  g_auto (Case) d = { 0 };
  on_target (&d, 0);
  g_array_index (d.set.readings, SlReading, 2).use = SL_USE_NEVER;
  propose (&d);
  g_assert_true (d.fit.tongue_assumed);
  g_assert_null (find (&d, SL_FINDING_TONGUE));
}

/* ---- new frets ---- */

static void
test_new_frets (void)
{
  g_auto (Case) c = { 0 };

  /* crowns 0.70 high but 1 and 2, worn by 0.30, and 9, by 0.20: levelling would leave 0.40. New frets there stand level
   * with the rest, which loses nothing; no levelling is left to do. The tongue falls away out of all this */
  on_target (&c, 0.5);
  gap (&c, 1, 2, 0.30);
  gap (&c, 3, 8, 0);
  gap (&c, 9, 9, 0.20);
  gap (&c, 10, 20, 0);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 5, SL_HELD_DEFAULT, 0.70);
  propose (&c);
  const SlFinding *finding = find (&c, SL_FINDING_FRET_HEIGHT);
  g_assert_nonnull (finding);
  g_assert_cmphex (finding->replaced, ==, BIT (1) | BIT (2) | BIT (9));
  assert_near (finding->values[0], 0.40, 1e-9);
  g_assert_cmpint (step_at (&c, 0)->kind, ==, SL_OP_REPLACE_FRETS);
  g_assert_cmpint (step_at (&c, 0)->from, ==, 1);
  g_assert_cmpint (step_at (&c, 0)->to, ==, 2);
  g_assert_cmpint (step_at (&c, 1)->from, ==, 9);
  g_assert_cmpint (step_at (&c, 1)->to, ==, 9);
  g_assert_cmpint (step_at (&c, 2)->step, ==, SL_BENCH_RECROWN);
  g_assert_false (levels (&c));
}

static void
test_new_and_level (void)
{
  g_auto (Case) c = { 0 };

  /* fret 9 worn by 0.30, fret 3 by 0.05, the others 0.70 high: a new 9, then the rest comes down to 3 and keeps 0.65 */
  on_target (&c, 0.20);
  gap (&c, 1, 2, 0);
  gap (&c, 3, 3, 0.05);
  gap (&c, 4, 8, 0);
  gap (&c, 9, 9, 0.30);
  gap (&c, 10, 20, 0);
  test_add (&c.set, SL_READ_CROWN_HEIGHT, 0, 5, SL_HELD_DEFAULT, 0.70);
  propose (&c);
  g_assert_cmpint (step_at (&c, 0)->kind, ==, SL_OP_REPLACE_FRETS);
  g_assert_cmpint (step_at (&c, 0)->from, ==, 9);
  g_assert_cmpint (step_at (&c, 0)->to, ==, 9);
  g_assert_cmpint (step_at (&c, 1)->kind, ==, SL_OP_LEVEL_FRETS);
  for (int n = 1; n <= 14; n++)
    assert_near (c.proposal.level_off[n], n == 3 ? 0 : 0.05, 1e-9);
}

/* ---- marks and bench steps ---- */

static void
test_marks (void)
{
  g_auto (Case) c = { 0 };

  /* a mark of 0.12 below one string wants the board down to it; one of 0.05 stays */
  on_target (&c, 0.10);
  gap (&c, 1, 20, 0);
  test_add (&c.set, SL_READ_CROWN_WEAR, 1, 2, SL_HELD_DEFAULT, 0.12);
  propose (&c);
  g_assert_cmpint (step_at (&c, 0)->kind, ==, SL_OP_LEVEL_FRETS);
  for (int n = 1; n <= 14; n++)
    assert_near (c.proposal.level_off[n], 0.12, 1e-9);
  g_assert_cmpfloat (g_array_index (c.proposal.steps, SlStep, 0).values[1], ==, 2);

  g_auto (Case) d = { 0 };
  on_target (&d, 0.10);
  gap (&d, 1, 20, 0);
  test_add (&d.set, SL_READ_CROWN_WEAR, 1, 2, SL_HELD_DEFAULT, 0.05);
  propose (&d);
  g_assert_false (levels (&d));

  /* a deep mark in crowns that no straightedge was on is to be dressed out all the same: the step asks for the gaps */
  g_auto (Case) e = { 0 };
  on_target (&e, 0.10);
  test_add (&e.set, SL_READ_CROWN_WEAR, 1, 2, SL_HELD_DEFAULT, 0.12);
  propose (&e);
  g_assert_true (levels (&e));
}

/* Levelled and not read again: what is not ticked off of re-crowning and polishing is still to be done. */
static void
test_owed (void)
{
  for (int done = NEITHER; done <= 0; done++)
    {
      g_auto (Case) c = { .plan = sl_plan_new () };
      SlOperation levelled = sl_operation_init (SL_OP_LEVEL_FRETS), recrowned = sl_operation_init (SL_OP_BENCH_STEP);

      on_target (&c, 0.10);
      gap (&c, 1, 20, 0);
      levelled.done = g_strdup ("2026-03-02T11:00:00Z");
      g_array_append_val (c.plan, levelled);
      recrowned.step = SL_BENCH_RECROWN;
      recrowned.done = g_strdup ("2026-03-02T12:00:00Z");
      if (done != NEITHER)
        g_array_append_val (c.plan, recrowned);
      else
        g_free (recrowned.done);
      propose (&c);
      g_assert_cmpuint (c.proposal.steps->len, ==, done == NEITHER ? 2 : 1);
      g_assert_cmpint (step_at (&c, c.proposal.steps->len - 1)->step, ==, SL_BENCH_POLISH);
    }
}

/* ---- any crowns ---- */

static void
test_any (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < ROUNDS; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      g_auto (Case) c = { .set = test_set () };
      const double spread = test_between (rand, 0, 0.12);
      SlState truth, after;

      sl_instrument_from_profile (profile, &c.in);
      test_state (rand, &c.in, &truth);
      for (int n = 1; n <= c.in.frets; n++)
        truth.crown[n] = -(g_rand_boolean (rand) ? spread : test_between (rand, 0, spread));
      test_read_known (&c.in, &truth, &c.set);
      test_read_all (rand, &c.in, &truth, &c.set);
      propose (&c);
      after = c.fit.state;
      for (guint k = 0; k < c.proposal.steps->len && step_at (&c, k)->kind == SL_OP_LEVEL_FRETS; k++)
        sl_operation_apply (&c.in, step_at (&c, k), &after);
      /* after it every crown is within tolerance; it takes off what is said, never raises one, and up to the joint no
       * more than levelling to the lowest there */
      g_assert_cmpfloat (sl_crown_spread (&c.in, &after), <=, SL_CROWN_TOLERANCE_MM + 1e-6);
      double lowest = INFINITY;
      for (int n = 1; n <= c.in.joint; n++)
        lowest = MIN (lowest, c.fit.state.crown[n]);
      for (int n = 1; n <= c.in.frets; n++)
        {
          const double off = c.fit.state.crown[n] - after.crown[n];

          assert_near (c.proposal.level_off[n], off, 0.0005 + 1e-9); /* said to the thousandth */
          g_assert_cmpfloat (off, >=, 0);
          if (n <= c.in.joint)
            g_assert_cmpfloat (after.crown[n], >=, lowest - 1e-9);
        }
    }
}

/* A crown that levelling would take down into the board is told to be gone, not to be less than nothing. */
static void
test_no_crown_left (void)
{
  g_auto (Case) c = { 0 };

  on_target (&c, 0.1);
  gap (&c, 3, 3, 1);
  gap (&c, 4, 20, 0);
  test_add (&c.set, SL_READ_CROWN_WEAR, 1, 3, SL_HELD_DEFAULT, 0.2);
  propose (&c);
  g_assert_nonnull (find (&c, SL_FINDING_FRET_HEIGHT));
  assert_near (find (&c, SL_FINDING_FRET_HEIGHT)->values[0], 0, 1e-9);
}

/* The fret that others come down to is named for the technician to look at: one that was read, not one between, and not
 * one that gets a new crown first. */
static void
test_lowest_named (void)
{
  g_auto (Case) c = { 0 }, d = { 0 };

  on_target (&c, 0.1);
  gap (&c, 5, 5, 0.08);
  gap (&c, 9, 9, 0);
  gap (&c, 12, 12, 0.08);
  propose (&c);
  g_assert_cmpint (step_at (&c, 0)->kind, ==, SL_OP_LEVEL_FRETS);
  assert_near (g_array_index (c.proposal.steps, SlStep, 0).values[1], 5, 1e-9);

  on_target (&d, 0.1);
  gap (&d, 1, 1, 0.55);
  gap (&d, 2, 2, 0.60);
  gap (&d, 3, 3, 0.20);
  gap (&d, 4, 20, 0);
  propose (&d);
  g_assert_cmpint (find (&d, SL_FINDING_FRET_HEIGHT)->fret, ==, 2);
  g_assert_cmpint (step_at (&d, 0)->kind, ==, SL_OP_REPLACE_FRETS);
  g_assert_cmpint (step_at (&d, 0)->to, ==, 2);
  g_assert_cmpint (step_at (&d, 1)->kind, ==, SL_OP_LEVEL_FRETS);
  assert_near (g_array_index (d.proposal.steps, SlStep, 1).values[1], 3, 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/propose-frets/wanted", test_wanted);
  g_test_add_func ("/propose-frets/low-tongue", test_low_tongue);
  g_test_add_func ("/propose-frets/spot", test_spot);
  g_test_add_func ("/propose-frets/pair", test_pair);
  g_test_add_func ("/propose-frets/board", test_board);
  g_test_add_func ("/propose-frets/board-and-tongue", test_board_and_tongue);
  g_test_add_func ("/propose-frets/high-beyond", test_high_beyond);
  g_test_add_func ("/propose-frets/rising", test_rising);
  g_test_add_func ("/propose-frets/rising-too-thin", test_rising_too_thin);
  g_test_add_func ("/propose-frets/hardly-rising", test_hardly_rising);
  g_test_add_func ("/propose-frets/new-frets", test_new_frets);
  g_test_add_func ("/propose-frets/new-and-level", test_new_and_level);
  g_test_add_func ("/propose-frets/marks", test_marks);
  g_test_add_func ("/propose-frets/owed", test_owed);
  g_test_add_func ("/propose-frets/any", test_any);
  g_test_add_func ("/propose-frets/lowest-named", test_lowest_named);
  g_test_add_func ("/propose-frets/no-crown-left", test_no_crown_left);
  return g_test_run ();
}
