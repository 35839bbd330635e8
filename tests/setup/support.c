/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include <string.h>

#define DEFAULT_SEED 20260302

GRand *
test_rand (void)
{
  const char *given = g_getenv ("SL_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : DEFAULT_SEED;

  g_test_message ("seed %u", seed);
  return g_rand_new_with_seed (seed);
}

double
test_between (GRand *rand, double least, double most)
{
  return g_rand_double_range (rand, least, most);
}

double
test_normal (GRand *rand)
{
  /* Box and Muller */
  double radius = sqrt (-2 * log (1 - g_rand_double (rand)));

  return radius * cos (2 * G_PI * g_rand_double (rand));
}

double
test_rectangular (GRand *rand, double u)
{
  return sqrt (3) * u * test_between (rand, -1, 1);
}

/* ---- instruments ---- */

static void
fill_strings (GRand *rand, SlProfile *profile)
{
  const double length_m = profile->neck.scale_length.v / 1000;

  for (int i = 0; i < profile->n_strings; i++)
    {
      SlString *string = &profile->strings[i];
      double hertz = 330 / exp2 (i * 0.4);
      double tension = test_between (rand, 60, 120);

      *string = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT, .bending_stiffness = SL_NUMBER_ABSENT };
      string->frequency = sl_number (hertz);
      string->build = SL_BUILD_PLAIN;
      string->core = SL_CORE_STEEL;
      string->core_diameter = sl_number (test_between (rand, 0.25, 0.45));
      string->wrap_diameter = SL_NUMBER_ABSENT;
      string->unit_mass = sl_number (1000 * tension / pow (2 * length_m * hertz, 2));
    }
}

static void
fill_ends (GRand *rand, SlProfile *profile)
{
  SlHeadstock *head = &profile->headstock;
  SlBridge *bridge = &profile->bridge;

  head->tilt = sl_number (test_between (rand, 0, 17));
  head->string_rise = sl_number (test_between (rand, 3, 9));
  for (int i = 0; i < profile->n_strings; i++)
    {
      head->posts[i] = (SlPost){ i + 1, sl_number (test_between (rand, 40, 150)),
                                 sl_number (test_between (rand, -15, 15)), sl_number (test_between (rand, 1, 5)) };
      bridge->anchors[i] =
          (SlAnchor){ i + 1, sl_number (test_between (rand, 5, 15)), sl_number (test_between (rand, 0, 2)) };
    }
  head->n_posts = bridge->n_anchors = profile->n_strings;
  profile->saddle.lean = sl_number (test_between (rand, -5, 5));
  profile->saddle.thickness = sl_number (test_between (rand, 2, 4));
}

SlProfile *
test_profile (GRand *rand, int n_strings, int frets, int joint)
{
  SlProfile *profile = sl_profile_new ();

  profile->neck.scale_length = sl_number (test_between (rand, 560, 880));
  profile->neck.frets = frets;
  profile->neck.joint_fret = joint;
  profile->n_strings = n_strings;
  fill_strings (rand, profile);
  fill_ends (rand, profile);
  if (g_rand_boolean (rand)) /* slanting frets */
    profile->neck.scale_length_bass = sl_number (profile->neck.scale_length.v * test_between (rand, 1, 1.1));
  if (g_rand_boolean (rand))
    profile->courses = (n_strings + 1) / 2;
  profile->player.pluck_force = sl_number (test_between (rand, 0.8, 2));
  profile->player.pluck_distance = sl_number (test_between (rand, 60, 180));
  profile->player.pluck_direction = (SlPluckDirection) g_rand_int_range (rand, SL_PLUCK_TOWARD, SL_PLUCK_EITHER + 1);
  profile->player.stiff_ends = g_rand_boolean (rand) ? SL_STIFF_ENDS_ONE : SL_STIFF_ENDS_BOTH;
  return profile;
}

SlProfile *
test_any_profile (GRand *rand)
{
  int frets = g_rand_int_range (rand, SL_MIN_FRETS, SL_MAX_FRETS + 1);
  int joint = g_rand_int_range (rand, 5, frets + 1);

  return test_profile (rand, g_rand_int_range (rand, 1, SL_MAX_STRINGS + 1), frets, joint);
}

SlProfile *
test_plain_profile (void)
{
  static const char *const notes[] = { "E4", "B3", "G3", "D3", "A2", "E2" };
  static const double grams_per_m[] = { 0.57, 1.02, 2.1, 3.6, 6.3, 10.2 };
  SlProfile *profile = sl_profile_new ();

  profile->neck.scale_length = sl_number (632);
  profile->neck.frets = 20;
  profile->neck.joint_fret = 14;
  profile->n_strings = 6;
  for (int i = 0; i < 6; i++)
    {
      profile->strings[i] = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT, .bending_stiffness = SL_NUMBER_ABSENT };
      profile->strings[i].note = g_strdup (notes[i]);
      profile->strings[i].frequency = profile->strings[i].wrap_diameter = SL_NUMBER_ABSENT;
      profile->strings[i].core = SL_CORE_STEEL;
      profile->strings[i].core_diameter = sl_number (0.3);
      profile->strings[i].unit_mass = sl_number (grams_per_m[i]);
    }
  return profile;
}

/* ---- states ---- */

void
test_straight_state (const SlInstrument *instrument, SlState *state)
{
  memset (state, 0, sizeof *state);
  state->n_strings = instrument->n_strings;
  state->n_unknowns = SL_NUT_HEIGHT + 2 * instrument->n_strings;
}

void
test_set_string (SlState *state, int string, double nut_mm, double crest_mm)
{
  state->u[SL_NUT_HEIGHT + string - 1] = nut_mm;
  state->u[SL_NUT_HEIGHT + state->n_strings + string - 1] = crest_mm;
}

/* Nut and crest of a string such that its open gaps at frets 1 and 12 are these: two straight-line equations. */
static void
string_with_gaps (const SlInstrument *in, SlState *state, int string, double first, double action)
{
  const double x_s = in->scale[string - 1] + state->setback[string - 1];
  double z_1 = first + test_ruler_crown (in, state, string, 1),
         z_12 = action + test_ruler_crown (in, state, string, 12);
  double slope = (z_12 - z_1) / (in->x[string - 1][12] - in->x[string - 1][1]);

  test_set_string (state, string, z_1 - slope * in->x[string - 1][1], z_1 + slope * (x_s - in->x[string - 1][1]));
}

void
test_state (GRand *rand, const SlInstrument *instrument, SlState *state)
{
  test_straight_state (instrument, state);
  state->u[SL_RELIEF_TREBLE] = test_between (rand, 0.05, 0.35);
  state->u[SL_RELIEF_BASS] = instrument->n_strings > 1 ? test_between (rand, 0.05, 0.35) : 0;
  state->u[SL_FALL_AWAY] = instrument->frets > instrument->joint ? test_between (rand, -0.1, 0.3) : 0;
  for (int n = 1; n <= instrument->frets; n++)
    state->crown[n] = -test_between (rand, 0, 0.05);
  state->crowns_read = state->setback_read = state->exposure_read = TRUE;
  for (int s = 1; s <= instrument->n_strings; s++)
    {
      state->setback[s - 1] = test_between (rand, 0, 6);
      state->exposure[s - 1] = test_between (rand, 2, 7);
      string_with_gaps (instrument, state, s, instrument->target_first_gap[s - 1] + test_between (rand, -0.25, 0.35),
                        instrument->target_action[s - 1] + test_between (rand, -0.8, 1.5));
    }
}

/* ---- the ruler ---- */

typedef struct
{
  double x, z;
} Point;

static double
line_at (Point a, Point b, double x)
{
  return a.z + (b.z - a.z) * (x - a.x) / (b.x - a.x);
}

double
test_ruler_crown (const SlInstrument *in, const SlState *state, int string, int n)
{
  const double x = in->x[string - 1][n], x1 = in->x[string - 1][1], xj = in->x[string - 1][in->joint];
  double share = in->n_strings > 1 ? (string - 1.0) / (in->n_strings - 1.0) : 0;
  double relief = state->u[SL_RELIEF_TREBLE] * (1 - share) + state->u[SL_RELIEF_BASS] * share;

  if (n > in->joint)
    return -state->u[SL_FALL_AWAY] * (x - xj) / (in->x[string - 1][in->frets] - xj) + state->crown[n];
  return -relief * 4 * (x - x1) * (xj - x) / ((xj - x1) * (xj - x1)) + state->crown[n];
}

static Point
crown_point (const SlInstrument *in, const SlState *state, int string, int n)
{
  return (Point){ in->x[string - 1][n], test_ruler_crown (in, state, string, n) };
}

/* Where the string lies or hangs over: in the mark it has worn. */
static Point
played_point (const SlInstrument *in, const SlState *state, int string, int n)
{
  return (Point){ in->x[string - 1][n], test_ruler_crown (in, state, string, n) - state->wear[string - 1][n] / 1000.0 };
}

static Point
nut_point (const SlState *state, int string)
{
  return (Point){ 0, state->u[SL_NUT_HEIGHT + string - 1] };
}

double
test_ruler_gap (const SlInstrument *in, const SlState *state, int string, int held, int n)
{
  Point near = held == 0 ? nut_point (state, string) : played_point (in, state, string, held);
  Point crest = { in->scale[string - 1] + state->setback[string - 1],
                  state->u[SL_NUT_HEIGHT + state->n_strings + string - 1] };

  return line_at (near, crest, in->x[string - 1][n]) - played_point (in, state, string, n).z;
}

/* A straightedge on the crowns of fret 1 and the joint. */
static double
straightedge_gap (const SlInstrument *in, const SlState *state, int string, int n)
{
  return line_at (crown_point (in, state, string, 1), crown_point (in, state, string, in->joint),
                  in->x[string - 1][n]) -
         test_ruler_crown (in, state, string, n);
}

double
test_ruler (const SlInstrument *in, const SlState *state, SlReadingKind kind, int string, int fret, SlHeld held)
{
  switch (kind)
    {
    case SL_READ_RELIEF: return straightedge_gap (in, state, string, fret);
    case SL_READ_TONGUE: return straightedge_gap (in, state, 1, in->frets);
    case SL_READ_FIRST_GAP:
      if (held != SL_HELD_3)
        return test_ruler_gap (in, state, string, 0, 1);
      return line_at (nut_point (state, string), played_point (in, state, string, 3), in->x[string - 1][1]) -
             played_point (in, state, string, 1).z;
    case SL_READ_ACTION: return test_ruler_gap (in, state, string, held == SL_HELD_1 ? 1 : 0, fret);
    case SL_READ_EXPOSURE: return state->exposure[string - 1];
    case SL_READ_SETBACK: return state->setback[string - 1];
    case SL_READ_CROWN_GAP: return -state->crown[fret];
    default: g_assert_not_reached ();
    }
}

/* ---- reading sets ---- */

SlReadingSet
test_set (void)
{
  SlReadingSet set = sl_reading_set_init ();

  set.taken = g_strdup ("2026-03-02T10:00:00Z");
  return set;
}

void
test_set_clear (SlReadingSet *set)
{
  g_free (set->id);
  g_free (set->taken);
  g_array_unref (set->tools);
  g_array_unref (set->readings);
}

SlReading *
test_add (SlReadingSet *set, SlReadingKind kind, int string, int fret, SlHeld held, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.string = string;
  reading.fret = fret;
  reading.held = held;
  reading.value = sl_number (value);
  g_array_append_val (set->readings, reading);
  return &g_array_index (set->readings, SlReading, set->readings->len - 1);
}

void
test_read (const SlInstrument *in, const SlState *state, SlReadingSet *set, SlReadingKind kind, int string, int fret,
           SlHeld held)
{
  test_add (set, kind, string, fret, held, test_ruler (in, state, kind, string, fret, held));
}

void
test_add_tool (SlReadingSet *set, SlToolKind measures, double resolution, double error_limit)
{
  SlTool tool = { measures, sl_number (resolution), sl_number (error_limit) };

  g_array_append_val (set->tools, tool);
}

void
test_read_known (const SlInstrument *in, const SlState *state, SlReadingSet *set)
{
  for (int s = 1; s <= in->n_strings; s++)
    {
      test_read (in, state, set, SL_READ_EXPOSURE, s, 0, SL_HELD_DEFAULT);
      test_read (in, state, set, SL_READ_SETBACK, s, 0, SL_HELD_DEFAULT);
    }
  for (int n = 1; n <= in->frets; n++)
    test_read (in, state, set, SL_READ_CROWN_GAP, 0, n, SL_HELD_DEFAULT);
}

void
test_read_all (GRand *rand, const SlInstrument *in, const SlState *state, SlReadingSet *set)
{
  int middle = in->joint / 2 + 1;

  test_read (in, state, set, SL_READ_RELIEF, 1, middle, SL_HELD_DEFAULT);
  if (in->n_strings > 1)
    test_read (in, state, set, SL_READ_RELIEF, in->n_strings, middle, SL_HELD_DEFAULT);
  if (in->frets > in->joint)
    test_read (in, state, set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT);
  for (int s = 1; s <= in->n_strings; s++)
    {
      static const SlHeld first[] = { SL_HELD_DEFAULT, SL_HELD_OPEN, SL_HELD_3 };
      static const SlHeld action[] = { SL_HELD_DEFAULT, SL_HELD_OPEN, SL_HELD_1 };

      test_read (in, state, set, SL_READ_FIRST_GAP, s, 1, first[g_rand_int_range (rand, 0, 3)]);
      test_read (in, state, set, SL_READ_ACTION, s, g_rand_int_range (rand, 7, in->frets + 1),
                 action[g_rand_int_range (rand, 0, 3)]);
    }
  test_read_known (in, state, set);
}

void
test_case_clear (TestCase *c)
{
  test_set_clear (&c->set);
  sl_fit_clear (&c->fit);
}

void
test_case_begin (TestCase *c, GRand *rand, const SlProfile *profile)
{
  sl_instrument_from_profile (profile, &c->in);
  test_state (rand, &c->in, &c->truth);
  c->set = test_set ();
}

const SlTuning *
test_tuning (const char *id)
{
  int n;
  const SlTuning *tunings = sl_tunings (&n);

  for (int i = 0; i < n; i++)
    if (g_str_equal (tunings[i].id, id))
      return &tunings[i];
  g_assert_not_reached ();
}

TestPitchTerms
test_pitch_terms (const SlPitchCase *c)
{
  SlPitchCase limp = *c, slack;
  TestPitchTerms t;

  limp.epsilon0 = 0;
  slack = limp;
  slack.kappa = 0;
  t.stiffness = sl_pitch_cents (c) - sl_pitch_cents (&limp);
  t.tension = sl_pitch_cents (&limp) - sl_pitch_cents (&slack);
  t.length = 1200 * log2 (hypot (c->crest_x - c->nut_x, c->crest_z - c->nut_z) /
                          hypot (c->crest_x - c->fret_x, c->crest_z - c->fret_z)) -
             100 * c->fret;
  t.mass = sl_pitch_cents (&slack) - t.length;
  return t;
}

SlAnalysis *
test_analysis (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
               const SlShop *shop)
{
  SlAnalysis *analysis = g_new0 (SlAnalysis, 1);

  analysis->instrument = analysis->planned_instrument = *instrument;
  analysis->shop = *shop;
  analysis->fit = *fit;
  analysis->set = set;
  analysis->plan = plan;
  analysis->measured = analysis->planned = fit->state;
  return analysis;
}

void
test_propose (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
              const SlShop *shop, SlProposal *out)
{
  g_autofree SlAnalysis *analysis = test_analysis (instrument, fit, set, plan, shop);

  sl_propose (analysis, out);
}
