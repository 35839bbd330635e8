/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings that disagree: planted errors are found and named, honest readings are left alone, and the technician has
 * the last word. */
#include "../rounds.h"
#include "setup/fit/fit.h"
#include "support.h"

#define ROUNDS test_rounds (1000)
#define SHARE 0.95  /* of random instruments in which the search must be right */
#define PLANTED_U 8 /* size of a planted error in standard uncertainties */

/* A neck read as someone does who wants every reading checked by others: relief at two frets of both sides, first gap
 * open and held at 3, action open at four frets and held at 1. Each reading is off by what its tool is uncertain by. */
static void
well_read_case (GRand *rand, TestCase *c)
{
  g_autoptr (SlProfile) profile =
      test_profile (rand, g_rand_int_range (rand, 4, 8), 20, g_rand_int_range (rand, 12, 17));
  static const int frets[] = { 5, 9, 12, 17 };

  test_case_begin (c, rand, profile);
  for (int side = 0; side < 2; side++)
    {
      test_read (&c->in, &c->truth, &c->set, SL_READ_RELIEF, side == 0 ? 1 : c->in.n_strings, 6, SL_HELD_DEFAULT);
      test_read (&c->in, &c->truth, &c->set, SL_READ_RELIEF, side == 0 ? 1 : c->in.n_strings, 8, SL_HELD_DEFAULT);
    }
  test_read (&c->in, &c->truth, &c->set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT);
  for (int s = 1; s <= c->in.n_strings; s++)
    {
      test_read (&c->in, &c->truth, &c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN);
      test_read (&c->in, &c->truth, &c->set, SL_READ_FIRST_GAP, s, 1, SL_HELD_3);
      for (gsize k = 0; k < G_N_ELEMENTS (frets); k++)
        test_read (&c->in, &c->truth, &c->set, SL_READ_ACTION, s, frets[k], SL_HELD_OPEN);
      test_read (&c->in, &c->truth, &c->set, SL_READ_ACTION, s, 12, SL_HELD_1);
    }
  for (guint i = 0; i < c->set.readings->len; i++)
    {
      SlReading *r = &g_array_index (c->set.readings, SlReading, i);

      r->value.v += test_rectangular (rand, sl_reading_u (&c->set, r->kind));
    }
  test_read_known (&c->in, &c->truth, &c->set);
}

static void
test_honest (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int clean = 0;

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (TestCase) c = { 0 };

      well_read_case (rand, &c);
      sl_fit (&c.in, &c.set, &c.fit);
      clean += c.fit.n_suspects == 0;
    }
  g_test_message ("honest readings all kept in %d of %d", clean, ROUNDS);
  g_assert_cmpint (clean, >=, (int) (SHARE * ROUNDS));
}

static void
test_planted (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int found = 0, alone = 0, actions = 0;

  for (int i = 0; i < ROUNDS; i++)
    {
      g_auto (TestCase) c = { 0 };
      well_read_case (rand, &c);
      guint n = 0;
      while (n < c.set.readings->len && g_array_index (c.set.readings, SlReading, n).kind <= SL_READ_ACTION)
        n++;
      guint at = (guint) g_rand_int_range (rand, 0, (gint32) n);
      SlReading *r = &g_array_index (c.set.readings, SlReading, at);
      while (r->kind == SL_READ_TONGUE) /* read once: nothing checks it */
        r = &g_array_index (c.set.readings, SlReading, at = (guint) g_rand_int_range (rand, 0, (gint32) n));
      r->value.v += (g_rand_boolean (rand) ? 1 : -1) * PLANTED_U * sl_reading_u (&c.set, r->kind);
      sl_fit (&c.in, &c.set, &c.fit);
      found += c.fit.readings[at].suspect;
      alone += c.fit.readings[at].suspect && c.fit.n_suspects == 1;
      actions += r->kind == SL_READ_ACTION;
      if (c.fit.readings[at].suspect)
        {
          /* named with how far it is off, and with what the others would have it be */
          g_assert_cmpfloat (c.fit.readings[at].normalised, >, 3);
          g_assert_cmpfloat (fabs (c.fit.readings[at].predicted - r->value.v), >, 3 * c.fit.readings[at].u);
        }
    }
  g_test_message ("planted error named in %d of %d, nothing else named in %d; %d were actions", found, ROUNDS, alone,
                  actions);
  g_assert_cmpint (found, >=, (int) (SHARE * ROUNDS));
  g_assert_cmpint (alone, >=, (int) (SHARE * ROUNDS));
}

static void
test_two_planted (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int both = 0, rounds = ROUNDS / 4;

  for (int i = 0; i < rounds; i++)
    {
      g_auto (TestCase) c = { 0 };

      /* on different strings, one after the other */
      well_read_case (rand, &c);
      SlReading *a = sl_reading_set_find (&c.set, SL_READ_ACTION, 1, 9, SL_HELD_OPEN),
                *b = sl_reading_set_find (&c.set, SL_READ_ACTION, 3, 12, SL_HELD_OPEN);
      a->value.v += 0.6;
      b->value.v -= 0.8;
      sl_fit (&c.in, &c.set, &c.fit);
      both += c.fit.readings[a - (SlReading *) (void *) c.set.readings->data].suspect &&
              c.fit.readings[b - (SlReading *) (void *) c.set.readings->data].suspect;
    }
  g_assert_cmpint (both, >=, (int) (SHARE * rounds));
}

/* ---- use ---- */

/* One string read three times at fret 12, once wrongly. */
static SlReading *
case_with_slip (TestCase *c)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &c->in);
  c->set = test_set ();
  test_add (&c->set, SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 2.0);
  test_add (&c->set, SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 2.0);
  return test_add (&c->set, SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 2.6);
}

static double
action_of (const TestCase *c, int string)
{
  return test_ruler_gap (&c->in, &c->fit.state, string, 0, 12);
}

static void
test_auto (void)
{
  g_auto (TestCase) c = { 0 };

  case_with_slip (&c);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_true (c.fit.readings[2].suspect && !c.fit.readings[2].used);
  g_assert_true (c.fit.readings[0].used && c.fit.readings[1].used);
  assert_near (action_of (&c, 1), 2.0, 1e-9);
  assert_near (c.fit.readings[2].predicted, 2.0, 1e-9);
}

static void
test_always (void)
{
  g_auto (TestCase) c = { 0 };

  /* the technician insists: it stands, and the others must answer for it */
  case_with_slip (&c)->use = SL_USE_ALWAYS;
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_true (c.fit.readings[2].used && !c.fit.readings[2].suspect);
  for (int i = 0; i < 2; i++)
    g_array_index (c.set.readings, SlReading, i).use = SL_USE_ALWAYS;
  sl_fit_clear (&c.fit);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_cmpint (c.fit.n_suspects, ==, 0);
  assert_near (action_of (&c, 1), 2.2, 1e-9);
}

static void
test_never (void)
{
  g_auto (TestCase) c = { 0 };

  /* left out without being a suspect, but it still shows what the others would have it be */
  case_with_slip (&c)->use = SL_USE_NEVER;
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_cmpint (c.fit.n_suspects, ==, 0);
  g_assert_true (c.fit.readings[2].in_fit && !c.fit.readings[2].used && !c.fit.readings[2].suspect);
  assert_near (c.fit.readings[2].predicted, 2.0, 1e-9);
  assert_near (action_of (&c, 1), 2.0, 1e-9);
}

static void
test_never_is_as_not_read (void)
{
  g_auto (TestCase) with = { 0 }, without = { 0 };
  g_autoptr (SlProfile) profile = test_plain_profile ();

  sl_instrument_from_profile (profile, &with.in);
  without.in = with.in;
  with.set = test_set ();
  without.set = test_set ();
  for (int s = 1; s <= 6; s++)
    {
      test_add (&with.set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, 2.1)->use = s == 4 ? SL_USE_NEVER : SL_USE_AUTO;
      if (s != 4)
        test_add (&without.set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, 2.1);
    }
  test_add (&with.set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0.9)->use = SL_USE_NEVER;
  sl_fit (&with.in, &with.set, &with.fit);
  sl_fit (&without.in, &without.set, &without.fit);
  g_assert_true (with.fit.action_assumed[3] && with.fit.relief_assumed_treble);
  for (int i = 0; i < with.fit.state.n_unknowns; i++)
    assert_near (with.fit.state.u[i], without.fit.state.u[i], 1e-12);
}

static void
test_lone_slip (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  /* 21 for 2.1: nothing checks the reading, but nothing like it is likely. "always" keeps it. */
  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  for (int s = 1; s <= 6; s++)
    test_add (&c.set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, s == 2 ? 21 : 2.1);
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_cmpint (c.fit.n_suspects, ==, 1);
  g_assert_true (c.fit.readings[1].suspect);
  g_assert_true (c.fit.action_assumed[1]);
  assert_near (action_of (&c, 2), 2.1, 1e-9);
  sl_fit_clear (&c.fit);
  g_array_index (c.set.readings, SlReading, 1).use = SL_USE_ALWAYS;
  sl_fit (&c.in, &c.set, &c.fit);
  g_assert_cmpint (c.fit.n_suspects, ==, 0);
  g_assert_false (c.fit.action_assumed[1]);
  assert_near (action_of (&c, 2), 21, 1e-6);
}

/* Relief below both outer strings of the plain instrument, each read once, everything else at its target. */
static int
relief_suspects (double treble, double bass, int *string)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (TestCase) c = { 0 };

  sl_instrument_from_profile (profile, &c.in);
  c.set = test_set ();
  test_add (&c.set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, treble);
  test_add (&c.set, SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, bass);
  for (int s = 1; s <= 6; s++)
    {
      test_add (&c.set, SL_READ_FIRST_GAP, s, 1, SL_HELD_DEFAULT, c.in.target_first_gap[s - 1]);
      test_add (&c.set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, c.in.target_action[s - 1]);
    }
  sl_fit (&c.in, &c.set, &c.fit);
  *string = c.fit.readings[0].suspect ? 1 : c.fit.readings[1].suspect ? 6 : 0;
  return c.fit.n_suspects;
}

/* Two outer strings corroborate each other: far from straight on both sides is believed, far on one side alone is a
 * slip of a digit; a twist of three tenths is neither. By hand: of 1.15 and 1.30 the mean is 1.28 u from what is likely
 * (0.2 ± 0.8), the difference 1 u (± 0.15); of 0.30 and 3.0 the difference is 18 u. */
static void
test_relief (void)
{
  static const struct
  {
    double treble, bass;
    int string; /* the suspect; 0: none */
  } rows[] = { { 1.15, 1.30, 0 }, { 1.30, 1.15, 0 }, { -0.4, -0.5, 0 }, { 0.05, 0.35, 0 },
               { 0.30, 3.0, 6 },  { 3.0, 0.30, 1 },  { 0.2, 2.0, 6 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      int string;

      g_assert_cmpint (relief_suspects (rows[i].treble, rows[i].bass, &string), ==, rows[i].string == 0 ? 0 : 1);
      g_assert_cmpint (string, ==, rows[i].string);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/suspects/honest", test_honest);
  g_test_add_func ("/suspects/planted", test_planted);
  g_test_add_func ("/suspects/two-planted", test_two_planted);
  g_test_add_func ("/suspects/auto", test_auto);
  g_test_add_func ("/suspects/always", test_always);
  g_test_add_func ("/suspects/never", test_never);
  g_test_add_func ("/suspects/never-is-as-not-read", test_never_is_as_not_read);
  g_test_add_func ("/suspects/lone-slip", test_lone_slip);
  g_test_add_func ("/suspects/relief", test_relief);
  return g_test_run ();
}
