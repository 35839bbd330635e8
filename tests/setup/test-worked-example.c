/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The worked example: a document read, fitted, worked on and computed, against figures that were computed apart from
 * this project from the model's equations (docs/model.md). Every figure to its last printed digit. */
#include "file/document.h"
#include "setup/physics/clearance.h"
#include "setup/physics/figures.h"
#include "support.h"

#define STRINGS 6
#define DIGITS_4 0.51e-4 /* half of the last of four printed decimals, and a hair */
#define DIGITS_3 0.51e-3
#define FROM_BREAK_N 2e-3 /* half of the last decimal of a break in degrees, of a hundred newtons and more */

static SlProfile *
example (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  g_assert_nonnull (profile);
  return profile;
}

typedef struct
{
  double relief, nut_height, crest_height, action_1, action_7, action_12, action_20, need, saddle_break,
      saddle_resultant;
} Heights;

typedef struct
{
  double tension, pitch_1, pitch_5, pitch_12, setback_needed, least_margin;
  int held, fret;
  double lowest_clean_action, gap_5_6, swing_5_6;
} Sounds;

static const Heights measured_heights[STRINGS] = {
  { 0.2539, 0.2207, 4.3771, 0.4835, 1.8589, 2.4000, 3.1664, 1.4031, 31.983, 55.105 },
  { 0.2661, 0.2487, 4.6103, 0.5228, 1.9658, 2.5333, 3.3322, 1.4310, 31.718, 54.446 },
  { 0.2782, 0.2767, 4.8439, 0.5621, 2.0727, 2.6667, 3.4981, 1.4589, 31.488, 69.877 },
  { 0.2904, 0.3047, 5.0777, 0.6014, 2.1797, 2.8000, 3.6639, 1.4869, 31.289, 69.129 },
  { 0.3025, 0.3307, 5.3476, 0.6407, 2.2970, 2.9500, 3.8533, 1.5485, 31.118, 66.517 },
  { 0.3147, 0.3566, 5.6178, 0.6800, 2.4143, 3.1000, 4.0427, 1.6101, 30.967, 59.314 },
};
static const Sounds measured_sounds[STRINGS] = {
  { 100.009, 0.906, 1.672, 2.484, 2.298, 0.1205, 7, 8, 1.4693, 0.2633, 0.1370 },
  { 99.621, 2.000, 3.976, 6.849, 4.370, 0.1327, 7, 8, 1.5038, 0.2773, 0.1376 },
  { 128.762, 0.409, -0.317, -2.676, 1.466, 0.1657, 13, 14, 1.2978, 0.2912, 0.1065 },
  { 128.175, 1.060, 0.821, -0.804, 2.669, 0.1756, 13, 14, 1.3350, 0.3051, 0.1070 },
  { 123.993, 2.133, 2.796, 2.701, 4.449, 0.1859, 13, 14, 1.3931, 0.3210, 0.1107 },
  { 111.090, 3.581, 5.387, 7.262, 6.577, 0.1916, 13, 14, 1.5163, 0.3369, 0.1236 },
};
static const Heights planned_heights[STRINGS] = {
  { 0.1339, 0.1606, 3.4467, 0.4046, 1.4434, 1.9122, 2.7271, 0.4254, 28.603, 49.408 },
  { 0.1461, 0.1886, 3.6392, 0.4413, 1.5351, 2.0226, 2.8615, 0.4072, 28.304, 48.881 },
  { 0.1582, 0.2166, 3.8320, 0.4787, 1.6307, 2.1390, 3.0041, 0.3996, 28.046, 62.399 },
  { 0.1704, 0.2446, 4.0251, 0.5158, 1.7244, 2.2525, 3.1427, 0.3867, 27.820, 61.625 },
  { 0.1825, 0.2705, 4.2542, 0.5529, 1.8285, 2.3826, 3.3049, 0.4075, 27.626, 59.206 },
  { 0.1947, 0.2164, 4.4837, 0.5144, 1.8791, 2.4725, 3.4416, 0.3473, 27.461, 52.735 },
};
static const Sounds planned_sounds[STRINGS] = {
  { 100.008, 0.612, 0.808, 1.121, 1.807, 0.0619, 1, 2, 1.5051, 0.2094, 0.1370 },
  { 99.965, 1.228, 1.265, 1.110, 3.421, 0.0765, 1, 2, 1.4982, 0.2207, 0.1373 },
  { 128.759, 0.214, -0.864, -3.537, 1.149, 0.1261, 6, 7, 1.1526, 0.2329, 0.1065 },
  { 128.172, 0.696, -0.191, -2.426, 2.078, 0.1364, 7, 8, 1.1798, 0.2446, 0.1071 },
  { 123.990, 1.508, 1.076, -0.089, 3.448, 0.1455, 8, 9, 1.2365, 0.2583, 0.1107 },
  { 111.088, 1.914, 2.423, 2.708, 4.971, 0.1471, 7, 8, 1.3235, 0.2720, 0.1236 },
};

static void
check_state (const SlInstrument *in, const SlState *state, const SlFigures *f, const Heights *heights,
             const Sounds *sounds)
{
  for (int i = 0; i < STRINGS; i++)
    {
      const Heights *h = &heights[i];
      const Sounds *n = &sounds[i];
      SlStringState string;
      SlClearance c;

      assert_near (f->relief[i].value, h->relief, DIGITS_4);
      assert_near (f->nut_height[i].value, h->nut_height, DIGITS_4);
      assert_near (f->crest_height[i].value, h->crest_height, DIGITS_4);
      assert_near (f->first_gap[i].value, h->action_1, DIGITS_4);
      assert_near (f->action[i][1].value, h->action_1, DIGITS_4);
      assert_near (f->action[i][7].value, h->action_7, DIGITS_4);
      assert_near (f->action[i][12].value, h->action_12, DIGITS_4);
      assert_near (f->action[i][20].value, h->action_20, DIGITS_4);
      assert_near (f->need[i].value, h->need, DIGITS_4);
      assert_near (f->saddle_break[i].value, h->saddle_break, DIGITS_3);
      assert_near (f->saddle_resultant[i].value, h->saddle_resultant, DIGITS_3);
      /* down: T (sin a + sin f), f by the two heights and a by the break of the example */
      const double before = atan ((h->crest_height - h->nut_height) / (in->scale + state->setback[i])),
                   behind = h->saddle_break * G_PI / 180 - before;
      assert_near (f->saddle_force[i].value, n->tension * (sin (behind) + sin (before)), FROM_BREAK_N);
      assert_near (f->tension[i].value, n->tension, DIGITS_3);
      assert_near (f->pitch_error[i][1].value, n->pitch_1, DIGITS_3);
      assert_near (f->pitch_error[i][5].value, n->pitch_5, DIGITS_3);
      assert_near (f->pitch_error[i][12].value, n->pitch_12, DIGITS_3);
      assert_near (f->setback_needed[i].value, n->setback_needed, DIGITS_3);
      assert_near (f->least_margin[i].value, n->least_margin, DIGITS_4);
      g_assert_cmpint (f->least_margin_held[i], ==, n->held);
      g_assert_cmpint (f->least_margin_fret[i], ==, n->fret);
      assert_near (f->lowest_clean_action[i].value, n->lowest_clean_action, DIGITS_4);
      sl_state_string (in, state, i + 1, &string);
      sl_clearance (&string, f->tension[i].value, 5, 6, &c);
      assert_near (c.gap, n->gap_5_6, DIGITS_4);
      assert_near (c.swing, n->swing_5_6, DIGITS_4);
    }
}

static SlAnalysis *
analyse (const SlProfile *profile)
{
  SlAnalysis *a = g_new0 (SlAnalysis, 1);

  sl_analyse_last (profile, &SL_SHOP_DEFAULT, a);
  return a;
}

static void
analysis_free (SlAnalysis *a)
{
  sl_analysis_clear (a);
  g_free (a);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlAnalysis, analysis_free)

static void
test_measured (void)
{
  g_autoptr (SlProfile) profile = example ();
  g_autoptr (SlAnalysis) a = analyse (profile);
  const SlFigures *f = &a->measured_figures;
  static const double u_action[] = { 0.0816, 0.5037, 0.5037, 0.0816, 0.5033, 0.0816 };
  static const double u_need[] = { 0.1637, 1.0104, 1.0113, 0.1641, 1.0122, 0.1643 };

  check_state (&a->instrument, &a->measured, f, measured_heights, measured_sounds);
  assert_near (f->nut_break[0].value, 19.187, DIGITS_3);
  assert_near (f->nut_break[5].value, 19.102, DIGITS_3);
  for (int i = 1; i < 5; i++)
    g_assert_true (isnan (f->nut_break[i].value));
  for (int i = 0; i < STRINGS; i++)
    {
      assert_near (2 * f->action[i][12].u, u_action[i], DIGITS_4);
      assert_near (2 * f->need[i].u, u_need[i], DIGITS_4);
    }
  assert_near (f->base_cut_bass.value, 1.5719, DIGITS_4);
  assert_near (f->base_cut_treble.value, 1.3646, DIGITS_4);
  assert_near (f->crest_move[1].value, 2.0236, DIGITS_4);
  g_assert_true (isnan (f->crest_move[0].value));
  assert_near (f->best_relief.value, 0.247, 0.51e-3);
}

static void
test_planned (void)
{
  g_autoptr (SlProfile) profile = example ();
  g_autoptr (SlAnalysis) a = analyse (profile);
  const SlFigures *f = &a->planned_figures;

  g_assert_true (a->has_plan);
  check_state (&a->instrument, &a->planned, f, planned_heights, planned_sounds);
  assert_near (f->nut_break[0].value, 19.255, DIGITS_3);
  assert_near (f->nut_break[5].value, 19.180, DIGITS_3);
  assert_near (f->base_cut_bass.value, 0.3452, DIGITS_4);
  assert_near (f->base_cut_treble.value, 0.4234, DIGITS_4);
  /* work shifts the unknowns by known amounts: what is uncertain stays so, but where the crest was moved its leverage
   * is another */
  for (int i = 0; i < STRINGS; i++)
    {
      assert_near (f->action[i][12].u, a->measured_figures.action[i][12].u, i == 1 ? 1e-3 : 1e-15);
      g_assert_true (isnan (f->crest_move[i].value));
    }
}

static void
test_suspect (void)
{
  g_autoptr (SlProfile) profile = example ();
  g_autoptr (SlAnalysis) a = analyse (profile);
  int suspects = 0;

  g_assert_cmpint (a->fit.n_suspects, ==, 1);
  for (guint i = 0; i < a->fit.n_readings; i++)
    {
      const SlReading *r = &g_array_index (a->set->readings, SlReading, i);

      if (!a->fit.readings[i].suspect)
        continue;
      suspects++;
      g_assert_cmpint (r->kind, ==, SL_READ_ACTION);
      g_assert_cmpint (r->string, ==, 6);
      g_assert_cmpint (r->fret, ==, 5);
      assert_near (a->fit.readings[i].normalised, 20.24, 0.0051);
      g_assert_false (a->fit.readings[i].used);
    }
  g_assert_cmpint (suspects, ==, 1);
}

static void
test_basis (void)
{
  g_autoptr (SlProfile) profile = example ();
  g_autoptr (SlAnalysis) a = analyse (profile);
  const SlFigures *f = &a->measured_figures;

  g_assert_cmpint (f->action[0][12].basis, ==, SL_BASIS_MEASURED);
  g_assert_cmpint (f->action[1][12].basis, ==, SL_BASIS_ASSUMED);
  g_assert_cmpint (f->action[0][7].basis, ==, SL_BASIS_COMPUTED);
  /* the suspect is not what the figure rests on */
  g_assert_cmpint (f->action[5][5].basis, ==, SL_BASIS_COMPUTED);
  g_assert_cmpint (f->relief[0].basis, ==, SL_BASIS_MEASURED);
  g_assert_cmpint (f->relief[2].basis, ==, SL_BASIS_COMPUTED);
  g_assert_cmpint (f->tongue.basis, ==, SL_BASIS_MEASURED);
  g_assert_cmpint (f->first_gap[5].basis, ==, SL_BASIS_MEASURED);
  g_assert_cmpint (f->first_gap[2].basis, ==, SL_BASIS_ASSUMED);
  g_assert_cmpint (a->planned_figures.action[0][12].basis, ==, SL_BASIS_COMPUTED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/worked-example/measured", test_measured);
  g_test_add_func ("/worked-example/planned", test_planned);
  g_test_add_func ("/worked-example/suspect", test_suspect);
  g_test_add_func ("/worked-example/basis", test_basis);
  return g_test_run ();
}
