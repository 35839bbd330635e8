/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a neck's own turns teach of it, by Monte Carlo. */
#include <math.h>

#include "../rounds.h"
#include "neck-case.h"

#define DRAWS test_rounds (1500)
#define MOST_TURNS 6
#define LEAST_TURNS 3
#define ROD_SHARE 0.2 /* how far a turn goes beside what was meant: model 4 */

/* Comes in, and is read before and after each turn, of either sign, half of them in a second visit. */
static void
live (GRand *rand, Case *c, int turns)
{
  read_plainly (c, rand);
  for (int i = 0; i < turns; i++)
    {
      const double meant = (g_rand_boolean (rand) ? 1 : -1) * test_between (rand, 0.10, 0.25);

      if (i == turns / 2)
        {
          begin_visit (c);
          read_plainly (c, rand);
        }
      turn (c, meant * (1 + ROD_SHARE * test_normal (rand)), meant);
      read_plainly (c, rand);
    }
}

/* Where factors are drawn from what is believed before, the truth lies within U of what is believed after in 95 % ± 2,
 * and the more turns the closer. */
static void
test_covers (void)
{
  g_autoptr (GRand) rand = test_rand ();
  double before_u = SL_NECK_BENDING_ASSUMED.crest_u;

  for (int turns = LEAST_TURNS; turns <= MOST_TURNS; turns++)
    {
      int crest = 0, nut = 0;
      double u = 0;

      for (int draw = 0; draw < DRAWS; draw++)
        {
          g_auto (Case) c = { 0 };

          case_begin (rand, &c);
          c.real.neck.crest += c.real.neck.crest_u * test_normal (rand);
          c.real.neck.nut += c.real.neck.nut_u * test_normal (rand);
          live (rand, &c, turns);
          const SlNeckBending *neck = learn (&c);
          crest += fabs (neck->crest - c.real.neck.crest) <= SL_COVERAGE * neck->crest_u;
          nut += fabs (neck->nut - c.real.neck.nut) <= SL_COVERAGE * neck->nut_u;
          u += neck->crest_u / DRAWS;
        }
      /* ± 2 %, and what so many draws scatter by */
      const double scatter = 3 * sqrt (0.95 * 0.05 / DRAWS);

      g_test_message ("%d turns: crest %.3f, nut %.3f, u %.4f", turns, (double) crest / DRAWS, (double) nut / DRAWS, u);
      assert_near ((double) crest / DRAWS, 0.95, 0.02 + scatter);
      assert_near ((double) nut / DRAWS, 0.95, 0.02 + scatter);
      g_assert_cmpfloat (u, <, before_u);
      before_u = u;
    }
}

/* Necks at either end of what beams give (tests/setup/neck-beams.c): in the mean six turns bring the belief to the
 * truth. */
static void
test_converges (void)
{
  g_autoptr (GRand) rand = test_rand ();
  static const double crests[] = { 0.70, 1.00 }, nuts[] = { 1.19, 0.60 };
  const int draws = test_rounds (200);

  for (gsize i = 0; i < G_N_ELEMENTS (crests); i++)
    {
      double crest = 0, nut = 0;

      for (int draw = 0; draw < draws; draw++)
        {
          g_auto (Case) c = { 0 };

          case_begin (rand, &c);
          c.real.neck.crest = crests[i];
          c.real.neck.nut = nuts[i];
          live (rand, &c, MOST_TURNS);
          crest += learn (&c)->crest / draws;
          nut += c.in.neck.nut / draws;
        }
      /* an eighth of how far the belief was off: what it was sure of before still weighs; and the draws' scatter */
      assert_near (crest, crests[i], fabs (0.83 - crests[i]) / 8 + 3 * 0.03 / sqrt (draws));
      assert_near (nut, nuts[i], fabs (0.98 - nuts[i]) / 8 + 3 * 0.05 / sqrt (draws));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/neck-chance/covers", test_covers);
  g_test_add_func ("/neck-chance/converges", test_converges);
  return g_test_run ();
}
