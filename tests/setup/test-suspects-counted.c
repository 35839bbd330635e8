/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * As many readings as a set may have, a third of them far off: found by solving anew a few times only, and no other
 * reading with them. What is counted grows with the work; no clock is asked. */
#include <gsl/gsl_linalg.h>

#include "setup/fit/fit.h"
#include "setup/profile/bounds.h"
#include "setup/profile/schema.h"
#include "support.h"

#define OFF_MM 5.0
#define MOST_SOLVED 24 /* 4 suspects, every 64th of 500, and the fit itself with its rows */

int __real_gsl_linalg_QR_decomp (gsl_matrix *a, gsl_vector *tau);
int __wrap_gsl_linalg_QR_decomp (gsl_matrix *a, gsl_vector *tau);

static int solved;

int
__wrap_gsl_linalg_QR_decomp (gsl_matrix *a, gsl_vector *tau)
{
  solved++;
  return __real_gsl_linalg_QR_decomp (a, tau);
}

/* Actions everywhere, each read several times; every third is off by what no neck makes up for. */
static void
crowded_case (GRand *rand, TestCase *c, guint n)
{
  g_autoptr (SlProfile) profile = test_profile (rand, 6, 22, 14);

  test_case_begin (c, rand, profile);
  for (int side = 0; side < 2; side++)
    test_read (&c->in, &c->truth, &c->set, SL_READ_RELIEF, side == 0 ? 1 : c->in.n_strings, 7, SL_HELD_DEFAULT);
  for (int s = 1; s <= c->in.n_strings; s++)
    test_read (&c->in, &c->truth, &c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN);
  while (c->set.readings->len < n)
    {
      const guint i = c->set.readings->len;

      test_read (&c->in, &c->truth, &c->set, SL_READ_ACTION, (int) (i % 6) + 1, (int) (i / 6 % 20) + 3, SL_HELD_OPEN);
      g_array_index (c->set.readings, SlReading, i).value.v += i % 3 == 0 ? OFF_MM * (1 + 0.001 * i) : 0;
    }
  test_read_known (&c->in, &c->truth, &c->set);
}

static void
test_counted (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (11);
  g_auto (TestCase) c = { 0 };

  crowded_case (rand, &c, sl_amount_most ("readings", SL_ANY_READING) - 20);
  solved = 0;
  sl_fit (&c.in, &c.set, &c.fit);
  g_test_message ("%d suspects, solved %d times", c.fit.n_suspects, solved);
  g_assert_cmpint (c.fit.n_suspects, >, 300);
  g_assert_cmpint (solved, <, MOST_SOLVED);
  for (guint i = 8; i < c.fit.n_readings; i++)
    {
      const SlReading *r = &g_array_index (c.set.readings, SlReading, i);

      if (r->kind == SL_READ_ACTION && c.fit.readings[i].suspect)
        g_assert_cmpuint (i % 3, ==, 0);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/suspects-counted/crowded", test_counted);
  return g_test_run ();
}
