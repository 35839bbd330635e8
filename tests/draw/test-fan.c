/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fan of what is heard: shut and level where the string is in tune, open upward where it is sharp and downward
 * where it is flat, steeper the higher the partial, thick where it is loud; the figure as large as it has to be from
 * two metres; in every palette, size and state no text on another. Lines are made here from their frequencies. */
#include "draw/draw.h"
#include "shown.h"

#include <math.h>
#include <string.h>

#define WIDTH 1000
#define HEIGHT 480
#define STEP_S 0.02
#define N_LINES 8
#define MOST_COLUMNS 600
#define EXPECTED_HZ 82.41 /* E2 in equal temperament over A4 = 440 Hz */
#define PLAIN_DB_S 12.0   /* how fast a made note dies */
#define TOLERANCE 1.0
#define LEAST_PIXELS 200

typedef struct
{
  float turns[N_LINES][MOST_COLUMNS], level[N_LINES][MOST_COLUMNS];
  SlFanPicture picture;
} Made;

/* A note @cents off, @seconds after the pluck: partial k gains k f (2^(c/1200) − 1) turns a second. */
static void
make (Made *made, double cents, double seconds)
{
  made->picture = (SlFanPicture){ .n = (guint) lround (seconds / STEP_S),
                                  .step_s = STEP_S,
                                  .n_lines = N_LINES,
                                  .expected_hz = EXPECTED_HZ,
                                  .tolerance = TOLERANCE,
                                  .cents = seconds > 0 ? cents : NAN,
                                  .range = seconds > 1 ? 0.2 : NAN };
  for (int k = 1; k <= N_LINES; k++)
    {
      for (guint i = 0; i < made->picture.n; i++)
        {
          made->turns[k - 1][i] = (float) (k * EXPECTED_HZ * (exp2 (cents / 1200) - 1) * i * STEP_S);
          made->level[k - 1][i] = (float) (-2.0 * (k - 1) - PLAIN_DB_S * i * STEP_S);
        }
      made->picture.turns[k - 1] = made->turns[k - 1];
      made->picture.level[k - 1] = made->level[k - 1];
    }
}

static SlPictureOptions
options_of (double width, double height, SlLook look)
{
  SlPictureOptions options;

  sl_picture_options_init (&options);
  options.width = width;
  options.height = height;
  options.look = look;
  return options;
}

/* Pixels of an ink in the fan above @foot, between two places across, with the mean of their heights and how far apart
 * they lie. */
static int
count_ink (cairo_surface_t *surface, SlLook look, SlInk ink, int from, int to, int foot, double *mean, int *spread)
{
  const SlColour colour = sl_palette (look)[ink];
  const guint32 wanted = 0xff000000u | (guint32) lround (colour.r * 255) << 16 |
                         (guint32) lround (colour.g * 255) << 8 | (guint32) lround (colour.b * 255);
  int n = 0, top = foot, bottom = 0;
  double sum = 0;

  for (int y = 0; y < foot; y++)
    for (int x = from; x < to; x++)
      if (*(const guint32 *) (const void *) (cairo_image_surface_get_data (surface) +
                                             y * cairo_image_surface_get_stride (surface) + 4 * x) == wanted)
        {
          sum += y + 0.5;
          top = MIN (top, y);
          bottom = MAX (bottom, y);
          n++;
        }
  *mean = n > 0 ? sum / n : NAN;
  *spread = MAX (0, bottom - top);
  return n;
}

static cairo_surface_t *
draw (const SlFanPicture *fan, SlLook look, SlPictureMap *map)
{
  const SlPictureOptions options = options_of (WIDTH, HEIGHT, look);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
  cairo_t *cr = cairo_create (surface);

  if (map != NULL)
    g_array_set_size (map->labels, 0);
  sl_fan_draw (cr, fan, &options, map);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

/* The line of 0 turns lies by its label. */
static double
level_of (const SlPictureMap *map)
{
  const SlPictureLabel *zero = shown_find (map, "0");

  g_assert_nonnull (zero);
  return zero->rect.y + zero->rect.height / 2;
}

static void
test_ways (void)
{
  static const double cents[] = { -20, -3, -1.2, 0, 0.4, 1.2, 3, 20 };
  const int foot = HEIGHT * 66 / 100;
  g_autofree Made *made = g_new0 (Made, 1);
  SlPictureMap map;

  sl_picture_map_init (&map);
  for (int look = 0; look < SL_N_LOOKS; look++)
    for (guint i = 0; i < G_N_ELEMENTS (cents); i++)
      {
        double mean, level, near, far;
        int spread, unused;

        make (made, cents[i], 2);
        cairo_surface_t *surface = draw (&made->picture, (SlLook) look, &map);

        level = level_of (&map);
        g_assert_cmpint (count_ink (surface, (SlLook) look, SL_INK_PLANNED, 90, WIDTH, foot, &mean, &spread), >=,
                         cents[i] == 0 ? 0 : LEAST_PIXELS);
        if (cents[i] == 0) /* the fundamental covers the others: all are level */
          {
            g_assert_cmpint (count_ink (surface, (SlLook) look, SL_INK_TEXT, 90, 600, foot, &mean, &spread), >=,
                             LEAST_PIXELS);
            g_assert_cmpfloat_with_epsilon (mean, level, 1.5);
            g_assert_cmpint (spread, <=, HEIGHT / 30);
          }
        else
          g_assert_true (cents[i] > 0 ? mean < level : mean > level);
        /* it opens: farther from level at the right than at the left, by the fundamental alone as well */
        count_ink (surface, (SlLook) look, SL_INK_TEXT, 100, 140, foot, &near, &unused);
        count_ink (surface, (SlLook) look, SL_INK_TEXT, 220, 260, foot, &far, &unused);
        g_assert_cmpfloat (fabs (far - level) - fabs (near - level), >=, fabs (cents[i]) > 1 ? 0.8 : -0.8);
        g_assert_true (shown_says (&map, fabs (cents[i]) <= TOLERANCE ? "in tune" : cents[i] > 0 ? "sharp" : "flat"));
        cairo_surface_destroy (surface);
      }
  sl_picture_map_clear (&map);
}

/* A loud line is thick and thins as it dies. */
static void
test_thickness (void)
{
  g_autofree Made *made = g_new0 (Made, 1);
  double mean;
  int loud, quiet;

  make (made, 0, 3);
  cairo_surface_t *surface = draw (&made->picture, SL_LOOK_LIGHT, NULL);

  count_ink (surface, SL_LOOK_LIGHT, SL_INK_TEXT, 120, 140, HEIGHT * 66 / 100, &mean, &loud);
  count_ink (surface, SL_LOOK_LIGHT, SL_INK_TEXT, 800, 820, HEIGHT * 66 / 100, &mean, &quiet);
  g_assert_cmpint (loud, >=, quiet + 3);
  cairo_surface_destroy (surface);
}

/* A sixth of the height at least, wherever it has the width of a window for it. */
static void
test_figure (void)
{
  static const double sizes[][2] = { { 620, 300 }, { 1000, 480 }, { 1280, 420 }, { 2400, 900 } };
  g_autofree Made *made = g_new0 (Made, 1);
  SlPictureMap map;

  sl_picture_map_init (&map);
  make (made, -12.34, 2);
  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      const SlPictureOptions options = options_of (sizes[i][0], sizes[i][1], SL_LOOK_LIGHT);
      cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
      cairo_t *cr = cairo_create (surface);
      const SlPictureLabel *figure;

      g_array_set_size (map.labels, 0);
      sl_fan_draw (cr, &made->picture, &options, &map);
      figure = shown_find (&map, "−12.3");
      g_assert_nonnull (figure);
      g_assert_cmpfloat (figure->rect.height, >=, sizes[i][1] / 6);
      g_assert_true (shown_says (&map, "± 0.2 cents"));
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
  sl_picture_map_clear (&map);
}

/* Whatever the size, text size, palette and state of the note. */
static void
test_texts (void)
{
  static const double sizes[][2] = { { 420, 260 }, { 620, 300 }, { 820, 420 }, { 1280, 420 }, { 2400, 900 } },
                      texts[] = { 1, 1.25, 1.5, 2 }, seconds[] = { 0, 0.4, 2.5, 9 }, cents[] = { 0, 0.3, -104.7 };
  g_autofree Made *made = g_new0 (Made, 1);
  SlPictureMap map;

  sl_picture_map_init (&map);
  for (guint i = 0; i < 5 * 4 * 4 * 3; i++)
    {
      SlPictureOptions options = options_of (sizes[i % 5][0], sizes[i % 5][1], (SlLook) (i % SL_N_LOOKS));
      cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
      cairo_t *cr = cairo_create (surface);

      options.text_scale = texts[i / 5 % 4];
      options.decimal = i % 2 == 0 ? "." : ",";
      make (made, cents[i / 80], seconds[i / 20 % 4]);
      if (i % 7 == 0) /* partials come and go */
        for (guint n = 0; n < made->picture.n; n += 9)
          made->turns[i % N_LINES][n] = NAN;
      g_array_set_size (map.labels, 0);
      sl_fan_draw (cr, &made->picture, &options, &map);
      g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
      shown_check (&map, &options, i);
      g_assert_true (shown_says (&map, made->picture.n == 0 ? "pluck" : "cents"));
      g_assert_nonnull (shown_find (&map, i % 2 == 0 ? "± 1.0 cents" : "± 1,0 cents"));
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
  sl_picture_map_clear (&map);
}

/* Where nothing is asked, nothing is shown. */
static void
test_nothing (void)
{
  g_autofree Made *made = g_new0 (Made, 1);
  SlPictureMap map;

  sl_picture_map_init (&map);
  make (made, 0, 0);
  made->picture.expected_hz = NAN;
  cairo_surface_destroy (draw (&made->picture, SL_LOOK_LIGHT, &map));
  g_assert_cmpuint (map.labels->len, ==, 0);
  sl_picture_map_clear (&map);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fan/ways", test_ways);
  g_test_add_func ("/fan/thickness", test_thickness);
  g_test_add_func ("/fan/figure", test_figure);
  g_test_add_func ("/fan/texts", test_texts);
  g_test_add_func ("/fan/nothing", test_nothing);
  return g_test_run ();
}
