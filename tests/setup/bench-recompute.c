/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long a full recompute takes: 6 strings, 24 frets, every section of the model with its uncertainties. Promised is
 * 0.5 ms in the median. Prints figures; never fails, for a clock is no judge of a model. */
#include <stdlib.h>

#include "setup/record/baseline.h"
#include "setup/physics/figures.h"
#include "support.h"

#define RUNS 2000
#define WARMING_UP 200
#define PROMISED_US 500
#define NORM_RUNS 400
#define NORM_WARMING_UP 40

static int
by_size (const void *a, const void *b)
{
  const double x = *(const double *) a, y = *(const double *) b;

  return (x > y) - (x < y);
}

static void
add_operation (SlVisit *visit, SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation operation = sl_operation_init (kind);

  operation.string = string;
  operation.amount = sl_number (amount);
  if (kind == SL_OP_CUT_SADDLE_BASE)
    operation.amount_treble = sl_number (treble);
  g_array_append_val (visit->plan, operation);
}

/* Earlier visits in dry air, none of them in range: each is fitted to see whether it was (record/air.h). */
static void
add_seasons (SlProfile *profile, GRand *rand, int seasons)
{
  for (int i = 0; i < seasons; i++)
    {
      SlReadingSet set = test_set ();
      SlVisit visit = sl_visit_init ();
      SlInstrument in;
      SlState truth;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &truth);
      test_read_all (rand, &in, &truth, &set);
      g_free (set.taken);
      set.taken = g_strdup_printf ("%d-02-01T10:00:00Z", 2000 + i);
      set.temperature = sl_number (21);
      set.humidity = sl_number (30);
      g_array_append_val (visit.sets, set);
      g_array_append_val (profile->visits, visit);
    }
}

/* A neck read well, one reading wrong, and five operations planned. */
static SlProfile *
profile_to_compute (GRand *rand, gboolean plan, int seasons)
{
  SlProfile *profile = test_profile (rand, 6, 24, 14);
  SlReadingSet set = test_set ();
  SlVisit visit = sl_visit_init ();
  SlInstrument in;
  SlState truth;

  add_seasons (profile, rand, seasons);
  sl_instrument_from_profile (profile, &in);
  test_state (rand, &in, &truth);
  test_read_all (rand, &in, &truth, &set);
  for (int s = 1; s <= 6; s++)
    test_read (&in, &truth, &set, SL_READ_ACTION, s, 12, SL_HELD_OPEN);
  test_add (&set, SL_READ_ACTION, 6, 5, SL_HELD_OPEN, 9);
  test_add (&set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 5.5);
  set.temperature = sl_number (21);
  set.humidity = sl_number (55);
  g_array_append_val (visit.sets, set);
  if (plan)
    {
      add_operation (&visit, SL_OP_LEVEL_FRETS, 0, 0.05, NAN);
      add_operation (&visit, SL_OP_TURN_ROD, 0, -0.12, NAN);
      add_operation (&visit, SL_OP_LOWER_SLOT, 6, 0.08, NAN);
      add_operation (&visit, SL_OP_CUT_SADDLE_BASE, 0, 0.7, 0.5);
      add_operation (&visit, SL_OP_MOVE_CREST, 2, 1.1, NAN);
    }
  g_array_append_val (profile->visits, visit);
  return profile;
}

/* Two visits, and in each the rod turned three times and everything read around each turn: what a neck is learned
 * from. */
static SlProfile *
profile_with_turns (GRand *rand)
{
  SlProfile *profile = test_profile (rand, 6, 24, 14);
  SlInstrument in;
  SlState truth;

  sl_instrument_from_profile (profile, &in);
  test_state (rand, &in, &truth);
  for (int v = 0; v < 2; v++)
    {
      SlVisit visit = sl_visit_init ();

      for (int k = 0; k < 4; k++)
        {
          SlReadingSet set = sl_reading_set_init ();

          set.taken = g_strdup_printf ("2026-0%d-02T%d:00:00Z", 3 + v, 10 + 2 * k);
          test_read_all (rand, &in, &truth, &set);
          g_array_append_val (visit.sets, set);
          if (k == 3)
            break;
          add_operation (&visit, SL_OP_TURN_ROD, 0, k == 1 ? 0.15 : -0.15, NAN);
          SlOperation *turn = &g_array_index (visit.plan, SlOperation, visit.plan->len - 1);
          turn->done = g_strdup_printf ("2026-0%d-02T%d:00:00Z", 3 + v, 11 + 2 * k);
          sl_operation_apply (&in, turn, &truth);
        }
      g_array_append_val (profile->visits, visit);
    }
  return profile;
}

static void
measure (const char *what, SlProfile *measured)
{
  g_autoptr (SlProfile) profile = measured;
  g_autofree SlAnalysis *analysis = g_new (SlAnalysis, 1);
  g_autofree double *us = g_new (double, RUNS);
  int suspects = 0;

  for (int i = -WARMING_UP; i < RUNS; i++)
    {
      gint64 start = g_get_monotonic_time ();
      /* the clock counts whole µs: four at a time */
      for (int k = 0; k < 4; k++)
        {
          sl_analyse_last (profile, &SL_SHOP_DEFAULT, analysis);
          suspects = analysis->fit.n_suspects;
          sl_analysis_clear (analysis);
        }
      if (i >= 0)
        us[i] = (double) (g_get_monotonic_time () - start) / 4;
    }
  qsort (us, RUNS, sizeof *us, by_size);
  g_print ("%s: median %.0f us, 5 %% below %.0f, 95 %% below %.0f, least %.0f, most %.0f (%d runs of 4, %d suspect); "
           "promised %d us, ratio %.2f\n",
           what, us[RUNS / 2], us[RUNS / 20], us[RUNS - RUNS / 20], us[0], us[RUNS - 1], RUNS, suspects, PROMISED_US,
           us[RUNS / 2] / PROMISED_US);
}

/* What a baseline of several instruments is usually like, worked out from their readings: one visit an instrument. */
static void
measure_norms (guint visits)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (2);
  g_autoptr (SlProfile) baseline = profile_to_compute (rand, FALSE, 0);
  g_autofree double *us = g_new (double, NORM_RUNS);

  baseline->kind = SL_KIND_BASELINE;
  while (baseline->visits->len < visits)
    {
      SlReadingSet set = test_set ();
      SlVisit visit = sl_visit_init ();
      SlInstrument in;
      SlState truth;

      sl_instrument_from_profile (baseline, &in);
      test_state (rand, &in, &truth);
      test_read_all (rand, &in, &truth, &set);
      g_array_append_val (visit.sets, set);
      g_array_append_val (baseline->visits, visit);
    }
  for (int i = -NORM_WARMING_UP; i < NORM_RUNS; i++)
    {
      gint64 start = g_get_monotonic_time ();
      SlNorms norms;

      sl_norms_of (baseline, &SL_SHOP_DEFAULT, &norms);
      if (i >= 0)
        us[i] = (double) (g_get_monotonic_time () - start) / visits;
    }
  qsort (us, NORM_RUNS, sizeof *us, by_size);
  g_print ("what is usual, baseline of %u instruments: median %.0f us a visit, 5 %% below %.0f, 95 %% below %.0f (%d "
           "runs)\n",
           visits, us[NORM_RUNS / 2], us[NORM_RUNS / 20], us[NORM_RUNS - NORM_RUNS / 20], NORM_RUNS);
}

int
main (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);

  measure ("fit, suspects, both states", profile_to_compute (rand, TRUE, 0));
  measure ("fit, suspects, one state", profile_to_compute (rand, FALSE, 0));
  measure ("the same after four visits in other air", profile_to_compute (rand, FALSE, 4));
  measure ("four sets, three turns read around and three in the visit before", profile_with_turns (rand));
  measure_norms (4);
  measure_norms (40);
  return 0;
}
