/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Unit mass, tension, strength, break angles and forces. Where a source takes another modulus than the model's, the
 * test computes with the source's. */
#include <math.h>
#include <string.h>

#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "setup/physics/pitch.h"
#include "support.h"

#define MM_PER_INCH 25.4
#define PA_PER_KSI 6894757.293168 /* 1000 lbf/in²: 4448.2216152605 N over 645.16 mm² (NIST SP 811) */

static double
steel_mass (double inches)
{
  return sl_unit_mass (SL_BUILD_PLAIN, SL_CORE_STEEL, inches * MM_PER_INCH, SL_WRAP_NONE, 0);
}

static void
test_plain_strings (void)
{
  /* T = 4 μ L² f²; steel 7850 kg/m³, E 203.4 GPa, L 0.6477 m (derived) */
  static const struct
  {
    double inches;
    const char *note;
    double mass, tension, kappa;
  } rows[] = { { 0.010, "E4", 3.97765e-4, 72.524, 142.11 },
               { 0.013, "B3", 6.72224e-4, 68.788, 253.21 },
               { 0.017, "G3", 1.149542e-3, 74.103, 401.95 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      SlStringData string = { .frequency_hz = sl_note_frequency (rows[i].note),
                              .unit_mass_kg_m = steel_mass (rows[i].inches) };
      double d = rows[i].inches * MM_PER_INCH / 1000, tension = sl_tension (&string, 647.7);

      assert_near (string.unit_mass_kg_m, rows[i].mass, 6e-9);
      assert_near (tension, rows[i].tension, 6e-4);
      assert_near (203.4e9 * G_PI * d * d / 4 / tension, rows[i].kappa, 6e-3);
    }
}

static void
test_wound_string (void)
{
  /* 0.018 in core + 0.014 in wrap, both 7850 kg/m³ (derived) */
  double core = 0.018 * MM_PER_INCH, wrap = 0.014 * MM_PER_INCH;
  double whole = sl_unit_mass (SL_BUILD_WOUND, SL_CORE_STEEL, core, SL_WRAP_NICKEL_PLATED_STEEL, wrap);

  assert_near (steel_mass (0.018), 1.28876e-3, 6e-9);
  assert_near (whole - steel_mass (0.018), 5.65231e-3, 6e-9);
  /* without the helix term the wrap is a stack of rings: 5.59828e-3, and fills π/4 of its annulus */
  double rings = 7850 * G_PI * G_PI * wrap * (core + wrap) / 4 * 1e-6;
  assert_near (rings, 5.59828e-3, 6e-9);
  assert_near (rings / (7850 * G_PI * wrap * (core + wrap) * 1e-6), G_PI / 4, 1e-12);
  g_assert_cmpfloat (whole - steel_mass (0.018), >, rings);
  /* a wound string without a wrap is its core; a wrap on a plain string counts nothing */
  assert_near (sl_unit_mass (SL_BUILD_WOUND, SL_CORE_STEEL, core, SL_WRAP_NICKEL, 0), steel_mass (0.018), 1e-18);
  assert_near (sl_unit_mass (SL_BUILD_PLAIN, SL_CORE_STEEL, core, SL_WRAP_NICKEL, wrap), steel_mass (0.018), 1e-18);
}

static void
test_outside_diameter (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;

  /* 0.018 in + 2 × 0.014 in = 0.046 in */
  profile->strings[5].build = SL_BUILD_WOUND;
  profile->strings[5].wrap = SL_WRAP_NICKEL;
  profile->strings[5].core_diameter = sl_number (0.018 * MM_PER_INCH);
  profile->strings[5].wrap_diameter = sl_number (0.014 * MM_PER_INCH);
  sl_instrument_from_profile (profile, &in);
  assert_near (in.strings[5].outside_mm, 0.046 * MM_PER_INCH, 1e-12);
}

static void
test_stiff_string (void)
{
  /* Young, JASA 24, 267 (1952): partial n of a steel string is sharp by 3.4e13 n² d²/(f² l⁴) cents, d and l in cm
   * (published); the formula gives 3.404e13 (derived), with the model's own steel 0.1 % less. B = π² EI/(T L²)
   * (Fletcher, JASA 36, 203, 1964; memory), cents = 600/ln 2 · B n². */
  const SlString wire = { .core = SL_CORE_STEEL,
                          .core_diameter = sl_number (0.4),
                          .unit_mass = SL_NUMBER_ABSENT,
                          .axial_stiffness = SL_NUMBER_ABSENT,
                          .bending_stiffness = SL_NUMBER_ABSENT };
  const double f = 440, d = 0.0004, l = 0.65;
  SlStringData data;

  sl_string_data (&wire, &data);
  const double e = data.ea_n / data.core_area_m2, rho = data.unit_mass_kg_m / data.core_area_m2;
  double tension = rho * G_PI * d * d / 4 * 4 * l * l * f * f;
  double b = G_PI * G_PI * e * G_PI * pow (d, 4) / 64 / (tension * l * l);
  double coefficient = 600 / G_LN2 * b * f * f * pow (l * 100, 4) / (d * 100 * d * 100);

  assert_near (coefficient, 3.4e13, 0.05e13);
  assert_near (coefficient / 3.404e13, 1, 0.0015);
  /* the model's ε = sqrt(EI/T)/L is the same thing: B = π² ε² */
  double epsilon = sqrt (e * G_PI * pow (d / 2, 4) / 4 / tension) / l;
  assert_near (G_PI * G_PI * epsilon * epsilon / b, 1, 1e-12);
}

static void
test_music_wire (void)
{
  /* ASTM A228 minimum tensile, ksi by inch diameter, from a wire merchant's table (published); the fit lies within 0.5
   * % (derived) */
  static const double table[][2] = { { .008, 399 }, { .009, 393 }, { .010, 387 }, { .011, 382 }, { .012, 377 },
                                     { .013, 373 }, { .014, 369 }, { .015, 365 }, { .016, 362 }, { .018, 356 },
                                     { .020, 350 }, { .022, 345 }, { .024, 341 }, { .026, 337 } };

  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    {
      double fit = sl_music_wire_strength (table[i][0] * MM_PER_INCH) / PA_PER_KSI;

      assert_near (fit / table[i][1], 1, 0.005);
    }
  /* 0.010 in breaks at 135.2 N (derived from the table) */
  double area = G_PI * pow (0.010 * MM_PER_INCH / 2000, 2);
  assert_near (387 * PA_PER_KSI * area, 135.2, 0.05);
  assert_near (sl_music_wire_strength (0.010 * MM_PER_INCH) * area, 135.2, 135.2 * 0.005);
}

static void
test_capstan (void)
{
  const double beta = 25 * G_PI / 180;

  /* e^(μβ), μ 0.2, 25° → 1.0912 (derived). The model's bound is its first order: half the relative error of tension, in
   * cents */
  assert_near (exp (0.2 * beta), 1.0912, 5e-5);
  double exact = 1200 / G_LN2 * 0.5 * log (exp (0.2 * beta));
  assert_near (sl_stick_cents (0.2, beta), exact, 1e-9);
}

static void
test_saddle_forces (void)
{
  const SlSaddleForces forces = sl_saddle_forces (72.524, 25 * G_PI / 180, 2 * G_PI / 180);

  /* T 72.524 N, 2° before the crest and 25° behind it: down T (sin 25° + sin 2°) 33.181 N, resultant 2 T sin 13.5°
   * 33.861 N (derived); push T (cos 2° − cos 25°) = 72.524 (0.999391 − 0.906308) = 6.7508 N (by hand) */
  assert_near (forces.down, 33.181, 5e-4);
  assert_near (forces.resultant, 33.861, 5e-4);
  assert_near (forces.push, 6.7508, 5e-5);
  /* statics: down and push are the sides of which the resultant is the long one */
  assert_near (hypot (forces.down, forces.push), forces.resultant, 1e-12);
  /* as steep before as behind, nothing pushes and the resultant is upright */
  const SlSaddleForces even = sl_saddle_forces (80, 0.3, 0.3);
  assert_near (even.down, even.resultant, 1e-12);
  assert_near (even.push, 0, 1e-12);
}

/* Stiffness that is given wins over core and modulus (model 7), each by itself. */
static void
test_given_stiffness (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlString string = profile->strings[0];
  SlStringData plain, data;

  sl_string_data (&string, &plain);
  string.axial_stiffness = sl_number (3307);
  sl_string_data (&string, &data);
  assert_near (data.ea_n, 3307, 1e-9);
  assert_near (data.ei_nm2, plain.ei_nm2, 1e-15);
  string.bending_stiffness = sl_number (104.6); /* N mm²: 104.6e-6 N m² */
  sl_string_data (&string, &data);
  assert_near (data.ei_nm2, 104.6e-6, 1e-15);
  g_assert_cmpfloat (data.unit_mass_kg_m, ==, plain.unit_mass_kg_m);
}

/* The angle between two directions in the string's own plane, by slopes. */
static void
test_saddle_break (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 200; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlInstrument in;
      SlState state;
      SlStringState s;

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      sl_state_string (&in, &state, 1, &s);
      double ahead = atan2 (s.p[SL_P_NUT] - s.p[SL_P_CREST], -s.x_s);
      double behind = atan2 (-(s.exposure + in.anchor_drop[0]), in.anchor_distance[0]);
      /* a straight string would turn by 180° between the two; what is left of it is the break */
      double turn = fmod (ahead - behind + 4 * G_PI, 2 * G_PI);
      double rear, front;
      g_assert_true (sl_saddle_angles (&s, &rear, &front));
      assert_near (rear + front, fabs (G_PI - turn), 1e-12);
    }
}

static void
test_nut_break (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlInstrument in;
  SlStringState s = { .in = &in, .string = 2, .x_s = 632 };

  profile->headstock.posts[0] = (SlPost){ 1, sl_number (60), SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  profile->headstock.n_posts = 1;
  sl_instrument_from_profile (profile, &in);
  g_assert_true (isnan (sl_nut_break (&s)));
  s.string = 1;

  /* a tilted head, the string on its face all the way: the tilt itself */
  in.tilt_rad = 0.25;
  assert_near (sl_nut_break (&s), 0.25, 1e-12);
  /* a stepped head: atan(rise/p) */
  in.tilt_rad = 0;
  in.string_rise = 8;
  assert_near (sl_nut_break (&s), atan (8.0 / 60), 1e-12);
  /* the string comes up to the nut from the post: what it goes on climbing to the crest is taken off */
  s.p[SL_P_CREST] = 6.32;
  assert_near (sl_nut_break (&s), atan (8.0 / 60) - atan (0.01), 1e-12);
  /* sideways only: the angle in the plane of the head */
  s.p[SL_P_CREST] = 0;
  in.string_rise = 0;
  in.post_side[0] = 10;
  assert_near (sl_nut_break (&s), atan (10.0 / 60), 1e-12);
  /* a wrap that leaves the post higher takes off the break */
  in.post_side[0] = 0;
  in.string_rise = 8;
  in.post_wrap[0] = 5;
  assert_near (sl_nut_break (&s), atan (3.0 / 60), 1e-12);
}

static void
test_open_length (void)
{
  SlStringState s = { .p = { 1, 4, 0, 0 }, .x_s = 4 };

  assert_near (sl_open_length (&s), 5, 1e-12);
}

/* U of a force is that of its whole formula, 2 T sin(break/2): the tension follows the crest as well as the break does
 * (GUM 5.1.2: derived by moving the crest, or the exposure, by a little and computing the force anew). */
static void
test_force_u (void)
{
  static const SlPlaceOfFigure at_saddle[] = { SL_BY_STRING (saddle_force), SL_BY_STRING (saddle_resultant),
                                               SL_BY_STRING (saddle_push) };
  const double step = 1e-3, u_crest = 0.02, u_exposure = 0.03;
  g_autoptr (GRand) rand = test_rand ();

  for (int i = 0; i < 50; i++)
    {
      g_autoptr (SlProfile) profile = test_any_profile (rand);
      SlInstrument in;
      SlState state, high, exposed;
      g_autofree SlFigures *figures = g_new (SlFigures, 3);

      sl_instrument_from_profile (profile, &in);
      test_state (rand, &in, &state);
      for (int s = 0; s < in.n_strings; s++)
        {
          int crest = SL_NUT_HEIGHT + in.n_strings + s;

          state.cov[crest * state.n_unknowns + crest] = u_crest * u_crest;
          state.exposure_u[s] = u_exposure;
        }
      high = exposed = state;
      for (int s = 0; s < in.n_strings; s++)
        {
          high.u[SL_NUT_HEIGHT + in.n_strings + s] += step;
          exposed.exposure[s] += step;
        }
      sl_figures (&in, &state, NULL, NULL, &SL_SHOP_DEFAULT, &figures[0]);
      sl_figures (&in, &high, NULL, NULL, &SL_SHOP_DEFAULT, &figures[1]);
      sl_figures (&in, &exposed, NULL, NULL, &SL_SHOP_DEFAULT, &figures[2]);
      for (int s = 0; s < in.n_strings; s++)
        {
          const double nut = figures[0].nut_force[s].value;

          for (gsize k = 0; k < G_N_ELEMENTS (at_saddle) && in.has_anchor[s]; k++)
            {
              const SlFigure *now = sl_figure_at (&figures[0], at_saddle[k], s + 1);
              double by_crest = sl_figure_at (&figures[1], at_saddle[k], s + 1)->value - now->value;
              double by_exposure = sl_figure_at (&figures[2], at_saddle[k], s + 1)->value - now->value;

              assert_near (now->u, hypot (by_crest * u_crest, by_exposure * u_exposure) / step, 1e-4);
            }
          if (in.has_post[s])
            assert_near (figures[0].nut_force[s].u, fabs (figures[1].nut_force[s].value - nut) / step * u_crest, 1e-4);
        }
    }
}

/* Without an exposure read one of 3 ± 1.5 mm stands in for it (model 1.2, own choice), and what follows from it
 * says so. The break's u, with the exposure alone uncertain: half its difference between 1.5 mm above and below, by the
 * formula of the break itself. */
static void
test_unread_exposure (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_auto (SlReadingSet) set = test_set ();
  g_autofree SlFigures *figures = g_new (SlFigures, 3);
  SlState high, low;
  SlInstrument in;
  SlFit fit;

  profile->bridge.anchors[0] = (SlAnchor){ 1, sl_number (8), sl_number (1) };
  profile->bridge.n_anchors = 1;
  sl_instrument_from_profile (profile, &in);
  for (int s = 1; s <= 6; s++)
    test_add (&set, SL_READ_ACTION, s, 12, SL_HELD_DEFAULT, 2);
  sl_fit (&in, &set, &fit);
  memset (fit.state.cov, 0, sizeof fit.state.cov);
  high = low = fit.state;
  for (int s = 0; s < 6; s++)
    {
      high.exposure[s] += 1.5;
      low.exposure[s] -= 1.5;
    }
  sl_figures (&in, &fit.state, &fit, &set, &SL_SHOP_DEFAULT, &figures[0]);
  sl_figures (&in, &high, NULL, NULL, &SL_SHOP_DEFAULT, &figures[1]);
  sl_figures (&in, &low, NULL, NULL, &SL_SHOP_DEFAULT, &figures[2]);
  for (int s = 0; s < 6; s++)
    {
      const SlFigure *all[] = { &figures[0].exposure[s],         &figures[0].board_line[s],
                                &figures[0].saddle_break[s],     &figures[0].saddle_force[s],
                                &figures[0].saddle_resultant[s], &figures[0].saddle_push[s] };
      double half = (figures[1].saddle_break[s].value - figures[2].saddle_break[s].value) / 2;

      for (gsize i = 0; i < G_N_ELEMENTS (all); i++)
        g_assert_cmpint (all[i]->basis, ==, SL_BASIS_ASSUMED);
      assert_near (all[0]->value, 3, 1e-12);
      assert_near (all[0]->u, 1.5, 1e-12);
      assert_near (all[1]->value, 3 - sl_state_crest_height (&fit.state, s + 1), 1e-12);
      assert_near (all[1]->u, 1.5, 1e-12);
      assert_near (all[2]->u, half, 0.05 * half);
      /* the break over the nut has nothing to do with it */
      g_assert_cmpint (figures[0].nut_break[s].basis, ==, SL_BASIS_COMPUTED);
    }
  sl_fit_clear (&fit);

  /* one read: the others are as that one, and none is assumed any more */
  test_add (&set, SL_READ_EXPOSURE, 2, 0, SL_HELD_DEFAULT, 3.4);
  sl_fit (&in, &set, &fit);
  sl_figures (&in, &fit.state, &fit, &set, &SL_SHOP_DEFAULT, &figures[0]);
  for (int s = 0; s < 6; s++)
    {
      assert_near (figures[0].exposure[s].value, 3.4, 1e-12);
      g_assert_cmpint (figures[0].saddle_break[s].basis, ==, SL_BASIS_COMPUTED);
    }
  sl_fit_clear (&fit);
}

/* A string whose tension can't be given has no margin, not an endless one at a fret there isn't. */
static void
test_no_tension (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  g_autofree SlFigures *figures = g_new (SlFigures, 1);
  SlInstrument in;
  SlState state;

  sl_instrument_from_profile (profile, &in);
  test_straight_state (&in, &state);
  in.strings[3].unit_mass_kg_m = NAN;
  sl_figures (&in, &state, NULL, NULL, &SL_SHOP_DEFAULT, figures);
  for (int s = 0; s < 6; s++)
    {
      g_assert_cmpint (isfinite (figures->least_margin[s].value), ==, s != 3);
      g_assert_cmpint (isfinite (figures->lowest_clean_action[s].value), ==, s != 3);
      g_assert_cmpint (figures->least_margin_fret[s] > 0, ==, s != 3);
    }
  /* the others say what relief is best */
  g_assert_true (isfinite (figures->best_relief.value));
}

/* Moments about a tremolo's edge, by hand: 460 N of strings 10 mm over it, springs 40 mm under it. */
static void
test_tremolo_balance (void)
{
  g_assert_cmpfloat (fabs (sl_spring_force (460) * 40 - 460 * 10), <, 1e-9);
  g_assert_cmpfloat (fabs (sl_spring_force (460) - 115), <, 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/forces/plain-strings", test_plain_strings);
  g_test_add_func ("/forces/wound-string", test_wound_string);
  g_test_add_func ("/forces/outside-diameter", test_outside_diameter);
  g_test_add_func ("/forces/stiff-string", test_stiff_string);
  g_test_add_func ("/forces/music-wire", test_music_wire);
  g_test_add_func ("/forces/capstan", test_capstan);
  g_test_add_func ("/forces/saddle-forces", test_saddle_forces);
  g_test_add_func ("/forces/given-stiffness", test_given_stiffness);
  g_test_add_func ("/forces/saddle-break", test_saddle_break);
  g_test_add_func ("/forces/nut-break", test_nut_break);
  g_test_add_func ("/forces/open-length", test_open_length);
  g_test_add_func ("/forces/force-u", test_force_u);
  g_test_add_func ("/forces/unread-exposure", test_unread_exposure);
  g_test_add_func ("/forces/no-tension", test_no_tension);
  g_test_add_func ("/forces/tremolo-balance", test_tremolo_balance);
  return g_test_run ();
}
