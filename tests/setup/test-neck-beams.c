/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The beams behind what is assumed of a neck nobody has read: that they are computed rightly, and that the assumption
 * is their mean and spread. Without --test it prints their table (docs/model.md, section 5). */
#include <gsl/gsl_statistics_double.h>
#include <locale.h>

#include "neck-beams.h"
#include "setup/work/work.h"
#include "support.h"

#define N_BEAMS (N_NECK_BENDINGS * N_NECK_LENGTHS)

typedef struct
{
  double crest[N_BEAMS], nut[N_BEAMS];
} Factors;

static void
all_beams (Factors *out)
{
  for (int i = 0; i < N_BEAMS; i++)
    {
      const NeckLength *neck = &neck_lengths[i % N_NECK_LENGTHS];
      NeckBeam beam;

      neck_beam_of (&neck_bendings[i / N_NECK_LENGTHS], neck->scale, neck->joint, &beam);
      out->crest[i] = beam.crest;
      out->nut[i] = beam.nut;
    }
}

/* Depth growing by a tenth under an even moment: the sag below the chord of both ends is M L²/(E I) times
 * ξ(1-ξ)/(2 (1+β)(1+βξ)), β 0.1: 0.10822511 in the middle, at most 0.10828653 at ξ 0.48808848. Derived by integrating
 * 1/(1+βξ)³ twice. */
static void
test_taper (void)
{
  const NeckBending taper = { "", 1, 1.1, 1, 1 };
  NeckBeam beam;

  neck_beam_bend (&taper, 645, 14, 0, &beam);
  const double unit = beam.length * beam.length;

  assert_near (beam.sag * neck_beam_shape (&beam, beam.length / 2) / unit, 0.10822511, 1e-8);
  assert_near (beam.sag / unit, 0.10828653, 1e-8);
  assert_near (beam.sag_at / beam.length, 0.48808848, 0.5 / NECK_BEAM_STEPS + 1e-9);
}

/* Even curvature is what the model has: sag s²/(8 R) (Gere and Timoshenko), both factors 1. */
static void
test_even (void)
{
  NeckBeam beam;

  neck_beam_of (&neck_bendings[0], 645, 14, &beam);
  assert_near (beam.sag, (beam.length - beam.near) * (beam.length - beam.near) / 8, 0.01);
  assert_near (beam.crest, 1, 1e-6);
  assert_near (beam.nut, 1, 1e-5);
  for (int n = 1; n <= 14; n++)
    {
      const double t = (sl_fret_place (645, n) - beam.near) / (beam.length - beam.near);

      assert_near (neck_beam_shape (&beam, sl_fret_place (645, n)), 4 * t * (1 - t), 1e-6);
    }
}

/* What bends more toward the nut lifts the nut more and the crest less; a stiff heel lifts the crest less still. */
static void
test_order (void)
{
  for (const NeckLength *neck = neck_lengths; neck->scale > 0; neck++)
    {
      NeckBeam even, thin, thinner, heel;

      neck_beam_of (&neck_bendings[0], neck->scale, neck->joint, &even);
      neck_beam_of (&neck_bendings[1], neck->scale, neck->joint, &thin);
      neck_beam_of (&neck_bendings[2], neck->scale, neck->joint, &thinner);
      neck_beam_of (&neck_bendings[3], neck->scale, neck->joint, &heel);
      g_assert_cmpfloat (thin.crest, <, even.crest);
      g_assert_cmpfloat (thinner.crest, <, thin.crest);
      g_assert_cmpfloat (heel.crest, <, thin.crest);
      g_assert_cmpfloat (thin.nut, >, even.nut);
      g_assert_cmpfloat (thinner.nut, >, thin.nut);
    }
}

/* A turn of the rod moves nut and crest over the chord as the beam itself does: the chord through fret 1 and the joint,
 * carried on to either end, against the neck's rise there and the body, which stays at 0. */
static void
test_levers (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  SlInstrument in;

  sl_instrument_from_profile (profile, &in);
  turn.amount = sl_number (0.2);
  for (const NeckBending *bending = neck_bendings; bending->name != NULL; bending++)
    {
      NeckBeam beam;
      SlState state;

      neck_beam_of (bending, in.scale[0], in.joint, &beam);
      const double scaled = 0.2 / beam.sag, step = beam.length / NECK_BEAM_STEPS;
      const int place = (int) (beam.near / step);
      const double near = beam.rise[place] + (beam.near / step - place) * (beam.rise[place + 1] - beam.rise[place]);
      const double slope = near / (beam.length - beam.near);

      in.neck.crest = beam.crest;
      in.neck.nut = beam.nut;
      test_straight_state (&in, &state);
      sl_operation_apply (&in, &turn, &state);
      assert_near (sl_state_mean_relief (&state), 0.2, 1e-12);
      assert_near (sl_state_nut_height (&state, 1), scaled * (beam.rise[0] - slope * beam.length), 1e-9);
      assert_near (sl_state_crest_height (&state, 1), scaled * slope * (in.scale[0] - beam.length), 1e-9);
    }
}

/* The assumption is the beams' mean and standard deviation; their range as docs/model.md states it. */
static void
test_assumed (void)
{
  const SlNeckBending assumed = SL_NECK_BENDING_ASSUMED;
  Factors f;

  all_beams (&f);
  assert_near (gsl_stats_mean (f.crest, 1, N_BEAMS), assumed.crest, 0.02);
  assert_near (gsl_stats_mean (f.nut, 1, N_BEAMS), assumed.nut, 0.02);
  assert_near (gsl_stats_sd (f.crest, 1, N_BEAMS), assumed.crest_u, 0.03);
  assert_near (gsl_stats_sd (f.nut, 1, N_BEAMS), assumed.nut_u, 0.03);
  assert_near (gsl_stats_min (f.crest, 1, N_BEAMS), 0.70, 0.03);
  assert_near (gsl_stats_max (f.crest, 1, N_BEAMS), 1.00, 0.03);
  assert_near (gsl_stats_min (f.nut, 1, N_BEAMS), 0.60, 0.03);
  assert_near (gsl_stats_max (f.nut, 1, N_BEAMS), 1.19, 0.03);
}

static int
print_table (void)
{
  Factors f;

  all_beams (&f);
  g_print ("| the neck bends |");
  for (const NeckLength *neck = neck_lengths; neck->scale > 0; neck++)
    g_print (" %.0f, joined at %d |", neck->scale, neck->joint);
  g_print ("\n| --- |");
  for (int i = 0; i < N_NECK_LENGTHS; i++)
    g_print (" --- |");
  for (int i = 0; i < N_BEAMS; i++)
    {
      if (i % N_NECK_LENGTHS == 0)
        g_print ("\n| %s |", neck_bendings[i / N_NECK_LENGTHS].name);
      g_print (" %.2f, %.2f |", f.crest[i], f.nut[i]);
    }
  g_print ("\n\ncrest %.3f ± %.3f, nut %.3f ± %.3f\n", gsl_stats_mean (f.crest, 1, N_BEAMS),
           gsl_stats_sd (f.crest, 1, N_BEAMS), gsl_stats_mean (f.nut, 1, N_BEAMS), gsl_stats_sd (f.nut, 1, N_BEAMS));
  return 0;
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (argc < 2 || !g_str_equal (argv[1], "--test"))
    return print_table ();
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/neck-beams/taper", test_taper);
  g_test_add_func ("/neck-beams/even", test_even);
  g_test_add_func ("/neck-beams/order", test_order);
  g_test_add_func ("/neck-beams/levers", test_levers);
  g_test_add_func ("/neck-beams/assumed", test_assumed);
  return g_test_run ();
}
