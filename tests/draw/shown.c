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

GPtrArray *
shown_faults (const SlPictureMap *map, double width, double height)
{
  GPtrArray *faults = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *a = label (map, i);

      if (a->rect.x < 0 || a->rect.y < 0 || a->rect.x + a->rect.width > width || a->rect.y + a->rect.height > height)
        g_ptr_array_add (faults, g_strdup_printf ("“%s” leaves the stage", a->text));
      if (g_regex_match_simple ("\\b(nan|inf)\\b", a->text, G_REGEX_CASELESS, 0))
        g_ptr_array_add (faults, g_strdup_printf ("“%s” shows what is no number", a->text));
      if (!g_utf8_validate (a->text, -1, NULL))
        g_ptr_array_add (faults, g_strdup_printf ("“%s” is cut inside a character", a->text));
      for (guint k = 0; k < i; k++)
        if (overlap (&a->rect, &label (map, k)->rect))
          g_ptr_array_add (faults, g_strdup_printf ("“%s” lies on “%s”", a->text, label (map, k)->text));
    }
  return faults;
}

void
shown_check (const SlPictureMap *map, const SlPictureOptions *options, guint seed)
{
  g_autoptr (GPtrArray) faults = shown_faults (map, options->width, options->height);

  if (faults->len > 0)
    g_error ("seed %u, %g × %g: %s", seed, options->width, options->height,
             (const char *) g_ptr_array_index (faults, 0));
}

gboolean
shown_runs_through (const SlRect *r, double x0, double y0, double x1, double y1)
{
  const int steps = 2000; /* finer than a text is high */

  for (int i = 0; i <= steps; i++)
    {
      double x = x0 + (x1 - x0) * i / steps, y = y0 + (y1 - y0) * i / steps;

      if (x > r->x && x < r->x + r->width && y > r->y && y < r->y + r->height)
        return TRUE;
    }
  return FALSE;
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
  options->text_scale = (double[]){ 1, 1, 1.25, 1.5, 2 }[g_rand_int_range (rand, 0, 5)];
}
