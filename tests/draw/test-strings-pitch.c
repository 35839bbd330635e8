/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strings and pitch sheets: texts that neither lie on each other nor leave the stage, on seeded random instruments
 * with and without another set; figures that are those of the model; the same bytes for the same input. */
#include <math.h>
#include <string.h>

#include "../rounds.h"
#include "sample.h"
#include "setup/physics/intonation.h"
#include "shown.h"
#include "draw/draw.h"

#define SEEDS (guint) test_rounds (80)
#define TRIES 6

static const ShownSize sizes[] = SHOWN_SIZES;

static const SlState *
shown_state (const SlAnalysis *analysis)
{
  return analysis->has_plan ? &analysis->planned : &analysis->measured;
}

static void
read_pitch (SlProfile *profile, int string, int fret, double cents)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  SlReading r = sl_reading_init (SL_READ_PITCH);

  if (visit == NULL)
    return;
  r.string = string;
  r.fret = fret;
  r.value = sl_number (cents);
  sl_reading_set_put (sl_visit_last_set (visit), r);
}

/* Things such pictures depend on that the shared random instruments leave alone. */
static void
add_chance (SlProfile *profile, GRand *rand)
{
  if (g_rand_boolean (rand))
    profile->neck.nut_width = sl_number (g_rand_double_range (rand, 8, 70));
  if (g_rand_boolean (rand))
    profile->neck.board_radius_end = sl_number (g_rand_double_range (rand, 150, 600));
  if (g_rand_boolean (rand))
    profile->saddle.length_screw_pitch = sl_number (g_rand_double_range (rand, 0.3, 1));
  if (g_rand_boolean (rand))
    profile->hand = SL_HAND_LEFT;
  if (g_rand_boolean (rand))
    profile->courses = (profile->n_strings + 1) / 2;
  if (g_rand_boolean (rand))
    profile->neck.scale_length_bass = sl_number (profile->neck.scale_length.v * g_rand_double_range (rand, 1, 1.1));
  for (int k = g_rand_int_range (rand, 0, 5); k > 0; k--)
    read_pitch (profile, g_rand_int_range (rand, 1, profile->n_strings + 1),
                g_rand_boolean (rand) ? 12 : g_rand_int_range (rand, 1, profile->neck.frets + 1),
                g_rand_double_range (rand, -100, 100));
}

static void
try_pictures (const SlProfile *profile, GRand *rand, guint seed)
{
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  int n_sets;
  const SlStringSet *sets = sl_string_sets (&n_sets);

  for (int i = 0; i < TRIES; i++)
    {
      const SlStringSet *set = &sets[g_rand_int_range (rand, 0, n_sets)];
      SlPictureOptions o;
      SlPictureMap map;

      shown_choose (rand, profile, sizes, G_N_ELEMENTS (sizes), &o);
      o.kind = g_rand_boolean (rand) ? SL_PICTURE_STRINGS : SL_PICTURE_PITCH;
      sl_picture_map_init (&map);
      if (g_rand_boolean (rand))
        {
          sl_compare (&analysis->instrument, shown_state (analysis), set->strings, set->n_strings, comparison);
          o.other = comparison;
          o.other_name = set->name;
        }
      shown_draw (analysis, &o, &map);
      g_assert_cmpuint (map.labels->len, >=, 4);
      shown_check (&map, &o, seed);
      sl_picture_map_clear (&map);
    }
}

static void
test_random (void)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed);
      g_autoptr (SlProfile) profile = sample_random (rand);

      add_chance (profile, rand);
      try_pictures (profile, rand, seed);
      g_rand_free (rand);
    }
}

/* On an ordinary instrument at the sizes a window gives, nothing that matters is left out. */
static void
test_complete (void)
{
  static const char *const strings[] = {
    "Strings", "Slots at the nut",        "Saddle top", "1 E4", "6 E2", "in all", "tension, N",
    "core",    "Saddle top fits a radius"
  };
  static const char *const pitch[] = { "Pitch",
                                       "Break points",
                                       "1 E4",
                                       "6 E2",
                                       "12",
                                       "cents over the open string",
                                       "tuner +6.0",
                                       "the prediction",
                                       "Bar: where the string breaks" };
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;

  profile->neck.nut_width = sl_number (43);
  read_pitch (profile, 6, 12, 6);
  analysis = sample_analyse (profile);
  for (guint s = 1; s < G_N_ELEMENTS (sizes); s++)
    for (int k = 0; k < 2; k++)
      {
        const char *const *wanted = k == 0 ? strings : pitch;
        SlPictureOptions o;
        SlPictureMap map;

        sl_picture_options_init (&o);
        sl_picture_map_init (&map);
        o.kind = k == 0 ? SL_PICTURE_STRINGS : SL_PICTURE_PITCH;
        o.width = sizes[s].width;
        o.height = sizes[s].height;
        o.string = 6;
        shown_draw (analysis, &o, &map);
        for (guint i = 0; i < G_N_ELEMENTS (strings); i++)
          if (!shown_says (&map, wanted[i]))
            g_error ("“%s” is missing at %g × %g", wanted[i], o.width, o.height);
        sl_picture_map_clear (&map);
      }
}

/* The strings sheet shows the model's numbers, the other set's after a bar, and what the change means. */
static void
test_strings_figures (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  const SlStringSet *set = sl_string_set_find ("acoustic-medium");
  SlPictureOptions o;
  SlPictureMap map;

  sl_compare (&analysis->instrument, &analysis->planned, set->strings, set->n_strings, comparison);
  sl_picture_options_init (&o);
  sl_picture_map_init (&map);
  o.kind = SL_PICTURE_STRINGS;
  o.other = comparison;
  o.other_name = "Heavier ones";
  shown_draw (analysis, &o, &map);
  for (int s = 0; s < 6; s++)
    {
      g_autofree char *pair = g_strdup_printf ("%.0f | %.0f", analysis->planned_figures.tension[s].value,
                                               comparison->other.strings[s].tension);
      g_autofree char *setback = g_strdup_printf ("%.2f | %.2f", analysis->planned_figures.setback_needed[s].value,
                                                  comparison->other.strings[s].setback_needed);

      g_assert_true (shown_says (&map, pair));
      g_assert_true (shown_says (&map, setback));
    }
  g_autofree char *total =
      g_strdup_printf ("%.0f | %.0f N", analysis->planned_figures.tension_total.value, comparison->other.tension_total);
  g_assert_true (shown_says (&map, total));
  g_assert_true (shown_says (&map, "hatched: Heavier ones"));
  g_assert_true (shown_says (&map, "more tension in all"));
  sl_picture_map_clear (&map);
}

/* Of the text that says how far string @string's slot lies from the bass edge. */
static const SlRect *
slot_label (const SlPictureMap *map, const SlAnalysis *analysis, int string)
{
  double centres[SL_MAX_STRINGS];

  g_assert_true (sl_slot_centres (&analysis->instrument, centres));
  g_autofree char *text = g_strdup_printf ("%.2f", analysis->instrument.nut_width / 2 + centres[string - 1]);
  const SlPictureLabel *label = shown_find (map, text);

  g_assert_nonnull (label);
  return &label->rect;
}

/* From above the treble lies on the right, of a left-handed instrument on the left, as far from the middle. */
static void
test_left_handed (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  double treble[2];

  for (int left = 0; left < 2; left++)
    {
      profile->hand = left ? SL_HAND_LEFT : SL_HAND_RIGHT;
      profile->neck.nut_width = sl_number (44);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_STRINGS;
      shown_draw (analysis, &o, &map);
      const SlRect *first = slot_label (&map, analysis, 1), *last = slot_label (&map, analysis, 6);

      treble[left] = (first->x + first->width / 2) - (last->x + last->width / 2);
      g_assert_true (shown_says (&map, left ? "from above, bass right" : "from above, bass left"));
      g_assert_true (shown_says (&map, left ? "toward the nut, bass right" : "toward the nut, bass left"));
      sl_picture_map_clear (&map);
    }
  g_assert_cmpfloat (treble[0], >, 0);
  g_assert_cmpfloat_with_epsilon (treble[1], -treble[0], 1);
}

/* What is clear is told between courses, and where a nut slants how its slots are measured. */
static void
test_courses (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  SlPictureOptions o;
  SlPictureMap map;

  profile->courses = 3;
  profile->neck.nut_width = sl_number (44);
  profile->neck.scale_length_bass = sl_number (profile->neck.scale_length.v + 20);
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlInstrument *in = &analysis->instrument;
  double y[SL_MAX_STRINGS];

  g_assert_true (sl_slot_centres (in, y));
  g_autofree char *clear = g_strdup_printf ("%.2f mm clear between courses",
                                            y[1] - y[2] - (in->strings[1].outside_mm + in->strings[2].outside_mm) / 2);
  sl_picture_options_init (&o);
  sl_picture_map_init (&map);
  o.kind = SL_PICTURE_STRINGS;
  shown_draw (analysis, &o, &map);
  g_assert_true (shown_says (&map, clear));
  g_assert_true (shown_says (&map, "Measured square across"));
  sl_picture_map_clear (&map);
}

/* A core over its limit is named, on the string it is on. */
static void
test_stress (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlPictureMap map;

  profile->strings[0].frequency = sl_number (1.2 * profile->strings[0].frequency.v);
  analysis = sample_analyse (profile);
  double share = analysis->planned_figures.core_stress_share[0];
  g_assert_cmpfloat (share, >, 0.66);
  g_autofree char *mark = g_strdup_printf ("! %.0f %%", 100 * share),
                  *words = g_strdup_printf ("1 (%.0f %%)", 100 * share);

  sl_picture_options_init (&o);
  sl_picture_map_init (&map);
  o.kind = SL_PICTURE_STRINGS;
  shown_draw (analysis, &o, &map);
  g_assert_true (shown_says (&map, mark));
  g_assert_true (shown_says (&map, words));
  sl_picture_map_clear (&map);
}

/* The crests' moves are those of the model and of the tuner; on length screws in turns too. */
static void
test_pitch_figures (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlPictureMap map;

  profile->saddle.length_screw_pitch = sl_number (0.7);
  read_pitch (profile, 6, 12, 9);
  analysis = sample_analyse (profile);
  sl_picture_options_init (&o);
  sl_picture_map_init (&map);
  o.kind = SL_PICTURE_PITCH;
  shown_draw (analysis, &o, &map);
  for (int s = 1; s <= 6; s++)
    {
      SlCrestPlace p;

      sl_crest_place (analysis, s, &p);
      double by = p.wanted - p.now;
      const char *way = by > 0 ? "back" : "forward";
      /* no plan moves a crest by the model alone: that is told, not ordered */
      g_autofree char *move = s == 6 ? g_strdup_printf ("%.2f mm %s, %.2f turns", fabs (by), way, fabs (by) / 0.7)
                                     : g_strdup_printf ("model: %.2f mm %s", fabs (by), way);
      g_autofree char *tuner = g_strdup_printf ("model %.2f, tuner %.2f", p.model, p.tuner);

      if (fabs (by) > 0.05)
        g_assert_true (shown_says (&map, move));
      g_assert_cmpint (shown_says (&map, tuner), ==, s == 6);
    }
  double off = 9 - analysis->measured_figures.pitch_error[5][12].value;
  g_autofree char *difference = g_strdup_printf ("%.1f %s the prediction", fabs (off), off >= 0 ? "over" : "under");
  g_assert_true (shown_says (&map, difference));
  /* the figure at a line's end is the one of the table: what of the tuner's cents the plan leaves */
  SlCrestPlace sixth;

  sl_crest_place (analysis, 6, &sixth);
  g_autofree char *left = sl_plain_format (fabs (sixth.left), 1, "."),
                  *end = g_strdup_printf ("6 E2  %s%s", sixth.left > 0 ? "+" : "−", left);
  g_assert_true (fabs (sixth.left - analysis->planned_figures.pitch_error[5][12].value) > 0.1);
  g_assert_true (shown_says (&map, end));
  sl_picture_map_clear (&map);
}

/* Every fret of a string heard: a ring each, named at the octave alone; a bar where ± U is more than the ring. */
static void
test_heard (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  SlPictureOptions o;
  int written[2] = { 0 };

  for (int fret = 1; fret <= profile->neck.frets; fret++)
    read_pitch (profile, 6, fret, fret == 12 ? 6 : 3);
  sl_picture_options_init (&o);
  o.kind = SL_PICTURE_PITCH;
  for (int wide = 0; wide < 2; wide++)
    {
      g_autoptr (SlAnalysis) analysis = NULL;
      g_autoptr (GBytes) svg = NULL;
      SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));
      SlPictureMap map;
      int rings = 0;

      SL_EACH (SlReading, r, set->readings)
        if (r->kind == SL_READ_PITCH && r->string == 6 && r->fret > 0)
          {
            r->uncertainty = sl_number (wide ? 1 : 0.02);
            rings++;
          }
      g_assert_cmpint (rings, ==, profile->neck.frets);
      analysis = sample_analyse (profile);
      sl_picture_map_init (&map);
      shown_draw (analysis, &o, &map);
      g_assert_true (shown_says (&map, "heard +6.0"));
      g_assert_false (shown_says (&map, "heard +3.0"));
      g_assert_true (shown_says (&map, "rings: heard"));
      g_assert_false (shown_says (&map, "rings: tuner"));
      shown_check (&map, &o, 0);
      svg = sl_picture_render (analysis, &o, SL_FORMAT_SVG, 1, NULL);
      for (const char *at = g_bytes_get_data (svg, NULL); (at = strstr (at, "<path")) != NULL; at++)
        written[wide]++;
      sl_picture_map_clear (&map);
    }
  g_assert_cmpint (written[1] - written[0], ==, 3 * profile->neck.frets); /* a line with two ends */
}

/* What is missing is said, not guessed. */
static void
test_missing (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlPictureMap map;

  g_array_set_size (profile->visits, 0);
  profile->neck.nut_width = SL_NUMBER_ABSENT;
  analysis = sample_analyse (profile);
  sl_picture_options_init (&o);
  sl_picture_map_init (&map);
  o.kind = SL_PICTURE_STRINGS;
  shown_draw (analysis, &o, &map);
  g_assert_true (shown_says (&map, "nut’s width is not given"));
  g_assert_true (shown_says (&map, "Exposure was not read"));
  /* nor were heights: what the set does of forces and margins is marked in its bars and columns */
  g_assert_true (shown_says (&map, "≈ down on the top") || shown_says (&map, "≈ top"));
  {
    /* the board lines are those of the figures, marked */
    const double mm = analysis->measured_figures.board_line[5].value;
    g_autofree char *line = g_strdup_printf ("≈ %s%.2f", mm < 0 ? "−" : "", fabs (mm));

    g_assert_true (shown_says (&map, line));
  }
  o.kind = SL_PICTURE_BRIDGE;
  o.string = 6;
  shown_draw (analysis, &o, &map);
  g_assert_true (shown_says (&map, "3.00") && shown_says (&map, "assumed"));
  {
    /* however little room there is, no wording of the break or the exposure goes without its mark */
    const SlPictureKind kinds[] = { SL_PICTURE_BRIDGE, SL_PICTURE_SIDE };
    int marked = 0;

    for (gsize i = 0; i < G_N_ELEMENTS (sizes) * G_N_ELEMENTS (kinds); i++)
      {
        o.kind = kinds[i % 2];
        o.width = sizes[i / 2].width / (o.kind == SL_PICTURE_BRIDGE ? 4 : 1);
        o.height = sizes[i / 2].height / (o.kind == SL_PICTURE_BRIDGE ? 3 : 1);
        shown_draw (analysis, &o, &map);
        g_assert_true (!shown_says (&map, "3.00") || shown_says (&map, "≈ 3.00"));
        marked += shown_says (&map, "≈");
      }
    g_assert_cmpint (marked, >=, 6);
    sl_picture_options_init (&o);
  }
  o.string = SL_ALL_STRINGS;
  o.kind = SL_PICTURE_PITCH;
  shown_draw (analysis, &o, &map);
  g_assert_true (shown_says (&map, "Compensation was not read"));
  sl_picture_map_clear (&map);
}

static void
test_same_bytes (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlFormat formats[] = { SL_FORMAT_SVG, SL_FORMAT_PNG, SL_FORMAT_PDF };
  const SlPictureKind kinds[] = { SL_PICTURE_STRINGS, SL_PICTURE_PITCH };

  for (guint k = 0; k < G_N_ELEMENTS (kinds); k++)
    for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
      {
        g_autoptr (GBytes) a = NULL, b = NULL, dark = NULL;
        g_autoptr (GError) error = NULL;
        SlPictureOptions o;

        sl_picture_options_init (&o);
        o.kind = kinds[k];
        a = sl_picture_render (analysis, &o, formats[i], 1, &error);
        g_assert_no_error (error);
        o.look = SL_LOOK_DARK;
        dark = sl_picture_render (analysis, &o, formats[i], 1, &error);
        g_assert_no_error (error);
        o.look = SL_LOOK_LIGHT;
        b = sl_picture_render (analysis, &o, formats[i], 1, &error);
        g_assert_no_error (error);
        g_assert_true (g_bytes_equal (a, b));
        g_assert_false (g_bytes_equal (a, dark));
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/strings-pitch/random", test_random);
  g_test_add_func ("/draw/strings-pitch/complete", test_complete);
  g_test_add_func ("/draw/strings-pitch/strings-figures", test_strings_figures);
  g_test_add_func ("/draw/strings-pitch/left-handed", test_left_handed);
  g_test_add_func ("/draw/strings-pitch/courses", test_courses);
  g_test_add_func ("/draw/strings-pitch/stress", test_stress);
  g_test_add_func ("/draw/strings-pitch/pitch-figures", test_pitch_figures);
  g_test_add_func ("/draw/strings-pitch/heard", test_heard);
  g_test_add_func ("/draw/strings-pitch/missing", test_missing);
  g_test_add_func ("/draw/strings-pitch/same-bytes", test_same_bytes);
  return g_test_run ();
}
