/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "photo/edge.h"
#include "setup/profile/profile.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

/* Model 16.1 names each. */
#define PACE_PX 0.5    /* of the samples along the line */
#define AROUND_PX 44.0 /* seen beyond the reach: the widest graduation, 0.3 mm at 120 px/mm, and what is beside it */
#define MOST_REACH_PX 500.0  /* beyond that a mark was not put near an edge */
#define OUT_OF_NOISE 5.0     /* standard deviations of the noise in the slope of the profile */
#define LEAST_STEP 0.03      /* of the root of light, some 8 steps of 255 */
#define MOST_LINE_PX 40.0    /* of a thin line */
#define ALIKE 0.5            /* share of a step that both sides of a thin line may differ by */
#define PIXEL_VAR (1.0 / 12) /* px², of a pixel's own square */
#define FLOOR_U_PX 0.03      /* JPEG's blocks, colour filters before the sensor, the shape of the blur */
#define MOST_U_PX 2.0        /* beyond that nothing was found */
#define CORRELATED 1.5       /* by which errors are wider than noise in separate pixels would have them */
#define NOISE_LEFT 0.67      /* of a pixel's noise after interpolation */
#define LOOSE 2.0            /* u of what is guessed first, in its own unit: tells nothing that the pixels tell */
#define MOST_EDGES 3         /* fitted at once: the edge and one on either side */
#define MOST_X (2 * MOST_EDGES + 4)

/* ---- a picture's light ---- */

SlGrey *
sl_grey_new (const GdkPixbuf *picture)
{
  const int n = gdk_pixbuf_get_n_channels (picture), stride = gdk_pixbuf_get_rowstride (picture);
  const guint8 *pixels = gdk_pixbuf_read_pixels (picture);
  SlGrey *grey = g_new0 (SlGrey, 1);
  float light[256];

  /* IEC 61966-2-1 */
  for (int i = 0; i < 256; i++)
    light[i] = (float) (i <= 0.04045 * 255 ? i / 255.0 / 12.92 : pow ((i / 255.0 + 0.055) / 1.055, 2.4));
  grey->width = gdk_pixbuf_get_width (picture);
  grey->height = gdk_pixbuf_get_height (picture);
  grey->at = g_new (float, (gsize) grey->width *(gsize) grey->height);
  for (int y = 0; y < grey->height; y++)
    {
      const guint8 *from = pixels + (gsize) y * (gsize) stride;
      float *to = grey->at + (gsize) y * (gsize) grey->width;

      for (int x = 0; x < grey->width; x++, from += n)
        to[x] = 0.2126f * light[from[0]] + 0.7152f * light[from[1]] + 0.0722f * light[from[2]];
    }
  return grey;
}

void
sl_grey_free (SlGrey *grey)
{
  g_free (grey->at);
  g_free (grey);
}

/* ---- what may be an edge ---- */

/* A place where the light along the line changes fastest. */
typedef struct
{
  double t, slope;
} Steep;

/* The line drawn: places on it are t px from @from, beside it s px to its right. Its profile begins at @start. */
typedef struct
{
  const SlGrey *grey;
  SlSpot from, along; /* along: of length 1 */
  double start, noise;
  int n;
  double *profile;
  GArray *places; /* of Steep, in order */
} Line;

/* The root of light: photons scatter by the root of their number, so noise is alike in shadow and light (Anscombe,
 * Biometrika 35, 246 (1948)). Bilinear between pixels. */
static double
root_at (const Line *line, double t, double s)
{
  const SlGrey *grey = line->grey;
  const double x = CLAMP (line->from.x + t * line->along.x - s * line->along.y - 0.5, 0, grey->width - 1),
               y = CLAMP (line->from.y + t * line->along.y + s * line->along.x - 0.5, 0, grey->height - 1);
  const int i = (int) x, j = (int) y, right = MIN (i + 1, grey->width - 1), below = MIN (j + 1, grey->height - 1);
  const float *row = grey->at + (gsize) j * (gsize) grey->width, *next = grey->at + (gsize) below * (gsize) grey->width;
  const double u = x - i, v = y - j;

  return sqrt ((row[i] * (1 - u) + row[right] * u) * (1 - v) + (next[i] * (1 - u) + next[right] * u) * v);
}

/* The profile from @start to @end, and the noise of a pixel. */
static void
line_follow (Line *line, double start, double end)
{
  const int n = (int) ((end - start) / PACE_PX) + 1;
  g_autofree double *apart = g_new (double, n);

  line->start = start;
  line->n = n;
  line->profile = g_new (double, n);
  for (int i = 0; i < n; i++)
    {
      const double t = start + i * PACE_PX, left = root_at (line, t, -1), right = root_at (line, t, 1);

      line->profile[i] = (left + root_at (line, t, 0) + right) / 3;
      apart[i] = fabs (right - left);
    }
  /* by the median, 0.6745 standard deviations, of what neighbours differ by; edges are few among them */
  line->noise = gsl_stats_median (apart, 1, (gsize) n) / 0.6745 / G_SQRT2 / NOISE_LEFT;
}

/* The slope of the profile under a Gaussian of @wide px (Canny, IEEE Trans. PAMI 8, 679 (1986)). */
static double
slope_at (const Line *line, int i, double wide)
{
  const int reach = (int) (3 * wide / PACE_PX);
  double sum = 0;

  for (int k = -reach; k <= reach; k++)
    {
      const double t = k * PACE_PX;

      sum += t * exp (-t * t / (2 * wide * wide)) * line->profile[CLAMP (i + k, 0, line->n - 1)];
    }
  return sum * PACE_PX / (sqrt (2 * G_PI) * gsl_pow_3 (wide));
}

/* Finds the steepest places, those of one edge taken for one: between them the slope doesn't halve. */
static void
line_find_places (Line *line, double wide)
{
  const double noise = line->noise / sqrt (12 * sqrt (G_PI) * gsl_pow_3 (wide)); /* of three rows under a Gaussian */
  const double least = fmax (OUT_OF_NOISE * noise, LEAST_STEP / sqrt (2 * G_PI * (1 + wide * wide)));
  double before = 0, here = slope_at (line, 0, wide), lowest = INFINITY;

  g_array_set_size (line->places, 0);
  for (int i = 0; i + 1 < line->n; i++)
    {
      const double after = slope_at (line, i + 1, wide);
      const Steep place = { line->start + i * PACE_PX, here };
      Steep *last = line->places->len > 0 ? &g_array_index (line->places, Steep, line->places->len - 1) : NULL;

      lowest = last != NULL && here * last->slope > 0 ? fmin (lowest, fabs (here)) : 0;
      if (fabs (here) > least && fabs (here) >= fabs (before) && fabs (here) > fabs (after))
        {
          if (last == NULL || lowest < 0.5 * fmin (fabs (here), fabs (last->slope)))
            g_array_append_val (line->places, place);
          else if (fabs (here) > fabs (last->slope))
            *last = place;
          lowest = INFINITY;
        }
      before = here;
      here = after;
    }
}

/* ---- a blurred step, fitted ---- */

/* A pixel near the edge, by its middle. */
typedef struct
{
  double t, s, root;
} Pixel;

/* What is fitted: roots of light between the edges in turn, places of the edges, their slant and bend, the blur's
 * logarithm. As first guessed it is held loosely, so that what the pixels don't tell stays where it was. Where white is
 * burnt out there may have been any more light: a pixel shows 1 at most. */
typedef struct
{
  GArray *pixels; /* of Pixel */
  int n_edges, n_x;
  double x[MOST_X], noise;
} Guess;

#define PLACE(g, k) ((g)->n_edges + 1 + (k))
#define SLANT(g) (2 * (g)->n_edges + 1)
#define BEND(g) (2 * (g)->n_edges + 2)
#define LOG_BLUR(g) (2 * (g)->n_edges + 3)

static int
misfit (const gsl_vector *x, void *data, gsl_vector *out)
{
  const Guess *g = data;
  const double *at = x->data; /* GSL's own, without stride */
  const double width = exp (at[LOG_BLUR (g)]) * G_SQRT2;
  guint i = 0;

  SL_EACH (const Pixel, pixel, g->pixels)
    {
      const double t = pixel->t - (at[SLANT (g)] + at[BEND (g)] * pixel->s) * pixel->s;
      double light = at[0] * at[0];

      for (int k = 0; k < g->n_edges; k++)
        light += (at[k + 1] * at[k + 1] - at[k] * at[k]) * erfc ((at[PLACE (g, k)] - t) / width) / 2;
      gsl_vector_set (out, i++, (sqrt (CLAMP (light, 1e-6, 1)) - pixel->root) / g->noise);
    }
  for (int j = 0; j < g->n_x; j++)
    gsl_vector_set (out, i++, (at[j] - g->x[j]) / LOOSE);
  return GSL_SUCCESS;
}

/* An edge as fitted, with one on either side where they are close. */
typedef struct
{
  int n_edges, which;
  double place[MOST_EDGES], step[MOST_EDGES], blur, cov[MOST_EDGES][MOST_EDGES];
} Fitted;

/* Levenberg and Marquardt by GSL; the covariance is that of the residuals. */
static gboolean
fit (Guess *g, Fitted *out)
{
  const gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters ();
  const gsize n = g->pixels->len + (gsize) g->n_x, m = (gsize) g->n_x;
  gsl_multifit_nlinear_workspace *work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &how, n, m);
  gsl_multifit_nlinear_fdf what = { .f = misfit, .n = n, .p = m, .params = g };
  gsl_vector_const_view start = gsl_vector_const_view_array (g->x, m);
  double cov[MOST_X * MOST_X], square;
  gsl_matrix_view c = gsl_matrix_view_array (cov, m, m);
  int info = 0;
  const gboolean found = gsl_multifit_nlinear_init (&start.vector, &what, work) == GSL_SUCCESS &&
                         gsl_multifit_nlinear_driver (50, 1e-5, 1e-8, 0, NULL, NULL, &info, work) == GSL_SUCCESS &&
                         gsl_multifit_nlinear_covar (gsl_multifit_nlinear_jac (work), 0, &c.matrix) == GSL_SUCCESS;
  const double *x = gsl_multifit_nlinear_position (work)->data;

  gsl_blas_ddot (gsl_multifit_nlinear_residual (work), gsl_multifit_nlinear_residual (work), &square);
  square *= CORRELATED * CORRELATED / (double) g->pixels->len;
  out->n_edges = g->n_edges;
  for (int k = 0; k < g->n_edges && found; k++)
    {
      out->place[k] = x[PLACE (g, k)];
      out->step[k] = x[k + 1] * x[k + 1] - x[k] * x[k];
      for (int l = 0; l < g->n_edges; l++)
        out->cov[k][l] = cov[PLACE (g, k) * g->n_x + PLACE (g, l)] * square;
    }
  out->blur = sqrt (fmax (exp (2 * x[LOG_BLUR (g)]) / (1 + x[SLANT (g)] * x[SLANT (g)]) - PIXEL_VAR, 0));
  gsl_multifit_nlinear_free (work);
  return found;
}

/* The pixels within @wide px beside the line and along an edge of @slant from @from to @to. */
static GArray *
pixels_near (const Line *line, double from, double to, double wide, double slant)
{
  const double middle = (from + to) / 2, half = (to - from) / 2 + wide * (1 + fabs (slant)) + 1;
  const double x = line->from.x + middle * line->along.x, y = line->from.y + middle * line->along.y;
  GArray *pixels = g_array_new (FALSE, FALSE, sizeof (Pixel));

  for (int j = MAX (0, (int) (y - half)); j <= MIN (line->grey->height - 1, (int) (y + half)); j++)
    for (int i = MAX (0, (int) (x - half)); i <= MIN (line->grey->width - 1, (int) (x + half)); i++)
      {
        const double dx = i + 0.5 - line->from.x, dy = j + 0.5 - line->from.y;
        const Pixel pixel = { dx * line->along.x + dy * line->along.y, dy * line->along.x - dx * line->along.y,
                              sqrt (line->grey->at[(gsize) j * (gsize) line->grey->width + (gsize) i]) };

        if (fabs (pixel.s) <= wide && pixel.t - slant * pixel.s >= from && pixel.t - slant * pixel.s <= to)
          g_array_append_val (pixels, pixel);
      }
  return pixels;
}

/* How an edge at @t slants, by the mean direction of the gradient. */
static double
slant_at (const Line *line, double t, double half)
{
  double across = 0, along = 1e-9;

  for (double a = t - half; a <= t + half; a += 1)
    for (double s = -3; s <= 3; s += 1)
      {
        const double dt = root_at (line, a + 1, s) - root_at (line, a - 1, s);

        across += dt * (root_at (line, a, s + 1) - root_at (line, a, s - 1));
        along += dt * dt;
      }
  return CLAMP (-across / along, -1.2, 1.2);
}

/* Fits the nth steep place. */
static gboolean
fit_place (const Line *line, int nth, Fitted *out)
{
  const Steep *all = &g_array_index (line->places, Steep, 0), *place = all + nth;
  /* how much less steep it is under a Gaussian twice as wide tells the blur */
  const int i = (int) ((place->t - line->start) / PACE_PX + 0.5);
  const double ratio = gsl_pow_2 (slope_at (line, i, 1) / slope_at (line, i, 2));
  const double blur = ratio > 1.05 ? sqrt (CLAMP ((4 - ratio) / (ratio - 1), 0.2, 36)) : 6;
  const double half = CLAMP (2.5 * blur + 2, 4, 16), slant = slant_at (line, place->t, 2 + blur);
  const int n = (int) line->places->len, first = nth > 0 && place->t - place[-1].t < half + 2 ? nth - 1 : nth,
            last = nth + 1 < n && place[1].t - place->t < half + 2 ? nth + 1 : nth;
  double from = all[first].t - half, to = all[last].t + half;
  g_autoptr (GArray) pixels = NULL;
  Guess g = { .n_edges = last - first + 1, .noise = fmax (line->noise, 0.004) }; /* 1 of 255 */

  if (first > 0)
    from = fmax (from, (all[first - 1].t + all[first].t) / 2);
  if (last + 1 < n)
    to = fmin (to, (all[last].t + all[last + 1].t) / 2);
  g.n_x = 2 * g.n_edges + 4;
  for (int k = 0; k <= g.n_edges; k++)
    {
      const double left = k == 0 ? from : all[first + k - 1].t, right = k == g.n_edges ? to : all[first + k].t;

      g.x[k] = root_at (line, k == 0 ? from : k == g.n_edges ? to : (left + right) / 2, 0);
      g.x[PLACE (&g, k)] = right; /* after the last edge comes the slant, set below */
    }
  g.x[SLANT (&g)] = slant;
  g.x[LOG_BLUR (&g)] = log (blur * sqrt (1 + slant * slant));
  g.pixels = pixels = pixels_near (line, from, to, CLAMP (4 + 1.4 * blur, 4.5, 8), slant);
  out->which = nth - first;
  return pixels->len >= 4 * (guint) g.n_x && fit (&g, out) && fabs (out->place[out->which] - place->t) < half &&
         out->step[out->which] * place->slope > 0 && out->cov[out->which][out->which] < MOST_U_PX * MOST_U_PX;
}

static SlSpot
spot_on (const Line *line, double t)
{
  return (SlSpot){ line->from.x + t * line->along.x, line->from.y + t * line->along.y };
}

/* Notes the thin line that the edge @own of the nth place is a side of, the light before and after it much the same: of
 * two that whose far side is nearer to @near; between the lines of a rule the gaps are lines, too. */
static void
find_middle (const Line *line, int nth, double near, const Fitted *own, SlEdge *edge)
{
  const double at = own->place[own->which], step = own->step[own->which];
  double least = INFINITY;

  for (int side = -1; side <= 1; side += 2)
    {
      const int other = nth + side;
      int k = own->which + side;
      const gboolean together = k >= 0 && k < own->n_edges;
      const Fitted *fitted = own;
      Fitted its;
      double var;

      if (!together)
        {
          if (other < 0 || other >= (int) line->places->len ||
              fabs (g_array_index (line->places, Steep, other).t - at) > MOST_LINE_PX || !fit_place (line, other, &its))
            continue;
          fitted = &its;
          k = its.which;
        }
      if (fabs (step + fitted->step[k]) > ALIKE * fmin (fabs (step), fabs (fitted->step[k])) ||
          fabs (fitted->place[k] - near) > least)
        continue;
      least = fabs (fitted->place[k] - near);
      var = own->cov[own->which][own->which] + fitted->cov[k][k] + (together ? 2 * own->cov[own->which][k] : 0);
      edge->line_px = fabs (fitted->place[k] - at);
      edge->middle = spot_on (line, (at + fitted->place[k]) / 2);
      edge->middle_u_px = sqrt (fmax (var, 0) / 4 + FLOOR_U_PX * FLOOR_U_PX);
    }
}

gboolean
sl_edge_find (const SlGrey *grey, SlSpot from, SlSpot to, double near_px, double reach_px, SlEdge *edge)
{
  const double length = hypot (to.x - from.x, to.y - from.y), reach = CLAMP (reach_px, 1, MOST_REACH_PX);
  Line line = { grey, from, { (to.x - from.x) / length, (to.y - from.y) / length } };
  const SlSpot put = spot_on (&line, near_px);
  gboolean found = FALSE;

  *edge = (SlEdge){ 0 };
  if (!(length > 0) || isnan (reach_px) || !(put.x >= 0 && put.x <= grey->width && put.y >= 0 && put.y <= grey->height))
    return FALSE;
  gsl_set_error_handler_off ();
  line_follow (&line, near_px - reach - AROUND_PX, near_px + reach + AROUND_PX);
  line.places = g_array_new (FALSE, FALSE, sizeof (Steep));
  /* first a sharp edge close to another, then a soft one in noise */
  for (double wide = 1; wide <= 2.5 && !found; wide += 1.5)
    {
      double least = INFINITY;
      Fitted own;
      int nth = -1;

      line_find_places (&line, wide);
      for (guint k = 0; k < line.places->len; k++)
        {
          const Steep *place = &g_array_index (line.places, Steep, k);
          const double far = fabs (place->t - near_px), weighed = (far + 1) / sqrt (fabs (place->slope));

          /* one a quarter as steep counts as twice as far, so that grain gives way to edges */
          nth = far <= reach && weighed < least ? (int) k : nth;
          least = nth == (int) k ? weighed : least;
        }
      if (nth < 0 || !fit_place (&line, nth, &own))
        continue;
      found = TRUE;
      edge->at = spot_on (&line, own.place[own.which]);
      edge->u_px = sqrt (own.cov[own.which][own.which] + FLOOR_U_PX * FLOOR_U_PX);
      edge->blur_px = own.blur;
      edge->step = own.step[own.which];
      find_middle (&line, nth, near_px, &own, edge);
    }
  g_free (line.profile);
  g_array_unref (line.places);
  return found;
}
