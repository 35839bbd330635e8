/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-picture.h"

#include <cairo.h>
#include <math.h>

#define OVER 3 /* samples a pixel each way; Cairo covers each by 15 rows of 256 */

void
made_seen (const MadeCamera *camera, double X, double Y, double above, double *x, double *y)
{
  const double deg = G_PI / 180, r = camera->roll * deg, t = camera->tilt * deg, w = camera->swing * deg;
  const double a = X * cos (r) - Y * sin (r), b = X * sin (r) + Y * cos (r);
  /* depth grows away from the camera */
  const double b1 = b * cos (t) - above * sin (t), c1 = -(b * sin (t) + above * cos (t));
  const double a2 = a * cos (w) - c1 * sin (w), c2 = a * sin (w) + c1 * cos (w);
  const double f = camera->px_per_mm * camera->distance / (camera->distance + c2);

  *x = camera->x + f * a2;
  *y = camera->y + f * b1;
}

MadePicture *
made_new (int width, int height, double light)
{
  MadePicture *picture = g_new0 (MadePicture, 1);
  const double all[] = { -9, -9, width + 9, -9, width + 9, height + 9, -9, height + 9 };

  picture->width = width;
  picture->height = height;
  picture->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width * OVER, height * OVER);
  made_polygon (picture, all, 4, light);
  return picture;
}

void
made_free (MadePicture *picture)
{
  cairo_surface_destroy (picture->surface);
  g_free (picture);
}

void
made_polygon (MadePicture *picture, const double *corners, int n, double light)
{
  cairo_t *cr = cairo_create (picture->surface);

  cairo_scale (cr, OVER, OVER);
  cairo_set_antialias (cr, CAIRO_ANTIALIAS_BEST);
  cairo_set_source_rgb (cr, light, light, light);
  for (int i = 0; i < n; i++)
    cairo_line_to (cr, corners[2 * i], corners[2 * i + 1]);
  cairo_fill (cr);
  cairo_destroy (cr);
}

/* One way of the blur, down or along the rows. */
static void
blur_rows (const float *from, float *to, int width, int height, gboolean down, const float *kernel, int reach)
{
  for (int y = 0; y < height; y++)
    {
      float *out = to + (gsize) y * (gsize) width;

      for (int x = 0; x < width; x++)
        out[x] = 0;
      for (int k = -reach; k <= reach; k++)
        {
          const float weight = kernel[ABS (k)];
          const float *row = from + (gsize) CLAMP (down ? y + k : y, 0, height - 1) * (gsize) width;

          if (down)
            for (int x = 0; x < width; x++)
              out[x] += weight * row[x];
          else
            {
              for (int x = 0; x < reach; x++)
                {
                  out[x] += weight * row[MAX (x + k, 0)];
                  out[width - 1 - x] += weight * row[MIN (width - 1 - x + k, width - 1)];
                }
              for (int x = reach; x < width - reach; x++)
                out[x] += weight * row[x + k];
            }
        }
    }
}

/* Blurs, and gathers the samples of each pixel from top to bottom: @height lines are a third as many after that. */
static void
blur (float *light, int width, int height, double sigma)
{
  const int reach = MAX (1, (int) ceil (3.7 * sigma)), rows = height / OVER;
  g_autofree float *between = g_new (float, (gsize) width *(gsize) height), *kernel = g_new0 (float, (gsize) reach + 1);
  double sum = 0;

  for (int k = -reach; k <= reach; k++)
    sum += exp (-k * k / (2 * sigma * sigma + 1e-9));
  for (int k = 0; k <= reach; k++)
    kernel[k] = (float) (exp (-k * k / (2 * sigma * sigma + 1e-9)) / sum);
  blur_rows (light, between, width, height, TRUE, kernel, reach);
  for (int y = 0; y < rows; y++)
    for (int x = 0; x < width; x++)
      {
        float all = 0;

        for (int j = 0; j < OVER; j++)
          all += between[(y * OVER + j) * width + x];
        between[y * width + x] = all / OVER;
      }
  blur_rows (between, light, width, rows, FALSE, kernel, reach);
}

double
made_normal (GRand *chance)
{
  static float deviates[1 << 16]; /* drawn anew from the same ones: noise takes many */

  if (deviates[0] == 0)
    for (guint i = 0; i < G_N_ELEMENTS (deviates); i++)
      deviates[i] = (float) (sqrt (-2 * log (1 - g_rand_double (chance))) * cos (2 * G_PI * g_rand_double (chance)));
  return deviates[g_rand_int (chance) & 0xffff];
}

static double
coded (double light, double power)
{
  if (power > 0)
    return pow (light, power);
  return light <= 0.0031308 ? 12.92 * light : 1.055 * pow (light, 1 / 2.4) - 0.055; /* IEC 61966-2-1 */
}

/* The same from a table, by a straight line. */
#define PARTS 4096
static double
coded_by (const double *table, double light)
{
  const double at = CLAMP (light, 0, 1) * PARTS;
  const int i = MIN ((int) at, PARTS - 1);

  return table[i] + (at - i) * (table[i + 1] - table[i]);
}

static GdkPixbuf *
through_jpeg (GdkPixbuf *picture, int quality)
{
  g_autofree char *said = g_strdup_printf ("%d", quality), *bytes = NULL;
  g_autoptr (GdkPixbufLoader) loader = gdk_pixbuf_loader_new ();
  gsize n;

  g_assert_true (gdk_pixbuf_save_to_buffer (picture, &bytes, &n, "jpeg", NULL, "quality", said, NULL));
  g_assert_true (gdk_pixbuf_loader_write (loader, (const guchar *) bytes, n, NULL));
  g_assert_true (gdk_pixbuf_loader_close (loader, NULL));
  g_object_unref (picture);
  return g_object_ref (gdk_pixbuf_loader_get_pixbuf (loader));
}

GdkPixbuf *
made_pixbuf (MadePicture *picture, const MadeCoding *coding, GRand *chance)
{
  const int wide = picture->width * OVER, high = picture->height * OVER;
  g_autofree float *light = g_new (float, (gsize) wide *(gsize) high);
  GdkPixbuf *out = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, picture->width, picture->height);
  double table[PARTS + 1];
  const guint8 *drawn;

  for (int i = 0; i <= PARTS; i++)
    table[i] = coded ((double) i / PARTS, coding->power);
  cairo_surface_flush (picture->surface);
  drawn = cairo_image_surface_get_data (picture->surface);
  for (int y = 0; y < high; y++)
    for (int x = 0; x < wide; x++)
      light[y * wide + x] = (float) (((const guint32 *) (gconstpointer) (drawn + y * cairo_image_surface_get_stride (
                                                                                         picture->surface)))[x] &
                                     255) /
                            255;
  blur (light, wide, high, coding->blur * OVER);
  for (int y = 0; y < picture->height; y++)
    for (int x = 0; x < picture->width; x++)
      {
        guint8 *to = gdk_pixbuf_get_pixels (out) + y * gdk_pixbuf_get_rowstride (out) + 3 * x;
        double sum = 0;

        for (int i = 0; i < OVER; i++)
          sum += light[y * wide + x * OVER + i] / OVER;
        for (int c = 0; c < 3; c++)
          to[c] = (guint8) CLAMP (
              floor (255 * (coded_by (table, sum * (1 - coding->tint * c / 2)) + coding->noise * made_normal (chance)) +
                     0.5),
              0, 255);
      }
  return coding->quality > 0 ? through_jpeg (out, coding->quality) : out;
}
