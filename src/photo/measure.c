/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "photo/measure.h"

#include <glib/gi18n-lib.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>

#define LEAST_APART_PX 1.0 /* of marks */
#define LEAST_SIDE_PX 8.0  /* of a rectangle */
#define LEAST_CORNER 0.17  /* sine of its flattest corner, 10° */
#define LEAST_DEPTH 0.1    /* of the rectangle's middle over a mark's: ten times as far away is near the horizon */
#define PACE_PX 1e-3       /* of the differences that take u through the reckoning */
#define CORNERS 8          /* numbers of four corners */
#define DEG (180 / G_PI)

/* From px of the picture, counted from the corners' middle in their spread, to mm of the plane (Hartley and Zisserman,
 * Multiple View Geometry, 2nd ed., 4.1 and 4.4). */
typedef struct
{
  double h[CORNERS], x, y, spread;
} Plane;

/* x and y of the corners in turn. FALSE: no rectangle seen aslant, whose corners are some way from the next and all
 * turn one way. */
static gboolean
corners_of (const SlFlat *flat, double *out)
{
  double turned = 0;

  for (int i = 0; i < 4; i++)
    {
      const int j = (i + 1) % 4, k = (i + 2) % 4;
      const double ax = flat->x[j].v - flat->x[i].v, ay = flat->y[j].v - flat->y[i].v, a = hypot (ax, ay);
      const double bx = flat->x[k].v - flat->x[j].v, by = flat->y[k].v - flat->y[j].v;
      const double sine = (ax * by - ay * bx) / (a * hypot (bx, by));

      if (!(a >= LEAST_SIDE_PX && fabs (sine) >= LEAST_CORNER) || sine * turned < 0)
        return FALSE;
      turned = sine;
      out[2 * i] = flat->x[i].v;
      out[2 * i + 1] = flat->y[i].v;
    }
  return TRUE;
}

static void
plane_init (Plane *plane, const double *corners, const SlFlat *flat)
{
  const double X[] = { 0, flat->width.v, flat->width.v, 0 }, Y[] = { 0, 0, flat->height.v, flat->height.v };
  double rows[CORNERS * CORNERS], right[CORNERS];
  gsl_matrix_view a = gsl_matrix_view_array (rows, CORNERS, CORNERS);
  gsl_vector_view b = gsl_vector_view_array (right, CORNERS), h = gsl_vector_view_array (plane->h, CORNERS);
  size_t order[CORNERS];
  gsl_permutation turned = { CORNERS, order };
  int sign;

  plane->x = (corners[0] + corners[2] + corners[4] + corners[6]) / 4;
  plane->y = (corners[1] + corners[3] + corners[5] + corners[7]) / 4;
  plane->spread = hypot (corners[4] - corners[0], corners[5] - corners[1]) / 2;
  for (int i = 0; i < 4; i++)
    {
      const double x = (corners[2 * i] - plane->x) / plane->spread, y = (corners[2 * i + 1] - plane->y) / plane->spread;
      const double own[] = { x, y, 1, 0, 0, 0, -x * X[i], -y * X[i], 0, 0, 0, x, y, 1, -x * Y[i], -y * Y[i] };

      memcpy (rows + 2 * i * CORNERS, own, sizeof own);
      right[2 * i] = X[i];
      right[2 * i + 1] = Y[i];
    }
  gsl_set_error_handler_off ();
  gsl_linalg_LU_decomp (&a.matrix, &turned, &sign);
  gsl_linalg_LU_solve (&a.matrix, &turned, &b.vector, &h.vector);
}

/* Where a place is seen in the plane, and how much nearer than the rectangle's middle it is: 0 on the horizon. */
static double
plane_at (const Plane *plane, double x, double y, SlSpot *flat)
{
  const double u = (x - plane->x) / plane->spread, v = (y - plane->y) / plane->spread, *h = plane->h;
  const double depth = h[6] * u + h[7] * v + 1;

  *flat = (SlSpot){ (h[0] * u + h[1] * v + h[2]) / depth, (h[3] * u + h[4] * v + h[5]) / depth };
  return depth;
}

gboolean
sl_photo_flatten (const SlPhoto *photo, SlSpot at, SlSpot *flat)
{
  double corners[CORNERS];
  Plane plane;

  *flat = at;
  if (!photo->flat.given)
    return TRUE;
  if (!corners_of (&photo->flat, corners))
    return FALSE;
  plane_init (&plane, corners, &photo->flat);
  return plane_at (&plane, at.x, at.y, flat) >= LEAST_DEPTH;
}

/* What is reckoned from places in the picture: two marks or three, and the corners where there are some. */
typedef struct
{
  const SlFlat *flat; /* or NULL */
  int n_marks;        /* 3: an angle */
  double at[CORNERS + 6], u[CORNERS + 6], blur;
} Reckoned;

/* Takes in marks; why they can't be reckoned with, or NULL. */
static char *
reckoned_init (Reckoned *out, const SlPhoto *photo, int n, const SlNumber *x, const SlNumber *y, const SlNumber *u,
               SlNumber blur)
{
  *out = (Reckoned){ photo->flat.given ? &photo->flat : NULL, n, .blur = SL_BLUR_SHARE * sl_number_or (blur, 0) };
  if (out->flat != NULL && !corners_of (out->flat, out->at))
    return g_strdup (_ ("The four corners make no rectangle; mark them in turn, going round it."));
  for (int i = 0; i < CORNERS; i++)
    out->u[i] = SL_HAND_MARK_U_PX;
  for (int i = 0; i < n; i++)
    {
      double *at = out->at + CORNERS + 2 * i, *own = out->u + CORNERS + 2 * i;
      SlSpot flat;

      if (!sl_number_is_set (x[i]) || !sl_number_is_set (y[i]))
        return g_strdup (_ ("An angle needs three marks."));
      at[0] = x[i].v;
      at[1] = y[i].v;
      own[0] = own[1] = sl_number_or (u[i], SL_HAND_MARK_U_PX);
      if (i > 0 && hypot (at[0] - at[-2], at[1] - at[-1]) < LEAST_APART_PX)
        return g_strdup (_ ("Two marks lie on one place."));
      if (!sl_photo_flatten (photo, (SlSpot){ at[0], at[1] }, &flat))
        return g_strdup (_ ("A mark lies too far from the rectangle, where its plane runs out of sight."));
    }
  return NULL;
}

/* A distance, mm where there are corners, else px; or by how many degrees the way turns at the second mark, signed. */
static double
reckoned_value (const Reckoned *reckoned, const double *at)
{
  SlSpot p[3] = { 0 };
  Plane plane;
  double ax, ay, bx, by;

  if (reckoned->flat != NULL)
    plane_init (&plane, at, reckoned->flat);
  for (int i = 0; i < reckoned->n_marks; i++)
    {
      p[i] = (SlSpot){ at[CORNERS + 2 * i], at[CORNERS + 2 * i + 1] };
      if (reckoned->flat != NULL)
        plane_at (&plane, p[i].x, p[i].y, &p[i]);
    }
  ax = p[1].x - p[0].x;
  ay = p[1].y - p[0].y;
  bx = p[2].x - p[1].x;
  by = p[2].y - p[1].y;
  return reckoned->n_marks == 2 ? hypot (ax, ay) : atan2 (ax * by - ay * bx, ax * bx + ay * by) * DEG;
}

/* u of the value by that of the corners, of the marks and of their blur (GUM 5.1.2, by differences). */
static void
reckoned_u (const Reckoned *reckoned, double *u_corners, double *u_edges, double *u_blur)
{
  double at[CORNERS + 6];

  *u_corners = *u_edges = *u_blur = 0;
  memcpy (at, reckoned->at, sizeof at);
  for (int i = reckoned->flat != NULL ? 0 : CORNERS; i < CORNERS + 2 * reckoned->n_marks; i++)
    {
      double change;

      at[i] = reckoned->at[i] + PACE_PX;
      change = reckoned_value (reckoned, at);
      at[i] = reckoned->at[i] - PACE_PX;
      change -= reckoned_value (reckoned, at);
      at[i] = reckoned->at[i];
      change = (reckoned->n_marks == 3 ? remainder (change, 360) : change) / (2 * PACE_PX);
      *(i < CORNERS ? u_corners : u_edges) = hypot (i < CORNERS ? *u_corners : *u_edges, change * reckoned->u[i]);
      *u_blur = hypot (*u_blur, i < CORNERS ? 0 : change * reckoned->blur);
    }
}

/* mm a px by one known length, or its length over what the corners make of it; and its relative u. */
static char *
known_scale (const SlPhoto *photo, const SlKnownLength *known, double *scale, double *u_share)
{
  double px, u_corners, u_edges, u_blur;
  Reckoned reckoned;
  char *why = reckoned_init (&reckoned, photo, 2, known->x, known->y, known->u, known->blur);

  if (why != NULL)
    return why;
  px = reckoned_value (&reckoned, reckoned.at);
  reckoned_u (&reckoned, &u_corners, &u_edges, &u_blur);
  *scale = known->length.v / px;
  *u_share = gsl_hypot3 (sl_number_or (known->uncertainty, SL_KNOWN_U_MM) / SL_COVERAGE / known->length.v, u_edges / px,
                         u_blur / px);
  return NULL;
}

/* With corners the picture has its scale by them, and a known length tells how far they are off. Of two known lengths
 * the mean, weighted by their u. */
static char *
scale_of (const SlPhoto *photo, SlPhotoScale *out)
{
  const SlKnownLength *known = photo->known->len > 0 ? &g_array_index (photo->known, SlKnownLength, 0) : NULL;
  const SlFlat *flat = &photo->flat;
  const SlNumber *x = flat->given || known == NULL ? flat->x : known->x, *y = x == flat->x ? flat->y : known->y;
  double scale[2], u[2], weight;
  Reckoned none;
  char *why = reckoned_init (&none, photo, 0, NULL, NULL, NULL, SL_NUMBER_ABSENT);

  *out = (SlPhotoScale){ .mm_per_px = 1, .apart = NAN };
  if (why == NULL && !flat->given && known == NULL)
    why = g_strdup (_ ("No length is known; mark one, as between two lines of a rule."));
  for (guint i = 0; i < photo->known->len && why == NULL; i++)
    why = known_scale (photo, known + i, &scale[i], &u[i]);
  if (why != NULL)
    return why;
  out->direction = remainder (atan2 (y[0].v - y[1].v, x[1].v - x[0].v) * DEG, 180);
  if (flat->given)
    {
      out->u_share = SL_FLAT_U_MM / fmin (flat->width.v, flat->height.v);
      for (guint i = 0; i < photo->known->len; i++)
        out->apart = fmax (i == 0 ? 0 : out->apart, fabs (scale[i] - 1));
      return NULL;
    }
  out->mm_per_px = scale[0];
  out->u_share = u[0];
  if (photo->known->len < 2)
    return NULL;
  weight = u[0] + u[1] > 0 ? u[1] * u[1] / (u[0] * u[0] + u[1] * u[1]) : 0.5;
  out->mm_per_px = weight * scale[0] + (1 - weight) * scale[1];
  out->u_share = hypot (weight * u[0], (1 - weight) * u[1]);
  out->apart = fabs (scale[0] - scale[1]) / out->mm_per_px;
  return NULL;
}

gboolean
sl_photo_scale (const SlPhoto *photo, SlPhotoScale *out)
{
  g_autofree char *why = scale_of (photo, out);

  return why == NULL;
}

char *
sl_photo_measure (const SlPhoto *photo, const SlMark *mark, SlMeasured *out)
{
  const gboolean angle = mark->of == SL_MEASURE_BREAK_ANGLE;
  SlPhotoScale scale = { .apart = NAN };
  double factor, bound, u_corners;
  Reckoned reckoned;
  char *why = reckoned_init (&reckoned, photo, angle ? 3 : 2, mark->x, mark->y, mark->u, mark->blur);

  *out = (SlMeasured){ 0 };
  if (why != NULL)
    return why;
  why = scale_of (photo, &scale);
  if (angle) /* the same in mm and px: known lengths only tell of the plane */
    g_clear_pointer (&why, g_free);
  if (why != NULL)
    return why;
  factor = angle ? 1 : scale.mm_per_px;
  out->value = fabs (reckoned_value (&reckoned, reckoned.at)) * factor;
  reckoned_u (&reckoned, &u_corners, &out->u_edges, &out->u_blur);
  out->u_edges *= factor;
  out->u_blur *= factor;
  out->u_scale = hypot (u_corners, angle ? 0 : out->value * scale.u_share);
  /* as likely anywhere within the bound (GUM 4.3.7); foreshortened by it, an angle changes by at most its sine */
  bound = isnan (scale.apart) ? sl_number_or (photo->out_of_plane, SL_OUT_OF_PLANE_SHARE)
                              : fmax (sl_number_or (photo->out_of_plane, 0), scale.apart);
  out->u_plane = bound / sqrt (3) * (angle ? fabs (sin (out->value / DEG)) * DEG : out->value);
  out->U = SL_COVERAGE * hypot (hypot (out->u_scale, out->u_edges), hypot (out->u_blur, out->u_plane));
  return NULL;
}
