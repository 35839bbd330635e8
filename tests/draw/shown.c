/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shown.h"
#include "draw/draw.h"

#include <string.h>

static const SlPictureLabel *
label (const SlPictureMap *map, guint i)
{
  return &g_array_index (map->labels, SlPictureLabel, i);
}

void
shown_draw (const SlAnalysis *analysis, const SlPictureOptions *options, SlPictureMap *map)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);

  sl_picture_draw (cr, analysis, options, map);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

gboolean
shown_says (const SlPictureMap *map, const char *part)
{
  for (guint i = 0; i < map->labels->len; i++)
    if (strstr (label (map, i)->text, part) != NULL)
      return TRUE;
  return FALSE;
}

const SlPictureLabel *
shown_find (const SlPictureMap *map, const char *text)
{
  for (guint i = 0; i < map->labels->len; i++)
    if (g_str_equal (label (map, i)->text, text))
      return label (map, i);
  return NULL;
}

static gboolean
overlap (const SlRect *a, const SlRect *b)
{
  return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height && b->y < a->y + a->height;
}

void
shown_check (const SlPictureMap *map, const SlPictureOptions *options, guint seed)
{
  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *a = label (map, i);
      g_autofree char *lower = g_ascii_strdown (a->text, -1);

      if (a->rect.x < 0 || a->rect.y < 0 || a->rect.x + a->rect.width > options->width ||
          a->rect.y + a->rect.height > options->height)
        g_error ("seed %u: “%s” leaves the stage of %g × %g", seed, a->text, options->width, options->height);
      if (strstr (lower, "nan") || strstr (lower, "inf"))
        g_error ("seed %u: “%s” shows what is no number", seed, a->text);
      g_assert_true (g_utf8_validate (a->text, -1, NULL));
      for (guint k = 0; k < i; k++)
        if (overlap (&a->rect, &label (map, k)->rect))
          g_error ("seed %u, %g × %g: “%s” lies on “%s”", seed, options->width, options->height, a->text,
                   label (map, k)->text);
    }
}

void
shown_choose (GRand *rand, const SlProfile *profile, const ShownSize *sizes, guint n_sizes, SlPictureOptions *options)
{
  const ShownSize *size = &sizes[g_rand_int_range (rand, 0, (gint32) n_sizes)];

  sl_picture_options_init (options);
  options->width = size->width;
  options->height = size->height;
  options->string = g_rand_int_range (rand, 0, profile->n_strings + 1);
  options->lengths = (SlLengths) g_rand_int_range (rand, SL_LENGTHS_MM, SL_LENGTHS_64THS + 1);
  options->decimal = g_rand_boolean (rand) ? "." : ",";
  options->text_scale = g_rand_int_range (rand, 0, 4) == 0 ? 1.3 : 1;
}
