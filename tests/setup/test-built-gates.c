/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gates of work that cuts nothing: what is made, what goes up again, other strings (model 4.4). */
#include "gate-case.h"

static SlOperation
fitted (const char *set, const char *done)
{
  SlOperation op = sl_operation_init (SL_OP_FIT_STRINGS);

  op.set = g_strdup (set);
  op.done = g_strdup (done);
  return op;
}

/* A nut and a saddle are made, and the neck is set, for what was read: no gate is got round by them. */
static void
test_made (void)
{
  static const SlOperationKind kinds[] = { SL_OP_SET_NECK_ANGLE, SL_OP_MAKE_NUT, SL_OP_MAKE_SADDLE };

  for (int when = 0; when < 5; when++)
    {
      static const SlGate gates[] = { SL_GATE_NONE, SL_GATE_READING, SL_GATE_AIR, SL_GATE_FRETS, SL_GATE_ROD };
      g_auto (Bench) b = { 0 };
      SlPass passes[5];

      bench_begin (&b, 0.15, 0.3, 0.8);
      SlReadingSet *set = sl_visit_last_set (visit_of (&b));
      if (when == 1)
        test_add (set, SL_READ_ACTION, 3, 9, SL_HELD_DEFAULT, 4.2);
      if (when == 2)
        set->humidity = sl_number (80);
      plan (&b, when == 3 ? SL_OP_LEVEL_FRETS : SL_OP_TURN_ROD, 0, when == 4 ? 0.1 : 0, NULL);
      for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
        plan (&b, kinds[i], 0, 0.5, NULL);
      SlOperation *nut = &g_array_index (visit_of (&b)->plan, SlOperation, 2);
      nut->ends[nut->n_ends++] = (SlStringEnd){ 3, sl_number (0.6) };
      SlOperation strings = fitted ("electric-9", NULL);
      g_array_append_val (visit_of (&b)->plan, strings);
      propose (&b);
      sl_plan_passes (b.analysis, visit_of (&b)->plan, passes);
      for (int k = 1; k < 4; k++)
        {
          /* crowns come down under a neck whatever its angle */
          g_assert_cmpint (passes[k].gate, ==, when == 3 && k == 1 ? SL_GATE_NONE : gates[when]);
          g_assert_true (isnan (passes[k].pass));
          g_assert_cmpfloat (passes[k].u, >, 0);
        }
      g_assert_cmpint (passes[4].gate, ==, SL_GATE_NONE);
    }
}

/* How high a saddle is to be is not known before it is read how high it is. */
static void
test_made_unread (void)
{
  g_auto (Bench) b = { 0 };
  SlPass made;

  bench_begin (&b, 0.15, 0.3, 0.8);
  GArray *readings = sl_visit_last_set (visit_of (&b))->readings;
  for (guint i = readings->len; i-- > 0;)
    if (g_array_index (readings, SlReading, i).kind == SL_READ_EXPOSURE)
      g_array_remove_index (readings, i);
  plan (&b, SL_OP_MAKE_SADDLE, 0, 5, NULL);
  propose (&b);
  sl_plan_passes (b.analysis, visit_of (&b)->plan, &made);
  g_assert_cmpint (made.gate, ==, SL_GATE_READING);
}

/* Posts and wheels go up again: nothing comes off, and neither rod nor crowns keep them. */
static void
test_posts (void)
{
  g_auto (Bench) b = { 0 };
  SlPass passes[3];

  bench_begin (&b, 0.15, 0.3, 0.8);
  b.profile->saddle.adjust = SL_ADJUST_POSTS;
  plan (&b, SL_OP_TURN_ROD, 0, 0.1, NULL);
  plan (&b, SL_OP_MOVE_SADDLE, 0, -0.5, NULL);
  plan (&b, SL_OP_LOWER_SLOT, 6, 0.2, NULL);
  propose (&b);
  sl_plan_passes (b.analysis, visit_of (&b)->plan, passes);
  g_assert_cmpint (passes[1].gate, ==, SL_GATE_NONE);
  g_assert_true (isnan (passes[1].pass) && isnan (passes[1].pass_treble));
  g_assert_cmpfloat (passes[1].u_treble, >, 0.03);
  g_assert_cmpint (passes[2].gate, ==, SL_GATE_ROD);
}

/* Other strings bend the neck as a turn does: some 300 N less, 0.12 mm of relief, 0.26 mm of action by the figures
 * above. Nothing comes off before relief, first gaps and actions were read with them on. */
static void
test_other_strings (void)
{
  for (int when = 0; when < 4; when++)
    {
      g_auto (Bench) b = { 0 };
      SlOperation strings = fitted ("electric-9", when == 0 ? NULL : DONE);
      SlPass passes[2];

      bench_begin (&b, 0.15, 0.3, 0.8);
      g_array_append_val (visit_of (&b)->plan, strings);
      plan (&b, SL_OP_CUT_SADDLE_BASE, 0, 0.4, NULL);
      if (when > 1)
        {
          SlReadingSet *set = add_set (&b, AGAIN);

          for (int s = 1; s <= 6; s++)
            {
              if (when == 3 && s % 5 == 1)
                read_relief (&b, set, s, 0.05);
              read_gaps (&b, set, SL_READ_FIRST_GAP, s, 0.2);
              read_gaps (&b, set, SL_READ_ACTION, s, 0.5);
            }
        }
      propose (&b);
      sl_plan_passes (b.analysis, visit_of (&b)->plan, passes);
      g_assert_cmpint (passes[1].gate, ==, when == 3 ? SL_GATE_NONE : SL_GATE_ROD);
      g_assert_cmpint (passes[1].pass > 0, ==, when == 3);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/built-gates/made", test_made);
  g_test_add_func ("/built-gates/made-unread", test_made_unread);
  g_test_add_func ("/built-gates/posts", test_posts);
  g_test_add_func ("/built-gates/other-strings", test_other_strings);
  return g_test_run ();
}
