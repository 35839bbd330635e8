/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is heard: a pitch with its own U wherever the model asks what a reading is uncertain by; bending stiffness from
 * inharmonicity against Young's published figure for steel and the exact modes of stiff strings; made nylon strings
 * given back by their pitch at the frets; frets whose notes die early. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_roots.h>

#include "../file/support.h"
#include "setup/fit/reading-row.h"
#include "setup/physics/clearance.h"
#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "setup/physics/heard.h"
#include "setup/work/work.h"
#include "support.h"

#define TUNER_U 0.290115 /* sqrt (0.1²/12 + 0.5²/3), by hand */

static void
add_heard (SlReadingSet *set, int string, int fret, double cents, double U)
{
  test_add (set, SL_READ_PITCH, string, fret, SL_HELD_DEFAULT, cents)->uncertainty = sl_number (U);
}

/* ---- a heard pitch's U ---- */

static void
test_own_u (void)
{
  g_auto (SlReadingSet) set = test_set ();

  add_heard (&set, 1, 12, 4.0, 0.2);
  test_add (&set, SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, 4);
  add_heard (&set, 3, 12, 4.0, 0.2);
  add_heard (&set, 3, 12, 4.3, 0.4);
  add_heard (&set, 3, 12, 9.0, 0.4);
  g_array_index (set.readings, SlReading, 4).use = SL_USE_NEVER;
  test_add (&set, SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT, 4);
  test_add (&set, SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT, 6);
  add_heard (&set, 5, 0, 1.0, 3.0); /* the open string's own: a fret's U has it in it already */
  add_heard (&set, 5, 12, 1.0, 0.5);
  assert_near (sl_reading_own_u (&set, &g_array_index (set.readings, SlReading, 0)), 0.1, 1e-12);
  assert_near (sl_reading_own_u (&set, &g_array_index (set.readings, SlReading, 1)), TUNER_U, 1e-6);
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 1, 12), 0.1, 1e-12);
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 2, 12), TUNER_U, 1e-6);
  /* two: (0.1² + 0.2²)/2 = 0.025 of their own, s² = 2 · 0.15²/1 = 0.045, s²/2 = 0.0225 */
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 3, 12), sqrt (0.0475), 1e-12);
  /* repeats of a tuner share its error: s² = 2, s²/2 = 1 */
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 4, 12), sqrt (0.0841667 + 1), 1e-6);
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 5, 12), 0.25, 1e-12);
  assert_near (sl_reading_mean_u (&set, SL_READ_PITCH, 6, 12), TUNER_U, 1e-6); /* none: of the tool */
  assert_near (sl_reading_mean_u (NULL, SL_READ_PITCH, 1, 12), TUNER_U, 1e-6);
  /* one cent is about 650 ln2/1200 = 0.375455 mm */
  assert_near (sl_crest_move_u (650, &set, 1), 0.0375455, 1e-6);
  assert_near (sl_crest_move_u (650, &set, 2), 0.375455 * TUNER_U, 1e-6);
}

/* Documents of every kind, heard and read: the crest's move is as uncertain as what was read of its string. */
static void
test_any_document (void)
{
  g_autoptr (GRand) rand = test_rand ();
  int heard = 0, scattered = 0;

  for (int i = 0; i < 150; i++)
    {
      g_autoptr (SlProfile) profile = test_random_profile (rand);
      g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
      const SlVisit *visit = sl_profile_last_visit (profile);
      SlReadingSet *set = visit != NULL ? sl_visit_last_set (visit) : NULL;

      if (set == NULL || !sl_set_at_pitch (set))
        continue;
      for (int k = g_rand_int_range (rand, 0, 4); k > 0; k--)
        {
          SlReading *r = test_add (set, SL_READ_PITCH, g_rand_int_range (rand, 1, profile->n_strings + 1), 12,
                                   SL_HELD_DEFAULT, test_between (rand, -5, 5));

          if (g_rand_boolean (rand))
            r->uncertainty = sl_number (test_between (rand, 0.01, 1));
        }
      sl_analyse_last (profile, &SL_SHOP_DEFAULT, analysis);
      for (int s = 1; s <= profile->n_strings; s++)
        {
          double own = 0, sum = 0, squares = 0, tool = sl_reading_u (set, SL_READ_PITCH);
          int k = 0;
          SlStringState string;

          SL_EACH (const SlReading, r, set->readings)
            if (r->kind == SL_READ_PITCH && r->string == s && r->fret == 12 && r->use != SL_USE_NEVER)
              {
                own += pow (isnan (r->uncertainty.v) ? tool : r->uncertainty.v / 2, 2);
                sum += r->value.v;
                squares += r->value.v * r->value.v;
                heard += !isnan (r->uncertainty.v);
                k++;
              }
          const SlFigure *move = &analysis->measured_figures.crest_move[s - 1];

          g_assert_cmpint (k > 0, ==, !isnan (move->value));
          if (k == 0)
            continue;
          scattered += k > 1;
          sl_state_string (&analysis->instrument, &analysis->measured, s, &string);
          const double u = sqrt (own / k + (k > 1 ? (squares - sum * sum / k) / (k - 1) / k : 0));

          assert_near (move->u / (sl_open_length (&string) * G_LN2 / 1200), u, 1e-6 * (1 + u));
        }
    }
  g_assert_cmpint (heard, >, 20);
  g_assert_cmpint (scattered, >, 3);
}

/* ---- bending ---- */

/* A straight neck with one string: 650 mm, nut 1 mm and crest 5 mm over the crowns, finger distance 0. */
typedef struct
{
  SlProfile *profile;
  SlInstrument in;
  SlState state;
  SlStringState s;
} Made;

static void
made_clear (Made *m)
{
  sl_profile_free (m->profile);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Made, made_clear)

static void
make (Made *m, double setback)
{
  sl_instrument_from_profile (m->profile, &m->in);
  test_straight_state (&m->in, &m->state);
  for (int i = 0; i < m->in.n_strings; i++)
    m->state.setback[i] = setback;
  test_set_string (&m->state, 1, 1, 5);
  sl_state_string (&m->in, &m->state, 1, &m->s);
}

static SlProfile *
made_profile (double core_mm)
{
  SlProfile *profile = test_plain_profile ();

  profile->neck.scale_length = sl_number (650);
  profile->player.finger_distance = sl_number (0);
  profile->player.given = TRUE;
  profile->strings[0].core_diameter = sl_number (core_mm);
  profile->strings[0].unit_mass = SL_NUMBER_ABSENT;
  return profile;
}

/* Young, JASA 24, 267 (1952): partial n of plain steel is sharp by 3.4e13 n² d²/(f² l⁴) cents in cm and Hz (published).
 * As cents = (1200/ln 2) ½ B n², B is that times 2 ln2/1200. What is heard of such strings is steel. */
static void
test_young (void)
{
  static const double gauges[] = { 0.2286, 0.254, 0.3302, 0.4318, 0.508 }; /* 0.009 to 0.020 in */

  for (gsize i = 0; i < G_N_ELEMENTS (gauges); i++)
    {
      g_auto (Made) m = { made_profile (gauges[i]) };
      SlHeardBending heard;

      make (&m, 0);
      const double f = m.in.strings[0].frequency_hz, d_cm = gauges[i] / 10, l_cm = sl_open_length (&m.s) / 10;
      const double b = 2 * G_LN2 / 1200 * 3.4e13 * d_cm * d_cm / (f * f * pow (l_cm, 4));

      g_assert_true (sl_heard_bending (&m.s, b, 0.02 * b, NAN, &heard));
      g_test_message ("%g mm: B %.3g, EI %.2f N mm², E %.1f ± %.1f GPa", gauges[i], b, heard.ei_nm2 * 1e6,
                      heard.modulus_pa / 1e9, 2 * heard.modulus_u / 1e9);
      assert_near (heard.modulus_pa, 200e9, 0.002 * 200e9);
      g_assert_true (heard.judged && heard.agrees);
      /* E goes with B l⁴/d²: 2 % of B, twice 0.0044 mm of d; a crest nobody read lies within 2 mm */
      assert_near (heard.modulus_u / heard.modulus_pa,
                   sqrt (0.02 * 0.02 + pow (2 * 0.0044 / gauges[i], 2) + pow (4 * 2 / 650.0, 2)), 1e-4);
      assert_near (heard.ei_u / heard.ei_nm2, heard.modulus_u / heard.modulus_pa, 1e-12); /* T by d², I by d⁴ */
      /* E = 203.4 GPa of checks.md: within U of the table's 200, too */
      g_assert_true (sl_heard_bending (&m.s, b * 203.4 / 200, 0.02 * b, NAN, &heard) && heard.agrees);
      /* a string twice as stiff is not of steel */
      g_assert_true (sl_heard_bending (&m.s, 2 * b, 0.02 * b, NAN, &heard) && !heard.agrees);
    }
}

/* By hand: B 2e-5, 650.0123 mm, E4 329.6276 Hz, 0.4 g/m. */
static void
test_bending (void)
{
  g_auto (Made) m = { made_profile (0.254) };
  SlHeardBending heard, flat;

  m.profile->strings[0].unit_mass = sl_number (0.4);
  make (&m, 0);
  m.state.setback_read = TRUE;
  const double l = hypot (0.650, 0.004), t = 0.4e-3 * pow (2 * l * 329.6276, 2), ei = 2e-5 * t * l * l / (G_PI * G_PI);

  g_assert_true (sl_heard_bending (&m.s, 2e-5, 4e-7, NAN, &heard));
  assert_near (heard.ei_nm2, ei, 1e-6 * ei);
  assert_near (heard.modulus_pa, ei / (G_PI * pow (0.254e-3, 4) / 64), 1e6);
  assert_near (heard.by_core_nm2, 200e9 * G_PI * pow (0.254e-3, 4) / 64, 1e-12);
  /* 2 % of B, 1 % of a given mass, 0.3 mm of a read setback; the core's diameter only in E, four times */
  const double own = sqrt (0.02 * 0.02 + 0.01 * 0.01 + pow (4 * 0.3 / 650, 2));
  assert_near (heard.ei_u / heard.ei_nm2, own, 1e-6);
  assert_near (heard.modulus_u / heard.modulus_pa, hypot (own, 4 * 0.0044 / 0.254), 1e-6);
  /* the string's tension as it sounded */
  g_assert_true (sl_heard_bending (&m.s, 2e-5, 4e-7, 329.6276 / 1.01, &flat));
  assert_near (flat.ei_nm2, ei / (1.01 * 1.01), 1e-6 * ei);
  /* nothing to tell: B no more than its U, or not known */
  g_assert_false (sl_heard_bending (&m.s, 2e-5, 1e-5, NAN, &heard));
  g_assert_false (sl_heard_bending (&m.s, NAN, NAN, NAN, &heard));
  g_assert_false (sl_heard_bending (&m.s, -1e-6, 1e-7, NAN, &heard));
}

/* ε² y'''' − y'' = k² y over a length of 1, the modes mixtures of cosh ax, sinh ax, cos bx, sin bx, a² = b² + 1/ε²: the
 * frequency equations divided by cosh a. */
typedef struct
{
  double epsilon;
  gboolean both;
} Stiff;

static double
frequency_equation (double b, void *data)
{
  const Stiff *stiff = data;
  double a = sqrt (b * b + 1 / (stiff->epsilon * stiff->epsilon));

  if (stiff->both)
    return 2 * a * b * (1 / cosh (a) - cos (b)) + (a * a - b * b) * tanh (a) * sin (b);
  return a * sin (b) - b * tanh (a) * cos (b);
}

static double
exact_mode (Stiff *stiff, int k)
{
  gsl_function f = { frequency_equation, stiff };
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc (gsl_root_fsolver_brent);

  gsl_root_fsolver_set (solver, &f, k * G_PI * 0.9999, k * G_PI * 1.05);
  for (int i = 0; i < 100; i++)
    gsl_root_fsolver_iterate (solver);
  const double b = gsl_root_fsolver_root (solver);

  gsl_root_fsolver_free (solver);
  return b * sqrt (1 + stiff->epsilon * stiff->epsilon * b * b) / G_PI;
}

/* Whichever way a string's ends are held, its first twelve modes have B = π² EI/(T L²), as Fletcher has it: clamping
 * raises them all by one factor. f_k²/k² as a straight line of k². */
static void
test_ends (void)
{
  static const double epsilons[] = { 0.0013, 0.0019, 0.0032 }; /* steel; nylon, from thin to thick */

  for (gsize i = 0; i < G_N_ELEMENTS (epsilons); i++)
    for (int both = 0; both < 2; both++)
      {
        Stiff stiff = { epsilons[i], both };
        double squares[12], by[12], f_0, slope, cov[3], left;

        for (int k = 1; k <= 12; k++)
          {
            squares[k - 1] = k * k;
            by[k - 1] = pow (exact_mode (&stiff, k) / k, 2);
          }
        gsl_fit_linear (squares, 1, by, 1, 12, &f_0, &slope, &cov[0], &cov[1], &cov[2], &left);
        const double b = slope / f_0, hinged = pow (G_PI * epsilons[i], 2);

        g_test_message ("ε %g, %s: B %.4g, %.2f %% off", epsilons[i], both ? "both ends" : "one end", b,
                        100 * (b / hinged - 1));
        assert_near (b / hinged, 1, 5e-3);
      }
}

/* ---- stretching ---- */

/* Anderson & Beausoleil, JASA 156, 683 (2024), written anew: the four terms one by one, as the paper has them. The
 * finger presses @finger mm behind the fret, no farther than the fret before, down the string's slope. */
static double
paper_cents (double nut, double crest, double x_s, double scale, int n, double kappa, double epsilon0, double finger)
{
  const double x = scale - scale / pow (2, n / 12.0), last = scale - scale / pow (2, (n - 1) / 12.0),
               down = crest / (x_s - x), back = fmin (finger, x - last),
               open = sqrt (x_s * x_s + (crest - nut) * (crest - nut)),
               front = sqrt ((x_s - x) * (x_s - x) + crest * crest), pressed = back * sqrt (1 + down * down),
               behind = pressed + sqrt (pow (x - back, 2) + pow (nut + back * down, 2)),
               q = (front + behind - open) / open, epsilon = epsilon0 * open / front / sqrt (1 + kappa * q),
               half = 1 + G_PI * G_PI / 2;
  const double length = log2 (open / front) - n / 12.0, mass = log2 (1 + q) / 2, tension = log2 (1 + kappa * q) / 2,
               stiffness =
                   log2 ((1 + epsilon + half * epsilon * epsilon) / (1 + epsilon0 + half * epsilon0 * epsilon0));

  return 1200 * (length + mass + tension + stiffness);
}

/* The strings of the paper's table of constants (published): normal tension, 650 mm. */
static const struct
{
  const char *note;
  double tension, kappa, epsilon0, setback;
} nylon[] = { { "E4", 68.6, 48.2, 0.00190, 1.48 }, { "B3", 52.0, 48.7, 0.00220, 1.69 },
              { "G3", 54.2, 58.6, 0.00301, 2.33 }, { "D3", 70.0, 46.0, 0.00192, 1.48 },
              { "A2", 67.3, 48.7, 0.00239, 1.82 }, { "E2", 62.8, 58.2, 0.00321, 2.46 } };

static void
make_nylon (Made *m, gsize row, double setback)
{
  SlString *string = &m->profile->strings[0];
  const double f = sl_note_frequency (nylon[row].note), speed = 2 * f * 0.65;

  g_free (string->note);
  string->note = g_strdup (nylon[row].note);
  string->core = SL_CORE_NYLON;
  string->unit_mass = sl_number (nylon[row].tension / (speed * speed) * 1000);
  make (m, setback);
}

static void
test_nylon (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (nylon); i++)
    for (int compensated = 0; compensated < 2; compensated++)
      {
        g_auto (Made) m = { made_profile (0.7) };
        g_auto (SlReadingSet) set = test_set ();
        const double truth = compensated ? nylon[i].setback : 0;
        SlHeardBending bending;
        SlHeardStretch stretch;

        make_nylon (&m, i, 0); /* a crest nobody read */
        const double b = pow (G_PI * nylon[i].epsilon0, 2), t = sl_tension (&m.in.strings[0], sl_open_length (&m.s)),
                     ei = pow (nylon[i].epsilon0 * 0.65, 2) * t, ea = nylon[i].kappa * t;

        for (int n = 1; n <= 12; n++)
          add_heard (&set, 1, n, paper_cents (1, 5, 650 + truth, 650, n, nylon[i].kappa, nylon[i].epsilon0, 0), 0.06);
        g_assert_true (sl_heard_bending (&m.s, b, 0.02 * b, NAN, &bending));
        assert_near (bending.ei_nm2, ei, 2e-4 * ei);
        sl_heard_stretch (&m.s, &set, &bending, &stretch);
        g_test_message ("%s, setback %.2f: κ %.2f ± %.2f (%.1f), EA %.0f ± %.0f (%.0f), setback %.3f ± %.3f, ρ %.2f",
                        nylon[i].note, truth, stretch.kappa, 2 * stretch.kappa_u, nylon[i].kappa, stretch.ea_n,
                        2 * stretch.ea_u, ea, stretch.setback, 2 * stretch.setback_u, stretch.correlation);
        g_assert_cmpint (stretch.word, ==, SL_STRETCH_TOLD);
        g_assert_cmpint (stretch.n_frets, ==, 12);
        g_assert_cmpfloat (fabs (stretch.kappa - nylon[i].kappa), <, 2 * stretch.kappa_u);
        g_assert_cmpfloat (fabs (stretch.ea_n - ea), <, 2 * stretch.ea_u);
        g_assert_cmpfloat (fabs (stretch.setback - truth), <, 2 * stretch.setback_u);
        assert_near (stretch.kappa, nylon[i].kappa, 1e-3 * nylon[i].kappa);
        g_assert_cmpfloat (stretch.kappa_u, <, 0.05 * nylon[i].kappa);
        g_assert_cmpfloat (stretch.setback_u, <, 0.3);
      }
}

/* What is told of @rounds strings whose heights, setback, finger and EI are as uncertain as is believed, their readings
 * by
 * @u: told in @least of a hundred, U of κ, and of the setback found with it, holding the truth in 95 % ± @by of them.
 */
static void
assert_covers (int rounds, double u, double scatter, double least, double by)
{
  g_autoptr (GRand) rand = test_rand ();
  int told = 0, kappas = 0, setbacks = 0;

  for (int i = 0; i < rounds; i++)
    {
      const gsize row = (gsize) g_rand_int_range (rand, 0, G_N_ELEMENTS (nylon));
      g_auto (Made) m = { made_profile (0.7) };
      g_auto (SlReadingSet) set = test_set ();
      SlHeardBending bending;
      SlHeardStretch stretch;

      m.profile->player.finger_distance = sl_number (10);
      make_nylon (&m, row, 0);
      m.s.cov[SL_P_NUT][SL_P_NUT] = 0.015 * 0.015;
      m.s.cov[SL_P_CREST][SL_P_CREST] = 0.06 * 0.06;
      const double setback = 2 * test_normal (rand), nut = 1 + 0.015 * test_normal (rand),
                   crest = 5 + 0.06 * test_normal (rand), finger = 10 * exp (0.3 * test_normal (rand)),
                   b = pow (G_PI * nylon[row].epsilon0, 2);

      for (int n = 1; n <= 12; n++)
        add_heard (&set, 1, n,
                   paper_cents (nut, crest, 650 + setback, 650, n, nylon[row].kappa, nylon[row].epsilon0, finger) +
                       scatter * test_normal (rand),
                   2 * u);
      g_assert_true (sl_heard_bending (&m.s, b, 0, NAN, &bending));
      bending.ei_u = 0.03 * bending.ei_nm2;
      bending.ei_nm2 *= exp (0.03 * test_normal (rand));
      sl_heard_stretch (&m.s, &set, &bending, &stretch);
      told += stretch.word == SL_STRETCH_TOLD;
      kappas += fabs (stretch.kappa - nylon[row].kappa) <= 2 * stretch.kappa_u;
      setbacks += fabs (stretch.setback - setback) <= 2 * stretch.setback_u;
    }
  g_test_message ("u %.3f, scatter %.3f: told %.1f %%, within U: κ %.1f %%, setback %.1f %%", u, scatter,
                  100.0 * told / rounds, 100.0 * kappas / rounds, 100.0 * setbacks / rounds);
  g_assert_cmpfloat (100.0 * told / rounds, >=, least);
  assert_near (100.0 * kappas / rounds, 95.4, by);
  assert_near (100.0 * setbacks / rounds, 95.4, by);
}

/* Readings as uncertain as they say. */
static void
test_coverage (void)
{
  assert_covers (2000, 0.03, 0.03, 99, 2);
}

/* Heard to 0.002 cents, and no finger presses twice alike. */
static void
test_pressed_unevenly (void)
{
  assert_covers (500, 0.002, 0.05, 95, 5);
}

/* Few frets, frets that can't tell it from the setback, and notes that fit nothing. */
static void
test_not_told (void)
{
  g_auto (Made) m = { made_profile (0.7) };
  g_auto (SlReadingSet) high = test_set (), wild = test_set ();
  SlHeardStretch stretch;

  make_nylon (&m, 0, 0);
  for (int n = 12; n <= 15; n++)
    {
      sl_heard_stretch (&m.s, &high, NULL, &stretch);
      g_assert_cmpint (stretch.n_frets, ==, n - 12);
      if (n - 12 < 3)
        g_assert_true (stretch.word == SL_STRETCH_TOO_FEW && isnan (stretch.ea_n));
      add_heard (&high, 1, n, paper_cents (1, 5, 650, 650, n, 48.2, 0.0019, 0), 0.06);
    }
  add_heard (&high, 1, 1, 90, 0.06);
  g_array_index (high.readings, SlReading, 4).use = SL_USE_NEVER;
  sl_heard_stretch (&m.s, &high, NULL, &stretch);
  g_assert_cmpint (stretch.n_frets, ==, 4);
  g_test_message ("frets 12 to 15: κ %.1f ± %.1f, setback %.2f ± %.2f, ρ %.3f", stretch.kappa, 2 * stretch.kappa_u,
                  stretch.setback, 2 * stretch.setback_u, stretch.correlation);
  g_assert_cmpint (stretch.word, ==, SL_STRETCH_NOT_TOLD);
  g_assert_true (stretch.kappa_u > 0.15 * stretch.kappa && stretch.correlation > 0.9); /* and it says so */
  /* one at the other end tells them apart */
  g_array_index (high.readings, SlReading, 4) = (SlReading){ SL_READ_PITCH, 1, 1, .uncertainty = sl_number (0.06) };
  g_array_index (high.readings, SlReading, 4).value = sl_number (paper_cents (1, 5, 650, 650, 1, 48.2, 0.0019, 0));
  m.state.setback_read = TRUE;
  sl_heard_stretch (&m.s, &high, NULL, &stretch);
  g_assert_cmpint (stretch.word, ==, SL_STRETCH_TOLD);
  g_assert_cmpfloat (fabs (stretch.kappa - 48.2), <, 2 * stretch.kappa_u);
  /* cents that no such string has: scatter counts */
  for (int n = 1; n <= 12; n++)
    add_heard (&wild, 1, n, n % 2 ? 6 : -6, 0.06);
  sl_heard_stretch (&m.s, &wild, NULL, &stretch);
  g_assert_cmpint (stretch.word, ==, SL_STRETCH_NOT_TOLD);
}

/* ---- what is kept with a string is the string ---- */

/* A crest 0.8 mm lower, planned: by how much the 12th fret then sounds flatter follows the stiffness that the document
 * gives, worked from the paper's equation. */
static void
test_cut_by_own_stiffness (void)
{
  const double kappas[] = { NAN, 48.2, 96.4 };
  double moved[G_N_ELEMENTS (kappas)];

  for (gsize i = 0; i < G_N_ELEMENTS (kappas); i++)
    {
      g_auto (Made) m = { made_profile (0.7) };
      SlOperation shape = sl_operation_init (SL_OP_SHAPE_CREST);
      SlState after;
      SlStringState cut;

      make_nylon (&m, 0, 0);
      const double t = sl_tension (&m.in.strings[0], 650), l = sl_open_length (&m.s), ei = pow (0.0019 * 0.65, 2) * t;

      if (i > 0)
        {
          m.profile->strings[0].axial_stiffness = sl_number (kappas[i] * t);
          m.profile->strings[0].bending_stiffness = sl_number (ei * 1e6);
          make (&m, 0);
        }
      shape.string = 1;
      shape.amount = sl_number (0.8);
      after = m.state;
      sl_operation_apply (&m.in, &shape, &after);
      sl_state_string (&m.in, &after, 1, &cut);
      moved[i] = sl_pitch_error (&cut, 12, NULL) - sl_pitch_error (&m.s, 12, NULL);
      if (i == 0)
        continue;
      const double k = kappas[i] * pow (650 / l, 2), e = 0.0019 * pow (650 / l, 2);
      assert_near (moved[i], paper_cents (1, 4.2, 650, 650, 12, k, e, 0) - paper_cents (1, 5, 650, 650, 12, k, e, 0),
                   2e-3);
    }
  g_test_message ("0.8 mm off the crest: %.3f cents by core and modulus, %.3f with κ 48.2, %.3f with 96.4", moved[0],
                  moved[1], moved[2]);
  g_assert_cmpfloat (moved[2], <, 1.5 * moved[1]);
  g_assert_cmpfloat (fabs (moved[1] - moved[0]), >, 0.1);
}

/* ---- a note that dies early ---- */

static void
assert_points (const Made *m, const double *t60, int fret)
{
  SlEarlyFret early = { 0 };

  g_assert_cmpint (sl_find_early_fret (&m->s, t60, &early), ==, fret > 0);
  g_assert_cmpint (early.fret, ==, fret);
}

static void
test_early (void)
{
  g_auto (Made) m = { made_profile (0.3) };
  const double heard[SL_MAX_FRETS + 1] = { [5] = 2.2, 2.1, 0.6, 2.0, [9] = NAN };
  SlEarlyFret early;
  SlClearance there;

  make (&m, 0);
  /* 4, 5, 6, 8, 9, 10 around 7: median 2.15 */
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 6, 3.0, 2.8, 2.6, 2.4, 2.3, 2.2, 0.6, 2.1, 2.0, 1.9 }, 7);
  /* less than half of the median 2.15 only by more than U = 2 · 0.1 · √(t² + (2.4/2)²): 0.29 at 0.8, 0.28 at 0.77 */
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 6, 3.0, 2.8, 2.6, 2.4, 2.3, 2.2, 0.8, 2.1, 2.0, 1.9 }, 0);
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 6, 3.0, 2.8, 2.6, 2.4, 2.3, 2.2, 0.77, 2.1, 2.0, 1.9 }, 7);
  /* one neighbour is too few, and the open string, which sounds longer than any, is none */
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 8, 0.6, 2.2 }, 0);
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 8, 0.6, 2.2, 2.1 }, 1);
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ [0] = 0.2, 2.2, 2.1, 2.0 }, 0);
  /* nor is what lies farther away: a board whose notes get shorter along it */
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 0, 8, 6, 5, 4, 3.2, 2.6, 2.1, 1.7, 1.4, 1.1, 0.9, 0.7 }, 0);
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 0, 0, 0, 0, 0, 0.5, [9] = 2.2, 2.1, 2.0 }, 0);
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 0, 0, 0, 0, 0, 0.5, [7] = 2.3, 2.2 }, 5);
  /* of two the worse */
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 0, 3.0, 1.0, 2.8, 2.7, 2.6, 2.5, 2.4, 2.3, 0.5, 2.2, 2.1, 2.0 }, 9);
  /* the closest fret ahead is that of the gaps */
  g_assert_true (sl_find_early_fret (&m.s, heard, &early));
  g_assert_cmpint (early.fret, ==, 7);
  g_assert_cmpfloat (early.t60, ==, 0.6);
  assert_near (early.neighbours, 2.1, 1e-12);
  g_assert_cmpint (early.closest, >, 7);
  for (int n = 8; n <= m.in.frets; n++)
    {
      sl_clearance (&m.s, sl_tension (&m.in.strings[0], sl_open_length (&m.s)), 7, n, &there);
      g_assert_cmpfloat (early.margin, <=, there.margin + 1e-12);
      if (n == early.closest)
        g_assert_true (early.margin == there.margin && early.margin_u == there.margin_u);
    }
  assert_points (&m, (double[SL_MAX_FRETS + 1]){ 0 }, 0);
}

int
main (int argc, char *argv[])
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/heard/own-u", test_own_u);
  g_test_add_func ("/heard/any-document", test_any_document);
  g_test_add_func ("/heard/young", test_young);
  g_test_add_func ("/heard/bending", test_bending);
  g_test_add_func ("/heard/ends", test_ends);
  g_test_add_func ("/heard/nylon", test_nylon);
  g_test_add_func ("/heard/coverage", test_coverage);
  g_test_add_func ("/heard/pressed-unevenly", test_pressed_unevenly);
  g_test_add_func ("/heard/not-told", test_not_told);
  g_test_add_func ("/heard/cut-by-own-stiffness", test_cut_by_own_stiffness);
  g_test_add_func ("/heard/early", test_early);
  return g_test_run ();
}
