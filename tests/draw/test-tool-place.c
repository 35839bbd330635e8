/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sketch of where a tool goes: one for every kind of reading, inside its picture, with the mark where the reading
 * is taken. Places of frets are worked out here by equal temperament, 1 − 2^(−n/12) of the scale. */
#include <math.h>
#include <string.h>

#include "../rounds.h"
#include "draw/base/style.h"
#include "draw/draw.h"
#include "sample.h"

#define WIDTH 780
#define HEIGHT 320
#define EDGE 40        /* pixels around the picture that are to stay empty */
#define FRONT_FROM 0.6 /* of the height: there the board lies from the front */
#define LEAST_MARK 20  /* pixels of a mark that can be seen */

static const double nut_share = 0.10, crest_share = 0.90; /* of the width; the sketch's own composition */

/* Good until the next is made of another profile. */
static SlToolPlace
place_of (const SlProfile *profile, SlReadingKind kind, int string, int fret, SlHeld held)
{
  static SlInstrument instrument;

  sl_instrument_from_profile (profile, &instrument);
  return (SlToolPlace){ &instrument, kind, string, fret, held, SL_LOOK_LIGHT };
}

/* Drawn with an empty edge around it. Free with cairo_surface_destroy(). */
static cairo_surface_t *
draw (const SlToolPlace *place, double width, double height)
{
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) width + 2 * EDGE, (int) height + 2 * EDGE);
  cairo_t *cr = cairo_create (surface);

  cairo_translate (cr, EDGE, EDGE);
  sl_tool_place_draw (cr, place, width, height);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static guint32
pixel (cairo_surface_t *surface, int x, int y)
{
  return *(const guint32 *) (const void *) (cairo_image_surface_get_data (surface) +
                                            y * cairo_image_surface_get_stride (surface) + 4 * x);
}

/* Pixels of exactly an ink, between two heights, with their mean x in the picture. */
static int
count_ink (cairo_surface_t *surface, SlInk ink, double from, double to, double *mean_x)
{
  const SlColour colour = sl_palette (SL_LOOK_LIGHT)[ink];
  const guint32 wanted = 0xff000000u | (guint32) lround (colour.r * 255) << 16 |
                         (guint32) lround (colour.g * 255) << 8 | (guint32) lround (colour.b * 255);
  double sum = 0;
  int n = 0;

  for (int y = EDGE + (int) from; y < EDGE + (int) to; y++)
    for (int x = 0; x < cairo_image_surface_get_width (surface); x++)
      if (pixel (surface, x, y) == wanted)
        {
          sum += x + 0.5 - EDGE;
          n++;
        }
  *mean_x = n > 0 ? sum / n : NAN;
  return n;
}

/* Nothing lies in the edge, and something inside. */
static void
assert_inside (cairo_surface_t *surface)
{
  const int w = cairo_image_surface_get_width (surface), h = cairo_image_surface_get_height (surface);
  gboolean any = FALSE;

  for (int y = 0; y < h; y++)
    for (int x = 0; x < w; x++)
      {
        if (pixel (surface, x, y) == 0)
          continue;
        any = TRUE;
        g_assert_true (x >= EDGE && x < w - EDGE && y >= EDGE && y < h - EDGE);
      }
  g_assert_true (any);
}

static gboolean
has_fret (SlReadingKind kind)
{
  return kind == SL_READ_RELIEF || kind == SL_READ_ACTION || kind == SL_READ_CROWN_GAP ||
         kind == SL_READ_CROWN_HEIGHT || kind == SL_READ_CROWN_WEAR || kind == SL_READ_PITCH;
}

static gboolean
has_string (SlReadingKind kind)
{
  return kind != SL_READ_TONGUE && kind != SL_READ_CROWN_GAP && kind != SL_READ_CROWN_HEIGHT;
}

static double
fret_x (int fret)
{
  return WIDTH * (nut_share + (crest_share - nut_share) * (1 - pow (2, -fret / 12.0)));
}

static void
test_kinds (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  cairo_surface_t *pictures[SL_N_READINGS];

  for (int kind = 0; kind < SL_N_READINGS; kind++)
    {
      const SlToolPlace place = place_of (profile, (SlReadingKind) kind, has_string ((SlReadingKind) kind) ? 3 : 0,
                                          has_fret ((SlReadingKind) kind) ? 5 : 0, SL_HELD_OPEN);
      double mean_x;

      pictures[kind] = draw (&place, WIDTH, HEIGHT);
      assert_inside (pictures[kind]);
      /* a tool with its arrow, but for the ear */
      g_assert_true (kind == SL_READ_PITCH ||
                     count_ink (pictures[kind], SL_INK_CUT, 0, FRONT_FROM * HEIGHT, &mean_x) >= LEAST_MARK);
    }
  /* no two kinds look the same */
  for (int a = 0; a < SL_N_READINGS; a++)
    for (int b = a + 1; b < SL_N_READINGS; b++)
      {
        const gsize size =
            (gsize) cairo_image_surface_get_stride (pictures[a]) * (gsize) cairo_image_surface_get_height (pictures[a]);

        g_assert_cmpint (
            memcmp (cairo_image_surface_get_data (pictures[a]), cairo_image_surface_get_data (pictures[b]), size), !=,
            0);
      }
  for (int kind = 0; kind < SL_N_READINGS; kind++)
    cairo_surface_destroy (pictures[kind]);
}

/* The mark stands over its fret, from the side and from the front, and goes with it. */
static void
test_places (void)
{
  static const SlReadingKind kinds[] = { SL_READ_RELIEF, SL_READ_ACTION, SL_READ_CROWN_GAP, SL_READ_CROWN_HEIGHT };
  g_autoptr (SlProfile) profile = sample_usual ();

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    for (int fret = 2; fret < profile->neck.joint_fret; fret++)
      {
        const SlToolPlace place = place_of (profile, kinds[i], has_string (kinds[i]) ? 6 : 0, fret, SL_HELD_OPEN);
        cairo_surface_t *picture = draw (&place, WIDTH, HEIGHT);
        double side, front;

        g_assert_cmpint (count_ink (picture, SL_INK_CUT, 0, FRONT_FROM * HEIGHT, &side), >=, LEAST_MARK);
        g_assert_cmpint (count_ink (picture, SL_INK_CUT, FRONT_FROM * HEIGHT, HEIGHT, &front), >=, LEAST_MARK);
        g_assert_cmpfloat_with_epsilon (side, fret_x (fret), 1.5);
        g_assert_cmpfloat_with_epsilon (front, fret_x (fret), 1.5);
        cairo_surface_destroy (picture);
      }
  /* a first gap is read at fret 1 whatever is said */
  {
    const SlToolPlace place = place_of (profile, SL_READ_FIRST_GAP, 1, 0, SL_HELD_OPEN);
    cairo_surface_t *picture = draw (&place, WIDTH, HEIGHT);
    double side;

    g_assert_cmpint (count_ink (picture, SL_INK_CUT, 0, FRONT_FROM * HEIGHT, &side), >=, LEAST_MARK);
    g_assert_cmpfloat_with_epsilon (side, fret_x (1), 1.5);
    cairo_surface_destroy (picture);
  }
}

/* Slanting frets slant on the board from the front: the mark lies on its own string, whose scale and whose place at the
 * nut are its own; the fret that lies square does not slant. Places worked out here from the two scales. */
static void
test_slant (void)
{
  static const struct
  {
    double scale;
    int string;
  } outer[] = { { 647.7, 1 }, { 685.8, 6 } }; /* 25.5 and 27 in */
  const int square = 7;
  g_autoptr (SlProfile) profile = sample_usual ();

  profile->neck.scale_length = sl_number (outer[0].scale);
  profile->neck.scale_length_bass = sl_number (outer[1].scale);
  profile->neck.square_fret = square;
  for (int fret = 1; fret < profile->neck.joint_fret; fret++)
    for (guint i = 0; i < G_N_ELEMENTS (outer); i++)
      {
        const SlToolPlace place = place_of (profile, SL_READ_ACTION, outer[i].string, fret, SL_HELD_OPEN);
        cairo_surface_t *picture = draw (&place, WIDTH, HEIGHT);
        const double share = 1 - pow (2, -fret / 12.0),
                     offset = (outer[1].scale - outer[i].scale) * (1 - pow (2, -square / 12.0)),
                     height = 0.28 * HEIGHT / 6, middle = 0.64 * HEIGHT + height * (outer[i].string - 0.5);
        double x;

        /* what of it lies about its string */
        g_assert_cmpint (count_ink (picture, SL_INK_CUT, middle - height / 4, middle + height / 4, &x), >=, LEAST_MARK);
        g_assert_cmpfloat_with_epsilon (
            x, WIDTH * (nut_share + (crest_share - nut_share) * (offset + share * outer[i].scale) / outer[1].scale),
            1.5);
        assert_inside (picture);
        cairo_surface_destroy (picture);
      }
}

static gboolean
same (cairo_surface_t *a, cairo_surface_t *b)
{
  return memcmp (cairo_image_surface_get_data (a), cairo_image_surface_get_data (b),
                 (gsize) cairo_image_surface_get_stride (a) * (gsize) cairo_image_surface_get_height (a)) == 0;
}

/* String and finger show. */
static void
test_string_and_hold (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  const SlToolPlace sixth = place_of (profile, SL_READ_ACTION, 6, 12, SL_HELD_OPEN),
                    first = place_of (profile, SL_READ_ACTION, 1, 12, SL_HELD_OPEN);
  const SlToolPlace capo = place_of (profile, SL_READ_ACTION, 6, 12, SL_HELD_1),
                    third = place_of (profile, SL_READ_FIRST_GAP, 6, 0, SL_HELD_3),
                    open = place_of (profile, SL_READ_FIRST_GAP, 6, 0, SL_HELD_OPEN);
  SlToolPlace night = sixth;
  cairo_surface_t *a = draw (&sixth, WIDTH, HEIGHT), *b = draw (&first, WIDTH, HEIGHT),
                  *c = draw (&capo, WIDTH, HEIGHT), *d = draw (&third, WIDTH, HEIGHT), *e = draw (&open, WIDTH, HEIGHT),
                  *f;
  double mean_x;

  night.look = SL_LOOK_DARK;
  f = draw (&night, WIDTH, HEIGHT);
  g_assert_false (same (a, b) || same (a, c) || same (d, e) || same (a, f));
  assert_inside (c);
  assert_inside (d);
  /* a finger, drawn as the neck's wood, lies only where something is held */
  g_assert_cmpint (count_ink (e, SL_INK_NECK, 0, FRONT_FROM * HEIGHT, &mean_x), ==, 0);
  g_assert_cmpint (count_ink (d, SL_INK_NECK, 0, FRONT_FROM * HEIGHT, &mean_x), >=, LEAST_MARK);
  g_assert_true (mean_x > fret_x (2) && mean_x < fret_x (3));
  g_assert_cmpint (count_ink (c, SL_INK_NECK, 0, FRONT_FROM * HEIGHT, &mean_x), >=, LEAST_MARK);
  g_assert_true (mean_x > fret_x (0) && mean_x < fret_x (1));
  for (int i = 0; i < 6; i++)
    cairo_surface_destroy ((cairo_surface_t *[]){ a, b, c, d, e, f }[i]);
}

/* Whatever the instrument and however small the picture. */
static void
test_any (void)
{
  static const double sizes[][2] = { { 780, 320 }, { 420, 250 }, { 1600, 500 }, { 300, 420 } };
  g_autoptr (GRand) rand = g_rand_new_with_seed (20260302);

  for (int i = 0; i < test_rounds (60); i++)
    {
      SlProfile *profile = sample_random (rand);
      const SlReadingKind kind = (SlReadingKind) g_rand_int_range (rand, 0, SL_N_READINGS);
      const int fret = kind == SL_READ_RELIEF ? g_rand_int_range (rand, 2, MAX (3, profile->neck.joint_fret))
                                              : g_rand_int_range (rand, 1, profile->neck.frets + 1);
      const SlHeld held = kind == SL_READ_ACTION ? SL_HELD_1 : kind == SL_READ_FIRST_GAP ? SL_HELD_3 : SL_HELD_DEFAULT;
      const SlToolPlace place =
          place_of (profile, kind, has_string (kind) ? g_rand_int_range (rand, 1, profile->n_strings + 1) : 0,
                    has_fret (kind) ? fret : 0, held);
      const double *size = sizes[i % (int) G_N_ELEMENTS (sizes)];
      cairo_surface_t *picture = draw (&place, size[0], size[1]);

      assert_inside (picture);
      cairo_surface_destroy (picture);
      sl_profile_free (profile);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/tool-place/kinds", test_kinds);
  g_test_add_func ("/tool-place/places", test_places);
  g_test_add_func ("/tool-place/slant", test_slant);
  g_test_add_func ("/tool-place/string-and-hold", test_string_and_hold);
  g_test_add_func ("/tool-place/any", test_any);
  return g_test_run ();
}
