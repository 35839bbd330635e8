/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheets of frets and of gaps: texts that keep to their stage and off each other on seeded random instruments, the
 * same bytes for the same input, and what the pictures say against the model they are drawn from. */
#include <math.h>
#include <string.h>

#include "../rounds.h"
#include "sample.h"
#include "setup/physics/clearance.h"
#include "setup/physics/frets.h"
#include "shown.h"
#include "draw/draw.h"

#define SEEDS (guint) test_rounds (40)
#define TRIES 6

static const ShownSize sizes[] = { { 620, 100 }, { 700, 140 }, { 760, 220 }, { 1200, 320 }, { 1600, 900 } };

static void
draw (const SlAnalysis *analysis, const SlPictureOptions *o, SlPictureMap *map)
{
  sl_picture_map_init (map);
  shown_draw (analysis, o, map);
}

static void
add_crown (SlReadingSet *set, SlReadingKind kind, int fret, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.fret = fret;
  reading.value = sl_number (value);
  sl_reading_set_put (set, reading);
}

/* Worn crowns: gaps at most frets, heights at some, so that frets are lost on some instruments. */
static void
wear (SlProfile *profile, GRand *rand)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  SlReadingSet *set = visit != NULL ? sl_visit_last_set (visit) : NULL;

  for (int n = 1; set != NULL && n <= profile->neck.frets; n++)
    {
      if (g_rand_int_range (rand, 0, 3) > 0)
        add_crown (set, SL_READ_CROWN_GAP, n, g_rand_double_range (rand, 0, 0.25));
      if (g_rand_int_range (rand, 0, 5) == 0)
        add_crown (set, SL_READ_CROWN_HEIGHT, n, g_rand_double_range (rand, 0.5, 1.2));
    }
}

static void
choose_options (GRand *rand, const SlProfile *profile, SlPictureKind kind, SlPictureOptions *o)
{
  shown_choose (rand, profile, sizes, G_N_ELEMENTS (sizes), o);
  o->kind = kind;
  o->held = g_rand_int_range (rand, 0, profile->neck.frets);
  o->replacing = g_rand_boolean (rand);
  o->measured = g_rand_boolean (rand);
  if (kind == SL_PICTURE_GAPS)
    o->text_scale = 1; /* drawn for files only, which have texts of usual size */
}

static void
test_random (gconstpointer data)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = NULL;

      wear (profile, rand);
      analysis = sample_analyse (profile);
      for (int i = 0; i < TRIES; i++)
        {
          SlPictureOptions o;
          SlPictureMap map;

          choose_options (rand, profile, (SlPictureKind) GPOINTER_TO_INT (data), &o);
          draw (analysis, &o, &map);
          g_assert_cmpuint (map.labels->len, >=, 2);
          if (o.kind == SL_PICTURE_FRETS)
            g_assert_true (shown_says (&map, "heights × "));
          shown_check (&map, &o, seed);
          sl_picture_map_clear (&map);
        }
      g_rand_free (rand);
    }
}

static void
test_same_bytes (gconstpointer data)
{
  GRand *rand = g_rand_new_with_seed (7);
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  const SlFormat formats[] = { SL_FORMAT_SVG, SL_FORMAT_PNG, SL_FORMAT_PDF };

  wear (profile, rand);
  analysis = sample_analyse (profile);
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_autoptr (GBytes) a = NULL, b = NULL;
      g_autoptr (GError) error = NULL;
      SlPictureOptions o;

      sl_picture_options_init (&o);
      o.kind = (SlPictureKind) GPOINTER_TO_INT (data);
      o.width = 900;
      o.height = 300;
      a = sl_picture_render (analysis, &o, formats[i], 1, &error);
      g_assert_no_error (error);
      b = sl_picture_render (analysis, &o, formats[i], 1, &error);
      g_assert_no_error (error);
      g_assert_true (g_bytes_equal (a, b));
    }
  g_rand_free (rand);
}

/* An instrument without crowns read, to which the tests add what they know. */
static SlProfile *
level_profile (void)
{
  SlProfile *profile = sample_usual ();
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));

  for (guint i = set->readings->len; i-- > 0;)
    {
      SlReadingKind kind = g_array_index (set->readings, SlReading, i).kind;

      if (kind == SL_READ_CROWN_GAP || kind == SL_READ_CROWN_HEIGHT)
        g_array_remove_index (set->readings, i);
    }
  g_array_set_size (sl_profile_last_visit (profile)->plan, 0);
  profile->fretwire.height = sl_number (1.1);
  profile->fretwire.least_height = sl_number (0.6);
  return profile;
}

static void
draw_frets (const SlProfile *profile, gboolean replacing, SlPictureMap *map)
{
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  SlPictureOptions o;

  sl_picture_options_init (&o);
  o.kind = SL_PICTURE_FRETS;
  o.width = 1300;
  o.height = 320;
  o.replacing = replacing;
  draw (analysis, &o, map);
}

/* Frets lie where equal temperament puts them, at one scale; the lowest and what comes off are named. */
static void
test_frets_say (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));
  const double scale = profile->neck.scale_length.v;
  SlPictureMap map;

  for (int n = 1; n <= profile->neck.frets; n++)
    add_crown (set, SL_READ_CROWN_GAP, n, n == 5 ? 0.17 : n == 8 ? 0 : 0.06);
  draw_frets (profile, FALSE, &map);
  for (int n = 1; n < profile->neck.frets; n++)
    g_assert_cmpfloat_with_epsilon (map.fret_x[n + 1] - map.fret_x[n],
                                    (sl_fret_place (scale, n + 1) - sl_fret_place (scale, n)) * map.units_per_mm_along,
                                    1e-6);
  g_assert_cmpfloat_with_epsilon (map.units_per_mm_up / map.units_per_mm_along, map.height_factor, 1e-9);
  g_assert_nonnull (shown_find (&map, "lowest"));
  g_assert_cmpfloat (fabs (shown_find (&map, "lowest")->rect.x - map.fret_x[5]), <, 12);
  /* fret 8 stands highest: 0.17 comes off it; the others, 0.06 lower, lose 0.11 */
  g_assert_true (shown_says (&map, "down to fret 5, most 0.17 mm off"));
  g_assert_nonnull (shown_find (&map, "0.17"));
  g_assert_nonnull (shown_find (&map, "0.11"));
  /* fret 8 is 0.06 over the line of its neighbours: it rocks, and the legend says what its mark means */
  g_assert_true (shown_says (&map, "rocks"));
  g_assert_false (shown_says (&map, "past saving"));
  g_assert_true (shown_says (&map, "not in the plan"));
  sl_picture_map_clear (&map);
}

static void
test_frets_lost (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));
  SlPictureMap map;

  for (int n = 1; n <= profile->neck.frets; n++)
    add_crown (set, SL_READ_CROWN_GAP, n, n == 5 ? 0.6 : 0);
  draw_frets (profile, FALSE, &map);
  g_assert_true (shown_says (&map, "frets past saving"));
  sl_picture_map_clear (&map);
  /* one new fret, and nothing comes off */
  draw_frets (profile, TRUE, &map);
  g_assert_nonnull (shown_find (&map, "new fret"));
  g_assert_false (shown_says (&map, "past saving"));
  sl_picture_map_clear (&map);
}

static void
test_frets_not_read (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  SlPictureMap map;

  draw_frets (profile, FALSE, &map);
  g_assert_true (shown_says (&map, "crown gaps not read"));
  g_assert_true (shown_says (&map, "Frets as they are"));
  g_assert_cmpfloat (map.height_factor, <=, 15 + 1e-9); /* there is nothing to magnify */
  g_assert_null (shown_find (&map, "lowest"));
  sl_picture_map_clear (&map);
}

/* Every margin of the map is the model's, and the least is named with its place. */
static void
test_gaps_say (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlInstrument *in = &analysis->instrument;
  const int held = 3;
  SlPictureOptions o;
  SlPictureMap map;

  sl_picture_options_init (&o);
  o.kind = SL_PICTURE_GAPS;
  o.held = held;
  o.measured = TRUE;
  draw (analysis, &o, &map);
  for (int string = 1; string <= in->n_strings; string++)
    for (int n = held + 1; n <= in->frets; n++)
      {
        g_autofree char *text = NULL;
        SlStringState s;
        SlClearance c;

        sl_state_string (in, &analysis->measured, string, &s);
        sl_clearance (&s, analysis->measured_figures.tension[string - 1].value, held, n, &c);
        text = sl_plain_format (c.margin, 2, ".");
        g_assert_nonnull (shown_find (&map, text));
      }
  g_assert_true (shown_says (&map, "held at 3"));
  g_assert_true (shown_says (&map, "as measured"));
  g_assert_true (shown_says (&map, "least of all"));
  g_assert_nonnull (shown_find (&map, "touches"));
  sl_picture_map_clear (&map);
}

/* Heights nobody read: strings are marked, and no cell gets a word. */
static void
test_gaps_not_read (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlPictureMap map;

  g_array_set_size (profile->visits, 0);
  analysis = sample_analyse (profile);
  sl_picture_options_init (&o);
  o.kind = SL_PICTURE_GAPS;
  draw (analysis, &o, &map);
  g_assert_nonnull (shown_find (&map, "≈"));
  g_assert_true (shown_says (&map, "≈ assumed"));
  sl_picture_map_clear (&map);
  for (int string = 1; string <= analysis->instrument.n_strings; string++)
    {
      SlStringState s;

      sl_state_string (&analysis->instrument, &analysis->measured, string, &s);
      g_assert_cmpint (sl_gap_basis (&analysis->fit, &s, 0, 5), ==, SL_BASIS_ASSUMED);
      /* crown to crown, under a string held at 1, the nut has no say */
      analysis->fit.action_assumed[string - 1] = FALSE;
      analysis->fit.relief_assumed_treble = analysis->fit.relief_assumed_bass = FALSE;
      g_assert_cmpint (sl_gap_basis (&analysis->fit, &s, 1, 5), ==, SL_BASIS_COMPUTED);
      g_assert_cmpint (sl_gap_basis (&analysis->fit, &s, 0, 5), ==, SL_BASIS_ASSUMED);
    }
}

/* The first and the last fret have their number, what comes off and what is left below them at any size of text. */
static void
test_outer_frets (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

  for (int lengths = SL_LENGTHS_MM; lengths <= SL_LENGTHS_64THS; lengths++)
    for (double scale = 1; scale <= 2; scale += 0.25)
      {
        const int outer[] = { 1, profile->neck.frets };
        SlPictureOptions o;
        SlPictureMap map;

        sl_picture_options_init (&o);
        sl_picture_map_init (&map);
        o.kind = SL_PICTURE_FRETS;
        o.lengths = (SlLengths) lengths;
        o.text_scale = scale;
        o.width = 900;
        o.height = 460;
        shown_draw (analysis, &o, &map);
        for (guint k = 0; k < G_N_ELEMENTS (outer); k++)
          {
            int below = 0;

            for (guint i = 0; i < map.labels->len; i++)
              {
                const SlRect *r = &g_array_index (map.labels, SlPictureLabel, i).rect;

                below += fabs (r->x + r->width / 2 - map.fret_x[outer[k]]) < 1;
              }
            if (below < 2)
              g_error ("fret %d, text × %g: %d figures", outer[k], scale, below);
          }
        sl_picture_map_clear (&map);
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/draw/frets/random", GINT_TO_POINTER (SL_PICTURE_FRETS), test_random);
  g_test_add_data_func ("/draw/frets/same-bytes", GINT_TO_POINTER (SL_PICTURE_FRETS), test_same_bytes);
  g_test_add_func ("/draw/frets/say", test_frets_say);
  g_test_add_func ("/draw/frets/outer", test_outer_frets);
  g_test_add_func ("/draw/frets/lost", test_frets_lost);
  g_test_add_func ("/draw/frets/not-read", test_frets_not_read);
  g_test_add_func ("/draw/gaps/not-read", test_gaps_not_read);
  g_test_add_data_func ("/draw/gaps/random", GINT_TO_POINTER (SL_PICTURE_GAPS), test_random);
  g_test_add_data_func ("/draw/gaps/same-bytes", GINT_TO_POINTER (SL_PICTURE_GAPS), test_same_bytes);
  g_test_add_func ("/draw/gaps/say", test_gaps_say);
  return g_test_run ();
}
