/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is measured in pictures of which everything is known (made-picture.h): the error lies within U. And the
 * reckoning by hand, against the pinhole's equations and against marks drawn by chance (JCGM 101:2008). */
#include "../rounds.h"
#include "made-picture.h"
#include "photo/measure.h"

#include <gsl/gsl_sort_double.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

#define DEG (G_PI / 180)
#define MOST 20000
#define near(a, b, tolerance) g_assert_cmpfloat_with_epsilon (a, b, tolerance)

static double
between (GRand *chance, double least, double most)
{
  return g_rand_double_range (chance, least, most);
}

/* ---- errors told ---- */

typedef struct
{
  double off[MOST], over_u[MOST];
  int n, missed;
} Errors;

static Errors *
errors_new (void)
{
  return g_new0 (Errors, 1);
}

static void
errors_add (Errors *errors, double off, double u)
{
  g_assert_true (isfinite (off) && isfinite (u) && errors->n < MOST);
  errors->off[errors->n] = fabs (off);
  errors->over_u[errors->n++] = fabs (off) / u;
}

static double
percentile (double *of, int n, double share)
{
  gsl_sort (of, 1, (gsize) n);
  return gsl_stats_quantile_from_sorted_data (of, 1, (gsize) n, share);
}

/* Of errors told with their u: the share within 2 u, at least @least of them less three standard deviations of the
 * binomial distribution. */
static void
errors_tell (Errors *e, const char *what, const char *unit, double within)
{
  int in = 0;
  double share;

  for (int i = 0; i < e->n; i++)
    in += e->over_u[i] <= 2;
  share = (double) in / e->n;
  g_test_message ("%s: %d, %d not found; error 50 %% %.4f, 90 %% %.4f, 95 %% %.4f, 99 %% %.4f, 100 %% %.4f %s; over U "
                  "50 %% %.2f, 95 %% %.2f, 100 %% %.2f; U holds %.1f %%",
                  what, e->n, e->missed, percentile (e->off, e->n, 0.5), percentile (e->off, e->n, 0.9),
                  percentile (e->off, e->n, 0.95), percentile (e->off, e->n, 0.99), percentile (e->off, e->n, 1), unit,
                  percentile (e->over_u, e->n, 0.5) / 2, percentile (e->over_u, e->n, 0.95) / 2,
                  percentile (e->over_u, e->n, 1) / 2, 100 * share);
  g_assert_cmpfloat (share, >=, within - 3 * sqrt (within * (1 - within) / e->n));
}

/* ---- edges ---- */

/* IEC 61966-2-1: 0.04045 of full scale is where the curve begins; half the light is coded as 187.5 (by the formula of
 * the standard). Weights of the primaries: ITU-R BT.709. */
static void
test_light (void)
{
  g_autoptr (GdkPixbuf) picture = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, 5, 1);
  static const guint8 pixels[] = { 0, 0, 0, 255, 255, 255, 188, 188, 188, 10, 10, 10, 255, 0, 0 };
  g_autoptr (SlGrey) grey = NULL;

  memcpy (gdk_pixbuf_get_pixels (picture), pixels, sizeof pixels);
  grey = sl_grey_new (picture);
  near (grey->at[0], 0, 1e-7);
  near (grey->at[1], 1, 1e-6);
  near (grey->at[2], 0.5029, 5e-5);
  near (grey->at[3], 10 / 255.0 / 12.92, 1e-6);
  near (grey->at[4], 0.2126, 1e-6);
}

/* A straight edge of two kinds of light through a place, at a slant against the line; blur, contrast and all angles by
 * chance. */
static void
try_edge (GRand *chance, const MadeCoding *coding, double most_slant, Errors *errors)
{
  const double x = 32 + between (chance, -1, 1), y = 32 + between (chance, -1, 1),
               angle = between (chance, 0, 2 * G_PI), cut = angle + between (chance, -1, 1) * most_slant * DEG;
  const double c = cos (angle), s = sin (angle), a = 90 * cos (cut), b = 90 * sin (cut);
  const double half[] = { x - b, y + a, x + b, y - a, x + b + a, y - a + b, x - b + a, y + a + b };
  g_autoptr (MadePicture) made = made_new (64, 64, between (chance, 0.02, 0.15));
  g_autoptr (GdkPixbuf) picture = NULL;
  g_autoptr (SlGrey) grey = NULL;
  SlEdge edge;

  made_polygon (made, half, 4, between (chance, 0.3, 0.9));
  picture = made_pixbuf (made, coding, chance);
  grey = sl_grey_new (picture);
  if (!sl_edge_find (grey, (SlSpot){ x - 20 * c, y - 20 * s }, (SlSpot){ x + 20 * c, y + 20 * s },
                     20 + between (chance, -3, 3), 6, &edge))
    {
      errors->missed++;
      return;
    }
  g_assert_cmpfloat (edge.step, >, 0);
  near ((edge.at.x - x) * s - (edge.at.y - y) * c, 0, 1e-9); /* on the line */
  errors_add (errors, (edge.at.x - x) * c + (edge.at.y - y) * s, edge.u_px);
}

static void
test_edges (void)
{
  static const struct
  {
    const char *what;
    double least_blur, most_blur, noise, slant;
    int quality;
    double half, most; /* px: 50 % and 95 % are within */
  } rows[] = {
    { "edges, sharp to soft, as drawn", 0.5, 3, 0, 40, 0, 0.01, 0.03 },
    { "edges, JPEG 75", 0.5, 3, 0, 40, 75, 0.03, 0.1 },
    { "edges, noise 2 %, upright", 0.5, 3, 0.02, 0, 0, 0.04, 0.13 },
    { "edges, noise 2 %, JPEG 75", 0.5, 3, 0.02, 40, 75, 0.05, 0.15 },
    { "edges, noise 2 %, JPEG 95, blur to 1.5 px", 0.5, 1.5, 0.02, 40, 95, 0.04, 0.1 },
    { "edges, noise 2 %, JPEG 85, blur 3 px", 3, 3, 0.02, 40, 85, 0.07, 0.22 },
  };
  g_autoptr (GRand) chance = g_rand_new_with_seed (161);

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree Errors *errors = errors_new ();

      for (int n = test_rounds (300); n > 0; n--)
        {
          const MadeCoding coding = { .blur = between (chance, rows[i].least_blur, rows[i].most_blur),
                                      .noise = rows[i].noise,
                                      .tint = 0.2,
                                      .quality = rows[i].quality };

          try_edge (chance, &coding, rows[i].slant, errors);
        }
      errors_tell (errors, rows[i].what, "px", 0.95);
      g_assert_cmpint (errors->missed, ==, 0);
      if (errors->n < 300) /* few say little of their tail */
        continue;
      g_assert_cmpfloat (percentile (errors->off, errors->n, 0.5), <, rows[i].half);
      g_assert_cmpfloat (percentile (errors->off, errors->n, 0.95), <, rows[i].most);
    }
}

/* A band @wide px across the line of 60 px through the middle of a picture, its middle at 30 + @at. */
static SlGrey *
made_band (GRand *chance, const MadeCoding *coding, double at, double wide, double ground, double light)
{
  g_autoptr (MadePicture) made = made_new (80, 60, ground);
  const double l = 40 + at - wide / 2, r = 40 + at + wide / 2, band[] = { l, -9, r, -9, r, 99, l, 99 };
  g_autoptr (GdkPixbuf) picture = NULL;

  made_polygon (made, band, 4, light);
  picture = made_pixbuf (made, coding, chance);
  return sl_grey_new (picture);
}

/* Of a string 5 px thick the side that is nearer, of a graduation 3 px wide the middle; dark on light and light on
 * dark. */
static void
test_thin (void)
{
  const SlSpot from = { 10, 30 }, to = { 70, 30 };
  g_autofree Errors *sides = errors_new (), *middles = errors_new ();
  g_autoptr (GRand) chance = g_rand_new_with_seed (162);

  for (int n = 0; n < test_rounds (300); n++)
    {
      const gboolean string = n % 2 == 0, dark = n % 4 < 2;
      const double wide = string ? 5 : 3, at = between (chance, -1, 1), side = g_rand_boolean (chance) ? 1 : -1;
      const MadeCoding coding = { .blur = between (chance, 0.5, string ? 2 : 3), .noise = 0.01, .quality = 90 };
      g_autoptr (SlGrey) grey = made_band (chance, &coding, at, wide, dark ? 0.6 : 0.05, dark ? 0.05 : 0.6);
      SlEdge edge;

      if (!sl_edge_find (grey, from, to, 30 + at + side * (wide / 2 + between (chance, -1, 2)), 6, &edge) ||
          edge.line_px == 0)
        {
          sides->missed++;
          continue;
        }
      if (string)
        {
          errors_add (sides, edge.at.x - (40 + at + side * wide / 2), edge.u_px);
          g_assert_cmpfloat (edge.step * (dark ? side : -side), >, 0);
        }
      errors_add (middles, edge.middle.x - (40 + at), edge.middle_u_px);
    }
  errors_tell (sides, "sides of a string 5 px thick", "px", 0.95);
  errors_tell (middles, "middles of lines 3 and 5 px wide", "px", 0.95);
  g_assert_cmpint (sides->missed, <=, MAX (1, test_rounds (300) / 100));
  g_assert_cmpfloat (percentile (sides->off, sides->n, 0.95), <, 0.15);
  g_assert_cmpfloat (percentile (middles->off, middles->n, 0.95), <, 0.1);
}

/* Nothing in nothing: flat light, flat noise, lines that are none or lie outside. */
static void
test_no_edge (void)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (163);
  int found = 0;

  for (int n = 0; n < test_rounds (100); n++)
    {
      const MadeCoding coding = { .noise = n % 4 * 0.01, .quality = n % 2 * 80 };
      g_autoptr (SlGrey) grey = made_band (chance, &coding, 0, 1, 0.4, 0.4);
      SlEdge edge;

      found += sl_edge_find (grey, (SlSpot){ 10, 30 }, (SlSpot){ 70, 30 }, between (chance, 0, 60), 8, &edge);
      g_assert_false (sl_edge_find (grey, (SlSpot){ 10, 30 }, (SlSpot){ 10, 30 }, 0, 8, &edge));
      g_assert_false (sl_edge_find (grey, (SlSpot){ -90, 30 }, (SlSpot){ -20, 30 }, 9, 8, &edge));
      g_assert_false (sl_edge_find (grey, (SlSpot){ NAN, 30 }, (SlSpot){ -20, 30 }, 9, 8, &edge));
      g_assert_false (sl_edge_find (grey, (SlSpot){ 10, 30 }, (SlSpot){ 70, 30 }, 30, NAN, &edge));
    }
  g_test_message ("%d edges found in flat light", found);
  g_assert_cmpint (found, <=, MAX (1, test_rounds (100) / 50));
}

/* A camera that codes light by a power of its own, from 1.8 to 2.7 where the standard has 2.2, shifts an edge by a
 * share of the blur: what SL_BLUR_SHARE stands for. */
static void
test_blur_share (void)
{
  static const double powers[] = { 1.8, 2, 2.2, 2.4, 2.7 };
  g_autoptr (GRand) chance = g_rand_new_with_seed (164);
  double most = 0;

  for (guint i = 0; i < G_N_ELEMENTS (powers); i++)
    for (double blur = 1; blur <= 3; blur += 1)
      {
        const MadeCoding coding = { .blur = blur, .power = 1 / powers[i] };
        g_autoptr (SlGrey) grey = made_band (chance, &coding, 15, 30, 0.08, 0.8);
        SlEdge edge;

        g_assert_true (sl_edge_find (grey, (SlSpot){ 10, 30 }, (SlSpot){ 70, 30 }, 30, 6, &edge));
        g_test_message ("coded by %.1f, blur %.0f px: off %+.3f of the blur", powers[i], blur, (edge.at.x - 40) / blur);
        most = fmax (most, fabs (edge.at.x - 40) / blur);
      }
  g_assert_cmpfloat (most, <, 2 * SL_BLUR_SHARE);
}

/* White that is burnt out, light being up to 1.8 times what a pixel can show: the edge is where half of the light is,
 * not half of the white. */
static void
test_burnt_out (void)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (166);

  for (double most = 1.2; most < 2; most += 0.3)
    for (double blur = 1; blur <= 2; blur += 0.5)
      {
        const MadeCoding coding = { .blur = blur };
        g_autoptr (SlGrey) grey = made_band (chance, &coding, 15, 30, 0.04, 0.8);
        SlEdge edge;

        for (int i = 0; i < grey->width * grey->height; i++)
          grey->at[i] = fminf (1, grey->at[i] * (float) (most / 0.8));
        g_assert_true (sl_edge_find (grey, (SlSpot){ 10, 30 }, (SlSpot){ 70, 30 }, 30, 6, &edge));
        g_test_message ("light %.1f, blur %.1f px: off %+.3f px, u %.3f px", most, blur, edge.at.x - 40, edge.u_px);
        g_assert_cmpfloat (fabs (edge.at.x - 40), <, 0.15 * blur);
      }
}

/* ---- the reckoning ---- */

static SlPhoto
photo_new (void)
{
  SlPhoto photo = { .out_of_plane = SL_NUMBER_ABSENT };

  photo.known = g_array_new (FALSE, FALSE, sizeof (SlKnownLength));
  photo.marks = g_array_new (FALSE, FALSE, sizeof (SlMark));
  return photo;
}

static void
photo_clear (SlPhoto *photo)
{
  g_array_unref (photo->known);
  g_array_unref (photo->marks);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlPhoto, photo_clear)

static SlKnownLength *
add_known (SlPhoto *photo, double x1, double y1, double x2, double y2, double length)
{
  SlKnownLength known = sl_known_length_init ();
  const double x[] = { x1, x2 }, y[] = { y1, y2 };

  for (int i = 0; i < 2; i++)
    {
      known.x[i] = sl_number (x[i]);
      known.y[i] = sl_number (y[i]);
    }
  known.length = sl_number (length);
  g_array_append_val (photo->known, known);
  return &g_array_index (photo->known, SlKnownLength, photo->known->len - 1);
}

static SlMark
mark_at (SlMeasure of, const double *places, int n)
{
  SlMark mark = sl_mark_init (of);

  for (int i = 0; i < n; i++)
    {
      mark.x[i] = sl_number (places[2 * i]);
      mark.y[i] = sl_number (places[2 * i + 1]);
    }
  return mark;
}

static SlMeasured
measured (const SlPhoto *photo, const SlMark *mark)
{
  g_autofree char *why = NULL;
  SlMeasured out;

  why = sl_photo_measure (photo, mark, &out);
  g_assert_cmpstr (why, ==, NULL);
  return out;
}

static void
refused (const SlPhoto *photo, const SlMark *mark, const char *word)
{
  SlMeasured out;
  g_autofree char *why = sl_photo_measure (photo, mark, &out);

  g_assert_nonnull (why);
  g_assert_nonnull (strstr (why, word));
}

/* By hand: 10 mm over 500 px, 0.02 mm a px; 60 by 80 px are 100 px, 2 mm. u by GUM 5.1.2. */
static void
test_by_hand (void)
{
  static const double places[] = { 100, 100, 160, 180 };
  g_auto (SlPhoto) photo = photo_new ();
  SlKnownLength *known = add_known (&photo, 50, 40, 350, 440, 10);
  SlMark mark = mark_at (SL_MEASURE_ACTION, places, 2);
  SlPhotoScale scale;
  SlMeasured m;
  double share;

  g_assert_true (sl_photo_scale (&photo, &scale));
  near (scale.mm_per_px, 0.02, 1e-12);
  near (scale.direction, -53.13010, 1e-4); /* a 3-4-5 triangle, down to the right */
  g_assert_true (isnan (scale.apart));
  share = hypot (0.01 / 10, 0.5 * G_SQRT2 / 500);
  near (scale.u_share, share, 1e-9);
  m = measured (&photo, &mark);
  near (m.value, 2, 1e-9);
  near (m.u_scale, 2 * share, 1e-8);
  near (m.u_edges, 0.5 * G_SQRT2 * 0.02, 1e-8);
  near (m.u_blur, 0, 1e-12);
  near (m.u_plane, 2 * 0.01 / sqrt (3), 1e-9); /* a rectangle's: GUM 4.3.7 */
  near (m.U, 2 * sqrt (m.u_scale * m.u_scale + m.u_edges * m.u_edges + m.u_plane * m.u_plane), 1e-9);

  known->u[0] = known->u[1] = mark.u[0] = sl_number (0.05);
  mark.u[1] = sl_number (0.12);
  known->uncertainty = sl_number (0.1);
  known->blur = sl_number (2);
  mark.blur = sl_number (1.5);
  photo.out_of_plane = sl_number (0.003);
  m = measured (&photo, &mark);
  near (m.u_edges, 0.13 * 0.02, 1e-8); /* 5, 12, 13 */
  near (m.u_blur, 0.15 * G_SQRT2 * 0.02, 1e-8);
  near (m.u_scale, 2 * sqrt (0.005 * 0.005 + 2 * (0.05 * 0.05 + 0.2 * 0.2) / (500.0 * 500)), 1e-8);
  near (m.u_plane, 2 * 0.003 / sqrt (3), 1e-9);
}

/* A tenth of the known length makes ten times the share; what is ten times as long has ten times the u. */
static void
test_short_known (void)
{
  static const double places[] = { 0, 0, 1000, 0 }, tenth[] = { 0, 0, 100, 0 };
  g_auto (SlPhoto) photo = photo_new ();
  const SlMark longer = mark_at (SL_MEASURE_EXPOSURE, places, 2), shorter = mark_at (SL_MEASURE_EXPOSURE, tenth, 2);

  add_known (&photo, 0, 0, 100, 0, 1)->uncertainty = sl_number (0);
  near (measured (&photo, &longer).u_scale, 10 * G_SQRT2 * 0.5 / 100, 1e-6);
  near (measured (&photo, &shorter).u_scale, 1 * G_SQRT2 * 0.5 / 100, 1e-7);
}

/* Two known lengths: the mean by weight, and their difference in place of the assumed 1 %. */
static void
test_two_known (void)
{
  static const double places[] = { 0, 0, 0, 100 };
  g_auto (SlPhoto) photo = photo_new ();
  const SlMark mark = mark_at (SL_MEASURE_EXPOSURE, places, 2);
  SlPhotoScale scale;

  add_known (&photo, 0, 0, 100, 0, 10)->uncertainty = sl_number (0);
  add_known (&photo, 0, 90, 99, 90, 10)->uncertainty = sl_number (0);
  g_assert_true (sl_photo_scale (&photo, &scale));
  near (scale.apart, 0.01, 1e-4);
  near (scale.mm_per_px, 0.1005, 2e-5);
  near (scale.u_share, G_SQRT2 * 0.5 / 99.5 / G_SQRT2, 1e-5);
  near (measured (&photo, &mark).u_plane, 10.05 * scale.apart / sqrt (3), 1e-6);
}

/* An angle needs no known length: 45°, and by how much an end px across its leg turns it. */
static void
test_angle (void)
{
  static const double places[] = { 0, 0, 100, 0, 200, 100 }, straight[] = { 0, 0, 100, 0, 200, 0 };
  g_auto (SlPhoto) photo = photo_new ();
  SlMark mark = mark_at (SL_MEASURE_BREAK_ANGLE, places, 3);
  const SlMark none = mark_at (SL_MEASURE_BREAK_ANGLE, straight, 3);
  SlMeasured m;

  for (int i = 0; i < 3; i++)
    mark.u[i] = sl_number (i == 0 ? 1 : 0);
  m = measured (&photo, &mark);
  near (m.value, 45, 1e-9);
  near (m.u_scale, 0, 1e-12);
  near (m.u_edges, 0.01 / DEG, 1e-6);
  near (m.u_plane, sin (45 * DEG) * 0.01 / sqrt (3) / DEG, 1e-9);
  near (measured (&photo, &none).value, 0, 1e-12);
  add_known (&photo, 5, 5, 5, 5, 10); /* nor does one that says nothing hinder it */
  near (measured (&photo, &mark).u_plane, m.u_plane, 1e-12);
}

static void
set_flat (SlPhoto *photo, const double *corners, double width, double height)
{
  photo->flat.given = TRUE;
  for (int i = 0; i < 4; i++)
    {
      photo->flat.x[i] = sl_number (corners[2 * i]);
      photo->flat.y[i] = sl_number (corners[2 * i + 1]);
    }
  photo->flat.width = sl_number (width);
  photo->flat.height = sl_number (height);
}

static void
test_refused (void)
{
  static const double apart[] = { 10, 10, 90, 10, 50, 50 }, same[] = { 10, 10, 10.5, 10.5 };
  static const double bow[] = { 0, 0, 100, 100, 100, 0, 0, 100 }, dent[] = { 0, 0, 100, 0, 30, 30, 0, 100 };
  static const double straight[] = { 0, 0, 50, 0, 100, 0, 50, 80 }, once[] = { 5, 5, 5, 5, 5, 5, 5, 5 };
  static const double steep[] = { 0, 0, 100, 0, 60, 40, 40, 40 }, far[] = { 50, 10, 50, -3000 },
                      up[] = { 50, 10, 50, 80 };
  static const double *const none[] = { bow, dent, straight, once };
  g_auto (SlPhoto) photo = photo_new ();
  const SlMark mark = mark_at (SL_MEASURE_ACTION, apart, 2), one = mark_at (SL_MEASURE_ACTION, same, 2),
               angle = mark_at (SL_MEASURE_BREAK_ANGLE, apart, 2), out = mark_at (SL_MEASURE_ACTION, far, 2),
               beyond = mark_at (SL_MEASURE_ACTION, up, 2);
  SlPhotoScale scale;
  SlSpot flat;

  refused (&photo, &mark, "known");
  refused (&photo, &angle, "three");
  g_assert_false (sl_photo_scale (&photo, &scale));
  add_known (&photo, 5, 5, 5, 5, 10);
  refused (&photo, &mark, "one place");
  g_assert_false (sl_photo_scale (&photo, &scale));
  g_array_set_size (photo.known, 0);
  add_known (&photo, 5, 5, 55, 5, 10);
  refused (&photo, &one, "one place");
  for (guint i = 0; i < G_N_ELEMENTS (none); i++)
    {
      set_flat (&photo, none[i], 80, 50);
      refused (&photo, &mark, "rectangle");
      g_assert_false (sl_photo_flatten (&photo, (SlSpot){ 1, 1 }, &flat));
      g_assert_false (sl_photo_scale (&photo, &scale));
    }
  set_flat (&photo, steep, 80, 50);
  measured (&photo, &mark);
  refused (&photo, &beyond, "out of sight"); /* sides meet at y = 50 */
  measured (&photo, &out);
}

/* ---- four corners ---- */

/* Seen through a pinhole (Hartley and Zisserman 6.1), a square of the plane stays one within 0.2 % for tilts up to 40°:
 * corners to a tenth of a px, as edges are found. Without rounding it is exact. */
static void
test_square (void)
{
  static const double X[] = { -40, 40, 40, -40 }, Y[] = { -25, -25, 25, 25 };
  g_autoptr (GRand) chance = g_rand_new_with_seed (165);
  double most = 0, most_tilt = 0;

  for (int n = 0; n < test_rounds (500); n++)
    {
      const MadeCamera camera = { between (chance, 20, 40),
                                  between (chance, 200, 500),
                                  between (chance, -180, 180),
                                  between (chance, -40, 40) * (n % 2),
                                  between (chance, -40, 40) * ((n + 1) % 2),
                                  2000,
                                  1500 };
      g_auto (SlPhoto) photo = photo_new ();
      double corners[8], side[4], x = between (chance, -15, 15), y = between (chance, -5, 5), a = 10;
      SlSpot at[4];

      for (int i = 0; i < 4; i++)
        {
          made_seen (&camera, X[i], Y[i], 0, corners + 2 * i, corners + 2 * i + 1);
          for (int k = 0; k < 2 && n % 4 > 1; k++)
            corners[2 * i + k] = round (10 * corners[2 * i + k]) / 10;
        }
      set_flat (&photo, corners, 80, 50);
      for (int i = 0; i < 4; i++)
        {
          SlSpot seen;

          made_seen (&camera, x + (i == 1 || i == 2 ? a : 0), y + (i > 1 ? a : 0), 0, &seen.x, &seen.y);
          g_assert_true (sl_photo_flatten (&photo, seen, &at[i]));
        }
      near (at[0].x, x + 40, n % 4 > 1 ? 0.02 : 1e-8); /* from the first corner on */
      near (at[0].y, y + 25, n % 4 > 1 ? 0.02 : 1e-8);
      for (int i = 0; i < 4; i++)
        side[i] = hypot (at[(i + 1) % 4].x - at[i].x, at[(i + 1) % 4].y - at[i].y);
      for (int i = 0; i < 4; i++)
        most = fmax (most, fabs (side[i] / a - 1));
      most = fmax (
          most, fabs (hypot (at[2].x - at[0].x, at[2].y - at[0].y) / hypot (at[3].x - at[1].x, at[3].y - at[1].y) - 1));
      most_tilt = fmax (most_tilt, fmax (fabs (camera.tilt), fabs (camera.swing)));
    }
  g_test_message ("a square, tilts to %.0f°: off by %.3f %% at most", most_tilt, 100 * most);
  g_assert_cmpfloat (most, <, 0.002);
}

/* Marks of everything drawn by chance about where they are (JCGM 101:2008): u of the corners and of the marks is what
 * comes out; and within U. */
static void
test_flat_u (void)
{
  static const double X[] = { -20, 20, 20, -20 }, Y[] = { -15, -15, 15, 15 };
  g_autoptr (GRand) chance = g_rand_new_with_seed (166);
  g_autofree Errors *errors = errors_new ();

  for (int n = 0; n < test_rounds (2000); n++)
    {
      const MadeCamera camera = { between (chance, 10, 30),
                                  between (chance, 150, 400),
                                  between (chance, -180, 180),
                                  between (chance, -30, 30),
                                  between (chance, -30, 30),
                                  800,
                                  600 };
      const double x = between (chance, -15, 15), y = between (chance, -10, 10), a = between (chance, 0, 2 * G_PI),
                   length = between (chance, 1, 8), above = between (chance, -0.01, 0.01) * camera.distance;
      g_auto (SlPhoto) photo = photo_new ();
      double corners[8], places[4];
      SlMark mark;
      SlMeasured m;

      for (int i = 0; i < 4; i++)
        made_seen (&camera, X[i], Y[i], 0, corners + 2 * i, corners + 2 * i + 1);
      for (int i = 0; i < 8; i++)
        corners[i] += SL_HAND_MARK_U_PX * made_normal (chance);
      set_flat (&photo, corners, 40 + SL_FLAT_U_MM * made_normal (chance), 30 + SL_FLAT_U_MM * made_normal (chance));
      made_seen (&camera, x, y, above, places, places + 1);
      made_seen (&camera, x + length * cos (a), y + length * sin (a), above, places + 2, places + 3);
      for (int i = 0; i < 4; i++)
        places[i] += SL_HAND_MARK_U_PX * made_normal (chance);
      mark = mark_at (SL_MEASURE_EXPOSURE, places, 2);
      m = measured (&photo, &mark);
      errors_add (errors, m.value - length, m.U / 2);
    }
  errors_tell (errors, "rectified, corners and marks by hand", "mm", 0.95);
}

/* ---- what a document may hold ---- */

/* Whatever is marked, within the bounds of a document: a sentence, or figures that are finite. */
static void
test_finite (void)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (167);
  int said = 0, told = 0;

  for (int n = 0; n < test_rounds (20000); n++)
    {
      static const double sizes[] = { 0, 2, 40, 4000, 32767 };
      const double size = sizes[g_rand_int_range (chance, 0, 5)];
      g_auto (SlPhoto) photo = photo_new ();
      SlMark mark = sl_mark_init ((SlMeasure) g_rand_int_range (chance, 0, SL_N_MEASURES));
      g_autofree char *why = NULL;
      SlPhotoScale scale;
      SlMeasured m;

#define PLACE sl_number (g_rand_double (chance) * size)
      for (int i = 0; i < 3 - (n % 7 == 0); i++)
        {
          mark.x[i] = PLACE;
          mark.y[i] = PLACE;
          mark.u[i] = n % 2 ? sl_number (between (chance, 0, 1000)) : SL_NUMBER_ABSENT;
        }
      mark.blur = sl_number (n % 3 * 50);
      for (int i = n % 4; i > 1; i--)
        {
          SlKnownLength *known =
              add_known (&photo, PLACE.v, PLACE.v, PLACE.v, PLACE.v, pow (10, between (chance, -1, 3.3)));

          known->uncertainty = n % 5 ? sl_number (between (chance, 0, 10)) : SL_NUMBER_ABSENT;
          known->u[0] = known->u[1] = n % 3 ? sl_number (n % 3 * 500 - 500) : SL_NUMBER_ABSENT;
        }
      if (n % 8 > 3)
        {
          double corners[8];

          for (int i = 0; i < 8; i++)
            corners[i] = g_rand_double (chance) * size;
          set_flat (&photo, corners, pow (10, between (chance, 0, 3.3)), pow (10, between (chance, 0, 3.3)));
        }
      photo.out_of_plane = n % 9 ? SL_NUMBER_ABSENT : sl_number (0.2);
      why = sl_photo_measure (&photo, &mark, &m);
      g_assert_true (why != NULL ||
                     (isfinite (m.value) && isfinite (m.U) && m.value >= 0 && m.U >= 0 && isfinite (m.u_scale) &&
                      isfinite (m.u_edges) && isfinite (m.u_blur) && isfinite (m.u_plane)));
      if (sl_photo_scale (&photo, &scale))
        g_assert_true (isfinite (scale.mm_per_px) && scale.mm_per_px > 0 && isfinite (scale.u_share) &&
                       fabs (scale.direction) <= 90 && !isinf (scale.apart));
      *(why != NULL ? &said : &told) += 1;
    }
  g_test_message ("%d measured, %d refused", told, said);
  g_assert_cmpint (told, >, 0);
}

/* ---- pictures measured ---- */

/* A picture of a scene in mm about the camera's axis, and the person who marks in it. */
typedef struct
{
  GRand *chance;
  MadeCamera camera;
  MadePicture *made;
  SlGrey *grey;
  double above;     /* mm, of the plane that is drawn or marked in */
  int not_found[2]; /* edges, lines of a rule */
} Scene;

#define WIDE 200
#define HIGH 160
#define REACH 20 /* px */

/* A polygon of places in mm. */
static void
draw (Scene *scene, const double *places, int n, double light)
{
  g_autofree double *seen = g_new (double, 2 * n);

  for (int i = 0; i < n; i++)
    made_seen (&scene->camera, places[2 * i], places[2 * i + 1], scene->above, seen + 2 * i, seen + 2 * i + 1);
  made_polygon (scene->made, seen, n, light);
}

static void
draw_box (Scene *scene, double left, double top, double right, double bottom, double light)
{
  draw (scene, (const double[]){ left, top, right, top, right, bottom, left, bottom }, 4, light);
}

static void
draw_disc (Scene *scene, double x, double y, double radius, double light)
{
  double places[2 * 180];

  for (int i = 0; i < 180; i++)
    {
      places[2 * i] = x + radius * cos (2 * i * DEG);
      places[2 * i + 1] = y + radius * sin (2 * i * DEG);
    }
  draw (scene, places, 180, light);
}

/* A rule from @left to @right, its lines every @pitch mm, @thick wide, dark or light; one lies at 0. */
static void
draw_rule (Scene *scene, double left, double right, double pitch, double thick, gboolean black)
{
  const double end = 3 * HIGH / scene->camera.px_per_mm;

  draw_box (scene, left, -end, right, end, black ? 0.04 : 0.6);
  for (int i = -(int) (end / pitch); i <= (int) (end / pitch); i++)
    draw_box (scene, left + 0.1 * (right - left), i * pitch - thick / 2, right, i * pitch + thick / 2,
              black ? 0.7 : 0.05);
}

/* Puts a mark near a place in mm by hand: a px about it. */
static SlSpot
put (Scene *scene, double X, double Y)
{
  const double right = made_normal (scene->chance), down = made_normal (scene->chance);
  SlSpot seen;

  made_seen (&scene->camera, X, Y, scene->above, &seen.x, &seen.y);
  return (SlSpot){ seen.x + CLAMP (right, -2, 2), seen.y + CLAMP (down, -2, 2) };
}

/* Two marks by hand, each drawn to the edge or, of a rule, to the middle of the line that is nearest. */
static void
mark_pair (Scene *scene, const double *places, gboolean rule, SlNumber *x, SlNumber *y, SlNumber *u, SlNumber *blur)
{
  const SlSpot from = put (scene, places[0], places[1]), to = put (scene, places[2], places[3]);

  for (int i = 0; i < 2; i++)
    {
      SlSpot at = i == 0 ? from : to;
      SlEdge edge;

      if (sl_edge_find (scene->grey, from, to, i == 0 ? 0 : hypot (to.x - from.x, to.y - from.y), REACH, &edge))
        {
          const gboolean middle = rule && edge.line_px > 0;

          at = middle ? edge.middle : edge.at;
          u[i] = sl_number (middle ? edge.middle_u_px : edge.u_px);
          *blur = sl_number (fmax (sl_number_or (*blur, 0), edge.blur_px));
        }
      else
        scene->not_found[rule]++;
      x[i] = sl_number (at.x);
      y[i] = sl_number (at.y);
    }
}

/* Two lines of a rule, whose own length is as uncertain as it says. */
static void
know (Scene *scene, SlPhoto *photo, double X, double pitch)
{
  const int lines = (int) fmax (1, between (scene->chance, 50, 120) / scene->camera.px_per_mm / pitch);
  const double half = floor (lines / 2.0), places[] = { X, -half * pitch, X, (lines - half) * pitch };
  SlKnownLength *known = add_known (photo, 0, 0, 0, 0, lines * pitch + SL_KNOWN_U_MM / 2 * made_normal (scene->chance));

  mark_pair (scene, places, TRUE, known->x, known->y, known->u, &known->blur);
}

/* String over crown, crown height, land, exposure: draws one of @size mm about the middle, and says between which
 * places it is measured. */
static void
draw_measured (Scene *scene, SlMeasure of, double size, double *places)
{
  const double end = 2 * WIDE / scene->camera.px_per_mm, left = -0.1 * WIDE / scene->camera.px_per_mm;
  const double string = fmax (between (scene->chance, 0.25, 1.3), 6 / scene->camera.px_per_mm),
               metal = between (scene->chance, 0.5, 0.9);

  memcpy (places, (const double[]){ 0.1 * end, -size / 2, 0.1 * end, size / 2 }, 4 * sizeof *places);
  switch (of)
    {
    case SL_MEASURE_ACTION:
      draw_box (scene, left, -size / 2 - string, end, -size / 2, g_rand_boolean (scene->chance) ? 0.03 : metal);
      draw_disc (scene, 0.1 * end, size / 2 + 1.2, 1.2, metal);
      draw_box (scene, left, size / 2 + 0.9, end, end, 0.04);
      break;
    case SL_MEASURE_CROWN_HEIGHT:
      draw_disc (scene, 0.1 * end, -size / 2 + 1.2, 1.2, metal);
      draw_box (scene, left, size / 2, end, end, 0.04);
      break;
    case SL_MEASURE_CROWN_LAND:
      draw (scene, (const double[]){ left, -size / 2, end, -size / 2, end, size / 2, left, size / 2 }, 4, metal);
      break;
    default: /* a saddle out of its bridge */
      draw_disc (scene, 0.1 * end, -size / 2 + 20, 20, metal);
      draw_box (scene, left, size / 2, end, end, 0.05);
    }
}

/* One picture. The object lies off the rule's plane by less than the assumed share; of two rules between both. */
static void
try_picture (GRand *chance, int n, Errors *errors, double *shares)
{
  static const SlMeasure kinds[] = { SL_MEASURE_ACTION, SL_MEASURE_CROWN_HEIGHT, SL_MEASURE_CROWN_LAND,
                                     SL_MEASURE_EXPOSURE };
  static const double sizes[][2] = { { 0.8, 3 }, { 0.6, 1.3 }, { 0.3, 2 }, { 1.5, 6 } };
  static const double pitches[] = { 0.5, 1, 5 };
  const int kind = n % 4;
  const double size = between (chance, sizes[kind][0], sizes[kind][1]),
               span = exp (between (chance, log (25), log (90))), scale = CLAMP (span / size, 8, 120);
  const double distance = between (chance, 120, 300), px = 1 / scale;
  const gboolean two = n % 3 == 0, black = g_rand_boolean (chance);
  const double second = two ? between (chance, -0.02, 0.02) * distance : 0,
               above = two ? between (chance, 0, 1) * second : between (chance, -0.01, 0.01) * distance;
  const MadeCoding coding = { between (chance, 0.5, 3), between (chance, 0, 0.02),
                              n % 2 ? 0 : 1 / between (chance, 1.9, 2.6), 0.2, g_rand_int_range (chance, 75, 96) };
  Scene scene = { .chance = chance,
                  .camera = { scale, distance, between (chance, -8, 8), between (chance, -4, 4),
                              between (chance, -4, 4), WIDE / 2 + between (chance, -0.5, 0.5),
                              HIGH / 2 + between (chance, -0.5, 0.5) } };
  g_autoptr (MadePicture) made = made_new (WIDE, HIGH, between (chance, 0.15, 0.3));
  g_autoptr (GdkPixbuf) picture = NULL;
  g_autoptr (SlGrey) grey = NULL;
  g_auto (SlPhoto) photo = photo_new ();
  SlMark mark = sl_mark_init (kinds[kind]);
  double pitch = pitches[0], thick, places[4];
  SlMeasured m;

  for (guint i = 1; i < G_N_ELEMENTS (pitches) && pitch * scale < fmax (7.5, 4.5 * coding.blur); i++)
    pitch = pitches[i];
  thick = fmin (fmax (between (chance, 0.12, 0.2), 0.7 * coding.blur * px), 0.3 * pitch); /* else it is not seen */
  scene.made = made;
  scene.above = above;
  draw_measured (&scene, kinds[kind], size, places);
  scene.above = 0;
  draw_rule (&scene, -0.7 * WIDE * px, -0.15 * WIDE * px, pitch, thick, black);
  scene.above = second;
  if (two)
    draw_rule (&scene, 0.3 * WIDE * px, 0.7 * WIDE * px, pitch, thick, black);
  picture = made_pixbuf (made, &coding, chance);
  scene.grey = grey = sl_grey_new (picture);

  scene.above = 0;
  know (&scene, &photo, -0.25 * WIDE * px, pitch);
  scene.above = second;
  if (two)
    know (&scene, &photo, 0.38 * WIDE * px, pitch);
  scene.above = above;
  mark_pair (&scene, places, FALSE, mark.x, mark.y, mark.u, &mark.blur);
  m = measured (&photo, &mark);
  errors_add (errors, m.value - size, m.U / 2);
  errors->missed += scene.not_found[0] + scene.not_found[1];
  shares[0] += m.u_scale / m.U;
  shares[1] += m.u_edges / m.U;
  shares[2] += m.u_blur / m.U;
  shares[3] += m.u_plane / m.U;
  if (fabs (m.value - size) > 1.5 * m.U)
    g_test_message ("%s %d: %.3f of %.3f mm, U %.3f; %.0f px a mm, blur %.1f, noise %.3f, JPEG %d, two %d",
                    sl_measure_names[kinds[kind]], n, m.value, size, m.U, scale, coding.blur, coding.noise,
                    coding.quality, two);
}

static void
test_pictures (void)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (168);
  g_autofree Errors *errors = errors_new ();
  double shares[4] = { 0 };
  const int n = test_rounds (500);

  for (int i = 0; i < n; i++)
    try_picture (chance, i, errors, shares);
  g_test_message ("mean shares u/U: scale %.2f, edges %.2f, blur %.2f, plane %.2f", shares[0] / n, shares[1] / n,
                  shares[2] / n, shares[3] / n);
  errors_tell (errors, "pictures measured", "mm", 0.95);
  g_assert_cmpint (errors->missed, <=, n / 12); /* of four and two thirds times as many marks */
}

/* A string that bends by some degrees over a saddle, seen from the side: the ends drawn to its upper edge across each
 * leg, the bend marked by hand, as uncertain as such a mark is. */
static void
test_bends (void)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (169);
  g_autofree Errors *errors = errors_new ();

  for (int n = test_rounds (100); n > 0; n--)
    {
      const double turn = between (chance, 4, 30), c = cos (turn * DEG), s = sin (turn * DEG), thick = 1, far = 9;
      const double upper[] = { -far, 0, 0, 0, far * c, far * s }, string[] = { -2 * far,
                                                                               0,
                                                                               0,
                                                                               0,
                                                                               2 * far * c,
                                                                               2 * far * s,
                                                                               2 * far * c - s * thick,
                                                                               2 * far * s + c * thick,
                                                                               -s * thick / 2,
                                                                               thick,
                                                                               -2 * far,
                                                                               thick };
      const MadeCoding coding = { between (chance, 0.5, 2.5), between (chance, 0, 0.02), 0, 0.2,
                                  g_rand_int_range (chance, 75, 96) };
      Scene scene = { .chance = chance,
                      .camera = { between (chance, 8, 10), 200, between (chance, -8, 8), between (chance, -4, 4),
                                  between (chance, -4, 4), WIDE / 2, HIGH / 2 - 20 } };
      g_autoptr (MadePicture) made = made_new (WIDE, HIGH, between (chance, 0.3, 0.6));
      g_autoptr (GdkPixbuf) picture = NULL;
      g_autoptr (SlGrey) grey = NULL;
      g_auto (SlPhoto) photo = photo_new ();
      SlMark mark = sl_mark_init (SL_MEASURE_BREAK_ANGLE);
      SlMeasured m;

      scene.made = made;
      draw (&scene, string, 6, 0.05);
      picture = made_pixbuf (made, &coding, chance);
      scene.grey = grey = sl_grey_new (picture);
      for (int i = 0; i < 3; i++)
        {
          const double right = i == 2 ? -s : 0, down = i == 2 ? c : 1;
          const SlSpot from = put (&scene, upper[2 * i], upper[2 * i + 1]),
                       to = put (&scene, upper[2 * i] + 2 * right, upper[2 * i + 1] + 2 * down);
          double places[4];
          SlEdge edge;

          made_seen (&scene.camera, upper[2 * i], upper[2 * i + 1], 0, places, places + 1);
          if (i == 1)
            edge.at = (SlSpot){ places[0] + SL_HAND_MARK_U_PX * made_normal (chance),
                                places[1] + SL_HAND_MARK_U_PX * made_normal (chance) };
          else
            {
              g_assert_true (sl_edge_find (grey, from, to, 0, 6, &edge));
              mark.u[i] = sl_number (edge.u_px);
              mark.blur = sl_number (fmax (sl_number_or (mark.blur, 0), edge.blur_px));
            }
          mark.x[i] = sl_number (edge.at.x);
          mark.y[i] = sl_number (edge.at.y);
        }
      m = measured (&photo, &mark);
      errors_add (errors, m.value - turn, m.U / 2);
    }
  errors_tell (errors, "bends of a string", "degrees", 0.95);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/photo/light", test_light);
  g_test_add_func ("/photo/by-hand", test_by_hand);
  g_test_add_func ("/photo/short-known", test_short_known);
  g_test_add_func ("/photo/two-known", test_two_known);
  g_test_add_func ("/photo/angle", test_angle);
  g_test_add_func ("/photo/refused", test_refused);
  g_test_add_func ("/photo/square", test_square);
  g_test_add_func ("/photo/flat-u", test_flat_u);
  g_test_add_func ("/photo/finite", test_finite);
  g_test_add_func ("/photo/thin", test_thin);
  g_test_add_func ("/photo/no-edge", test_no_edge);
  g_test_add_func ("/photo/blur-share", test_blur_share);
  g_test_add_func ("/photo/burnt-out", test_burnt_out);
  g_test_add_func ("/photo/edges", test_edges);
  g_test_add_func ("/photo/pictures", test_pictures);
  g_test_add_func ("/photo/bends", test_bends);
  return g_test_run ();
}
