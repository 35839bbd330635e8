/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheets of frets and of gaps: texts that keep to their stage and off each other on seeded random instruments, the same bytes for the same input, and what the
 * pictures say against the model they are drawn from. */
#include <math.h>
#include <string.h>

#include "draw/picture.h"
#include "sample.h"
#include "setup/clearance.h"
#include "setup/frets.h"

#define SEEDS 40
#define TRIES 6

static const struct
{
  double width, height;
} sizes[] = { { 620, 100 }, { 700, 140 }, { 760, 220 }, { 1200, 320 }, { 1600, 900 } };

static const SlPictureLabel *
label (const SlPictureMap *map, guint i)
{
  return &g_array_index (map->labels, SlPictureLabel, i);
}

static const SlPictureLabel *
find (const SlPictureMap *map, const char *text)
{
  for (guint i = 0; i < map->labels->len; i++)
    if (g_str_equal (label (map, i)->text, text))
      return label (map, i);
  return NULL;
}

static gboolean
says (const SlPictureMap *map, const char *part)
{
  for (guint i = 0; i < map->labels->len; i++)
    if (strstr (label (map, i)->text, part) != NULL)
      return TRUE;
  return FALSE;
}

static void
draw (const SlAnalysis *analysis, const SlPictureOptions *o, SlPictureMap *map)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);

  sl_picture_map_init (map);
  sl_picture_draw (cr, analysis, o, map);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
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
  guint size = (guint) g_rand_int_range (rand, 0, G_N_ELEMENTS (sizes));

  sl_picture_options_init (o);
  o->kind = kind;
  o->width = sizes[size].width;
  o->height = sizes[size].height;
  o->string = g_rand_int_range (rand, 0, profile->n_strings + 1);
  o->held = g_rand_int_range (rand, 0, profile->neck.frets);
  o->lengths = (SlLengths) g_rand_int_range (rand, SL_LENGTHS_MM, SL_LENGTHS_64THS + 1);
  o->decimal = g_rand_boolean (rand) ? "." : ",";
  o->text_scale = g_rand_int_range (rand, 0, 4) == 0 ? 1.3 : 1;
  o->replacing = g_rand_boolean (rand);
  o->measured = g_rand_boolean (rand);
}

static void
check_texts (const SlPictureMap *map, const SlPictureOptions *o, guint seed)
{
  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlRect *a = &label (map, i)->rect;
      g_autofree char *lower = g_ascii_strdown (label (map, i)->text, -1);

      if (a->x < 0 || a->y < 0 || a->x + a->width > o->width || a->y + a->height > o->height)
        g_error ("seed %u: “%s” leaves the stage of %g × %g", seed, label (map, i)->text, o->width, o->height);
      if (g_str_equal (lower, "nan") || strstr (lower, "inf") != NULL)
        g_error ("seed %u: “%s” shows what is no number", seed, label (map, i)->text);
      for (guint k = 0; k < i; k++)
        {
          const SlRect *b = &label (map, k)->rect;

          if (a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height && b->y < a->y + a->height)
            g_error ("seed %u, %g × %g: “%s” lies on “%s”", seed, o->width, o->height, label (map, i)->text, label (map, k)->text);
        }
    }
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
            g_assert_true (says (&map, "heights × "));
          check_texts (&map, &o, seed);
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
frets_options (SlPictureOptions *o)
{
  sl_picture_options_init (o);
  o->kind = SL_PICTURE_FRETS;
  o->width = 1300;
  o->height = 320;
}

/* Frets lie where equal temperament puts them, at one scale; the lowest and what comes off are named. */
static void
test_frets_say (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));
  SlPictureOptions o;
  SlPictureMap map;

  for (int n = 1; n <= profile->neck.frets; n++)
    add_crown (set, SL_READ_CROWN_GAP, n, n == 5 ? 0.17 : n == 8 ? 0 : 0.06);
  analysis = sample_analyse (profile);
  frets_options (&o);
  draw (analysis, &o, &map);
  for (int n = 1; n < profile->neck.frets; n++)
    g_assert_cmpfloat_with_epsilon (map.fret_x[n + 1] - map.fret_x[n], (sl_fret_place (analysis->instrument.scale, n + 1) - sl_fret_place (analysis->instrument.scale, n)) * map.units_per_mm_along, 1e-6);
  g_assert_cmpfloat_with_epsilon (map.units_per_mm_up / map.units_per_mm_along, map.height_factor, 1e-9);
  g_assert_nonnull (find (&map, "lowest"));
  g_assert_cmpfloat (fabs (find (&map, "lowest")->rect.x - map.fret_x[5]), <, 12);
  /* fret 8 stands highest: 0.17 comes off it; the others, 0.06 lower, lose 0.11 */
  g_assert_true (says (&map, "down to fret 5, most 0.17 mm off"));
  g_assert_nonnull (find (&map, "0.17"));
  g_assert_nonnull (find (&map, "0.11"));
  /* fret 8 is 0.06 over the line of its neighbours: it rocks, and the legend says what its mark means */
  g_assert_true (says (&map, "rocks"));
  g_assert_false (says (&map, "past saving"));
  g_assert_true (says (&map, "not in the plan"));
  sl_picture_map_clear (&map);
}

static void
test_frets_lost (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (profile));
  SlPictureOptions o;
  SlPictureMap map;

  for (int n = 1; n <= profile->neck.frets; n++)
    add_crown (set, SL_READ_CROWN_GAP, n, n == 5 ? 0.6 : 0);
  analysis = sample_analyse (profile);
  frets_options (&o);
  draw (analysis, &o, &map);
  g_assert_true (says (&map, "frets past saving"));
  sl_picture_map_clear (&map);
  /* one new fret, and nothing comes off */
  o.replacing = TRUE;
  draw (analysis, &o, &map);
  g_assert_nonnull (find (&map, "new fret"));
  g_assert_false (says (&map, "past saving"));
  sl_picture_map_clear (&map);
}

static void
test_frets_not_read (void)
{
  g_autoptr (SlProfile) profile = level_profile ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  SlPictureOptions o;
  SlPictureMap map;

  frets_options (&o);
  draw (analysis, &o, &map);
  g_assert_true (says (&map, "crown gaps not read"));
  g_assert_null (find (&map, "lowest"));
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
        sl_clearance (in, &analysis->measured, &s, analysis->measured_figures.tension[string - 1].value, held, n, &c);
        text = sl_plain_format (c.margin, 2, ".");
        g_assert_nonnull (find (&map, text));
      }
  g_assert_true (says (&map, "held at 3"));
  g_assert_true (says (&map, "as measured"));
  g_assert_true (says (&map, "least of all"));
  g_assert_nonnull (find (&map, "touches"));
  sl_picture_map_clear (&map);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/draw/frets/random", GINT_TO_POINTER (SL_PICTURE_FRETS), test_random);
  g_test_add_data_func ("/draw/frets/same-bytes", GINT_TO_POINTER (SL_PICTURE_FRETS), test_same_bytes);
  g_test_add_func ("/draw/frets/say", test_frets_say);
  g_test_add_func ("/draw/frets/lost", test_frets_lost);
  g_test_add_func ("/draw/frets/not-read", test_frets_not_read);
  g_test_add_data_func ("/draw/gaps/random", GINT_TO_POINTER (SL_PICTURE_GAPS), test_random);
  g_test_add_data_func ("/draw/gaps/same-bytes", GINT_TO_POINTER (SL_PICTURE_GAPS), test_same_bytes);
  g_test_add_func ("/draw/gaps/say", test_gaps_say);
  return g_test_run ();
}
