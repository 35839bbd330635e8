/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures as a whole: scales, true proportions, same bytes for the same input, sound files. */
#include <glib/gstdio.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/draw.h"
#include "draw/base/picture.h"
#include "draw/base/style.h"
#include "sample.h"
#include "shown.h"

static void
setup_picture (SlPictureOptions *o, SlPictureKind kind, int string)
{
  sl_picture_options_init (o);
  o->kind = kind;
  o->string = string;
}

static void
draw (const SlAnalysis *analysis, const SlPictureOptions *o, SlPictureMap *map)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) o->width, (int) o->height);
  cairo_t *cr = cairo_create (surface);

  sl_picture_draw (cr, analysis, o, map);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

/* Handles lie where the map's scale puts nut, neck's middle and crest; the scales' ratio is the height factor; fret 12
 * is at half the scale length (twelve-tone equal temperament: the octave halves a string). */
static void
test_map (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const double factors[] = { 0, 4, 11 };

  for (guint i = 0; i < G_N_ELEMENTS (factors); i++)
    {
      SlPictureOptions o;
      SlPictureMap map;
      SlStringState s;

      setup_picture (&o, SL_PICTURE_SIDE, 6);
      o.height_factor = factors[i];
      sl_picture_map_init (&map);
      draw (analysis, &o, &map);
      sl_state_string (&analysis->instrument, &analysis->planned, 6, &s);
      g_assert_cmpfloat_with_epsilon (map.units_per_mm_up / map.units_per_mm_along, map.height_factor, 1e-9);
      if (factors[i] > 0)
        g_assert_cmpfloat_with_epsilon (map.height_factor, factors[i], 1e-9);
      g_assert_true (map.handles[SL_HANDLE_CREST].shown && map.handles[SL_HANDLE_NECK].shown &&
                     map.handles[SL_HANDLE_SLOT].shown);
      g_assert_cmpfloat_with_epsilon (map.handles[SL_HANDLE_CREST].x, map.origin_x + s.x_s * map.units_per_mm_along,
                                      1e-6);
      g_assert_cmpfloat_with_epsilon (map.handles[SL_HANDLE_CREST].y,
                                      map.origin_y - s.p[SL_P_CREST] * map.units_per_mm_up, 1e-6);
      g_assert_cmpfloat_with_epsilon (map.handles[SL_HANDLE_SLOT].y, map.origin_y - s.p[SL_P_NUT] * map.units_per_mm_up,
                                      1e-6);
      g_assert_cmpfloat_with_epsilon (map.handles[SL_HANDLE_NECK].y,
                                      map.origin_y + s.p[SL_P_RELIEF] * map.units_per_mm_up, 1e-6);
      g_assert_cmpfloat_with_epsilon ((map.fret_x[12] - map.fret_x[0]) / map.units_per_mm_along,
                                      analysis->instrument.scale[0] / 2, 1e-6);
      sl_picture_map_clear (&map);
    }
}

/* The picture fills its stage: from the head's end to the body's, and the highest point of a string near the top. */
static void
test_fills_stage (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const double sizes[][2] = { { 700, 360 }, { 980, 400 }, { 1600, 900 }, { 1900, 1000 } };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      SlPictureOptions o;
      SlPictureMap map;

      setup_picture (&o, SL_PICTURE_SIDE, 6);
      o.width = sizes[i][0];
      o.height = sizes[i][1];
      sl_picture_map_init (&map);
      draw (analysis, &o, &map);
      g_assert_cmpfloat (map.handles[SL_HANDLE_CREST].x, >, 0.85 * o.width);
      g_assert_cmpfloat (map.handles[SL_HANDLE_CREST].y, <, 0.32 * o.height);
      g_assert_cmpfloat (map.handles[SL_HANDLE_SLOT].x, <, 0.3 * o.width);
      sl_picture_map_clear (&map);
    }
}

static gboolean
is_ink (const guint8 *pixel, const SlColour *ink)
{
  guint32 value;

  memcpy (&value, pixel, sizeof value);
  return abs ((int) (value >> 16 & 0xff) - (int) lround (ink->r * 255)) <= 1 &&
         abs ((int) (value >> 8 & 0xff) - (int) lround (ink->g * 255)) <= 1 &&
         abs ((int) (value & 0xff) - (int) lround (ink->b * 255)) <= 1;
}

/* A fret's crown as drawn, measured in pixels of its metal: as wide to high as the wire, at the scale the picture
 * states. */
static void
test_true_proportions (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlPictureMap map;
  cairo_surface_t *surface;
  cairo_t *cr;
  int left = G_MAXINT, right = 0, top = G_MAXINT, bottom = 0;
  g_autofree char *stated = NULL;
  gboolean found = FALSE;

  g_array_set_size (sl_profile_last_visit (profile)->plan, 0);
  analysis = sample_analyse (profile);
  setup_picture (&o, SL_PICTURE_FRET_12, 6);
  o.width = 900;
  o.height = 600;
  sl_picture_map_init (&map);
  surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 900, 600);
  cr = cairo_create (surface);
  sl_picture_draw (cr, analysis, &o, &map);
  cairo_surface_flush (surface);
  for (int y = 0; y < 600; y++)
    for (int x = 0; x < 900; x++)
      if (is_ink (cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface) + 4 * x,
                  &sl_palette (SL_LOOK_LIGHT)[SL_INK_METAL]))
        {
          left = MIN (left, x);
          right = MAX (right, x);
          top = MIN (top, y);
          bottom = MAX (bottom, y);
        }
  g_assert_cmpfloat_with_epsilon ((right - left) / map.units_per_mm_along, analysis->instrument.crown_width, 0.12);
  g_assert_cmpfloat_with_epsilon ((bottom - top) / map.units_per_mm_up, analysis->instrument.crown_height, 0.12);
  /* What it says: so many times true size where a unit is 1/96 in (CSS Values 3, 5.2: 96 pixels an inch). */
  stated = sl_plain_format (map.units_per_mm_along * 25.4 / 96,
                            fmod (map.units_per_mm_along * 25.4 / 96 + 1e-6, 1) < 1e-3 ? 0 : 1, ".");
  for (guint i = 0; i < map.labels->len; i++)
    {
      const char *text = g_array_index (map.labels, SlPictureLabel, i).text;

      if (g_str_has_prefix (text, "true proportions × "))
        {
          g_assert_cmpstr (text + strlen ("true proportions × "), ==, stated);
          found = TRUE;
        }
    }
  g_assert_true (found);
  sl_picture_map_clear (&map);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

static void
test_same_bytes (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlFormat formats[] = { SL_FORMAT_SVG, SL_FORMAT_PNG, SL_FORMAT_PDF };
  static const char *const starts[] = { "<?xml", "\x89PNG", "%PDF" };

  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_autoptr (GBytes) a = NULL, b = NULL, between = NULL;
      g_autoptr (GError) error = NULL;
      SlPictureOptions o;

      setup_picture (&o, SL_PICTURE_ALL, 6);
      a = sl_picture_render (analysis, &o, formats[i], 1, &error);
      g_assert_no_error (error);
      o.look = SL_LOOK_DARK;
      between = sl_picture_render (analysis, &o, formats[i], 1, &error);
      g_assert_no_error (error);
      o.look = SL_LOOK_LIGHT;
      b = sl_picture_render (analysis, &o, formats[i], 1, &error);
      g_assert_no_error (error);
      g_assert_true (g_bytes_equal (a, b));
      g_assert_false (g_bytes_equal (a, between));
      g_assert_cmpint (memcmp (g_bytes_get_data (a, NULL), starts[i], strlen (starts[i])), ==, 0);
    }
}

typedef struct
{
  const SlAnalysis *analysis;
  double screen_scale; /* 0: nothing was on the screen */
} Drawn;

static gpointer
draw_after_screen (gpointer data)
{
  const Drawn *drawn = data;
  g_autoptr (GError) error = NULL;
  SlPictureOptions o;
  GBytes *bytes;

  setup_picture (&o, SL_PICTURE_ALL, 6);
  if (drawn->screen_scale > 0)
    {
      o.text_scale = drawn->screen_scale;
      draw (drawn->analysis, &o, NULL);
      o.text_scale = 1;
    }
  bytes = sl_picture_render (drawn->analysis, &o, SL_FORMAT_SVG, 1, &error);
  g_assert_no_error (error);
  return bytes;
}

/* Each thread keeps its lines of text: what was on the screen before, at a text size that is another by a hair's
 * breadth from rounding, leaves nothing in a file. */
static void
test_same_bytes_after_screen (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const double scales[] = { 0.999976, 1.00002, 1.0004, 1.25 };
  Drawn drawn = { analysis, 0 };
  g_autoptr (GBytes) alone = g_thread_join (g_thread_new ("alone", draw_after_screen, &drawn));

  for (guint i = 0; i < G_N_ELEMENTS (scales); i++)
    {
      g_autoptr (GBytes) after = NULL;

      drawn.screen_scale = scales[i];
      after = g_thread_join (g_thread_new ("after", draw_after_screen, &drawn));
      g_test_message ("after a screen at %g", scales[i]);
      g_assert_true (g_bytes_equal (after, alone));
    }
}

static void
test_svg_sound (void)
{
  g_autofree char *xmllint = g_find_program_in_path ("xmllint"), *path = NULL, *dir = NULL, *err = NULL;
  g_autoptr (GError) error = NULL;

  if (!xmllint)
    {
      g_test_skip ("xmllint is not there");
      return;
    }
  dir = g_dir_make_tmp ("sidelong-draw-XXXXXX", &error);
  g_assert_no_error (error);
  path = g_build_filename (dir, "a.svg", NULL);
  for (guint seed = 1; seed <= 4; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      g_autoptr (GBytes) bytes = NULL;
      char *argv[] = { xmllint, (char *) "--noout", path, NULL };
      SlPictureOptions o;
      int status = -1;

      setup_picture (&o, SL_PICTURE_ALL, SL_ALL_STRINGS);
      bytes = sl_picture_render (analysis, &o, SL_FORMAT_SVG, 1, &error);
      g_assert_no_error (error);
      g_file_set_contents (path, g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes), &error);
      g_assert_no_error (error);
      g_clear_pointer (&err, g_free);
      g_spawn_sync (NULL, argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, &err, &status, &error);
      g_assert_no_error (error);
      g_assert_cmpstr (err, ==, "");
      g_assert_cmpint (status, ==, 0);
      g_rand_free (rand);
    }
  g_unlink (path);
  g_rmdir (dir);
}

static void
test_too_large (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autoptr (GError) error = NULL;
  SlPictureOptions o;

  setup_picture (&o, SL_PICTURE_ALL, 1);
  g_assert_null (sl_picture_render (analysis, &o, SL_FORMAT_PNG, 1000, &error));
  g_assert_error (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE);
}

static void
test_format_names (void)
{
  SlFormat format;

  g_assert_true (sl_format_from_name ("a.svg", &format));
  g_assert_cmpint (format, ==, SL_FORMAT_SVG);
  g_assert_true (sl_format_from_name ("side.view.PNG", &format));
  g_assert_cmpint (format, ==, SL_FORMAT_PNG);
  g_assert_true (sl_format_from_name ("/tmp/x.pdf", &format));
  g_assert_cmpint (format, ==, SL_FORMAT_PDF);
  g_assert_false (sl_format_from_name ("a.jpg", &format));
  g_assert_false (sl_format_from_name (".svg", &format));
  g_assert_false (sl_format_from_name ("svg", &format));
}

/* ISO 7200: whose and of when; ISO 5455: the scale, worked out here from a CSS pixel of 1/96 in. Nothing to take hold
 * of. */
static void
test_title_block (void)
{
  static const SlPictureKind kinds[] = { SL_PICTURE_SIDE, SL_PICTURE_ALL };
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autofree char *scale = NULL, *heights = NULL;
      const SlPictureLabel *title, *said;
      SlPictureOptions o;
      SlPictureMap map;

      setup_picture (&o, kinds[i], 6);
      o.title = "Harbour parlour";
      sl_picture_map_init (&map);
      draw (analysis, &o, &map);
      scale = g_strdup_printf ("1 : %.1f along the neck", 1 / (map.units_per_mm_along * 25.4 / 96));
      heights = g_strdup_printf ("heights × %.0f", map.height_factor);
      title = shown_find (&map, "Harbour parlour");
      said = shown_find (&map, scale);
      g_assert_true (title != NULL && said != NULL && shown_says (&map, heights));
      g_assert_cmpfloat (title->rect.y, ==, said->rect.y);
      for (guint l = 0; l < map.labels->len; l++) /* it stands below everything else */
        g_assert_cmpfloat (g_array_index (map.labels, SlPictureLabel, l).rect.y, <=,
                           title->rect.y + 2 * title->rect.height);
      for (int h = 0; h < SL_N_HANDLES; h++)
        g_assert_false (map.handles[h].shown);
      o.title = NULL;
      draw (analysis, &o, &map);
      g_assert_null (shown_find (&map, scale));
      g_assert_true (map.handles[SL_HANDLE_CREST].shown);
      sl_picture_map_clear (&map);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/picture/map", test_map);
  g_test_add_func ("/draw/picture/fills-stage", test_fills_stage);
  g_test_add_func ("/draw/picture/true-proportions", test_true_proportions);
  g_test_add_func ("/draw/picture/same-bytes", test_same_bytes);
  g_test_add_func ("/draw/picture/same-bytes-after-screen", test_same_bytes_after_screen);
  g_test_add_func ("/draw/picture/svg-sound", test_svg_sound);
  g_test_add_func ("/draw/picture/too-large", test_too_large);
  g_test_add_func ("/draw/picture/format-names", test_format_names);
  g_test_add_func ("/draw/picture/title-block", test_title_block);
  return g_test_run ();
}
