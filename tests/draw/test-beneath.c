/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What lies beneath the labels of a picture, looked for among its pixels: wood of the neck, a string, a dimension line
 * whose figure is missing. */
#include "../rounds.h"
#include "sample.h"
#include "shown.h"
#include "draw/base/style.h"
#include "draw/draw.h"

#define SEEDS (guint) test_rounds (60)
#define TRIES 10

static const ShownSize sizes[] = SHOWN_SIZES;

/* Whether wood of the neck lies below a text or right beside it. */
static gboolean
has_neck (cairo_surface_t *surface, const SlRect *r, const SlColour *neck)
{
  const int stride = cairo_image_surface_get_stride (surface);
  const guint32 colour =
      (guint32) lround (neck->r * 255) << 16 | (guint32) lround (neck->g * 255) << 8 | (guint32) lround (neck->b * 255);

  for (int y = (int) floor (r->y - 1); y < (int) ceil (r->y + r->height + 1); y++)
    for (int x = (int) floor (r->x - 1); x < (int) ceil (r->x + r->width + 1); x++)
      if ((*(const guint32 *) (const void *) (cairo_image_surface_get_data (surface) + y * stride + 4 * x) &
           0xffffff) == colour)
        return TRUE;
  return FALSE;
}

/* Returns how many labels lie on the neck by right: the numbers of frets. */
static guint
check_neck (const SlAnalysis *analysis, const SlPictureOptions *o, guint seed)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) o->width, (int) o->height);
  cairo_t *cr = cairo_create (surface);
  guint n_on_wood = 0;
  SlPictureMap map;

  sl_picture_map_init (&map);
  sl_picture_draw (cr, analysis, o, &map);
  cairo_surface_flush (surface);
  for (guint i = 0; i < map.labels->len; i++)
    {
      const SlPictureLabel *label = &g_array_index (map.labels, SlPictureLabel, i);
      const gboolean number = strspn (label->text, "0123456789") == strlen (label->text);

      if (!has_neck (surface, &label->rect, &sl_palette (o->look)[SL_INK_NECK]))
        continue;
      n_on_wood++;
      if (!number)
        g_error ("seed %u, %g × %g, text × %g, string %d: “%s” lies on the neck", seed, o->width, o->height,
                 o->text_scale, o->string, label->text);
    }
  sl_picture_map_clear (&map);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return n_on_wood;
}

/* In small pictures too, as beside a list or at large text, no label lies on the neck or the head. */
static void
test_neck (void)
{
  guint n_on_wood = 0;

  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed + 3000);
      g_autoptr (SlProfile) profile = seed % 4 == 0 ? sample_usual () : sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      SlPictureOptions o;

      shown_choose (rand, profile, sizes, G_N_ELEMENTS (sizes), &o);
      o.kind = SL_PICTURE_SIDE;
      o.look = SL_LOOK_LIGHT;
      for (int i = 0; i < TRIES; i++)
        {
          o.width = g_rand_int_range (rand, 260, 700);
          o.height = (int) (o.width * g_rand_double_range (rand, 0.28, 0.8));
          o.text_scale = g_rand_double_range (rand, 0.9, 2);
          o.string = i % 2 == 0 ? profile->n_strings : SL_ALL_STRINGS;
          n_on_wood += check_neck (analysis, &o, seed);
        }
      g_rand_free (rand);
    }
  g_assert_cmpuint (n_on_wood, >, 0);
}

static gboolean
has_teal (cairo_surface_t *surface, const SlRect *r)
{
  const int stride = cairo_image_surface_get_stride (surface);

  cairo_surface_flush (surface);
  for (int y = (int) r->y; y < (int) (r->y + r->height); y++)
    for (int x = (int) r->x; x < (int) (r->x + r->width); x++)
      {
        const guint32 pixel =
            *(const guint32 *) (const void *) (cairo_image_surface_get_data (surface) + y * stride + 4 * x);
        const int red = pixel >> 16 & 255, green = pixel >> 8 & 255;

        if (green > red + 8)
          return TRUE;
      }
  return FALSE;
}

/* A string low over the 12th fret leaves the rule its unit: neither it nor what it swings through, which are green,
 * lies on the grey text. */
static void
test_rule_unit (void)
{
  static const char *const units[] = { "mm", "in", "64ths" };
  g_autoptr (SlProfile) profile = sample_usual ();
  SlVisit *visit = sl_profile_last_visit (profile);
  SlReading low = sl_reading_init (SL_READ_ACTION);

  low.string = 6;
  low.fret = SL_OCTAVE_FRET;
  low.value = sl_number (0.7);
  sl_reading_set_put (sl_visit_last_set (visit), low);
  g_array_set_size (visit->plan, 0);
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

  for (int lengths = SL_LENGTHS_MM; lengths <= SL_LENGTHS_64THS; lengths++)
    for (double scale = 1; scale <= 2; scale += 0.25)
      for (double width = 210 * scale; width <= 900; width += 110)
        {
          cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) (width * 0.8));
          cairo_t *cr = cairo_create (surface);
          SlPictureOptions o;
          SlPictureMap map;

          sl_picture_options_init (&o);
          sl_picture_map_init (&map);
          o.kind = SL_PICTURE_FRET_12;
          o.string = 6;
          o.lengths = (SlLengths) lengths;
          o.text_scale = scale;
          o.width = width;
          o.height = width * 0.8;
          sl_picture_draw (cr, analysis, &o, &map);
          const SlPictureLabel *unit = shown_find (&map, units[lengths]);
          if (unit != NULL && has_teal (surface, &unit->rect))
            g_error ("text × %g, width %g: “%s” lies on the string", scale, width, unit->text);
          g_assert_true (unit != NULL || scale > 1);
          sl_picture_map_clear (&map);
          cairo_destroy (cr);
          cairo_surface_destroy (surface);
        }
}

/* Where a small close-up has no room for the figure of the action, its dimension line is not drawn either: between the
 * crown and what the string swings through nothing else is green. */
static void
test_dimension_told (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const double gap = analysis->planned_figures.action[5][SL_OCTAVE_FRET].value;
  g_autofree char *figure = g_strdup_printf ("%.2f mm", gap);
  guint n[2] = { 0, 0 };

  for (double scale = 1; scale <= 2; scale += 0.25)
    for (double width = 190; width <= 900; width += 55)
      {
        const double height = MAX (110, width * 0.4);
        cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) height);
        cairo_t *cr = cairo_create (surface);
        SlPictureOptions o;
        SlPictureMap map;

        sl_picture_options_init (&o);
        sl_picture_map_init (&map);
        o.kind = SL_PICTURE_FRET_12;
        o.string = 6;
        o.text_scale = scale;
        o.width = width;
        o.height = height;
        sl_picture_draw (cr, analysis, &o, &map);
        const SlPictureLabel *zero = shown_find (&map, "0");
        const gboolean told = shown_says (&map, figure);
        if (zero != NULL)
          {
            const double y = zero->rect.y + zero->rect.height / 2, up = map.units_per_mm_up;
            const SlRect below = { zero->rect.x, y - 0.45 * gap * up, width - zero->rect.x - 1, 0.3 * gap * up };

            n[told]++;
            if (!told && has_teal (surface, &below))
              g_error ("text × %g, width %g: a dimension line without its figure", scale, width);
          }
        sl_picture_map_clear (&map);
        cairo_destroy (cr);
        cairo_surface_destroy (surface);
      }
  g_assert_cmpuint (n[FALSE], >, 0);
  g_assert_cmpuint (n[TRUE], >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/beneath/neck", test_neck);
  g_test_add_func ("/draw/beneath/rule-unit", test_rule_unit);
  g_test_add_func ("/draw/beneath/dimension", test_dimension_told);
  return g_test_run ();
}
