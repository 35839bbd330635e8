/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What holds for every text of every picture: none lies on another, none leaves the stage, none lies on the string, and none shows what is
 * no number. Tried on seeded random instruments, so that a failure can be had again. */
#include <string.h>

#include "draw/picture.h"
#include "sample.h"

#define SEEDS 60
#define TRIES 6

static const struct
{
  double width, height;
} sizes[] = { { 700, 360 }, { 820, 420 }, { 980, 400 }, { 1280, 640 }, { 1600, 900 }, { 1900, 1000 } };

static gboolean
overlap (const SlRect *a, const SlRect *b)
{
  return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height && b->y < a->y + a->height;
}

static const SlPictureLabel *
label (const SlPictureMap *map, guint i)
{
  return &g_array_index (map->labels, SlPictureLabel, i);
}

static void
check_texts (const SlPictureMap *map, const SlPictureOptions *o, guint seed)
{
  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *a = label (map, i);
      g_autofree char *lower = g_ascii_strdown (a->text, -1);

      if (a->rect.x < 0 || a->rect.y < 0 || a->rect.x + a->rect.width > o->width || a->rect.y + a->rect.height > o->height)
        g_error ("seed %u: “%s” leaves the stage of %g × %g", seed, a->text, o->width, o->height);
      if (strstr (lower, "nan") || strstr (lower, "inf"))
        g_error ("seed %u: “%s” shows what is no number", seed, a->text);
      g_assert_true (g_utf8_validate (a->text, -1, NULL));
      for (guint k = 0; k < i; k++)
        if (overlap (&a->rect, &label (map, k)->rect))
          g_error ("seed %u, %g × %g: “%s” lies on “%s”", seed, o->width, o->height, a->text, label (map, k)->text);
    }
}

static void
choose_options (GRand *rand, const SlProfile *profile, SlPictureOptions *o)
{
  guint size = (guint)g_rand_int_range (rand, 0, G_N_ELEMENTS (sizes));

  sl_picture_options_init (o);
  o->kind = (SlPictureKind)g_rand_int_range (rand, SL_PICTURE_SIDE, SL_PICTURE_ALL + 1);
  o->width = sizes[size].width;
  o->height = sizes[size].height;
  o->string = g_rand_int_range (rand, 0, profile->n_strings + 1);
  o->held = g_rand_boolean (rand) ? 0 : g_rand_int_range (rand, 0, profile->neck.frets);
  o->lengths = (SlLengths)g_rand_int_range (rand, SL_LENGTHS_MM, SL_LENGTHS_64THS + 1);
  o->decimal = g_rand_boolean (rand) ? "." : ",";
  o->text_scale = g_rand_int_range (rand, 0, 4) == 0 ? 1.3 : 1;
  o->focus = g_rand_int_range (rand, -1, SL_N_HANDLES);
  o->height_factor = g_rand_int_range (rand, 0, 3) == 0 ? g_rand_double_range (rand, 1, 60) : 0;
  o->title = "A title";
}

static void
try_picture (cairo_t *cr, const SlAnalysis *analysis, const SlProfile *profile, GRand *rand, guint seed)
{
  SlPictureOptions o;
  SlPictureMap map;

  choose_options (rand, profile, &o);
  sl_picture_map_init (&map);
  sl_picture_draw (cr, analysis, &o, &map);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  g_assert_cmpuint (map.labels->len, >=, 2);
  check_texts (&map, &o, seed);
  sl_picture_map_clear (&map);
}

/* A recording surface takes no pixels: texts are placed all the same. */
static cairo_t *
nowhere (void)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);

  cairo_surface_destroy (surface);
  return cr;
}

static void
test_random (void)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

      for (int i = 0; i < TRIES; i++)
        {
          cairo_t *cr = nowhere ();

          try_picture (cr, analysis, profile, rand, seed);
          cairo_destroy (cr);
        }
      g_rand_free (rand);
    }
}

/* Whether a segment comes inside a rectangle: sampled finer than a text is high. */
static gboolean
runs_through (const SlRect *r, double x0, double y0, double x1, double y1)
{
  const int steps = 2000;

  for (int i = 0; i <= steps; i++)
    {
      double x = x0 + (x1 - x0) * i / steps, y = y0 + (y1 - y0) * i / steps;

      if (x > r->x && x < r->x + r->width && y > r->y && y < r->y + r->height)
        return TRUE;
    }
  return FALSE;
}

/* The planned string, open, from nut to crest: its ends follow from the map and the state. */
static void
check_string (const SlPictureMap *map, const SlAnalysis *analysis, int string, guint seed)
{
  const SlState *state = analysis->has_plan ? &analysis->planned : &analysis->measured;
  SlStringState s;
  double x0, y0, x1, y1;

  sl_state_string (&analysis->instrument, state, string, &s);
  x0 = map->origin_x;
  y0 = map->origin_y - s.p[SL_P_NUT] * map->units_per_mm_up;
  x1 = map->origin_x + s.x_s * map->units_per_mm_along;
  y1 = map->origin_y - s.p[SL_P_CREST] * map->units_per_mm_up;
  for (guint i = 0; i < map->labels->len; i++)
    if (runs_through (&label (map, i)->rect, x0, y0, x1, y1))
      g_error ("seed %u: “%s” lies on string %d", seed, label (map, i)->text, string);
}

static void
test_strings_free (void)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed + 1000);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      cairo_t *cr = nowhere ();
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_map_init (&map);
      choose_options (rand, profile, &o);
      o.kind = SL_PICTURE_SIDE;
      o.held = 0;
      o.string = profile->n_strings;
      sl_picture_draw (cr, analysis, &o, &map);
      check_string (&map, analysis, o.string, seed);
      o.string = SL_ALL_STRINGS;
      sl_picture_draw (cr, analysis, &o, &map);
      for (int n = 1; n <= profile->n_strings; n++)
        check_string (&map, analysis, n, seed);
      sl_picture_map_clear (&map);
      cairo_destroy (cr);
      g_rand_free (rand);
    }
}

static gboolean
shown (const SlPictureMap *map, const char *part)
{
  for (guint i = 0; i < map->labels->len; i++)
    if (strstr (label (map, i)->text, part))
      return TRUE;
  return FALSE;
}

/* On an ordinary instrument at the sizes a window gives, nothing is left out. */
static void
test_complete (void)
{
  static const char *const wanted[] = { "action at 12",
                                        "first gap",
                                        "relief",
                                        "exposure",
                                        "over the nut",
                                        "over the saddle",
                                        "off the base",
                                        "first pass",
                                        "heights ×",
                                        "100 mm along the neck",
                                        "dashed as measured · solid as planned · hatched comes off",
                                        "String 6",
                                        "open" };
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

  for (guint s = 1; s < G_N_ELEMENTS (sizes); s++)
    {
      cairo_t *cr = nowhere ();
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.width = sizes[s].width;
      o.height = sizes[s].height;
      sl_picture_draw (cr, analysis, &o, &map);
      for (guint i = 0; i < G_N_ELEMENTS (wanted); i++)
        if (!shown (&map, wanted[i]))
          g_error ("“%s” is missing at %g × %g", wanted[i], o.width, o.height);
      sl_picture_map_clear (&map);
      cairo_destroy (cr);
    }
}

/* The figures shown are those of the analysis, in the units asked for. */
static void
test_units (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlLengths lengths[] = { SL_LENGTHS_MM, SL_LENGTHS_INCH, SL_LENGTHS_64THS };

  for (guint i = 0; i < G_N_ELEMENTS (lengths); i++)
    {
      g_autofree char *action = sl_length_format (analysis->planned_figures.action[5][12].value, lengths[i], 2, ",", TRUE);
      cairo_t *cr = nowhere ();
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.lengths = lengths[i];
      o.decimal = ",";
      sl_picture_draw (cr, analysis, &o, &map);
      g_assert_true (shown (&map, action));
      g_assert_true (shown (&map, lengths[i] == SL_LENGTHS_MM ? "100 mm" : "4 in along"));
      sl_picture_map_clear (&map);
      cairo_destroy (cr);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/labels/random", test_random);
  g_test_add_func ("/draw/labels/strings-free", test_strings_free);
  g_test_add_func ("/draw/labels/complete", test_complete);
  g_test_add_func ("/draw/labels/units", test_units);
  return g_test_run ();
}
